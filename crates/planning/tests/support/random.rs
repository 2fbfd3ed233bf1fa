//! Random small regions and plates, and the slow truth: every rule asked minute by minute.

use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Region, Site, SiteIx, Window, Windows,
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
        materials: vec!["PLA".into()],
        unattended,
        out_of_use,
        start_failure: 0.1,
        failures_per_hour: 0.05,
        time_sigma: 0.1,
    }
}

/// Sites with random hours, printers, and legs that may overtake each other.
pub(crate) fn region() -> impl Strategy<Value = Region> {
    let sites = vec((windows(9, 80), 0..20_i64), 1..4);
    let printers = vec((0..9_usize, any::<bool>(), windows(3, 40)), 1..5);
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
                .map(|(site, unattended, out)| printer(site % many, unattended, out))
                .collect(),
            legs: legs
                .into_iter()
                .map(|(from, to, list)| leg(from % many, to, list))
                .chain((0..many).map(counter))
                .collect(),
            sites: sites
                .into_iter()
                .map(|(staffed, boxing)| Site {
                    name: "Site".into(),
                    staffed,
                    boxing: Minutes(boxing),
                    no_show: 0.0,
                })
                .collect(),
            places: ["here", "there"]
                .map(|name| Place { name: name.into() })
                .into(),
            horizon: Some(Minute(HORIZON)),
        }
    })
}

/// Times and size on each printer, release, place.
type Drawn = (Vec<(i64, i64, i32)>, i64, usize);

/// Plates with a making on every printer, each with its own time there; some are too large.
pub(crate) fn plates(printers: usize) -> impl Strategy<Value = Vec<Plate>> {
    let times = vec((1..70_i64, 0..8_i64, 150..210_i32), printers);
    vec((times, 0..HORIZON / 3, 0..2_usize), 1..9).prop_map(|list| {
        let plate = |(seq, (times, release, to)): (u64, Drawn)| Plate {
            seq: PlateSeq(seq),
            label: "part".into(),
            material: "PLA".into(),
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

/// The place that starts at `start`, if every rule allows it, asked minute by minute.
pub(crate) fn place_at(
    region: &Region,
    plan: &Plan,
    plate: &Plate,
    making: &Making,
    start: i64,
) -> Option<Assignment> {
    let printer = &region.printers[making.printer.0];
    let site = &region.sites[printer.site.0];
    let [x, y, z] = making.footprint.0;
    let [bed_x, bed_y, bed_z] = printer.bed_mm;
    let lies = (x <= bed_x && y <= bed_y) || (y <= bed_x && x <= bed_y);
    let end = start + making.reserved.0;
    let may_run = |at| printer.unattended || inside(&site.staffed, at);
    let runs = (start..end).all(|at| may_run(at) && !inside(&printer.out_of_use, at));
    if !lies || z > bed_z || !inside(&site.staffed, start) || !runs {
        return None;
    }
    let cleared = (end..=HORIZON).find(|&at| inside(&site.staffed, at))?;
    let mut others = plan
        .assignments
        .iter()
        .filter(|a| a.printer == making.printer);
    if !others.all(|other| cleared <= other.start.0 || other.cleared.0 <= start) {
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
        .filter(|l| l.from == printer.site && l.to == plate.to);
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

/// Every feasible place from `from` on, one for each start minute and printer.
pub(crate) fn all_places(
    region: &Region,
    plan: &Plan,
    plate: &Plate,
    from: i64,
) -> Vec<Assignment> {
    let starts = from.max(plate.release.0)..=HORIZON;
    let both = plate
        .makings
        .iter()
        .flat_map(|m| starts.clone().map(move |at| (m, at)));
    both.filter_map(|(making, at)| place_at(region, plan, plate, making, at))
        .collect()
}
