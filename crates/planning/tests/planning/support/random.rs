//! Random small regions and plates, and the slow truth: every rule asked minute by minute.

use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Region, Site, SiteIx, Stay, Stock, Window, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};
use proptest::collection::vec;
use proptest::prelude::*;

/// Where the calendars end.
pub(crate) const HORIZON: i64 = 360;

pub(crate) fn window(from: i64, until: i64) -> Window {
    Window {
        from: Minute(from),
        until: Minute(until),
    }
}

fn windows(most: usize, longest: i64) -> impl Strategy<Value = Windows> {
    let starts = vec((0..HORIZON, 5..longest), 0..most);
    starts.prop_map(|list| {
        Windows::joined(
            list.into_iter()
                .map(|(from, n)| window(from, from + n))
                .collect(),
        )
    })
}

fn leg(from: usize, to: usize, list: Vec<(i64, i64)>) -> Leg {
    let departure = |(leaves, takes): (i64, i64)| Departure {
        leaves: Minute(leaves),
        arrives: Minute(leaves + takes),
    };
    let mut departures: Vec<Departure> = list.into_iter().map(departure).collect();
    departures.sort_unstable();
    Leg {
        from: SiteIx(from),
        to: PlaceIx(to),
        kind: LegKind::Courier,
        departures,
        missed: 0.0,
    }
}

pub(crate) fn printer(site: usize, unattended: bool, out_of_use: Windows) -> Printer {
    Printer {
        name: "Printer".into(),
        site: SiteIx(site),
        bed_mm: [200.0, 180.0, 200.0],
        materials: vec!["PLA".into(), "PETG".into()],
        unattended,
        out_of_use,
        start_failure: 0.1,
        failures_per_hour: 0.05,
        time_sigma: 0.1,
        ..Printer::default()
    }
}

/// Hands and filament of a site; each is often without limit.
type Means = (Option<u32>, Vec<(bool, i64, i64)>);

fn means() -> impl Strategy<Value = Means> {
    let stock = vec((any::<bool>(), -1..HORIZON, 20..200_i64), 0..4);
    (prop::option::of(1..4_u32), prop::option::of(stock))
        .prop_map(|(starts, stock)| (starts, stock.unwrap_or_default()))
}

fn material(petg: bool) -> String {
    if petg { "PETG" } else { "PLA" }.into()
}

fn site((staffed, boxing, (starts_a_window, stock)): (Windows, i64, Means)) -> Site {
    Site {
        name: "Site".into(),
        staffed,
        boxing: Minutes(boxing),
        starts_a_window,
        no_show: 0.0,
        stock: stock
            .into_iter()
            .map(|(petg, from, grams)| Stock {
                material: material(petg),
                from: Minute(from),
                grams,
            })
            .collect(),
    }
}

/// Minutes to change, what is loaded, and where it travels: how long each stay and each way is.
type Ways = (i64, Option<bool>, Option<Vec<(usize, i64, i64)>>);

fn ways() -> impl Strategy<Value = Ways> {
    let stays = vec((0..9_usize, 60..200_i64, 0..30_i64), 1..4);
    (
        0..25_i64,
        any::<Option<bool>>(),
        prop_oneof![3 => Just(None), 1 => stays.prop_map(Some)],
    )
}

fn fitted(printer: Printer, (change, loaded, stays): Ways, sites: usize) -> Printer {
    let mut from = 0;
    let stays = stays.unwrap_or_default().into_iter();
    let stays = stays.map(|(site, long, way)| {
        let stay = Stay {
            from: Minute(from),
            until: Minute(from + long),
            site: SiteIx(site % sites),
        };
        from += long + way;
        stay
    });
    Printer {
        stays: stays.collect(),
        change: Minutes(change),
        loaded: loaded.map(material),
        ..printer
    }
}

