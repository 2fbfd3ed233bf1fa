//! What a region file may say, and what not.

use super::*;
use crate::Catalogue;

const GOOD: &str = r#"
name = "Fenmarch"
league = "Fenmarch League"
zone = "Europe/Stockholm"
currency = "EUR"
schools = [{ code = "alder", name = "Alder School", x_km = 0.0, y_km = 0.0 }]
teams = [{ name = "Alder Axles", school = "alder" }]
hosts = [{ school = "alder", bench = "room 1", hours = ["mon-fri 08:15-17:30"], boxing_min = 10 }]
couriers = [{ name = "round", days = "mon-fri", collects = "15:30", delivers = "08:30", rounds_later = 1, hosts = ["alder"] }]
[[printers]]
name = "Wren"
host = "alder"
class = "standard"
materials = ["PLA"]
start_failure = 0.04
failures_per_hour = 0.01
time_sigma = 0.06
"#;

fn with(old: &str, new: &str) -> Result<RegionFile, RegionFileError> {
    assert!(GOOD.contains(old), "{old}");
    RegionFile::parse(&GOOD.replace(old, new), &Catalogue::built_in())
}

#[test]
fn a_region_says_what_it_looks_at_and_how_much_a_team_may_ask_for() {
    let file = with("EUR", "EUR").unwrap();
    assert_eq!(file.review, ReviewMode::Guessed, "unless it says so");
    assert!(file.limits.mentors_may_exceed && file.limits.open_requests >= 20);
    let say = |text: &str| with("currency = \"EUR\"", &format!("currency = \"EUR\"\n{text}"));
    let all = say("review = \"all\"\ntrusted_teams = [\"Alder Axles\"]\nlimits = { copies = 5 }");
    let all = all.unwrap();
    assert_eq!((all.review, all.limits.copies), (ReviewMode::All, 5));
    assert_eq!(all.limits.open_grams, Limits::default().open_grams);
    assert_eq!(
        file.wrong_unit_is_paid_by,
        PaidBy::Team,
        "unless it says so"
    );
    let region = say("wrong_unit_is_paid_by = \"region\"").unwrap();
    assert_eq!(region.wrong_unit_is_paid_by, PaidBy::Region);
    let host = say("wrong_unit_is_paid_by = \"host\"");
    assert!(matches!(host, Err(RegionFileError::BadFile(_))));
    assert!(matches!(
        say("trusted_teams = [\"Elm Elks\"]"),
        Err(RegionFileError::Unknown { what, .. }) if what == "Elm Elks"
    ));
    assert!(matches!(
        say("limits = { open_grams = 0 }"),
        Err(RegionFileError::OutOfRange {
            what: "open_grams",
            ..
        })
    ));
    let waits = say("undecided = { close_after_days = 2 }")
        .unwrap()
        .undecided;
    assert_eq!((waits.tell_after_hours, waits.close_after_days), (24, 2));
    for wrong in [
        "{ close_after_days = 0 }",
        "{ close_after_days = 367 }",
        "{ tell_after_hours = 0 }",
        "{ tell_after_hours = 25, close_after_days = 1 }",
    ] {
        let read = say(&format!("undecided = {wrong}"));
        assert!(
            matches!(read, Err(RegionFileError::OutOfRange { ref who, .. }) if who == "undecided"),
            "{wrong}: {read:?}"
        );
    }
    assert!(matches!(
        say("review = \"some\""),
        Err(RegionFileError::BadFile(_))
    ));
}

#[test]
fn a_relay_joins_schools_that_are_there() {
    let relay = |to: &str, more: &str| {
        let text = format!(
            "currency = \"EUR\"\nrelays = [{{ name = \"ferry\", from = \"alder\", to = \"{to}\", days = \"mon-fri\", leaves = \"16:10\", arrives = \"16:40\"{more} }}]"
        );
        with("currency = \"EUR\"", &text)
    };
    assert_eq!(relay("alder", "").unwrap().relays[0].handling_min, 15);
    assert!(matches!(
        relay("birch", ""),
        Err(RegionFileError::Unknown { .. })
    ));
    let never = relay("alder", ", handling_min = -1");
    assert!(matches!(never, Err(RegionFileError::OutOfRange { .. })));
    // A ride that arrives before it leaves: each of its departures would be left out.
    let back = with(
        "currency = \"EUR\"",
        "currency = \"EUR\"\nrelays = [{ name = \"ferry\", from = \"alder\", to = \"alder\", days = \"mon-fri\", leaves = \"16:40\", arrives = \"16:10\" }]",
    );
    let of = RegionFileError::OutOfRange {
        who: "ferry".to_owned(),
        what: "arrives",
    };
    assert_eq!(back, Err(of));
    let delivers = with(
        "hosts = [\"alder\"] }]",
        "hosts = [\"alder\"], schools = [\"birch\"] }]",
    );
    assert!(matches!(delivers, Err(RegionFileError::Unknown { .. })));
}

