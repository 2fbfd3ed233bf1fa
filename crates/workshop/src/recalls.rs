//! Copies that are recalled: those made on a printer while it drifted, or of a file that a newer one has
//! replaced. Which they are, where they are, what was found of each.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_records::{KeptPlate, NewNote, Note, NoteKind, State, StepKind, StoredCopy};
use partpledge_units::ids::RequestId;
use partpledge_units::time::EventMs;

use crate::books::Books;

mod reach;

pub use reach::{Affected, AffectedPart, affected, of_old_file, printers, replaced_by_newer};
pub(crate) use reach::{caught_late, recalled_as_old};

/// The code of [`Target::Printer`].
pub(crate) const DRIFTED: &str = "printer-drifted";

/// What is recalled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// What a printer made in a stretch of time in which it drifted.
    Printer {
        /// Its name.
        name: String,
        /// From then on.
        from: EventMs,
        /// Until then.
        until: EventMs,
    },
    /// What was made of a file that a newer one has replaced.
    Version {
        /// Number of a request with the old file.
        number: i64,
        /// Number of the newest request with a newer one.
        newer: i64,
    },
}

impl Target {
    fn hints(&self) -> Vec<String> {
        match self {
            Self::Printer { name, from, until } => vec![
                format!("printer: {name}"),
                format!("from: {}", from.0),
                format!("until: {}", until.0),
            ],
            Self::Version { number, newer } => {
                vec![format!("part: {number}"), format!("newer: {newer}")]
            }
        }
    }

    fn read(note: &Note) -> Option<Self> {
        let ms = |name| Some(EventMs(hint(note, name)?.parse().ok()?));
        if let Some(name) = hint(note, "printer: ") {
            return Some(Self::Printer {
                name: name.to_owned(),
                from: ms("from: ")?,
                until: ms("until: ")?,
            });
        }
        Some(Self::Version {
            number: hint(note, "part: ")?.parse().ok()?,
            newer: hint(note, "newer: ")?.parse().ok()?,
        })
    }

    /// Whether they recall the same. A request has one file, whatever came after it; a printer is named
    /// with its very stretch.
    fn is_same(&self, other: &Self) -> bool {
        matches!((self, other), (Self::Version { .. }, Self::Version { .. })) || self == other
    }

    /// A word for it that stays: what is asked about a copy.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Printer { .. } => DRIFTED,
            Self::Version { .. } => "file-replaced",
        }
    }
}

/// A copy, by the share that it was made on and its number within the request.
pub type Which = (u64, i64);

/// Where a recalled copy is, or what was found of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// At its host, in no box yet.
    AtHost,
    /// In a box that has not left.
    InBox,
    /// In a box that has left.
    OnTheWay,
    /// With its team.
    WithTeam,
    /// It is still being printed or reworked: it is checked once it is good.
    BeingMade,
    /// Checked, and good.
    Good,
    /// Checked, and not good.
    Bad,
    /// The recall was lifted before anybody had said anything of it.
    Lifted,
    /// It is scrap or lost, or is made again, for another reason.
    Gone,
}

impl Fate {
    /// Whether somebody still has to check it, and can by now.
    #[must_use]
    pub fn open(self) -> bool {
        self <= Self::WithTeam
    }

    /// Whether it is to be checked, by now or once it is good.
    #[must_use]
    pub fn waits(self) -> bool {
        self.open() || self == Self::BeingMade
    }
}

/// What was recalled of one request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfRequest {
    /// Entry of the log by which it was recalled.
    pub entry: i64,
    /// Whose copies.
    pub request: RequestId,
    /// What was recalled.
    pub target: Target,
    /// When.
    pub at: EventMs,
    /// Each copy, and where it is or what was found of it.
    pub copies: Vec<(Which, Fate)>,
    /// When the recall was lifted, if it was.
    pub lifted: Option<EventMs>,
}

impl OfRequest {
    /// How many copies stand like that.
    #[must_use]
    pub fn count(&self, is: impl Fn(Fate) -> bool) -> usize {
        self.copies.iter().filter(|(_, fate)| is(*fate)).count()
    }

    /// Those of these copies that nobody has checked for it yet.
    pub fn waits<'a>(&'a self, copies: &'a [Which]) -> impl Iterator<Item = Which> + 'a {
        let open = self.copies.iter().filter(|(_, fate)| fate.open());
        open.map(|(which, _)| *which)
            .filter(|which| copies.contains(which))
    }
}

/// A recall: everything that was called back with one decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recall {
    /// Its entry in the log, by which it goes.
    pub entry: i64,
    /// What was recalled.
    pub target: Target,
    /// When.
    pub at: EventMs,
    /// When it was lifted, if it was.
    pub lifted: Option<EventMs>,
    /// Request by request, in order of number.
    pub requests: Vec<OfRequest>,
}

