//! Notes on a request: what its sender stated, and what people decided about it, in order.
//!
//! The log says that something was decided, by reference only; the words stand here, where they
//! can be blanked without touching the log.

use partpledge_units::ids::{IdSource, RegionId, RequestId};
use partpledge_units::time::EventMs;

use crate::State;
use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed, seen};
use crate::requests::{answered, step_from};
use crate::store::Store;

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident = $text:literal),+ $(,)?) => {
        /// What a note is.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum NoteKind { $($(#[$doc])* $name),+ }

        impl NoteKind {
            /// All kinds.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As it is stored; the event is called `request.` and this.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }

            fn event(self) -> &'static str {
                match self { $(Self::$name => concat!("request.", $text)),+ }
            }
        }
    };
}

kinds! {
    /// The sender said why the team may have it made.
    Stated = "stated",
    /// Held for review, by a person or because something was guessed.
    Held = "held",
    /// A reviewer let it through.
    Passed = "passed",
    /// A reviewer refused it, with a reason.
    Refused = "refused",
    /// The team asked for a second look.
    Appealed = "appealed",
    /// Somebody said that it should not be here.
    Reported = "reported",
    /// A report was looked at, and the part stays.
    KeptUp = "kept-up",
    /// The coordinator took it down.
    TakenDown = "taken-down",
    /// A host does not make a plate of it.
    Declined = "declined",
    /// A mentor let the team ask for more than the region's limit.
    OverLimit = "over-limit",
    /// A box did not go with the leg that should have taken it.
    LegMissed = "leg-missed",
    /// Somebody said that a box is lost, or has the wrong parts in it.
    BoxDoubted = "box-doubted",
    /// What was in a box is made again.
    BoxAgain = "box-again",
    /// A box was found, or is right.
    BoxRight = "box-right",
    /// Copies of it were recalled: they are to be checked again.
    Recalled = "recalled",
    /// Recalled copies were checked and are good.
    RecallGood = "recall-good",
    /// Recalled copies were checked and are not good.
    RecallBad = "recall-bad",
    /// A recall was lifted.
    RecallLifted = "recall-lifted",
    /// Its team found it made in the wrong unit.
    WrongUnit = "wrong-unit",
}

impl NoteKind {
    /// Reads what [`NoteKind::as_str`] wrote.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.as_str() == text)
    }
}

/// A note to be written. Who and when come with the deed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewNote {
    /// What it is.
    pub kind: NoteKind,
    /// A code of our own lists, or of a host; empty for none.
    pub reason: String,
    /// Free words; empty for none.
    pub words: String,
    /// What was guessed, as codes with what they were guessed from.
    pub hints: Vec<String>,
}

impl NewNote {
    /// A note with a reason and words.
    #[must_use]
    pub fn new(kind: NoteKind, reason: &str, words: &str) -> Self {
        Self {
            kind,
            reason: reason.to_owned(),
            words: words.to_owned(),
            hints: Vec::new(),
        }
    }
}

/// A note as it stands on record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The entry of the log that it came with.
    pub entry: i64,
    /// On which request.
    pub request: RequestId,
    /// In which role: never who.
    pub role: String,
    /// When.
    pub at: EventMs,
    /// What it says.
    pub said: NewNote,
}

sql! {
    ADD = "INSERT INTO request_notes (region_id, entry, n, request_id, kind, role, at, reason,
            words, hints)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
    ALL = "SELECT entry, request_id, kind, role, at, reason, words, hints FROM request_notes
        WHERE region_id = $1 ORDER BY entry, n";
    LAST = "SELECT COALESCE(MAX(entry), 0) FROM request_notes
        WHERE region_id = $1 AND request_id = $2";
}

/// Looks that a note is still the last one on its request; 0 for none.
pub(crate) async fn at_note(
    tx: &mut Tx,
    region: RegionId,
    (request, last): (RequestId, i64),
) -> Result<(), StoreError> {
    let values = values![region.to_string(), request.to_string()];
    let rows = tx.rows(LAST, values).await?;
    match rows.first().map(|row| row.int(0)).transpose()? {
        Some(found) if found == last => Ok(()),
        _ => Err(StoreError::NotesMoved { request }),
    }
}

/// Writes notes that came with an entry of the log. A refusal and a taking down are answers to the
/// team; the first one counts. Holding is none.
pub(crate) async fn add(
    tx: &mut Tx,
    (region, request): (RegionId, RequestId),
    notes: &[NewNote],
    deed: &Deed,
    (entry, first): (i64, i64),
) -> Result<(), StoreError> {
    let role = deed.actor.split('/').next().unwrap_or_default();
    for (n, note) in (first..).zip(notes) {
        let values = values![
            region.to_string(),
            entry,
            n,
            request.to_string(),
            note.kind.as_str(),
            role,
            deed.received_at.0,
            note.reason.as_str(),
            note.words.as_str(),
            crate::stored::write(&note.hints)?
        ];
        tx.run(ADD, values).await?;
        if matches!(note.kind, NoteKind::Refused | NoteKind::TakenDown) {
            answered(tx, region, request, deed.received_at).await?;
        }
    }
    Ok(())
}

/// Writes notes on several requests that came with one entry of the log.
pub(crate) async fn add_each(
    tx: &mut Tx,
    region: RegionId,
    notes: &[(RequestId, NewNote)],
    (deed, entry): (&Deed, i64),
) -> Result<(), StoreError> {
    for (n, (request, note)) in (0..).zip(notes) {
        let note = std::slice::from_ref(note);
        add(tx, (region, *request), note, deed, (entry, n)).await?;
    }
    Ok(())
}

fn from_row(row: &Row) -> Result<Note, StoreError> {
    let kind = row.text(2)?;
    let damaged = |why: String| StoreError::Damaged { what: "note", why };
    let hints = row.text(7)?;
    Ok(Note {
        entry: row.int(0)?,
        request: row.id(1)?,
        role: row.text(3)?,
        at: EventMs(row.int(4)?),
        said: NewNote {
            kind: NoteKind::parse(&kind).ok_or_else(|| damaged(kind))?,
            reason: row.text(5)?,
            words: row.text(6)?,
            hints: serde_json::from_str(&hints).map_err(|why| damaged(why.to_string()))?,
        },
    })
}

impl Store {
    /// All notes on requests of a region, in the order in which they were written.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn notes(&self, region: RegionId) -> Result<Vec<Note>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        rows.iter().map(from_row).collect()
    }

    /// Writes a note on a request, with the step of its life that follows from it, in one
    /// transaction: from the state in which whoever decided saw it, to another. `false` when the
    /// same deed was done before, by its key.
    ///
    /// # Errors
    /// [`StoreError::NoSuchStep`] when the request stands elsewhere by now, or there is no such step;
    /// [`StoreError::NoSuch`]. On any error nothing is written.
    pub async fn note(
        &self,
        region: RegionId,
        (request, step): (RequestId, Option<(State, State)>),
        note: &NewNote,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        crate::regions::lock(&mut tx, region).await?;
        if seen(&mut tx, region, deed).await? {
            return Ok(false);
        }
        if let Some(step) = step {
            step_from(&mut tx, region, request, step).await?;
        }
        let payload = serde_json::json!({ "request": request.to_string(), "reason": note.reason });
        let event = (note.kind.event(), payload.to_string());
        let entry = append_deed(&mut tx, region, event, deed, ids).await?;
        let notes = std::slice::from_ref(note);
        add(&mut tx, (region, request), notes, deed, (entry, 0)).await?;
        tx.commit().await?;
        Ok(true)
    }
}
