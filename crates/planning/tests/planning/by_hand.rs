//! Small cases worked by hand. Minute 0 is a Monday, 00:00; people are there 08:00 to 16:00.

use partpledge_planning::luck::{late_start, still_running};
use partpledge_planning::{
    Ask, Ground, NoQuote, Occupied, Quote, Reason, Unplaced, Way, best_slot, propose, quote,
    why_unplaced,
};
use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Promise, Region, Site, SiteIx, Window, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};

const DAY: i64 = 1_440;

fn window(from: i64, until: i64) -> Window {
    Window {
        from: Minute(from),
        until: Minute(until),
    }
}

fn weekdays() -> Windows {
    let days = (0..14).filter(|day| day % 7 < 5);
    Windows::joined(
        days.map(|day| window(day * DAY + 480, day * DAY + 960))
            .collect(),
    )
}

fn printer(unattended: bool) -> Printer {
    Printer {
        name: "Heron".into(),
        site: SiteIx(0),
        bed_mm: [200.0, 200.0, 200.0],
        materials: vec!["PLA".into()],
        unattended,
        out_of_use: Windows::default(),
        start_failure: 0.0,
        failures_per_hour: 0.0,
        time_sigma: 0.0,
        ..Printer::default()
    }
}

fn leg(departures: &[(i64, i64)]) -> Leg {
    let departures = departures.iter().map(|&(leaves, arrives)| Departure {
        leaves: Minute(leaves),
        arrives: Minute(arrives),
    });
    Leg {
        from: SiteIx(0),
        to: PlaceIx(0),
        kind: LegKind::Courier,
        departures: departures.collect(),
        missed: 0.0,
    }
}

/// One site, one printer, a courier at 15:00 who hands over at 09:00 the next day.
fn region(unattended: bool) -> Region {
    let courier: Vec<(i64, i64)> = (0..13)
        .map(|day| (day * DAY + 900, (day + 1) * DAY + 540))
        .collect();
    Region {
        sites: vec![Site {
            name: "Brindle".into(),
            staffed: weekdays(),
            boxing: Minutes(20),
            ..Site::default()
        }],
        printers: vec![printer(unattended)],
        places: vec![Place {
            name: "desk".into(),
        }],
        legs: vec![leg(&courier)],
        relays: Vec::new(),
        horizon: Some(Minute(14 * DAY)),
    }
}

fn plate(seq: u64, reserved: i64) -> Plate {
    Plate {
        seq: PlateSeq(seq),
        label: "hub".into(),
        material: "PLA".into(),
        makings: vec![Making::new(
            PrinterIx(0),
            Footprint([100.0, 100.0, 50.0]),
            Minutes(reserved),
            Minutes(reserved),
        )],
        release: Minute(0),
        to: PlaceIx(0),
        copies: 1,
        promise: None,
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
    }
}

/// Start, end, cleared, ready, arrives of the best slot.
fn best(region: &Region, plan: &Plan, plate: &Plate, now: i64) -> Option<[i64; 5]> {
    let ground = Ground::new(region);
    let slot = best_slot(
        &ground,
        &Occupied::by(&ground, [plate], plan),
        plate,
        Minute(now),
    )?;
    let Assignment {
        start,
        end,
        cleared,
        ready,
        arrives,
        ..
    } = slot;
    Some([start, end, cleared, ready, arrives].map(|minute| minute.0))
}

fn asked(
    region: &Region,
    plates: &[Plate],
    plan: &Plan,
    own: Plate,
    level: f64,
) -> Result<Quote, NoQuote> {
    let ask = Ask {
        ways: vec![Way {
            label: "one".into(),
            plates: vec![own],
        }],
        level,
        now: Minute(0),
        seed: 11,
        worlds: 4_000,
    };
    quote(&Ground::new(region), plates, plan, &ask)
}

#[test]
fn what_cannot_be_watched_to_its_end_waits_for_the_next_morning() {
    let plan = Plan::default();
    // 11:40 + 5 h is after 16:00.
    let watched = best(&region(false), &plan, &plate(1, 300), 700);
    assert_eq!(
        watched,
        Some([DAY + 480, DAY + 780, DAY + 780, DAY + 800, 2 * DAY + 540])
    );
    // May it run on alone, it is done at 16:40 and found at 08:00.
    let alone = best(&region(true), &plan, &plate(1, 300), 700);
    assert_eq!(
        alone,
        Some([700, 1_000, DAY + 480, DAY + 500, 2 * DAY + 540])
    );
}

