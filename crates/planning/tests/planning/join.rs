//! Copies that go on a plate which is planned already. Minute 0 is a Monday, 00:00; people are
//! there 08:00 to 16:00, one printer, nothing runs unattended.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use partpledge_plan_check::check;
use partpledge_planning::{
    Ask, Ground, Join, Joinable, Outlook, Standing, Way, forecast, in_time, quote, quote_joined,
};
use partpledge_planning_model::{
    Assignment, Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq,
    Printer, PrinterIx, Promise, Region, Rider, Site, SiteIx, Window, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};

const DAY: i64 = 1_440;
const NOW: Minute = Minute(480);

fn region() -> Region {
    let days = || (0..14).filter(|day| day % 7 < 5);
    let staffed = days().map(|day| Window {
        from: Minute(day * DAY + 480),
        until: Minute(day * DAY + 960),
    });
    let leg = |to, leaves: i64| Leg {
        from: SiteIx(0),
        to: PlaceIx(to),
        kind: LegKind::Courier,
        departures: days()
            .map(|day| Departure {
                leaves: Minute(day * DAY + leaves),
                arrives: Minute(day * DAY + leaves + 60),
            })
            .collect(),
        missed: 0.0,
    };
    Region {
        sites: vec![Site {
            name: "Site".into(),
            staffed: Windows::joined(staffed.collect()),
            boxing: Minutes(15),
            ..Site::default()
        }],
        printers: vec![Printer {
            name: "Heron".into(),
            site: SiteIx(0),
            bed_mm: [200.0; 3],
            materials: vec!["PLA".into()],
            start_failure: 0.02,
            failures_per_hour: 0.01,
            time_sigma: 0.05,
            ..Printer::default()
        }],
        places: ["near", "far"]
            .map(|name| Place { name: name.into() })
            .into(),
        // To the one at 15:00, to the other at 17:00.
        legs: vec![leg(0, 900), leg(1, 1_020)],
        relays: Vec::new(),
        horizon: Some(Minute(14 * DAY)),
    }
}

fn plate(seq: u64, to: usize, minutes: i64) -> Plate {
    let (size, nominal) = (Footprint([100.0, 100.0, 20.0]), Minutes(minutes));
    Plate {
        seq: PlateSeq(seq),
        label: "part".into(),
        material: "PLA".into(),
        makings: vec![Making::new(
            PrinterIx(0),
            size,
            nominal,
            nominal + Minutes(15),
        )],
        release: NOW,
        to: PlaceIx(to),
        copies: 1,
        promise: None,
        grams: 10,
        wish: Wish::default(),
        riders: Vec::new(),
    }
}

fn asked(plate: &Plate) -> Ask {
    Ask {
        ways: vec![Way {
            label: "one".into(),
            plates: vec![plate.clone()],
        }],
        level: 0.9,
        now: NOW,
        seed: 3,
        worlds: 400,
    }
}

/// The plates of so many teams, each quoted and given in turn: two and a half hours each.
fn given(region: &Region, many: u64) -> (Vec<Plate>, Plan) {
    let ground = Ground::new(region);
    let (mut plates, mut plan) = (Vec::new(), Plan::default());
    for seq in 1..=many {
        let mut plate = plate(seq, 0, 150);
        let found = quote(&ground, &plates, &plan, &asked(&plate)).unwrap();
        found.assignments.iter().for_each(|slot| plan.put(*slot));
        plate.promise = Some(Promise {
            arrival: found.arrival,
            probability: found.probability,
        });
        plates.push(plate);
    }
    (plates, plan)
}

/// A plate with another team's copies on it, taking so much longer.
fn grown(plate: &Plate, to: usize, more: i64) -> Plate {
    let makings = plate.makings.iter().map(|making| {
        let nominal = making.nominal + Minutes(more);
        Making::new(
            making.printer,
            making.footprint,
            nominal,
            nominal + Minutes(15),
        )
    });
    Plate {
        makings: makings.collect(),
        riders: vec![Rider {
            to: PlaceIx(to),
            copies: 1,
            promise: None,
            wish: Wish::default(),
        }],
        ..plate.clone()
    }
}

