//! Rights: what an actor may do, asked by every use case; and the one table of what each address
//! answers to whom, which the server goes by before anything else.

mod table;

use partpledge_planning_model::PrinterIx;
use partpledge_records::{KeptPlate, StepKind};
use partpledge_units::time::Minute;

use crate::actor::{Actor, Role};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::plate_room::printer_of;
use crate::session::Session;

pub use table::{About, Answer, Asker, LINES, Line, Whom, as_markdown, line};

const NOT_YOURS: WorkshopError = WorkshopError::NotYours;

fn not_allowed(who: &'static str) -> WorkshopError {
    WorkshopError::NotAllowed { who }
}

impl Actor {
    /// For what only the coordinator does.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_coordinate(&self) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Coordinator => Ok(()),
            _ => Err(not_allowed("the coordinator")),
        }
    }

    /// For deciding what is made at all. Not for a mentor: the sender's own may not let through what
    /// the region holds.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_review(&self) -> Result<(), WorkshopError> {
        self.must_coordinate()
    }

    /// For giving a pledge: the team that asks for it, and who lets its request through.
    ///
    /// # Errors
    /// As [`Actor::must_be_of`].
    pub fn must_give_to(&self, team: &str) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Coordinator => Ok(()),
            _ => self.must_be_of(team),
        }
    }

    /// For what a team does with its own things, by its students and mentors.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for another team's, as if they were not there;
    /// [`WorkshopError::NotAllowed`] for those who are of no team.
    pub fn must_be_of(&self, team: &str) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine => Ok(()),
            Role::Team(own) | Role::Mentor(own) if own == team => Ok(()),
            Role::Team(_) | Role::Mentor(_) => Err(NOT_YOURS),
            _ => Err(not_allowed("the team itself")),
        }
    }

    /// For looking at a team's part: the team, and those who make it or run the region.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for anybody else, as if it were not there.
    pub fn must_see_part_of(&self, team: &str) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Host(_) | Role::Coordinator => Ok(()),
            Role::Team(own) | Role::Mentor(own) if own == team => Ok(()),
            _ => Err(NOT_YOURS),
        }
    }

    /// For people of a team: its mentors, and the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for mentors of other teams; [`WorkshopError::NotAllowed`].
    pub fn must_lead(&self, team: &str) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Coordinator => Ok(()),
            Role::Mentor(own) if own == team => Ok(()),
            Role::Mentor(_) => Err(NOT_YOURS),
            _ => Err(not_allowed("a mentor of the team")),
        }
    }

    /// For looking at plates: those who work at a bench, and the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_see_plates(&self) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Clock | Role::Host(_) | Role::Coordinator => Ok(()),
            _ => Err(not_allowed("the bench")),
        }
    }

    /// For what is done with the spools of a host: those who work there, and the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_keep_spools_of(&self, host: &str) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Coordinator => Ok(()),
            Role::Host(code) if code == host => Ok(()),
            _ => Err(not_allowed("the bench that has the spools")),
        }
    }

    /// For what is done with a plate: those who work where its printer stands, and the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_work_at(
        &self,
        session: &Session,
        books: &Books,
        kept: &KeptPlate,
    ) -> Result<(), WorkshopError> {
        let there = match self.role() {
            Role::Machine | Role::Coordinator => true,
            Role::Host(code) => stands_at(session, books, kept, code),
            _ => false,
        };
        there
            .then_some(())
            .ok_or(not_allowed("the bench that the plate is planned at"))
    }

    /// For handing over a box: those who work where it was made or where it goes, and the
    /// coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_hand_over(
        &self,
        session: &Session,
        books: &Books,
        kept: &KeptPlate,
    ) -> Result<(), WorkshopError> {
        let schools = &session.terrain.file.schools;
        let goes_to = schools.get(kept.plate.to.0).map(|school| &school.code);
        match self.role() {
            Role::Host(code) if Some(code) == goes_to => Ok(()),
            _ => self.must_work_at(session, books, kept),
        }
    }

    /// For what was done with a printer: those who work where it stood then, and the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_work_with(
        &self,
        session: &Session,
        printer: PrinterIx,
        at: Minute,
    ) -> Result<(), WorkshopError> {
        let terrain = &session.terrain;
        let there = match self.role() {
            Role::Machine | Role::Coordinator => true,
            Role::Host(code) => (terrain.file.school(code))
                .is_some_and(|school| terrain.host_at(printer, at) == school.name),
            _ => false,
        };
        there
            .then_some(())
            .ok_or(not_allowed("the bench where the printer stood"))
    }

    /// For what anybody may see who is signed in.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_be_known(&self) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Nobody => Err(not_allowed("people who are signed in")),
            _ => Ok(()),
        }
    }

    /// For what the server does by itself, minute by minute.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_be_the_clock(&self) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Clock | Role::Coordinator => Ok(()),
            _ => Err(not_allowed("the server itself")),
        }
    }
}

/// Whether the printer of a plate stands at that host's when the plate is, or was, begun.
fn stands_at(session: &Session, books: &Books, kept: &KeptPlate, code: &str) -> bool {
    let printer = printer_of(session, books, kept);
    let printer = printer.and_then(|name| session.terrain.printer_of(&name));
    let begun = books.step(kept.plate.seq.0, StepKind::Started);
    let begun = begun.map(|step| Minute::at_or_before(step.at));
    let planned = || books.place(kept).map(|place| place.start);
    let begins = begun.or_else(planned).unwrap_or(session.minute());
    let school = session.terrain.file.school(code);
    printer
        .zip(school)
        .is_some_and(|(at, school)| session.terrain.host_at(at, begins) == school.name)
}
