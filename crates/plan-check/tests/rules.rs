//! A small plan that keeps every rule, and each rule broken once.

use partpledge_plan_check::{Violation, check};
use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Promise, Region, Rider, Site, SiteIx, Stay, Stock, Window, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};

const SEQ: PlateSeq = PlateSeq(7);
const ONE: PrinterIx = PrinterIx(0);

type World = (Region, Vec<Plate>, Plan);

/// Two school days of 8:00 to 16:00, one printer, one courier at 15:00 that arrives at 17:00.
fn valley() -> Region {
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
    Region {
        sites: vec![Site {
            name: "Brindlemoor".into(),
            staffed,
            boxing: Minutes(10),
            ..Site::default()
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
            ..Printer::default()
        }],
        places: vec![Place {
            name: "front desk".into(),
        }],
        legs: vec![Leg {
            from: SiteIx(0),
            to: PlaceIx(0),
            kind: LegKind::Courier,
            departures,
            missed: 0.0,
        }],
        relays: Vec::new(),
        horizon: Some(Minute(5_000)),
    }
}

/// One plate in that region, and its place.
fn world() -> World {
    let making = Making::new(
        ONE,
        Footprint([170.0, 190.0, 20.0]),
        Minutes(100),
        Minutes(110),
    );
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
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
    };
    let slot = Assignment {
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
        valley(),
        vec![plate],
        Plan {
            assignments: vec![slot],
        },
    )
}

#[test]
fn a_plan_that_keeps_every_rule_has_no_violation() {
    let (region, plates, plan) = world();
    assert_eq!(check(&region, &plates, &plan, Some(&plan)), []);
}

/// Breaks one thing and expects exactly this violation, and that code.
fn breaking(change: impl Fn(&mut World), code: &str, violation: Violation) {
    let mut world = world();
    change(&mut world);
    assert_eq!(
        check(&world.0, &world.1, &world.2, None),
        [violation],
        "{code}"
    );
    assert_eq!(violation.code(), code);
    assert!(Violation::CODES.contains(&code));
}

/// A second plate, made just after the first one is off the bed.
fn second(world: &mut World, seq: u64, start: i64) {
    let plate = PlateSeq(seq);
    world.1.push(Plate {
        seq: plate,
        ..world.1[0].clone()
    });
    let first = world.2.assignments[0];
    world.2.assignments.push(Assignment {
        plate,
        start: Minute(start),
        end: Minute(start + 110),
        cleared: Minute(start + 110),
        ready: Minute(start + 120),
        ..first
    });
}

#[test]
fn every_place_is_for_a_known_plate_once_in_order_on_a_printer_that_can() {
    breaking(
        |w| w.1.clear(),
        "unknown-plate",
        Violation::UnknownPlate { plate: SEQ },
    );
    breaking(
        |w| w.2.assignments.push(w.2.assignments[0]),
        "planned-twice",
        Violation::PlannedTwice { plate: SEQ },
    );
    breaking(
        |w| second(w, 6, 610),
        "out-of-order",
        Violation::OutOfOrder {
            plate: PlateSeq(6),
            after: SEQ,
        },
    );
    breaking(
        |w| {
            w.1[0].makings[0].printer = PrinterIx(9);
            w.2.assignments[0].printer = PrinterIx(9);
        },
        "no-such-printer",
        Violation::NoSuchPrinter {
            plate: SEQ,
            printer: PrinterIx(9),
        },
    );
    breaking(
        |w| w.0.printers[0].site = SiteIx(5),
        "no-such-printer",
        Violation::NoSuchPrinter {
            plate: SEQ,
            printer: ONE,
        },
    );
    breaking(
        |w| w.1[0].makings.clear(),
        "no-such-making",
        Violation::NoSuchMaking {
            plate: SEQ,
            printer: ONE,
        },
    );
}