fn join(plate: Plate) -> Join {
    Join {
        plate,
        alone: vec![true; 9],
        level: 0.9,
        now: NOW,
        seed: 3,
        worlds: 400,
    }
}

fn slot_of(plan: &Plan, seq: u64) -> Assignment {
    *plan.of(PlateSeq(seq)).unwrap()
}

#[test]
fn a_small_part_rides_along_and_comes_a_day_before_its_own_plate_would() {
    let region = region();
    let ground = Ground::new(&region);
    let (plates, plan) = given(&region, 4);
    let alone = quote(&ground, &plates, &plan, &asked(&plate(5, 1, 200))).unwrap();
    let last = &plates[3];
    let joined = quote_joined(&ground, &plates, &plan, &join(grown(last, 1, 30)));
    let (joined, slot) = joined.unwrap();
    assert!(
        joined.arrival + Minutes(DAY - 60) <= alone.arrival,
        "{joined:?} {alone:?}"
    );
    assert!(joined.probability >= 0.9);
    let own = joined.assignments[0];
    assert_eq!((own.start, own.ready), (slot.start, slot.ready));
    assert_eq!(
        own.arrives.0.rem_euclid(DAY),
        1_080,
        "by the round of the far place"
    );
    assert_eq!(
        (slot.plate, slot.start),
        (PlateSeq(4), slot_of(&plan, 4).start)
    );
    // The promise is of the far place, the place in the plan says when it is at the near one.
    let promise = Promise {
        arrival: joined.arrival,
        probability: joined.probability,
    };
    let mut after = plates.clone();
    after[3] = grown(last, 1, 30);
    after[3].riders[0].promise = Some(promise);
    let mut changed = plan.clone();
    changed.put(slot);
    assert_eq!(check(&region, &after, &changed, Some(&plan)), []);
    assert!(in_time(&ground, &after[3], &slot));
    after[3].riders[0].promise = Some(Promise {
        arrival: Minute(slot.ready.0),
        ..promise
    });
    let late = check(&region, &after, &changed, Some(&plan));
    assert_eq!(late.len(), 1);
    assert!(late[0].misses_a_promise());
    assert!(!in_time(&ground, &after[3], &slot));
}

#[test]
fn a_plate_that_would_reach_into_the_next_one_stays_as_it_is() {
    let region = region();
    let ground = Ground::new(&region);
    let (plates, plan) = given(&region, 3);
    let room = slot_of(&plan, 2).start - slot_of(&plan, 1).end;
    let least = |more| quote_joined(&ground, &plates, &plan, &join(grown(&plates[0], 1, more)));
    assert!(least(room.0 + 1).is_none());
}

#[test]
fn a_promise_on_the_plate_is_not_put_at_risk_for_another_team() {
    let region = region();
    let ground = Ground::new(&region);
    let (mut plates, plan) = given(&region, 3);
    let on_it = plates[2].clone();
    let longer = |plates: &[Plate], more| {
        let plate = plates.last().unwrap();
        quote_joined(&ground, plates, &plan, &join(grown(plate, 1, more)))
    };
    // Two hours more leave no time to make it again on the day that it is promised for.
    assert!(longer(&plates, 120).is_none(), "its chance suffers");
    let slot = slot_of(&plan, 3);
    let promised = |arrival| {
        Some(Promise {
            arrival,
            ..on_it.promise.unwrap()
        })
    };
    plates[2].promise = promised(slot.arrives + Minutes(3 * DAY));
    assert!(longer(&plates, 120).is_some(), "three days in hand");
    // Promised for the very round that it is planned for, and likely to miss it then.
    plates[2].promise = promised(slot.arrives);
    let left = Minutes(900 - slot.ready.0.rem_euclid(DAY));
    assert!(left.0 > 0);
    assert!(longer(&plates, left.0 + 1).is_none(), "planned late");
}

