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
    /// None of the formats we read.
    #[error("this is not an STL, OBJ or 3MF file")]
    UnknownFormat,
    /// A file that another kind of program must export first.
    #[error("this is a {kind} file, which holds no triangles that we can print from")]
    OtherFile {
        /// What it is.
        kind: &'static str,
    },
    /// It reads, but there is nothing to print in it.
    #[error("the file holds no triangles")]
    NoTriangles,
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
    /// The zip directory or an entry is damaged, encrypted or packed in an unknown way.
    #[error("the archive can't be opened: {what}")]
    BadArchive {
        /// What is wrong.
        what: String,
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
            Self::Truncated { .. } => "truncated",
            Self::UnknownFormat => "unknown-format",
            Self::OtherFile { .. } => "other-file",
            Self::NoTriangles => "no-triangles",
            Self::NotFinite { .. } => "not-finite",
            Self::OutOfRange { .. } => "coordinate-out-of-range",
            Self::BadLine { .. } => "bad-line",
            Self::BadIndex { .. } => "bad-index",
            Self::BadArchive { .. } => "bad-archive",
            Self::TooManyEntries { .. } => "too-many-entries",
            Self::ArchiveBomb { .. } => "archive-bomb",
            Self::PathOutside { .. } => "path-outside-archive",
            Self::NestedArchive { .. } => "nested-archive",
            Self::XmlEntities { .. } => "xml-entities",
            Self::BadModel { .. } => "bad-model",
            Self::NeedsExtension { .. } => "needs-extension",
            Self::TooDeep { .. } => "too-deep",
            Self::Member { source, .. } => source.code(),
        }
    }

    /// What a person can do about it.
    #[must_use]
    pub fn what_to_do(&self) -> &'static str {
        match self {
            Self::Empty | Self::Truncated { .. } => {
                "Export the part again and send the whole file; the copy you sent is not complete."
            }
            Self::TooManyBytes { .. } | Self::TooManyTriangles { .. } => {
                "Export with a coarser mesh: a chord of 0.05 mm is finer than any printer here can show."
            }
            Self::UnknownFormat => "Open the part in your CAD program and export it as 3MF or STL.",
            Self::OtherFile { .. } => {
                "Open it in the program it was made with and choose export, then 3MF (best) or STL, \
                 in millimetres."
            }
            Self::NoTriangles => {
                "Check that the part is visible and selected, then export it again."
            }
            Self::NotFinite { .. } | Self::OutOfRange { .. } => {
                "Look for a sketch point that has run away, move the part near the origin, and export again."
            }
            Self::BadLine { .. } | Self::BadIndex { .. } | Self::BadModel { .. } => {
                "The file was damaged or written by a faulty program. Export it again, as 3MF if you can."
            }
            Self::BadArchive { .. } | Self::NestedArchive { .. } | Self::PathOutside { .. } => {
                "Put the part files themselves, without folders inside archives, into one plain zip."
            }
            Self::TooManyEntries { .. } | Self::ArchiveBomb { .. } => {
                "Send the part files on their own, a few at a time."
            }
            Self::XmlEntities { .. } => {
                "No 3MF program writes these. Export the part again with a program you trust."
            }
            Self::NeedsExtension { .. } => {
                "Export it again as plain 3MF (core only) or as STL, with lattices turned into solids."
            }
            Self::TooDeep { .. } => "Flatten the assembly into parts and export it again.",
            Self::Member { source, .. } => source.what_to_do(),
        }
    }
}
