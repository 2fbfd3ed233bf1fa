//! Critical dimensions and what was measured of them, and copies looked at one by one.

use std::collections::BTreeSet;

use partpledge_records::ListedRequest;
use partpledge_units::micrometre::Micrometres;
use partpledge_workshop::Books;
use partpledge_workshop::bench::{Act, Each, Found, Settled};
use partpledge_workshop::measuring::{
    CriticalDimension, EachMeasured, MOST_DIMENSIONS, NotADimension, Piece, Reading, Readings,
    Stands, WHY_NOT,
};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::problem::Problem;
use crate::pages::inspect::FAULTS;

/// Codes of what may be wrong with a copy, in the order of [`FAULTS`].
const FAULT_CODES: [&str; FAULTS.len()] = [
    "rough",
    "lifted",
    "layers-apart",
    "hole",
    "broke",
    "wrong-size",
    "other",
];

/// A size that must be right: either `plus_minus_mm`, or `lower_mm` and `upper_mm`. All have three decimals
/// at most.
#[derive(Deserialize, ToSchema)]
#[schema(as = CriticalDimensionIn)]
#[serde(deny_unknown_fields)]
pub(crate) struct CriticalDimensionIn {
    /// What it is, in a few words.
    #[schema(min_length = 1, max_length = 60)]
    what: String,
    #[schema(exclusive_minimum = 0)]
    nominal_mm: f64,
    /// So much more and so much less is accepted; less than half of the size.
    #[schema(exclusive_minimum = 0)]
    plus_minus_mm: Option<f64>,
    /// The lower deviation, mostly below 0; less than half of the size either way.
    lower_mm: Option<f64>,
    /// The upper deviation, above the lower one; less than half of the size either way.
    upper_mm: Option<f64>,
}

/// Whole micrometres; a number with more than three decimals is none.
fn micrometres(mm: f64) -> Option<Micrometres> {
    Micrometres::parse_mm(&mm.to_string())
}

/// The critical dimensions of a form; `None` when it does not speak of them.
pub(crate) fn dimensions_in(text: &str) -> Result<Option<Vec<CriticalDimension>>, Problem> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let range = "a JSON list of at most 5, each with what, nominal_mm and either plus_minus_mm or \
                 lower_mm and upper_mm, with three decimals at most";
    let bad = || Problem::bad("critical_dimensions", range);
    let told: Vec<CriticalDimensionIn> = serde_json::from_str(text).map_err(|_| bad())?;
    let minus = |told: &CriticalDimensionIn| told.plus_minus_mm.is_some_and(|about| about < 0.0);
    if told.iter().any(minus) {
        let range = "a list whose plus_minus_mm are more than 0: they count up and down; for other \
                     limits give lower_mm and upper_mm";
        return Err(Problem::bad("critical_dimensions", range));
    }
    let one = |told: CriticalDimensionIn| {
        let (lower, upper) = match (told.plus_minus_mm, told.lower_mm, told.upper_mm) {
            (Some(about), None, None) => (-about, about),
            (None, Some(lower), Some(upper)) => (lower, upper),
            _ => return None,
        };
        Some(CriticalDimension {
            what: told.what.trim().to_owned(),
            nominal: micrometres(told.nominal_mm)?,
            lower: micrometres(lower)?,
            upper: micrometres(upper)?,
        })
    };
    let all: Option<Vec<CriticalDimension>> = told.into_iter().map(one).collect();
    let all = all
        .filter(|all| all.len() <= MOST_DIMENSIONS)
        .ok_or_else(bad)?;
    // How long the part is, is known once its file is read.
    let looked: Result<(), NotADimension> = all.iter().try_for_each(|one| one.check(f64::INFINITY));
    let refused =
        |why: NotADimension| Problem::bad("critical_dimensions", &format!("such that: {why}"));
    looked.map_err(refused)?;
    Ok(Some(all))
}

/// A size that must be right, measured on each copy.
#[derive(Serialize, ToSchema)]
#[schema(as = CriticalDimension)]
pub(crate) struct CriticalDimensionOut {
    /// 1, 2, 3 ...: by this it is measured.
    #[schema(minimum = 1, maximum = 5)]
    n: u32,
    /// What it is, in the team's words.
    what: String,
    nominal_mm: f64,
    /// Deviations that are accepted.
    lower_mm: f64,
    upper_mm: f64,
    /// What prints usually hold, plus or minus, when less than that is accepted. The chance of a promise does
    /// not count copies that come out outside then.
    tighter_than_mm: Option<f64>,
}

