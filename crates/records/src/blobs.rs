//! Original files by the hash of their bytes: put once, never changed.

use std::fmt::Write as _;
use std::str::FromStr;

use bytes::Bytes;
use object_store::path::Path;
use object_store::{ObjectStore, ObjectStoreExt, PutMode, PutOptions};
use sha2::{Digest, Sha256};

use crate::error::StoreError;
use crate::store::{Store, file_error};

/// SHA-256 of a file, 64 hexadecimal digits.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BlobHash(String);

impl BlobHash {
    /// The hash of these bytes.
    ///
    /// ```
    /// use partpledge_records::BlobHash;
    /// // FIPS 180-4, example "abc" (from memory).
    /// assert!(BlobHash::of(b"abc").as_str().starts_with("ba7816bf"));
    /// ```
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let mut digits = String::with_capacity(64);
        for byte in Sha256::digest(bytes) {
            let _ = write!(digits, "{byte:02x}");
        }
        Self(digits)
    }

    /// The digits.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    fn path(&self) -> Path {
        Path::from(format!("{}/{}", &self.0[..2], self.0))
    }
}

/// The text is not the hash of a file; it is inside.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not a SHA-256 in 64 small hexadecimal digits")]
pub struct BlobHashError(pub String);

impl FromStr for BlobHash {
    type Err = BlobHashError;
    fn from_str(text: &str) -> Result<Self, BlobHashError> {
        let digit = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
        if text.len() == 64 && text.bytes().all(digit) {
            Ok(Self(text.to_owned()))
        } else {
            Err(BlobHashError(text.to_owned()))
        }
    }
}

impl Store {
    /// Keeps the bytes. They are on disk, folder entry included, when this returns; the same
    /// bytes twice are kept once. A kept file that has been damaged since is put right.
    ///
    /// # Errors
    /// [`StoreError::Blobs`], [`StoreError::File`].
    pub async fn put_blob(&self, bytes: Bytes) -> Result<BlobHash, StoreError> {
        let hash = BlobHash::of(&bytes);
        match self.put(&hash, &bytes, PutMode::Create).await {
            Err(StoreError::Blobs(object_store::Error::AlreadyExists { .. })) => {}
            other => return other.map(|()| hash),
        }
        match self.blob(&hash).await {
            // Somebody else's put may not have reached the disk yet: make sure of it ourselves.
            Ok(Some(_)) => self.sync_entry(&hash).await?,
            Ok(None) | Err(StoreError::Damaged { .. }) => {
                self.put(&hash, &bytes, PutMode::Overwrite).await?;
            }
            Err(error) => return Err(error),
        }
        Ok(hash)
    }

    async fn put(&self, hash: &BlobHash, bytes: &Bytes, mode: PutMode) -> Result<(), StoreError> {
        let options = PutOptions {
            mode,
            ..PutOptions::default()
        };
        self.blobs
            .put_opts(&hash.path(), bytes.clone().into(), options)
            .await?;
        Ok(())
    }

    /// Waits until a kept file and its folder entry are on disk.
    async fn sync_entry(&self, hash: &BlobHash) -> Result<(), StoreError> {
        let path = self.blobs.path_to_filesystem(&hash.path())?;
        let sync = move || {
            let folder = path.parent().unwrap_or(&path);
            [path.as_path(), folder].into_iter().try_for_each(|path| {
                let synced = std::fs::File::open(path).and_then(|file| file.sync_all());
                synced.map_err(|source| file_error(path, source))
            })
        };
        let joined = tokio::task::spawn_blocking(sync).await;
        joined.unwrap_or_else(|error| std::panic::resume_unwind(error.into_panic()))
    }

    /// The bytes with that hash, checked; `None` if they were never kept.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] when the bytes on disk no longer have that hash.
    pub async fn blob(&self, hash: &BlobHash) -> Result<Option<Bytes>, StoreError> {
        let bytes = match self.blobs.get(&hash.path()).await {
            Ok(found) => found.bytes().await?,
            Err(object_store::Error::NotFound { .. }) => return Ok(None),
            Err(error) => return Err(error.into()),
        };
        if BlobHash::of(&bytes) != *hash {
            return Err(StoreError::Damaged {
                what: "file",
                why: hash.0.clone(),
            });
        }
        Ok(Some(bytes))
    }
}
