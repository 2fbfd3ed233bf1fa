//! Whether what is left on a spool suffices.

use partpledge_catalogue::Costs;

/// What a plate needs of a spool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpoolCheck {
    /// What the plate takes, purge and margin included, g.
    pub needed_g: f64,
    /// What would be left beyond that, g; negative when it does not suffice.
    pub spare_g: f64,
}

impl SpoolCheck {
    /// Whether the spool suffices.
    #[must_use]
    pub fn suffices(&self) -> bool {
        self.spare_g >= 0.0
    }
}

/// Whether `left_g` grams on a spool (its empty reel not counted) suffice for a plate of
/// `plate_g` grams, with the purge share and the margin of the prices' file. Negative or unknown
/// amounts left count as none.
///
/// ```
/// let costs = partpledge_catalogue::Costs::built_in();
/// // 100 g, 5 % purge, 20 g margin.
/// let check = partpledge_costing::spool_check(124.0, 100.0, &costs);
/// assert!(!check.suffices() && (check.needed_g - 125.0).abs() < 1e-9);
/// assert!(partpledge_costing::spool_check(125.0, 100.0, &costs).suffices());
/// ```
#[must_use]
pub fn spool_check(left_g: f64, plate_g: f64, costs: &Costs) -> SpoolCheck {
    let needed_g = plate_g * (1.0 + costs.rates.purge_share) + costs.rates.spool_margin_g;
    SpoolCheck {
        needed_g,
        spare_g: left_g.max(0.0) - needed_g,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spool_that_nobody_has_weighed_suffices_for_nothing() {
        let costs = Costs::built_in();
        for left_g in [f64::NAN, -300.0, 0.0] {
            assert!(!spool_check(left_g, 1.0, &costs).suffices());
        }
    }
}