/// The critical dimensions of a request.
pub(crate) fn dimensions_out(all: &[CriticalDimension]) -> Vec<CriticalDimensionOut> {
    let one = |(n, one): (u32, &CriticalDimension)| CriticalDimensionOut {
        n,
        what: one.what.clone(),
        nominal_mm: one.nominal.mm(),
        lower_mm: one.lower.mm(),
        upper_mm: one.upper.mm(),
        tighter_than_mm: one.tighter_than().map(Micrometres::mm),
    };
    (1..).zip(all).map(one).collect()
}

/// What was read of one critical dimension.
#[derive(Serialize, ToSchema)]
#[schema(as = Reading)]
struct ReadingOut {
    /// Which dimension.
    n: u32,
    /// What was measured; nothing when it could not be.
    mm: Option<f64>,
    /// Beyond the nearer limit by this: more than 0 too large, less than 0 too small.
    outside_mm: Option<f64>,
    /// Why it could not be measured: `out-of-reach`, `no-tool`, `too-soft` or `not-on-this-piece`.
    not_measured: Option<String>,
    /// Why it could not be measured when that was asked for once more, as after a recall; `mm` is what was
    /// read before. One of the words of `not_measured`.
    not_measured_again: Option<String>,
}

/// What has become of a piece.
#[derive(Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[schema(as = Stands)]
#[serde(rename_all = "kebab-case")]
enum StandsOut {
    /// It is good.
    Good,
    /// It is held until somebody says that it is good or scrap.
    Held,
    /// It is no good, and nothing is made in its place, or not yet.
    Scrap,
    /// It is scrap or lost, and the copy is another piece.
    MadeAgain,
}

impl From<Stands> for StandsOut {
    fn from(stands: Stands) -> Self {
        match stands {
            Stands::Good => Self::Good,
            Stands::Held => Self::Held,
            Stands::Scrap => Self::Scrap,
            Stands::MadeAgain => Self::MadeAgain,
        }
    }
}

/// What was measured on one piece.
#[derive(Serialize, ToSchema)]
#[schema(as = Piece)]
pub(crate) struct PieceOut {
    /// Number of the copy.
    copy: i64,
    /// The plate, or share of one, that it came from.
    plate: u64,
    /// Whether this very piece is good, and is the copy that the team gets or has: `stands` is `good`.
    used: bool,
    /// What has become of it.
    stands: StandsOut,
    measured: Vec<ReadingOut>,
}

fn readings_out(dimensions: &[CriticalDimension], piece: &Piece) -> Vec<ReadingOut> {
    let one = |(n, reading): (&u32, &Reading)| {
        let place = usize::try_from(*n).ok().and_then(|n| n.checked_sub(1));
        let dimension = place.and_then(|place| dimensions.get(place));
        let (value, not) = match reading {
            Reading::Value(value) => (Some(*value), None),
            Reading::NotMeasured(why) => (None, Some(why.clone())),
        };
        let outside = dimension
            .zip(value)
            .and_then(|(one, value)| one.outside(value));
        let signed = outside.map(|outside| {
            if outside.over {
                outside.by
            } else {
                -outside.by
            }
        });
        ReadingOut {
            n: *n,
            mm: value.map(Micrometres::mm),
            outside_mm: signed.map(Micrometres::mm),
            not_measured: not,
            not_measured_again: piece.not_again.get(n).cloned(),
        }
    };
    piece.readings.iter().map(one).collect()
}

/// Every piece of a request that was measured, by copy; of those of one copy that which is it last.
pub(crate) fn pieces(books: &Books, listed: &ListedRequest) -> Vec<PieceOut> {
    let dimensions = books.dimensions(listed.request.id);
    let all = books.pieces(listed.request.id).into_iter();
    let piece = |piece: Piece| PieceOut {
        copy: piece.copy,
        plate: piece.plate,
        used: piece.stands == Stands::Good,
        stands: piece.stands.into(),
        measured: readings_out(dimensions, &piece),
    };
    all.map(piece).collect()
}

