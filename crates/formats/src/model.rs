//! What every reader gives: triangles in the file's own unit, nothing welded, nothing judged.

use partpledge_units::length::LengthUnit;

use crate::error::ReadError;

/// Triangles by index, as the file has them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RawMesh {
    /// Corner positions in the file's unit; all finite.
    pub vertices: Vec<[f64; 3]>,
    /// Three positions into `vertices`, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
}

/// One part of a file: a build item of a 3MF, a member of a zip, or the whole file.
#[derive(Clone, Debug, PartialEq)]
pub struct RawPart {
    /// A name for people, without personal metadata; empty when the file gives none.
    pub name: String,
    /// Its triangles.
    pub mesh: RawMesh,
}

/// Which format the bytes turned out to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// Binary STL.
    StlBinary,
    /// ASCII STL.
    StlAscii,
    /// Wavefront OBJ.
    Obj,
    /// 3MF (ISO/IEC 25422).
    ThreeMf,
    /// A zip of several of the above.
    Zip,
}

/// A member of a zip that ought to be a part, but can't be read.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Its path in the zip, cleaned.
    pub name: String,
    /// Why it gives no part.
    pub why: ReadError,
}

/// A model file, read.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelFile {
    /// The format found in the bytes (never from the name alone).
    pub kind: FileKind,
    /// The unit that the file itself declares; only 3MF does.
    pub declared_unit: Option<LengthUnit>,
    /// At least one part, each with at least one triangle.
    pub parts: Vec<RawPart>,
    /// Members of a zip that look like parts and were left out; say so to the sender.
    pub left_out: Vec<LeftOut>,
}
