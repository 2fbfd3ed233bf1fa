//! Random plans made naively, minute by minute, keep every rule; one number changed breaks one.

use partpledge_plan_check::check;
use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Promise, Region, Site, SiteIx, Window, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};
use proptest::collection::vec;
use proptest::prelude::*;

/// Where the calendars end: three short days of 100 minutes.
const HORIZON: i64 = 300;

fn windows(most: usize) -> impl Strategy<Value = Windows> {
    vec((0..HORIZON, 5..60_i64), 0..most).prop_map(|list| {
        let window = |(from, length)| Window {
            from: Minute(from),
            until: Minute(from + length),
        };
        Windows::joined(list.into_iter().map(window).collect())
    })
}

fn region() -> impl Strategy<Value = Region> {
    let sites = vec((windows(9), 0..20_i64), 1..4);
    let printers = vec((0..9_usize, any::<bool>(), windows(3)), 1..5);
    let legs = vec(
        (0..9_usize, 0..2_usize, vec((0..HORIZON, 0..40_i64), 0..6)),
        0..9,
    );
    (sites, printers, legs).prop_map(|(sites, printers, legs)| Region {
        printers: printers
            .into_iter()
            .map(|(site, unattended, out_of_use)| Printer {
                name: "Heron".into(),
                site: SiteIx(site % sites.len()),
                bed_mm: [200.0, 180.0, 200.0],
                materials: vec!["PLA".into()],
                unattended,
                out_of_use,
                start_failure: 0.0,
                failures_per_hour: 0.0,
                time_sigma: 0.0,
                ..Printer::default()
            })
            .collect(),
        legs: legs
            .into_iter()
            .map(|(from, to, list)| leg(from % sites.len(), to, timetable(list)))
            .chain((0..sites.len()).map(|from| leg(from, from % 2, counter())))
            .collect(),
        sites: sites
            .into_iter()
            .map(|(staffed, boxing)| Site {
                name: "Site".into(),
                staffed,
                boxing: Minutes(boxing),
                ..Site::default()
            })
            .collect(),
        places: vec![
            Place {
                name: "here".into(),
            },
            Place {
                name: "there".into(),
            },
        ],
        relays: Vec::new(),
        horizon: Some(Minute(HORIZON)),
    })
}

fn leg(from: usize, to: usize, departures: Vec<Departure>) -> Leg {
    Leg {
        from: SiteIx(from),
        to: PlaceIx(to),
        kind: LegKind::Courier,
        departures,
        missed: 0.0,
    }
}

/// Over the counter, every quarter of an hour.
fn counter() -> Vec<Departure> {
    timetable((0..HORIZON / 15).map(|i| (i * 15, 0)).collect())
}

fn timetable(list: Vec<(i64, i64)>) -> Vec<Departure> {
    let mut departures: Vec<Departure> = list
        .into_iter()
        .map(|(leaves, takes)| Departure {
            leaves: Minute(leaves),
            arrives: Minute(leaves + takes),
        })
        .collect();
    departures.sort_unstable();
    departures
}

/// Nominal minutes, and how many more are reserved.
type Time = (i64, i64);

/// Plates with a way to make each on every printer, taking its own time there.
fn plates(printers: usize) -> impl Strategy<Value = Vec<Plate>> {
    let times = vec((1..50_i64, 0..5_i64), printers);
    vec((times, 0..HORIZON, 0..2_usize), 1..9).prop_map(|list| {
        let plate = |(i, (times, release, to)): (u64, (Vec<Time>, i64, usize))| Plate {
            seq: PlateSeq(i),
            label: "part".into(),
            material: "PLA".into(),
            makings: times
                .into_iter()
                .enumerate()
                .map(|(printer, (nominal, extra))| {
                    Making::new(
                        PrinterIx(printer),
                        Footprint([170.0, 190.0, 20.0]),
                        Minutes(nominal),
                        Minutes(nominal + extra),
                    )
                })
                .collect(),
            release: Minute(release),
            to: PlaceIx(to),
            copies: 1,
            promise: None,
            grams: 0,
            wish: Wish::default(),
            riders: Vec::new(),
        };
        (1..).zip(list).map(plate).collect()
    })
}

fn on(windows: &Windows, at: i64) -> bool {
    windows
        .as_slice()
        .iter()
        .any(|w| w.from.0 <= at && at < w.until.0)
}

/// The place that starts at `start`, if every rule allows it, asked minute by minute.
fn place(
    region: &Region,
    plan: &Plan,
    plate: &Plate,
    making: &Making,
    start: i64,
) -> Option<Assignment> {
    let printer = &region.printers[making.printer.0];
    let site = &region.sites[printer.site.0];
    let end = start + making.reserved.0;
    let watched = |at| printer.unattended || on(&site.staffed, at);
    if !on(&site.staffed, start)
        || !(start..end).all(|at| watched(at) && !on(&printer.out_of_use, at))
    {
        return None;
    }
    let cleared = (end..=HORIZON).find(|&at| on(&site.staffed, at))?;
    let busy = |other: &&Assignment| other.printer == making.printer;
    let apart = |other: &Assignment| cleared <= other.start.0 || other.cleared.0 <= start;
    if !plan.assignments.iter().filter(busy).all(apart) {
        return None;
    }
    let (mut ready, mut left) = (cleared, site.boxing.0);
    while left > 0 {
        if ready > HORIZON {
            return None;
        }
        left -= i64::from(on(&site.staffed, ready));
        ready += 1;
    }
    let legs = region
        .legs
        .iter()
        .filter(|leg| leg.from == printer.site && leg.to == plate.to);
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

/// Takes the first place there is for each plate, printer by printer, minute by minute; what
/// finds a place is promised for just then.
fn naive(region: &Region, plates: &mut [Plate]) -> Plan {
    let mut plan = Plan::default();
    for plate in plates {
        let slots = plate
            .makings
            .iter()
            .flat_map(|m| (plate.release.0..HORIZON).map(move |at| (m, at)));
        let mut slots = slots.filter_map(|(making, at)| place(region, &plan, plate, making, at));
        let found = slots.next();
        drop(slots);
        if let Some(found) = found {
            plan.put(found);
            plate.promise = Some(Promise {
                arrival: found.arrives,
                probability: 0.9,
            });
        }
    }
    plan
}

fn world() -> impl Strategy<Value = (Region, Vec<Plate>)> {
    region().prop_flat_map(|region| {
        let printers = region.printers.len();
        (Just(region), plates(printers))
    })
}

proptest! {
    #[test]
    fn a_plan_made_naively_keeps_every_rule((region, mut plates) in world()) {
        let plan = naive(&region, &mut plates);
        prop_assert_eq!(check(&region, &plates, &plan, Some(&plan)), vec![]);
    }

    #[test]
    fn a_number_changed_breaks_a_rule(
        (region, mut plates) in world(),
        which in any::<prop::sample::Index>(),
        field in 0..5_u8,
        by in prop_oneof![-40..0_i64, 1..40_i64],
    ) {
        let mut plan = naive(&region, &mut plates);
        prop_assume!(!plan.assignments.is_empty());
        let many = plan.assignments.len();
        let changed = &mut plan.assignments[which.index(many)];
        let number = match field {
            0 => &mut changed.start,
            1 => &mut changed.end,
            2 => &mut changed.cleared,
            3 => &mut changed.ready,
            _ => &mut changed.arrives,
        };
        number.0 += by;
        prop_assert!(!check(&region, &plates, &plan, None).is_empty(), "{:?}", plan);
    }
}
