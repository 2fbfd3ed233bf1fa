//! What goes into a message: names, numbers, other messages.

use std::borrow::Cow;

use fluent_bundle::FluentValue;
use fluent_bundle::types::FluentNumber;
use serde::{Deserialize, Serialize};

use crate::dates::Moment;
use crate::said::Said;
use crate::tongue::Tongue;

/// Something that goes into a message.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    /// A name, or what somebody wrote: the same in every tongue.
    Text(String),
    /// What somebody wrote, in the middle of a sentence: begins small where the tongue does so.
    Clause(String),
    /// A count: chooses plurals.
    Whole(i64),
    /// A count with marks between thousands: chooses plurals.
    Grouped(i64),
    /// A measured number.
    Decimal {
        /// The number.
        value: f64,
        /// Figures behind the point.
        digits: u8,
        /// Whether noughts at the end are left away.
        trimmed: bool,
    },
    /// A day or a time of it.
    Moment(Moment),
    /// Another message.
    Said(Box<Said>),
}

/// `value` with so many figures behind the point, or the comma.
#[must_use]
pub fn decimal(value: f64, digits: u8) -> Value {
    measured(value, digits, false)
}

/// The same without noughts at the end: `4.06`, `12`.
#[must_use]
pub fn short(value: f64, digits: u8) -> Value {
    measured(value, digits, true)
}

/// What is no number can't be kept as one (JSON has none): it is said as such.
fn measured(value: f64, digits: u8, trimmed: bool) -> Value {
    if !value.is_finite() {
        return Value::Text("–".to_owned());
    }
    Value::Decimal {
        value,
        digits,
        trimmed,
    }
}

/// `text` in the middle of a sentence: `Snow` becomes `snow`, but in German, where nouns stay large.
#[must_use]
pub fn clause(text: &str) -> Value {
    Value::Clause(text.to_owned())
}

/// `1,234,567`, in German `1.234.567`.
#[must_use]
pub fn grouped(count: usize) -> Value {
    Value::Grouped(i64::try_from(count).unwrap_or(i64::MAX))
}

impl Value {
    /// Its text in `tongue`; other messages in it by `inner`.
    pub(crate) fn text(&self, tongue: Tongue) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Clause(text) if tongue == Tongue::German => text.clone(),
            Self::Clause(text) => first_small(text),
            Self::Whole(n) => n.to_string(),
            Self::Grouped(n) => with_marks(*n, tongue),
            Self::Decimal {
                value,
                digits,
                trimmed,
            } => with_point(*value, usize::from(*digits), *trimmed, tongue),
            Self::Moment(moment) => moment.text(tongue),
            Self::Said(said) => said.in_tongue(tongue),
        }
    }

    /// As messages take it: whole numbers as numbers, for their plurals; `as_text` made from the rest.
    pub(crate) fn fluent(&self, as_text: impl FnOnce(&Self) -> String) -> FluentValue<'static> {
        match self {
            Self::Whole(n) => number(*n).unwrap_or_else(|| written(n.to_string())),
            Self::Grouped(n) if n.abs() < 1_000 => {
                number(*n).unwrap_or_else(|| written(n.to_string()))
            }
            other => written(as_text(other)),
        }
    }
}

fn written(text: String) -> FluentValue<'static> {
    FluentValue::String(Cow::Owned(text))
}

/// A number that chooses plurals; `None` where it would not be written to the last figure.
fn number(n: i64) -> Option<FluentValue<'static>> {
    const EXACT: i64 = 1 << 53;
    let exact = (-EXACT..=EXACT).contains(&n);
    exact.then(|| FluentValue::Number(FluentNumber::from(n as f64)))
}

/// In the tongue that is spoken.
impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.text(Tongue::spoken()))
    }
}

fn first_small(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(chars).collect()
}

fn with_marks(n: i64, tongue: Tongue) -> String {
    let mark = if tongue == Tongue::German { '.' } else { ',' };
    let digits = n.unsigned_abs().to_string();
    let mut text = String::new();
    if n < 0 {
        text.push('-');
    }
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(mark);
        }
        text.push(digit);
    }
    text
}

fn with_point(value: f64, digits: usize, trimmed: bool, tongue: Tongue) -> String {
    let mut text = format!("{value:.digits$}");
    if trimmed && text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    if tongue == Tongue::German {
        text = text.replace('.', ",");
    }
    text
}

/// What can go into a message.
pub trait ToValue {
    /// As a value.
    fn to_value(&self) -> Value;
}

impl<T: ToValue + ?Sized> ToValue for &T {
    fn to_value(&self) -> Value {
        (**self).to_value()
    }
}

impl ToValue for str {
    fn to_value(&self) -> Value {
        Value::Text(self.to_owned())
    }
}

impl ToValue for String {
    fn to_value(&self) -> Value {
        Value::Text(self.clone())
    }
}

impl ToValue for Cow<'_, str> {
    fn to_value(&self) -> Value {
        Value::Text(self.as_ref().to_owned())
    }
}

impl ToValue for Value {
    fn to_value(&self) -> Value {
        self.clone()
    }
}

impl ToValue for Said {
    fn to_value(&self) -> Value {
        Value::Said(Box::new(self.clone()))
    }
}

macro_rules! whole {
    ($($kind:ty),+) => {
        $(impl ToValue for $kind {
            fn to_value(&self) -> Value {
                Value::Whole(i64::try_from(*self).unwrap_or(i64::MAX))
            }
        })+
    };
}

whole!(u8, u16, u32, u64, usize, i32, i64, isize);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_as_each_tongue_writes_them() {
        let of = |value: &Value| (value.text(Tongue::English), value.text(Tongue::German));
        let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
        assert_eq!(of(&grouped(1_234_567)), pair("1,234,567", "1.234.567"));
        assert_eq!(of(&decimal(2.5, 2)), pair("2.50", "2,50"));
        assert_eq!(of(&short(2.5, 2)), pair("2.5", "2,5"));
        assert_eq!(of(&short(100.0, 0)), pair("100", "100"));
        assert_eq!(of(&short(10.0, 1)), pair("10", "10"));
        assert_eq!(of(&decimal(f64::NAN, 1)), pair("–", "–"));
        assert_eq!(of(&clause("Snow")), pair("snow", "Snow"));
        let long = crate::say("numbers-copies").with("n", i64::MAX);
        assert_eq!(
            long.in_tongue(Tongue::English),
            "9223372036854775807 copies"
        );
    }
}
