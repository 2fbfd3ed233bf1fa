//! How evenly something is shared out.

/// Jain's fairness index: 1 when all have the same, 1/n when one of n has everything.
///
/// `None` when there is nobody, when all have nothing, or when a share is negative or no number.
/// The unit of the shares does not matter.
///
/// # Source
/// R. Jain, D. Chiu and W. Hawe 1984, A quantitative measure of fairness and discrimination for
/// resource allocation in shared computer systems: `(sum x)² / (n sum x²)`.
///
/// ```
/// let index = partpledge_season::jain_index(&[1.0, 3.0]).unwrap();
/// assert!((index - 16.0 / 20.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn jain_index(shares: &[f64]) -> Option<f64> {
    // Asked so that a share that is no number gives no answer.
    if !shares.iter().all(|&x| x >= 0.0) {
        return None;
    }
    let sum: f64 = shares.iter().sum();
    let squares: f64 = shares.iter().map(|x| x * x).sum();
    let index = sum * sum / (shares.len() as f64 * squares);
    index.is_finite().then_some(index)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_equal_is_one_and_one_of_n_is_one_over_n() {
        for n in 1..40 {
            let equal = jain_index(&vec![2.5; n]).unwrap();
            assert!((equal - 1.0).abs() < 1e-12, "{n}: {equal}");
            let mut one = vec![0.0; n];
            one[n / 2] = 7.0;
            let alone = jain_index(&one).unwrap();
            assert!((alone - 1.0 / n as f64).abs() < 1e-12, "{n}: {alone}");
        }
    }

    #[test]
    fn k_of_n_with_the_same_is_k_over_n_whatever_the_unit() {
        let shares: Vec<f64> = (0..10).map(|i| if i < 3 { 60.0 } else { 0.0 }).collect();
        assert!((jain_index(&shares).unwrap() - 0.3).abs() < 1e-12);
        let hours: Vec<f64> = shares.iter().map(|x| x / 60.0).collect();
        assert!((jain_index(&hours).unwrap() - 0.3).abs() < 1e-12);
        // By hand.
        assert!((jain_index(&[1.0, 2.0, 4.0]).unwrap() - 49.0 / 63.0).abs() < 1e-12);
    }

    #[test]
    fn there_is_no_index_of_nothing() {
        assert_eq!(jain_index(&[]), None);
        assert_eq!(jain_index(&[0.0, 0.0]), None);
        assert_eq!(jain_index(&[1.0, -1.0]), None);
        assert_eq!(jain_index(&[1.0, f64::NAN]), None);
    }
}
