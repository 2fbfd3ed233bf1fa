//! A small plan that keeps every rule, and each rule broken once.

use partpledge_plan_check::{Violation, check};
use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Promise, Region, Site, SiteIx, Window, Windows,
};
use partpledge_units::time::{Minute, Minutes};

const SEQ: PlateSeq = PlateSeq(7);
const ONE: PrinterIx = PrinterIx(0);

/// Two school days of 8:00 to 16:00, one printer, one courier at 15:00 that arrives at 17:00.
fn world() -> (Region, Vec<Plate>, Plan) {
    let day = |d: i64| Window {
        from: Minute(d * 1440 + 480),
        until: Minute(d * 1440 + 960),
    };
    let staffed = Windows::joined(vec![day(0), day(1)]);
    let departures = (0..2)
        .map(|d| Departure {
            leaves: Minute(d * 1440 + 900),
            arrives: Minute(d * 1440 + 1020),
        })
        .collect();
    let region = Region {
        sites: vec![Site {
            name: "Brindlemoor".into(),
            staffed,
            boxing: Minutes(10),
        }],
        printers: vec![Printer {
            name: "Heron".into(),
            site: SiteIx(0),
            bed_mm: [200.0, 180.0, 200.0],
            materials: vec!["PLA".into()],
            unattended: false,
            out_of_use: Windows::default(),
            start_failure: 0.0,
            failures_per_hour: 0.0,
            time_sigma: 0.0,
        }],
        places: vec![Place {
            name: "front desk".into(),
        }],
        legs: vec![Leg {
            from: SiteIx(0),
            to: PlaceIx(0),
            kind: LegKind::Courier,
            departures,
        }],
        horizon: Some(Minute(5_000)),
    };
    let making = Making {
        printer: ONE,
        footprint: Footprint([170.0, 190.0, 20.0]),
        nominal: Minutes(100),
        reserved: Minutes(110),
    };
    let plate = Plate {
        seq: SEQ,
        label: "bracket".into(),
        material: "PLA".into(),
        makings: vec![making],
        release: Minute(490),
        to: PlaceIx(0),
        copies: 1,
        promise: Some(Promise {
            arrival: Minute(1020),
            probability: 0.9,
        }),
    };
    let place = Assignment {
        plate: SEQ,
        printer: ONE,
        start: Minute(500),
        end: Minute(610),
        cleared: Minute(610),
        ready: Minute(620),
        arrives: Minute(1020),
        frozen: false,
    };
    (
        region,
        vec![plate],
        Plan {
            assignments: vec![place],
        },
    )
}

#[test]
fn a_plan_that_keeps_every_rule_has_no_violation() {
    let (region, plates, plan) = world();
    assert_eq!(check(&region, &plates, &plan, Some(&plan)), []);
}

type World = (Region, Vec<Plate>, Plan);

/// Breaks one thing and expects exactly one violation.
fn breaking(change: impl Fn(&mut World)) -> Vec<Violation> {
    let mut world = world();
    change(&mut world);
    check(&world.0, &world.1, &world.2, None)
}

#[test]
fn a_plate_nobody_knows_or_a_place_given_twice_is_found_first() {
    assert_eq!(breaking(|w| w.1.clear()), [Violation::UnknownPlate(SEQ)]);
    assert_eq!(
        breaking(|w| w.2.assignments.push(w.2.assignments[0])),
        [Violation::OutOfOrder(SEQ)]
    );
    assert_eq!(
        breaking(|w| w.2.assignments[0].printer = PrinterIx(9)),
        [Violation::NoSuchMaking(SEQ, PrinterIx(9))]
    );
}

#[test]
fn material_and_room_are_checked_turned_either_way() {
    assert_eq!(
        breaking(|w| w.1[0].material = "ASA".into()),
        [Violation::WrongMaterial(SEQ, ONE)]
    );
    for size in [[190.0, 190.0, 20.0], [10.0, 10.0, 201.0]] {
        let broken = breaking(|w| w.1[0].makings[0].footprint = Footprint(size));
        assert_eq!(broken, [Violation::TooLarge(SEQ, ONE)], "{size:?}");
    }
}

#[test]
fn people_must_be_there_to_start_to_watch_and_to_clear() {
    assert_eq!(
        breaking(|w| w.1[0].release = Minute(501)),
        [Violation::BeforeRelease(SEQ, Minute(500))]
    );
    assert_eq!(
        breaking(|w| {
            w.0.printers[0].out_of_use = Windows::joined(vec![Window {
                from: Minute(609),
                until: Minute(640),
            }]);
        }),
        [Violation::OutOfUse(SEQ, ONE)]
    );
    assert_eq!(
        breaking(|w| w.1[0].makings[0].reserved = Minutes(111)),
        [Violation::WrongLength(SEQ, Minute(610))]
    );
    let too_early = breaking(|w| {
        let place = &mut w.2.assignments[0];
        (place.start, place.end) = (Minute(470), Minute(580));
        (place.cleared, place.ready) = (Minute(580), Minute(590));
        w.1[0].release = Minute(0);
    });
    assert_eq!(
        too_early,
        [
            Violation::StartUnstaffed(SEQ, Minute(470)),
            Violation::Unattended(SEQ, ONE)
        ]
    );
    assert_eq!(
        breaking(|w| {
            w.2.assignments[0].cleared = Minute(611);
            w.2.assignments[0].ready = Minute(621);
        }),
        [Violation::WrongClearing(SEQ, Minute(611))]
    );
}

#[test]
fn two_plates_never_share_a_printer() {
    let overlap = breaking(|w| {
        let mut plate = w.1[0].clone();
        plate.seq = PlateSeq(8);
        w.1.push(plate);
        let place = w.2.assignments[0];
        w.2.assignments.push(Assignment {
            plate: PlateSeq(8),
            start: Minute(609),
            end: Minute(719),
            cleared: Minute(719),
            ready: Minute(729),
            ..place
        });
    });
    assert_eq!(overlap, [Violation::Overlap(SEQ, PlateSeq(8), ONE)]);
}

#[test]
fn boxes_are_ready_and_travel_only_when_they_can() {
    assert_eq!(
        breaking(|w| w.2.assignments[0].ready = Minute(619)),
        [Violation::WrongReady(SEQ, Minute(619))]
    );
    assert_eq!(
        breaking(|w| w.2.assignments[0].arrives = Minute(1019)),
        [Violation::WrongArrival(SEQ, Minute(1019))]
    );
    assert_eq!(
        breaking(|w| w.0.horizon = Some(Minute(1019))),
        [Violation::BeyondHorizon(SEQ, Minute(1020))]
    );
}

#[test]
fn promises_and_frozen_work_are_kept() {
    assert_eq!(
        breaking(|w| w.1[0].promise = Some(Promise {
            arrival: Minute(1019),
            probability: 0.9
        })),
        [Violation::PromiseBroken(SEQ, Minute(1020))]
    );
    assert_eq!(
        breaking(|w| w.2.assignments.clear()),
        [Violation::PromisedUnplanned(SEQ)]
    );
    let (region, plates, mut plan) = world();
    plan.assignments[0].frozen = true;
    let mut moved = plan.clone();
    moved.assignments[0].frozen = false;
    assert_eq!(
        check(&region, &plates, &moved, Some(&plan)),
        [Violation::FrozenMoved(SEQ)]
    );
}
