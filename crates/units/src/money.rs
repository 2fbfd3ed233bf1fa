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
