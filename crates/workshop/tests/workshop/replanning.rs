//! Replanning with plates whose start has come and that nobody has started yet.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_planning::{Ground, Occupied, best_slot};
use partpledge_planning_model::{
    Assignment, Footprint, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Promise, Wish,
};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::Session;
use partpledge_workshop::replanning::{GRACE, Situation, replan};

/// The valley with no store: a Tuesday morning, everybody is there.
async fn session(at: EventMs) -> Session {
    let nowhere = tempfile::tempdir().unwrap();
    let region = partpledge_testbed::ambrel_valley();
    Session::look(&nowhere.path().join("none"), region, at)
        .await
        .unwrap()
}

fn at(text: &str) -> EventMs {
    parse_rfc3339(text).unwrap()
}

/// A small plate for the first two printers of the first host, or only the first.
fn plate(seq: u64, printers: &[usize], minutes: i64, release: Minute) -> Plate {
    let making = |&printer: &usize| {
        let time = Minutes(minutes);
        Making::new(PrinterIx(printer), Footprint([50.0; 3]), time, time)
    };
    Plate {
        seq: PlateSeq(seq),
        label: "bracket".into(),
        material: "PLA".into(),
        makings: printers.iter().map(making).collect(),
        release,
        to: PlaceIx(0),
        copies: 1,
        promise: None,
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
    }
}

fn promised(mut plate: Plate, arrival: Minute) -> Plate {
    plate.promise = Some(Promise {
        arrival,
        probability: 0.9,
    });
    plate
}

/// Planned before now, in order: each at its best slot from `from` on.
fn planned(session: &Session, plates: &[Plate], from: Minute) -> Plan {
    let ground = Ground::new(&session.terrain.region);
    let mut plan = Plan::default();
    for plate in plates {
        let occupied = Occupied::by(&ground, plates, &plan);
        plan.put(best_slot(&ground, &occupied, plate, from).unwrap());
    }
    plan
}

fn place(plan: &Plan, seq: u64) -> Assignment {
    *plan.of(PlateSeq(seq)).unwrap()
}

#[tokio::test]
async fn a_late_reprint_whose_start_has_just_passed_keeps_its_place() {
    let early = at("2027-03-09T10:00:00+01:00");
    let from = Minute::at_or_after(early);
    let now = from + Minutes(10);
    // Late where it is planned, and in time on the second printer, which is free and quicker.
    let reprint = promised(plate(2, &[0], 240, from), from + Minutes(120));
    let plan = planned(&session(early).await, std::slice::from_ref(&reprint), from);
    let hour = Minutes(60);
    let second = Making::new(PrinterIx(1), Footprint([50.0; 3]), hour, hour);
    let plates = [Plate {
        makings: vec![reprint.makings[0], second],
        ..reprint
    }];
    let situation = Situation {
        plates: &plates,
        plan: &plan,
        running: &[],
        retimed: &[],
    };
    let replanned = replan(&session(now.to_ms()).await, &situation).unwrap();
    assert_eq!(place(&replanned.plan, 2), place(&plan, 2));
    assert_eq!(replanned.late, [PlateSeq(2)]);
    assert!(replanned.moved.is_empty());
    // A quarter of an hour after its start it goes where it is in time.
    let later = from + GRACE + Minutes(1);
    let replanned = replan(&session(later.to_ms()).await, &situation).unwrap();
    assert_eq!(place(&replanned.plan, 2).printer, PrinterIx(1));
    assert!(replanned.late.is_empty(), "{replanned:?}");
}

#[tokio::test]
async fn others_are_moved_for_a_late_plate_but_none_whose_start_has_come() {
    let early = at("2027-03-09T10:00:00+01:00");
    let from = Minute::at_or_after(early);
    // Plate 1 should have been started ten minutes ago, plate 3 comes after it on the same printer.
    let first = plate(1, &[0], 60, from);
    let third = plate(3, &[0], 180, from);
    let both = [first.clone(), third.clone()];
    let plan = planned(&session(early).await, &both, from);
    let now = from + Minutes(10);
    // A reprint that only this printer can make, and that is in time only before plate 3.
    let in_time = place(&plan, 1).cleared + Minutes(180);
    let reprint = promised(plate(4, &[0], 60, now), in_time);
    let plates = [first, third, reprint];
    let situation = Situation {
        plates: &plates,
        plan: &plan,
        running: &[],
        retimed: &[],
    };
    let replanned = replan(&session(now.to_ms()).await, &situation).unwrap();
    assert!(replanned.late.is_empty(), "{replanned:?}");
    assert_eq!(place(&replanned.plan, 1), place(&plan, 1));
    assert!(place(&replanned.plan, 4).start < place(&replanned.plan, 3).start);
    assert_eq!(replanned.moved, [PlateSeq(3)]);
}