/// Sites with random hours, hands and filament; printers, some of which travel; and legs that may
/// overtake each other.
pub(crate) fn region() -> impl Strategy<Value = Region> {
    let sites = vec((windows(9, 80), 0..20_i64, means()), 1..4);
    let printers = vec((0..9_usize, any::<bool>(), windows(3, 40), ways()), 1..5);
    let legs = vec(
        (0..9_usize, 0..2_usize, vec((0..HORIZON, 0..60_i64), 0..9)),
        1..9,
    );
    (sites, printers, legs).prop_map(|(sites, printers, legs)| {
        let many = sites.len();
        let counter = |i: usize| leg(i, i % 2, (0..HORIZON / 20).map(|n| (n * 20, 0)).collect());
        Region {
            printers: printers
                .into_iter()
                .map(|(site, unattended, out, ways)| {
                    fitted(printer(site % many, unattended, out), ways, many)
                })
                .collect(),
            legs: legs
                .into_iter()
                .map(|(from, to, list)| leg(from % many, to, list))
                .chain((0..many).map(counter))
                .collect(),
            sites: sites.into_iter().map(site).collect(),
            places: ["here", "there"]
                .map(|name| Place { name: name.into() })
                .into(),
            relays: Vec::new(),
            horizon: Some(Minute(HORIZON)),
        }
    })
}

/// Times and size on each printer, release, place.
type Drawn = (Vec<(i64, i64, i32)>, i64, usize, (bool, i64, u32));

/// Plates with a making on every printer, each with its own time there; some are too large.
pub(crate) fn plates(printers: usize) -> impl Strategy<Value = Vec<Plate>> {
    let times = vec((1..70_i64, 0..8_i64, 150..210_i32), printers);
    let more = (any::<bool>(), 1..40_i64, 0..4_u32);
    vec((times, 0..HORIZON / 3, 0..2_usize, more), 1..9).prop_map(|list| {
        let plate = |(seq, (times, release, to, (petg, grams, turn))): (u64, Drawn)| Plate {
            seq: PlateSeq(seq),
            label: "part".into(),
            material: material(petg),
            makings: (0..)
                .zip(times)
                .map(|(printer, (nominal, extra, size))| {
                    Making::new(
                        PrinterIx(printer),
                        Footprint([f64::from(size), 150.0, 20.0]),
                        Minutes(nominal),
                        Minutes(nominal + extra),
                    )
                })
                .collect(),
            release: Minute(release),
            to: PlaceIx(to),
            copies: 1,
            promise: None,
            grams,
            wish: Wish {
                turn,
                ..Wish::default()
            },
            riders: Vec::new(),
        };
        (1..).zip(list).map(plate).collect()
    })
}

pub(crate) fn world() -> impl Strategy<Value = (Region, Vec<Plate>)> {
    region().prop_flat_map(|region| {
        let printers = region.printers.len();
        (Just(region), plates(printers))
    })
}

fn inside(windows: &Windows, at: i64) -> bool {
    let mut list = windows.as_slice().iter();
    list.any(|w| w.from.0 <= at && at < w.until.0)
}

/// Where a printer stands at `at`, and until when.
fn stands(printer: &Printer, at: i64) -> Option<(SiteIx, i64, i64)> {
    if printer.stays.is_empty() {
        return Some((printer.site, i64::MIN, i64::MAX));
    }
    let stay = printer
        .stays
        .iter()
        .find(|s| s.from.0 <= at && at < s.until.0)?;
    Some((stay.site, stay.from.0, stay.until.0))
}

/// The place that starts at `start`, if every rule allows it, asked minute by minute; nobody does
/// anything before `now`.
pub(crate) fn place_at(
    region: &Region,
    (others, plan): (&[Plate], &Plan),
    plate: &Plate,
    making: &Making,
    (now, start): (i64, i64),
) -> Option<Assignment> {
    let printer = &region.printers[making.printer.0];
    let (stands_at, there, gone) = stands(printer, start)?;
    let site = &region.sites[stands_at.0];
    let [x, y, z] = making.footprint.0;
    let [bed_x, bed_y, bed_z] = printer.bed_mm;
    let lies = (x <= bed_x && y <= bed_y) || (y <= bed_x && x <= bed_y);
    let end = start + making.reserved.0;
    let staffed = |at| there <= at && at < gone && inside(&site.staffed, at);
    let may_run = |at| printer.unattended || staffed(at);
    let runs = (start..end).all(|at| may_run(at) && !inside(&printer.out_of_use, at));
    if !lies || z > bed_z || !staffed(start) || !runs {
        return None;
    }
    let cleared = (end..=HORIZON).find(|&at| staffed(at))?;
    let here = |a: &&Assignment| a.printer == making.printer;
    let apart = |other: &Assignment| cleared <= other.start.0 || other.cleared.0 <= start;
    let slot = (start, cleared);
    if !plan.assignments.iter().filter(here).all(apart)
        || !changes(region, (others, plan), plate, making.printer, (now, slot))
        || !hands_and_filament(region, (others, plan), plate, (stands_at, start))
    {
        return None;
    }
    let (mut ready, mut left) = (cleared, site.boxing.0);
    while left > 0 {
        if ready > HORIZON {
            return None;
        }
        left -= i64::from(inside(&site.staffed, ready));
        ready += 1;
    }
    let legs = region
        .legs
        .iter()
        .filter(|l| l.from == stands_at && l.to == plate.to);
    let departures = legs
        .flat_map(|leg| &leg.departures)
        .filter(|d| d.leaves.0 >= ready);
    let arrives = departures
        .map(|d| d.arrives)
        .min()
        .filter(|at| at.0 <= HORIZON)?;
    Some(Assignment {
        plate: plate.seq,
        printer: making.printer,
        start: Minute(start),
        end: Minute(end),
        cleared: Minute(cleared),
        ready: Minute(ready),
        arrives,
        frozen: false,
    })
}