#[test]
fn material_and_room_are_checked_turned_either_way() {
    breaking(
        |w| w.1[0].material = "ASA".into(),
        "wrong-material",
        Violation::WrongMaterial {
            plate: SEQ,
            printer: ONE,
        },
    );
    for size in [
        [190.0, 190.0, 20.0],
        [10.0, 10.0, 201.0],
        [10.0, f64::NAN, 10.0],
    ] {
        breaking(
            |w| w.1[0].makings[0].footprint = Footprint(size),
            "too-large",
            Violation::TooLarge {
                plate: SEQ,
                printer: ONE,
            },
        );
    }
}

#[test]
fn it_starts_when_it_may_and_the_printer_is_kept_for_the_reserved_time() {
    breaking(
        |w| w.1[0].release = Minute(501),
        "before-release",
        Violation::BeforeRelease {
            plate: SEQ,
            start: Minute(500),
            release: Minute(501),
        },
    );
    breaking(
        |w| w.1[0].makings[0].nominal = Minutes(111),
        "too-little-reserved",
        Violation::TooLittleReserved {
            plate: SEQ,
            printer: ONE,
            reserved: Minutes(110),
            nominal: Minutes(111),
        },
    );
    for (reserved, right) in [(111, 611), (109, 609)] {
        breaking(
            |w| {
                w.1[0].makings[0].reserved = Minutes(reserved);
                w.1[0].makings[0].nominal = Minutes(100);
            },
            "wrong-end",
            Violation::WrongEnd {
                plate: SEQ,
                end: Minute(610),
                right: Minute(right),
            },
        );
    }
}

#[test]
fn people_must_be_there_to_start_to_watch_and_to_clear() {
    breaking(
        |w| {
            w.0.printers[0].unattended = true;
            let place = &mut w.2.assignments[0];
            (place.start, place.end) = (Minute(479), Minute(589));
            (place.cleared, place.ready) = (Minute(589), Minute(599));
            w.1[0].release = Minute(0);
        },
        "start-unstaffed",
        Violation::StartUnstaffed {
            plate: SEQ,
            printer: ONE,
            start: Minute(479),
        },
    );
    breaking(
        |w| {
            let place = &mut w.2.assignments[0];
            (place.start, place.end) = (Minute(851), Minute(961));
            (place.cleared, place.ready) = (Minute(1_920), Minute(1_930));
            place.arrives = Minute(2_460);
            w.1[0].promise = None;
        },
        "unattended",
        Violation::Unattended {
            plate: SEQ,
            printer: ONE,
            from: Minute(960),
        },
    );
    breaking(
        |w| {
            let (from, until) = (Minute(609), Minute(640));
            w.0.printers[0].out_of_use = Windows::joined(vec![Window { from, until }]);
        },
        "out-of-use",
        Violation::OutOfUse {
            plate: SEQ,
            printer: ONE,
            from: Minute(609),
        },
    );
    breaking(
        |w| {
            w.2.assignments[0].cleared = Minute(611);
            w.2.assignments[0].ready = Minute(621);
        },
        "wrong-cleared",
        Violation::WrongCleared {
            plate: SEQ,
            cleared: Minute(611),
            right: Some(Minute(610)),
        },
    );
}

#[test]
fn a_plate_that_ends_with_the_day_is_cleared_the_next_morning() {
    let mut w = world();
    let place = &mut w.2.assignments[0];
    (place.start, place.end) = (Minute(850), Minute(960));
    (place.cleared, place.ready) = (Minute(1_920), Minute(1_930));
    place.arrives = Minute(2_460);
    w.1[0].promise = None;
    assert_eq!(check(&w.0, &w.1, &w.2, None), []);
}

#[test]
fn two_plates_never_share_a_printer() {
    let mut w = world();
    second(&mut w, 8, 610);
    assert_eq!(
        check(&w.0, &w.1, &w.2, None),
        [],
        "the next starts in the same visit"
    );
    breaking(
        |w| second(w, 8, 609),
        "overlap",
        Violation::Overlap {
            plate: SEQ,
            other: PlateSeq(8),
            printer: ONE,
            from: Minute(609),
        },
    );
}

