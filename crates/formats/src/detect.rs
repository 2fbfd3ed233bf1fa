//! Which format the bytes are, never trusting the name alone.

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::ModelFile;
use crate::names::ending;
use crate::{obj, stl, three_mf, zip_set};

/// Reads a model file.
///
/// The format is found in the bytes: a zip with a package relationship is 3MF, another zip is a
/// set of parts; a binary STL is known by its size (84 + 50 n bytes, more at the end allowed),
/// since its header may well begin with "solid". `file_name` gives the part its name and breaks
/// ties between texts.
///
/// # Errors
/// One [`ReadError`] variant for each rule that the file breaks, with the place.
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
    if bytes.is_empty() {
        return Err(ReadError::Empty);
    }
    if bytes.len() as u64 > limits.max_bytes {
        return Err(ReadError::TooManyBytes {
            bytes: bytes.len() as u64,
            limit: limits.max_bytes,
        });
    }
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return match three_mf::read(bytes, file_name, limits)? {
            Some(file) => Ok(file),
            None => zip_set::read(bytes, limits),
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
    if let Some(kind) = other_kind(bytes, file_name) {
        return Err(ReadError::OtherFile { kind });
    }
    if stl::is_whole_binary(bytes) {
        return stl::read_binary(bytes, file_name, limits);
    }
    if looks_like_text(bytes) {
        let obj_first = ending(file_name) == "obj";
        if !obj_first && stl::is_ascii(bytes) {
            return stl::read_ascii(bytes, file_name, limits);
        }
        if obj_first || obj::is_obj(bytes) {
            return obj::read(bytes, file_name, limits);
        }
        if ending(file_name) == "stl" {
            return Err(ReadError::NoTriangles);
        }
        return Err(ReadError::UnknownFormat);
    }
    if ending(file_name) == "stl" {
        return Err(stl::binary_is_short(bytes, limits));
    }
    Err(ReadError::UnknownFormat)
}

/// Files that people send by mistake, known by their first bytes or, for CAD files, their ending.
fn other_kind(bytes: &[u8], file_name: &str) -> Option<&'static str> {
    const STARTS: [(&[u8], &str); 12] = [
        (b"ISO-10303-21", "STEP"),
        (b"%PDF", "PDF"),
        (b"\x89PNG", "picture (PNG)"),
        (b"\xff\xd8\xff", "picture (JPEG)"),
        (b"GIF8", "picture (GIF)"),
        (b"glTF", "glTF"),
        (b"ply\n", "PLY"),
        (b"ply\r", "PLY"),
        (b"\xd0\xcf\x11\xe0", "CAD or office"),
        (b"AC10", "drawing (DWG)"),
        (b"<?xml", "XML"),
        (b"<amf", "AMF"),
    ];
    let body = skip_blank(bytes);
    let by_start = STARTS
        .iter()
        .find(|(start, _)| body.starts_with(start))
        .map(|&(_, kind)| kind);
    by_start.or_else(|| match ending(file_name).as_str() {
        "step" | "stp" => Some("STEP"),
        "igs" | "iges" => Some("IGES"),
        "dxf" | "dwg" => Some("drawing"),
        "amf" => Some("AMF"),
        "ply" => Some("PLY"),
        "glb" | "gltf" => Some("glTF"),
        _ => None,
    })
}

/// The bytes after a byte order mark and white space.
pub(crate) fn skip_blank(bytes: &[u8]) -> &[u8] {
    bytes
        .strip_prefix(b"\xef\xbb\xbf")
        .unwrap_or(bytes)
        .trim_ascii_start()
}

/// No zero byte in the first stretch: text, in some encoding that keeps ASCII.
fn looks_like_text(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(4096)];
    let odd = head
        .iter()
        .filter(|&&b| b < 9 || (b > 13 && b < 32))
        .count();
    odd * 100 <= head.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_sent_by_mistake_are_named() {
        let limits = Limits::server();
        for (bytes, name, kind) in [
            (&b"ISO-10303-21;\nHEADER;"[..], "bracket.step", "STEP"),
            (b"%PDF-1.7", "bracket.stl", "PDF"),
            (b"\x89PNG\r\n", "photo.png", "picture (PNG)"),
            (b"glTF\x02\0\0\0", "x.glb", "glTF"),
        ] {
            let error = read_model(bytes, name, &limits).unwrap_err();
            assert_eq!(error, ReadError::OtherFile { kind }, "{name}");
            assert!(error.what_to_do().contains("3MF"));
        }
        assert_eq!(
            read_model(b"hello", "x.txt", &limits),
            Err(ReadError::UnknownFormat)
        );
    }

    #[test]
    fn more_bytes_than_allowed_are_refused_before_reading() {
        let limits = Limits {
            max_bytes: 3,
            ..Limits::server()
        };
        assert_eq!(
            read_model(b"abcd", "x.stl", &limits),
            Err(ReadError::TooManyBytes { bytes: 4, limit: 3 })
        );
    }
}
