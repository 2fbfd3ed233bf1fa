//! Opening a store.

use std::path::{Path, PathBuf};

use object_store::local::LocalFileSystem;

use crate::db::Db;
use crate::error::StoreError;
use crate::schema::migrate;

/// Everything that is kept.
#[derive(Clone, Debug)]
pub struct Store {
    pub(crate) db: Db,
    pub(crate) blobs: std::sync::Arc<LocalFileSystem>,
}

/// The database in a data directory.
const DATABASE: &str = "partpledge.sqlite";
/// The folder of original files beside it.
const BLOBS: &str = "blobs";

impl Store {
    /// Opens the data directory, making it if it is not there.
    ///
    /// # Errors
    /// [`StoreError::NotOurs`] for a path that is a file, or a folder with other things in it;
    /// otherwise whatever the disk or the database says.
    pub async fn open_dir(dir: &Path) -> Result<Self, StoreError> {
        let path = || dir.display().to_string();
        if dir.exists() && !dir.is_dir() {
            return Err(StoreError::NotOurs {
                path: path(),
                what: "it is a file".to_owned(),
            });
        }
        if dir.is_dir() && !dir.join(DATABASE).exists() {
            let mut entries = std::fs::read_dir(dir).map_err(|source| file_error(dir, source))?;
            let other = entries.find_map(|entry| {
                let name = entry.ok()?.file_name().to_string_lossy().into_owned();
                (name != BLOBS).then_some(name)
            });
            if let Some(name) = other {
                return Err(StoreError::NotOurs {
                    path: path(),
                    what: format!("it holds '{name}'"),
                });
            }
        }
        std::fs::create_dir_all(dir).map_err(|source| file_error(dir, source))?;
        let db = Db::open_sqlite(&dir.join(DATABASE)).await?;
        Self::start(db, dir.join(BLOBS)).await
    }

    /// Opens a PostgreSQL database, with the original files in `blobs`.
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
            blobs: std::sync::Arc::new(blobs),
        })
    }

    /// Waits for connections to finish and closes them.
    pub async fn close(&self) {
        self.db.close().await;
    }
}

fn file_error(path: &Path, source: std::io::Error) -> StoreError {
    StoreError::File {
        path: path.display().to_string(),
        source,
    }
}