#[test]
fn boxes_are_ready_and_travel_only_when_they_can() {
    for ready in [619, 621] {
        breaking(
            |w| w.2.assignments[0].ready = Minute(ready),
            "wrong-ready",
            Violation::WrongReady {
                plate: SEQ,
                ready: Minute(ready),
                right: Some(Minute(620)),
            },
        );
    }
    breaking(
        |w| w.2.assignments[0].arrives = Minute(1_019),
        "wrong-arrival",
        Violation::WrongArrival {
            plate: SEQ,
            arrives: Minute(1_019),
            right: Some(Minute(1_020)),
        },
    );
    breaking(
        |w| w.0.legs.clear(),
        "wrong-arrival",
        Violation::WrongArrival {
            plate: SEQ,
            arrives: Minute(1_020),
            right: None,
        },
    );
    breaking(
        |w| w.0.horizon = Some(Minute(1_019)),
        "beyond-horizon",
        Violation::BeyondHorizon {
            plate: SEQ,
            at: Minute(1_020),
            horizon: Minute(1_019),
        },
    );
}

#[test]
fn a_run_under_way_that_may_not_go_on_alone_is_planned_as_stopped() {
    let (mut region, plates, mut plan) = world();
    // The school closes at 10:00, when the plate has run for 100 of 110 minutes.
    let open = Window {
        from: Minute(480),
        until: Minute(600),
    };
    let next = region.sites[0].staffed.as_slice()[1];
    region.sites[0].staffed = Windows::joined(vec![open, next]);
    let replaces = |plan: &Plan, plates: &[Plate], previous: &Plan| -> Vec<&str> {
        let found = check(&region, plates, plan, Some(previous));
        found.iter().map(Violation::code).collect()
    };
    let codes = |plan: &Plan, plates: &[Plate]| replaces(plan, plates, plan);
    let not_begun = plan.clone();
    plan.assignments[0].frozen = true;
    let runs_on = codes(&plan, &plates);
    assert!(
        runs_on.contains(&"unattended") && runs_on.contains(&"wrong-end"),
        "{runs_on:?}"
    );
    let stopped = Assignment {
        end: open.until,
        cleared: next.from,
        ready: next.from + Minutes(10),
        arrives: Minute(1_440 + 1_020),
        ..plan.assignments[0]
    };
    let plan = Plan {
        assignments: vec![stopped],
    };
    // It may be done by then, and is late in any case: nobody takes it off before the next day.
    assert_eq!(codes(&plan, &plates), ["promise-broken"]);
    // If it can't be, it brings nothing.
    let mut slow = plates.clone();
    slow[0].makings[0].likely = Minutes(101);
    assert_eq!(codes(&plan, &slow), ["promised-unplanned"]);
    // What has not begun is not planned so, whatever the plan says of itself.
    let says_so = replaces(&plan, &plates, &not_begun);
    assert!(says_so.contains(&"wrong-end"), "{says_so:?}");
    let mut later = plan.clone();
    later.assignments[0].start = Minute(501);
    let another = replaces(&later, &plates, &plan);
    assert!(another.contains(&"wrong-end"), "{another:?}");
    let planned = Plan {
        assignments: vec![Assignment {
            frozen: false,
            ..stopped
        }],
    };
    assert!(codes(&planned, &plates).contains(&"wrong-end"));
}

#[test]
fn promises_are_kept_and_promised_work_is_planned() {
    breaking(
        |w| {
            let (arrival, probability) = (Minute(1_019), 0.9);
            w.1[0].promise = Some(Promise {
                arrival,
                probability,
            });
        },
        "promise-broken",
        Violation::PromiseBroken {
            plate: SEQ,
            arrives: Minute(1_020),
            promised: Minute(1_019),
        },
    );
    breaking(
        |w| w.2.assignments.clear(),
        "promised-unplanned",
        Violation::PromisedUnplanned { plate: SEQ },
    );
}

