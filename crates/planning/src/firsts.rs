//! How first attempts go that start as planned, played once for all candidates: of dozens of plates most lie
//! at one of two slots whichever candidate is played, and under the same luck they go the same way.

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Making, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use crate::ahead::Ahead;
use crate::background::Scene;
use crate::insert::Overlay;
use crate::luck::{Luck, run};
use crate::world::STAGES;

/// How a first attempt goes in one world if the printer is free in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum First {
    /// Nobody is there to start it as planned.
    NotStarted,
    /// Nobody comes to take it off, or it never gets there.
    Never,
    /// Lost, and off the bed then.
    Lost(Minute),
    /// Off the bed, and handed over.
    Good(Minute, Minute),
}

/// What tells first attempts apart, whatever the luck: way, plate, printer and start.
type Attempt = (usize, PlateSeq, PrinterIx, Minute);

/// Numbers of first attempts, the same on all stages.
#[derive(Debug, Default)]
pub(crate) struct Numbers(BTreeMap<Attempt, usize>);

/// A plate of a candidate in its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Own<'p> {
    pub(crate) plate: &'p Plate,
    pub(crate) slot: Assignment,
    making: &'p Making,
    /// Plates planned before it on its printer.
    pub(crate) ahead: usize,
    /// Its first attempt.
    number: usize,
}

/// A candidate's plates in their places: what is the same in every world.
#[derive(Clone, Debug)]
pub(crate) struct Places<'p, 'b> {
    pub(crate) way: usize,
    /// In order of start.
    pub(crate) own: Vec<Own<'p>>,
    /// Its slots on top of the present plan.
    pub(crate) taken: Overlay<'b>,
}

impl<'p, 'b> Places<'p, 'b> {
    /// `None` when a plate has no making on its printer.
    pub(crate) fn of(
        scene: Scene<'_, 'b>,
        numbers: &mut Numbers,
        (way, plates): (usize, &'p [Plate]),
        slots: &[Assignment],
    ) -> Option<Self> {
        let mut order: Vec<(&Plate, Assignment)> =
            plates.iter().zip(slots.iter().copied()).collect();
        order.sort_by_key(|(plate, slot)| (slot.start, plate.seq));
        let mut taken = Overlay::over(scene.occupied);
        let mut own = Vec::with_capacity(order.len());
        for (plate, slot) in order {
            taken.add(&slot, scene.ground.load(plate, slot.frozen));
            let attempt = (way, plate.seq, slot.printer, slot.start);
            let next = numbers.0.len();
            own.push(Own {
                plate,
                slot,
                making: plate.makings.iter().find(|m| m.printer == slot.printer)?,
                ahead: Ahead::before(scene, slot.printer, slot.start),
                number: *numbers.0.entry(attempt).or_insert(next),
            });
        }
        Some(Self { way, own, taken })
    }
}

/// First attempts played so far on one stage, by number and world.
#[derive(Debug, Default)]
pub(crate) struct Firsts(Vec<Vec<Option<First>>>);

impl Firsts {
    /// How an attempt goes in a world, under the luck that is thrown for it when it is not known yet.
    pub(crate) fn of(
        &mut self,
        scene: Scene<'_, '_>,
        own: &Own<'_>,
        world: u64,
        luck: impl FnOnce() -> Luck,
    ) -> First {
        // A stage plays every so manieth world.
        let i = usize::try_from(world / STAGES as u64).unwrap_or(usize::MAX);
        if self.0.len() <= own.number {
            self.0.resize_with(own.number + 1, Vec::new);
        }
        let worlds = &mut self.0[own.number];
        if worlds.len() <= i {
            worlds.resize(i + 1, None);
        }
        *worlds[i].get_or_insert_with(|| first(scene, own, luck()))
    }
}

fn first(scene: Scene<'_, '_>, own: &Own<'_>, luck: Luck) -> First {
    let (ground, presence, start) = (scene.ground, luck.presence, own.slot.start);
    let site = ground.stand_at(own.slot.printer, start).site;
    match presence.there_from(ground, site, start) {
        Some(there) if there <= start => {}
        Some(_) => return First::NotStarted,
        None => return First::Never,
    }
    let Some(end) = run(ground, own.making, start, luck) else {
        return First::Never;
    };
    if !end.good {
        return First::Lost(end.cleared);
    }
    let ready = presence.boxed(ground, site, end.cleared);
    let arrives = ready.and_then(|ready| presence.arrival(ground, (site, own.plate.to), ready));
    arrives.map_or(First::Never, |arrives| First::Good(end.cleared, arrives))
}
