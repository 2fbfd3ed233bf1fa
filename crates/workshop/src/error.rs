//! Application failures: one text for the person, another for the log, never a web word.

use partpledge_catalogue::RegionFileError;
use partpledge_catalogue::region::TableError;
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

use crate::measuring;

/// A use case that could not be carried out.
#[derive(Debug, thiserror::Error)]
pub enum WorkshopError {
    /// The file can't be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// There is no such file, or it can't be opened.
    #[error("{path} can't be opened: {why}")]
    NoFile {
        /// Where.
        path: String,
        /// Why.
        why: String,
    },
    /// The unit asked for is not the one that the file declares.
    #[error("the file says it is in {declared}, but {asked} was asked for", declared = declared.symbol(), asked = asked.symbol())]
    UnitConflict {
        /// What the 3MF declares.
        declared: LengthUnit,
        /// What was asked for.
        asked: LengthUnit,
    },
    /// No such material, sheet, class, team or printer.
    #[error("there is no {what} '{name}'; there are: {known}")]
    Unknown {
        /// Kind of thing.
        what: &'static str,
        /// The name given.
        name: String,
        /// Those that exist.
        known: String,
    },
    /// A number is out of range.
    #[error("{what} must be {range}")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// What it may be.
        range: &'static str,
    },
    /// A blocking finding stands in the way; its code and words are inside.
    #[error("'{part}' can't be printed as it is: {why}")]
    NeedsChange {
        /// Which part.
        part: String,
        /// Code of the finding.
        code: &'static str,
        /// Why it matters.
        why: String,
        /// What to do.
        what_to_do: String,
    },
    /// The part is larger than the room of the class it is to be estimated for, or of the largest.
    #[error(
        "it measures {}; the class '{class}' has room for {}, and no side down makes it fit",
        box_mm(size_mm),
        box_mm(room_mm)
    )]
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
    #[error(transparent)]
    Cost(#[from] CostError),
    /// It could not be laid out.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// No pledge is possible.
    #[error(transparent)]
    NoQuote(#[from] NoQuote),
    /// The checker refused a plan that we made: our fault, and nothing was saved.
    #[error("the checker refused the plan: {} of plate {}", .0.words(), .0.plate().0)]
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
        what_to_do: &'static str,
    },
    /// The plate is no longer waiting to be started.
    #[error("plate {plate} no longer waits to be started")]
    NotWaiting {
        /// Which plate.
        plate: u64,
    },
    /// The team has sent the very same a short while ago.
    #[error("the same file was sent as part {number} within the last week")]
    SentBefore {
        /// Number of that request.
        number: i64,
    },
    /// The file was taken down before.
    #[error("this file was taken down as part {number}")]
    TakenDown {
        /// Number of that request.
        number: i64,
    },
    /// It would come later than what was shown.
    #[error("by now it would come {now}, later than we showed")]
    LaterNow {
        /// When, for people.
        now: String,
    },
    /// It is being made already, has ended, or waits for somebody to look at it.
    #[error("part {number} can’t be changed like that now")]
    TooLateToChange {
        /// Its number.
        number: i64,
    },
    /// Somebody of the team has chosen another way for it.
    #[error("your team has chosen another way for part {number}")]
    ChosenOtherwise {
        /// Its number.
        number: i64,
    },
    /// No bench prints spares now, or this part can't be asked for as one.
    #[error("there are no spares of this part now")]
    NoSpareNow,
    /// The team asks for more than the region lets it.
    #[error("the team asks for {what}")]
    OverLimit {
        /// For what, and what is the most.
        what: String,
        /// Whether a mentor may let it through.
        mentor_may: bool,
    },
    /// No other school's printer can make a plate that a host declines.
    #[error("no other school can make plate {plate}")]
    NobodyElse {
        /// Which plate.
        plate: u64,
    },
    /// Something else must be done with the plate first.
    #[error("plate {plate} must be {} first", first.as_str())]
    TooEarly {
        /// Which plate.
        plate: u64,
        /// What must have been done with it.
        first: partpledge_records::StepKind,
    },
    /// Something was done at a time that can't be: yet to come, or too long ago to plan with.
    #[error("that time can't be: it is yet to come, or more than two days ago")]
    WrongTime,
    /// Copies of a box are being reworked.
    #[error("copies of plate {plate} are still being reworked")]
    Held {
        /// Whose box.
        plate: u64,
    },
    /// A critical dimension of a part can be none.
    #[error("critical dimension {n}: {why}")]
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
    #[error("copies of plate {plate} are to be measured one by one")]
    MustMeasure {
        /// Which plate.
        plate: u64,
    },
    /// A box was closed for copies that are not there.
    #[error("plate {plate} has no good copy to box")]
    NothingGood {
        /// Plate, or share of one.
        plate: u64,
    },
    /// A code that is not the box's.
    #[error("that is not the code of box {plate}")]
    WrongBoxCode {
        /// What is in it.
        plate: u64,
    },
    /// Too many wrong codes.
    #[error("too many wrong codes were typed for box {plate}")]
    TooManyCodes {
        /// What is in it.
        plate: u64,
    },
    /// A box that was closed before boxes had codes.
    #[error("box {plate} has no code")]
    NoBoxCode {
        /// What is in it.
        plate: u64,
    },
    /// A box that travels and is still at its host.
    #[error("box {plate} has not left its host yet")]
    NotLeft {
        /// What is in it.
        plate: u64,
    },
    /// A box whose part was taken down.
    #[error("the part in box {plate} was taken down")]
    BoxDown {
        /// What is in it.
        plate: u64,
    },
    /// A box with copies that were called back and are not checked yet.
    #[error("copies in box {plate} were recalled")]
    BoxRecalled {
        /// What is in it.
        plate: u64,
    },
    /// A file that is still the newest of its part.
    #[error("no newer file of part {number} came that can be made")]
    NotReplaced {
        /// Number of the request.
        number: i64,
    },
    /// Nothing good was made that is not recalled already.
    #[error("no good copy is there to be recalled")]
    NothingToRecall,
    /// Nothing waits to be checked.
    #[error("no recalled copy waits to be checked")]
    RecallOver,
    /// Nothing of a part has been made yet.
    #[error("nothing of part {number} has been made yet")]
    NotMadeYet {
        /// Number of the request.
        number: i64,
    },
    /// A leg that the box does not wait for any more.
    #[error("box {plate} does not wait for that leg any more")]
    NotThatLeg {
        /// What is in it.
        plate: u64,
    },
    /// A box that is not closed, was handed over too long ago, or stands otherwise than was said.
    #[error("that can’t be said of box {plate}")]
    NotThatBox {
        /// What is in it.
        plate: u64,
    },
    /// Somebody has decided about a box, or it was handed over meanwhile.
    #[error("nothing is to be decided about box {plate} any more")]
    BoxDecided {
        /// What is in it.
        plate: u64,
    },
    /// Nobody who is at a bench that students run may do it.
    #[error("nobody who is at the bench may do that")]
    NobodyMay {
        /// Who could, or that an adult is asked.
        why: String,
    },
    /// A step can't be taken back.
    #[error("that can't be taken back")]
    NotTakenBack {
        /// Why.
        why: String,
    },
    /// The plate was called back before that reached us.
    #[error("plate {plate} is not printed any more: it was called back, or goes to another school")]
    CalledBack {
        /// Which plate.
        plate: u64,
    },
    /// A stage broke off in a way that nobody foresaw: our fault, and nothing was saved.
    #[error("something broke off on our side")]
    BrokeOff,
    /// Others kept changing the plan while we tried.
    #[error("the plan changed {0} times while we tried")]
    Contended(u32),
    /// It is not for somebody in that role.
    #[error("that is for {who}")]
    NotAllowed {
        /// Whom it is for.
        who: &'static str,
    },
    /// It belongs to somebody else, and is answered as if it were not there.
    #[error("there is no such thing for you")]
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
            Self::NoQuote(NoQuote::NoSlot) => "no-slot",
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
            Self::NoFile { .. } => {
                "Check the name. Part files are STL, OBJ, 3MF, or a zip of them.".to_owned()
            }
            Self::UnitConflict { declared, .. } => format!(
                "Leave --unit out, or export the part again; this file says '{}'.",
                declared.symbol()
            ),
            Self::Unknown { .. } => "Choose one of the names listed.".to_owned(),
            Self::OutOfRange { range, .. } => format!("Give a number that is {range}."),
            Self::NeedsChange { what_to_do, .. } | Self::ProgramRefused { what_to_do, .. } => {
                what_to_do.clone()
            }
            Self::NoRoom { .. } => {
                "Check the unit first. If the size is right, split the part into pieces that are \
                 joined with screws or pegs, or make it smaller."
                    .to_owned()
            }
            Self::Slice(_) => {
                "Check the part's size and unit, move it near the origin, and export it again."
                    .to_owned()
            }
            Self::Estimate(EstimateError::NothingLaid { .. }) => {
                "Check the unit; if it is right, make the walls at least 1 mm thick.".to_owned()
            }
            Self::Estimate(EstimateError::MaterialNotTaken { .. }) => {
                "Choose another material or class.".to_owned()
            }
            Self::Program(error) => error.what_to_do().to_owned(),
            Self::Cost(_) => "Put a price for it into the prices' file.".to_owned(),
            Self::Layout(_) => "Choose a larger bed, or split the part in two.".to_owned(),
            Self::NoQuote(NoQuote::NoPrinter { .. }) => {
                "Choose another material, make the part smaller, or split it in two.".to_owned()
            }
            Self::NoQuote(_) => {
                "Ask for fewer copies, another material, or ask the coordinator.".to_owned()
            }
            Self::PlanRefused(_) | Self::BrokeOff => {
                "This is our mistake. Tell the coordinator; nothing was saved.".to_owned()
            }
            Self::Contended(_) => {
                "Many people are asking at once. Try again in a minute.".to_owned()
            }
            Self::NotAllowed { .. } => {
                "If you hold another role, change over to it on your account page.".to_owned()
            }
            Self::NotYours => {
                "It may have been typed wrongly, or it belongs to somebody else.".to_owned()
            }
            Self::RegionFile(_) => "Mend the region file at the place named.".to_owned(),
            Self::Table(_) => {
                "Take the file as it comes out of the region, and change only its rows.".to_owned()
            }
            Self::Time(_) => "Write the time like 2027-03-09T16:52:00+01:00.".to_owned(),
            Self::Store(error) => error.for_people().to_owned(),
            _ => self.on_the_floor(),
        }
    }

    /// What somebody at a bench, or who sends a part, can do about it.
    fn on_the_floor(&self) -> String {
        match self {
            Self::SpoolRefused { what_to_do, .. } => (*what_to_do).to_owned(),
            Self::NotWaiting { .. } => {
                "A program can only be sent before the start. Nothing was changed.".to_owned()
            }
            Self::SentBefore { number } => sent_before(*number),
            Self::TakenDown { .. } => "It can’t be used again. Ask the coordinator why.".to_owned(),
            Self::LaterNow { .. } => {
                "Nothing was changed. Look at the other ways again: there may be a new one."
                    .to_owned()
            }
            Self::TooLateToChange { .. } => {
                "It is being made, has ended, or waits for somebody to look at it. Its page says how it \
                 stands."
                    .to_owned()
            }
            Self::ChosenOtherwise { .. } => {
                "Look at your parts: the new one stands there. Change that one, if it is not right."
                    .to_owned()
            }
            Self::NoSpareNow => {
                "Spares are printed on the day of a meeting, until the bench there closes, of parts that were \
                 promised before and have no newer file. On other days send the part again."
                    .to_owned()
            }
            Self::OverLimit { mentor_may, .. } => over_limit(*mentor_may).to_owned(),
            Self::NobodyElse { .. } => {
                "Talk with the coordinator: they can take the request down, or find a way."
                    .to_owned()
            }
            Self::TooEarly { .. } => "Reload the run sheet and do what comes first.".to_owned(),
            Self::WrongTime => {
                "Set the clock of this tablet. If it is right, tell the coordinator what was done."
                    .to_owned()
            }
            Self::NotTakenBack { why } | Self::NobodyMay { why } => why.clone(),
            Self::Held { .. } => "Say of each whether it is good now or scrap.".to_owned(),
            Self::BadDimension { .. } => "Nothing was kept. Change it and send it again.".to_owned(),
            Self::NotGood { .. } => {
                "What is outside its limits is not good: rework it if that helps, and measure it again, \
                 or call it scrap. What was not measured: measure it, or say why that can’t be done. \
                 Nothing was changed."
                    .to_owned()
            }
            Self::MustMeasure { .. } => {
                "Its team named dimensions that must be right. Go through the copies one by one: \
                 measure each and write down what you read. Nothing was changed."
                    .to_owned()
            }
            Self::NothingGood { .. } => {
                "Reload the run sheet: what was lost is made again.".to_owned()
            }
            Self::CalledBack { .. } => {
                "If it runs, stop the printer and let it cool. If copies are there, keep them and \
                 tell the coordinator."
                    .to_owned()
            }
            _ => self.about_boxes(),
        }
    }

    /// What somebody who has a box, or copies that were recalled, can do about it.
    fn about_boxes(&self) -> String {
        match self {
            Self::WrongBoxCode { .. } => {
                "Nothing was lost: the box is still to be handed over. Ask the team to read its code \
                 from the part’s page, or say why it went without."
                    .to_owned()
            }
            Self::TooManyCodes { .. } => {
                "Try again in an hour, or hand it over without the code and say why.".to_owned()
            }
            Self::NoBoxCode { .. } => {
                "It was closed before boxes had codes. Hand it over without, and say why.".to_owned()
            }
            Self::NotLeft { .. } => {
                "Its bench or the coordinator says first that it is gone. If the team fetched it \
                 there, that is said there too."
                    .to_owned()
            }
            Self::BoxDown { .. } => {
                "Keep the box where it is, and give it to nobody. The coordinator says what becomes \
                 of it."
                    .to_owned()
            }
            Self::BoxRecalled { .. } => {
                "Keep it at the bench. Open it, check each copy that was recalled, and say whether it \
                 is good or scrap. Then it can go."
                    .to_owned()
            }
            Self::NotReplaced { .. } => {
                "Give the number of a part whose file a newer one has replaced.".to_owned()
            }
            Self::NothingToRecall => {
                "Look at what you have named. What was recalled before is not recalled twice."
                    .to_owned()
            }
            Self::RecallOver => {
                "Somebody has checked it already, the recall was lifted, or it was recalled after you \
                 looked at it. Reload the page."
                    .to_owned()
            }
            Self::NotMadeYet { .. } => {
                "Say its size on the part’s page, or send a changed file.".to_owned()
            }
            Self::NotThatLeg { .. } => {
                "Somebody has said so already, or it has no way left. Reload the page.".to_owned()
            }
            Self::NotThatBox { .. } => {
                "It is lost only while nobody has it. That it has the wrong parts can be said for 7 \
                 days after it was handed over."
                    .to_owned()
            }
            Self::BoxDecided { .. } => {
                "Somebody was faster. Nothing was changed; reload the page to see how it stands."
                    .to_owned()
            }
            _ => String::new(),
        }
    }

    /// Whether the input itself was wrong (unreadable file or wrong call), as against a part or a
    /// plan that can't be made.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(
            self,
            Self::NeedsChange { .. }
                | Self::NoRoom { .. }
                | Self::NoQuote(_)
                | Self::Estimate(_)
                | Self::Cost(_)
                | Self::Layout(_)
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

fn sent_before(number: i64) -> String {
    format!(
        "If you want it again, open part {number} and choose “Ask for it again”. If it was a mistake, \
         you have nothing to do."
    )
}

fn over_limit(mentor_may: bool) -> &'static str {
    if mentor_may {
        "Wait until some of your parts are made, or ask your mentor to send it with a reason."
    } else {
        "Wait until some of your parts are made, or ask the coordinator."
    }
}

fn box_mm([x, y, z]: &[f64; 3]) -> String {
    format!("{x:.0} x {y:.0} x {z:.0} mm")
}
