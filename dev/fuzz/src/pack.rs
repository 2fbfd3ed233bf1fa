//! Package parts written one after the other as text, so that a fuzzer changes the XML itself and
//! not the checksums around it.
//!
//! A line `==== NAME` begins an entry; what stands before the first such line is the model part
//! `3D/a.model`. Relationships to that part are added unless the text brings its own. Shared by the
//! fuzz targets and, through `#[path]`, by the stable tests that replay the corpus.

use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const MODEL: &str = "3D/a.model";
const RELS: &str = "_rels/.rels";
const RELATIONSHIPS: &[u8] =
    b"<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
      <Relationship Id=\"a\" Target=\"/3D/a.model\" \
      Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>";

/// A zip of the text's entries, stored plainly; `None` where no zip can hold them.
///
/// ```
/// let bytes = partpledge_fuzz::pack::package(b"<model/>\n==== x.stl\nsolid").unwrap();
/// assert!(bytes.starts_with(b"PK"));
/// ```
#[must_use]
pub fn package(text: &[u8]) -> Option<Vec<u8>> {
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let mut add = |name: &str, bytes: &[u8]| {
        zip.start_file(name, options).ok()?;
        zip.write_all(bytes).ok()
    };
    let entries = entries(text);
    if !entries.iter().any(|&(name, _)| name == RELS) {
        add(RELS, RELATIONSHIPS)?;
    }
    for (name, bytes) in entries {
        add(name, bytes)?;
    }
    Some(zip.finish().ok()?.into_inner())
}

/// Names and bytes, in order.
fn entries(text: &[u8]) -> Vec<(&str, &[u8])> {
    const MARK: &[u8] = b"==== ";
    let mut out = Vec::new();
    let (mut name, mut start, mut at) = (MODEL, 0, 0);
    while at < text.len() {
        let line = text[at..].split(|&b| b == b'\n').next().unwrap_or_default();
        let after = (at + line.len() + 1).min(text.len());
        if let Some(next) = line.strip_prefix(MARK) {
            if start < at {
                out.push((name, &text[start..at]));
            }
            name = std::str::from_utf8(next).unwrap_or(MODEL);
            start = after;
        }
        at = after;
    }
    out.push((name, &text[start..]));
    out
}
