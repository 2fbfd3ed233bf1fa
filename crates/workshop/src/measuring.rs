//! Critical dimensions of a request, and what was measured of them copy by copy.
//!
//! A copy is called good only when every critical dimension was measured and lies within its limits, or
//! the bench has said why one could not be measured.

use std::collections::BTreeMap;
use std::fmt;

use partpledge_quality::dimension::MOST;
use partpledge_records::{KeptPlate, Measured, StoredCopy};
use partpledge_units::ids::RequestId;

use crate::books::Books;
use crate::error::WorkshopError;
use crate::intake::JudgedFile;

pub use partpledge_quality::dimension::{LONGEST_WHAT, MOST as MOST_DIMENSIONS};
pub use partpledge_quality::grade::prints_hold;
pub use partpledge_quality::{CriticalDimension, NotADimension, Outside, Reading};

/// What was read off one copy, by the number of the dimension: 1, 2, 3 ...
pub type Readings = BTreeMap<u32, Reading>;

/// What was read off copies, by the number of their share and their own within the request.
pub type EachMeasured = BTreeMap<(u64, i64), Readings>;

/// Why a dimension could not be measured, as it is stored and in words for the bench and the team.
pub const WHY_NOT: [(&str, &str); 4] = [
    ("out-of-reach", "our tools don’t reach it"),
    ("no-tool", "we have no tool for it here"),
    ("too-soft", "it bends when it is measured"),
    ("not-on-this-piece", "this piece does not have it"),
];

/// The words for a reason, by its code.
#[must_use]
pub fn why_not(code: &str) -> &'static str {
    let known = WHY_NOT.iter().find(|(known, _)| *known == code);
    known.map_or("nobody said why", |(_, words)| words)
}

/// Why a copy can't be called good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Number of its share of the plate.
    pub share: u64,
    /// Its number within its request.
    pub copy: i64,
    /// Which dimension: 1, 2, 3 ...
    pub n: u32,
    /// What that is, in its team's words.
    pub what: String,
    /// How far outside it is; `None` when it was not measured.
    pub outside: Option<Outside>,
}

/// `copy 2: bore for the bearing is 0.12 mm too large`.
impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "copy {}: {} is ", self.copy, self.what)?;
        match &self.outside {
            Some(outside) => outside.fmt(f),
            None => f.write_str("not measured"),
        }
    }
}

/// All that is wrong with copies that were called good, in one sentence without an end.
#[must_use]
pub(crate) fn in_words(faults: &[Fault]) -> String {
    let all: Vec<String> = faults.iter().map(Fault::to_string).collect();
    all.join("; ")
}

/// Looks at the critical dimensions that a team names for a part.
pub(crate) fn check(
    dimensions: &[CriticalDimension],
    judged: &JudgedFile,
) -> Result<(), WorkshopError> {
    let bad = |n: usize, why| Err(WorkshopError::BadDimension { n, why });
    if dimensions.len() > MOST {
        return bad(dimensions.len(), NotADimension::TooMany);
    }
    let boxes = judged.parts.iter().filter_map(|part| part.mesh.bounds());
    let diagonal = boxes.map(|(low, high)| {
        let squares = [0, 1, 2].map(|axis| (high[axis] - low[axis]).powi(2));
        squares.iter().sum::<f64>().sqrt()
    });
    let longest_mm = diagonal.fold(0.0, f64::max);
    for (n, one) in (1..).zip(dimensions) {
        if let Err(why) = one.check(longest_mm) {
            return bad(n, why);
        }
    }
    Ok(())
}

impl Books {
    /// The critical dimensions of a request, in their order; none for most.
    #[must_use]
    pub fn dimensions(&self, request: RequestId) -> &[CriticalDimension] {
        self.dimensions.get(&request).map_or(&[], Vec::as_slice)
    }

    /// What was measured last of a copy as it is now; nothing of a piece that was made again since.
    #[must_use]
    pub fn readings(&self, copy: &StoredCopy) -> Readings {
        let all = self.measured.get(&copy.id).into_iter().flatten();
        let of_this = all.filter(|one| one.plate == copy.plate);
        of_this.map(|one| (one.n, one.reading.clone())).collect()
    }

    /// Pieces of a copy that were measured, not used and made again: by number of plate, with what was
    /// measured last of each.
    #[must_use]
    pub fn readings_before(&self, copy: &StoredCopy) -> BTreeMap<u64, Readings> {
        let all = self.measured.get(&copy.id).into_iter().flatten();
        let mut out: BTreeMap<u64, Readings> = BTreeMap::new();
        for one in all.filter(|one| one.plate != copy.plate) {
            let readings = out.entry(one.plate).or_default();
            readings.insert(one.n, one.reading.clone());
        }
        out
    }

    /// Whether something on a plate has critical dimensions: then it can't be called good by a count.
    #[must_use]
    pub fn must_be_measured(&self, kept: &KeptPlate) -> bool {
        let mut rows = self.company(kept).into_iter();
        rows.any(|row| !self.dimensions(row.request).is_empty())
    }

    /// Why a copy can't be called good with these readings.
    pub(crate) fn faults(
        &self,
        request: RequestId,
        (share, copy): (u64, i64),
        readings: &Readings,
    ) -> Vec<Fault> {
        let all = (1..).zip(self.dimensions(request));
        let fault = |(n, one): (u32, &CriticalDimension)| {
            let outside = match readings.get(&n) {
                Some(Reading::NotMeasured(_)) => return None,
                Some(Reading::Value(value)) => Some(one.outside(*value)?),
                None => None,
            };
            let what = one.what.clone();
            Some(Fault {
                share,
                copy,
                n,
                what,
                outside,
            })
        };
        all.filter_map(fault).collect()
    }

    /// What was read off a copy, to be written down.
    ///
    /// # Errors
    /// [`WorkshopError::OutOfRange`] for a dimension that its request does not have, a reason that is not
    /// on the list, and a size that is none.
    pub(crate) fn to_write(
        &self,
        (request, copy): (RequestId, &StoredCopy),
        readings: &Readings,
    ) -> Result<Vec<Measured>, WorkshopError> {
        let many = self.dimensions(request).len();
        let one = |(n, reading): (&u32, &Reading)| {
            let known = (1..=many).contains(&usize::try_from(*n).unwrap_or(0));
            let right = match reading {
                Reading::Value(value) => value.0 > 0,
                Reading::NotMeasured(why) => WHY_NOT.iter().any(|(code, _)| code == why),
            };
            if !known || !right {
                let (what, range) = (
                    "what was measured",
                    "a size above 0 mm, or a reason from our list, for a dimension that the part has",
                );
                return Err(WorkshopError::OutOfRange { what, range });
            }
            Ok(Measured {
                copy: copy.id,
                plate: copy.plate,
                n: *n,
                reading: reading.clone(),
            })
        };
        readings.iter().map(one).collect()
    }
}

/// What was measured, by copy, in the order in which it was.
pub(crate) fn by_copy(
    all: Vec<Measured>,
) -> BTreeMap<partpledge_units::ids::CopyId, Vec<Measured>> {
    let mut out: BTreeMap<_, Vec<Measured>> = BTreeMap::new();
    for one in all {
        out.entry(one.copy).or_default().push(one);
    }
    out
}