impl Recall {
    /// How many copies stand like that.
    #[must_use]
    pub fn count(&self, is: impl Fn(Fate) -> bool) -> usize {
        self.requests.iter().map(|one| one.count(&is)).sum()
    }

    /// Whether somebody still has to check something, by now or once it is good.
    #[must_use]
    pub fn open(&self) -> bool {
        self.lifted.is_none() && self.count(Fate::waits) > 0
    }
}

fn hint<'n>(note: &'n Note, name: &str) -> Option<&'n str> {
    let mut hints = note.said.hints.iter();
    hints.find_map(|hint| hint.strip_prefix(name))
}

/// Whether a note that copies are good is about that recall: it names what was asked, and they were looked
/// at after it was opened.
fn answers(note: &Note, recall: &Note, target: &Target) -> bool {
    let looked = hint(note, LOOKED).and_then(|text| text.parse().ok());
    hint(note, ABOUT).is_none_or(|code| code == target.code())
        && looked.is_none_or(|at: i64| at >= recall.at.0)
}

/// How an answer says what it is about, and when they were looked at.
const ABOUT: &str = "about: ";
const LOOKED: &str = "looked: ";
/// How a note says which recall it belongs to, by its entry.
const RECALL: &str = "recall: ";

/// The recall that a note belongs to; without a word of it, it opened one.
fn entry_of(note: &Note) -> i64 {
    let said = hint(note, RECALL).and_then(|text| text.parse().ok());
    said.unwrap_or(note.entry)
}

fn copies_in(note: &Note) -> impl Iterator<Item = Which> + '_ {
    let hints = note.said.hints.iter();
    hints.filter_map(|hint| {
        let (share, number) = hint.strip_prefix("copy: ")?.split_once('-')?;
        Some((share.parse().ok()?, number.parse().ok()?))
    })
}

fn copy_hints(copies: &[Which]) -> impl Iterator<Item = String> + '_ {
    let one = |(share, number): &Which| format!("copy: {share}-{number}");
    copies.iter().map(one)
}

/// The note by which copies of a request are recalled.
pub(crate) fn recalled(target: &Target, copies: &[Which]) -> NewNote {
    let mut hints = target.hints();
    hints.extend(copy_hints(copies));
    NewNote {
        hints,
        ..NewNote::new(NoteKind::Recalled, target.code(), "")
    }
}

/// The note that says what was found of recalled copies.
pub(crate) fn answered(kind: NoteKind, copies: &[Which], more: Vec<String>) -> NewNote {
    let mut hints: Vec<String> = copy_hints(copies).collect();
    hints.extend(more);
    NewNote {
        hints,
        ..NewNote::new(kind, "", "")
    }
}

/// What an answer says that it is about, by the code of what was asked.
pub(crate) fn about_hint(code: &str) -> String {
    format!("{ABOUT}{code}")
}

/// When an answer says that copies were looked at.
pub(crate) fn looked_hint(at: EventMs) -> String {
    format!("{LOOKED}{}", at.0)
}

/// Recalls that notes say are lifted, by entry, and when.
pub(crate) fn lifted_in<'a>(notes: impl Iterator<Item = &'a Note>) -> BTreeMap<i64, EventMs> {
    let lifts = notes.filter(|note| note.said.kind == NoteKind::RecallLifted);
    lifts.map(|note| (entry_of(note), note.at)).collect()
}

/// The note by which a recall is lifted.
pub(crate) fn lifted(entry: i64) -> NewNote {
    NewNote {
        hints: vec![format!("{RECALL}{entry}")],
        ..NewNote::new(NoteKind::RecallLifted, "", "")
    }
}

/// The note by which a recall goes on: copies that came off the bed after it was opened.
fn caught(recall: &Recall, copies: &[Which]) -> NewNote {
    let mut note = recalled(&recall.target, copies);
    note.hints.push(format!("{RECALL}{}", recall.entry));
    note
}

/// Where a copy that can be recalled is: a good one, or one that may be good soon.
fn place(books: &Books, copy: &StoredCopy) -> Fate {
    match copy.state {
        State::Inspected => Fate::AtHost,
        State::Boxed if books.step(copy.plate, StepKind::Left).is_some() => Fate::OnTheWay,
        State::Boxed => Fate::InBox,
        State::HandedOver => Fate::WithTeam,
        State::OnAPlate | State::Running | State::Rework => Fate::BeingMade,
        _ => Fate::Gone,
    }
}