#[test]
fn a_run_that_ends_as_people_leave_is_watched_but_cleared_next_morning() {
    let slot = best(&region(false), &Plan::default(), &plate(1, 300), 660);
    assert_eq!(slot, Some([660, 960, DAY + 480, DAY + 500, 2 * DAY + 540]));
}

#[test]
fn a_friday_run_is_cleared_on_monday() {
    let friday = 4 * DAY;
    let slot = best(
        &region(true),
        &Plan::default(),
        &plate(1, 120),
        friday + 900,
    );
    let monday = 7 * DAY + 480;
    assert_eq!(
        slot,
        Some([
            friday + 900,
            friday + 1_020,
            monday,
            monday + 20,
            8 * DAY + 540
        ])
    );
}

#[test]
fn boxing_goes_on_where_it_stopped_the_evening_before() {
    let slot = best(&region(false), &Plan::default(), &plate(1, 100), 850);
    assert_eq!(slot, Some([850, 950, 950, DAY + 490, 2 * DAY + 540]));
}

#[test]
fn a_later_leg_that_overtakes_is_taken() {
    let mut region = region(false);
    region.legs = vec![leg(&[(700, 5_000)]), leg(&[(800, 2_000)])];
    let arrives = |now| best(&region, &Plan::default(), &plate(1, 100), now).map(|slot| slot[4]);
    assert_eq!(arrives(480), Some(2_000));
    // Ready at 800, the last minute at which a box is taken along.
    assert_eq!(arrives(680), Some(2_000));
    assert_eq!(arrives(681), None);
}

fn planned(region: &Region, plates: &[Plate]) -> Plan {
    propose(
        &Ground::new(region),
        plates,
        &Plan::default(),
        Minute(480),
        0,
    )
    .plan
}

#[test]
fn a_gap_is_filled_in_the_visit_that_opens_it() {
    let region = region(false);
    let mut plan = Plan::default();
    for (seq, start, cleared) in [(1, 480, 600), (2, 700, 900)] {
        plan.put(Assignment {
            plate: PlateSeq(seq),
            printer: PrinterIx(0),
            start: Minute(start),
            end: Minute(cleared),
            cleared: Minute(cleared),
            ready: Minute(cleared),
            arrives: Minute(cleared),
            frozen: false,
        });
    }
    let starts = |reserved| best(&region, &plan, &plate(3, reserved), 0).map(|slot| slot[0]);
    assert_eq!(starts(100), Some(600));
    assert_eq!(starts(101), Some(DAY + 480));
    // A late run reaches over the next plate: what is free is after both.
    let late = Assignment {
        cleared: Minute(930),
        ..plan.assignments[0]
    };
    plan.put(late);
    let after = best(&region, &plan, &plate(3, 25), 905);
    assert_eq!(after.map(|slot| slot[0]), Some(930));
}

#[test]
fn without_spread_and_losses_the_pledge_is_what_the_plan_says() {
    let answer = asked(&region(false), &[], &Plan::default(), plate(1, 100), 0.9).unwrap();
    assert_eq!(
        (answer.arrival, answer.nominal),
        (Minute(DAY + 540), Minute(DAY + 540))
    );
    // Rule of succession: 4001 of 4002.
    assert!((answer.probability - 4_001.0 / 4_002.0).abs() < 1e-12);
    let leg = Reason::WaitsForLeg {
        ready: Minute(600),
        arrives: Minute(DAY + 540),
    };
    assert!(answer.reasons.contains(&leg), "{:?}", answer.reasons);
    assert_eq!(answer.outlook.len(), 1);
}

#[test]
fn printers_from_which_nothing_goes_there_are_not_counted_among_the_others() {
    let few = |answer: &Quote| {
        let mut reasons = answer.reasons.iter();
        reasons.find_map(|reason| match reason {
            Reason::FewPrinters { able, of } => Some((*able, *of)),
            _ => None,
        })
    };
    let mut region = region(false);
    let more = region.printers[0].clone();
    region.printers.extend([more.clone(), more]);
    let answer = asked(&region, &[], &Plan::default(), plate(1, 100), 0.9).unwrap();
    assert_eq!(few(&answer), Some((1, 3)));
    // At a meeting: nothing goes from there to a school.
    region.sites.push(region.sites[0].clone());
    for printer in &mut region.printers[1..] {
        printer.site = SiteIx(1);
    }
    let answer = asked(&region, &[], &Plan::default(), plate(1, 100), 0.9).unwrap();
    assert_eq!(few(&answer), None);
}

