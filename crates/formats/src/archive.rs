//! Careful opening of a zip: every entry checked, every byte that is unpacked counted.

use std::collections::BTreeMap;
use std::io::{self, BufRead, BufReader, Cursor, Read};

use partpledge_words::{Said, said};
use zip::{CompressionMethod, ZipArchive};

use crate::error::ReadError;
use crate::limits::Limits;
use crate::points::{shown, told, zip_told};

/// Entries below this size may be packed as tightly as they like.
const RATIO_FROM_BYTES: u64 = 1_000_000;

/// Whether the bytes begin like a zip with entries, or an empty one.
pub(crate) fn is_zip(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// An archive whose directory keeps the limits, with what has been unpacked counted.
pub(crate) struct Archive<'a> {
    zip: ZipArchive<Cursor<&'a [u8]>>,
    names: Vec<String>,
    by_name: BTreeMap<String, usize>,
    by_small_name: BTreeMap<String, usize>,
    limits: Limits,
    inflated: u64,
}

impl<'a> Archive<'a> {
    /// Reads the directory and refuses what leads out of the archive, comes twice or overlaps.
    pub(crate) fn open(bytes: &'a [u8], limits: &Limits) -> Result<Self, ReadError> {
        let damaged = |what: Said| ReadError::BadArchive { what };
        // Counted in the bytes, before the directory is taken apart.
        let (entries, limit) = (directory_entries(bytes), limits.max_entries);
        if entries > limit {
            return Err(ReadError::TooManyEntries { entries, limit });
        }
        let mut zip =
            ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(zip_told(&error)))?;
        let names: Vec<String> = zip
            .file_names()
            .map(|name| name.map(|name| name.replace('\\', "/")))
            .collect::<Result<_, _>>()
            .map_err(|error| damaged(zip_told(&error)))?;
        if let Some(name) = names.iter().find(|name| leads_outside(name)) {
            return Err(ReadError::PathOutside {
                entry: shown(name.as_bytes()),
            });
        }
        if zip.has_duplicate_names() {
            return Err(damaged(said!("errors-read-same-name")));
        }
        if zip
            .has_overlapping_files()
            .map_err(|error| damaged(zip_told(&error)))?
        {
            return Err(damaged(said!("errors-read-overlap")));
        }
        let numbered = || names.iter().enumerate();
        let by_name = numbered().map(|(i, name)| (name.clone(), i)).collect();
        let by_small_name = numbered()
            .rev()
            .map(|(i, name)| (name.to_ascii_lowercase(), i));
        let by_small_name = by_small_name.collect();
        Ok(Self {
            zip,
            names,
            by_name,
            by_small_name,
            limits: *limits,
            inflated: 0,
        })
    }

    /// All entries' names with forward slashes, in the order of the directory.
    pub(crate) fn names(&self) -> &[String] {
        &self.names
    }

    /// What was given to [`Archive::open`].
    pub(crate) fn limits(&self) -> Limits {
        self.limits
    }

    /// Bytes unpacked so far.
    pub(crate) fn inflated(&self) -> u64 {
        self.inflated
    }

    /// Counts bytes that an archive inside this one has unpacked.
    pub(crate) fn add_inflated(&mut self, bytes: u64) {
        self.inflated = self.inflated.saturating_add(bytes);
    }

    /// The entry of that name, whatever the letters' case (OPC compares that way).
    pub(crate) fn find(&self, name: &str) -> Option<usize> {
        let exact = self.by_name.get(name);
        exact
            .or_else(|| self.by_small_name.get(&name.to_ascii_lowercase()))
            .copied()
    }

    /// Unpacks a whole entry.
    pub(crate) fn read(&mut self, index: usize) -> Result<Vec<u8>, ReadError> {
        let entry = shown(self.names[index].as_bytes());
        self.stream(index, |reader| {
            let mut out = Vec::new();
            match reader.read_to_end(&mut out) {
                Ok(_) => Ok(out),
                Err(error) => Err(damaged_entry(&entry, &error)),
            }
        })
    }

    /// Lets `take` read an entry while it is being unpacked, up to what the limits allow.
    pub(crate) fn stream<T>(
        &mut self,
        index: usize,
        take: impl FnOnce(&mut dyn BufRead) -> Result<T, ReadError>,
    ) -> Result<T, ReadError> {
        let name = shown(self.names[index].as_bytes());
        let packed = self.check_packing(index, &name)?;
        let (allowed, ratio) = (
            self.limits.max_inflated_bytes.saturating_sub(self.inflated),
            self.limits.max_ratio,
        );
        let most = allowed.min(packed.saturating_mul(ratio).max(RATIO_FROM_BYTES));
        let bomb = || ReadError::ArchiveBomb {
            entry: name.clone(),
            limit: allowed,
            ratio,
        };
        let damaged = |error: zip::result::ZipError| ReadError::BadArchive {
            what: damaged_says(&name, &error),
        };
        let entry = self.zip.by_index(index).map_err(damaged)?;
        if entry.size() > most {
            return Err(bomb());
        }
        // The directory may lie about the size: the tap closes one byte past what is allowed.
        let mut tap = Tap {
            inner: entry,
            left: most,
            blown: false,
        };
        let result = take(&mut BufReader::with_capacity(65_536, &mut tap));
        let (left, blown) = (tap.left, tap.blown);
        self.inflated += most - left;
        if blown { Err(bomb()) } else { result }
    }

    /// Open to all, and packed plainly or by deflate; gives the packed size.
    fn check_packing(&mut self, index: usize, name: &str) -> Result<u64, ReadError> {
        let raw = self
            .zip
            .by_index_raw(index)
            .map_err(|error| ReadError::BadArchive {
                what: damaged_says(name, &error),
            })?;
        if raw.encrypted() {
            return Err(ReadError::Encrypted {
                entry: name.to_owned(),
            });
        }
        match raw.compression() {
            CompressionMethod::Stored | CompressionMethod::Deflated => Ok(raw.compressed_size()),
            method => Err(ReadError::PackedOtherwise {
                entry: name.to_owned(),
                method: method.to_string(),
            }),
        }
    }
}

