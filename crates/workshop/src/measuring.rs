//! Critical dimensions of a request, and what was measured of them copy by copy.
//!
//! A copy is called good at the bench that made it only when every critical dimension was measured and
//! lies within its limits, or the bench has said why one could not be measured. Nobody measures copies
//! that were recalled because their file was replaced, nor whole boxes that are checked where they went.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use partpledge_quality::dimension::MOST;
use partpledge_records::{Measured, State, StepKind, StoredCopy};
use partpledge_units::ids::RequestId;
use partpledge_words::say;

use crate::books::Books;
use crate::error::WorkshopError;
use crate::intake::JudgedFile;

pub use partpledge_quality::dimension::{LONGEST_WHAT, MOST as MOST_DIMENSIONS, in_mm};
pub use partpledge_quality::grade::prints_hold;
pub use partpledge_quality::{CriticalDimension, NotADimension, Outside, Reading};

/// What was read off one copy, by the number of the dimension: 1, 2, 3 ...
pub type Readings = BTreeMap<u32, Reading>;

/// What was read off copies, by the number of their share and their own within the request.
pub type EachMeasured = BTreeMap<(u64, i64), Readings>;

/// Why a dimension could not be measured, as it is stored.
pub const WHY_NOT: [&str; 4] = ["out-of-reach", "no-tool", "too-soft", "not-on-this-piece"];

/// The same with the words for the bench and the team.
#[must_use]
pub fn why_nots() -> Vec<(&'static str, String)> {
    WHY_NOT.map(|code| (code, why_not(code))).to_vec()
}

/// The words for a reason, by its code.
#[must_use]
pub fn why_not(code: &str) -> String {
    match code {
        "out-of-reach" => say!("send-why-not-out-of-reach"),
        "no-tool" => say!("send-why-not-no-tool"),
        "too-soft" => say!("send-why-not-too-soft"),
        "not-on-this-piece" => say!("send-why-not-not-on-this-piece"),
        _ => say!("send-why-not-unsaid"),
    }
}

/// What keeps a copy from being called good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// A dimension was not measured.
    NotMeasured,
    /// It is outside its limits.
    Outside(Outside),
    /// It was when it was measured last, and nothing was read since.
    WasOutside(Outside),
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
    /// What is wrong with it.
    pub lack: Lack,
}

/// `copy 2: bore for the bearing is 0.12 mm too large`.
impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (copy, what) = (self.copy, &self.what);
        f.write_str(&match &self.lack {
            Lack::NotMeasured => say!("send-fault-not-measured", copy = copy, what = what),
            Lack::Outside(outside) => {
                let outside = outside.to_string();
                say!("send-fault-is", copy = copy, what = what, outside = outside)
            }
            Lack::WasOutside(outside) => {
                let outside = outside.to_string();
                say!(
                    "send-fault-was",
                    copy = copy,
                    what = what,
                    outside = outside
                )
            }
        })
    }
}

/// What has become of a piece that was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// It is good: the copy that the team gets or has.
    Good,
    /// It is held until somebody says that it is good or scrap.
    Held,
    /// It is no good, and nothing is made in its place, or not yet.
    Scrap,
    /// It is scrap or lost; the copy is another piece, from another plate.
    MadeAgain,
}

