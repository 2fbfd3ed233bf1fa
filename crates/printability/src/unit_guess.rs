//! How long is one? Guesses the unit of files that do not say.

use partpledge_units::length::LengthUnit;

/// Where the unit that is used came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSource {
    /// The file declares it.
    File,
    /// The caller said so.
    Option,
    /// Guessed from the size.
    Guess,
}

impl UnitSource {
    /// The word that the outside sees: `file`, `option` or `guess`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::File => "file",
            Self::Option => "option",
            Self::Guess => "guess",
        }
    }
}

/// The unit taken, the unit guessed, and how sure the guess is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitJudgement {
    /// The unit that all sizes were converted from.
    pub used: LengthUnit,
    /// What the size alone suggests.
    pub guessed: LengthUnit,
    /// How sure the *used* unit is, 0 to 1: 1 when the file or the caller said it.
    pub confidence: f64,
    /// Where the used unit came from.
    pub source: UnitSource,
}

impl UnitJudgement {
    /// The same judgement when the caller says what the unit is.
    ///
    /// ```
    /// use partpledge_printability::{UnitSource, guess_unit};
    /// use partpledge_units::length::LengthUnit;
    /// let said = guess_unit([0.1, 0.1, 0.02], None, 250.0).overruled(LengthUnit::Inch);
    /// assert_eq!((said.used, said.guessed), (LengthUnit::Inch, LengthUnit::Metre));
    /// assert_eq!(said.source, UnitSource::Option);
    /// ```
    #[must_use]
    pub fn overruled(self, by: LengthUnit) -> Self {
        Self {
            used: by,
            confidence: 1.0,
            source: UnitSource::Option,
            ..self
        }
    }
}

/// Grid that people draw on in millimetres, mm; and in inches, in inches.
const GRID_MM: f64 = 0.05;
const GRIDS_IN: [f64; 2] = [1.0 / 64.0, 0.005];
/// A coordinate this near to a line of the grid lies on it, as a share of the grid.
const ON_GRID: f64 = 0.03;
/// The least share of coordinates on a grid that says anything, and how many times the share of
/// every other unit it must be.
const TELLING: f64 = 0.3;
const TIMES: f64 = 3.0;
/// Fewer coordinates say nothing.
const FEWEST: usize = 24;
/// Sureness of a guess that the grid confirms, and of one that the grid alone suggests.
const CONFIRMED: f64 = 0.92;
const BY_GRID: f64 = 0.7;
/// Hardly any part is smaller, mm.
const LEAST_PART_MM: f64 = 5.0;

impl UnitJudgement {
    /// The same judgement with a look at how round the coordinates are: people draw on a grid of
    /// tenths of a millimetre or of fractions of an inch, and in the wrong unit hardly a corner
    /// lies on one.
    ///
    /// A guess that the grid confirms, and no other unit, becomes sure. Where the grid speaks for
    /// another unit that makes a part of printable size, that unit is taken, and asked about.
    /// Units that were declared or said stay.
    ///
    /// # Units
    /// `corners` in the file's unit; `largest_bed_mm` in mm.
    /// # Source
    /// Derived here; the levels are judgements.
    ///
    /// ```
    /// use partpledge_printability::guess_unit;
    /// use partpledge_units::length::LengthUnit;
    /// // A part drawn in whole millimetres and exported in inches, 7.9 inches long.
    /// let corners: Vec<[f64; 3]> = (0..40)
    ///     .map(|i| [5.0 * f64::from(i) / 25.4, f64::from(i % 7) * 3.0 / 25.4, f64::from(i % 3) / 25.4])
    ///     .collect();
    /// let by_size = guess_unit([7.68, 0.7, 0.08], None, 250.0);
    /// assert_eq!(by_size.used, LengthUnit::Millimetre);
    /// assert_eq!(by_size.looking_at(&corners, 250.0).used, LengthUnit::Inch);
    /// ```
    #[must_use]
    pub fn looking_at(self, corners: &[[f64; 3]], largest_bed_mm: f64) -> Self {
        if self.source != UnitSource::Guess || 3 * corners.len() < FEWEST {
            return self;
        }
        let (low, high) = corners.iter().fold(
            ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]),
            |(low, high), p| {
                (
                    std::array::from_fn(|k| f64::min(low[k], p[k])),
                    std::array::from_fn(|k| f64::max(high[k], p[k])),
                )
            },
        );
        let longest = (0..3).map(|k| high[k] - low[k]).fold(0.0, f64::max);
        let shares = CANDIDATES.map(|unit| (unit, roundness(corners, low, unit.mm())));
        let of = |unit: LengthUnit| {
            let own = shares.iter().find(|(of, _)| *of == unit);
            own.map_or(0.0, |(_, share)| *share)
        };
        let clear = |unit: LengthUnit| {
            let others = shares.iter().filter(|(of, _)| *of != unit);
            let most = others.map(|(_, share)| *share).fold(0.0, f64::max);
            of(unit) >= TELLING && of(unit) >= TIMES * most
        };
        if clear(self.guessed) {
            return Self {
                confidence: self.confidence.max(CONFIRMED),
                ..self
            };
        }
        let fits = |unit: LengthUnit| {
            let long_mm = longest * unit.mm();
            (LEAST_PART_MM..=largest_bed_mm).contains(&long_mm)
        };
        match CANDIDATES
            .into_iter()
            .find(|&unit| clear(unit) && fits(unit))
        {
            Some(unit) => Self {
                used: unit,
                guessed: unit,
                confidence: BY_GRID,
                ..self
            },
            None => self,
        }
    }
}

