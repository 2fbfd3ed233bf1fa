//! Results of scheduling theory that a sound planner must meet: list scheduling, longest first, the
//! wrap-around bound, a printer that waits for people, and hand-overs by timetable.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use partpledge_planning::{Ground, Occupied, Ride, Stop, best_slot, journey, propose};
use partpledge_planning_model::{
    Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq, Printer,
    PrinterIx, Promise, Region, Relay, Site, SiteIx, Window, Windows,
};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

const DAY: i64 = 1_440;

fn printer() -> Printer {
    Printer {
        name: "Heron".into(),
        site: SiteIx(0),
        bed_mm: [200.0; 3],
        materials: vec!["PLA".into()],
        unattended: true,
        out_of_use: Windows::default(),
        start_failure: 0.0,
        failures_per_hour: 0.0,
        time_sigma: 0.0,
        ..Printer::default()
    }
}

/// Like printers with people there in these windows, and a counter open every minute: a plate is
/// in hand when it is off the bed, as a job of the textbooks is.
fn shop(printers: usize, staffed: &[(i64, i64)]) -> Region {
    let window = |&(from, until): &(i64, i64)| Window {
        from: Minute(from),
        until: Minute(until),
    };
    let last = staffed.last().unwrap().1;
    let counter = (0..=last).map(|at| Departure {
        leaves: Minute(at),
        arrives: Minute(at),
    });
    Region {
        sites: vec![Site {
            name: "Brindle".into(),
            staffed: Windows::joined(staffed.iter().map(window).collect()),
            boxing: Minutes(0),
            ..Site::default()
        }],
        printers: vec![printer(); printers],
        places: vec![Place {
            name: "desk".into(),
        }],
        legs: vec![Leg {
            from: SiteIx(0),
            to: PlaceIx(0),
            kind: LegKind::Counter,
            departures: counter.collect(),
            missed: 0.0,
        }],
        relays: Vec::new(),
        horizon: Some(Minute(last)),
    }
}

fn plates(printers: usize, lengths: &[i64], promise: Option<i64>) -> Vec<Plate> {
    let plate = |(seq, &length): (u64, &i64)| Plate {
        seq: PlateSeq(seq),
        label: "part".into(),
        material: "PLA".into(),
        makings: (0..printers)
            .map(|p| {
                let time = Minutes(length);
                Making::new(PrinterIx(p), Footprint([50.0; 3]), time, time)
            })
            .collect(),
        release: Minute(0),
        to: PlaceIx(0),
        copies: 1,
        promise: promise.map(|at| Promise {
            arrival: Minute(at),
            probability: 0.9,
        }),
        grams: 0,
        wish: partpledge_planning_model::Wish::default(),
        riders: Vec::new(),
    };
    (1..).zip(lengths).map(plate).collect()
}

/// Each plate in this order at its best slot, which on like printers is where one is free first: the
/// list scheduling of the papers. When the last is done.
fn in_order(region: &Region, lengths: &[i64]) -> i64 {
    let ground = Ground::new(region);
    let mut plan = Plan::default();
    let plates = plates(region.printers.len(), lengths, None);
    for plate in &plates {
        let occupied = Occupied::by(&ground, &plates, &plan);
        plan.put(best_slot(&ground, &occupied, plate, Minute(0)).unwrap());
    }
    plan.assignments
        .iter()
        .map(|place| place.cleared.0)
        .max()
        .unwrap()
}

/// How many plates a proposal has later than they are all promised for.
fn late(region: &Region, lengths: &[i64], promise: i64) -> usize {
    let ground = Ground::new(region);
    let plates = plates(region.printers.len(), lengths, Some(promise));
    let plan = propose(&ground, &plates, &Plan::default(), Minute(0), 4_000).plan;
    let late = |plate: &&Plate| {
        plan.of(plate.seq)
            .is_none_or(|place| place.arrives.0 > promise)
    };
    plates.iter().filter(late).count()
}

