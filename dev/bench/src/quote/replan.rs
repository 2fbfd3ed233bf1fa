//! The plan after something happened, in a large region: a printer fails, snow, an urgent part.

use partpledge_planning::{Ground, Proposal, propose};
use partpledge_planning_model::{Plan, Plate, PlateSeq, Promise, Region, Window, Windows};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

use super::processor_time_s;
use super::scene::Scene;
use crate::timed;

/// Moves that the workshop allows.
const MOVES: usize = 2_000;

/// `quote replan`: how long a full replan takes after an event.
pub(crate) fn run() -> Result<(), String> {
    for (m, moment) in super::MOMENTS.into_iter().enumerate() {
        let scene = Scene::at(moment, m as u64)?;
        println!("{moment}: {}", scene.told());
        let before = started(&scene);
        told("nothing happened", &scene, &scene.region, &before, &[]);
        let printer = before.assignments.iter().find(|place| place.frozen);
        let printer = printer.map_or(0, |place| place.printer.0);
        let mut region = scene.region.clone();
        let day = stretch(scene.now, 2 * 1_440);
        region.printers[printer].out_of_use = Windows::joined(vec![day]);
        let left = without(&before, |place| place.printer.0 != printer);
        told("a printer is out for two days", &scene, &region, &left, &[]);
        let region = snow(&scene, Minutes(1_440));
        let left = without(&before, |place| place.frozen);
        told("a snow day: nobody comes", &scene, &region, &left, &[]);
        let urgent = urgent(&scene);
        told("an urgent part", &scene, &scene.region, &before, &urgent);
    }
    Ok(())
}

/// The plan with what runs frozen.
fn started(scene: &Scene) -> Plan {
    let mut plan = scene.plan.clone();
    for place in &mut plan.assignments {
        place.frozen = place.start < scene.now;
    }
    plan
}

fn without(plan: &Plan, stays: impl Fn(&partpledge_planning_model::Assignment) -> bool) -> Plan {
    let stays = plan.assignments.iter().filter(|place| stays(place));
    Plan {
        assignments: stays.copied().collect(),
    }
}

fn stretch(from: Minute, minutes: i64) -> Window {
    Window {
        from,
        until: from + Minutes(minutes),
    }
}

/// Nobody is anywhere for so long, and no round goes.
fn snow(scene: &Scene, length: Minutes) -> Region {
    let mut region = scene.region.clone();
    let gone = stretch(scene.now, length.0);
    let shut = Windows::joined(vec![gone]);
    for site in &mut region.sites {
        site.staffed = site.staffed.without(&shut);
    }
    for leg in &mut region.legs {
        let goes = |at: Minute| at < gone.from || gone.until <= at;
        leg.departures.retain(|departure| goes(departure.leaves));
    }
    region
}

/// A part for the first printer that is busy longest, promised for the time it takes and a day.
fn urgent(scene: &Scene) -> Vec<Plate> {
    let mut ways = scene.ways(scene.now, &mut Dice::stream(8, 1));
    let mut plates = ways.swap_remove(0).plates;
    for (k, plate) in plates.iter_mut().enumerate() {
        plate.seq = PlateSeq(scene.next_seq + k as u64);
        plate.promise = Some(Promise {
            arrival: scene.now + Minutes(1_440),
            probability: 0.9,
        });
    }
    plates
}

fn told(what: &str, scene: &Scene, region: &Region, before: &Plan, more: &[Plate]) {
    let open = |plate: &&Plate| scene.plan.of(plate.seq).is_some();
    let open = scene.plates.iter().filter(open).chain(more);
    let plates: Vec<Plate> = open.cloned().collect();
    let ground = Ground::new(region);
    let before_s = processor_time_s();
    let (proposal, s) = timed(|| propose(&ground, &plates, before, scene.now, MOVES));
    let processor_s = processor_time_s() - before_s;
    let Proposal {
        plan,
        unplaced,
        moved,
    } = proposal;
    let late = |plate: &&Plate| {
        let promise = plate.promise.map(|promise| promise.arrival);
        let arrives = plan.of(plate.seq).map(|place| place.arrives);
        promise.is_some_and(|by| arrives.is_none_or(|arrives| arrives > by))
    };
    println!(
        "  {what:<30} {:>6.0} ms, {:>6.0} ms of a processor; {} plates, {} moved, {} late, {} unplaced",
        1_000.0 * s,
        1_000.0 * processor_s,
        plates.len(),
        moved.len(),
        plates.iter().filter(late).count(),
        unplaced.len()
    );
}
