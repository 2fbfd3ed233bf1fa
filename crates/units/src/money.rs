//! Money as whole minor units with an ISO 4217 code. No payments are handled anywhere.

use std::fmt;

/// Three capital letters of ISO 4217, such as `EUR`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

/// Why a currency code or a sum was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// A code must be three capital letters.
    #[error("'{0}' is not a currency code of three capital letters")]
    BadCode(String),
    /// Two sums of different currencies were added.
    #[error("{0} and {1} can't be added")]
    MixedCurrencies(Currency, Currency),
    /// The result does not fit 64 bits.
    #[error("the sum is too large to count")]
    Overflow,
}

impl Currency {
    /// Reads a code such as `EUR`.
    ///
    /// # Errors
    /// [`MoneyError::BadCode`] unless it is three capital ASCII letters.
    pub fn parse(code: &str) -> Result<Self, MoneyError> {
        match code.as_bytes() {
            &[a, b, c] if [a, b, c].iter().all(u8::is_ascii_uppercase) => Ok(Self([a, b, c])),
            _ => Err(MoneyError::BadCode(code.to_owned())),
        }
    }

    /// Digits of its minor unit by list one of ISO 4217 (from memory): 2, but for a few.
    ///
    /// ```
    /// use partpledge_units::money::Currency;
    /// let digits = |code| Currency::parse(code).map(Currency::digits);
    /// assert_eq!((digits("EUR")?, digits("JPY")?, digits("KWD")?), (2, 0, 3));
    /// # Ok::<(), partpledge_units::money::MoneyError>(())
    /// ```
    #[must_use]
    pub fn digits(self) -> u8 {
        match &self.0 {
            b"BIF" | b"CLP" | b"DJF" | b"GNF" | b"ISK" | b"JPY" | b"KMF" | b"KRW" | b"PYG"
            | b"RWF" | b"UGX" | b"UYI" | b"VND" | b"VUV" | b"XAF" | b"XOF" | b"XPF" => 0,
            b"BHD" | b"IQD" | b"JOD" | b"KWD" | b"LYD" | b"OMR" | b"TND" => 3,
            b"CLF" | b"UYW" => 4,
            _ => 2,
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0
            .iter()
            .try_for_each(|&letter| write!(f, "{}", char::from(letter)))
    }
}

/// A sum of money in minor units (cents).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Money {
    /// Minor units; negative for a credit.
    pub minor: i64,
    /// ISO 4217 currency.
    pub currency: Currency,
}

impl Money {
    /// An amount worked out in minor units, rounded to a whole one: once, at the very end.
    ///
    /// # Errors
    /// [`MoneyError::Overflow`] for what is no number or too large.
    ///
    /// ```
    /// use partpledge_units::money::{Currency, Money};
    /// let eur = Currency::parse("EUR")?;
    /// assert_eq!(Money::rounded(754.589_2, eur)?.minor, 755);
    /// # Ok::<(), partpledge_units::money::MoneyError>(())
    /// ```
    pub fn rounded(minor: f64, currency: Currency) -> Result<Self, MoneyError> {
        let minor = crate::cast::round_i64(minor).ok_or(MoneyError::Overflow)?;
        Ok(Self { minor, currency })
    }

    /// In whole units with as many decimals as the currency has, such as `7.55 EUR`.
    ///
    /// `decimals` is how many digits the minor unit is, by ISO 4217: 2 for EUR, 0 for JPY.
    ///
    /// ```
    /// use partpledge_units::money::{Currency, Money};
    /// let money = Money { minor: 705, currency: Currency::parse("EUR")? };
    /// assert_eq!((money.in_words(2), money.in_words(0)), ("7.05 EUR".to_owned(), "705 EUR".to_owned()));
    /// # Ok::<(), partpledge_units::money::MoneyError>(())
    /// ```
    #[must_use]
    pub fn in_words(self, decimals: u8) -> String {
        let sign = if self.minor < 0 { "-" } else { "" };
        let size = self.minor.unsigned_abs();
        let Some(whole) = 10_u64.checked_pow(decimals.into()).filter(|&w| w > 1) else {
            return format!("{sign}{size} {}", self.currency);
        };
        let digits = usize::from(decimals);
        format!(
            "{sign}{}.{:0digits$} {}",
            size / whole,
            size % whole,
            self.currency
        )
    }

    /// The sum of two amounts of one currency.
    ///
    /// # Errors
    /// [`MoneyError::MixedCurrencies`] or [`MoneyError::Overflow`].
    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        if self.currency != other.currency {
            return Err(MoneyError::MixedCurrencies(self.currency, other.currency));
        }
        let minor = self
            .minor
            .checked_add(other.minor)
            .ok_or(MoneyError::Overflow)?;
        Ok(Self { minor, ..self })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_stay_in_one_currency() {
        let eur = Currency::parse("EUR").unwrap();
        let sek = Currency::parse("SEK").unwrap();
        let a = Money {
            minor: 150,
            currency: eur,
        };
        assert_eq!(
            a.plus(Money {
                minor: 50,
                currency: eur
            })
            .unwrap()
            .minor,
            200
        );
        assert_eq!(
            a.plus(Money {
                minor: 1,
                currency: sek
            }),
            Err(MoneyError::MixedCurrencies(eur, sek))
        );
    }

    #[test]
    fn a_code_is_three_capital_letters() {
        for bad in ["eur", "EU", "EURO", "E1R", ""] {
            assert_eq!(
                Currency::parse(bad),
                Err(MoneyError::BadCode(bad.to_owned()))
            );
        }
    }
}
