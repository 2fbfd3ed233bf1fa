//! Why a plate is where it is, by hand and against random plans; what keeps a promise really does.

#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use crate::support::random::{printer, window, world};
use partpledge_planning::explain::{Change, Explainer, Hold, Verdict, Why, would_keep};
use partpledge_planning::{Ground, Occupied, best_slot, propose};
use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    PrinterIx, Promise, Region, Site, SiteIx, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};
use proptest::prelude::*;

const DAY: i64 = 1_440;

fn days() -> Windows {
    Windows::joined(
        (0..5)
            .map(|d| window(d * DAY + 480, d * DAY + 960))
            .collect(),
    )
}

/// Two schools, 08:00 to 16:00; a round leaves each at 15:00 and hands over at 09:00 next day.
/// Printer 0 and 1 stand at the first, printer 2 at the second.
fn region() -> Region {
    let departure = |d: i64| Departure {
        leaves: Minute(d * DAY + 900),
        arrives: Minute((d + 1) * DAY + 540),
    };
    let leg = |from| Leg {
        from: SiteIx(from),
        to: PlaceIx(0),
        kind: LegKind::Courier,
        departures: (0..5).map(departure).collect(),
        missed: 0.0,
    };
    let site = |name: &str| Site {
        name: name.into(),
        staffed: days(),
        boxing: Minutes(20),
        ..Site::default()
    };
    Region {
        sites: vec![site("Brindle"), site("Otter")],
        printers: [0, 0, 1]
            .map(|at| printer(at, false, Windows::default()))
            .into(),
        places: vec![Place {
            name: "desk".into(),
        }],
        legs: vec![leg(0), leg(1)],
        relays: Vec::new(),
        horizon: Some(Minute(6 * DAY)),
    }
}

fn plate(seq: u64, on: &[(usize, i64)], due: Option<i64>) -> Plate {
    let making = |&(at, min): &(usize, i64)| {
        let footprint = Footprint([100.0, 100.0, 50.0]);
        Making::new(PrinterIx(at), footprint, Minutes(min), Minutes(min))
    };
    Plate {
        seq: PlateSeq(seq),
        label: "hub".into(),
        material: "PLA".into(),
        makings: on.iter().map(making).collect(),
        release: Minute(0),
        to: PlaceIx(0),
        copies: 1,
        promise: due.map(|arrival| Promise {
            arrival: Minute(arrival),
            probability: 0.9,
        }),
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
    }
}

/// The plates one after the other, each at its best slot, from 08:00 on the first day.
fn planned(region: &Region, plates: &[Plate]) -> Plan {
    let (ground, mut plan) = (Ground::new(region), Plan::default());
    for plate in plates {
        let occupied = Occupied::by(&ground, plates, &plan);
        plan.put(best_slot(&ground, &occupied, plate, Minute(480)).unwrap());
    }
    plan
}

fn verdicts(region: &Region, plates: &[Plate], plan: &Plan, seq: u64) -> (Vec<Hold>, Vec<Verdict>) {
    let ground = Ground::new(region);
    let plate = plates.iter().find(|p| p.seq == PlateSeq(seq)).unwrap();
    let explainer = Explainer::new(&ground, plates, plan, Minute(480));
    let told = explainer
        .explain(plate, plan.of(plate.seq).unwrap())
        .unwrap();
    (
        told.holds,
        told.others.iter().map(|other| other.verdict).collect(),
    )
}

#[test]
fn a_plate_waits_for_the_one_before_and_for_the_evening_that_is_too_short() {
    let region = region();
    let plates = [plate(1, &[(0, 240)], None), plate(2, &[(0, 300)], None)];
    let plan = planned(&region, &plates);
    let (holds, _) = verdicts(&region, &plates, &plan, 2);
    let hold = |why, from, until| Hold {
        why,
        from: Minute(from),
        until: Minute(until),
    };
    // Taken until 12:00; five hours from then is after 16:00; so the next morning.
    let night = hold(Why::NobodyStays, 720, DAY + 480);
    assert_eq!(holds, [hold(Why::Taken(PlateSeq(1)), 480, 720), night]);
}

