//! What no table of a region has: its name, days, rounds, meetings and prices.

use partpledge_units::local::{Zone, parse_clock, parse_date};
use partpledge_units::money::Currency;
use partpledge_words::say;

use super::{At, Found};
use crate::Catalogue;
use crate::costs::{Costs, DECIMALS, StockRates};
use crate::read::CatalogueError;
use crate::region::{Closure, Origin, RegionFile, parse_days};

/// Longest name, characters, as in the tables.
const LONGEST: usize = 100;
/// Likeliest that somebody or something does not come.
const MOST_MISSED: f64 = 0.5;

pub(super) fn top(file: &RegionFile, found: &mut Found<'_, '_>) {
    for (field, name) in [("name", &file.name), ("league", &file.league)] {
        found.unless(is_name(name), At::top(field), || {
            say!("catalogue-write-name")
        });
    }
    found.unless(Zone::named(&file.zone).is_ok(), At::top("zone"), || {
        say!("catalogue-write-zone")
    });
    let currency = Currency::parse(&file.currency);
    found.unless(currency.is_ok(), At::top("currency"), || {
        say!("catalogue-write-currency")
    });
    let origin = file.origin.as_ref().map_or(Ok(()), Origin::check);
    found.unless(origin.is_ok(), At::top("origin"), || {
        say!("catalogue-write-origin")
    });
    for team in &file.trusted_teams {
        let known = file.teams.iter().any(|one| one.name == *team);
        found.unless(known, At::top("trusted_teams"), || {
            say!("catalogue-write-team", name = team)
        });
    }
    let limits = &file.limits;
    let most = [
        ("open_requests", limits.open_requests),
        ("open_grams", limits.open_grams),
        ("copies", limits.copies),
        ("spares", limits.spares),
    ];
    for (field, most) in most {
        found.unless(most > 0, in_table("limits", field), || {
            say!("catalogue-write-from-one")
        });
    }
    let (tell, close) = (
        file.undecided.tell_after_hours,
        file.undecided.close_after_days,
    );
    let fine = (1..=366).contains(&close);
    found.unless(fine, in_table("undecided", "close_after_days"), || {
        say!("catalogue-write-number", from = "1", to = "366")
    });
    let latest = u64::from(close) * 24;
    let fine = !fine || (1..=latest).contains(&u64::from(tell));
    found.unless(fine, in_table("undecided", "tell_after_hours"), || {
        say!(
            "catalogue-write-number",
            from = "1",
            to = latest.to_string()
        )
    });
}

fn in_table<'a>(list: &'a str, field: &'a str) -> At<'a> {
    At {
        list,
        n: None,
        field,
    }
}

fn is_name(name: &str) -> bool {
    let plain = name.trim() == name && !name.chars().any(char::is_control);
    plain && !name.is_empty() && name.chars().count() <= LONGEST
}

/// Days are written in one way only: they are put in order as texts.
fn is_day(text: &str) -> bool {
    text.len() == 10 && parse_date(text).is_ok()
}

fn is_clock(text: &str) -> bool {
    text.len() == 5 && parse_clock(text).is_ok()
}

pub(super) fn days(file: &RegionFile, found: &mut Found<'_, '_>) {
    let ends = file.season_ends.as_deref().is_none_or(is_day);
    found.unless(ends, At::top("season_ends"), || say!("catalogue-write-day"));
    for (n, closure) in file.closures.iter().enumerate() {
        for (field, what_to_do) in closed(closure) {
            found.is(At::of("closures", n, field), what_to_do);
        }
    }
    for (n, host) in file.hosts.iter().enumerate() {
        // Lines within a host's own closures aren't told apart.
        for (_, what_to_do) in host.closures.iter().flat_map(closed) {
            found.is(At::of("hosts", n, "closures"), what_to_do);
        }
    }
    for (n, event) in file.events.iter().enumerate() {
        let at = |field| At::of("events", n, field);
        found.unless(is_name(&event.name), at("name"), || {
            say!("catalogue-write-name")
        });
        found.unless(is_day(&event.date), at("date"), || {
            say!("catalogue-write-day")
        });
        for (field, time) in [
            ("boxes_by", &event.boxes_by),
            ("hands_over", &event.hands_over),
        ] {
            found.unless(is_clock(time), at(field), || say!("catalogue-write-clock"));
        }
        missed(at("missed"), event.missed, found);
    }
}

/// What is wrong with days on which it is closed.
fn closed(closure: &Closure) -> Vec<(&'static str, String)> {
    let mut out = Vec::new();
    for (field, day) in [("from", &closure.from), ("to", &closure.to)] {
        if !is_day(day) {
            out.push((field, say!("catalogue-write-day")));
        }
    }
    if out.is_empty() && closure.to < closure.from {
        out.push(("to", say!("catalogue-write-later", what = "from")));
    }
    if closure.reason.trim().is_empty() || closure.reason.chars().any(char::is_control) {
        out.push(("reason", say!("catalogue-write-name")));
    }
    out
}