const CANDIDATES: [LengthUnit; 4] = [
    LengthUnit::Millimetre,
    LengthUnit::Centimetre,
    LengthUnit::Inch,
    LengthUnit::Metre,
];

/// The largest share of coordinates on a grid that people draw on, from the file's origin or from
/// the part's corner, if one in the file is `mm_per_unit` long.
fn roundness(corners: &[[f64; 3]], low: [f64; 3], mm_per_unit: f64) -> f64 {
    let grids = [GRID_MM, GRIDS_IN[0] * 25.4, GRIDS_IN[1] * 25.4];
    // What is drawn in inches is hardly written in metres or centimetres.
    let inches = [1.0, 25.4]
        .iter()
        .any(|unit| (unit - mm_per_unit).abs() < 1e-9);
    let grids = if inches { &grids[..] } else { &grids[..1] };
    let starts = [[0.0; 3], low];
    let share = |grid: f64, start: [f64; 3]| {
        let on = corners.iter().flat_map(|p| (0..3).map(|k| p[k] - start[k]));
        // Zero is on every grid and says nothing.
        let telling = on.filter(|x| x.abs() * mm_per_unit > ON_GRID * grid);
        let (mut all, mut round) = (0_usize, 0_usize);
        for x in telling {
            let steps = x * mm_per_unit / grid;
            all += 1;
            round += usize::from((steps - steps.round()).abs() <= ON_GRID);
        }
        round as f64 / all.max(1) as f64
    };
    grids
        .iter()
        .flat_map(|&grid| starts.map(|start| share(grid, start)))
        .fold(0.0, f64::max)
}

