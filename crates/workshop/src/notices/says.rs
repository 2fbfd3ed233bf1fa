//! What notices say, as data, and in words made last.

mod text;

use partpledge_units::local::Zone;
use partpledge_units::time::Minute;
use partpledge_words::dates::Form;
use partpledge_words::{Said, said};

use super::AccountChange;
use crate::boxes::Hitch;
use crate::doubts::Doubt;

/// What a notice says.
#[derive(Clone, Debug, PartialEq)]
pub enum Says {
    /// A part was promised.
    Promised {
        /// What the team calls the part.
        part: String,
        /// By when the team holds it.
        arrival: Minute,
        /// Where.
        place: String,
    },
    /// A part can't be printed as it is.
    NeedsChange {
        /// The part.
        part: String,
    },
    /// A part waits until the coordinator has looked at it.
    Waits {
        /// The part.
        part: String,
    },
    /// A part waits for a decision, and nobody has decided for a while.
    WaitsLong {
        /// The part.
        part: String,
        /// When it is refused if nobody decides.
        closes: Minute,
        /// Whether it was refused before, and the team asked for a second look.
        again: bool,
    },
    /// A part is not made because nobody decided.
    NotDecided {
        /// The part.
        part: String,
        /// Whether that was about a second look.
        again: bool,
    },
    /// Those who decide have not, for a while.
    Undecided {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// Whose it is.
        team: String,
        /// When it is refused if nobody decides.
        closes: Minute,
    },
    /// Somebody stands in for the coordinator.
    StandsIn {
        /// Until then.
        until: Minute,
        /// Whether it is who reads it.
        you: bool,
    },
    /// Another way into one's own account, or one less.
    Account {
        /// What was changed.
        what: AccountChange,
        /// When.
        at: Minute,
        /// Whether it is a student's.
        student: bool,
    },
    /// A part was looked at and may be made.
    Passed {
        /// The part.
        part: String,
    },
    /// A part was looked at and is not made.
    Refused {
        /// The part.
        part: String,
    },
    /// A part's file was taken down.
    TakenDown {
        /// The part.
        part: String,
    },
    /// A part was called back by somebody of the team.
    CalledBack {
        /// The part.
        part: String,
    },
    /// A spare was not printed before the bench at the meeting closed.
    SpareNotMade {
        /// The part.
        part: String,
        /// Where the bench was.
        at: String,
        /// Whether none of it was.
        all: bool,
    },
    /// The first plate of a part was started.
    Printing {
        /// The part.
        part: String,
        /// At which host.
        host: String,
        /// On which printer.
        printer: String,
    },
    /// Good copies are in a box.
    Ready {
        /// The part.
        part: String,
        /// Copies in this box.
        copies: usize,
        /// Copies asked for.
        of: usize,
        /// Whether all of them are in a box or further.
        all: bool,
        /// At which host.
        host: String,
        /// Where the team gets them.
        place: String,
        /// By when they are promised, if that promise is open.
        arrival: Option<Minute>,
    },
    /// A box has left the host.
    Left {
        /// The part.
        part: String,
        /// Where to.
        place: String,
    },
    /// A box did not go with the leg that should have taken it.
    NotGone {
        /// The part.
        part: String,
        /// Why.
        why: Hitch,
        /// When it should be there now, if that can be said.
        arrives: Option<Minute>,
        /// Where.
        place: String,
    },
    /// What was in a box is made again.
    MadeAgain {
        /// The part.
        part: String,
        /// What was wrong with the box.
        why: Doubt,
    },
    /// A box was found, or is right.
    BoxRight {
        /// The part.
        part: String,
        /// What was said of it.
        why: Doubt,
    },
    /// The team holds its copies.
    HandedOver {
        /// The part.
        part: String,
        /// Whether the promise that ended with them was broken.
        late: bool,
    },
    /// A box is with the team; other copies are not yet.
    SomeHandedOver {
        /// The part.
        part: String,
    },
    /// A box that was said to be with the team is not, after all.
    NotHandedOver {
        /// The part.
        part: String,
    },
    /// Copies were recalled.
    Recalled {
        /// The part.
        part: String,
        /// Those that the team has.
        have: usize,
        /// Those that it does not have yet.
        held: usize,
    },
    /// Recalled copies need not be checked any more.
    RecallLifted {
        /// The part.
        part: String,
    },
    /// Recalled copies at a bench are to be checked.
    CheckRecalled {
        /// The part.
        part: String,
        /// Copies.
        copies: usize,
        /// What they are on, or in: shares.
        boxes: Vec<u64>,
    },
    /// A team or a bench has checked recalled copies.
    RecallChecked {
        /// Part's name.
        part: String,
        /// Whether the copies are good.
        good: bool,
    },
    /// Recalled copies were checked, for the coordinator.
    Checked {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
        /// Whether they are good.
        good: bool,
    },
    /// A promise may be broken.
    MayBeLate {
        /// The part.
        part: String,
        /// By when it was promised.
        promised: Minute,
        /// When it should come now, if that can be said.
        likely: Option<Minute>,
        /// Where.
        place: String,
        /// Why, as a clause, if that is on record.
        why: Option<Said>,
    },
    /// A promise that was at risk holds again.
    InTimeAgain {
        /// The part.
        part: String,
        /// By when.
        promised: Minute,
        /// Where.
        place: String,
    },
    /// Plates that came to a bench for today, or have gone from it.
    Bench {
        /// Number, printer, start.
        on: Vec<(u64, String, Minute)>,
        /// Number, and when it is to be started now, if it is planned at all.
        off: Vec<(u64, Option<Minute>)>,
    },
    /// Plates of today without a program, at a bench that gives us programs.
    ProgramsWanted {
        /// Number and start.
        plates: Vec<(u64, Minute)>,
    },
    /// No spool suffices for a plate.
    SpoolShort {
        /// Number of the plate.
        plate: u64,
        /// When it is to be started.
        start: Minute,
        /// Material code.
        material: String,
        /// What it needs, g.
        needed_g: f64,
        /// What is on the spool that has most, g; `None` when there is none.
        most_g: Option<f64>,
    },
    /// A run won't be done when people leave, and may not go on alone.
    StopBy {
        /// Number of the plate.
        plate: u64,
        /// Printer.
        printer: String,
        /// When people leave.
        at: Minute,
    },
    /// The coordinator has a run stopped, and made again.
    StopNow {
        /// Number of the plate.
        plate: u64,
        /// Printer.
        printer: String,
    },
    /// The school of a bench is closed for a while.
    Closed {
        /// The school's name.
        school: String,
        /// Since when.
        from: Minute,
        /// Until when.
        until: Minute,
        /// Why, in the coordinator's words.
        reason: String,
    },
    /// Deeds at a bench that students run wait for an adult.
    LookAt {
        /// At which host.
        host: String,
        /// How many.
        deeds: usize,
    },
    /// A part waits for the coordinator's decision.
    Decide {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
    },
    /// A team asks for a second look.
    Appealed {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
    },
    /// Somebody says that a part should not be here.
    Reported {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
    },
    /// Somebody says that a box is lost, or has the wrong parts in it.
    BoxDoubted {
        /// Number of the box.
        share: u64,
        /// The part.
        part: String,
        /// The team.
        team: String,
        /// What may be wrong.
        why: Doubt,
    },
    /// A promise to a team is at risk.
    AtRisk {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
        /// By when it was promised.
        promised: Minute,
        /// When it should come now, if that can be said.
        likely: Option<Minute>,
        /// Why, as a clause, if that is on record.
        why: Option<Said>,
    },
}

