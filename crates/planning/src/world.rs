//! One possible future: the plates ahead, the runs, the losses and the reprints of one request.

use std::borrow::Cow;
use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Making, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use crate::ahead::Ahead;
use crate::background::{Background, Scene};
use crate::firsts::{First, Firsts, Own, Places};
use crate::insert::Overlay;
use crate::luck::{Luck, MOST_ATTEMPTS, late_start, run, still_running};
use crate::presence::Presence;
use crate::slots::able;

/// What all worlds of a quote share, and what has been played of each.
pub(crate) struct Stage<'a, 'b> {
    pub(crate) scene: Scene<'a, 'b>,
    /// Played only when something of the request is lost, and shared by every
    /// [`BACKGROUNDS`]th world: they cost far more than the request itself, and what matters is
    /// how full the printers are on average.
    backgrounds: [Option<Background<'a>>; BACKGROUNDS],
    ahead: Ahead,
    /// Luck of the first attempts at the request's plates, by world.
    lucks: BTreeMap<PlateSeq, Vec<Option<Luck>>>,
    firsts: Firsts,
    /// Makings of the request's plates that a printer takes, by way.
    makings: BTreeMap<(usize, PlateSeq), Vec<Making>>,
}

const BACKGROUNDS: usize = 32;

/// Stages that share the worlds of a quote between them, each in its own thread if there is one:
/// world `w` is played on stage `w % STAGES`. A background is only ever on one of them, so the
/// answers are those of a single stage.
pub(crate) const STAGES: usize = 4;
const _: () = assert!(BACKGROUNDS.is_multiple_of(STAGES));

impl<'a, 'b> Stage<'a, 'b> {
    pub(crate) fn new(scene: Scene<'a, 'b>) -> Self {
        Self {
            ahead: Ahead::new(scene.ground.region().printers.len()),
            lucks: BTreeMap::new(),
            firsts: Firsts::default(),
            makings: BTreeMap::new(),
            scene,
            backgrounds: [const { None }; BACKGROUNDS],
        }
    }

    /// The best slot for a plate of the request from `at` on, as far as people know then in that world.
    fn slot_at(
        &mut self,
        taken: &Overlay<'_>,
        (way, plate): (usize, &Plate),
        (world, at): (u64, Minute),
    ) -> Option<Assignment> {
        let number = world % BACKGROUNDS as u64;
        let i = usize::try_from(number).unwrap_or(0);
        let scene = self.scene;
        let background = self.backgrounds[i].get_or_insert_with(|| Background::new(scene, number));
        let makings = self.makings.entry((way, plate.seq));
        let makings = makings.or_insert_with(|| able(scene.ground, plate).copied().collect());
        background.slot_at(scene, taken, (way, plate, makings), at)
    }
}

/// A request's plates in one world.
pub(crate) struct Play<'s, 'a, 'b> {
    stage: &'s mut Stage<'a, 'b>,
    world: u64,
    way: usize,
    /// Its slots on top of the present plan; those of the candidate until something is lost.
    taken: Cow<'s, Overlay<'b>>,
    /// Own runs so far: printer, planned start, really off the bed.
    runs: Vec<(PrinterIx, Minute, Minute)>,
}

/// When the last copy is handed over in one world, reprints and all; `None` when the world gives
/// up on a plate or the calendars end.
///
/// The plates ahead on a printer are played through: each starts when planned, or as soon as the
/// one before is off the bed. After a loss the reprint takes the best slot that the present plan
/// leaves, and that others have not taken meanwhile, from the moment somebody sees the loss; other
/// plates keep their slots.
pub(crate) fn handed_over<'b>(
    stage: &mut Stage<'_, 'b>,
    places: &Places<'_, 'b>,
    world: u64,
) -> Option<Minute> {
    let mut play = Play {
        stage,
        world,
        way: places.way,
        taken: Cow::Borrowed(&places.taken),
        runs: Vec::with_capacity(places.own.len()),
    };
    let mut last = Minute(i64::MIN);
    for own in &places.own {
        last = last.max(play.as_planned(own)?);
    }
    Some(last)
}