#[test]
fn each_other_printer_has_its_own_reason() {
    let mut region = region();
    region.printers[1].materials = vec!["PETG".into()];
    let plates = [
        plate(1, &[(2, 400)], None),
        plate(2, &[(0, 60), (2, 60)], None),
        plate(3, &[(0, 60), (1, 60)], None),
        plate(4, &[(0, 60), (2, 500)], None),
    ];
    let plan = planned(&region, &plates);
    let (_, of_two) = verdicts(&region, &plates, &plan, 2);
    assert_eq!(of_two[0], Verdict::NotThisMaterial);
    let Verdict::StartsLater(slot, hold) = of_two[1] else {
        panic!("{of_two:?}");
    };
    assert_eq!(
        (slot.start, hold.why),
        (Minute(880), Why::Taken(PlateSeq(1)))
    );
    let (_, of_three) = verdicts(&region, &plates, &plan, 3);
    assert_eq!(
        of_three[1],
        Verdict::ForOthers,
        "it has room, and is not made there"
    );
    let mut small = region.clone();
    small.printers[2].bed_mm = [10.0; 3];
    let (_, of_three) = verdicts(&small, &plates, &plan, 3);
    assert_eq!(of_three[1], Verdict::TooSmall, "no making there");
    let (_, of_four) = verdicts(&region, &plates, &plan, 4);
    let (takes, longest) = (Minutes(500), Minutes(480));
    assert_eq!(of_four[1], Verdict::NobodyStaysSoLong { takes, longest });
}

#[test]
fn what_runs_is_not_explained_away() {
    let region = region();
    let plates = [plate(1, &[(0, 240)], None)];
    let mut plan = planned(&region, &plates);
    plan.assignments[0].frozen = true;
    let ground = Ground::new(&region);
    let explainer = Explainer::new(&ground, &plates, &plan, Minute(480));
    assert_eq!(explainer.explain(&plates[0], &plan.assignments[0]), None);
}

#[test]
fn the_smallest_change_comes_first() {
    let region = region();
    // Due with the first round; the one before leaves too little of the day.
    let due = Some(DAY + 540);
    let plates = [plate(1, &[(0, 240)], None), plate(2, &[(0, 180)], due)];
    let plan = planned(&region, &plates);
    assert!(plan.of(PlateSeq(2)).unwrap().arrives > Minute(DAY + 540));
    let ground = Ground::new(&region);
    let found = would_keep(&ground, &plates, &plan, &plates[1], (Minute(480), 0));
    assert!(matches!(found[0].change, Change::MovePlate(to) if to.plate == PlateSeq(1)));
    // 15:00 off the bed, 15:20 boxed: the round would have to wait 20 minutes, and is then late.
    assert!(
        found
            .iter()
            .all(|k| !matches!(k.change, Change::LegLater { .. }))
    );
    let patient = Some(DAY + 570);
    let plates = [plates[0].clone(), plate(2, &[(0, 180)], patient)];
    let found = would_keep(&ground, &plates, &plan, &plates[1], (Minute(480), 0));
    let waits = found.iter().find_map(|k| match k.change {
        Change::LegLater { by, .. } => Some(by),
        _ => None,
    });
    assert_eq!(waits, Some(Minutes(20)));
}

