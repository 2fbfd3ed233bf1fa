//! Sums that stay exact to the last digits over millions of terms.

/// Neumaier's compensated sum: the error does not grow with the number of terms.
///
/// Source: A. Neumaier, "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher
/// Summen", ZAMM 54 (1974), from memory.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sum {
    total: f64,
    lost: f64,
}

impl Sum {
    pub(crate) fn add(&mut self, term: f64) {
        let next = self.total + term;
        self.lost += if self.total.abs() >= term.abs() {
            (self.total - next) + term
        } else {
            (term - next) + self.total
        };
        self.total = next;
    }

    /// Adds what another sum has.
    pub(crate) fn join(&mut self, other: Self) {
        self.add(other.total);
        self.add(other.lost);
    }

    pub(crate) fn of(terms: impl Iterator<Item = f64>) -> f64 {
        let mut sum = Self::default();
        terms.for_each(|term| sum.add(term));
        sum.value()
    }

    pub(crate) fn value(self) -> f64 {
        self.total + self.lost
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_terms_between_large_ones_are_not_lost() {
        let mut sum = Sum::default();
        for term in [1.0, 1e100, 1.0, -1e100] {
            sum.add(term);
        }
        assert!((sum.value() - 2.0).abs() < 1e-12);
    }
}
