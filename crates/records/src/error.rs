//! What can go wrong with the store: one text for the person, another for the log.

use partpledge_units::ids::RequestId;
use partpledge_words::say;

use crate::life_cycle::State;

/// A word in a row that is none of ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a word that is none of ours")]
pub struct BadWord;

/// A failure of the store. Nothing of the operation was kept.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The database refused or broke off.
    #[error("database: {0}")]
    Database(#[from] sqlx::Error),
    /// A blob could not be written or read.
    #[error("blob store: {0}")]
    Blobs(#[from] object_store::Error),
    /// A file or folder could not be made.
    #[error("{path}: {source}")]
    File {
        /// Where.
        path: String,
        /// Why.
        source: std::io::Error,
    },
    /// The data directory holds something that is not ours.
    #[error("{path} is not a folder of ours: {what}")]
    NotOurs {
        /// Where.
        path: String,
        /// What stands there.
        what: String,
    },
    /// The data was written by a newer version of this program.
    #[error("schema version {found} is newer than {known}")]
    NewerSchema {
        /// Version found.
        found: i64,
        /// Newest version known.
        known: i64,
    },
    /// The database does not take one of our statements.
    #[error("statement {statement} is refused: {why}")]
    Refused {
        /// Its name in our source.
        statement: &'static str,
        /// What the database says.
        why: String,
    },
    /// Something stored can't be read back, or can't be stored so that it could be.
    #[error("{what} is damaged: {why}")]
    Damaged {
        /// Which kind of document.
        what: &'static str,
        /// Why.
        why: String,
    },
    /// There is no region with that id.
    #[error("there is no region {0}")]
    NoSuchRegion(String),
    /// There is no request, copy or pledge with that id in the region.
    #[error("there is no {what} {id}")]
    NoSuch {
        /// Kind of thing.
        what: &'static str,
        /// The id asked for.
        id: String,
    },
    /// Somebody else has that e-mail address or, in the team, that nickname.
    #[error("the {what} is taken")]
    Taken {
        /// `email` or `nickname`.
        what: &'static str,
    },
    /// The region would have no coordinator left.
    #[error("the region would have no coordinator left")]
    LastCoordinator,
    /// The plan changed between reading and writing: read again, quote again, try again.
    #[error("plan head is {current}, the change was made on {expected}")]
    Stale {
        /// Revision that the change was made on.
        expected: i64,
        /// Revision there now.
        current: i64,
    },
    /// The region file changed between reading and writing: look again, ask again.
    #[error("the region file is at revision {current}, the change was made on {expected}")]
    RegionMoved {
        /// Revision that the change was made on.
        expected: i64,
        /// Revision there now.
        current: i64,
    },
    /// Spools changed between reading and writing: read again, try again.
    #[error("the spools are at entry {current}, the change was made on {expected}")]
    StockMoved {
        /// Entry that the change was made on.
        expected: i64,
        /// Entry there now.
        current: i64,
    },
    /// The team sent another request between counting and writing: count again, try again.
    #[error("the team's last request is {current}, what it has open was counted to {expected}")]
    RequestsMoved {
        /// Number of the last request that was counted.
        expected: i64,
        /// Number of the last one now.
        current: i64,
    },
    /// Somebody said or decided something about a request meanwhile: read again, try again.
    #[error("something was said about request {request} meanwhile")]
    NotesMoved {
        /// Which request.
        request: RequestId,
    },
    /// New plates are not numbered on from the floor's next number: a mistake of the caller.
    #[error("a new plate is numbered {found}, not {expected}")]
    PlateNumber {
        /// The number that it should have.
        expected: u64,
        /// The number that it has.
        found: u64,
    },
    /// A new plate has no place in the plan that goes with it: a mistake of the caller.
    #[error("new plate {0} has no place in the plan")]
    NoPlace(u64),
    /// The chance of a pledge is not between 0 and 1: a mistake of the caller.
    #[error("{0} is not a chance")]
    NoChance(f64),
    /// The key was used before, for something else.
    #[error("key '{0}' was used before for another request")]
    KeyReused(String),
    /// A state may not follow another.
    #[error("{from:?} may not become {to:?}")]
    NoSuchStep {
        /// State now.
        from: State,
        /// State wanted.
        to: State,
    },
    /// That was done with the plate before, by somebody else.
    #[error("plate {plate} was {} before", step.as_str())]
    StepTaken {
        /// Which plate.
        plate: u64,
        /// Which step.
        step: crate::steps::StepKind,
    },
    /// The pledge has ended already, and what is on record stays.
    #[error("pledge {id} is {ended} already")]
    PledgeEnded {
        /// Which pledge.
        id: String,
        /// How it ended.
        ended: String,
    },
}

impl StoreError {
    /// What the person reads.
    #[must_use]
    pub fn for_people(&self) -> String {
        match self {
            Self::Database(_) | Self::Blobs(_) | Self::File { .. } | Self::Refused { .. } => {
                say!("errors-store-not-written")
            }
            Self::NotOurs { .. } => say!("errors-store-not-ours"),
            Self::NewerSchema { .. } => say!("errors-store-newer"),
            Self::Damaged { .. } => say!("errors-store-damaged"),
            Self::NoSuchRegion(_) | Self::NoSuch { .. } => say!("errors-store-no-such"),
            Self::Taken { .. } => say!("errors-store-taken"),
            Self::LastCoordinator => say!("errors-store-last-coordinator"),
            Self::Stale { .. } => say!("errors-store-stale"),
            Self::RegionMoved { .. } => say!("errors-store-region-moved"),
            Self::StockMoved { .. } => say!("errors-store-stock-moved"),
            Self::RequestsMoved { .. } => say!("errors-store-requests-moved"),
            Self::NotesMoved { .. } => say!("errors-store-notes-moved"),
            Self::PlateNumber { .. } | Self::NoPlace(_) | Self::NoChance(_) => {
                say!("errors-store-our-mistake")
            }
            Self::KeyReused(_) => say!("errors-store-key-reused"),
            Self::StepTaken { .. } => say!("errors-store-step-taken"),
            Self::NoSuchStep { .. } | Self::PledgeEnded { .. } => {
                say!("errors-store-no-such-step")
            }
        }
    }

    /// A stable code for programs and logs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Database(_) => "database",
            Self::Blobs(_) => "blobs",
            Self::File { .. } => "file",
            Self::NotOurs { .. } => "not-ours",
            Self::NewerSchema { .. } => "newer-schema",
            Self::Refused { .. } => "statement-refused",
            Self::Damaged { .. } => "damaged",
            Self::NoSuchRegion(_) => "no-such-region",
            Self::NoSuch { .. } => "no-such",
            Self::Taken { .. } => "taken",
            Self::LastCoordinator => "last-coordinator",
            Self::Stale { .. } => "stale",
            Self::RegionMoved { .. } => "region-moved",
            Self::StockMoved { .. } => "stock-moved",
            Self::RequestsMoved { .. } => "requests-moved",
            Self::NotesMoved { .. } => "notes-moved",
            Self::PlateNumber { .. } => "plate-number",
            Self::NoPlace(_) => "no-place",
            Self::NoChance(_) => "no-chance",
            Self::KeyReused(_) => "key-reused",
            Self::NoSuchStep { .. } => "no-such-step",
            Self::StepTaken { .. } => "step-taken",
            Self::PledgeEnded { .. } => "pledge-ended",
        }
    }
}
