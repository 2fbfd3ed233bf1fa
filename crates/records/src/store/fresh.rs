//! A data directory made from nothing, in one go.

use std::path::{Path, PathBuf};

use super::{BLOBS, file_error, not_ours};
use crate::db::Db;
use crate::error::StoreError;
use crate::schema::migrate;

/// Folders in which a database is being made, or was when its maker was killed.
const MAKING: &str = ".making-";

/// Whether the directory may become ours: absent, empty, or with nothing but what we leave.
pub(super) fn check_empty(dir: &Path) -> Result<(), StoreError> {
    if !dir.exists() {
        return Ok(());
    }
    if !dir.is_dir() {
        return Err(not_ours(dir, "it is a file"));
    }
    for entry in std::fs::read_dir(dir).map_err(|source| file_error(dir, source))? {
        let entry = entry.map_err(|source| file_error(dir, source))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if name != BLOBS && name != super::DATABASE && !name.starts_with(MAKING) {
            return Err(not_ours(dir, &format!("it holds '{name}'")));
        }
    }
    Ok(())
}

/// Makes the database beside its place, with all its tables, and links it there. Switching a
/// database to its write-ahead log needs it alone for a moment, and no busy timeout waits for
/// that: so it is done before anybody else can open it.
pub(super) async fn make(dir: &Path, file: &Path) -> Result<(), StoreError> {
    std::fs::create_dir_all(dir).map_err(|source| file_error(dir, source))?;
    let folder = folder(dir)?;
    let made = make_in(&folder, dir, file).await;
    let cleared = std::fs::remove_dir_all(&folder).map_err(|source| file_error(&folder, source));
    made.and(cleared)
}

async fn make_in(folder: &Path, dir: &Path, file: &Path) -> Result<(), StoreError> {
    let new = folder.join(super::DATABASE);
    let db = Db::open_sqlite(&new).await?;
    let migrated = migrate(&db).await;
    db.close().await; // folds the log into the database
    migrated?;
    let log = folder.join(format!("{}-wal", super::DATABASE));
    if std::fs::metadata(&log).is_ok_and(|log| log.len() > 0) {
        let left = std::io::Error::other("the database was not closed cleanly");
        return Err(file_error(&log, left));
    }
    sync(&new)?;
    match std::fs::hard_link(&new, file) {
        Ok(()) => {}
        // Somebody else was faster: theirs counts.
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
        Err(error) => return Err(file_error(file, error)),
    }
    sync(dir)?;
    // The directory's own entry. `..` would be wrong for a link; a bare name stands in `.`.
    match dir.parent() {
        Some(parent) if parent.as_os_str().is_empty() => sync(Path::new(".")),
        Some(parent) => sync(parent),
        None => Ok(()),
    }
}

/// A folder for us alone.
fn folder(dir: &Path) -> Result<PathBuf, StoreError> {
    for number in 0.. {
        let folder = dir.join(format!("{MAKING}{}-{number}", std::process::id()));
        match std::fs::create_dir(&folder) {
            Ok(()) => return Ok(folder),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(file_error(&folder, error)),
        }
    }
    unreachable!("the numbers do not end")
}

fn sync(path: &Path) -> Result<(), StoreError> {
    let synced = std::fs::File::open(path).and_then(|file| file.sync_all());
    synced.map_err(|source| file_error(path, source))
}