#[test]
fn longest_first_is_as_bad_as_graham_says_and_the_search_finds_the_best() {
    // Graham 1969: (4/3 - 1/(3m)) of the best at worst; two each of 2m-1, ..., m+1 and three of m
    // reach it (from memory). CHECKS.md, section 7, and ops_worked.json, graham_lpt (R): 7 for 6,
    // 11 for 9, 15 for 12.
    let worked = [(2, 7, 6), (3, 11, 9), (4, 15, 12)];
    for m in 2..=6_i64 {
        let pairs = (m + 1..2 * m).rev().flat_map(|length| [length, length]);
        let lengths: Vec<i64> = pairs.chain([m; 3]).collect();
        let region = shop(usize::try_from(m).unwrap(), &[(0, 200)]);
        let (longest_first, best) = (in_order(&region, &lengths), 3 * m);
        assert_eq!(3 * m * longest_first, (4 * m - 1) * best, "{m} printers");
        if let Some(row) = worked.iter().find(|row| row.0 == m) {
            assert_eq!((longest_first, best), (row.1, row.2));
        }
        assert_eq!(late(&region, &lengths, best), 0, "{m} printers");
        // No plan is shorter than all work shared out evenly.
        assert_eq!(lengths.iter().sum::<i64>(), m * best);
        assert!(late(&region, &lengths, best - 1) > 0);
    }
}

#[test]
fn any_list_is_as_bad_as_graham_says_and_the_search_finds_the_best() {
    // Graham 1966 (from memory): 2 - 1/m of the best at worst; m(m-1) short ones and a long one last.
    for m in 2..=6_i64 {
        let many = usize::try_from(m * (m - 1)).unwrap();
        let mut lengths = vec![1; many];
        lengths.push(m);
        let region = shop(usize::try_from(m).unwrap(), &[(0, 200)]);
        let listed = in_order(&region, &lengths);
        assert_eq!(m * listed, (2 * m - 1) * m, "{m} printers");
        assert_eq!(late(&region, &lengths, m), 0, "{m} printers");
        assert!(late(&region, &lengths, m - 1) > 0);
    }
}

/// `McNaughton` 1959 (from memory): jobs that may be broken off are done by the longer of the longest
/// job and all work shared out evenly; and here is how, one machine filled after the other. Pieces
/// as (job, machine, from, until).
fn wrapped(lengths: &[i64], machines: i64) -> (i64, Vec<(usize, i64, i64, i64)>) {
    let all: i64 = lengths.iter().sum();
    let bound = (all + machines - 1) / machines;
    let bound = bound.max(*lengths.iter().max().unwrap());
    let (mut machine, mut at, mut pieces) = (0, 0, Vec::new());
    for (job, &length) in lengths.iter().enumerate() {
        let mut left = length;
        while left > 0 {
            let piece = left.min(bound - at);
            pieces.push((job, machine, at, at + piece));
            (at, left) = (at + piece, left - piece);
            if at == bound {
                (machine, at) = (machine + 1, 0);
            }
        }
    }
    (bound, pieces)
}

#[test]
fn plates_of_one_length_meet_the_wrap_around_bound_where_they_can() {
    let mut dice = Dice::seeded(59);
    let mut met = 0;
    for _ in 0..200 {
        let (m, length) = (dice.between(2, 6), dice.between(5, 40));
        // Requests of one to six plates each; a request may be on several printers at once.
        let requests: Vec<i64> = (0..dice.between(2, 9))
            .map(|_| dice.between(1, 7))
            .collect();
        let plates: i64 = requests.iter().sum();
        let jobs: Vec<i64> = requests.iter().map(|many| many * length).collect();
        let (bound, pieces) = wrapped(&jobs, m);
        // The bound can be met by jobs that are broken off: no machine beyond the last, and no job
        // in two places at once.
        for (i, a) in pieces.iter().enumerate() {
            assert!(a.1 < m && a.3 <= bound);
            let same = pieces[..i].iter().filter(|b| b.0 == a.0);
            assert!(same.into_iter().all(|b| b.3 <= a.2 || a.3 <= b.2));
        }
        let region = shop(usize::try_from(m).unwrap(), &[(0, 3_000)]);
        let lengths = vec![length; usize::try_from(plates).unwrap()];
        let ours = in_order(&region, &lengths);
        let shared = (plates * length + m - 1) / m;
        assert!(
            shared <= ours && ours < shared + length,
            "{ours} {shared} {length}"
        );
        assert_eq!(ours, length * ((plates + m - 1) / m));
        if plates % m == 0 {
            assert_eq!(ours, shared);
            assert!(ours <= bound, "plates of a request may run side by side");
            met += 1;
        }
    }
    assert!(met > 20, "{met}");
}

