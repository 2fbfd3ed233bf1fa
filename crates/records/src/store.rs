//! Opening a store.

mod fresh;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use object_store::local::LocalFileSystem;

use crate::db::Db;
use crate::error::StoreError;
use crate::plates::ReadBefore;
use crate::schema::{migrate, present};
use crate::steps::StepsRead;

/// Everything that is kept.
#[derive(Clone, Debug)]
pub struct Store {
    pub(crate) db: Db,
    pub(crate) blobs: Arc<LocalFileSystem>,
    pub(crate) plates_read: Arc<ReadBefore>,
    pub(crate) steps_read: Arc<StepsRead>,
}

/// The database in a data directory.
const DATABASE: &str = "partpledge.sqlite";
/// The folder of original files beside it.
const BLOBS: &str = "blobs";

impl Store {
    /// Opens the data directory, making it if it is not there. The database appears in one go
    /// with all its tables, however many programs open the directory at once; one that is killed
    /// while making it leaves nothing that the next would trip over.
    ///
    /// # Errors
    /// [`StoreError::NotOurs`] for a path that is a file, or a folder with other things in it,
    /// which is left as it is; otherwise whatever the disk or the database says.
    pub async fn open_dir(dir: &Path) -> Result<Self, StoreError> {
        let file = dir.join(DATABASE);
        if !file.exists() {
            fresh::check_empty(dir)?;
            fresh::make(dir, &file).await?;
        }
        let db = Db::open_sqlite(&file)
            .await
            .map_err(|error| not_a_database(dir, error))?;
        if !present(&db)
            .await
            .map_err(|error| not_a_database(dir, error))?
        {
            return Err(not_ours(dir, &format!("{DATABASE} has no tables of ours")));
        }
        Self::start(db, dir.join(BLOBS)).await
    }

    /// Opens a `PostgreSQL` database, with the original files in `blobs`.
    ///
    /// # Errors
    /// Whatever the database or the disk says.
    pub async fn connect_pg(url: &str, blobs: &Path) -> Result<Self, StoreError> {
        Self::start(Db::open_pg(url).await?, blobs.to_owned()).await
    }

    async fn start(db: Db, blobs: PathBuf) -> Result<Self, StoreError> {
        migrate(&db).await?;
        std::fs::create_dir_all(&blobs).map_err(|source| file_error(&blobs, source))?;
        let blobs = LocalFileSystem::new_with_prefix(&blobs)?.with_fsync(true);
        Ok(Self {
            db,
            blobs: Arc::new(blobs),
            plates_read: Arc::default(),
            steps_read: Arc::default(),
        })
    }

    /// Waits for connections to finish and closes them.
    pub async fn close(&self) {
        self.db.close().await;
    }
}

pub(crate) fn file_error(path: &Path, source: std::io::Error) -> StoreError {
    StoreError::File {
        path: path.display().to_string(),
        source,
    }
}

fn not_ours(path: &Path, what: &str) -> StoreError {
    StoreError::NotOurs {
        path: path.display().to_string(),
        what: what.to_owned(),
    }
}

/// Tells a file that is no database from a database that fails.
fn not_a_database(dir: &Path, error: StoreError) -> StoreError {
    const NOTADB: &str = "26"; // SQLITE_NOTADB, "Result and Error Codes" of the SQLite manual
    match &error {
        StoreError::Database(sqlx::Error::Database(inner))
            if inner.code().as_deref() == Some(NOTADB) =>
        {
            not_ours(dir, &format!("{DATABASE} is not a database"))
        }
        _ => error,
    }
}
