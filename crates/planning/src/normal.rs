//! The standard normal distribution.

/// The chance that a standard normal is above `z`.
///
/// # Source
/// Abramowitz and Stegun 1964, 26.2.17, error below 7.5e-8 (from memory).
pub(crate) fn above(z: f64) -> f64 {
    const B: [f64; 5] = [
        0.319_381_530,
        -0.356_563_782,
        1.781_477_937,
        -1.821_255_978,
        1.330_274_429,
    ];
    if z < 0.0 {
        return 1.0 - above(-z);
    }
    let t = 1.0 / (1.0 + 0.231_641_9 * z);
    let sum = B.iter().rev().fold(0.0, |sum, b| (sum + b) * t);
    let density = (-z * z / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
    density * sum
}

/// The value that a standard normal is above with chance `p`.
///
/// # Source
/// Abramowitz and Stegun 1964, 26.2.23, error below 4.5e-4 (from memory).
pub(crate) fn exceeded(p: f64) -> f64 {
    if p > 0.5 {
        return -exceeded(1.0 - p);
    }
    let t = (-2.0 * p.max(f64::MIN_POSITIVE).ln()).sqrt();
    let top = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let bottom = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    t - top / bottom
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tabulated_values_are_met() {
        for (z, p) in [
            (0.0, 0.5),
            (1.0, 0.158_655),
            (1.959_964, 0.025),
            (-1.281_552, 0.9),
        ] {
            assert!((above(z) - p).abs() < 1e-6, "{z}: {}", above(z));
            assert!((exceeded(p) - z).abs() < 5e-4, "{p}: {}", exceeded(p));
        }
    }
}
