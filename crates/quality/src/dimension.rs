//! Critical dimensions: the sizes of a part that must be right for it to do its job, and what was
//! measured of them.

use partpledge_units::micrometre::Micrometres;
use partpledge_words::{Value, say, short};

use crate::grade::prints_hold;

/// Most critical dimensions of a request: each is measured on each copy.
pub const MOST: usize = 5;
/// Longest name of one, in characters.
pub const LONGEST_WHAT: usize = 60;

/// The largest size that is good may be longer than the part by this share of it: the length of a slender
/// pin is nearly the diagonal of its box, and may come out longer. Common practice, no source.
const LONGER: f64 = 0.1;

/// A size that must be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CriticalDimension {
    /// What it is, in plain words.
    pub what: String,
    /// The size as drawn.
    pub nominal: Micrometres,
    /// The least deviation from it that is accepted; mostly negative.
    pub lower: Micrometres,
    /// The most.
    pub upper: Micrometres,
}

/// How a measured value lies outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outside {
    /// Beyond the nearer limit by this.
    pub by: Micrometres,
    /// Whether it is too large; else too small.
    pub over: bool,
}

/// What was read off one copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reading {
    /// This size.
    Value(Micrometres),
    /// It could not be measured; why, as a code of the bench's list.
    NotMeasured(String),
}

/// Why something is no critical dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotADimension {
    /// Nothing says what it is.
    #[error("{}", say!("send-dimension-no-words"))]
    NoWords,
    /// More than [`LONGEST_WHAT`] characters, or not on one line.
    #[error("{}", say!("send-dimension-long-words", most = LONGEST_WHAT))]
    LongWords,
    /// A size that is none.
    #[error("{}", say!("send-dimension-not-positive"))]
    NotPositive,
    /// A deviation of half the size or more: mostly a limit typed in its place.
    #[error("{}", say!("send-dimension-too-far"))]
    TooFar,
    /// The lower deviation is above the upper.
    #[error("{}", say!("send-dimension-swapped"))]
    Swapped,
    /// Nothing but one exact value is accepted.
    #[error("{}", say!("send-dimension-no-width"))]
    NoWidth,
    /// Nothing of the part is that long.
    #[error("{}", say!("send-dimension-too-long"))]
    TooLong,
    /// No print of the part would be as long as what is still accepted.
    #[error("{}", say!("send-dimension-upper-too-long"))]
    UpperTooLong,
    /// More than [`MOST`].
    #[error("{}", say!("send-dimension-too-many", most = MOST))]
    TooMany,
}

/// A length in millimetres as people read it: `8.05`, in German `8,05`.
#[must_use]
pub fn in_mm(size: Micrometres) -> Value {
    short(size.mm(), 3)
}

impl CriticalDimension {
    /// The smallest size that is good.
    #[must_use]
    pub fn least(&self) -> Micrometres {
        self.nominal + self.lower
    }

    /// The largest size that is good.
    #[must_use]
    pub fn most(&self) -> Micrometres {
        self.nominal + self.upper
    }

    /// The limits in words: `from 7.95 to 8.05 mm`.
    #[must_use]
    pub fn limits(&self) -> String {
        let (least, most) = (in_mm(self.least()), in_mm(self.most()));
        say!("send-dimension-limits", least = least, most = most)
    }

    /// How a measured value lies outside the limits; `None` when it is on or between them.
    ///
    /// ```
    /// use partpledge_quality::dimension::{CriticalDimension, Outside};
    /// use partpledge_units::micrometre::Micrometres;
    /// let bore = CriticalDimension {
    ///     what: "bore for the bearing".to_owned(),
    ///     nominal: Micrometres(8_000),
    ///     lower: Micrometres(0),
    ///     upper: Micrometres(100),
    /// };
    /// assert_eq!(bore.outside(Micrometres(8_100)), None);
    /// let by = Micrometres(120);
    /// assert_eq!(bore.outside(Micrometres(8_220)), Some(Outside { by, over: true }));
    /// ```
    #[must_use]
    pub fn outside(&self, measured: Micrometres) -> Option<Outside> {
        if measured > self.most() {
            let by = measured - self.most();
            return Some(Outside { by, over: true });
        }
        let by = self.least() - measured;
        (by > Micrometres(0)).then_some(Outside { by, over: false })
    }

    /// Half the width that prints usually hold at this size, when fewer deviations than that are
    /// accepted; `None` when prints usually hold it, or nobody can say.
    #[must_use]
    pub fn tighter_than(&self) -> Option<Micrometres> {
        let usual = prints_hold(self.nominal)?;
        (self.upper - self.lower < usual + usual).then_some(usual)
    }

