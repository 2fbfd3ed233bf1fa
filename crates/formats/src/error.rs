//! Why a file was not read: one variant a rule, each with a code, a place and what to do.

/// A file that can't be read, and where.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// More bytes than the limit.
    #[error("the file has {bytes} bytes; the limit is {limit}")]
    TooManyBytes {
        /// Size found.
        bytes: u64,
        /// Size allowed.
        limit: u64,
    },
    /// More triangles than the limit.
    #[error("the file has {triangles} triangles; the limit is {limit}")]
    TooManyTriangles {
        /// Count found or announced.
        triangles: u64,
        /// Count allowed.
        limit: u64,
    },
    /// It ends before it should.
    #[error("the file breaks off: {what}")]
    Truncated {
        /// What is missing, with numbers.
        what: String,
    },
    /// Something follows behind the end of the model that would be lost.
    #[error("more follows behind the end of the model: {what}")]
    MoreBehind {
        /// What follows, with its place.
        what: String,
    },
    /// A binary STL whose count and size tell two stories.
    #[error("the file announces {announced} triangles, but holds {present}")]
    WrongCount {
        /// Triangles announced.
        announced: u64,
        /// Whole triangles that are there.
        present: u64,
    },
    /// More corners than three for each triangle of the limit.
    #[error("the file has {vertices} corners; the limit is {limit}")]
    TooManyVertices {
        /// Count found.
        vertices: u64,
        /// Count allowed.
        limit: u64,
    },
    /// Faces with so many corners that dividing them would take for ever.
    #[error("line {line}: the faces have too many corners to divide into triangles")]
    TooComplex {
        /// Line of the face where it was given up, from 1.
        line: usize,
    },
    /// None of the formats we read.
    #[error("this is not an STL, OBJ or 3MF file")]
    UnknownFormat,
    /// A CAD file: its own program must export it first.
    #[error("this is a CAD file ({kind}); printing starts from a mesh")]
    CadFile {
        /// What it is.
        kind: &'static str,
    },
    /// A mesh or a package part in a form that we don't read.
    #[error("this is a mesh in another format ({kind}); we read STL, OBJ and 3MF")]
    OtherMesh {
        /// What it is.
        kind: &'static str,
    },
    /// An archive of another kind than zip.
    #[error("this is a packed file of another kind ({kind}); we open zip only")]
    OtherArchive {
        /// What it is.
        kind: &'static str,
    },
    /// A picture, a document, a web page: no part at all.
    #[error("this is no part, but {kind}")]
    OtherFile {
        /// What it is, with its article.
        kind: &'static str,
    },
    /// It reads, but there is nothing to print in it.
    #[error("the file holds no triangles")]
    NoTriangles,
    /// A 3MF whose build is empty: objects, but none of them to be made.
    #[error("the 3MF holds objects, but its list of what to print is empty")]
    EmptyBuild,
    /// A surface given by curves instead of faces.
    #[error("line {line}: a curved surface (free-form geometry); we read flat faces only")]
    FreeForm {
        /// Line, from 1.
        line: usize,
    },
    /// A coordinate is not a number, or infinite.
    #[error("{place} holds a coordinate that is not a number")]
    NotFinite {
        /// Line, triangle or vertex.
        place: String,
    },
    /// A coordinate is absurdly large.
    #[error("{place} lies at {value:e}, farther out than {limit:e}")]
    OutOfRange {
        /// Line, triangle or vertex.
        place: String,
        /// The coordinate.
        value: f64,
        /// The limit.
        limit: f64,
    },
    /// A number, word or line that does not belong there.
    #[error("line {line}: {what}")]
    BadLine {
        /// Line, from 1.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
    /// A face names a vertex that is not there.
    #[error("{place} uses vertex {index}, but there are only {vertices}")]
    BadIndex {
        /// Line or triangle.
        place: String,
        /// The index as written.
        index: i64,
        /// How many there are.
        vertices: usize,
    },
    /// A zip without any STL, OBJ or 3MF in it.
    #[error("the zip holds no STL, OBJ or 3MF file")]
    NoModelInArchive,
    /// The zip directory or an entry is damaged.
    #[error("the archive can't be opened: {what}")]
    BadArchive {
        /// What is wrong.
        what: String,
    },
    /// An entry that only opens with a password.
    #[error("'{entry}' is locked with a password")]
    Encrypted {
        /// Entry.
        entry: String,
    },
    /// An entry packed neither plainly nor by deflate.
    #[error("'{entry}' is packed in a way that we don't open (method {method})")]
    PackedOtherwise {
        /// Entry.
        entry: String,
        /// The method, as its number or name.
        method: String,
    },
    /// Too many entries.
    #[error("the archive has {entries} entries; the limit is {limit}")]
    TooManyEntries {
        /// Count found.
        entries: usize,
        /// Count allowed.
        limit: usize,
    },
    /// It would unpack to far more than it is.
    #[error("'{entry}' unpacks to more than {limit} bytes or {ratio} times its size")]
    ArchiveBomb {
        /// Entry.
        entry: String,
        /// Bytes allowed.
        limit: u64,
        /// Ratio allowed.
        ratio: u64,
    },
    /// An entry's path leads out of the archive.
    #[error("the archive holds the path '{entry}', which leads out of it")]
    PathOutside {
        /// The path.
        entry: String,
    },
    /// An archive inside an archive.
    #[error("'{entry}' is an archive inside the archive")]
    NestedArchive {
        /// Entry.
        entry: String,
    },
    /// A document type or an entity.
    #[error("'{entry}' declares a document type or entities")]
    XmlEntities {
        /// Entry.
        entry: String,
    },
    /// XML that is not well formed, or lacks what 3MF asks for.
    #[error("'{entry}': {what}")]
    BadModel {
        /// Entry.
        entry: String,
        /// What is wrong.
        what: String,
    },
    /// A 3MF that only prints right with an extension we don't have.
    #[error("the 3MF needs the extension '{extension}'")]
    NeedsExtension {
        /// Its namespace.
        extension: String,
    },
    /// Components inside components without end, or too deep.
    #[error("object {object} contains itself or is nested more than {limit} deep")]
    TooDeep {
        /// Object id.
        object: u32,
        /// Depth allowed.
        limit: usize,
    },
    /// More objects, or more of them placed, than any plate holds: a bomb by reference.
    #[error("the build has {placed} objects, components counted each time; the limit is {limit}")]
    TooManyPlaced {
        /// Count found.
        placed: u64,
        /// Count allowed.
        limit: u64,
    },
    /// One member of a zip of parts can't be read.
    #[error("'{member}': {source}")]
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
            Self::CadFile { kind } => cad_advice(kind),
            Self::OtherMesh { kind } => format!(
                "Open the {kind} file in the program it was made with and export it as 3MF (best) \
                 or STL, in millimetres."
            ),
            Self::Member { source, .. } => source.what_to_do(),
            other => other.plain_advice().to_owned(),
        }
    }

    fn plain_advice(&self) -> &'static str {
        match self {
            Self::Empty | Self::Truncated { .. } => {
                "Export the part again and send the whole file; the copy you sent is not complete."
            }
            Self::TooManyBytes { .. }
            | Self::TooManyTriangles { .. }
            | Self::TooManyVertices { .. } => {
                "Export with a coarser mesh: a chord of 0.05 mm is finer than any printer here can \
                 show."
            }
            Self::MoreBehind { .. } => {
                "Export each part as a file of its own, and send them together or in one zip."
            }
            Self::EmptyBuild => {
                "Put the part onto the plate in the program it was made with, then save it again."
            }
            Self::FreeForm { .. } => {
                "Export it again as a mesh, with curved surfaces turned into triangles: 3MF (best) \
                 or STL."
            }
            Self::TooComplex { .. } => {
                "Export it again with faces divided into triangles, or as 3MF or STL."
            }
            Self::UnknownFormat | Self::OtherFile { .. } => {
                "Open the part in your CAD program, export it as 3MF (best) or STL in millimetres, \
                 and send that file."
            }
            Self::OtherArchive { .. } => {
                "Unpack it, then send the part files themselves or put them into one plain zip."
            }
            Self::NoTriangles => {
                "Check that the part is visible and selected, then export it again."
            }
            Self::NotFinite { .. } | Self::OutOfRange { .. } => {
                "Look for a sketch point that has run away, move the part near the origin, check \
                 the unit, and export again."
            }
            Self::NoModelInArchive
            | Self::BadArchive { .. }
            | Self::NestedArchive { .. }
            | Self::PathOutside { .. } => {
                "Put the part files themselves (STL, OBJ or 3MF), without archives inside, into one \
                 plain zip."
            }
            Self::Encrypted { .. } => "Pack the files again without a password.",
            Self::PackedOtherwise { .. } => {
                "Pack the files again as an ordinary zip (method deflate), or send them one by one."
            }
            Self::TooManyEntries { .. } | Self::ArchiveBomb { .. } => {
                "Send the part files on their own, a few at a time."
            }
            Self::XmlEntities { .. } => {
                "No 3MF needs these. Export the part again with a program you trust."
            }
            Self::NeedsExtension { .. } => {
                "Export it again as plain 3MF (core only) or as STL, with lattices turned into \
                 solids."
            }
            Self::TooDeep { .. } | Self::TooManyPlaced { .. } => {
                "Flatten the assembly into parts and export it again."
            }
            _ => {
                "The file was damaged or written by a faulty program. Export it again, as 3MF if \
                 you can."
            }
        }
    }
}

fn cad_advice(kind: &str) -> String {
    let flat = kind.contains("drawing");
    let first = if flat {
        "A flat drawing has no thickness. Open the solid part"
    } else {
        "Open it"
    };
    format!(
        "{first} in the CAD program it was made with, choose File, then Export or Save as, and take \
         3MF (best) or STL in millimetres; a chord or deviation of 0.05 mm is fine enough."
    )
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
