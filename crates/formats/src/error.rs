//! Why a file was not read: one variant a rule, each with a code, a place and what to do.

use partpledge_words::{Said, say};

/// A file that can't be read, and where.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// Nothing in it.
    #[error("{}", say!("errors-read-empty"))]
    Empty,
    /// More bytes than the limit.
    #[error("{}", say!("errors-read-too-many-bytes", bytes = bytes, limit = limit))]
    TooManyBytes {
        /// Size found.
        bytes: u64,
        /// Size allowed.
        limit: u64,
    },
    /// More triangles than the limit.
    #[error("{}", say!("errors-read-too-many-triangles", triangles = triangles, limit = limit))]
    TooManyTriangles {
        /// Count found or announced.
        triangles: u64,
        /// Count allowed.
        limit: u64,
    },
    /// It ends before it should.
    #[error("{}", say!("errors-read-breaks-off", what = what))]
    Truncated {
        /// What is missing, with numbers.
        what: Said,
    },
    /// Something follows behind the end of the model that would be lost.
    #[error("{}", say!("errors-read-more-behind", what = what))]
    MoreBehind {
        /// What follows, with its place.
        what: Said,
    },
    /// A binary STL whose count and size tell two stories.
    #[error("{}", say!("errors-read-wrong-count", announced = announced, present = present))]
    WrongCount {
        /// Triangles announced.
        announced: u64,
        /// Whole triangles that are there.
        present: u64,
    },
    /// More corners than three for each triangle of the limit.
    #[error("{}", say!("errors-read-too-many-corners", vertices = vertices, limit = limit))]
    TooManyVertices {
        /// Count found.
        vertices: u64,
        /// Count allowed.
        limit: u64,
    },
    /// Faces with so many corners that dividing them would take for ever.
    #[error("{}", say!("errors-read-too-complex", line = line))]
    TooComplex {
        /// Line of the face where it was given up, from 1.
        line: usize,
    },
    /// None of the formats we read.
    #[error("{}", say!("errors-read-unknown-format"))]
    UnknownFormat,
    /// A CAD file: its own program must export it first.
    #[error("{}", say!("errors-read-cad", kind = kind_says(kind)))]
    CadFile {
        /// What it is.
        kind: &'static str,
    },
    /// A mesh or a package part in a form that we don't read.
    #[error("{}", say!("errors-read-other-mesh", kind = kind_says(kind)))]
    OtherMesh {
        /// What it is.
        kind: &'static str,
    },
    /// An archive of another kind than zip.
    #[error("{}", say!("errors-read-other-archive", kind = kind_says(kind)))]
    OtherArchive {
        /// What it is.
        kind: &'static str,
    },
    /// A picture, a document, a web page: no part at all.
    #[error("{}", say!("errors-read-no-part", kind = kind_says(kind)))]
    OtherFile {
        /// What it is, with its article.
        kind: &'static str,
    },
    /// It reads, but there is nothing to print in it.
    #[error("{}", say!("errors-read-no-triangles"))]
    NoTriangles,
    /// A 3MF whose build is empty: objects, but none of them to be made.
    #[error("{}", say!("errors-read-empty-build"))]
    EmptyBuild,
    /// A surface given by curves instead of faces.
    #[error("{}", say!("errors-read-free-form", line = line))]
    FreeForm {
        /// Line, from 1.
        line: usize,
    },
    /// A coordinate is not a number, or infinite.
    #[error("{}", say!("errors-read-not-finite", place = place))]
    NotFinite {
        /// Line, triangle or vertex.
        place: Said,
    },
    /// A coordinate is absurdly large.
    #[error("{}", say!("errors-read-far-out", place = place, value = format!("{value:e}"), limit = format!("{limit:e}")))]
    OutOfRange {
        /// Line, triangle or vertex.
        place: Said,
        /// The coordinate.
        value: f64,
        /// The limit.
        limit: f64,
    },
    /// A number, word or line that does not belong there.
    #[error("{}", say!("errors-read-bad-line", line = line, what = what))]
    BadLine {
        /// Line, from 1.
        line: usize,
        /// What is wrong with it.
        what: Said,
    },
    /// A face names a vertex that is not there.
    #[error("{}", say!("errors-read-bad-index", place = place, index = index, vertices = vertices))]
    BadIndex {
        /// Line or triangle.
        place: Said,
        /// The index as written.
        index: i64,
        /// How many there are.
        vertices: usize,
    },
    /// A zip without any STL, OBJ or 3MF in it.
    #[error("{}", say!("errors-read-no-model"))]
    NoModelInArchive,
    /// The zip directory or an entry is damaged.
    #[error("{}", say!("errors-read-bad-archive", what = what))]
    BadArchive {
        /// What is wrong.
        what: Said,
    },
    /// An entry that only opens with a password.
    #[error("{}", say!("errors-read-locked", entry = entry))]
    Encrypted {
        /// Entry.
        entry: String,
    },
    /// An entry packed neither plainly nor by deflate.
    #[error("{}", say!("errors-read-packed-otherwise", entry = entry, method = method))]
    PackedOtherwise {
        /// Entry.
        entry: String,
        /// The method, as its number or name.
        method: String,
    },
    /// Too many entries.
    #[error("{}", say!("errors-read-too-many-entries", entries = entries, limit = limit))]
    TooManyEntries {
        /// Count found.
        entries: usize,
        /// Count allowed.
        limit: usize,
    },
    /// It would unpack to far more than it is.
    #[error("{}", say!("errors-read-bomb", entry = entry, limit = limit, ratio = ratio))]
    ArchiveBomb {
        /// Entry.
        entry: String,
        /// Bytes allowed.
        limit: u64,
        /// Ratio allowed.
        ratio: u64,
    },
    /// An entry's path leads out of the archive.
    #[error("{}", say!("errors-read-path-outside", entry = entry))]
    PathOutside {
        /// The path.
        entry: String,
    },
    /// An archive inside an archive.
    #[error("{}", say!("errors-read-nested", entry = entry))]
    NestedArchive {
        /// Entry.
        entry: String,
    },
    /// A document type or an entity.
    #[error("{}", say!("errors-read-entities", entry = entry))]
    XmlEntities {
        /// Entry.
        entry: String,
    },
    /// XML that is not well formed, or lacks what 3MF asks for.
    #[error("{}", say!("errors-read-bad-model", entry = entry, what = what))]
    BadModel {
        /// Entry.
        entry: String,
        /// What is wrong.
        what: Said,
    },
    /// A 3MF that only prints right with an extension we don't have.
    #[error("{}", say!("errors-read-extension", extension = extension))]
    NeedsExtension {
        /// Its namespace.
        extension: String,
    },
    /// Components inside components without end, or too deep.
    #[error("{}", say!("errors-read-too-deep", object = object, limit = limit))]
    TooDeep {
        /// Object id.
        object: u32,
        /// Depth allowed.
        limit: usize,
    },
    /// More objects, or more of them placed, than any plate holds: a bomb by reference.
    #[error("{}", say!("errors-read-too-many-placed", placed = placed, limit = limit))]
    TooManyPlaced {
        /// Count found.
        placed: u64,
        /// Count allowed.
        limit: u64,
    },
    /// One member of a zip of parts can't be read.
    #[error("{}", say!("errors-read-bad-model", entry = member, what = source.to_string()))]
    Member {
        /// The member's name.
        member: String,
        /// Why.
        source: Box<ReadError>,
    },
}

