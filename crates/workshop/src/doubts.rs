//! Boxes that are lost or have the wrong parts in them: what was said, and what was decided.

use partpledge_records::{KeptPlate, NewNote, Note, NoteKind, State, StepKind};
use partpledge_units::ids::RequestId;
use partpledge_units::time::EventMs;
use partpledge_words::{Said, say};

use crate::books::Books;
use crate::review::codes;

/// That a box had the wrong parts in it can be said for so long after it was handed over. Common
/// practice, no source.
pub const WRONG_FOR_MS: i64 = 7 * 24 * 3_600_000;

codes! {
    /// What may be wrong with a box.
    Doubt:
    /// It is not where it should be.
    Gone = "box-gone", "pledge-box-gone";
    /// It left its bench.
    NeverCame = "box-never-came", "pledge-box-never-came";
    /// The team opened it.
    WrongParts = "wrong-parts", "pledge-box-wrong-parts";
}

impl Doubt {
    /// The same inside a sentence.
    pub(crate) fn clause(self) -> Said {
        match self {
            Self::Gone => say("why-clause-gone"),
            Self::NeverCame => say("why-clause-never-came"),
            Self::WrongParts => say("why-clause-wrong-parts"),
        }
    }
}

codes! {
    /// What the coordinator decides about it.
    Ruling:
    /// The copies are made again.
    Again = "again", "pledge-ruling-again";
    /// Nothing is wrong with it any more.
    Right = "right", "pledge-ruling-right";
}

/// A doubt that waits for the coordinator.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenDoubt {
    /// Number of the share of a plate that is in the box.
    pub share: u64,
    /// Whose it is.
    pub request: RequestId,
    /// The entry of the log by which it was said; a decision names it.
    pub entry: i64,
    /// What may be wrong.
    pub why: Doubt,
    /// In which role it was said.
    pub role: String,
    /// When.
    pub at: EventMs,
}

/// A note about a box.
pub(crate) fn note(kind: NoteKind, share: u64, why: Doubt) -> NewNote {
    NewNote {
        hints: vec![format!("plate: {share}")],
        ..NewNote::new(kind, why.code(), "")
    }
}

fn is_about(note: &Note, share: u64) -> bool {
    let mut hints = note.said.hints.iter();
    let its = hints.find_map(|hint| hint.strip_prefix("plate: "));
    its.and_then(|text| text.parse().ok()) == Some(share)
}

/// What can be said of a box: lost while nobody has it, wrong parts once somebody has; nothing of
/// one whose copies are made again already.
#[must_use]
pub fn may_be_said(books: &Books, kept: &KeptPlate, now: EventMs) -> Vec<Doubt> {
    let step = |kind| books.step(kept.plate.seq.0, kind);
    let holds = |state| books.copies_on(kept).any(|copy| copy.state == state);
    let down = books.request(kept.request);
    if down.is_none_or(|listed| books.taken_down(&listed.request)) {
        return Vec::new();
    }
    match (step(StepKind::Boxed), step(StepKind::HandedOver)) {
        (Some(_), Some(handed)) => {
            let lately = now.0 - handed.at.0 <= WRONG_FOR_MS;
            let wrong = holds(State::HandedOver) && lately;
            wrong.then_some(Doubt::WrongParts).into_iter().collect()
        }
        (Some(_), None) if holds(State::Boxed) => {
            let left = step(StepKind::Left).is_some();
            let mut out = vec![Doubt::Gone];
            out.extend(left.then_some(Doubt::NeverCame));
            out
        }
        _ => Vec::new(),
    }
}

/// What waits to be decided about a box: the first that was said since the last decision, and that
/// a hand-over has not settled since.
#[must_use]
pub fn open_doubt(books: &Books, kept: &KeptPlate) -> Option<OpenDoubt> {
    let share = kept.plate.seq.0;
    let notes = books.notes(kept.request);
    let decided = |note: &Note| {
        matches!(note.said.kind, NoteKind::BoxAgain | NoteKind::BoxRight) && is_about(note, share)
    };
    let after = notes.iter().rposition(decided).map_or(0, |at| at + 1);
    let said = notes[after..].iter().find_map(|note| {
        let its = note.said.kind == NoteKind::BoxDoubted && is_about(note, share);
        let why = Doubt::parse(&note.said.reason).filter(|_| its)?;
        // As it stood when it was said: a decision may come later than a week.
        let fits = may_be_said(books, kept, note.at).contains(&why);
        fits.then_some((note, why))
    });
    said.map(|(note, why)| OpenDoubt {
        share,
        request: kept.request,
        entry: note.entry,
        why,
        role: note.role.clone(),
        at: note.at,
    })
}

/// All that wait for the coordinator, the first said first.
#[must_use]
pub fn open_doubts(books: &Books) -> Vec<OpenDoubt> {
    let kept = books.floor.kept.iter();
    let mut out: Vec<OpenDoubt> = kept.filter_map(|kept| open_doubt(books, kept)).collect();
    out.sort_by_key(|doubt| doubt.entry);
    out
}

/// What was wrong with a box whose copies were made again, if they were.
#[must_use]
pub fn made_again(books: &Books, kept: &KeptPlate) -> Option<Doubt> {
    let notes = books.notes(kept.request).iter();
    let mut its = notes.filter(|note| is_about(note, kept.plate.seq.0));
    let note = its.find(|note| note.said.kind == NoteKind::BoxAgain)?;
    Doubt::parse(&note.said.reason)
}
