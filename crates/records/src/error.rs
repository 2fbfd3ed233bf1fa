//! What can go wrong with the store: one text for the person, another for the log.

/// A failure of the store.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The database refused or broke off. Nothing of the operation was kept.
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
    /// A stored document can't be read back.
    #[error("stored {what} is damaged: {why}")]
    Damaged {
        /// Which kind of document.
        what: &'static str,
        /// Why.
        why: String,
    },
    /// The plan changed between reading and writing.
    #[error("plan head is {current}, the change was made on {expected}")]
    Stale {
        /// Revision that the change was made on.
        expected: i64,
        /// Revision there now.
        current: i64,
    },
    /// A state may not follow another.
    #[error("{from:?} may not become {to:?}")]
    NoSuchStep {
        /// State now.
        from: crate::State,
        /// State wanted.
        to: crate::State,
    },
}

impl StoreError {
    /// What the person reads.
    #[must_use]
    pub fn for_people(&self) -> &'static str {
        match self {
            Self::Database(_) | Self::Blobs(_) | Self::File { .. } => {
                "We could not write that down just now, and nothing was changed. Try again; if it \
                 stays so, look whether the disk is full."
            }
            Self::NotOurs { .. } => "That folder holds something else. Choose an empty or new one.",
            Self::NewerSchema { .. } => {
                "This data was written by a newer version. Use that version."
            }
            Self::Damaged { .. } => {
                "Something stored can't be read back. Restore it from your copy."
            }
            Self::Stale { .. } => "The plan changed while you were looking. Try again.",
            Self::NoSuchStep { .. } => {
                "That can't be done with it any more. Reload and look again."
            }
        }
    }
}
