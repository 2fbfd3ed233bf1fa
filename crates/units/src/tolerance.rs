//! Comparing floats by a named tolerance; `==` on floats is denied everywhere else.

/// Whether `a` and `b` differ by at most `absolute`, or by at most `relative` of the larger size.
/// NaN is close to nothing.
///
/// ```
/// use partpledge_units::tolerance::close;
/// assert!(close(1000.0, 1000.5, 1e-3, 0.0));
/// assert!(!close(1000.0, 1001.5, 1e-3, 0.0));
/// assert!(close(0.0, 1e-9, 0.0, 1e-8));
/// ```
#[must_use]
pub fn close(a: f64, b: f64, relative: f64, absolute: f64) -> bool {
    let gap = (a - b).abs();
    gap <= absolute || gap <= relative * a.abs().max(b.abs())
}