#[test]
fn a_lost_first_layer_is_printed_again_and_takes_the_next_leg() {
    let mut region = region(false);
    region.printers[0].start_failure = 0.3;
    // Ready at 10:00 if all goes well; lost after 5 of 100 minutes and started again at once, it
    // misses that leg and makes the next, and so do three more tries: 480 + 4 x 5 + 100 + 20 = 620.
    region.legs = vec![leg(&[(600, 700), (620, 1_500), (5_000, 6_000)])];
    let answer = asked(&region, &[], &Plan::default(), plate(1, 100), 0.9).unwrap();
    assert_eq!(
        (answer.nominal, answer.arrival),
        (Minute(700), Minute(1_500))
    );
    // Four standard errors of 4000 worlds: 0.029 at 0.7, 0.0031 at 1 - 0.3^5.
    let by_nominal = answer.chance_by(Minute(700));
    assert!((by_nominal - 0.7).abs() < 0.029, "{by_nominal}");
    assert!((answer.probability - (1.0 - 0.3_f64.powi(5))).abs() < 0.0032);
    assert!(matches!(
        answer.reasons[0],
        Reason::RoomForReprint {
            nominal: Minute(700),
            ..
        }
    ));
    // A ride that goes a quarter of an hour later holds no second print of 100 minutes.
    let mut soon = region.clone();
    soon.legs = vec![leg(&[(600, 700), (620, 715), (5_000, 6_000)])];
    let mut rare = soon.clone();
    let soon = asked(&soon, &[], &Plan::default(), plate(1, 100), 0.9).unwrap();
    assert_eq!((soon.nominal, soon.arrival), (Minute(700), Minute(715)));
    assert!(matches!(
        soon.reasons[0],
        Reason::RoomForDelay {
            nominal: Minute(700),
            ..
        }
    ));
    // Nor is a hand-over told that one of twenty makes.
    rare.printers[0].start_failure = 0.95;
    let rare = asked(&rare, &[], &Plan::default(), plate(1, 100), 0.15).unwrap();
    assert_eq!((rare.nominal, rare.arrival), (Minute(700), Minute(715)));
    assert!(rare.chance_by(Minute(700)) < 0.1);
    let room = |reason: &Reason| matches!(reason, Reason::RoomForDelay { .. });
    assert!(!rare.reasons.iter().any(room), "{:?}", rare.reasons);
    let sure = asked(&region, &[], &Plan::default(), plate(1, 100), 0.9995);
    assert!(matches!(sure, Err(NoQuote::TooUncertain { best }) if best > 0.99));
    let easy = asked(&region, &[], &Plan::default(), plate(1, 100), 0.6).unwrap();
    assert_eq!(easy.arrival, Minute(700));
}

#[test]
fn a_plate_waits_for_the_one_ahead_and_both_spread() {
    let mut region = region(true);
    region.sites[0].staffed = Windows::joined(vec![window(0, 9_000)]);
    region.sites[0].boxing = Minutes(0);
    region.printers[0].time_sigma = 0.05;
    region.legs = vec![leg(&[(2_001, 2_001), (9_000, 9_000)])];
    let ahead = [plate(1, 1_000)];
    let ground = Ground::new(&region);
    let plan = propose(&ground, &ahead, &Plan::default(), Minute(1), 0).plan;
    let answer = asked(&region, &ahead, &plan, plate(2, 1_000), 0.95).unwrap();
    assert_eq!(answer.nominal, Minute(2_001));
    // X and Y the two times, about normal: P(max(1000, X) + Y <= 2000) = 1/4 + 1/8.
    let in_time = answer.chance_by(Minute(2_001));
    assert!((in_time - 0.375).abs() < 0.035, "{in_time}");
}

#[test]
fn what_is_known_to_be_running_is_still_running() {
    let mut region = region(true);
    region.sites[0].staffed = Windows::joined(vec![window(0, 9_000)]);
    region.printers[0].time_sigma = 0.1;
    let ground = Ground::new(&region);
    let making = plate(1, 1_000).makings[0];
    let off = |now: i64, world| {
        let plate = PlateSeq(1);
        still_running(&ground, &making, Minute(0), Minute(now), plate, (3, world))
            .unwrap()
            .cleared
    };
    for now in [500, 1_000, 1_300] {
        assert!((0..400).all(|world| off(now, world) > Minute(now)));
    }
    // Knowing that it is past its middle leaves the upper half: a half of it within 1070
    // (upper quartile: z = 0.6745).
    let soon = (0..4_000)
        .filter(|&world| off(1_000, world) <= Minute(1_070))
        .count();
    assert!((1_860..2_140).contains(&soon), "{soon}");
}