impl ReadError {
    /// A stable code for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "empty-file",
            Self::TooManyBytes { .. } => "file-too-large",
            Self::TooManyTriangles { .. } => "too-many-triangles",
            Self::TooManyVertices { .. } => "too-many-vertices",
            Self::TooComplex { .. } => "too-complex",
            Self::Truncated { .. } => "truncated",
            Self::WrongCount { .. } => "wrong-count",
            Self::MoreBehind { .. } => "more-behind",
            Self::EmptyBuild => "empty-build",
            Self::FreeForm { .. } => "free-form",
            Self::UnknownFormat => "unknown-format",
            Self::CadFile { .. } => "cad-file",
            Self::OtherMesh { .. } => "other-mesh-format",
            Self::OtherArchive { .. } => "other-archive",
            Self::OtherFile { .. } => "other-file",
            Self::NoTriangles => "no-triangles",
            Self::NotFinite { .. } => "not-finite",
            Self::OutOfRange { .. } => "coordinate-out-of-range",
            Self::BadLine { .. } => "bad-line",
            Self::BadIndex { .. } => "bad-index",
            Self::NoModelInArchive => "no-model-in-archive",
            Self::BadArchive { .. } => "bad-archive",
            Self::Encrypted { .. } => "encrypted-archive",
            Self::PackedOtherwise { .. } => "unsupported-compression",
            Self::TooManyEntries { .. } => "too-many-entries",
            Self::ArchiveBomb { .. } => "archive-bomb",
            Self::PathOutside { .. } => "path-outside-archive",
            Self::NestedArchive { .. } => "nested-archive",
            Self::XmlEntities { .. } => "xml-entities",
            Self::BadModel { .. } => "bad-model",
            Self::NeedsExtension { .. } => "needs-extension",
            Self::TooDeep { .. } => "too-deep",
            Self::TooManyPlaced { .. } => "too-many-placed",
            Self::Member { source, .. } => source.code(),
        }
    }

    /// What a person can do about it.
    #[must_use]
    pub fn what_to_do(&self) -> String {
        match self {
            Self::CadFile { kind } if kind.contains("drawing") => say!("errors-read-do-drawing"),
            Self::CadFile { .. } => say!("errors-read-do-cad"),
            Self::OtherMesh { kind } => say!("errors-read-do-mesh", kind = kind_says(kind)),
            Self::Member { source, .. } => source.what_to_do(),
            other => other.plain_advice(),
        }
    }

    fn plain_advice(&self) -> String {
        match self {
            Self::Empty | Self::Truncated { .. } => say!("errors-read-do-whole"),
            Self::TooManyBytes { .. }
            | Self::TooManyTriangles { .. }
            | Self::TooManyVertices { .. } => say!("errors-read-do-coarser"),
            Self::MoreBehind { .. } => say!("errors-read-do-each"),
            Self::EmptyBuild => say!("errors-read-do-onto-plate"),
            Self::FreeForm { .. } => say!("errors-read-do-as-mesh"),
            Self::TooComplex { .. } => say!("errors-read-do-divided"),
            Self::UnknownFormat | Self::OtherFile { .. } => say!("errors-read-do-export"),
            Self::OtherArchive { .. } => say!("errors-read-do-unpack"),
            Self::NoTriangles => say!("errors-read-do-visible"),
            Self::NotFinite { .. } | Self::OutOfRange { .. } => say!("errors-read-do-run-away"),
            Self::NoModelInArchive
            | Self::BadArchive { .. }
            | Self::NestedArchive { .. }
            | Self::PathOutside { .. } => say!("errors-read-do-plain-zip"),
            Self::Encrypted { .. } => say!("errors-read-do-no-password"),
            Self::PackedOtherwise { .. } => say!("errors-read-do-deflate"),
            Self::TooManyEntries { .. } | Self::ArchiveBomb { .. } => say!("errors-read-do-few"),
            Self::XmlEntities { .. } => say!("errors-read-do-entities"),
            Self::NeedsExtension { .. } => say!("errors-read-do-core"),
            Self::TooDeep { .. } | Self::TooManyPlaced { .. } => say!("errors-read-do-flatten"),
            _ => say!("errors-read-do-again"),
        }
    }
}

