//! What a program asks that the class of printer can't give.

use partpledge_catalogue::PrinterClass;

use partpledge_words::{decimal, say};

use super::tally::Extent;

/// How far beyond the bed is still on it, mm: rounding in the program.
const SLACK_MM: f64 = 0.01;

/// A heater that the class limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heater {
    /// Where the filament melts.
    Nozzle,
    /// What the part stands on.
    Bed,
}

/// Something that this class can't do as the program asks; the numbers are inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProgramFinding {
    /// What is laid is larger than the room over the bed, wherever the zero is.
    LargerThanBed {
        /// 0, 1, 2 for x, y, z.
        axis: usize,
        /// Size laid, mm.
        size_mm: f64,
        /// Room, mm.
        limit_mm: f64,
    },
    /// The head moves outside, if the program's zero is the bed's front left corner.
    OutsideBed {
        /// 0, 1, 2 for x, y, z.
        axis: usize,
        /// Farthest coordinate, mm; below zero or above the limit.
        reached_mm: f64,
        /// Room, mm.
        limit_mm: f64,
    },
    /// A heater is set hotter than the class allows.
    TooHot {
        /// Which.
        heater: Heater,
        /// Temperature asked, °C.
        asked_c: f64,
        /// Hottest of the class, °C.
        limit_c: f64,
    },
}

impl ProgramFinding {
    /// A stable code for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::LargerThanBed { .. } => "larger-than-bed",
            Self::OutsideBed { .. } => "outside-bed",
            Self::TooHot { heater, .. } => match heater {
                Heater::Nozzle => "nozzle-too-hot",
                Heater::Bed => "bed-too-hot",
            },
        }
    }

    /// Measured, limit and their unit.
    #[must_use]
    pub fn numbers(&self) -> (f64, f64, &'static str) {
        match *self {
            Self::LargerThanBed {
                size_mm, limit_mm, ..
            } => (size_mm, limit_mm, "mm"),
            Self::OutsideBed {
                reached_mm,
                limit_mm,
                ..
            } => (reached_mm, limit_mm, "mm"),
            Self::TooHot {
                asked_c, limit_c, ..
            } => (asked_c, limit_c, "°C"),
        }
    }

    /// Why it matters, in a sentence.
    #[must_use]
    pub fn why(&self) -> String {
        match *self {
            Self::LargerThanBed {
                axis,
                size_mm,
                limit_mm,
            } => say!(
                "programs-larger-than-bed",
                size = decimal(size_mm, 2),
                axis = AXES[axis],
                limit = decimal(limit_mm, 0)
            ),
            Self::OutsideBed {
                axis,
                reached_mm,
                limit_mm,
            } => say!(
                "programs-outside-bed",
                axis = AXES[axis],
                reached = decimal(reached_mm, 2),
                limit = decimal(limit_mm, 0)
            ),
            Self::TooHot {
                heater,
                asked_c,
                limit_c,
            } => {
                let (asked, limit) = (decimal(asked_c, 0), decimal(limit_c, 0));
                match heater {
                    Heater::Nozzle => say!("programs-nozzle-too-hot", asked = asked, limit = limit),
                    Heater::Bed => say!("programs-bed-too-hot", asked = asked, limit = limit),
                }
            }
        }
    }

    /// What a person can do about it.
    #[must_use]
    pub fn what_to_do(&self) -> String {
        match self {
            Self::LargerThanBed { .. } => say!("programs-larger-than-bed-do"),
            Self::OutsideBed { .. } => say!("programs-outside-bed-do"),
            Self::TooHot { .. } => say!("programs-too-hot-do"),
        }
    }
}

const AXES: [&str; 3] = ["x", "y", "z"];

/// Holds what was asked against the class.
pub(super) fn found(
    class: &PrinterClass,
    laid: Option<Extent>,
    moved: Option<Extent>,
    [nozzle_c, bed_c]: [Option<f64>; 2],
) -> Vec<ProgramFinding> {
    let mut found = Vec::new();
    for axis in 0..3 {
        let limit_mm = class.bed_mm[axis];
        let size_mm = laid.map_or(0.0, |laid| {
            let low_mm = if axis == 2 { 0.0 } else { laid.low_mm[axis] };
            laid.high_mm[axis] - low_mm
        });
        if size_mm > limit_mm + SLACK_MM {
            found.push(ProgramFinding::LargerThanBed {
                axis,
                size_mm,
                limit_mm,
            });
        }
        let Some(moved) = moved else { continue };
        let (low, high) = (moved.low_mm[axis], moved.high_mm[axis]);
        let reached_mm = if high - limit_mm > -low { high } else { low };
        if low < -SLACK_MM || high > limit_mm + SLACK_MM {
            found.push(ProgramFinding::OutsideBed {
                axis,
                reached_mm,
                limit_mm,
            });
        }
    }
    for (heater, asked, limit_c) in [
        (Heater::Nozzle, nozzle_c, class.nozzle_max_c),
        (Heater::Bed, bed_c, class.bed_max_c),
    ] {
        if let Some(asked_c) = asked.filter(|&c| c > limit_c) {
            found.push(ProgramFinding::TooHot {
                heater,
                asked_c,
                limit_c,
            });
        }
    }
    found
}