#[test]
fn a_region_in_order_is_read_and_nothing_runs_alone_unless_a_paper_says_so() {
    let region = with("Fenmarch", "Fenmarch").unwrap();
    assert_eq!(region.school("alder").unwrap().name, "Alder School");
    assert_eq!(region.printers[0].unattended_permission, None);
}

#[test]
fn each_broken_rule_is_named_with_what_breaks_it() {
    let unknown = |who: &str, what: &str| {
        Err(RegionFileError::Unknown {
            who: who.to_owned(),
            what: what.to_owned(),
        })
    };
    let cases = [
        (
            with("host = \"alder\"", "host = \"elm\""),
            unknown("Wren", "elm"),
        ),
        (
            with("class = \"standard\"", "class = \"vast\""),
            unknown("Wren", "vast"),
        ),
        (
            with("hosts = [\"alder\"]", "hosts = [\"elm\"]"),
            unknown("round", "elm"),
        ),
        (
            with("Axles\", school = \"alder\"", "Axles\", school = \"elm\""),
            unknown("Alder Axles", "elm"),
        ),
    ];
    for (got, want) in cases {
        assert_eq!(got, want);
    }
    let out = |what| move |e: &RegionFileError| matches!(e, RegionFileError::OutOfRange { what: w, .. } if *w == what);
    assert!(out("start_failure")(
        &with("start_failure = 0.04", "start_failure = 4.0").unwrap_err()
    ));
    assert!(out("failures_per_hour")(
        &with("failures_per_hour = 0.01", "failures_per_hour = nan").unwrap_err()
    ));
    assert!(out("no_show")(
        &with("boxing_min = 10", "boxing_min = 10, no_show = 0.6").unwrap_err()
    ));
    assert!(out("missed")(
        &with("rounds_later = 1", "rounds_later = 1, missed = nan").unwrap_err()
    ));
    assert!(out("boxing_min")(
        &with("boxing_min = 10", "boxing_min = -1").unwrap_err()
    ));
    assert_eq!(
        with("mon-fri 08", "fri-mon 08"),
        Err(RegionFileError::BadHours("fri-mon".to_owned()))
    );
    assert!(matches!(
        with("[\"PLA\"]", "[\"ASA\"]"),
        Err(RegionFileError::NotTaken { .. })
    ));
    assert!(matches!(
        with("currency", "coins"),
        Err(RegionFileError::BadFile(_))
    ));
    let twice = with(
        "teams = [",
        "teams = [{ name = \"Wren\", school = \"alder\" }, ",
    );
    assert_eq!(twice, Err(RegionFileError::Twice("Wren".to_owned())));
}

#[test]
fn hands_and_stays_are_read_and_must_be_in_order() {
    let printer = |stays: &str| with("time_sigma = 0.06", &format!("time_sigma = 0.06\n{stays}"));
    let stay = |host: &str, from: &str, to: &str| {
        format!("[[printers.stays]]\nhost = \"{host}\"\nfrom = \"{from}\"\nto = \"{to}\"\n")
    };
    let two =
        stay("alder", "2027-02-01", "2027-02-05") + &stay("alder", "2027-02-08", "2027-02-12");
    assert_eq!(printer(&two).unwrap().printers[0].stays.len(), 2);
    let overlap =
        stay("alder", "2027-02-01", "2027-02-05") + &stay("alder", "2027-02-05", "2027-02-12");
    let out_of_range = |who: &str, what| {
        Err(RegionFileError::OutOfRange {
            who: who.to_owned(),
            what,
        })
    };
    assert_eq!(printer(&overlap), out_of_range("Wren", "stays"));
    let backward = stay("alder", "2027-02-05", "2027-02-01");
    assert_eq!(printer(&backward), out_of_range("Wren", "stays"));
    let nowhere = printer(&stay("elm", "2027-02-01", "2027-02-05"));
    assert!(matches!(nowhere, Err(RegionFileError::Unknown { what, .. }) if what == "elm"));
    let hands = |n: u32| {
        with(
            "boxing_min = 10",
            &format!("boxing_min = 10, starts_a_window = {n}"),
        )
    };
    assert_eq!(hands(3).unwrap().hosts[0].starts_a_window, Some(3));
    assert_eq!(hands(0), out_of_range("room 1", "starts_a_window"));
}
