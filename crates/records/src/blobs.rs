//! Original files by the hash of their bytes: put once, never changed.

use std::fmt::Write as _;

use bytes::Bytes;
use object_store::path::Path;
use object_store::{ObjectStore, ObjectStoreExt, PutMode, PutOptions};
use sha2::{Digest, Sha256};

use crate::error::StoreError;
use crate::store::Store;

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

    pub(crate) fn stored(text: String) -> Self {
        Self(text)
    }

    fn path(&self) -> Path {
        Path::from(format!("{}/{}", &self.0[..2], self.0))
    }
}

impl Store {
    /// Keeps the bytes. They are on disk, folder entry included, when this returns; the same
    /// bytes twice are kept once.
    ///
    /// # Errors
    /// [`StoreError::Blobs`].
    pub async fn put_blob(&self, bytes: Bytes) -> Result<BlobHash, StoreError> {
        let hash = BlobHash::of(&bytes);
        let options = PutOptions {
            mode: PutMode::Create,
            ..PutOptions::default()
        };
        match self
            .blobs
            .put_opts(&hash.path(), bytes.into(), options)
            .await
        {
            Ok(_) | Err(object_store::Error::AlreadyExists { .. }) => Ok(hash),
            Err(error) => Err(error.into()),
        }
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