#[test]
fn what_rides_on_a_plate_is_promised_at_its_own_place() {
    let rider = |to, arrival| Rider {
        to: PlaceIx(to),
        copies: 1,
        promise: Some(Promise {
            arrival: Minute(arrival),
            probability: 0.9,
        }),
        wish: Wish::default(),
    };
    // A second place, to which a round goes at 11:40 and takes until 12:10.
    let far = |w: &mut World| {
        let leg = Leg {
            to: PlaceIx(1),
            departures: vec![Departure {
                leaves: Minute(700),
                arrives: Minute(730),
            }],
            ..w.0.legs[0].clone()
        };
        w.0.places.push(Place {
            name: "far desk".into(),
        });
        w.0.legs.push(leg);
    };
    let mut fine = world();
    far(&mut fine);
    fine.1[0].riders = vec![rider(0, 1_020), rider(1, 730)];
    assert_eq!(check(&fine.0, &fine.1, &fine.2, None), []);
    breaking(
        |w| {
            far(w);
            w.1[0].riders = vec![rider(0, 1_020), rider(1, 729)];
        },
        "promise-broken",
        Violation::PromiseBroken {
            plate: SEQ,
            arrives: Minute(730),
            promised: Minute(729),
        },
    );
    breaking(
        |w| {
            far(w);
            w.0.legs[1].departures[0].leaves = Minute(619);
            w.1[0].riders = vec![rider(1, 730)];
        },
        "no-way-on",
        Violation::NoWayOn {
            plate: SEQ,
            to: PlaceIx(1),
        },
    );
    breaking(
        |w| {
            w.1[0].promise = None;
            w.1[0].riders = vec![rider(0, 1_020)];
            w.2.assignments.clear();
        },
        "promised-unplanned",
        Violation::PromisedUnplanned { plate: SEQ },
    );
}

#[test]
fn frozen_work_may_neither_move_nor_thaw_nor_vanish() {
    let (region, plates, mut before) = world();
    before.assignments[0].frozen = true;
    assert_eq!(check(&region, &plates, &before, Some(&before)), []);
    let mut thawed = before.clone();
    thawed.assignments[0].frozen = false;
    let moved = Violation::FrozenMoved { plate: SEQ };
    assert_eq!(moved.code(), "frozen-moved");
    assert_eq!(check(&region, &plates, &thawed, Some(&before)), [moved]);
    let free = [Plate {
        promise: None,
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
        ..plates[0].clone()
    }];
    assert_eq!(
        check(&region, &free, &Plan::default(), Some(&before)),
        [moved]
    );
}

#[test]
fn numbers_from_nowhere_are_found_at_once_and_overflow_nothing() {
    for number in [i64::MIN, i64::MAX] {
        let mut w = world();
        let at = Minute(number);
        let place = &mut w.2.assignments[0];
        (place.start, place.end, place.cleared) = (at, Minute(i64::MAX), at);
        (place.ready, place.arrives) = (at, at);
        w.1[0].makings[0].reserved = Minutes(i64::MAX);
        assert!(check(&w.0, &w.1, &w.2, None).len() > 3);
    }
}

#[test]
fn a_violation_reads_as_one_line_with_its_numbers() {
    let late = Violation::WrongArrival {
        plate: SEQ,
        arrives: Minute(5),
        right: Some(Minute(9)),
    };
    let line = "plate 7: no leg hands it over at that time (said minute 5, rightly 9)";
    assert_eq!(late.to_string(), line);
    let kept = Violation::Overlap {
        plate: SEQ,
        other: PlateSeq(8),
        printer: ONE,
        from: Minute(4),
    };
    let line = "plate 7: another plate is still on the printer (plate 8, printer 0, from minute 4)";
    assert_eq!(kept.to_string(), line);
}

#[test]
fn codes_are_all_different() {
    let mut codes = Violation::CODES.to_vec();
    codes.sort_unstable();
    codes.dedup();
    assert_eq!(codes.len(), Violation::CODES.len());
}

/// A world with a second plate that starts as the first is off the bed, after some change.
fn with_second(change: impl Fn(&mut World), start: i64) -> World {
    let mut world = world();
    second(&mut world, 8, start);
    change(&mut world);
    world
}

