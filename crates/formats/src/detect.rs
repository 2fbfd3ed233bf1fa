//! Which format the bytes are, never trusting the name alone.

use partpledge_words::said;

use crate::archive::{Archive, is_zip};
use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::ModelFile;
use crate::names::ending;
use crate::stl::Fit;
use crate::{foreign, obj, stl, three_mf, zip_set};

/// Reads a model file.
///
/// The format is found in the bytes: a zip whose relationships name a 3D model is 3MF, another
/// zip is a set of parts; a binary STL is known by its size (84 + 50 n bytes, more at the end
/// allowed), since its header may well begin with "solid". `file_name` gives the part its name
/// and decides only where the bytes leave it open.
///
/// Nothing is welded, repaired or converted. The members of a zip that should have been parts
/// and can't be read are listed in [`ModelFile::left_out`].
///
/// # Units
/// Coordinates stay in the file's own unit; [`ModelFile::declared_unit`] is set by 3MF only.
/// # Errors
/// One [`ReadError`] variant for each rule that the file breaks, with the place. Limits are
/// checked before memory is taken for what is announced.
/// # Source
/// STL: Library of Congress fdd000505, PRONOM fmt/865 (verified); 3MF: ISO/IEC 25422, core
/// specification 1.4.0 (verified); OBJ: public descriptions (from memory).
///
/// ```
/// use partpledge_formats::{Limits, read_model};
/// let text = b"solid\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\nendsolid\n";
/// let file = read_model(text, "wedge.stl", &Limits::server()).unwrap();
/// assert_eq!(file.parts[0].mesh.triangles.len(), 1);
/// assert_eq!(read_model(b"", "x.stl", &Limits::server()).unwrap_err().code(), "empty-file");
/// ```
pub fn read_model(bytes: &[u8], file_name: &str, limits: &Limits) -> Result<ModelFile, ReadError> {
    if bytes.len() as u64 > limits.max_bytes {
        let (bytes, limit) = (bytes.len() as u64, limits.max_bytes);
        return Err(ReadError::TooManyBytes { bytes, limit });
    }
    if is_zip(bytes) {
        let mut archive = Archive::open(bytes, limits)?;
        return match three_mf::read(&mut archive, file_name)? {
            Some(file) => Ok(file),
            None if ending(file_name) == "3mf" => Err(ReadError::BadModel {
                entry: "_rels/.rels".to_owned(),
                what: said!("errors-read-no-relationship"),
            }),
            // Some CAD programs' own files are zips inside.
            None => zip_set::read(&mut archive).map_err(|error| match error {
                ReadError::NoModelInArchive => foreign::by_ending(file_name).unwrap_or(error),
                other => other,
            }),
        };
    }
    read_bare(bytes, file_name, limits)
}

/// Reads a file that is no archive.
pub(crate) fn read_bare(
    bytes: &[u8],
    file_name: &str,
    limits: &Limits,
) -> Result<ModelFile, ReadError> {
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let body = text.trim_ascii_start();
    if body.is_empty() {
        return Err(ReadError::Empty);
    }
    let fit = stl::fit(bytes);
    if fit == Fit::Exact {
        return stl::read_binary(bytes, file_name, limits);
    }
    if let Some(text) = from_wide(bytes) {
        return read_bare(text.as_bytes(), file_name, limits);
    }
    if let Some(error) = foreign::by_beginning(body) {
        return Err(error);
    }
    let named_stl = ending(file_name) == "stl";
    if looks_like_text(body) {
        if stl::is_ascii(body) {
            return stl::read_ascii(text, file_name, limits);
        }
        if obj::is_obj(body) || ending(file_name) == "obj" {
            return obj::read(text, file_name, limits);
        }
    } else if named_stl {
        return match fit {
            Fit::Short if stl::is_ascii(body) => Err(ReadError::MoreBehind {
                what: said!("errors-read-words-and-bytes"),
            }),
            Fit::Short => Err(stl::binary_is_short(bytes)),
            Fit::Exact | Fit::Longer => stl::read_binary(bytes, file_name, limits),
        };
    }
    Err(foreign::by_ending(file_name).unwrap_or(ReadError::UnknownFormat))
}

/// Hardly any control bytes in the first stretch: text, in some encoding that keeps ASCII.
fn looks_like_text(body: &[u8]) -> bool {
    // Some writers fill the last block of a text with zero bytes.
    let end = body
        .iter()
        .rposition(|&b| b != 0)
        .map_or(0, |last| last + 1);
    let head = &body[..end.min(4096)];
    if head.is_empty() {
        return false;
    }
    let odd = head
        .iter()
        .filter(|&&b| b < 9 || (b > 13 && b < 32))
        .count();
    odd * 100 <= head.len()
}

/// Text in UTF-16, by its byte order mark, as UTF-8.
pub(crate) fn from_wide(bytes: &[u8]) -> Option<String> {
    let from: fn([u8; 2]) -> u16 = match bytes {
        [0xff, 0xfe, ..] => u16::from_le_bytes,
        [0xfe, 0xff, ..] => u16::from_be_bytes,
        _ => return None,
    };
    let (pairs, _) = bytes[2..].as_chunks::<2>();
    let units: Vec<u16> = pairs.iter().map(|&pair| from(pair)).collect();
    String::from_utf16(&units).ok()
}

/// Whether `word` (in small letters) is somewhere in `text`, in letters of either case.
pub(crate) fn find_word(text: &[u8], word: &[u8]) -> bool {
    text.windows(word.len())
        .any(|window| window.eq_ignore_ascii_case(word))
}