/// Whether materials can be changed before it and after it.
fn changes(
    region: &Region,
    (others, plan): (&[Plate], &Plan),
    plate: &Plate,
    on: PrinterIx,
    (now, (start, cleared)): (i64, (i64, i64)),
) -> bool {
    let printer = &region.printers[on.0];
    let of = |a: &Assignment| {
        let found = others.iter().find(|plate| plate.seq == a.plate);
        found.map(|plate| plate.material.clone())
    };
    let time = |from: i64, until: i64| {
        let Some((site, there, gone)) = stands(printer, until) else {
            return false;
        };
        let staffed =
            |at: &i64| there <= *at && *at < gone && inside(&region.sites[site.0].staffed, *at);
        let minutes = (from.max(0)..until).filter(staffed).count();
        i64::try_from(minutes).is_ok_and(|minutes| minutes >= printer.change.0)
    };
    let mut here = plan.on(on);
    here.sort_by_key(|a| a.start);
    let before = here.iter().rfind(|a| a.start.0 < start);
    let after = here.iter().find(|a| a.start.0 >= start);
    let (loaded, idle) = match before {
        Some(before) => (of(before), before.cleared.0.max(now)),
        None => (printer.loaded.clone(), now),
    };
    let first = loaded.is_none_or(|m| m == plate.material) || time(idle, start);
    let then = after.is_none_or(|next| {
        of(next).is_none_or(|m| m == plate.material) || time(cleared, next.start.0)
    });
    first && then
}

/// Whether people have hands to start it, and filament lasts, for it and for what starts later.
fn hands_and_filament(
    region: &Region,
    (others, plan): (&[Plate], &Plan),
    plate: &Plate,
    (at, start): (SiteIx, i64),
) -> bool {
    let site = &region.sites[at.0];
    let here = |a: &&Assignment| {
        stands(&region.printers[a.printer.0], a.start.0).is_some_and(|there| there.0 == at)
    };
    let here: Vec<&Assignment> = plan.assignments.iter().filter(here).collect();
    let mut windows = site.staffed.as_slice().iter();
    let window = windows.find(|w| w.from.0 <= start && start < w.until.0);
    let starts = here
        .iter()
        .filter(|a| window.is_some_and(|w| w.from <= a.start && a.start < w.until));
    let hands = site
        .starts_a_window
        .is_none_or(|most| starts.count() < most as usize);
    if !site.stock.iter().any(|s| s.material == plate.material) {
        return hands;
    }
    let lasts = |at: i64| {
        let stock = site.stock.iter();
        let come = stock.filter(|s| s.material == plate.material && s.from.0 <= at);
        let used = here.iter().filter(|a| !a.frozen && a.start.0 <= at);
        let used = used.filter_map(|a| others.iter().find(|p| p.seq == a.plate));
        let used = used.filter(|p| p.material == plate.material);
        used.map(|p| p.grams).sum::<i64>() + plate.grams <= come.map(|s| s.grams).sum()
    };
    hands && (start..=HORIZON).all(lasts)
}

/// Every feasible place from `from` on, one for each start minute and printer.
pub(crate) fn all_places(
    region: &Region,
    known: (&[Plate], &Plan),
    plate: &Plate,
    from: i64,
) -> Vec<Assignment> {
    let starts = from.max(plate.release.0)..=HORIZON;
    let both = plate
        .makings
        .iter()
        .flat_map(|m| starts.clone().map(move |at| (m, at)));
    both.filter_map(|(making, at)| place_at(region, known, plate, making, (from, at)))
        .collect()
}