/// What was recalled of a request, the first first.
#[must_use]
pub fn of_request(books: &Books, request: RequestId) -> Vec<OfRequest> {
    let notes = books.notes(request);
    let mut out = Vec::new();
    for (i, note) in notes.iter().enumerate() {
        let its = note.said.kind == NoteKind::Recalled;
        let Some(target) = its.then(|| Target::read(note)).flatten() else {
            continue;
        };
        let after = &notes[i + 1..];
        let entry = entry_of(note);
        let lifts =
            |later: &Note| later.said.kind == NoteKind::RecallLifted && entry_of(later) == entry;
        let end = after.iter().position(lifts);
        // Lifted for one request it is for all: also for what came under it at that very moment.
        let lifted = books.recall_lifted(entry);
        // What is said after it was lifted is about other recalls.
        let while_open = &after[..end.unwrap_or(after.len())];
        // That a copy is good answers one question; that it is not answers all.
        let found = |which: Which| {
            let says = |later: &&Note| copies_in(later).any(|one| one == which);
            let mut said = while_open.iter().filter(says);
            said.find_map(|later| match later.said.kind {
                NoteKind::RecallGood if answers(later, note, &target) => Some(Fate::Good),
                NoteKind::RecallBad => Some(Fate::Bad),
                _ => None,
            })
        };
        let stands = |(share, number): Which| {
            let mut copies = books.copies(request).iter();
            let its = copies.find(|copy| copy.number == number && copy.plate == share);
            match (found((share, number)), lifted, its) {
                (Some(fate), ..) => fate,
                (None, Some(_), _) => Fate::Lifted,
                (None, None, Some(copy)) => place(books, copy),
                (None, None, None) => Fate::Gone,
            }
        };
        let copies = copies_in(note).map(|which| (which, stands(which)));
        let copies = copies.collect();
        out.push(OfRequest {
            entry,
            request,
            target,
            at: note.at,
            copies,
            lifted,
        });
    }
    out
}

/// All recalls, the last first.
#[must_use]
pub fn recalls(books: &Books) -> Vec<Recall> {
    let mut out: BTreeMap<i64, Recall> = BTreeMap::new();
    for listed in &books.requests {
        for one in of_request(books, listed.request.id) {
            let recall = out.entry(one.entry).or_insert_with(|| Recall {
                entry: one.entry,
                target: one.target.clone(),
                at: one.at,
                lifted: one.lifted,
                requests: Vec::new(),
            });
            recall.lifted = recall.lifted.or(one.lifted);
            // What came off the bed later was noted later.
            recall.at = recall.at.min(one.at);
            recall.requests.push(one);
        }
    }
    out.into_values().rev().collect()
}

impl Books {
    /// Copies of a share that were recalled and that nobody has checked yet.
    pub fn recalled_on<'a>(&'a self, kept: &'a KeptPlate) -> impl Iterator<Item = &'a StoredCopy> {
        let share = kept.plate.seq.0;
        let all = of_request(self, kept.request);
        let open: BTreeSet<i64> = (all.iter().flat_map(|one| &one.copies))
            .filter(|((on, _), fate)| *on == share && fate.open())
            .map(|((_, number), _)| *number)
            .collect();
        self.copies_on(kept)
            .filter(move |copy| open.contains(&copy.number))
    }

    /// What is asked about recalled copies: of the recall that was opened first and has one of them that
    /// nobody has checked yet. `None` when none of them waits.
    #[must_use]
    pub fn asked_first(&self, request: RequestId, copies: &[Which]) -> Option<OfRequest> {
        let mut all = of_request(self, request).into_iter();
        all.find(|one| one.waits(copies).next().is_some())
    }

    /// Good copies of a request that its team may say to have: not those of a share that stays at its host
    /// until recalled copies of it are checked.
    #[must_use]
    pub fn may_be_held(&self, request: RequestId) -> Vec<&StoredCopy> {
        let all = of_request(self, request);
        let all = all.iter().flat_map(|one| &one.copies);
        let stays = all.filter(|(_, fate)| matches!(fate, Fate::AtHost | Fate::InBox));
        let stays: BTreeSet<u64> = stays.map(|((share, _), _)| *share).collect();
        let copies = self.copies(request).iter();
        let good = copies.filter(|copy| matches!(copy.state, State::Boxed | State::Inspected));
        good.filter(|copy| !stays.contains(&copy.plate)).collect()
    }

    /// Copies of a request that its team has, that were recalled and that nobody has checked yet.
    #[must_use]
    pub fn recalled_with_team(&self, request: RequestId) -> Vec<Which> {
        let all = of_request(self, request);
        let with = all.iter().flat_map(|one| &one.copies);
        let with = with.filter(|(_, fate)| *fate == Fate::WithTeam);
        let with: BTreeSet<Which> = with.map(|(which, _)| *which).collect();
        with.into_iter().collect()
    }
}