#[test]
fn a_late_plate_starts_only_if_it_can_still_be_done() {
    let (watched, alone) = (region(false), region(true));
    let start = |region: &Region, free| {
        late_start(
            &Ground::new(region),
            &plate(1, 100).makings[0],
            Minute(free),
        )
    };
    assert_eq!(start(&watched, 860), Some(Minute(860)));
    assert_eq!(start(&watched, 861), None);
    assert_eq!(start(&alone, 861), Some(Minute(861)));
    assert_eq!(start(&watched, 1_000), Some(Minute(DAY + 480)));
}

#[test]
fn each_reason_for_no_pledge_is_told_apart() {
    let region = region(false);
    let plan = Plan::default();
    let empty = Ask {
        ways: Vec::new(),
        level: 0.9,
        now: Minute(0),
        seed: 1,
        worlds: 10,
    };
    assert_eq!(
        quote(&Ground::new(&region), &[], &plan, &empty),
        Err(NoQuote::NothingAsked)
    );
    let mut other = plate(1, 100);
    other.material = "ASA".into();
    let material = "ASA".to_owned();
    assert_eq!(
        asked(&region, &[], &plan, other.clone(), 0.9),
        Err(NoQuote::NoPrinter { material })
    );
    assert_eq!(
        asked(&region, &[], &plan, plate(1, 481), 0.9),
        Err(NoQuote::NoSlot)
    );
    let ground = Ground::new(&region);
    assert_eq!(why_unplaced(&ground, &other), Unplaced::NoPrinter);
    assert_eq!(
        why_unplaced(&ground, &plate(1, 481)),
        Unplaced::NobodyStaysSoLong
    );
    assert_eq!(why_unplaced(&ground, &plate(1, 480)), Unplaced::NoSlot);
}

#[test]
fn a_plate_without_a_promise_makes_room_for_one_that_would_be_late() {
    let region = region(false);
    let promised = |by| {
        Some(Promise {
            arrival: Minute(by),
            probability: 0.9,
        })
    };
    let first = plate(1, 400);
    let mut second = plate(2, 400);
    let plan = planned(&region, std::slice::from_ref(&first));
    assert_eq!(plan.of(PlateSeq(1)).unwrap().start, Minute(480));
    second.promise = promised(DAY + 540);
    let plates = [first, second];
    let ground = Ground::new(&region);
    let without = propose(&ground, &plates, &plan, Minute(480), 0).plan;
    assert_eq!(
        without.of(PlateSeq(2)).unwrap().arrives,
        Minute(2 * DAY + 540)
    );
    let with = propose(&ground, &plates, &plan, Minute(480), 20);
    assert_eq!(
        with.plan.of(PlateSeq(2)).unwrap().arrives,
        Minute(DAY + 540)
    );
    assert_eq!(
        with.plan.of(PlateSeq(1)).unwrap().arrives,
        Minute(2 * DAY + 540)
    );
    assert_eq!(with.moved, [PlateSeq(1)]);
    let mut frozen = plan;
    frozen.assignments[0].frozen = true;
    let stays = propose(&ground, &plates, &frozen, Minute(480), 20);
    assert_eq!(
        (stays.plan.assignments[0], stays.moved.len()),
        (frozen.assignments[0], 0)
    );
}

#[test]
fn where_no_single_trade_pays_all_that_may_move_is_ordered_anew() {
    // A day's work on Monday, two half days' on Tuesday, and both halves were promised from Monday.
    // Trading one half for the whole day leaves two promises broken, as before.
    let region = region(false);
    let promised = |plate: Plate, by| Plate {
        promise: Some(Promise {
            arrival: Minute(by),
            probability: 0.9,
        }),
        ..plate
    };
    let (tuesday, wednesday) = (DAY + 540, 2 * DAY + 540);
    let whole = promised(plate(1, 400), wednesday);
    let halves = [2, 3].map(|seq| plate(seq, 200));
    let plan = planned(
        &region,
        &[whole.clone(), halves[0].clone(), halves[1].clone()],
    );
    let day = |plan: &Plan, seq| plan.of(PlateSeq(seq)).unwrap().start.0 / DAY;
    assert_eq!([1, 2, 3].map(|seq| day(&plan, seq)), [0, 1, 1]);
    let [one, two] = halves.map(|half| promised(half, tuesday));
    let plates = [whole, one, two];
    let ground = Ground::new(&region);
    let better = propose(&ground, &plates, &plan, Minute(480), 200).plan;
    assert_eq!([1, 2, 3].map(|seq| day(&better, seq)), [1, 0, 0]);
    // The same whatever runs beside it.
    assert_eq!(
        better,
        propose(&ground, &plates, &plan, Minute(480), 200).plan
    );
}