/// Guesses the unit from the largest extent; a declared unit is used as it is.
///
/// | largest extent, in the file's unit | guess | confidence |
/// |---|---|---|
/// | under 0.002 | metre (a part under 2 mm) | 0.4 |
/// | 0.002 up to the largest bed in metres | metre | 0.85 |
/// | from there to 1 | metre (inch is possible too) | 0.6 |
/// | 1 up to 4 | inch (25 to 100 mm; 1 to 4 mm is hardly a part) | 0.6 |
/// | 4 up to 12 | millimetre (inch is possible too) | 0.6 |
/// | 12 up to the largest bed | millimetre | 0.95 |
/// | up to ten beds | millimetre | 0.7 |
/// | more | millimetre | 0.3 |
///
/// The confidences are judgements, not frequencies.
///
/// # Units
/// `raw_size` in the file's unit, `largest_bed_mm` in mm.
/// # Source
/// Common practice, no source. Of 216 robot meshes whose description files state metres, 197
/// are under 0.3, 15 under 1; 4 are larger and guessed wrong, which is why such guesses stay
/// under the level at which a warning is raised.
///
/// ```
/// use partpledge_printability::guess_unit;
/// use partpledge_units::length::LengthUnit;
/// assert_eq!(guess_unit([60.0, 40.0, 12.0], None, 250.0).used, LengthUnit::Millimetre);
/// assert_eq!(guess_unit([0.06, 0.04, 0.01], None, 250.0).used, LengthUnit::Metre);
/// assert_eq!(guess_unit([2.5, 1.5, 0.25], None, 250.0).used, LengthUnit::Inch);
/// ```
#[must_use]
pub fn guess_unit(
    raw_size: [f64; 3],
    declared: Option<LengthUnit>,
    largest_bed_mm: f64,
) -> UnitJudgement {
    use LengthUnit::{Inch, Metre, Millimetre};
    let largest = raw_size.into_iter().fold(0.0, f64::max);
    let (guessed, confidence) = match largest {
        x if x < 0.002 => (Metre, 0.4),
        x if x < 1.0 && x * 1000.0 <= largest_bed_mm => (Metre, 0.85),
        x if x < 1.0 => (Metre, 0.6),
        x if x < 4.0 => (Inch, 0.6),
        x if x < 12.0 => (Millimetre, 0.6),
        x if x <= largest_bed_mm => (Millimetre, 0.95),
        x if x <= 10.0 * largest_bed_mm => (Millimetre, 0.7),
        _ => (Millimetre, 0.3),
    };
    match declared {
        Some(used) => UnitJudgement {
            used,
            guessed,
            confidence: 1.0,
            source: UnitSource::File,
        },
        None => UnitJudgement {
            used: guessed,
            guessed,
            confidence,
            source: UnitSource::Guess,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guess(largest: f64) -> (LengthUnit, f64) {
        let judged = guess_unit([largest, largest / 2.0, largest / 3.0], None, 250.0);
        (judged.used, judged.confidence)
    }

    #[test]
    fn each_row_of_the_table_is_taken() {
        use LengthUnit::{Inch, Metre, Millimetre};
        let units: Vec<LengthUnit> = [0.001, 0.1, 0.5, 2.5, 5.0, 80.0, 900.0, 9e4]
            .map(|x| guess(x).0)
            .to_vec();
        let expected = [
            Metre, Metre, Metre, Inch, Millimetre, Millimetre, Millimetre, Millimetre,
        ];
        assert_eq!(units, expected);
    }

    #[test]
    fn only_sizes_that_fit_a_bed_are_sure() {
        assert!(guess(80.0).1 > 0.9 && guess(0.1).1 > 0.8);
        assert!(
            [0.001, 0.5, 2.5, 5.0, 900.0, 9e4]
                .iter()
                .all(|&x| guess(x).1 < 0.8)
        );
    }

    /// Corners of a plate with bosses, drawn on a grid in mm, as a file in another unit has them.
    fn drawn(unit: LengthUnit, longest_mm: f64) -> Vec<[f64; 3]> {
        let step = longest_mm / 40.0;
        let on_grid = |x: f64| (x / GRID_MM).round() * GRID_MM;
        (0..=40)
            .map(|i| {
                let at = on_grid(f64::from(i) * step);
                [at, on_grid(at / 3.0 + 1.0), on_grid(4.0 + f64::from(i % 5))]
                    .map(|x| f64::from(partpledge_units::cast::to_f32(x / unit.mm())))
            })
            .collect()
    }

    #[test]
    fn the_grid_tells_the_unit_where_the_size_does_not() {
        use LengthUnit::{Inch, Metre, Millimetre};
        for (unit, longest_mm) in [
            (Inch, 180.0),
            (Inch, 23.0),
            (Metre, 120.0),
            (Millimetre, 8.0),
        ] {
            let corners = drawn(unit, longest_mm);
            let size = longest_mm / unit.mm();
            let judged = guess_unit([size; 3], None, 250.0).looking_at(&corners, 250.0);
            assert_eq!(judged.used, unit, "{longest_mm}: {judged:?}");
        }
    }

    #[test]
    fn corners_on_no_grid_change_nothing() {
        let corners: Vec<[f64; 3]> = (0..200)
            .map(|i| {
                let a = f64::from(i) * 0.618_034;
                [50.0 * a.cos(), 50.0 * a.sin(), (7.3 * a).fract()]
            })
            .collect();
        let by_size = guess_unit([100.0, 100.0, 1.0], None, 250.0);
        assert_eq!(by_size.looking_at(&corners, 250.0), by_size);
    }

    #[test]
    fn a_declared_unit_is_used_whatever_the_size() {
        let judged = guess_unit([2.5, 1.0, 1.0], Some(LengthUnit::Millimetre), 250.0);
        assert_eq!(
            (judged.used, judged.guessed),
            (LengthUnit::Millimetre, LengthUnit::Inch)
        );
        assert_eq!(judged.source.word(), "file");
    }
}
