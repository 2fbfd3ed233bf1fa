//! Files that people send by mistake, known by their first bytes or, failing that, their ending.

use crate::detect::find_word;
use crate::error::ReadError;
use crate::names::ending;

/// What a beginning or an ending says about a file.
#[derive(Clone, Copy)]
enum Other {
    Cad(&'static str),
    Mesh(&'static str),
    Packed(&'static str),
    NoPart(&'static str),
}

use Other::{Cad, Mesh, NoPart, Packed};

impl Other {
    fn error(self) -> ReadError {
        match self {
            Cad(kind) => ReadError::CadFile { kind },
            Mesh(kind) => ReadError::OtherMesh { kind },
            Packed(kind) => ReadError::OtherArchive { kind },
            NoPart(kind) => ReadError::OtherFile { kind },
        }
    }
}

/// Beginnings, in small letters where they are text.
const STARTS: [(&[u8], Other); 28] = [
    (b"iso-10303-21", Cad("STEP")),
    (b"\xd0\xcf\x11\xe0", Cad("a CAD program's own file")),
    (b"dbrep_drawable", Cad("BREP")),
    (b"ac10", Cad("a drawing, DWG")),
    (b"autocad binary dxf", Cad("a drawing, DXF")),
    (b"**abcdefghijklmnopqrstuvwxyz", Cad("exact solids")),
    (b"<svg", Cad("a drawing, SVG")),
    (b"%!ps", Cad("a drawing, PostScript")),
    (b"ply\n", Mesh("PLY")),
    (b"ply\r", Mesh("PLY")),
    (b"gltf", Mesh("glTF")),
    (b"<amf", Mesh("AMF")),
    (b"off\n", Mesh("OFF")),
    (b"#vrml", Mesh("VRML")),
    (b"blender", Mesh("a modelling program's")),
    (b"kaydara fbx", Mesh("FBX")),
    (b"\x1f\x8b", Packed("gzip")),
    (b"7z\xbc\xaf", Packed("7z")),
    (b"rar!", Packed("RAR")),
    (b"bzh", Packed("bzip2")),
    (b"\xfd7zxz", Packed("xz")),
    (b"%pdf", NoPart("a PDF document")),
    (b"\x89png", NoPart("a picture (PNG)")),
    (b"\xff\xd8\xff", NoPart("a picture (JPEG)")),
    (b"gif8", NoPart("a picture (GIF)")),
    (
        b"<!doctype html",
        NoPart("a web page; save the part itself, not the page about it"),
    ),
    (
        b"<html",
        NoPart("a web page; save the part itself, not the page about it"),
    ),
    (
        b"version https://git-lfs",
        NoPart("a pointer to a file that is kept elsewhere"),
    ),
];

/// Words near the beginning of an XML text that tell what it describes.
const XML_WORDS: [(&[u8], Other); 7] = [
    (b"<amf", Mesh("AMF")),
    (b"<collada", Mesh("COLLADA")),
    (b"<x3d", Mesh("X3D")),
    (
        b"3dmanufacturing",
        Mesh("the inside of a 3MF; send the 3MF itself"),
    ),
    (
        b"<html",
        NoPart("a web page; save the part itself, not the page about it"),
    ),
    (b"<svg", Cad("a drawing, SVG")),
    (b"<", NoPart("an XML file")),
];

/// Endings, for texts and bytes that no beginning gives away.
const ENDINGS: [(&[&str], Other); 15] = [
    (&["step", "stp", "p21"], Cad("STEP")),
    (&["igs", "iges"], Cad("IGES")),
    (&["brep", "brp"], Cad("BREP")),
    (&["dxf", "dwg"], Cad("a drawing, DXF or DWG")),
    (&["x_t", "x_b", "sat", "sab", "jt"], Cad("exact solids")),
    (&["svg", "eps", "ai"], Cad("a drawing")),
    (
        &["ipt", "iam", "prt", "asm", "par", "catpart", "3dm", "f3d"],
        Cad("a CAD program's own file"),
    ),
    (&["amf"], Mesh("AMF")),
    (&["ply"], Mesh("PLY")),
    (&["glb", "gltf"], Mesh("glTF")),
    (
        &["off", "dae", "fbx", "3ds", "wrl", "x3d"],
        Mesh("a modelling program's"),
    ),
    (
        &["7z", "rar", "gz", "tgz", "tar", "xz", "bz2"],
        Packed("not zip"),
    ),
    (
        &["png", "jpg", "jpeg", "gif", "bmp", "webp", "heic"],
        NoPart("a picture"),
    ),
    (
        &["gcode", "gco", "nc"],
        NoPart("a program for one machine; send the part itself"),
    ),
    (
        &["pdf", "doc", "docx", "txt", "md", "html"],
        NoPart("a document"),
    ),
];

/// What the beginning gives away.
pub(crate) fn by_beginning(body: &[u8]) -> Option<ReadError> {
    let low = body[..body.len().min(4096)].to_ascii_lowercase();
    if low.starts_with(b"<?xml") {
        let found = XML_WORDS.iter().find(|(word, _)| find_word(&low, word));
        return found.map(|&(_, other)| other.error());
    }
    if body.get(257..262) == Some(b"ustar") {
        return Some(Packed("tar").error());
    }
    if is_iges(body) {
        return Some(Cad("IGES").error());
    }
    if is_dxf(&low) {
        return Some(Cad("a drawing, DXF").error());
    }
    if low.starts_with(b"{") && find_word(&low, b"\"asset\"") {
        return Some(Mesh("glTF").error());
    }
    STARTS
        .iter()
        .find(|(start, _)| low.starts_with(start))
        .map(|&(_, other)| other.error())
}

/// What the ending of the name says.
pub(crate) fn by_ending(file_name: &str) -> Option<ReadError> {
    let end = ending(file_name);
    let known = ENDINGS
        .iter()
        .find(|(ends, _)| ends.contains(&end.as_str()));
    known.map(|&(_, other)| other.error())
}

/// An IGES line is 72 columns, the letter of its section and its number: `S      1`.
fn is_iges(body: &[u8]) -> bool {
    body.get(72..80)
        .is_some_and(|columns| columns[0] == b'S' && columns[1..].trim_ascii() == b"1")
        || body
            .get(72..80)
            .is_some_and(|columns| columns == b"S0000001")
}

/// A DXF text is pairs of lines, a group code and its value: 0 SECTION, after comments (code 999).
/// From memory of the published format description.
fn is_dxf(low: &[u8]) -> bool {
    let mut lines = low.split(|&b| b == b'\n').map(<[u8]>::trim_ascii);
    loop {
        match (lines.next(), lines.next()) {
            (Some(b"999"), Some(_)) => {}
            (Some(b"0"), Some(b"section")) => return true,
            _ => return false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beginnings_give_files_away() {
        let iges = format!("{:72}S      1\n", "a bracket");
        let tar = [&[b'a'; 257][..], b"ustar\0"].concat();
        for (bytes, code, word) in [
            (&b"ISO-10303-21;\nHEADER;"[..], "cad-file", "STEP"),
            (iges.as_bytes(), "cad-file", "IGES"),
            (b"\xd0\xcf\x11\xe0\xa1\xb1", "cad-file", "own"),
            (b"AC1032\0", "cad-file", "DWG"),
            (b"0\r\nSECTION\r\n  2\r\nHEADER", "cad-file", "DXF"),
            (b"999\nby hand\n  0\nSECTION\n", "cad-file", "DXF"),
            (b"<svg width=\"1\">", "cad-file", "SVG"),
            (b"<?xml version=\"1.0\"?><svg/>", "cad-file", "SVG"),
            (b"%!PS-3.0", "cad-file", "PostScript"),
            (b"**ABCDEFGHIJKLMNOPQRSTUVWXYZ", "cad-file", "exact"),
            (b"%PDF-1.7", "other-file", "PDF"),
            (b"\x89PNG\r\n", "other-file", "PNG"),
            (b"\xff\xd8\xff\xe0", "other-file", "JPEG"),
            (b"<!DOCTYPE html>", "other-file", "web page"),
            (b"glTF\x02\0\0\0", "other-mesh-format", "glTF"),
            (
                b"{\"asset\": {\"version\": \"2.0\"}}",
                "other-mesh-format",
                "glTF",
            ),
            (b"ply\nformat ascii 1.0", "other-mesh-format", "PLY"),
            (
                b"<?xml version=\"1.0\"?>\n<amf unit=\"inch\">",
                "other-mesh-format",
                "AMF",
            ),
            (b"<?xml version=\"1.0\"?><note/>", "other-file", "XML"),
            (b"\x1f\x8b\x08", "other-archive", "gzip"),
            (b"Rar!\x1a\x07", "other-archive", "RAR"),
            (&tar, "other-archive", "tar"),
        ] {
            let error = by_beginning(bytes).unwrap();
            assert_eq!(error.code(), code, "{error}");
            assert!(error.to_string().contains(word), "{error}");
        }
        assert_eq!(by_beginning(b"solid x"), None);
        assert_eq!(by_beginning(b"plywood, 3 mm, two of each"), None);
        assert_eq!(by_beginning(b"v 0 0 0"), None);
    }

    #[test]
    fn endings_speak_where_bytes_do_not() {
        assert_eq!(by_ending("Arm.STP").map(|e| e.code()), Some("cad-file"));
        assert_eq!(by_ending("notes.txt").map(|e| e.code()), Some("other-file"));
        assert_eq!(by_ending("arm.stl"), None);
    }
}
