//! How sure a pledge is as things stand: its plates played on from where they are now.

use partpledge_planning_model::{Assignment, Plan, Plate};
use partpledge_units::time::Minute;

use crate::background::{Crowd, Scene};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::presence::Presence;
use crate::timeline::staffed_from;
use crate::world::{Play, Stage};

/// Where a plate of a pledge stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Not started; planned there, or nowhere.
    Planned(Option<Assignment>),
    /// Running there; `start` is when it was really started.
    Running(Assignment),
    /// Off the bed since then, on that printer, not yet boxed.
    Off(Assignment, Minute),
    /// In its box since then, waiting to leave.
    Boxed(Assignment, Minute),
    /// On its way; the team should hold it then.
    Gone(Minute),
    /// Nobody knows where it is: it does not come until somebody decides about it.
    Missing,
}

/// What is known of one pledge, and how to look ahead.
#[derive(Clone, Debug)]
pub struct Outlook<'a> {
    /// Its plates and where they stand.
    pub plates: Vec<(&'a Plate, Standing)>,
    /// Now.
    pub now: Minute,
    /// Seed of the worlds.
    pub seed: u64,
    /// How many worlds.
    pub worlds: u64,
}

/// What may become of a pledge.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// Each simulated hand-over of the last plate with the chance of having it by then, in order.
    pub outlook: Vec<(Minute, f64)>,
    /// Half of the worlds have it by then; `None` when fewer than half have it at all.
    pub middle: Option<Minute>,
}

impl Forecast {
    /// The chance that the team holds the last copy by `at`, as
    /// [`Quote::chance_by`](crate::Quote::chance_by).
    #[must_use]
    pub fn chance_by(&self, at: Minute) -> f64 {
        crate::quote::chance_by(&self.outlook, at)
    }

    /// The first moment by which it is there with that chance, if there is one.
    #[must_use]
    pub fn by(&self, level: f64) -> Option<Minute> {
        let found = self.outlook.iter().find(|(_, share)| *share >= level);
        found.map(|&(at, _)| at)
    }
}

/// Plays a pledge on from where it stands, under the same luck and by the same rules as
/// [`quote`](crate::quote()): lost plates are made again in the best slot that is left.
///
/// `plates` are all plates that are planned or were asked for lately; those of the pledge may be
/// among them or not.
#[must_use]
pub fn forecast(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    asked: &Outlook<'_>,
) -> Forecast {
    let own = |seq| asked.plates.iter().any(|(plate, _)| plate.seq == seq);
    let mut rest = plan.clone();
    rest.assignments.retain(|place| !own(place.plate));
    let occupied = Occupied::by(ground, plates, &rest);
    // The quote did not count its own request among those that make others likely; nor do we.
    let others = plates.iter().filter(|plate| !own(plate.seq));
    let crowd = Crowd::of(ground, others, &rest, asked.now);
    let mut stage = Stage::new(Scene {
        ground,
        occupied: &occupied,
        crowd: &crowd,
        now: asked.now,
        seed: asked.seed,
    });
    // Those that say what a quote promises.
    let worlds = asked.worlds..2 * asked.worlds;
    let mut arrivals: Vec<Minute> = worlds
        .filter_map(|world| one_world(&mut stage, asked, world))
        .collect();
    arrivals.sort_unstable();
    let half = usize::try_from(asked.worlds / 2).unwrap_or(usize::MAX);
    let middle = arrivals.get(half).copied();
    let outlook = crate::quote::outlook(&arrivals, asked.worlds);
    Forecast { outlook, middle }
}

/// When the last plate is handed over in one world.
fn one_world(stage: &mut Stage<'_, '_>, asked: &Outlook<'_>, world: u64) -> Option<Minute> {
    let ground = stage.scene.ground;
    let mut order: Vec<&(&Plate, Standing)> = asked.plates.iter().collect();
    order.sort_by_key(|(plate, standing)| (begins(standing), plate.seq));
    let own = order
        .iter()
        .filter_map(|(plate, standing)| Some((*plate, taken(standing)?)));
    let presence = Presence::of(asked.seed, world);
    let mut play = Play::new(stage, 0, world, own);
    let mut last = Minute(i64::MIN);
    for (plate, standing) in order {
        let arrives = match *standing {
            Standing::Planned(Some(slot)) => play.plate(plate, slot)?,
            Standing::Planned(None) => play.unplaced(plate, asked.now)?,
            Standing::Running(slot) => play.running(plate, slot)?,
            Standing::Off(slot, off) => {
                let site = ground.stand_at(slot.printer, slot.start).site;
                // Boxing may be under way; it is not done before now.
                let ready = presence.boxed(ground, site, off)?.max(asked.now);
                presence.arrival(ground, (site, plate.to), ready)?
            }
            Standing::Boxed(slot, boxed) => {
                let ready = boxed.max(asked.now);
                let site = ground.stand_at(slot.printer, slot.start).site;
                presence.arrival(ground, (site, plate.to), ready)?
            }
            Standing::Gone(arrives) => arrives,
            Standing::Missing => return None,
        };
        last = last.max(arrives);
    }
    Some(last)
}

fn begins(standing: &Standing) -> Minute {
    match standing {
        Standing::Planned(Some(slot))
        | Standing::Running(slot)
        | Standing::Off(slot, _)
        | Standing::Boxed(slot, _) => slot.start,
        Standing::Planned(None) | Standing::Gone(_) | Standing::Missing => Minute(i64::MAX),
    }
}

/// The time on a printer that a plate still takes.
fn taken(standing: &Standing) -> Option<Assignment> {
    match standing {
        Standing::Planned(slot) => *slot,
        Standing::Running(slot) => Some(*slot),
        Standing::Off(..) | Standing::Boxed(..) | Standing::Gone(_) | Standing::Missing => None,
    }
}

/// The place of a plate that was really started at `start`: kept for its reserved time, or until
/// `now` when it is over that. `None` when the calendars end first or the printer can't make it.
#[must_use]
pub fn started_at(
    ground: &Ground<'_>,
    plate: &Plate,
    printer: partpledge_planning_model::PrinterIx,
    start: Minute,
    now: Minute,
) -> Option<Assignment> {
    let making = plate.makings.iter().find(|m| m.printer == printer)?;
    let stand = ground.stand_at(printer, start);
    let end = (start + making.reserved).max(now);
    let hours = &ground.region().sites.get(stand.site.0)?.staffed;
    let cleared = staffed_from(hours, end)?;
    let ready = ground.boxed(printer, start, cleared)?;
    let arrives = ground.arrival(stand.site, plate.to, ready)?;
    Some(Assignment {
        plate: plate.seq,
        printer,
        start,
        end,
        cleared,
        ready,
        arrives,
        frozen: true,
    })
}
