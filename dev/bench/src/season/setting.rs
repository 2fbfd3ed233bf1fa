//! The demo region with invented requests, as a season is played on it.

use partpledge_catalogue::{Catalogue, RegionFile};
use partpledge_planning::Way;
use partpledge_planning_model::{Footprint, Making, PlaceIx, Plate, PlateSeq, PrinterIx, SiteIx};
use partpledge_season::{AFTER_SCHOOL, Setting, Shared};
use partpledge_units::cast::ceil_i64;
use partpledge_units::local::{Zone, parse_clock, parse_date};
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::terrain::Terrain;

/// First day of the season, after the winter holiday; the half-term week begins after the last.
const FIRST_DAY: &str = "2027-01-07";
/// Days of requests: six weeks.
const DAYS: i64 = 42;
/// Calendars go on so long after the last request.
const TAIL_DAYS: i64 = 28;
/// Most minutes that a request's copies take before it is worth putting them on two plates.
const ONE_PLATE_MIN: i64 = 150;

/// A standard printer warms up so long. Invented.
const WARM_UP_MIN: i64 = 8;

/// How plates are shared where they are: the warm-up of the fastest class is saved, a host has as long
/// for a plate as in the workshop, and worlds are as many as there.
pub(super) const SHARED: Shared = Shared {
    warm_up: Minutes(5),
    prepare: partpledge_workshop::pledging::PREPARE,
    worlds: partpledge_workshop::pledging::WORLDS,
};

/// Material, minutes on a standard printer, size in mm, how many of 20 requests. Invented.
const KINDS: [(&str, i64, f64, usize); 10] = [
    ("PLA", 45, 60.0, 3),
    ("PLA", 95, 90.0, 3),
    ("PLA", 190, 120.0, 3),
    ("PLA", 420, 140.0, 2),
    ("PETG", 60, 70.0, 2),
    ("PETG", 150, 100.0, 2),
    ("PETG", 310, 150.0, 2),
    ("PETG", 640, 180.0, 1),
    ("TPU", 140, 80.0, 1),
    ("ASA", 180, 110.0, 1),
];

/// The same of a region that is asked for small parts only. Invented.
const SMALL_KINDS: [(&str, i64, f64, usize); 5] = [
    ("PLA", 20, 40.0, 6),
    ("PLA", 30, 50.0, 5),
    ("PLA", 50, 65.0, 4),
    ("PETG", 25, 45.0, 3),
    ("PETG", 45, 60.0, 2),
];

/// Time of a class over that of a standard printer. Invented, in the order of their speeds.
fn pace(class: &str) -> f64 {
    match class {
        "compact" => 1.25,
        "swift" => 0.65,
        "roomy" => 0.95,
        "warm" => 0.9,
        _ => 1.0,
    }
}

/// The same with small parts only: there many fit on a plate that is planned.
pub(super) fn of_small_parts(a_day: f64) -> Result<Setting, String> {
    region(a_day, &SMALL_KINDS)
}

/// The Ambrel Valley for six weeks before its meetings.
pub(crate) fn demo(a_day: f64) -> Result<Setting, String> {
    region(a_day, &KINDS)
}

fn region(a_day: f64, asked: &[(&str, i64, f64, usize)]) -> Result<Setting, String> {
    let catalogue = Catalogue::built_in();
    let file = RegionFile::parse(partpledge_testbed::ambrel_valley(), &catalogue)
        .map_err(|error| error.to_string())?;
    let zone = Zone::named(&file.zone).map_err(|error| error.to_string())?;
    let first = parse_date(FIRST_DAY).map_err(|error| error.to_string())?;
    let midnight = parse_clock("00:00").map_err(|error| error.to_string())?;
    let from = zone.minute(first, midnight);
    let until = from + Minutes((DAYS + TAIL_DAYS) * 1_440);
    let terrain =
        Terrain::covering(file, &catalogue, from, until).map_err(|error| error.to_string())?;
    let place = |school: &str| {
        let found = terrain.file.schools.iter().position(|s| s.code == school);
        found
            .map(PlaceIx)
            .ok_or_else(|| format!("no school {school}"))
    };
    let teams = terrain.file.teams.iter().map(|team| place(&team.school));
    Ok(Setting {
        teams: teams.collect::<Result<_, _>>()?,
        kinds: kinds(&terrain, asked),
        classes: terrain.classes.clone(),
        region: terrain.region,
        a_day,
        by_hour: AFTER_SCHOOL,
        levels: vec![0.70, 0.90, 0.97],
        from,
        days: DAYS,
        shared: None,
    })
}

fn kinds(terrain: &Terrain, asked: &[(&str, i64, f64, usize)]) -> Vec<Vec<Way>> {
    let mut out = Vec::new();
    for &(material, minutes, size_mm, weight) in asked {
        let mut ways = vec![way(terrain, material, minutes, size_mm, 1)];
        if minutes > ONE_PLATE_MIN {
            ways.push(way(terrain, material, minutes, size_mm, 2));
        }
        if minutes > 2 * ONE_PLATE_MIN {
            ways.push(way(terrain, material, minutes, size_mm, 4));
        }
        out.extend(std::iter::repeat_n(ways, weight));
    }
    out
}

fn way(terrain: &Terrain, material: &str, minutes: i64, size_mm: f64, plates: i64) -> Way {
    // Each plate warms up again; fewer copies need less room.
    let each = minutes / plates + WARM_UP_MIN;
    let size_mm = size_mm / (plates as f64).sqrt();
    let makings = (terrain
        .region
        .printers
        .iter()
        .zip(&terrain.classes)
        .enumerate())
    .filter(|(_, (printer, _))| printer.materials.iter().any(|code| code == material))
    .map(|(i, (_, class))| {
        let worked_out = ceil_i64(each as f64 * pace(class)).unwrap_or(each);
        Making::new(
            PrinterIx(i),
            Footprint([size_mm, size_mm, size_mm]),
            Minutes(worked_out),
            Minutes(worked_out),
        )
    });
    let makings: Vec<Making> = makings.collect();
    let plate = |seq| Plate {
        seq: PlateSeq(seq),
        label: format!("{minutes} min of {material}"),
        material: material.to_owned(),
        makings: makings.clone(),
        release: Minute(0),
        to: PlaceIx(0),
        copies: 1,
        promise: None,
        grams: minutes / 6,
        wish: partpledge_planning_model::Wish::default(),
        riders: Vec::new(),
    };
    Way {
        label: format!("{plates} plates"),
        plates: (0..plates.unsigned_abs()).map(plate).collect(),
    }
}

/// The demo region made larger: so many printers, more of the same, at the same hosts.
pub(crate) fn larger(setting: &mut Setting, printers: usize) {
    let have = setting.region.printers.len();
    for i in have..printers {
        let like = i % have;
        let mut printer = setting.region.printers[like].clone();
        printer.name = format!("{} {}", printer.name, i / have + 1);
        printer.site = SiteIx(printer.site.0);
        setting.region.printers.push(printer);
        setting.classes.push(setting.classes[like].clone());
        let plates = setting
            .kinds
            .iter_mut()
            .flatten()
            .flat_map(|way| &mut way.plates);
        for plate in plates {
            let known = plate.makings.iter().find(|m| m.printer.0 == like).copied();
            let more = known.map(|making| Making {
                printer: PrinterIx(i),
                ..making
            });
            plate.makings.extend(more);
        }
    }
}
