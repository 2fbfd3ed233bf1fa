//! Chances as tickets say them.

/// Times in ten, rounded down: never more hope than there is.
///
/// ```
/// use partpledge_units::chance::in_ten;
/// assert_eq!((in_ten(0.999), in_ten(0.9), in_ten(0.899)), (9, 9, 8));
/// ```
#[must_use]
pub fn in_ten(probability: f64) -> i64 {
    crate::cast::round_i64((probability * 10.0 + 1e-9).floor()).unwrap_or(0)
}