#[test]
fn a_plate_that_ends_in_the_night_keeps_the_printer_until_morning() {
    // Worked by hand: people are there 08:00 to 16:00, it is Monday 14:00. The four-hour plate ends at
    // 18:00; nobody takes it off before Tuesday 08:00, so the one-hour plate is done at 09:00.
    let region = shop(1, &[(480, 960), (DAY + 480, DAY + 960)]);
    let ground = Ground::new(&region);
    let place = |plan: &Plan, seq| {
        let place = plan.of(PlateSeq(seq)).unwrap();
        [place.start, place.end, place.cleared].map(|at| at.0)
    };
    let now = Minute(840);
    let mut both = plates(1, &[240, 60], None);
    let plan = propose(&ground, &both, &Plan::default(), now, 0).plan;
    assert_eq!(place(&plan, 1), [840, 1_080, DAY + 480]);
    assert_eq!(place(&plan, 2), [DAY + 480, DAY + 540, DAY + 540]);
    // The short one first costs the long one nothing: it is off at the same minute of the morning.
    both[1].promise = Some(Promise {
        arrival: Minute(960),
        probability: 0.9,
    });
    let plan = propose(&ground, &both, &Plan::default(), now, 100).plan;
    assert_eq!(place(&plan, 2), [840, 900, 900]);
    assert_eq!(place(&plan, 1), [900, 1_140, DAY + 480]);
}

/// Where a box is, and when: a time-expanded graph, searched by Dijkstra (1959). Edges: wait a minute
/// where it is, or take a departure that leaves now; at a place it is handled first.
fn earliest(region: &Region, from: SiteIx, to: PlaceIx, ready: i64, last: i64) -> Option<i64> {
    #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    enum At {
        Site(i64),
        /// A place, since when it is there, now.
        Place(usize, i64, i64),
    }
    let mut queue = BinaryHeap::from([Reverse((ready, At::Site(ready)))]);
    let mut seen: BTreeMap<At, i64> = BTreeMap::new();
    while let Some(Reverse((time, at))) = queue.pop() {
        if seen.insert(at, time).is_some() {
            continue;
        }
        let mut go = |next: At, time: i64| queue.push(Reverse((time, next)));
        let leaving = |departures: &[Departure], now: i64| -> Vec<i64> {
            let now = departures.iter().filter(|d| d.leaves.0 == now);
            now.map(|departure| departure.arrives.0).collect()
        };
        match at {
            At::Place(place, since, now) if since == now && place == to.0 => return Some(now),
            At::Place(place, since, now) => {
                if now < last {
                    go(At::Place(place, since, now + 1), now + 1);
                }
                let mut relays = region.relays.iter();
                let handled = |handling: Minutes| since + handling.0 <= now;
                for relay in relays
                    .by_ref()
                    .filter(|r| r.from.0 == place && handled(r.handling))
                {
                    for arrives in leaving(&relay.departures, now) {
                        go(At::Place(relay.to.0, arrives, arrives), arrives);
                    }
                }
            }
            At::Site(now) => {
                if now < last {
                    go(At::Site(now + 1), now + 1);
                }
                for leg in region.legs.iter().filter(|leg| leg.from == from) {
                    for arrives in leaving(&leg.departures, now) {
                        go(At::Place(leg.to.0, arrives, arrives), arrives);
                    }
                }
            }
        }
    }
    None
}