/// At least as many as the directory has entries: each begins with this mark.
fn directory_entries(bytes: &[u8]) -> usize {
    bytes
        .windows(4)
        .filter(|window| window == b"PK\x01\x02")
        .count()
}

fn damaged_says(entry: &str, error: &impl std::fmt::Display) -> Said {
    said!("errors-read-damaged", entry = entry, why = told(error))
}

/// The error for an entry that breaks while it is unpacked.
pub(crate) fn damaged_entry(entry: &str, error: &io::Error) -> ReadError {
    ReadError::BadArchive {
        what: damaged_says(entry, error),
    }
}

/// `..`, a leading slash or a drive: none belongs in an archive of parts. Names have forward
/// slashes here; some old packers write backslashes, which are harmless as such.
pub(crate) fn leads_outside(name: &str) -> bool {
    name.starts_with('/')
        || name.contains('\0')
        || name.split('/').any(|step| step == "..")
        || name.as_bytes().get(1) == Some(&b':')
}

/// A reader that fails once more than `left` bytes are asked of it, and remembers that it did.
struct Tap<R> {
    inner: R,
    left: u64,
    blown: bool,
}

impl<R: Read> Read for Tap<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let room = usize::try_from(self.left)
            .unwrap_or(usize::MAX)
            .min(out.len());
        if room == 0 && !out.is_empty() {
            if self.inner.read(&mut [0])? == 0 {
                return Ok(0);
            }
            self.blown = true;
            return Err(io::Error::other("more bytes than allowed"));
        }
        let count = self.inner.read(&mut out[..room])?;
        self.left -= count as u64;
        Ok(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_that_lead_outside_are_known() {
        for name in ["../x", "a/../x", "/etc/x", "C:/x", "c:x", "a\0b"] {
            assert!(leads_outside(name), "{name}");
        }
        for name in ["a/b..c/x", "..a", "parts/arm.stl", "", "a"] {
            assert!(!leads_outside(name), "{name}");
        }
    }

    #[test]
    fn a_tap_gives_what_is_allowed_and_fails_at_one_byte_more() {
        let read = |left: u64| {
            let mut tap = Tap {
                inner: &b"12345"[..],
                left,
                blown: false,
            };
            let mut out = Vec::new();
            let result = tap.read_to_end(&mut out);
            (result.is_ok(), tap.blown, out.len())
        };
        assert_eq!(read(5), (true, false, 5));
        assert_eq!(read(4), (false, true, 4));
        assert_eq!(read(0), (false, true, 0));
    }
}