fn missed(at: At<'_>, chance: f64, found: &mut Found<'_, '_>) {
    found.unless((0.0..=MOST_MISSED).contains(&chance), at, || {
        say!("catalogue-write-number", from = "0", to = "0.5")
    });
}

/// Rounds and relays.
pub(super) fn ways(file: &RegionFile, found: &mut Found<'_, '_>) {
    let is_host = |code: &String| file.hosts.iter().any(|host| host.school == *code);
    for (n, courier) in file.couriers.iter().enumerate() {
        let at = |field| At::of("couriers", n, field);
        let (leaves, comes) = (&courier.collects, &courier.delivers);
        way(n, "couriers", (&courier.name, &courier.days), found);
        times([at("collects"), at("delivers")], [leaves, comes], found);
        let same_day = courier.rounds_later == 0 && is_clock(leaves) && is_clock(comes);
        found.unless(!same_day || leaves < comes, at("delivers"), || {
            say!("catalogue-write-later", what = "collects")
        });
        found.unless(courier.hosts.iter().all(is_host), at("hosts"), || {
            say!("catalogue-write-host")
        });
        let known = courier
            .schools
            .iter()
            .all(|code| file.school(code).is_some());
        found.unless(known, at("schools"), || say!("catalogue-write-school"));
        missed(at("missed"), courier.missed, found);
    }
    for (n, relay) in file.relays.iter().enumerate() {
        let at = |field| At::of("relays", n, field);
        let (leaves, comes) = (&relay.leaves, &relay.arrives);
        way(n, "relays", (&relay.name, &relay.days), found);
        times([at("leaves"), at("arrives")], [leaves, comes], found);
        let both = is_clock(leaves) && is_clock(comes);
        found.unless(!both || leaves < comes, at("arrives"), || {
            say!("catalogue-write-later", what = "leaves")
        });
        for (field, code) in [("from", &relay.from), ("to", &relay.to)] {
            found.unless(file.school(code).is_some(), at(field), || {
                say!("catalogue-write-school")
            });
        }
        let handled = (0..=1_440).contains(&relay.handling_min);
        found.unless(handled, at("handling_min"), || {
            say!("catalogue-write-minutes")
        });
        missed(at("missed"), relay.missed, found);
    }
}

fn way(n: usize, list: &str, (name, days): (&str, &str), found: &mut Found<'_, '_>) {
    found.unless(is_name(name), At::of(list, n, "name"), || {
        say!("catalogue-write-name")
    });
    found.unless(parse_days(days).is_ok(), At::of(list, n, "days"), || {
        say!("catalogue-write-weekdays")
    });
}

fn times(at: [At<'_>; 2], times: [&String; 2], found: &mut Found<'_, '_>) {
    for (at, time) in at.into_iter().zip(times) {
        found.unless(is_clock(time), at, || say!("catalogue-write-clock"));
    }
}

pub(super) fn prices(file: &RegionFile, catalogue: &Catalogue, found: &mut Found<'_, '_>) {
    // That the currency is wrong is said already.
    let (Err(error), Some(rates)) = (Costs::of(file, catalogue), &file.prices) else {
        return;
    };
    let lists = ["prices.filament", "prices.machine"];
    let named = |code: &str| {
        let [filament, machine] = lists;
        match (rates.filament_at(code), rates.machine_at(code)) {
            (_, Some(n)) => At::of(machine, n, "class"),
            (Some(n), None) => At::of(filament, n, "material"),
            (None, None) => in_table("prices", ""),
        }
    };
    match error {
        CatalogueError::Currency(_) => {}
        CatalogueError::OutOfRange {
            code,
            field,
            low,
            high,
            ..
        } => {
            let at = At {
                field,
                ..named(&code)
            };
            let stock = StockRates::has(field) && at.n.is_none();
            let at = if stock {
                in_table("prices.stock", field)
            } else {
                at
            };
            let (from, to) = (low.to_string(), high.to_string());
            let says = if field == DECIMALS {
                let currency = &file.currency;
                say!("catalogue-write-decimals", n = to, currency = currency)
            } else {
                say!("catalogue-write-number", from = from, to = to)
            };
            found.is(at, says);
        }
        CatalogueError::NoPrice { code, .. } => {
            let material = catalogue.material(&code).is_some();
            let (list, field) = if material {
                (lists[0], "material")
            } else {
                (lists[1], "class")
            };
            let says = say!(
                "catalogue-write-price",
                list = list,
                field = field,
                code = &code
            );
            found.is(in_table("prices", ""), says);
        }
        CatalogueError::Duplicate { code, .. } => {
            let says = say!("catalogue-price-twice", code = &code);
            found.is(named(&code), says);
        }
        other @ (CatalogueError::Syntax { .. }
        | CatalogueError::Empty { .. }
        | CatalogueError::UnknownMaterial { .. }) => {
            found.is(
                in_table("prices", "currency"),
                say!("catalogue-prices", why = other.to_string()),
            );
        }
    }
}