fn departures(dice: &mut Dice, most: usize) -> Vec<Departure> {
    let one = |dice: &mut Dice| {
        let leaves = dice.between(0, 300);
        Departure {
            leaves: Minute(leaves),
            arrives: Minute(leaves + dice.between(0, 90)),
        }
    };
    let mut departures: Vec<Departure> = (0..dice.below(most)).map(|_| one(dice)).collect();
    departures.sort_unstable();
    departures
}

/// Two sites and four places with legs and relays between some of them.
fn network(dice: &mut Dice) -> Region {
    let mut region = shop(1, &[(0, 300)]);
    region.sites.push(region.sites[0].clone());
    let places = ["gym", "hall", "lab"].map(|name| Place { name: name.into() });
    region.places.extend(places);
    let leg = |dice: &mut Dice| Leg {
        from: SiteIx(dice.below(2)),
        to: PlaceIx(dice.below(4)),
        kind: LegKind::Courier,
        departures: departures(dice, 8),
        missed: 0.0,
    };
    let relay = |dice: &mut Dice| Relay {
        from: PlaceIx(dice.below(4)),
        to: PlaceIx(dice.below(4)),
        kind: LegKind::Courier,
        handling: Minutes(dice.between(0, 20)),
        departures: departures(dice, 8),
        missed: 0.0,
    };
    region.legs = (0..5).map(|_| leg(dice)).collect();
    region.relays = (0..dice.below(7)).map(|_| relay(dice)).collect();
    region
}

#[test]
fn hand_overs_are_those_of_a_time_expanded_graph() {
    let mut dice = Dice::seeded(17);
    let (mut reached, mut several) = (0, 0);
    for _ in 0..60 {
        let region = network(&mut dice);
        let ground = Ground::new(&region);
        for (from, to) in (0..2).flat_map(|from| (0..4).map(move |to| (from, to))) {
            let (from, to) = (SiteIx(from), PlaceIx(to));
            for ready in (0..310).step_by(7) {
                let truth = earliest(&region, from, to, ready, 310);
                let ours = ground.arrival(from, to, Minute(ready));
                assert_eq!(ours.map(|at| at.0), truth, "{from:?} {to:?} {ready}");
                let rides = journey(&region, (from, to), Minute(ready));
                assert_eq!(rides.last().map(|ride| ride.departure.arrives.0), truth);
                hangs_together(&region, (from, ready), &rides);
                reached += usize::from(truth.is_some());
                several += usize::from(rides.len() > 1);
                // And back: what is handed over by then was ready in time, a minute later it was not.
                let by = Minute(ready);
                if let Some(latest) = ground.ready_by(from, to, by) {
                    assert!(ground.arrival(from, to, latest).unwrap() <= by);
                    let next = ground.arrival(from, to, latest + Minutes(1));
                    assert!(next.is_none_or(|next| next > by));
                } else {
                    let first = ground.arrival(from, to, Minute(i64::MIN / 2));
                    assert!(first.is_none_or(|first| first > by));
                }
            }
        }
    }
    assert!(reached > 4_000 && several > 500, "{reached} {several}");
}

/// Each ride leaves from where the one before it came to, once the box was handled there.
fn hangs_together(region: &Region, (from, ready): (SiteIx, i64), rides: &[Ride]) {
    let (mut at, mut since) = (Stop::Site(from), Minute(ready));
    for ride in rides {
        assert_eq!(ride.from, at);
        let runs = |departures: &[Departure]| departures.contains(&ride.departure);
        let known = match at {
            Stop::Site(site) => {
                since <= ride.departure.leaves
                    && region
                        .legs
                        .iter()
                        .any(|leg| leg.from == site && leg.to == ride.to && runs(&leg.departures))
            }
            Stop::Place(place) => region.relays.iter().any(|relay| {
                relay.from == place
                    && relay.to == ride.to
                    && since + relay.handling <= ride.departure.leaves
                    && runs(&relay.departures)
            }),
        };
        assert!(known, "{ride:?}");
        (at, since) = (Stop::Place(ride.to), ride.departure.arrives);
    }
}
