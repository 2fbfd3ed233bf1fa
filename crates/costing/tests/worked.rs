//! The worked numbers of the reference sheet, `golden/operations`.

#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_catalogue::{Catalogue, Costs, Material, PrinterClass};
use partpledge_costing::{Job, cost, hours_per_good, per_good, temperature_wh, wear_per_h};
use partpledge_units::tolerance::close;

const COST: &str = include_str!("../../../golden/operations/cost.csv");
const ENERGY: &str = include_str!("../../../golden/operations/energy.csv");

fn worked(name: &str) -> f64 {
    let row = COST
        .lines()
        .find_map(|line| line.strip_prefix(name)?.strip_prefix(','));
    row.unwrap().parse().unwrap()
}

/// The example's prices in ten-thousandths, so that no digit of it is rounded away: of a currency that has
/// those.
fn prices(first_pass: f64, lost_share: f64) -> Costs {
    let text = format!(
        "currency = \"CLF\"\ndecimals = 4\nelectricity_per_kwh = 1600\nlabour_per_h = 200000\n\
         labour_min_per_plate = 12.0\npurge_share = 0.05\nfirst_pass_share = {first_pass}\n\
         lost_share = {lost_share}\nspool_margin_g = 0.0\n\
         [[filament]]\nmaterial = \"PLA\"\nprice_per_kg = 220000\n\
         [[machine]]\nclass = \"standard\"\nprice = 6000000\nsalvage = 500000\nyears = 4.0\n\
         use_share = 0.35\nupkeep_per_year = 1200000\n"
    );
    Costs::parse(&text, &only(&Catalogue::built_in())).unwrap()
}

fn only(all: &Catalogue) -> Catalogue {
    Catalogue {
        materials: vec![all.material("PLA").unwrap().clone()],
        sheets: Vec::new(),
        classes: vec![all.class("standard").unwrap().clone()],
    }
}

/// A class that takes 0.9 kWh in 7.5 h by the share of its rated power.
fn printer() -> (PrinterClass, Material) {
    let all = Catalogue::built_in();
    let mut class = all.class("standard").unwrap().clone();
    class.rated_power_w = 120.0 / 0.431;
    (class, all.material("PLA").unwrap().clone())
}

#[test]
fn an_hour_on_the_printer_of_the_example() {
    let wear = wear_per_h(prices(0.9, 1.0).machine("standard").unwrap());
    assert!(
        close(wear / 10_000.0, worked("wear_per_h"), 1e-12, 0.0),
        "{wear}"
    );
    assert!(close(8760.0 * 0.35, worked("hours_per_year"), 1e-12, 0.0));
}

#[test]
fn every_line_of_the_example_and_its_total() {
    let (class, pla) = printer();
    let job = Job {
        mass_g: 120.0,
        time_s: [27_000.0; 2],
        copies: 1,
    };
    let found = cost(&job, &class, &pla, &prices(0.9, 1.0)).unwrap();
    // 0.9 kWh is the greater of the two models here; hundredths of a cent are whole, so half of
    // one is the tolerance.
    let is = |minor: i64, name: &str| {
        let got = partpledge_units::cast::int_f64(minor) / 10_000.0;
        assert!(close(got, worked(name), 0.0, 0.000_051), "{name}: {got}");
    };
    is(found.filament.minor, "filament");
    is(found.energy[1].minor, "energy");
    is(found.wear[1].minor, "wear");
    is(found.labour.minor, "labour");
    is(found.total[1].minor, "total");
    is(found.per_good_part[1].minor, "per_good_all_lost");
    assert!(
        found.total[0].minor < found.total[1].minor,
        "the models differ"
    );
}

#[test]
fn a_print_that_fails_half_way_loses_half_but_all_of_the_labour() {
    let (class, pla) = printer();
    let job = Job {
        mass_g: 120.0,
        time_s: [27_000.0; 2],
        copies: 4,
    };
    let found = cost(&job, &class, &pla, &prices(0.9, 0.5)).unwrap();
    let (labour, total) = (worked("labour"), worked("total"));
    let want = ((total - labour) * (1.0 + 0.5 / 9.0) + labour / 0.9) / 4.0;
    let got = partpledge_units::cast::int_f64(found.per_good_part[1].minor) / 10_000.0;
    assert!(close(got, want, 0.0, 0.000_051), "{got} {want}");
}

#[test]
fn hours_for_each_good_part_count_half_of_a_failing_print() {
    assert!(close(
        hours_per_good(7.5, 0.9),
        worked("hours_per_good_mid_fail"),
        1e-12,
        0.0
    ));
    assert!(close(
        per_good(worked("total"), 0.9, 1.0),
        worked("per_good_all_lost"),
        1e-12,
        0.0
    ));
}

#[test]
fn an_hour_of_heat_by_the_temperatures() {
    let mut rows = 0;
    for line in ENERGY.lines().skip(1) {
        let row: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        assert!(
            close(temperature_wh(row[0], row[1], 3600.0), row[2], 1e-12, 0.0),
            "{line}"
        );
        rows += 1;
    }
    assert_eq!(rows, 5);
    assert!(
        temperature_wh(200.0, 60.0, 60.0).abs() < 1e-12,
        "a minute can't give energy back"
    );
}

#[test]
fn a_job_without_copies_or_with_a_time_that_falls_has_no_cost() {
    let (class, pla) = printer();
    for job in [
        Job {
            mass_g: 1.0,
            time_s: [1.0, 2.0],
            copies: 0,
        },
        Job {
            mass_g: 1.0,
            time_s: [2.0, 1.0],
            copies: 1,
        },
        Job {
            mass_g: f64::NAN,
            time_s: [1.0, 2.0],
            copies: 1,
        },
    ] {
        assert!(
            cost(&job, &class, &pla, &Costs::built_in()).is_err(),
            "{job:?}"
        );
    }
}
