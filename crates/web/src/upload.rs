//! A form with files, read with a bound on what it may hold.

use axum::extract::Multipart;
use bytes::{Bytes, BytesMut};

/// What one sending may hold: files and fields together.
pub(crate) const MOST_BYTES: usize = 100_000_000;
/// What is read and thrown away of a sending that is too large, so that the answer is seen: a
/// browser that is cut off shows its own error and not ours.
const DRAINED_BYTES: usize = 1_000_000_000;
/// Longest value of a field that is not a file.
const LONGEST_FIELD: usize = 2_000;
/// Most files in one sending.
const MOST_FILES: usize = 20;

/// A form as it was sent.
#[derive(Debug, Default)]
pub(crate) struct Form {
    fields: Vec<(String, String)>,
    /// Files that were chosen, by name.
    pub(crate) files: Vec<(String, Bytes)>,
}

/// Why a form was not taken.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum FormError {
    /// More than [`MOST_BYTES`].
    TooLarge,
    /// A field longer than [`LONGEST_FIELD`].
    TooLong,
    /// More than [`MOST_FILES`] files.
    TooMany,
    /// Broken off, or no form at all.
    Broken,
}

impl Form {
    /// The value of a field; empty when it was not sent.
    pub(crate) fn get(&self, name: &str) -> &str {
        let mut found = self.fields.iter().filter(|(known, _)| known == name);
        found.next().map_or("", |(_, value)| value.as_str())
    }

    /// Reads a form. Memory stays below [`MOST_BYTES`] however much comes.
    pub(crate) async fn read(mut parts: Multipart) -> Result<Self, FormError> {
        let mut out = Self::default();
        let (mut sum, mut failed) = (0_usize, None);
        while let Some(mut part) = parts.next_field().await.map_err(|_| FormError::Broken)? {
            let name = part.name().unwrap_or_default().to_owned();
            let file = part.file_name().map(str::to_owned);
            let mut value = BytesMut::new();
            while let Some(chunk) = part.chunk().await.map_err(|_| FormError::Broken)? {
                sum += chunk.len();
                let long = file.is_none() && value.len() + chunk.len() > LONGEST_FIELD;
                if sum > MOST_BYTES || long {
                    let why = if sum > MOST_BYTES {
                        FormError::TooLarge
                    } else {
                        FormError::TooLong
                    };
                    failed.get_or_insert(why);
                    out.files.clear();
                    value.clear();
                }
                if sum > DRAINED_BYTES {
                    return Err(FormError::TooLarge);
                }
                if failed.is_none() {
                    value.extend_from_slice(&chunk);
                }
            }
            match file {
                // A browser sends an empty part when no file was chosen.
                Some(file) if file.is_empty() && value.is_empty() => {}
                Some(file) => out.files.push((file, value.freeze())),
                None => {
                    let text = String::from_utf8_lossy(&value).into_owned();
                    out.fields.push((name, text));
                }
            }
            if out.files.len() > MOST_FILES {
                failed = Some(FormError::TooMany);
                out.files.clear();
            }
        }
        failed.map_or(Ok(out), Err)
    }
}
