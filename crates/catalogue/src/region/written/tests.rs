//! What a whole region file must have, and how its errors read.

use super::*;
use crate::Costs;
use crate::region::sample;

fn catalogue() -> Catalogue {
    Catalogue::built_in()
}

/// The sample with something else in it; what is wrong then, with the text of its line.
fn wrong_with(from: &str, to: &str) -> Vec<(String, String, String)> {
    let text = sample("2027-03-09");
    assert!(
        text.contains(from),
        "the test edits text that is gone: {from}"
    );
    let text = text.replacen(from, to, 1);
    let wrong = written(&text, &catalogue()).unwrap_err();
    let line = |one: Wrong| {
        let there = text.lines().nth(one.line - 1).unwrap_or_default();
        (there.to_owned(), one.field, one.what_to_do)
    };
    wrong.into_iter().map(line).collect()
}

/// That there is one thing wrong, in a line that has this, of this field.
fn one(from: &str, to: &str, (line, field): (&str, &str)) {
    let wrong = wrong_with(from, to);
    let [(there, named, what_to_do)] = wrong.as_slice() else {
        panic!("{to}: {wrong:?}");
    };
    assert!(there.contains(line), "{to}: {there}");
    assert_eq!(named, field, "{to}");
    assert!(what_to_do.ends_with('.'), "{what_to_do}");
}

#[test]
fn the_sample_is_in_order_with_all_that_it_leaves_out_too() {
    let text = sample("2027-03-09");
    let file = written(&text, &catalogue()).unwrap();
    assert_eq!(file.season_ends.as_deref(), Some("2027-06-30"));
    let costs = Costs::of(&file, &catalogue()).unwrap();
    assert!(costs.are_examples, "nobody has put their own");
    assert!(text.contains("EXAMPLES"), "and it says so");
    let all = written(&text.replace("#- ", ""), &catalogue()).unwrap();
    assert_eq!((all.relays.len(), all.events.len()), (1, 1));
    assert!(all.origin.is_some() && all.hosts[0].student_run);
    // A season that begins after the summer ends in the next year.
    let autumn = written(&sample("2027-09-01"), &catalogue()).unwrap();
    assert_eq!(autumn.season_ends.as_deref(), Some("2028-06-30"));
    assert_eq!(autumn.closures[0].from, "2027-12-21");
}

#[test]
fn own_prices_are_the_regions_and_kept_when_the_file_is_written_again() {
    let text = sample("2027-03-09").replace("price_per_kg = 2200", "price_per_kg = 1999");
    let file = written(&text, &catalogue()).unwrap();
    let again = RegionFile::parse(&file.to_toml().unwrap(), &catalogue()).unwrap();
    assert_eq!(again, file);
    let costs = Costs::of(&again, &catalogue()).unwrap();
    assert_eq!(costs.price_per_kg("PLA"), Some(1999.0));
    assert!(!costs.are_examples);
}

#[test]
fn what_is_wrong_is_named_by_line_and_field() {
    let bad_zone = "zone = \"Here/There\"";
    one("zone = \"Europe/Stockholm\"", bad_zone, (bad_zone, "zone"));
    one(
        "currency = \"EUR\"",
        "currency = \"euro\"",
        ("euro", "currency"),
    );
    let day = "season_ends = \"30 June\"";
    one("season_ends = \"2027-06-30\"", day, (day, "season_ends"));
    one(
        "to = \"2027-01-06\"",
        "to = \"2026-12-01\"",
        ("2026-12-01", "closures.to"),
    );
    one("x_km = 4.0", "x_km = nan", ("nan", "schools.x_km"));
    one(
        "school = \"willow-college\"",
        "school = \"willow\"",
        ("\"willow\"", "teams.school"),
    );
    one(
        "name = \"Willow Works\"",
        "name = \"Printer 1\"",
        ("Printer 1", "printers.name"),
    );
    one("fri 08:15-14:00", "fri 8-14", ("fri 8-14", "hosts.hours"));
    one(
        "class = \"compact\"",
        "class = \"cube\"",
        ("cube", "printers.class"),
    );
    one("[\"PLA\"]", "[\"ASA\"]", ("ASA", "printers.materials"));
    one(
        "collects = \"15:30\"",
        "collects = \"late\"",
        ("late", "couriers.collects"),
    );
    one(
        "open_grams = 5000",
        "open_grams = 0",
        ("open_grams", "limits.open_grams"),
    );
    one(
        "tell_after_hours = 24",
        "tell_after_hours = 999",
        ("999", "undecided.tell_after_hours"),
    );
}

#[test]
fn what_is_wrong_with_prices_is_named_by_line_and_field() {
    one(
        "currency = \"EUR\"",
        "currency = \"JPY\"",
        ("decimals = 2", "prices.decimals"),
    );
    one(
        "purge_share = 0.05",
        "purge_share = 5.0",
        ("5.0", "prices.purge_share"),
    );
    one(
        "lead_days = 10.0",
        "lead_days = -1.0",
        ("-1.0", "prices.stock.lead_days"),
    );
    one(
        "salvage = 2000",
        "salvage = 25001",
        ("25001", "prices.machine.salvage"),
    );
    one(
        "material = \"ASA\"",
        "material = \"WAX\"",
        ("[prices]", "prices"),
    );
    one(
        "material = \"TPU\"",
        "material = \"PLA\"",
        ("PLA", "prices.filament.material"),
    );
}

#[test]
fn what_is_no_region_file_is_named_by_its_line() {
    for (from, to, says) in [
        ("league = ", "leage = ", "leage"),
        ("[[teams]]", "[[team]]", "team"),
        ("x_km = 4.0", "x_km = \"4\"", "x_km"),
        ("name = \"Reedmere\"", "name = \"Reedmere", "name"),
        (
            "price_per_kg = 2400",
            "price_per_kg = 24.00",
            "price_per_kg",
        ),
    ] {
        let wrong = wrong_with(from, to);
        assert!(wrong.len() == 1 && wrong[0].0.contains(says), "{wrong:?}");
    }
    let missing = wrong_with("zone = \"Europe/Stockholm\"", "");
    assert!(missing[0].2.contains("zone"), "{missing:?}");
}

#[test]
fn all_that_is_wrong_is_told_at_once_in_order_of_lines() {
    let text = sample("2027-03-09");
    let text = text.replace("boxing_min = 20", "boxing_min = -1");
    let text = text.replace("y_km = -2.5", "y_km = inf");
    let text = text.replace("days = \"mon-fri\"", "days = \"daily\"");
    let wrong = written(&text, &catalogue()).unwrap_err();
    let fields: Vec<&str> = wrong.iter().map(|one| one.field.as_str()).collect();
    assert_eq!(
        fields,
        ["schools.y_km", "hosts.boxing_min", "couriers.days"]
    );
}

#[test]
fn a_rule_of_the_whole_is_told_where_it_is_broken() {
    let to = "boxing_min = 20\nspares_on = \"2027-03-13\"";
    one("boxing_min = 20", to, ("spares_on", "hosts.spares_on"));
}