impl<'s, 'a, 'b> Play<'s, 'a, 'b> {
    /// A world in which the request's plates have these slots.
    pub(crate) fn new(
        stage: &'s mut Stage<'a, 'b>,
        way: usize,
        world: u64,
        own: impl Iterator<Item = (&'s Plate, Assignment)>,
    ) -> Self {
        let mut taken = Overlay::over(stage.scene.occupied);
        for (plate, slot) in own {
            taken.add(&slot, stage.scene.ground.load(plate, slot.frozen));
        }
        Self {
            taken: Cow::Owned(taken),
            stage,
            world,
            way,
            runs: Vec::new(),
        }
    }

    /// The hand-over of one plate of a candidate: as [`Play::plate`] gives it, found sooner when its
    /// printer is free in time.
    fn as_planned(&mut self, own: &Own<'_>) -> Option<Minute> {
        let Own { plate, slot, .. } = *own;
        if self.free(&slot, own.ahead)? <= slot.start {
            let (stage, world) = (&mut *self.stage, self.world);
            let (scene, lucks) = (stage.scene, &mut stage.lucks);
            let luck = || first_luck(lucks, (scene.seed, world), plate.seq);
            match stage.firsts.of(scene, own, world, luck) {
                First::Never => return None,
                First::Good(cleared, arrives) => {
                    self.runs.push((slot.printer, slot.start, cleared));
                    return Some(arrives);
                }
                First::Lost(cleared) => {
                    self.runs.push((slot.printer, slot.start, cleared));
                    let slot = self.again(plate, cleared, cleared)?;
                    return self.attempts(plate, slot, 1);
                }
                First::NotStarted => {}
            }
        }
        self.attempts(plate, slot, 0)
    }

    /// The hand-over of one plate.
    pub(crate) fn plate(&mut self, plate: &Plate, slot: Assignment) -> Option<Minute> {
        self.attempts(plate, slot, 0)
    }

    /// The hand-over of a plate that has no slot: it takes the best one from `now` on.
    pub(crate) fn unplaced(&mut self, plate: &Plate, now: Minute) -> Option<Minute> {
        let slot = self.next_slot(plate, now)?;
        self.attempts(plate, slot, 0)
    }

    /// The hand-over of a plate that runs at present; `slot.start` is its real start.
    pub(crate) fn running(&mut self, plate: &Plate, slot: Assignment) -> Option<Minute> {
        let scene = self.stage.scene;
        let making = plate.makings.iter().find(|m| m.printer == slot.printer)?;
        let luck = (scene.seed, self.world);
        let (start, now) = (slot.start, scene.now);
        let end = still_running(scene.ground, making, start, now, plate.seq, luck)?;
        self.runs.push((slot.printer, start, end.cleared));
        if end.good {
            return self.on_its_way(plate, &slot, end.cleared);
        }
        let slot = self.again(plate, end.cleared, end.cleared)?;
        self.attempts(plate, slot, 1)
    }

    fn attempts(&mut self, plate: &Plate, mut slot: Assignment, first: u64) -> Option<Minute> {
        let ground = self.stage.scene.ground;
        for attempt in first..MOST_ATTEMPTS {
            let (start, making) = self.start(plate, &mut slot)?;
            let luck = self.luck(plate.seq, attempt);
            let end = run(ground, making, start, luck)?;
            self.runs.push((slot.printer, slot.start, end.cleared));
            if end.good {
                return self.on_its_way(plate, &slot, end.cleared);
            }
            slot = self.again(plate, end.cleared, end.cleared)?;
        }
        None
    }

    /// The hand-over of a plate that is off the bed.
    fn on_its_way(&self, plate: &Plate, slot: &Assignment, cleared: Minute) -> Option<Minute> {
        let ground = self.stage.scene.ground;
        let site = ground.stand_at(slot.printer, slot.start).site;
        let presence = self.presence();
        let ready = presence.boxed(ground, site, cleared)?;
        presence.arrival(ground, (site, plate.to), ready)
    }

    /// When the plate is really started, and how; it moves to another slot if it comes too late
    /// for its own.
    fn start<'p>(
        &mut self,
        plate: &'p Plate,
        slot: &mut Assignment,
    ) -> Option<(Minute, &'p Making)> {
        // Each move is to a later start, and calendars end.
        loop {
            let making = plate.makings.iter().find(|m| m.printer == slot.printer)?;
            let scene = self.stage.scene;
            let ahead = Ahead::before(scene, slot.printer, slot.start);
            let free = self.free(slot, ahead)?.max(slot.start);
            let site = scene.ground.stand_at(slot.printer, free).site;
            // Nothing starts before somebody really comes.
            let free = self
                .presence()
                .there_from(self.stage.scene.ground, site, free)?;
            if free <= slot.start {
                return Some((slot.start, making));
            }
            if let Some(start) = late_start(self.stage.scene.ground, making, free) {
                return Some((start, making));
            }
            *slot = self.again(plate, slot.start, free)?;
        }
    }

    /// Gives back what is left of a plate's slot from `ends` on; takes the best one from `from` on.
    fn again(&mut self, plate: &Plate, ends: Minute, from: Minute) -> Option<Assignment> {
        self.taken.to_mut().end(plate.seq, ends);
        self.next_slot(plate, from)
    }

    /// Takes the best slot for a plate from `from` on.
    fn next_slot(&mut self, plate: &Plate, from: Minute) -> Option<Assignment> {
        let asked = (self.way, plate);
        let slot = self.stage.slot_at(&self.taken, asked, (self.world, from))?;
        let load = self.stage.scene.ground.load(plate, false);
        self.taken.to_mut().add(&slot, load);
        Some(slot)
    }

    /// When the printer is free of everything ahead of `slot`: so many plates of the plan, and its own.
    fn free(&mut self, slot: &Assignment, many: usize) -> Option<Minute> {
        let stage = &mut *self.stage;
        let planned = (slot.printer, many);
        let ahead = stage.ahead.free(stage.scene, planned, self.world)?;
        let own = self
            .runs
            .iter()
            .filter(|run| run.0 == slot.printer && run.1 < slot.start);
        own.map(|run| run.2)
            .max()
            .map_or(Some(ahead), |own| Some(own.max(ahead)))
    }

    fn presence(&self) -> Presence {
        Presence::of(self.stage.scene.seed, self.world)
    }

    /// The luck of an attempt; that of first attempts is thrown once for all candidates.
    fn luck(&mut self, plate: PlateSeq, attempt: u64) -> Luck {
        let seed = self.stage.scene.seed;
        if attempt > 0 {
            return Luck::of(seed, self.world, plate, attempt);
        }
        first_luck(&mut self.stage.lucks, (seed, self.world), plate)
    }
}

fn first_luck(
    lucks: &mut BTreeMap<PlateSeq, Vec<Option<Luck>>>,
    (seed, world): (u64, u64),
    plate: PlateSeq,
) -> Luck {
    let known = lucks.entry(plate).or_default();
    let i = usize::try_from(world).unwrap_or(usize::MAX);
    if known.len() <= i {
        known.resize(i + 1, None);
    }
    *known[i].get_or_insert_with(|| Luck::of(seed, world, plate, 0))
}