/// A time that reads the same tomorrow: `Thursday 11 March at 15:40`.
pub(crate) fn when(zone: &Zone, at: Minute) -> Said {
    let (day, clock) = (zone.moment(at, Form::Day), zone.moment(at, Form::Clock));
    said!("notices-when", day = day, clock = clock)
}

/// The same inside a clause: `on Thursday 11 March at 15:40`.
pub(in crate::notices) fn on(zone: &Zone, at: Minute) -> Said {
    said!("why-because-on", at = when(zone, at))
}

impl Says {
    /// A name that stays.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Promised { .. } => "part.promised",
            Self::NeedsChange { .. } => "part.needs-change",
            Self::Waits { .. } => "part.waits",
            Self::WaitsLong { .. } => "part.waits-long",
            Self::NotDecided { .. } => "part.not-decided",
            Self::Undecided { .. } => "review.undecided",
            Self::StandsIn { .. } => "region.stands-in",
            Self::Account { what, .. } => what.kind(),
            Self::Passed { .. } => "part.passed",
            Self::Refused { .. } => "part.refused",
            Self::TakenDown { .. } => "part.taken-down",
            Self::CalledBack { .. } => "part.called-back",
            Self::SpareNotMade { .. } => "part.spare-not-made",
            Self::Printing { .. } => "part.printing",
            Self::Ready { .. } => "part.ready",
            Self::Left { .. } => "part.on-its-way",
            Self::NotGone { .. } => "part.not-gone",
            Self::MadeAgain { .. } => "part.made-again",
            Self::BoxRight { .. } => "part.box-right",
            Self::HandedOver { .. } => "part.handed-over",
            Self::SomeHandedOver { .. } => "part.some-handed-over",
            Self::NotHandedOver { .. } => "part.not-handed-over",
            Self::Recalled { .. } => "part.recalled",
            Self::RecallLifted { .. } => "part.recall-lifted",
            Self::CheckRecalled { .. } => "bench.check-recalled",
            Self::RecallChecked { .. } => "part.recall-checked",
            Self::Checked { .. } => "recall.checked",
            Self::MayBeLate { .. } => "part.may-be-late",
            Self::InTimeAgain { .. } => "part.in-time-again",
            Self::Bench { .. } => "bench.changed",
            Self::ProgramsWanted { .. } => "bench.programs-wanted",
            Self::SpoolShort { .. } => "bench.spool-short",
            Self::StopBy { .. } | Self::StopNow { .. } => "bench.stop",
            Self::Closed { .. } => "bench.closed",
            Self::LookAt { .. } => "hub.to-look",
            Self::Decide { .. } => "review.decide",
            Self::Appealed { .. } => "review.appealed",
            Self::Reported { .. } => "review.reported",
            Self::BoxDoubted { .. } => "box.doubted",
            Self::AtRisk { .. } => "promise.at-risk",
        }
    }

    /// Whether an adult who wants to be told at once is.
    #[must_use]
    pub fn urgent(&self) -> bool {
        matches!(
            self,
            Self::MayBeLate { .. }
                | Self::Account { .. }
                | Self::Recalled { .. }
                | Self::CheckRecalled { .. }
                | Self::Bench { .. }
                | Self::StopBy { .. }
                | Self::StopNow { .. }
                | Self::Closed { .. }
                | Self::LookAt { .. }
                | Self::Reported { .. }
                | Self::Undecided { .. }
                | Self::BoxDoubted { .. }
                | Self::AtRisk { .. }
        )
    }
}
