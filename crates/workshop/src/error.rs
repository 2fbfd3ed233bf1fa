//! Application failures: one text for the person, another for the log, never a web word.

use partpledge_catalogue::region::TableError;
use partpledge_catalogue::{RegionFileError, class_says};
use partpledge_costing::CostError;
use partpledge_formats::ReadError;
use partpledge_plan_check::Violation;
use partpledge_planning::NoQuote;
use partpledge_plates::LayoutError;
use partpledge_records::StoreError;
use partpledge_sections::SliceError;
use partpledge_toolpath::EstimateError;
use partpledge_toolpath::program::RetimeError;
use partpledge_units::length::LengthUnit;
use partpledge_units::local::LocalTimeError;
use partpledge_words::{Said, say};

use crate::measuring;

mod deep;
mod kinds;

pub use kinds::whom;

/// A use case that could not be carried out.
#[derive(Debug, thiserror::Error)]
pub enum WorkshopError {
    /// The file can't be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// There is no such file, or it can't be opened.
    #[error("{}", say!("errors-no-file", path = path, why = why))]
    NoFile {
        /// Where.
        path: String,
        /// Why.
        why: String,
        /// Whether it is there, and not to be read by who asks.
        locked: bool,
    },
    /// The unit asked for is not the one that the file declares.
    #[error("{}", say!("errors-unit-conflict", declared = declared.symbol(), asked = asked.symbol()))]
    UnitConflict {
        /// What the 3MF declares.
        declared: LengthUnit,
        /// What was asked for.
        asked: LengthUnit,
    },
    /// No such material, sheet, class, team or printer.
    #[error("{}", say!("errors-unknown", what = kinds::word(what), name = name, known = known))]
    Unknown {
        /// Kind of thing.
        what: &'static str,
        /// The name given.
        name: String,
        /// Those that exist.
        known: String,
    },
    /// A number is out of range.
    #[error("{}", say!("errors-out-of-range", what = kinds::word(what), range = kinds::word(range)))]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// What it may be.
        range: &'static str,
    },
    /// A blocking finding stands in the way; its code and words are inside.
    #[error("{}", say!("errors-needs-change", part = part, why = why.to_string()))]
    NeedsChange {
        /// Which part.
        part: String,
        /// Code of the finding.
        code: &'static str,
        /// Why it matters.
        why: Box<Said>,
        /// What to do.
        what_to_do: Box<Said>,
    },
    /// The part is larger than the room of the class it is to be estimated for, or of the largest.
    #[error("{}", say!("errors-no-room", size = box_mm(size_mm), class = class_says(class), room = box_mm(room_mm)))]
    NoRoom {
        /// Its box as it stands.
        size_mm: [f64; 3],
        /// Name of the class.
        class: String,
        /// Width, depth and height over its bed.
        room_mm: [f64; 3],
    },
    /// It could not be cut into layers.
    #[error(transparent)]
    Slice(#[from] SliceError),
    /// It could not be estimated.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
    /// A motion program could not be timed.
    #[error(transparent)]
    Program(#[from] RetimeError),
    /// It has no cost.
    #[error("{}", deep::no_cost(.0))]
    Cost(#[from] CostError),
    /// It could not be laid out.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// No pledge is possible.
    #[error(transparent)]
    NoQuote(#[from] NoQuote),
    /// The checker refused a plan that we made: our fault, and nothing was saved.
    #[error("{}", plan_refused(.0))]
    PlanRefused(Violation),
    /// A host's program can't be used for a plate.
    #[error("{why}")]
    ProgramRefused {
        /// Code of the finding or rule.
        code: &'static str,
        /// Why, with the numbers.
        why: String,
        /// What to do.
        what_to_do: String,
    },
    /// That can't be done with a spool.
    #[error("{why}")]
    SpoolRefused {
        /// Why.
        why: String,
        /// What to do.
        what_to_do: String,
    },
    /// The plate is no longer waiting to be started.
    #[error("{}", say!("errors-not-waiting", plate = plate))]
    NotWaiting {
        /// Which plate.
        plate: u64,
    },
    /// The team has sent the very same a short while ago.
    #[error("{}", say!("errors-sent-before", number = number))]
    SentBefore {
        /// Number of that request.
        number: i64,
    },
    /// The file was taken down before.
    #[error("{}", say!("errors-taken-down", number = number))]
    TakenDown {
        /// Number of that request.
        number: i64,
    },
    /// It would come later than what was shown.
    #[error("{}", say!("errors-later-now", now = now))]
    LaterNow {
        /// When, for people.
        now: String,
    },
    /// It is being made already, has ended, or waits for somebody to look at it.
    #[error("{}", say!("errors-too-late-to-change", number = number))]
    TooLateToChange {
        /// Its number.
        number: i64,
    },
    /// Somebody of the team has chosen another way for it.
    #[error("{}", say!("errors-chosen-otherwise", number = number))]
    ChosenOtherwise {
        /// Its number.
        number: i64,
    },
    /// No bench prints spares now, or this part can't be asked for as one.
    #[error("{}", say!("errors-no-spare-now"))]
    NoSpareNow,
    /// The team asks for more than the region lets it.
    #[error("{}", say!("errors-over-limit", what = what))]
    OverLimit {
        /// For what, and what is the most.
        what: String,
        /// Whether a mentor may let it through.
        mentor_may: bool,
    },
    /// No other school's printer can make a plate that a host declines.
    #[error("{}", say!("errors-nobody-else", plate = plate))]
    NobodyElse {
        /// Which plate.
        plate: u64,
    },
    /// Something else must be done with the plate first.
    #[error("{}", say!("errors-too-early", plate = plate, first = first.as_str()))]
    TooEarly {
        /// Which plate.
        plate: u64,
        /// What must have been done with it.
        first: partpledge_records::StepKind,
    },
    /// Something was done at a time that can't be: yet to come, or too long ago to plan with.
    #[error("{}", say!("errors-wrong-time"))]
    WrongTime,
    /// Copies of a box are being reworked.
    #[error("{}", say!("errors-held", plate = plate))]
    Held {
        /// Whose box.
        plate: u64,
    },
    /// A critical dimension of a part can be none.
    #[error("{}", say!("errors-bad-dimension", n = n, why = why.to_string()))]
    BadDimension {
        /// Which of those that were named: 1, 2, 3 ...
        n: usize,
        /// Why.
        why: partpledge_quality::NotADimension,
    },
    /// Copies were called good whose critical dimensions are not within their limits, or not measured.
    #[error("{}", measuring::in_words(faults))]
    NotGood {
        /// Each that is wrong.
        faults: Vec<measuring::Fault>,
    },
    /// Copies were counted as good whose critical dimensions must be measured.
    #[error("{}", say!("errors-must-measure", plate = plate))]
    MustMeasure {
        /// Which plate.
        plate: u64,
    },
    /// A box was closed for copies that are not there.
    #[error("{}", say!("errors-nothing-good", plate = plate))]
    NothingGood {
        /// Plate, or share of one.
        plate: u64,
    },
    /// A code that is not the box's.
    #[error("{}", say!("errors-wrong-box-code", plate = plate))]
    WrongBoxCode {
        /// What is in it.
        plate: u64,
    },
    /// Too many wrong codes.
    #[error("{}", say!("errors-too-many-codes", plate = plate))]
    TooManyCodes {
        /// What is in it.
        plate: u64,
    },
    /// A box that was closed before boxes had codes.
    #[error("{}", say!("errors-no-box-code", plate = plate))]
    NoBoxCode {
        /// What is in it.
        plate: u64,
    },
    /// A box that travels and is still at its host.
    #[error("{}", say!("errors-not-left", plate = plate))]
    NotLeft {
        /// What is in it.
        plate: u64,
    },
    /// A box whose part was taken down.
    #[error("{}", say!("errors-box-down", plate = plate))]
    BoxDown {
        /// What is in it.
        plate: u64,
    },
    /// A box with copies that were called back and are not checked yet.
    #[error("{}", say!("errors-box-recalled", plate = plate))]
    BoxRecalled {
        /// What is in it.
        plate: u64,
    },
    /// A file that is still the newest of its part.
    #[error("{}", say!("errors-not-replaced", number = number))]
    NotReplaced {
        /// Number of the request.
        number: i64,
    },
    /// Nothing good was made that is not recalled already.
    #[error("{}", say!("errors-nothing-to-recall"))]
    NothingToRecall,
    /// Nothing waits to be checked.
    #[error("{}", say!("errors-recall-over"))]
    RecallOver,
    /// Nothing of a part has been made yet.
    #[error("{}", say!("errors-not-made-yet", number = number))]
    NotMadeYet {
        /// Number of the request.
        number: i64,
    },
    /// A leg that the box does not wait for any more.
    #[error("{}", say!("errors-not-that-leg", plate = plate))]
    NotThatLeg {
        /// What is in it.
        plate: u64,
    },
    /// A box that is not closed, was handed over too long ago, or stands otherwise than was said.
    #[error("{}", say!("errors-not-that-box", plate = plate))]
    NotThatBox {
        /// What is in it.
        plate: u64,
    },
    /// Somebody has decided about a box, or it was handed over meanwhile.
    #[error("{}", say!("errors-box-decided", plate = plate))]
    BoxDecided {
        /// What is in it.
        plate: u64,
    },
    /// Nobody who is at a bench that students run may do it.
    #[error("{}", say!("errors-nobody-may"))]
    NobodyMay {
        /// Who could, or that an adult is asked.
        why: String,
    },
    /// A step can't be taken back.
    #[error("{}", say!("errors-not-taken-back"))]
    NotTakenBack {
        /// Why.
        why: String,
    },
    /// The plate was called back before that reached us.
    #[error("{}", say!("errors-called-back", plate = plate))]
    CalledBack {
        /// Which plate.
        plate: u64,
    },
    /// A stage broke off in a way that nobody foresaw: our fault, and nothing was saved.
    #[error("{}", say!("errors-broke-off"))]
    BrokeOff,
    /// Others kept changing the plan while we tried.
    #[error("{}", contended(*.0))]
    Contended(u32),
    /// It is not for somebody in that role.
    #[error("{}", say!("errors-not-allowed", who = kinds::word(who)))]
    NotAllowed {
        /// Whom it is for.
        who: &'static str,
    },
    /// It belongs to somebody else, and is answered as if it were not there.
    #[error("{}", say!("errors-not-yours"))]
    NotYours,
    /// The region file is not in order.
    #[error(transparent)]
    RegionFile(#[from] RegionFileError),
    /// A file is no table of the region.
    #[error(transparent)]
    Table(#[from] TableError),
    /// A time or zone could not be read.
    #[error(transparent)]
    Time(#[from] LocalTimeError),
    /// The store failed.
    #[error("{}", .0.for_people())]
    Store(#[from] StoreError),
}

impl WorkshopError {
    /// A stable code for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Read(error) => error.code(),
            Self::NoFile { locked: true, .. } => "not-yours-to-read",
            Self::NoFile { .. } => "no-file",
            Self::UnitConflict { .. } => "unit-conflict",
            Self::Unknown { .. } => "unknown-name",
            Self::OutOfRange { .. } => "out-of-range",
            Self::NeedsChange { code, .. } | Self::ProgramRefused { code, .. } => code,
            Self::NoRoom { .. } => "no-room",
            Self::Slice(_) => "cannot-slice",
            Self::Estimate(_) => "cannot-estimate",
            Self::Program(error) => error.code(),
            Self::Cost(_) => "cannot-cost",
            Self::Layout(error) => error.code(),
            Self::NoQuote(NoQuote::NothingAsked) => "nothing-asked",
            Self::NoQuote(NoQuote::NoPrinter { .. }) => "no-printer",
            Self::NoQuote(NoQuote::TooManyPlates { .. }) => "too-many-plates",
            Self::NoQuote(NoQuote::NoSlot | NoQuote::NoSlotUntil(_)) => "no-slot",
            Self::NoQuote(NoQuote::TooUncertain { .. }) => "too-uncertain",
            Self::PlanRefused(violation) => violation.code(),
            Self::SpoolRefused { .. } => "spool",
            Self::NotWaiting { .. } => "not-waiting",
            Self::TooEarly { .. } => "too-early",
            Self::WrongTime => "wrong-time",
            Self::CalledBack { .. } => "called-back",
            Self::WrongBoxCode { .. } => "wrong-box-code",
            Self::TooManyCodes { .. } => "too-many-codes",
            Self::NoBoxCode { .. } => "no-box-code",
            Self::NotLeft { .. } => "not-left",
            Self::BoxDown { .. } => "box-down",
            Self::BoxRecalled { .. } => "box-recalled",
            Self::NotReplaced { .. } => "not-replaced",
            Self::NothingToRecall => "nothing-to-recall",
            Self::RecallOver => "recall-over",
            Self::NotMadeYet { .. } => "not-made-yet",
            Self::NotThatLeg { .. } => "not-that-leg",
            Self::NotThatBox { .. } => "not-that-box",
            Self::BoxDecided { .. } => "box-decided",
            Self::NobodyMay { .. } => "nobody-may",
            Self::NotTakenBack { .. } => "not-taken-back",
            Self::Held { .. } => "held",
            Self::BadDimension { .. } => "bad-dimension",
            Self::NotGood { .. } => "not-good",
            Self::MustMeasure { .. } => "must-measure",
            Self::NothingGood { .. } => "nothing-good",
            Self::SentBefore { .. } => "sent-before",
            Self::TakenDown { .. } => "taken-down",
            Self::LaterNow { .. } => "later-now",
            Self::TooLateToChange { .. } => "too-late-to-change",
            Self::ChosenOtherwise { .. } => "chosen-otherwise",
            Self::NoSpareNow => "no-spare-now",
            Self::OverLimit { .. } => "over-limit",
            Self::NobodyElse { .. } => "nobody-else",
            Self::BrokeOff => "broke-off",
            Self::Contended(_) => "busy",
            Self::NotAllowed { .. } => "not-allowed",
            Self::NotYours => "not-yours",
            Self::RegionFile(_) => "region-file",
            Self::Table(_) => "bad-table",
            Self::Time(_) => "bad-time",
            Self::Store(_) => "store",
        }
    }

    /// What a person can do about it.
    #[must_use]
    pub fn what_to_do(&self) -> String {
        match self {
            Self::Read(error) => error.what_to_do(),
            Self::NoFile { locked: true, .. } => say!("errors-do-locked-file"),
            Self::NoFile { .. } => say!("errors-do-no-file"),
            Self::UnitConflict { declared, .. } => {
                say!("errors-do-unit-conflict", declared = declared.symbol())
            }
            Self::Unknown { .. } => say!("errors-do-unknown"),
            Self::OutOfRange { range, .. } => {
                say!("errors-do-out-of-range", range = kinds::word(range))
            }
            Self::NeedsChange { what_to_do, .. } => what_to_do.to_string(),
            Self::ProgramRefused { what_to_do, .. } => what_to_do.clone(),
            Self::NoRoom { .. } => say!("errors-do-no-room"),
            Self::Slice(_) => say!("errors-do-slice"),
            Self::Estimate(EstimateError::NothingLaid { .. }) => say!("errors-do-nothing-laid"),
            Self::Estimate(EstimateError::MaterialNotTaken { .. }) => {
                say!("errors-do-material-not-taken")
            }
            Self::Program(error) => error.what_to_do().to_owned(),
            Self::Cost(_) => say!("errors-do-cost"),
            Self::Layout(LayoutError::BadBed { .. }) => say!("errors-do-bad-bed"),
            Self::Layout(error) if error.is_wrong_call() => say!("errors-do-bad-gap"),
            Self::Layout(_) => say!("errors-do-layout"),
            Self::NoQuote(NoQuote::NoPrinter { .. }) => say!("errors-do-no-printer"),
            Self::NoQuote(NoQuote::TooManyPlates { .. }) => say!("errors-do-too-many-plates"),
            Self::NoQuote(NoQuote::NoSlotUntil(_)) => say!("errors-do-no-slot"),
            Self::NoQuote(_) => say!("errors-do-no-quote"),
            Self::PlanRefused(_) | Self::BrokeOff => say!("errors-do-our-mistake"),
            Self::Contended(_) => say!("errors-do-contended"),
            Self::NotAllowed { .. } => say!("errors-do-not-allowed"),
            Self::NotYours => say!("errors-do-not-yours"),
            Self::RegionFile(_) => say!("errors-do-region-file"),
            Self::Table(_) => say!("errors-do-table"),
            Self::Time(_) => say!("errors-do-time"),
            Self::Store(error) => error.for_people(),
            _ => self.on_the_floor(),
        }
    }

    /// What somebody at a bench, or who sends a part, can do about it.
    fn on_the_floor(&self) -> String {
        match self {
            Self::SpoolRefused { what_to_do, .. } => what_to_do.clone(),
            Self::NotWaiting { .. } => say!("errors-do-not-waiting"),
            Self::SentBefore { number } => say!("errors-do-sent-before", number = number),
            Self::TakenDown { .. } => say!("errors-do-taken-down"),
            Self::LaterNow { .. } => say!("errors-do-later-now"),
            Self::TooLateToChange { .. } => say!("errors-do-too-late-to-change"),
            Self::ChosenOtherwise { .. } => say!("errors-do-chosen-otherwise"),
            Self::NoSpareNow => say!("errors-do-no-spare-now"),
            Self::OverLimit {
                mentor_may: true, ..
            } => say!("errors-do-ask-mentor"),
            Self::OverLimit { .. } => say!("errors-do-ask-coordinator"),
            Self::NobodyElse { .. } => say!("errors-do-nobody-else"),
            Self::TooEarly { .. } => say!("errors-do-too-early"),
            Self::WrongTime => say!("errors-do-wrong-time"),
            Self::NotTakenBack { why } | Self::NobodyMay { why } => why.clone(),
            Self::Held { .. } => say!("errors-do-held"),
            Self::BadDimension { .. } => say!("errors-do-bad-dimension"),
            Self::NotGood { .. } => say!("errors-do-not-good"),
            Self::MustMeasure { .. } => say!("errors-do-must-measure"),
            Self::NothingGood { .. } => say!("errors-do-nothing-good"),
            Self::CalledBack { .. } => say!("errors-do-called-back"),
            _ => self.about_boxes(),
        }
    }

    /// What somebody who has a box, or copies that were recalled, can do about it.
    fn about_boxes(&self) -> String {
        match self {
            Self::WrongBoxCode { .. } => say!("errors-do-wrong-box-code"),
            Self::TooManyCodes { .. } => say!("errors-do-too-many-codes"),
            Self::NoBoxCode { .. } => say!("errors-do-no-box-code"),
            Self::NotLeft { .. } => say!("errors-do-not-left"),
            Self::BoxDown { .. } => say!("errors-do-box-down"),
            Self::BoxRecalled { .. } => say!("errors-do-box-recalled"),
            Self::NotReplaced { .. } => say!("errors-do-not-replaced"),
            Self::NothingToRecall => say!("errors-do-nothing-to-recall"),
            Self::RecallOver => say!("errors-do-recall-over"),
            Self::NotMadeYet { .. } => say!("errors-do-not-made-yet"),
            Self::NotThatLeg { .. } => say!("errors-do-not-that-leg"),
            Self::NotThatBox { .. } => say!("errors-do-not-that-box"),
            Self::BoxDecided { .. } => say!("errors-do-box-decided"),
            _ => String::new(),
        }
    }

    /// Whether the input itself was wrong (unreadable file or wrong call), as against a part or a
    /// plan that can't be made.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        if let Self::Layout(error) = self {
            return error.is_wrong_call();
        }
        !matches!(
            self,
            Self::NeedsChange { .. }
                | Self::NoRoom { .. }
                | Self::NoQuote(_)
                | Self::Estimate(_)
                | Self::Cost(_)
                | Self::PlanRefused(_)
                | Self::NotWaiting { .. }
                | Self::TooEarly { .. }
                | Self::CalledBack { .. }
                | Self::NobodyMay { .. }
                | Self::NotTakenBack { .. }
                | Self::WrongBoxCode { .. }
                | Self::TooManyCodes { .. }
                | Self::NoBoxCode { .. }
                | Self::NotLeft { .. }
                | Self::BoxDown { .. }
                | Self::BoxRecalled { .. }
                | Self::NotReplaced { .. }
                | Self::NothingToRecall
                | Self::RecallOver
                | Self::NotMadeYet { .. }
                | Self::NotThatLeg { .. }
                | Self::NotThatBox { .. }
                | Self::BoxDecided { .. }
                | Self::Held { .. }
                | Self::NotGood { .. }
                | Self::MustMeasure { .. }
                | Self::NothingGood { .. }
                | Self::SentBefore { .. }
                | Self::TakenDown { .. }
                | Self::OverLimit { .. }
                | Self::LaterNow { .. }
                | Self::NoSpareNow
                | Self::TooLateToChange { .. }
                | Self::ChosenOtherwise { .. }
                | Self::NobodyElse { .. }
                | Self::BrokeOff
                | Self::NotAllowed { .. }
                | Self::NotYours
        )
    }
}

fn plan_refused(violation: &Violation) -> String {
    let (why, plate) = (deep::rule(violation), violation.plate().0);
    say!("errors-plan-refused", why = why, plate = plate)
}

fn contended(tries: u32) -> String {
    say!("errors-contended", n = tries)
}

fn box_mm([x, y, z]: &[f64; 3]) -> String {
    format!("{x:.0} x {y:.0} x {z:.0} mm")
}
