//! A forecast of a pledge just quoted says what the quote said; what is known later changes it.
//! Minute 0 is a Monday, 00:00; people are there 08:00 to 16:00.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use partpledge_planning::{
    Ask, Ground, Outlook, Quote, Standing, Way, forecast, quote, started_at,
};
use partpledge_planning_model::{
    Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq, Printer,
    PrinterIx, Region, Site, SiteIx, Window, Windows, Wish,
};
use partpledge_units::time::{Minute, Minutes};

const DAY: i64 = 1_440;
const WORLDS: u64 = 400;

fn region() -> Region {
    let days = (0..21).filter(|day| day % 7 < 5);
    let staffed = days.clone().map(|day| Window {
        from: Minute(day * DAY + 480),
        until: Minute(day * DAY + 960),
    });
    let departures = days.map(|day| Departure {
        leaves: Minute(day * DAY + 900),
        arrives: Minute((day + 1) * DAY + 540),
    });
    let printer = |name: &str| Printer {
        name: name.into(),
        site: SiteIx(0),
        bed_mm: [200.0; 3],
        materials: vec!["PLA".into()],
        unattended: false,
        out_of_use: Windows::default(),
        start_failure: 0.05,
        failures_per_hour: 0.02,
        time_sigma: 0.06,
        ..Printer::default()
    };
    Region {
        sites: vec![Site {
            name: "Site".into(),
            staffed: Windows::joined(staffed.collect()),
            boxing: Minutes(15),
            ..Site::default()
        }],
        printers: vec![printer("Heron"), printer("Teal")],
        places: vec![Place {
            name: "desk".into(),
        }],
        legs: vec![Leg {
            from: SiteIx(0),
            to: PlaceIx(0),
            kind: LegKind::Courier,
            departures: departures.collect(),
            missed: 0.0,
        }],
        relays: Vec::new(),
        horizon: Some(Minute(21 * DAY)),
    }
}

fn plate(seq: u64, hours: i64) -> Plate {
    let making = |printer| {
        Making::new(
            PrinterIx(printer),
            Footprint([100.0, 100.0, 20.0]),
            Minutes(hours * 60),
            Minutes(hours * 60 + 20),
        )
    };
    Plate {
        seq: PlateSeq(seq),
        label: "part".into(),
        material: "PLA".into(),
        makings: vec![making(0), making(1)],
        release: Minute(480),
        to: PlaceIx(0),
        copies: 1,
        promise: None,
        grams: 0,
        wish: Wish::default(),
        riders: Vec::new(),
    }
}

/// Two plates of one request, quoted on a plan with another team's plate in it.
#[derive(Clone)]
struct Case {
    region: Region,
    others: Vec<Plate>,
    plan: Plan,
    own: Vec<Plate>,
    quote: Quote,
}

const NOW: Minute = Minute(480);

fn ask(own: &[Plate]) -> Ask {
    Ask {
        ways: vec![Way {
            label: "one".into(),
            plates: own.to_vec(),
        }],
        level: 0.9,
        now: NOW,
        seed: 5,
        worlds: WORLDS,
    }
}

fn case() -> Case {
    let region = region();
    let ground = Ground::new(&region);
    let others = vec![plate(1, 3)];
    let first = quote(&ground, &[], &Plan::default(), &ask(&others)).unwrap();
    let mut plan = Plan::default();
    first.assignments.iter().for_each(|slot| plan.put(*slot));
    let own = vec![plate(2, 4), plate(3, 2)];
    let quote = quote(&ground, &others, &plan, &ask(&own)).unwrap();
    quote.assignments.iter().for_each(|slot| plan.put(*slot));
    Case {
        others,
        plan,
        own,
        quote,
        region: region.clone(),
    }
}

impl Case {
    fn look(&self, standings: [Standing; 2], now: Minute) -> partpledge_planning::Forecast {
        let ground = Ground::new(&self.region);
        let outlook = Outlook {
            plates: self.own.iter().zip(standings).collect(),
            now,
            seed: 5,
            worlds: WORLDS,
        };
        forecast(&ground, &self.others, &self.plan, &outlook)
    }

    fn planned(&self) -> [Standing; 2] {
        [0, 1].map(|i| Standing::Planned(Some(self.quote.assignments[i])))
    }
}

#[test]
fn a_pledge_just_quoted_is_forecast_as_it_was_quoted() {
    let case = case();
    let seen = case.look(case.planned(), NOW);
    assert_eq!(seen.outlook, case.quote.outlook, "world by world the same");
    // Once given it is among the known ones; what it asked for itself makes nobody else ask.
    let mut known = case.others.clone();
    known.extend(case.own.clone());
    let all = Case {
        others: known,
        ..case.clone()
    };
    let given = all.look(all.planned(), NOW);
    assert_eq!(
        given.outlook, case.quote.outlook,
        "the same after it was given"
    );
    let promised = seen.chance_by(case.quote.arrival);
    assert!((promised - case.quote.probability).abs() < 1e-12);
    assert!(seen.by(0.9).unwrap() <= case.quote.arrival);
}

#[test]
fn what_is_boxed_is_surer_than_what_is_planned_and_what_is_late_is_less_sure() {
    let case = case();
    let planned = case.look(case.planned(), NOW);
    let slots = &case.quote.assignments;
    // Both in their boxes two hours before the courier of the day that the plan counts on.
    let leaves = slots.iter().map(|slot| slot.arrives).max().unwrap() - Minutes(DAY + 540 - 900);
    let boxed = leaves - Minutes(120);
    let done = [0, 1].map(|i| Standing::Boxed(slots[i], boxed));
    let sure = case.look(done, boxed);
    let nominal = slots.iter().map(|slot| slot.arrives).max().unwrap();
    assert!(sure.chance_by(nominal) > planned.chance_by(nominal));
    assert!(
        sure.chance_by(nominal) > 0.99,
        "nothing can go wrong any more"
    );
    // A day later the same plates are not even started.
    let later = NOW + Minutes(DAY);
    let late = case.look([Standing::Planned(None); 2], later);
    assert!(late.chance_by(case.quote.arrival) < planned.chance_by(case.quote.arrival));
}

#[test]
fn a_run_under_way_keeps_its_printer_and_its_luck_is_open() {
    let case = case();
    let ground = Ground::new(&case.region);
    let slot = case.quote.assignments[0];
    let start = slot.start;
    let now = start + Minutes(60);
    let running = started_at(&ground, &case.own[0], slot.printer, start, now).unwrap();
    assert_eq!(
        (running.start, running.end, running.frozen),
        (start, slot.end, true)
    );
    let other = case.planned()[1];
    let seen = case.look([Standing::Running(running), other], now);
    let chance = seen.chance_by(case.quote.arrival);
    assert!(chance > 0.5 && chance < 1.0, "{chance}");
    // Far over its time, it still has the printer, and is cleared when people are there.
    let over = slot.end + Minutes(45);
    let long = started_at(&ground, &case.own[0], slot.printer, start, over).unwrap();
    assert!(long.end == over && long.cleared >= over && long.arrives >= slot.arrives);
    // The printer can't make a plate that it has no making for.
    assert_eq!(
        started_at(&ground, &case.own[0], PrinterIx(7), start, now),
        None
    );
}