#[test]
fn an_hour_more_or_a_printer_back_can_keep_it() {
    let mut region = region();
    let due = Some(2 * DAY + 540);
    // Five hours on the first evening are too long from 12:00, so the second day; 07:00 would do.
    let plates = [plate(1, &[(0, 420)], due), plate(2, &[(0, 420)], due)];
    region.legs[0].departures.remove(1);
    region.legs[0].departures.insert(
        1,
        Departure {
            leaves: Minute(DAY + 870),
            arrives: Minute(2 * DAY + 540),
        },
    );
    let plan = planned(&region, &plates);
    let ground = Ground::new(&region);
    let late = plates
        .iter()
        .find(|p| plan.of(p.seq).unwrap().arrives > Minute(2 * DAY + 540));
    let found = would_keep(&ground, &plates, &plan, late.unwrap(), (Minute(480), 0));
    let hour = found.iter().find_map(|k| match k.change {
        Change::HourMore { hour, .. } => Some(hour),
        _ => None,
    });
    assert_eq!(hour, Some(window(DAY + 420, DAY + 480)), "{found:?}");

    let both = [(0, 420), (1, 420)];
    let plates = [plates[0].clone(), plate(2, &both, due)];
    region.printers[1].out_of_use = Windows::joined(vec![window(0, 4 * DAY)]);
    let ground = Ground::new(&region);
    let found = would_keep(&ground, &plates, &plan, &plates[1], (Minute(480), 0));
    assert!(
        found
            .iter()
            .any(|k| k.change == Change::PrinterBack(PrinterIx(1)))
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Waits lie end to end from now to the start and none is without a name; and in a plan of best
    /// slots the last plate has no earlier place anywhere.
    #[test]
    fn every_wait_has_a_name((region, plates) in world()) {
        let ground = Ground::new(&region);
        let mut plan = Plan::default();
        let mut last = None;
        for plate in &plates {
            let occupied = Occupied::by(&ground, &plates, &plan);
            if let Some(slot) = best_slot(&ground, &occupied, plate, Minute(0)) {
                plan.put(slot);
                last = Some((plate, slot));
            }
        }
        let explainer = Explainer::new(&ground, &plates, &plan, Minute(0));
        for plate in &plates {
            let Some(place) = plan.of(plate.seq) else { continue };
            let told = explainer.explain(plate, place).unwrap();
            let mut rest = Occupied::by(&ground, &plates, &plan);
            rest.remove(place.printer, plate.seq);
            let own = plate.makings.iter().filter(|m| m.printer == place.printer);
            let alone = Plate { makings: own.copied().collect(), ..plate.clone() };
            let sooner = best_slot(&ground, &rest, &alone, Minute(0));
            let mut at = Minute(0);
            for hold in &told.holds {
                prop_assert_eq!(hold.from, at);
                // A plate that came later may have put the right material in.
                let named = hold.why != Why::Rule || sooner.is_some_and(|s| s.start < place.start);
                prop_assert!(hold.until > hold.from && named, "{:?}", hold);
                at = hold.until;
            }
            prop_assert_eq!(at, place.start);
        }
        if let Some((plate, place)) = last {
            let told = explainer.explain(plate, &place).unwrap();
            prop_assert_eq!(told.room, None);
            let earlier = |v: &Verdict| matches!(v, Verdict::Earlier(_));
            prop_assert!(!told.others.iter().any(|other| earlier(&other.verdict)));
        }
    }

    /// What is said to keep a promise is in time, and a plate that makes room is not harmed.
    #[test]
    fn what_would_keep_a_promise_keeps_it((region, mut plates) in world(), early in 1..90_i64) {
        let ground = Ground::new(&region);
        let plan = propose(&ground, &plates, &Plan::default(), Minute(0), 0).plan;
        for plate in &mut plates {
            let arrival = plan.of(plate.seq).map_or(Minute(200), |place| place.arrives - Minutes(early));
            plate.promise = Some(Promise { arrival, probability: 0.9 });
        }
        for plate in &plates {
            let due = plate.promise.unwrap().arrival;
            for kept in would_keep(&ground, &plates, &plan, plate, (Minute(0), 50)) {
                prop_assert!(kept.slot.arrives <= due && kept.slot.plate == plate.seq);
                if let Change::MovePlate(to) = kept.change {
                    let mut with = plan.clone();
                    with.put(to);
                    with.put(kept.slot);
                    let at: &Assignment = plan.of(to.plate).unwrap();
                    prop_assert!(to.arrives <= at.arrives, "promised earlier than planned already");
                    let clear = with.on(to.printer).windows(2).all(|w| w[0].cleared <= w[1].start);
                    prop_assert!(clear, "two plates on one bed");
                }
            }
        }
    }
}