    /// Looks that it can be one of a part whose longest diagonal is `longest_mm`.
    ///
    /// # Errors
    /// [`NotADimension`], the first that is found.
    pub fn check(&self, longest_mm: f64) -> Result<(), NotADimension> {
        let what = self.what.trim();
        if what.is_empty() {
            return Err(NotADimension::NoWords);
        }
        if what.chars().count() > LONGEST_WHAT || what.chars().any(char::is_control) {
            return Err(NotADimension::LongWords);
        }
        if self.nominal <= Micrometres(0) {
            return Err(NotADimension::NotPositive);
        }
        // With less than half of it the smallest size that is good is above 0, too.
        let far = |deviation: Micrometres| {
            deviation.0.saturating_abs().saturating_mul(2) >= self.nominal.0
        };
        if far(self.lower) || far(self.upper) {
            return Err(NotADimension::TooFar);
        }
        if self.lower > self.upper {
            return Err(NotADimension::Swapped);
        }
        if self.lower == self.upper {
            return Err(NotADimension::NoWidth);
        }
        if self.nominal.mm() > longest_mm {
            return Err(NotADimension::TooLong);
        }
        if self.most().mm() > longest_mm * (1.0 + LONGER) {
            return Err(NotADimension::UpperTooLong);
        }
        Ok(())
    }
}

/// `0.12 mm too large`.
impl std::fmt::Display for Outside {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let by = in_mm(self.by);
        f.write_str(&if self.over {
            say!("send-dimension-over", by = by)
        } else {
            say!("send-dimension-under", by = by)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bore(lower: i64, upper: i64) -> CriticalDimension {
        CriticalDimension {
            what: "bore for the bearing".to_owned(),
            nominal: Micrometres(8_000),
            lower: Micrometres(lower),
            upper: Micrometres(upper),
        }
    }

    #[test]
    fn limits_themselves_are_good_and_what_is_beyond_is_told_by_how_much() {
        let bore = bore(-50, 100);
        for good in [7_950, 8_000, 8_100] {
            assert_eq!(bore.outside(Micrometres(good)), None, "{good}");
        }
        let said = |um| bore.outside(Micrometres(um)).unwrap().to_string();
        assert_eq!(said(8_220), "0.12 mm too large");
        assert_eq!(said(7_949), "0.001 mm too small");
        assert_eq!(bore.limits(), "from 7.95 to 8.1 mm");
    }

    #[test]
    fn what_can_be_no_critical_dimension_is_refused() {
        type Change = fn(&mut CriticalDimension);
        let told = |change: Change| {
            let mut one = bore(-50, 100);
            change(&mut one);
            one.check(40.0)
        };
        assert_eq!(told(|_| {}), Ok(()));
        // The length of a slender pin: prints hold it no better than this.
        let pin: Change = |one| {
            (one.nominal, one.lower) = (Micrometres(40_000), Micrometres(-300));
            one.upper = Micrometres(300);
        };
        assert_eq!(told(pin), Ok(()));
        assert_eq!(told(|one| one.lower = Micrometres(-3_999)), Ok(()));
        let refused: [(Change, NotADimension); 13] = [
            (|one| one.what = " ".to_owned(), NotADimension::NoWords),
            (|one| one.what = "x".repeat(61), NotADimension::LongWords),
            (|one| one.what = "a\nb".to_owned(), NotADimension::LongWords),
            (|one| one.lower = Micrometres(200), NotADimension::Swapped),
            (|one| one.lower = Micrometres(100), NotADimension::NoWidth),
            (
                |one| one.nominal = Micrometres(-1),
                NotADimension::NotPositive,
            ),
            (
                |one| one.nominal = Micrometres(0),
                NotADimension::NotPositive,
            ),
            (|one| one.lower = Micrometres(-8_000), NotADimension::TooFar),
            (|one| one.lower = Micrometres(-4_000), NotADimension::TooFar),
            (|one| one.upper = Micrometres(4_000), NotADimension::TooFar),
            // Limits in the place of deviations.
            (
                |one| (one.lower, one.upper) = (Micrometres(7_950), Micrometres(8_050)),
                NotADimension::TooFar,
            ),
            (
                |one| (one.nominal, one.upper) = (Micrometres(30_000), Micrometres(14_001)),
                NotADimension::UpperTooLong,
            ),
            (
                |one| one.nominal = Micrometres(40_001),
                NotADimension::TooLong,
            ),
        ];
        for (change, why) in refused {
            assert_eq!(told(change), Err(why));
        }
    }

    #[test]
    fn only_a_tolerance_that_prints_seldom_hold_is_hinted_at() {
        // IT13 at 8 mm is 220 µm wide, from memory.
        assert_eq!(bore(-50, 50).tighter_than(), Some(Micrometres(110)));
        assert_eq!(bore(0, 219).tighter_than(), Some(Micrometres(110)));
        assert_eq!(bore(-110, 110).tighter_than(), None);
    }
}