/// One copy, looked at.
#[derive(Deserialize, ToSchema)]
#[schema(as = CopyFound)]
#[serde(deny_unknown_fields)]
pub(crate) struct CopyIn {
    /// Number of its share of the plate; that of `plate` when not said. For `settle` it is `plate`.
    share: Option<u64>,
    /// Its number within the request.
    copy: i64,
    found: FoundIn,
    /// What is wrong with it, if it is not good: `rough`, `lifted`, `layers-apart`, `hole`, `broke`,
    /// `wrong-size` or `other`.
    why: Option<String>,
    /// What was measured of its critical dimensions.
    #[serde(default)]
    measured: Vec<ReadingIn>,
}

/// What was found of a copy.
#[derive(Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
enum FoundIn {
    /// It can go in its box.
    Good,
    /// It is held until it is good or scrap.
    Rework,
    /// It is made again.
    Scrap,
}

/// What was read of one critical dimension.
#[derive(Deserialize, ToSchema)]
#[schema(as = Measured)]
#[serde(deny_unknown_fields)]
struct ReadingIn {
    /// Which dimension.
    #[schema(minimum = 1, maximum = 5)]
    n: u32,
    /// What was measured, mm, with three decimals at most.
    mm: Option<f64>,
    /// Why it could not be measured, if it could not: `out-of-reach`, `no-tool`, `too-soft` or
    /// `not-on-this-piece`.
    not_measured: Option<String>,
}

impl CopyIn {
    fn found(&self) -> Result<Found, Problem> {
        let why = || {
            let told = self.why.as_deref().unwrap_or("other");
            let at = FAULT_CODES.iter().position(|code| *code == told);
            let range = FAULT_CODES.join(", ");
            at.map(|at| FAULTS[at].to_owned())
                .ok_or_else(|| Problem::bad("why", &format!("one of {range}")))
        };
        Ok(match self.found {
            FoundIn::Good => Found::Good,
            FoundIn::Rework => Found::Rework(why()?),
            FoundIn::Scrap => Found::Scrap(why()?),
        })
    }

    fn readings(&self) -> Result<Readings, Problem> {
        let named: BTreeSet<_> = self.measured.iter().map(|told| told.n).collect();
        if named.len() < self.measured.len() {
            return Err(Problem::bad("measured", "one reading for each size"));
        }
        let one = |told: &ReadingIn| {
            let size = told.mm.map(micrometres);
            let reading = match (size, &told.not_measured) {
                (Some(Some(size)), None) if size.0 > 0 => Reading::Value(size),
                (None, Some(why)) if WHY_NOT.contains(&why.as_str()) => {
                    Reading::NotMeasured(why.clone())
                }
                _ => {
                    let range = "either a size in mm above 0 with three decimals at most, or a reason \
                                 why it could not be measured";
                    return Err(Problem::bad("measured", range));
                }
            };
            Ok((told.n, reading))
        };
        self.measured.iter().map(one).collect()
    }
}

/// A plate off the bed, copy by copy.
pub(crate) fn inspected(plate: u64, copies: &[CopyIn]) -> Result<Act, Problem> {
    let (mut each, mut measured) = (Each::new(), EachMeasured::new());
    for copy in copies {
        let which = (copy.share.unwrap_or(plate), copy.copy);
        if each.insert(which, copy.found()?).is_some() {
            return Err(Problem::bad("copies", "a list that has each copy once"));
        }
        measured.insert(which, copy.readings()?);
    }
    Ok(Act::Inspect { each, measured })
}

/// A copy of a share that was held or recalled.
pub(crate) fn settled(share: u64, copies: &[CopyIn], about: &str) -> Result<Act, Problem> {
    let [copy] = copies else {
        return Err(Problem::bad(
            "copies",
            "the one copy that was held or recalled",
        ));
    };
    if copy.share.is_some_and(|told| told != share) {
        let range = "that of plate, which is the share of the copy";
        return Err(Problem::bad("share", range));
    }
    Ok(Act::Settle(Settled {
        copy: copy.copy,
        found: copy.found()?,
        about: about.to_owned(),
        measured: copy.readings()?,
    }))
}
