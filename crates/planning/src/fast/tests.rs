//! What is left out as too late or not sure enough is never the best.

use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_units::time::Minute;
use proptest::prelude::*;

use super::{Foresight, searched};
use crate::insert::Occupied;
use crate::quote::{Ask, Way};
use crate::slots::best_slot;
use crate::{Ground, NoQuote, Quote};

use crate::random::{HORIZON, world};

/// Ways of one plate, of two that may share a printer, and of all.
fn ways(plates: &[Plate]) -> Vec<Way> {
    let way = |many: usize| Way {
        label: format!("{many} plates"),
        plates: plates[..many].to_vec(),
    };
    let mut sizes = vec![1, 2.min(plates.len()), plates.len()];
    sizes.dedup();
    sizes.into_iter().map(way).collect()
}

/// When, which way, and where.
type Told = (Minute, usize, Vec<(usize, Minute)>);

fn told(answer: Result<Quote, NoQuote>) -> Result<Told, NoQuote> {
    answer.map(|quote| {
        let slots = quote.assignments.iter();
        let slots = slots.map(|slot| (slot.printer.0, slot.start)).collect();
        (quote.arrival, quote.way, slots)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]
    #[test]
    fn what_can_not_be_the_best_is_left_out_without_a_trace(
        (mut region, mut plates) in world(),
        now in 0..HORIZON / 2,
        level in 0.3..0.97_f64,
        no_show in prop_oneof![Just(0.0), 0.0..0.3_f64],
        missed in prop_oneof![Just(0.0), 0.0..0.3_f64],
    ) {
        region.sites.iter_mut().for_each(|site| site.no_show = no_show);
        region.legs.iter_mut().for_each(|leg| leg.missed = missed);
        let ground = Ground::new(&region);
        let given = plates.split_off(plates.len() / 2);
        prop_assume!(!plates.is_empty());
        let mut plan = Plan::default();
        for plate in &given {
            let occupied = Occupied::by(&ground, &given, &plan);
            if let Some(slot) = best_slot(&ground, &occupied, plate, Minute(0)) {
                plan.put(slot);
            }
        }
        let ask = Ask { ways: ways(&plates), level, now: Minute(now), seed: 5, worlds: 0 };
        let answer = |stops: bool| {
            let mut foresight = Foresight::new(&ground, &given, &plan, ask.now, 3);
            searched((&ground, &given, &plan), &ask, &mut foresight, stops)
        };
        let (short, whole) = (answer(true), answer(false));
        if let (Ok(short), Ok(whole)) = (&short, &whole) {
            prop_assert!((short.probability - whole.probability).abs() < 1e-9);
        }
        prop_assert_eq!(told(short), told(whole));
    }

    /// Slots of reprints are remembered and searched with bounds: the same as asking for each anew.
    #[test]
    fn a_slot_found_with_bounds_is_the_best_there_is(
        (region, plates) in world(),
        now in 0..HORIZON / 3,
        later in 0..HORIZON / 2,
    ) {
        let ground = Ground::new(&region);
        let mut plan = Plan::default();
        let (last, given) = plates.split_last().expect("at least one plate");
        for plate in given {
            let occupied = Occupied::by(&ground, given, &plan);
            if let Some(slot) = best_slot(&ground, &occupied, plate, Minute(0)) {
                plan.put(slot);
            }
        }
        let occupied = Occupied::by(&ground, given, &plan);
        let mut foresight = Foresight::new(&ground, given, &plan, Minute(now), 3);
        let mut foreseen = foresight.onto(&ground, &occupied, Minute(now));
        let last = Plate { seq: PlateSeq(99), ..super::foresight::able(&ground, last) };
        let at = Minute(now + later);
        let known = foreseen.until(at, 0).at(at);
        let found = known.best_slot(&ground, &last);
        prop_assert_eq!(found, best_slot(&ground, &known, &last, at));
    }
}