/// What a file is that is no part of ours; names of formats are the same in every tongue.
fn kind_says(kind: &str) -> String {
    if let Some(format) = kind.strip_prefix("a drawing, ") {
        return match format.split_once(" or ") {
            Some((format, other)) => {
                say!("errors-file-drawing-or", format = format, other = other)
            }
            None => say!("errors-file-drawing-as", format = format),
        };
    }
    let format = kind.strip_prefix("a picture (");
    if let Some(format) = format.and_then(|rest| rest.strip_suffix(')')) {
        return say!("errors-file-picture-as", format = format);
    }
    match kind {
        "a CAD program's own file" => say!("errors-file-own"),
        "a drawing" => say!("errors-file-drawing"),
        "exact solids" => say!("errors-file-solids"),
        "a modelling program's" => say!("errors-file-modelling"),
        "the inside of a 3MF; send the 3MF itself" => say!("errors-file-inside"),
        "not zip" => say!("errors-file-not-zip"),
        "a PDF document" => say!("errors-file-pdf"),
        "a picture" => say!("errors-file-picture"),
        "a web page; save the part itself, not the page about it" => say!("errors-file-web-page"),
        "a pointer to a file that is kept elsewhere" => say!("errors-file-pointer"),
        "an XML file" => say!("errors-file-xml"),
        "a program for one machine; send the part itself" => say!("errors-file-program"),
        "a document" => say!("errors-file-document"),
        format => format.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_member_of_a_zip_keeps_the_code_and_the_advice_of_its_own_trouble() {
        let source = Box::new(ReadError::CadFile { kind: "STEP" });
        let error = ReadError::Member {
            member: "arm.step".to_owned(),
            source,
        };
        assert_eq!(error.code(), "cad-file");
        assert_eq!(
            error.to_string(),
            "'arm.step': this is a CAD file (STEP); printing starts from a mesh"
        );
        assert!(
            error
                .what_to_do()
                .contains("3MF (best) or STL in millimetres")
        );
    }
}
