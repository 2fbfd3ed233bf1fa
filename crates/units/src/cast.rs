//! Number conversions that say what happens at the edges, instead of bare `as`.

/// The nearest `i64` to `value`, saturating at the ends of the range; `None` for NaN.
///
/// ```
/// assert_eq!(partpledge_units::cast::round_i64(2.5), Some(3));
/// assert_eq!(partpledge_units::cast::round_i64(f64::NAN), None);
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "saturation is the documented behaviour"
)]
pub fn round_i64(value: f64) -> Option<i64> {
    (!value.is_nan()).then(|| value.round() as i64)
}

/// The least `i64` not below `value`, saturating; `None` for NaN.
///
/// ```
/// assert_eq!(partpledge_units::cast::ceil_i64(2.1), Some(3));
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "saturation is the documented behaviour"
)]
pub fn ceil_i64(value: f64) -> Option<i64> {
    (!value.is_nan()).then(|| value.ceil() as i64)
}

/// The nearest `usize` to `value`, saturating at 0 and at the top; `None` for NaN.
///
/// ```
/// assert_eq!(partpledge_units::cast::round_usize(-3.0), Some(0));
/// assert_eq!(partpledge_units::cast::round_usize(7.4), Some(7));
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturation is the documented behaviour"
)]
pub fn round_usize(value: f64) -> Option<usize> {
    (!value.is_nan()).then(|| value.round() as usize)
}

/// `value` as `f32`, for the edges that only speak `f32` (nesting engine, STL bytes).
///
/// ```
/// assert!((partpledge_units::cast::to_f32(0.1) - 0.1_f32).abs() < 1e-9);
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "this is the one place that narrows on purpose"
)]
pub fn to_f32(value: f64) -> f32 {
    value as f32
}

/// `value` as `f64`. Exact up to 2^53 in size, which every count and length here stays below.
///
/// ```
/// assert!((partpledge_units::cast::int_f64(3) - 3.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn int_f64(value: i64) -> f64 {
    value as f64
}
