//! A box as the interface says it: for its bench without the code, for its team with it.

use partpledge_records::PledgeKind;
use partpledge_units::local::Zone;
use partpledge_workshop::Books;
use partpledge_workshop::boxes::{BoxLine, Proof, Stop};
use partpledge_workshop::doubts::open_doubt;
use serde::Serialize;
use utoipa::ToSchema;

use super::out::at;

/// A leg that a box did not go with.
#[derive(Serialize, ToSchema)]
#[schema(as = MissedLeg)]
struct MissedOut {
    /// When it should have left.
    #[schema(format = DateTime)]
    leaves: String,
    /// `no-courier`, `not-ready`, `left-behind` or `nobody-came`.
    why: &'static str,
    /// Whether it comes later than promised because of that.
    late: bool,
}

/// A closed box.
#[derive(Serialize, ToSchema)]
#[schema(as = Box)]
pub(crate) struct BoxOut {
    /// Number of the share of a plate that is in it: the box goes by this.
    share: u64,
    /// Number of the request.
    request: i64,
    copies: usize,
    /// Code of the school where it was made.
    host: String,
    /// Where it goes.
    place: String,
    #[schema(format = DateTime)]
    boxed: String,
    #[schema(format = DateTime)]
    left: Option<String>,
    #[schema(format = DateTime)]
    handed_over: Option<String>,
    /// How that is known: `code`, `team`, or why there was no code.
    known_by: Option<&'static str>,
    /// How it goes next: `counter`, `courier` or `meeting`.
    goes: Option<&'static str>,
    #[schema(format = DateTime)]
    leaves: Option<String>,
    #[schema(format = DateTime)]
    arrives: Option<String>,
    missed: Option<MissedOut>,
    /// How the promise that it was made for ended, if it has.
    promise_ended: Option<&'static str>,
    /// What keeps it where it is: `taken-down` or `recalled`.
    stopped: Option<&'static str>,
    /// What recalled copies in it are to be checked for first: `printer-drifted` or `file-replaced`.
    recalled_for: Option<&'static str>,
    /// What somebody says is wrong with it, until the coordinator has decided: `box-gone`,
    /// `box-never-came` or `wrong-parts`.
    doubt: Option<&'static str>,
    /// What the team says to whoever gives it to them; only they see it.
    code: Option<String>,
}

/// What keeps a box where it is.
pub(crate) fn stop(why: Stop) -> &'static str {
    match why {
        Stop::Down => "taken-down",
        Stop::Recalled => "recalled",
    }
}

impl BoxOut {
    /// Without its code.
    pub(crate) fn new(zone: &Zone, line: &BoxLine) -> Self {
        let handed = line.handed;
        let missed = line.missed.as_ref().map(|leg| MissedOut {
            leaves: at(zone, leg.leaves),
            why: leg.why.code(),
            late: leg.late,
        });
        Self {
            share: line.share,
            request: line.request,
            copies: line.copies,
            host: line.host.clone(),
            place: line.place.clone(),
            boxed: at(zone, line.boxed),
            left: line.left.map(|left| at(zone, left)),
            handed_over: handed.map(|(then, _)| at(zone, then)),
            known_by: handed.map(|(_, proof)| match proof {
                Proof::Code => "code",
                Proof::Team => "team",
                Proof::Without(why) => why.code(),
            }),
            goes: line.goes.map(|(kind, ..)| kind.word()),
            leaves: line
                .goes
                .map(|(_, departure, _)| at(zone, departure.leaves)),
            arrives: line.goes.map(|(_, _, arrives)| at(zone, arrives)),
            missed,
            promise_ended: line.ended.map(PledgeKind::as_str),
            stopped: line.stopped.map(stop),
            recalled_for: None,
            doubt: None,
            code: None,
        }
    }

    /// With what is said to be wrong with it, and what it is to be checked for.
    pub(crate) fn with_doubt(self, books: &Books) -> Self {
        let kept = books.plate(self.share);
        let doubt = kept.and_then(|kept| open_doubt(books, kept));
        let doubt = doubt.map(|doubt| doubt.why.code());
        let recalled_for = kept.and_then(|kept| {
            let copies = books.recalled_on(kept);
            let copies: Vec<_> = copies.map(|copy| (copy.plate, copy.number)).collect();
            let asked = books.asked_first(kept.request, &copies)?;
            Some(asked.target.code())
        });
        Self {
            recalled_for,
            doubt,
            ..self
        }
    }

    /// With its code, for its team.
    pub(crate) fn with_code(self, code: Option<&str>) -> Self {
        let code = code.map(str::to_owned);
        Self { code, ..self }
    }
}
