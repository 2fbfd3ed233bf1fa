//! The part of a plate's page where its host sends the program that the printer will run.

use partpledge_planning_model::Making;
use partpledge_records::{KeptPlate, PlateProgram, StepKind};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::{decimal, say};
use partpledge_workshop::programs::not_used_says;
use partpledge_workshop::{Books, Role, Session};

use crate::who::Visitor;
use crate::words;

/// What is said of a plate's program, and the form to send one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ProgramPart {
    /// What the latest program takes.
    pub(crate) said: Option<Said>,
    /// Key of the form; `None` once the plate was started.
    pub(crate) key: Option<String>,
    /// What was wrong with the file just sent.
    pub(crate) wrong: Option<String>,
}

/// A program in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Said {
    /// Both times.
    pub(crate) times: String,
    /// Further sentences.
    pub(crate) more: Vec<String>,
    /// `14 words of it were not used`.
    pub(crate) summary: String,
    /// `M106, 12 times`.
    pub(crate) not_used: Vec<String>,
}

impl ProgramPart {
    /// For a plate on somebody's own printer.
    pub(crate) fn new(
        (session, books): (&Session, &Books),
        visitor: &Visitor,
        kept: &KeptPlate,
        (key, wrong): (String, Option<String>),
    ) -> Self {
        let seq = kept.on().0;
        let started = books.step(seq, StepKind::Started).is_some();
        let waits = books.whole(kept).is_some() && !started;
        let program = books.floor.program_of(seq);
        let yours = matches!(visitor.role(), Role::Host(_));
        Self {
            said: program.map(|program| said((session, books), kept, program, yours)),
            key: waits.then_some(key),
            wrong,
        }
    }
}

fn said(
    (session, books): (&Session, &Books),
    kept: &KeptPlate,
    program: &PlateProgram,
    yours: bool,
) -> Said {
    let classes = &session.terrain.classes;
    let of_class = |making: &&Making| classes.get(making.printer.0) == Some(&program.class);
    let ours = kept.own.iter().find(of_class);
    let ours = ours.map(|ours| ours.worked_out.to_string());
    let takes = Minutes(program.worked_out_min).to_string();
    let times = match (ours, yours) {
        (Some(ours), true) => say!("programs-times-yours", ours = ours, takes = takes),
        (Some(ours), false) => say!("programs-times-hosts", ours = ours, takes = takes),
        (None, true) => say!("programs-takes-yours", takes = takes),
        (None, false) => say!("programs-takes-hosts", takes = takes),
    };
    let mut more = Vec::new();
    if program.levelling_min > 0 {
        more.push(say!("programs-levelling", n = program.levelling_min));
    }
    let digits = u8::from(program.mass_g < 10.0);
    more.push(say!(
        "programs-uses",
        grams = decimal(program.mass_g, digits),
        layers = program.layers
    ));
    more.extend(elsewhere(session, books, kept, program));
    let (zone, now) = (&session.terrain.zone, session.minute());
    let came = words::time(zone, Minute::at_or_before(program.received_at), now);
    more.push(say!("programs-sent", file = program.file_name, at = came));
    let (summary, not_used) = not_used(program);
    Said {
        times,
        more,
        summary,
        not_used,
    }
}

/// Why the program does not count where the plate is planned now.
fn elsewhere(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    program: &PlateProgram,
) -> Option<String> {
    let name = partpledge_workshop::plate_room::printer_of(session, books, kept)?;
    let class = &session.terrain.classes[session.terrain.printer_of(&name)?.0];
    (*class != program.class).then(|| say!("programs-elsewhere", printer = name))
}

fn not_used(program: &PlateProgram) -> (String, Vec<String>) {
    let all = program.not_used.iter().map(|word| word.count);
    let sum = i64::try_from(all.sum::<u64>()).unwrap_or(i64::MAX);
    let summary = say!("programs-words-not-used", n = sum);
    let one = |word: &partpledge_records::NotUsed| {
        say!(
            "programs-word-times",
            word = not_used_says(&word.word),
            n = word.count
        )
    };
    (summary, program.not_used.iter().map(one).collect())
}