#[test]
fn plates_of_the_same_plastic_that_start_late_enough_are_looked_at_until_none_is_better() {
    let region = region();
    let ground = Ground::new(&region);
    let (mut plates, mut plan) = given(&region, 6);
    let alone = plate(7, 0, 30);
    let looked_at = |plates: &[Plate], plan: &Plan, from_by: (Minute, Minute)| -> Vec<u64> {
        let open = plates.iter();
        let mut search: Joinable<'_, ()> = Joinable::among(&ground, plan, open, &alone, from_by);
        std::iter::from_fn(|| search.next_plate().map(|plate| plate.seq.0)).collect()
    };
    let (ever, never) = (Minute(0), Minute(i64::MAX));
    assert_eq!(
        looked_at(&plates, &plan, (ever, never)),
        [1, 2, 3],
        "at most three"
    );
    let second = slot_of(&plan, 2);
    assert_eq!(looked_at(&plates, &plan, (second.start, never)), [2, 3, 4]);
    let after = (second.start + Minutes(1), never);
    assert_eq!(looked_at(&plates, &plan, after), [3, 4, 5]);
    assert_eq!(
        looked_at(&plates, &plan, (ever, Minute(second.arrives.0 - 1))),
        []
    );
    plates[0].material = "PETG".into();
    plan.put(Assignment {
        frozen: true,
        ..second
    });
    assert_eq!(looked_at(&plates, &plan, (ever, never)), [3, 4, 5]);
    // What is there with the third plate can only be beaten by what is there sooner.
    let mut search = Joinable::among(&ground, &plan, plates.iter(), &alone, (ever, never));
    assert!(search.next_plate().is_some());
    search.offer(slot_of(&plan, 4).arrives, "third");
    search.offer(slot_of(&plan, 4).arrives + Minutes(1), "later");
    assert!(search.next_plate().is_none());
    assert_eq!(search.best(), Some("third"));
}

#[test]
fn what_runs_and_what_is_not_planned_can_not_be_joined() {
    let region = region();
    let ground = Ground::new(&region);
    let (plates, mut plan) = given(&region, 3);
    let ask = join(grown(&plates[2], 1, 10));
    assert!(quote_joined(&ground, &plates, &plan, &ask).is_some());
    plan.put(Assignment {
        frozen: true,
        ..slot_of(&plan, 3)
    });
    assert!(quote_joined(&ground, &plates, &plan, &ask).is_none());
    plan.assignments.retain(|place| place.plate != PlateSeq(3));
    assert!(quote_joined(&ground, &plates, &plan, &ask).is_none());
}

#[test]
fn one_small_join_after_another_can_not_wear_a_promise_down() {
    let mut region = region();
    // Long hours and many failures: each further minute on the plate costs a bit of its chance.
    region.printers[0].failures_per_hour = 0.06;
    let ground = Ground::new(&region);
    let (mut plates, mut plan) = given(&region, 3);
    let promise = Promise {
        probability: 0.85,
        ..plates[2].promise.unwrap()
    };
    plates[2].promise = Some(promise);
    let chance = |plates: &[Plate], plan: &Plan| {
        let asked = Outlook {
            plates: vec![(&plates[2], Standing::Planned(plan.of(PlateSeq(3)).copied()))],
            now: NOW,
            seed: 3,
            worlds: 400,
        };
        forecast(&ground, plates, plan, &asked).chance_by(promise.arrival)
    };
    let mut joins = 0;
    loop {
        let asked = join(grown(&plates[2], 0, 5));
        let Some((_, slot)) = quote_joined(&ground, &plates, &plan, &asked) else {
            break;
        };
        plates[2] = Plate {
            riders: Vec::new(),
            ..asked.plate
        };
        plan.put(slot);
        joins += 1;
    }
    let left = chance(&plates, &plan);
    assert!(joins > 3, "{joins}");
    assert!(left + 0.015 >= promise.probability, "{left}");
}
