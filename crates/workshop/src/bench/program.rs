//! A host's own program for a plate, with the plan that follows from its time.

use bytes::Bytes;
use partpledge_planning::{Ground, Occupied, best_slot};
use partpledge_planning_model::{Making, Plate};
use partpledge_records::{Happening, KeptPlate, PlateProgram, Said};
use partpledge_units::time::Minutes;
use partpledge_words::{said, say};

use super::draft::{Draft, and_moved};
use super::{Done, Tries, known, no_plate, write};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::programs::{by_program, refused};
use crate::replanning::{Situation, replan};
use crate::session::Session;

/// A host's program for a plate, timed anew on the books of every try: the plate may be planned
/// on another printer by then. The bytes are kept before anything is written about them.
pub(crate) async fn program_received(
    session: &Session,
    actor: &Actor,
    plate: u64,
    (bytes, timing): (
        &Bytes,
        impl Fn(&Books, &KeptPlate) -> Result<PlateProgram, WorkshopError>,
    ),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let kept = books.plate(plate).ok_or_else(|| no_plate(plate))?.clone();
        actor.must_work_at(session, &books, &kept)?;
        let program = timing(&books, &kept)?;
        let draft = Draft::new(session, actor, &books, key);
        let (happening, done) = draft.program(&kept, program)?;
        let (store, _) = session.writable()?;
        store.put_blob(bytes.clone()).await?;
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

impl Draft<'_> {
    /// The plate takes as long as its host's program says.
    pub(super) fn program(
        &self,
        kept: &KeptPlate,
        program: PlateProgram,
    ) -> Result<(Happening, Done), WorkshopError> {
        let seq = kept.on();
        let (terrain, mut plates) = (&self.session.terrain, self.books.floor.plates.clone());
        for plate in plates.iter_mut().filter(|plate| plate.seq == seq) {
            plate.makings = by_program(terrain, self.books.floor.own_makings(seq), &program);
            self.room_for(plate, &program)?;
        }
        let running = self.books.running();
        let situation = Situation {
            plates: &plates,
            plan: &self.books.floor.plan,
            running: &running,
            retimed: &[seq],
        };
        let replanned = replan(self.session, &situation)?;
        let done = Done::of(&replanned);
        let time = Minutes(program.worked_out_min);
        let why = said!(
            "promises-plan-program",
            plate = seq.0,
            time = time.to_string()
        );
        let mut payload = Self::payload(kept.on());
        let minutes = u64::try_from(program.worked_out_min).unwrap_or(0);
        payload.push(("worked_out_min", Said::Numbers(vec![minutes])));
        payload.push(("program", Said::Text(program.blob.as_str().to_owned())));
        let happening = Happening {
            program: Some(program),
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..self.event("program.received", payload)
        };
        Ok((happening, done))
    }
    /// Whether some printer of the program's class, with nothing else to do, has the time for it.
    fn room_for(&self, plate: &Plate, program: &PlateProgram) -> Result<(), WorkshopError> {
        let terrain = &self.session.terrain;
        let ground = Ground::new(&terrain.region);
        let of_class = |making: &&Making| terrain.classes[making.printer.0] == program.class;
        let there = Plate {
            makings: plate.makings.iter().filter(of_class).copied().collect(),
            ..plate.clone()
        };
        let free = Occupied::nothing(&ground);
        if best_slot(&ground, &free, &there, self.session.minute()).is_some() {
            return Ok(());
        }
        let time = Minutes(program.worked_out_min);
        let why = say!("bench-program-no-slot", time = time.to_string());
        let what_to_do = say!("bench-program-no-slot-do");
        Err(refused("no-slot", why, &what_to_do))
    }
}