/// A piece that was measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Number of the copy within its request.
    pub copy: i64,
    /// Number of the plate, or share of one, that it came from.
    pub plate: u64,
    /// What has become of it.
    pub stands: Stands,
    /// What was measured last.
    pub readings: Readings,
    /// Why a size was not measured again when that was asked for, by number of its dimension.
    pub not_again: BTreeMap<u32, String>,
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
        let mut all = self.readings_by_plate(copy);
        all.remove(&copy.plate).unwrap_or_default()
    }

    /// Every piece of a request that was measured, by copy; of those of one copy that which is it last.
    #[must_use]
    pub fn pieces(&self, request: RequestId) -> Vec<Piece> {
        let of_copy = |copy: &StoredCopy| {
            let mut all = self.readings_by_plate(copy);
            let now = all.remove_entry(&copy.plate);
            let all: Vec<_> = all.into_iter().chain(now).collect();
            let piece = |(plate, readings)| Piece {
                copy: copy.number,
                plate,
                stands: self.stands_now(copy, plate),
                readings,
                not_again: self.not_again(copy, plate),
            };
            all.into_iter().map(piece).collect::<Vec<_>>()
        };
        self.copies(request).iter().flat_map(of_copy).collect()
    }

    /// What has become of the piece of a copy that came from a plate.
    fn stands_now(&self, copy: &StoredCopy, plate: u64) -> Stands {
        // Called back before another piece was begun.
        let over = matches!(copy.state, State::Withdrawn | State::Recalled);
        let begun = self.step(copy.plate, StepKind::Started).is_some();
        match copy.state {
            _ if plate != copy.plate && over && !begun => Stands::Scrap,
            _ if plate != copy.plate => Stands::MadeAgain,
            State::Inspected | State::Boxed | State::HandedOver => Stands::Good,
            State::Rework => Stands::Held,
            _ => Stands::Scrap,
        }
    }

    /// What was measured last of each piece of a copy, by number of plate. That it could not be measured
    /// does not take the place of a size that was read.
    fn readings_by_plate(&self, copy: &StoredCopy) -> BTreeMap<u64, Readings> {
        let mut out: BTreeMap<u64, Readings> = BTreeMap::new();
        for one in self.measured.get(&copy.id).into_iter().flatten() {
            let readings = out.entry(one.plate).or_default();
            let excuse = matches!(one.reading, Reading::NotMeasured(_));
            let read = matches!(readings.get(&one.n), Some(Reading::Value(_)));
            if !(excuse && read) {
                readings.insert(one.n, one.reading.clone());
            }
        }
        out
    }

    /// Why sizes that were read of a piece were not measured again; the last word of each.
    fn not_again(&self, copy: &StoredCopy, plate: u64) -> BTreeMap<u32, String> {
        let (mut read, mut out) = (BTreeSet::new(), BTreeMap::new());
        let all = self.measured.get(&copy.id).into_iter().flatten();
        for one in all.filter(|one| one.plate == plate) {
            match &one.reading {
                Reading::Value(_) => {
                    read.insert(one.n);
                    out.remove(&one.n);
                }
                Reading::NotMeasured(why) if read.contains(&one.n) => {
                    out.insert(one.n, why.clone());
                }
                Reading::NotMeasured(_) => {}
            }
        }
        out
    }

    /// How a dimension of a copy as it is now was outside its limits when it was measured last.
    #[must_use]
    pub fn was_outside(&self, request: RequestId, copy: &StoredCopy) -> BTreeMap<u32, Outside> {
        let readings = self.readings(copy);
        let all = (1..).zip(self.dimensions(request));
        let was = |(n, one): (u32, &CriticalDimension)| match readings.get(&n)? {
            Reading::Value(value) => Some((n, one.outside(*value)?)),
            Reading::NotMeasured(_) => None,
        };
        all.filter_map(was).collect()
    }

    /// Why a copy can't be called good with these readings. Once it was outside its limits, only another
    /// size helps: neither a reason why it can't be measured, nor that it need not be.
    pub(crate) fn faults(
        &self,
        (request, share): (RequestId, u64),
        copy: &StoredCopy,
        readings: &Readings,
    ) -> Vec<Fault> {
        let was = self.was_outside(request, copy);
        let all = (1..).zip(self.dimensions(request));
        let fault = |(n, one): (u32, &CriticalDimension)| {
            let lack = match (readings.get(&n), was.get(&n)) {
                (Some(Reading::Value(value)), _) => Lack::Outside(one.outside(*value)?),
                (_, Some(was)) => Lack::WasOutside(*was),
                (Some(Reading::NotMeasured(_)), None) => return None,
                (None, None) => Lack::NotMeasured,
            };
            let (copy, what) = (copy.number, one.what.clone());
            Some(Fault {
                share,
                copy,
                n,
                what,
                lack,
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
                Reading::NotMeasured(why) => WHY_NOT.contains(&why.as_str()),
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
