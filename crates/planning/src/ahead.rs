//! The plates ahead on a printer, played through once for all candidates.

use partpledge_planning_model::{Making, PrinterIx};
use partpledge_units::time::Minute;

use crate::background::Scene;
use crate::insert::Span;
use crate::luck::{Luck, late_start, run, still_running};

/// When each printer is free after each plate planned on it, in each world, as far as asked.
#[derive(Debug)]
pub(crate) struct Ahead {
    /// By printer, world and position among the plates not yet off the bed; `None` once the
    /// calendars end.
    free: Vec<Vec<Vec<Option<Minute>>>>,
}

impl Ahead {
    pub(crate) fn new(printers: usize) -> Self {
        Self {
            free: vec![Vec::new(); printers],
        }
    }

    /// How many plates are planned on the printer before `start` and not yet off the bed.
    pub(crate) fn before(scene: Scene<'_, '_>, printer: PrinterIx, start: Minute) -> usize {
        let spans = scene.occupied.on(printer);
        let spans = &spans[scene.occupied.first_beyond(printer, scene.now)..];
        spans.partition_point(|span| span.start < start)
    }

    /// When the printer is free of the first so many plates that are planned on it; now if it is none.
    /// `None` when the calendars end first.
    ///
    /// Each plate starts when planned, or as soon as the one before is off the bed; if that is too
    /// late for it, it goes elsewhere.
    pub(crate) fn free(
        &mut self,
        scene: Scene<'_, '_>,
        (printer, many): (PrinterIx, usize),
        world: u64,
    ) -> Option<Minute> {
        if many == 0 {
            return Some(scene.now);
        }
        let spans = scene.occupied.on(printer);
        let spans = &spans[scene.occupied.first_beyond(printer, scene.now)..];
        let worlds = &mut self.free[printer.0];
        let world_ix = usize::try_from(world).ok()?;
        if worlds.len() <= world_ix {
            worlds.resize_with(world_ix + 1, Vec::new);
        }
        let known = &mut worlds[world_ix];
        while known.len() < many {
            let free = known.last().map_or(Some(scene.now), |free| *free);
            let next = free.and_then(|free| after(scene, spans[known.len()], free, world));
            known.push(next);
        }
        known[many - 1]
    }
}

/// When the printer is free after one more plate.
fn after(scene: Scene<'_, '_>, span: Span, free: Minute, world: u64) -> Option<Minute> {
    if span.cleared <= scene.now {
        return Some(free);
    }
    let Some(planned) = scene.crowd.planned(span.plate) else {
        return Some(free.max(span.cleared));
    };
    let making: &Making = &planned.making;
    if span.start <= scene.now {
        let luck = (scene.seed, world);
        let end = still_running(
            scene.ground,
            making,
            span.start,
            scene.now,
            span.plate,
            luck,
        )?;
        return Some(free.max(end.cleared));
    }
    let luck = Luck::of(scene.seed, world, span.plate, 0);
    let site = scene.ground.stand_at(making.printer, span.start).site;
    // Nothing starts before somebody really comes.
    let there = luck
        .presence
        .there_from(scene.ground, site, free.max(span.start))?;
    let start = if there > span.start {
        late_start(scene.ground, making, there)
    } else {
        Some(span.start)
    };
    let Some(start) = start else {
        return Some(free);
    };
    Some(free.max(run(scene.ground, making, start, luck)?.cleared))
}
