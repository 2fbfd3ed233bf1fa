//! Lengths that are measured with a caliper and compared exactly: whole micrometres.

use std::fmt;
use std::ops::{Add, Neg, Sub};

/// Most decimals of a millimetre that are read: a thousandth.
const DECIMALS: usize = 3;
/// Most figures before the decimal point.
const FIGURES: usize = 5;

/// A length or a deviation, µm. Whole, so that two databases and two tablets agree on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Micrometres(pub i64);

impl Micrometres {
    /// In millimetres.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1_000.0
    }

    /// Reads millimetres as people write them: with a decimal point or a decimal comma, a sign, and `mm`
    /// after it or not. `None` for anything else, and for more than three decimals: nobody measures those.
    ///
    /// ```
    /// use partpledge_units::micrometre::Micrometres;
    /// assert_eq!(Micrometres::parse_mm("8.05"), Some(Micrometres(8_050)));
    /// assert_eq!(Micrometres::parse_mm(" 8,05 mm "), Some(Micrometres(8_050)));
    /// assert_eq!(Micrometres::parse_mm("−0,1"), Some(Micrometres(-100)));
    /// assert_eq!(Micrometres::parse_mm("1,234.5"), None);
    /// assert_eq!(Micrometres::parse_mm("8.0005"), None);
    /// ```
    #[must_use]
    pub fn parse_mm(text: &str) -> Option<Self> {
        let text = text.trim();
        let text = text.strip_suffix("mm").unwrap_or(text).trim();
        let (sign, text) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (-1, rest),
            None => (1, text.strip_prefix('+').unwrap_or(text)),
        };
        let text = text.trim();
        let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
        let figures = |text: &str| text.bytes().all(|one| one.is_ascii_digit());
        let fits = figures(whole)
            && figures(part)
            && !(whole.is_empty() && part.is_empty())
            && whole.len() <= FIGURES
            && part.len() <= DECIMALS;
        if !fits {
            return None;
        }
        let whole: i64 = format!("0{whole}").parse().ok()?;
        let part: i64 = format!("{part:0<DECIMALS$}").parse().ok()?;
        Some(Self(sign * (whole * 1_000 + part)))
    }
}

/// Millimetres without a unit, with as many decimals as are needed: `8`, `8.05`, `-0.1`.
impl fmt::Display for Micrometres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        let text = format!("{sign}{}.{:03}", size / 1_000, size % 1_000);
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

impl Add for Micrometres {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Micrometres {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Micrometres {
    type Output = Self;

    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again() {
        for um in [-12_345, -100, -1, 0, 1, 50, 8_000, 8_050, 99_999_999] {
            let text = Micrometres(um).to_string();
            assert_eq!(
                Micrometres::parse_mm(&text),
                Some(Micrometres(um)),
                "{text}"
            );
        }
        assert_eq!(Micrometres(8_000).to_string(), "8");
        assert_eq!(Micrometres(-100).to_string(), "-0.1");
        assert_eq!(Micrometres(10_000).to_string(), "10");
    }

    #[test]
    fn what_is_no_length_is_not_read() {
        let no = [
            "", " ", "mm", "-", ".", "8 05", "8.0.5", "eight", "1e3", "123456", "8.0001", "--1",
            "٣",
        ];
        for text in no {
            assert_eq!(Micrometres::parse_mm(text), None, "{text}");
        }
        assert_eq!(Micrometres::parse_mm(",5"), Some(Micrometres(500)));
        assert_eq!(Micrometres::parse_mm("+5."), Some(Micrometres(5_000)));
    }
}