#[test]
fn a_window_has_only_so_many_hands() {
    let one = |w: &mut World| w.0.sites[0].starts_a_window = Some(1);
    let w = with_second(one, 610);
    let violation = Violation::TooManyStarts {
        plate: PlateSeq(8),
        printer: ONE,
        start: Minute(610),
        most: 1,
    };
    assert_eq!(check(&w.0, &w.1, &w.2, None), [violation]);
    assert_eq!(violation.code(), "too-many-starts");
    // What runs already has had its hands, and the other has none left.
    let w = with_second(
        |w| {
            one(w);
            w.2.assignments[1].frozen = true;
        },
        610,
    );
    let found = check(&w.0, &w.1, &w.2, None);
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].code(), found[0].plate()),
        ("too-many-starts", SEQ)
    );
    let two = |w: &mut World| w.0.sites[0].starts_a_window = Some(2);
    let w = with_second(two, 610);
    assert_eq!(check(&w.0, &w.1, &w.2, None), []);
}

#[test]
fn somebody_needs_time_to_put_another_material_in() {
    let other = |w: &mut World| {
        w.0.printers[0].change = Minutes(20);
        w.0.printers[0].materials.push("PETG".into());
        w.1[1].material = "PETG".into();
    };
    let w = with_second(other, 629);
    let violation = Violation::NoTimeToChange {
        plate: PlateSeq(8),
        other: SEQ,
        printer: ONE,
        start: Minute(629),
    };
    assert_eq!(check(&w.0, &w.1, &w.2, None), [violation]);
    assert_eq!(violation.code(), "no-time-to-change");
    let w = with_second(other, 630);
    assert_eq!(check(&w.0, &w.1, &w.2, None), []);
    let same = |w: &mut World| w.0.printers[0].change = Minutes(20);
    let w = with_second(same, 610);
    assert_eq!(check(&w.0, &w.1, &w.2, None), []);
}

#[test]
fn no_more_filament_is_taken_than_has_come() {
    let stock = |from: i64, grams: i64| Stock {
        material: "PLA".into(),
        from: Minute(from),
        grams,
    };
    let short = |w: &mut World| {
        w.0.sites[0].stock = vec![stock(0, 30)];
        w.1.iter_mut().for_each(|plate| plate.grams = 20);
    };
    let w = with_second(short, 610);
    let violation = Violation::FilamentShort {
        plate: PlateSeq(8),
        printer: ONE,
        start: Minute(610),
        taken_g: 40,
        there_g: 30,
    };
    assert_eq!(check(&w.0, &w.1, &w.2, None), [violation]);
    assert_eq!(violation.code(), "filament-short");
    let more = |w: &mut World| {
        short(w);
        w.0.sites[0].stock.push(stock(610, 10));
    };
    let w = with_second(more, 610);
    assert_eq!(check(&w.0, &w.1, &w.2, None), []);
    // A plate that was started has its filament already.
    let started = |w: &mut World| {
        short(w);
        w.2.assignments[0].frozen = true;
    };
    let w = with_second(started, 610);
    assert_eq!(check(&w.0, &w.1, &w.2, None), []);
}

#[test]
fn a_printer_is_used_where_it_stands_while_it_stands_there() {
    let found = |stays: &[(i64, i64)]| {
        let mut w = world();
        let stay = |&(from, until): &(i64, i64)| Stay {
            from: Minute(from),
            until: Minute(until),
            site: SiteIx(0),
        };
        w.0.printers[0].stays = stays.iter().map(stay).collect();
        let found = check(&w.0, &w.1, &w.2, None);
        found.iter().map(Violation::code).collect::<Vec<_>>()
    };
    assert_eq!(found(&[(0, 5_000)]), Vec::<&str>::new());
    assert!(found(&[(0, 400), (700, 5_000)]).contains(&"on-its-way"));
    // It is packed up before the bed is cleared.
    assert_eq!(found(&[(0, 610)]), ["wrong-cleared"]);
    // A stay at a site that the region does not have.
    let mut w = world();
    w.0.printers[0].stays = vec![Stay {
        from: Minute(0),
        until: Minute(5_000),
        site: SiteIx(7),
    }];
    let codes = check(&w.0, &w.1, &w.2, None);
    assert!(codes.iter().any(|v| v.code() == "no-such-printer"));
}
