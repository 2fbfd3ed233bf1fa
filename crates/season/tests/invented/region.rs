//! An invented region: 9 sites, 36 printers, 40 places, weekly hours, couriers and meetings.
//! Minute 0 is taken for a Monday, 00:00.

use partpledge_planning::Way;
use partpledge_planning_model::{
    Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plate, PlateSeq, Printer,
    PrinterIx, Region, Site, SiteIx, Window, Windows, Wish,
};
use partpledge_units::cast::ceil_i64;
use partpledge_units::time::{Minute, Minutes};

const DAY: i64 = 1_440;
const HOUR: i64 = 60;
const SITES: usize = 9;
const PLACES: usize = 40;
/// Weeks that the calendars cover.
const WEEKS: i64 = 6;
/// Standard normal value that one run in ten exceeds.
const NINE_IN_TEN: f64 = 1.281_55;

/// How often runs are lost and how much times spread.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frailty {
    pub(crate) start_failure: f64,
    pub(crate) failures_per_hour: f64,
    pub(crate) time_sigma: f64,
}

/// The region with printers that are all as frail as that.
pub(crate) fn region(frailty: Frailty) -> Region {
    Region {
        sites: (0..SITES).map(site).collect(),
        printers: (0..SITES * 4).map(|i| printer(i, frailty)).collect(),
        places: (0..PLACES)
            .map(|i| Place {
                name: format!("Place {i}"),
            })
            .collect(),
        legs: (0..SITES)
            .flat_map(|from| (0..PLACES).flat_map(move |to| legs(from, to)))
            .collect(),
        relays: Vec::new(),
        horizon: Some(Minute(WEEKS * 7 * DAY)),
    }
}

fn weekdays() -> impl Iterator<Item = i64> {
    (0..WEEKS * 7).filter(|day| day % 7 < 5)
}

fn site(i: usize) -> Site {
    let window = |day: i64, from: i64, until: i64| Window {
        from: Minute(day * DAY + from),
        until: Minute(day * DAY + until),
    };
    let mut open = Vec::new();
    for day in weekdays() {
        let late = if i.is_multiple_of(3) { 17 } else { 15 };
        open.push(window(day, 8 * HOUR, late * HOUR + 30));
        if i % 4 == 1 && day % 7 != 4 {
            open.push(window(day, 18 * HOUR, 20 * HOUR));
        }
    }
    // One site is shut on Wednesdays, another has a closed day in the second week.
    let shut = match i {
        2 => (0..WEEKS).map(|w| window(w * 7 + 2, 0, DAY)).collect(),
        5 => vec![window(8, 0, DAY)],
        _ => Vec::new(),
    };
    Site {
        name: format!("Site {i}"),
        staffed: Windows::joined(open).without(&Windows::joined(shut)),
        boxing: Minutes(20),
        ..Site::default()
    }
}

fn printer(i: usize, frailty: Frailty) -> Printer {
    let bed = [150.0, 220.0, 220.0, 300.0][i % 4];
    let materials: &[&str] = match i % 4 {
        0 => &["PLA"],
        1 | 2 => &["PLA", "PETG"],
        _ => &["PLA", "PETG", "ASA"],
    };
    Printer {
        name: format!("Printer {i}"),
        site: SiteIx(i / 4),
        bed_mm: [bed, bed, bed],
        materials: materials.iter().map(|&code| code.to_owned()).collect(),
        unattended: i % 4 >= 2 && i / 4 != 4,
        out_of_use: match i {
            7 => Windows::joined(vec![Window {
                from: Minute(3 * DAY),
                until: Minute(6 * DAY),
            }]),
            _ => Windows::default(),
        },
        start_failure: frailty.start_failure,
        failures_per_hour: frailty.failures_per_hour,
        time_sigma: frailty.time_sigma,
        ..Printer::default()
    }
}

/// Over the counter at the site's own school; a courier on some days of the week; meetings.
fn legs(from: usize, to: usize) -> Vec<Leg> {
    let leg = |kind, departures| Leg {
        from: SiteIx(from),
        to: PlaceIx(to),
        kind,
        departures,
        missed: 0.0,
    };
    let at = |day: i64, minute: i64| Minute(day * DAY + minute);
    if from == to {
        let quarters = weekdays().flat_map(|day| (32..62).map(move |q| at(day, q * 15)));
        let counter = quarters.map(|minute| Departure {
            leaves: minute,
            arrives: minute,
        });
        return vec![leg(LegKind::Counter, counter.collect())];
    }
    let rounds = weekdays().filter(|day| (day + i64::try_from(from + to).unwrap_or(0)) % 2 == 0);
    let courier = rounds.map(|day| Departure {
        leaves: at(day, 15 * HOUR),
        arrives: at(day + if day % 7 == 4 { 3 } else { 1 }, 8 * HOUR + 30),
    });
    let meetings = (0..WEEKS).map(|week| Departure {
        leaves: at(week * 7 + 4, 15 * HOUR),
        arrives: at(week * 7 + 5, 10 * HOUR),
    });
    vec![
        leg(LegKind::Courier, courier.collect()),
        leg(LegKind::Meeting, meetings.collect()),
    ]
}

/// Kinds of requests: small, middle and large parts in three materials.
pub(crate) fn kinds(region: &Region) -> Vec<Vec<Way>> {
    let mut out = Vec::new();
    for (material, minutes) in [
        ("PLA", 50),
        ("PLA", 150),
        ("PLA", 400),
        ("PETG", 90),
        ("PETG", 260),
        ("PETG", 700),
        ("ASA", 200),
    ] {
        let mut ways = vec![way(region, material, minutes, 1)];
        if minutes >= 150 {
            ways.push(way(region, material, minutes, 2));
        }
        if minutes >= 400 {
            ways.push(way(region, material, minutes, 4));
        }
        out.push(ways);
    }
    out
}

fn way(region: &Region, material: &str, minutes: i64, plates: i64) -> Way {
    // Each plate warms up again.
    let each = minutes / plates + 8;
    let size = 90.0 + minutes as f64 / plates as f64 / 4.0;
    let plate = |seq| Plate {
        seq: PlateSeq(seq),
        label: format!("{minutes} min of {material}"),
        material: material.to_owned(),
        makings: makings(region, each, size),
        release: Minute(0),
        to: PlaceIx(0),
        copies: 1,
        promise: None,
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
    };
    Way {
        label: format!("{plates} plates"),
        plates: (0..plates.unsigned_abs()).map(plate).collect(),
    }
}

fn makings(region: &Region, minutes: i64, size: f64) -> Vec<Making> {
    let made = |(i, printer): (usize, &Printer)| {
        // The last of each four is a fast one.
        let nominal = if i % 4 == 3 { minutes * 2 / 3 } else { minutes };
        let kept = nominal as f64 * (NINE_IN_TEN * printer.time_sigma).exp();
        Making::new(
            PrinterIx(i),
            Footprint([size, size, 60.0]),
            Minutes(nominal),
            Minutes(ceil_i64(kept).unwrap_or(nominal)),
        )
    };
    region.printers.iter().enumerate().map(made).collect()
}
