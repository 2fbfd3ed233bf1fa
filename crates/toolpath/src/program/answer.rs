//! What a program takes, or why it can't be timed.

use partpledge_words::say;

use super::findings::ProgramFinding;
use super::tally::{Extent, WordCount};

/// Why a file can't be timed as a motion program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RetimeError {
    /// There are bytes in it that no text has.
    #[error("{}", say!("programs-binary", at_byte = at_byte))]
    Binary {
        /// Place of the first one.
        at_byte: u64,
    },
    /// Nothing in it moves the head.
    #[error("{}", say!("programs-no-motion", blocks = blocks))]
    NoMotion {
        /// Lines with something in them.
        blocks: u64,
    },
    /// Speeds are not given as a way a minute.
    #[error("{}", say!("programs-feed-mode", line = line, word = word))]
    FeedMode {
        /// The word.
        word: String,
        /// Line, from 1.
        line: u64,
    },
}

impl RetimeError {
    /// A stable code for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Binary { .. } => "binary-program",
            Self::NoMotion { .. } => "no-motion",
            Self::FeedMode { .. } => "feed-mode",
        }
    }

    /// What a person can do about it.
    #[must_use]
    pub fn what_to_do(&self) -> &'static str {
        match self {
            Self::Binary { .. } => {
                "Save the program as plain text and send that. Part files go to `judge`."
            }
            Self::NoMotion { .. } => {
                "Send the motion program that your printer runs, a text with lines such as G1 X10 Y10. Part files go to `judge`."
            }
            Self::FeedMode { .. } => "Write the program with speeds in mm or inches a minute.",
        }
    }
}

/// What a program takes on a class of printer.
#[derive(Clone, Debug, PartialEq)]
pub struct Retimed {
    /// All of it, s.
    pub time_s: f64,
    /// Going along with filament, s.
    pub laying_s: f64,
    /// Going along without, s; moves up and down as well.
    pub travel_s: f64,
    /// The filament moving alone, s.
    pub filament_alone_s: f64,
    /// Dwells, s.
    pub dwell_s: f64,
    /// Waits for heaters, s.
    pub heating_s: f64,
    /// Filament forward less back, mm.
    pub filament_mm: f64,
    /// Filament pushed forward along a path, mm: neither pull-backs and their return nor what is
    /// pushed out on the spot.
    pub laid_filament_mm: f64,
    /// Mass of `filament_mm`, g.
    pub mass_g: f64,
    /// Mass of `laid_filament_mm`, g.
    pub laid_mass_g: f64,
    /// Distinct heights at which something is laid level.
    pub layers: usize,
    /// Length laid while climbing, mm; it belongs to no layer.
    pub climbing_mm: f64,
    /// Box round the middles of all lines laid.
    pub laid: Option<Extent>,
    /// Box round all places the head is known to have been at.
    pub moved: Option<Extent>,
    /// Highest nozzle temperature asked, °C.
    pub nozzle_c: Option<f64>,
    /// Highest bed temperature asked, °C.
    pub bed_c: Option<f64>,
    /// Lines with something in them.
    pub blocks: u64,
    /// Moves timed.
    pub moves: u64,
    /// Moves that the class makes slower than the program asks.
    pub slowed: u64,
    /// Moves not timed: from a place that nobody knows, or arcs that are none.
    pub not_timed: u64,
    /// Checksums that do not fit their line; the line was used all the same.
    pub checksums_wrong: u64,
    /// Lines too long to be read.
    pub lines_passed_over: u64,
    /// Lines marked as those that an operator may skip; they were used.
    pub skippable: u64,
    /// Cuts of the look-ahead.
    pub cuts: u64,
    /// Most seconds that they can have added.
    pub cuts_at_most_s: f64,
    /// Words counted and not used, the most frequent first.
    pub words: Vec<WordCount>,
    /// What the class can't give.
    pub findings: Vec<ProgramFinding>,
}
