//! The search against the slow truth, and every plan and quote before the independent checker.

use partpledge_plan_check::check;
use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Ground, Occupied, Way, best_slot, propose, quote, slots};
use partpledge_planning_model::{Plan, Plate, Promise, Region};
use partpledge_units::time::{Minute, Minutes};
use proptest::prelude::*;

use crate::support::random::{HORIZON, all_places, window, world};

/// Plates placed one by one, each promised for just when the plan has it.
fn planned(region: &Region, plates: &mut [Plate]) -> Plan {
    let ground = Ground::new(region);
    let mut plan = Plan::default();
    for i in 0..plates.len() {
        let occupied = Occupied::by(&ground, &*plates, &plan);
        let plate = &mut plates[i];
        if let Some(slot) = best_slot(&ground, &occupied, plate, Minute(0)) {
            plate.promise = Some(Promise {
                arrival: slot.arrives,
                probability: 0.9,
            });
            plan.put(slot);
        }
    }
    plan
}

fn ask(plates: &[Plate], now: i64) -> Ask {
    let way = |label: &str, plates: &[Plate]| Way {
        label: label.into(),
        plates: plates.to_vec(),
    };
    Ask {
        ways: vec![way("first", &plates[..1]), way("all", plates)],
        level: 0.7,
        now: Minute(now),
        seed: 5,
        worlds: 60,
    }
}

/// Share of promised plates that the plan has too late or not at all, and minutes late.
fn harm(plates: &[Plate], plan: &Plan) -> (usize, i64) {
    let promised = plates
        .iter()
        .filter_map(|p| Some((p.seq, p.promise?.arrival)));
    let late = promised.map(|(seq, by)| plan.of(seq).map_or(9_999, |a| (a.arrives - by).0.max(0)));
    let late: Vec<i64> = late.filter(|&min| min > 0).collect();
    (late.len(), late.iter().sum())
}

