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