proptest! {
    #[test]
    fn the_best_slot_is_the_best_of_all_minutes((region, mut plates) in world(), now in 0..HORIZON) {
        let last = plates.pop().expect("at least one plate");
        let plan = planned(&region, &mut plates);
        let ground = Ground::new(&region);
        let occupied = Occupied::by(&ground, &plates, &plan);
        let found = best_slot(&ground, &occupied, &last, Minute(now));
        let truth = all_places(&region, (&plates, &plan), &last, now)
            .into_iter()
            .min_by_key(|a| (a.arrives, a.cleared, a.end, a.printer, a.start));
        prop_assert_eq!(found, truth);
    }

    #[test]
    fn slots_are_feasible_distinct_and_in_order((region, mut plates) in world(), now in 0..HORIZON) {
        let last = plates.pop().expect("at least one plate");
        let plan = planned(&region, &mut plates);
        let ground = Ground::new(&region);
        let found = slots(&ground, &Occupied::by(&ground, &plates, &plan), &last, Minute(now), 3);
        let truth = all_places(&region, (&plates, &plan), &last, now);
        for slot in &found {
            prop_assert!(truth.contains(slot), "{:?}", slot);
        }
        for printer in 0..region.printers.len() {
            let here = |a: &&partpledge_planning_model::Assignment| a.printer.0 == printer;
            let first = truth.iter().find(here);
            let found_first = found.iter().filter(here).min_by_key(|a| a.start);
            prop_assert_eq!(found_first, first);
            let stays = region.printers[printer].stays.len().max(1);
            prop_assert!(found.iter().filter(here).count() <= 3 * stays);
        }
        let keys: Vec<_> =
            found.iter().map(|a| (a.arrives, a.cleared, a.end, a.printer, a.start)).collect();
        prop_assert!(keys.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn a_proposal_keeps_every_rule_and_harms_no_promise(
        (region, mut plates) in world(),
        now in 0..HORIZON / 2,
        given in 0..9_usize,
        hurry in 0..40_i64,
    ) {
        let given = given.min(plates.len());
        let mut before = planned(&region, &mut plates[..given]);
        // Some promises are already late, and what has started stays.
        for plate in &mut plates[..given] {
            if let Some(promise) = &mut plate.promise {
                promise.arrival = promise.arrival - Minutes(hurry);
            }
        }
        for place in &mut before.assignments {
            place.frozen = place.start < Minute(now);
        }
        let ground = Ground::new(&region);
        let proposal = propose(&ground, &plates, &before, Minute(now), 300);
        prop_assert_eq!(&proposal, &propose(&ground, &plates, &before, Minute(now), 300));
        prop_assert!(harm(&plates, &proposal.plan) <= harm(&plates, &before));
        let found = check(&region, &plates, &proposal.plan, Some(&before));
        let late = harm(&plates, &proposal.plan).0;
        prop_assert_eq!(found.iter().filter(|v| v.misses_a_promise()).count(), late);
        prop_assert_eq!(found.len(), late, "{:?}", found);
        for place in &proposal.plan.assignments {
            prop_assert!(place.frozen || place.start >= Minute(now));
        }
    }

    #[test]
    fn a_quote_given_keeps_every_rule(
        (region, mut plates) in world(),
        now in 0..HORIZON / 2,
        given in 0..9_usize,
    ) {
        let given = given.min(plates.len() - 1);
        let plan = planned(&region, &mut plates[..given]);
        let ground = Ground::new(&region);
        let ask = ask(&plates[given..], now);
        let answer = quote(&ground, &plates[..given], &plan, &ask);
        prop_assert_eq!(&answer, &quote(&ground, &plates[..given], &plan, &ask));
        let Ok(answer) = answer else { return Ok(()) };
        prop_assert!(answer.probability >= ask.level && answer.probability < 1.0);
        prop_assert!(answer.arrival >= answer.nominal);
        prop_assert!((answer.chance_by(answer.arrival) - answer.probability).abs() < 1e-12);
        let mut all = plates[..given].to_vec();
        let mut after = plan.clone();
        for (plate, slot) in ask.ways[answer.way].plates.iter().zip(&answer.assignments) {
            prop_assert!(slot.start >= Minute(now));
            all.push(Plate { promise: Some(promise(&answer)), ..plate.clone() });
            after.put(*slot);
        }
        prop_assert_eq!(check(&region, &all, &after, Some(&plan)), vec![]);
    }

    #[test]
    fn more_hours_or_another_printer_are_never_later(
        (mut region, mut plates) in world(),
        from in 0..HORIZON,
    ) {
        // More hours may join two windows into one, and hands are counted by the window.
        for site in &mut region.sites {
            site.starts_a_window = None;
        }
        let last = plates.pop().expect("at least one plate");
        let plan = planned(&region, &mut plates);
        let arrives = |region: &Region, plate: &Plate| {
            let ground = Ground::new(region);
            let slot = best_slot(&ground, &Occupied::by(&ground, &plates, &plan), plate, Minute(0));
            slot.map_or(Minute(i64::MAX), |slot| slot.arrives)
        };
        let now = arrives(&region, &last);
        let mut longer = region.clone();
        for site in &mut longer.sites {
            let mut open = site.staffed.as_slice().to_vec();
            open.push(window(from, from + 50));
            site.staffed = partpledge_planning_model::Windows::joined(open);
        }
        prop_assert!(arrives(&longer, &last) <= now);
        let mut more = region.clone();
        let printer = partpledge_planning_model::PrinterIx(more.printers.len());
        more.printers.push(region.printers[0].clone());
        let mut able = last.clone();
        able.makings.push(partpledge_planning_model::Making { printer, ..last.makings[0] });
        prop_assert!(arrives(&more, &able) <= now);
    }

    #[test]
    fn a_promise_given_elsewhere_never_makes_a_slot_earlier((mut region, mut plates) in world()) {
        // Another plate may put the right material in.
        for printer in &mut region.printers {
            printer.change = Minutes(0);
        }
        let last = plates.pop().expect("at least one plate");
        let ground = Ground::new(&region);
        let all = planned(&region, &mut plates);
        let mut plan = Plan::default();
        let mut before = Minute(i64::MIN);
        for place in &all.assignments {
            let slot = best_slot(&ground, &Occupied::by(&ground, &plates, &plan), &last, Minute(0));
            let arrives = slot.map_or(Minute(i64::MAX), |slot| slot.arrives);
            prop_assert!(arrives >= before);
            before = arrives;
            plan.put(*place);
        }
    }
}
