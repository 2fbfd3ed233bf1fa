//! What a good part takes when some prints fail.

/// What a good one takes of something that one try takes `each` of, when a share `first_pass` of tries
/// comes out good and a failing try loses `lost_share` of it: `each [1 + lost q/(1-q)]`.
///
/// With all of it lost that is `each / first_pass`. Tries fail apart from each other; a first pass of 0
/// gives infinity.
/// # Source
/// Derived here: a good one comes after `q/(1-q)` failing ones on average (geometric).
///
/// ```
/// // The worked example of the reference sheet: 7.545892 a try, 90 % good, all of it lost.
/// assert!((partpledge_costing::per_good(7.545_892, 0.9, 1.0) - 8.384_324).abs() < 1e-6);
/// ```
#[must_use]
pub fn per_good(each: f64, first_pass: f64, lost_share: f64) -> f64 {
    each * (1.0 + lost_share * (1.0 - first_pass) / first_pass)
}

/// Printer hours for each good part when a print fails at any moment alike: half its time is lost.
///
/// # Source
/// Reference sheet, recomputed: 7.5 h at 90 % gives 7.916667 h, not 8.333.
///
/// ```
/// assert!((partpledge_costing::hours_per_good(7.5, 0.9) - 7.916_666_667).abs() < 1e-9);
/// ```
#[must_use]
pub fn hours_per_good(hours: f64, first_pass: f64) -> f64 {
    per_good(hours, first_pass, 0.5)
}

/// What each good copy takes of a plate of several: the plate may fail as a whole, and of the copies of
/// a plate that does not, only a share is good.
///
/// One plate of ten risks ten copies at once, yet takes no more for each good copy than ten plates of
/// one with the same chance to fail: what grows is the time that one failure costs.
/// # Source
/// Derived here: plates until one ends, over the good copies it then holds.
///
/// ```
/// use partpledge_costing::plate_per_good;
/// // 10 h, 4 copies, 9 in 10 plates end, all copies good: 10 [1 + 0.5/9] / 4.
/// assert!((plate_per_good(10.0, 4, (0.9, 1.0), 0.5) - 2.638_888_889).abs() < 1e-9);
/// ```
#[must_use]
pub fn plate_per_good(
    each_plate: f64,
    copies: u32,
    (plate_ends, copy_good): (f64, f64),
    lost_share: f64,
) -> f64 {
    per_good(each_plate, plate_ends, lost_share) / (f64::from(copies) * copy_good)
}

#[cfg(test)]
mod tests {
    use partpledge_units::dice::Dice;
    use partpledge_units::tolerance::close;

    use super::*;

    #[test]
    fn the_formula_is_what_thrown_prints_take_on_average() {
        // From nothing: print until a good one, each failing at a moment thrown evenly.
        let mut dice = Dice::seeded(11);
        let (hours, first_pass, runs) = (7.5, 0.8, 200_000);
        let mut total = 0.0;
        for _ in 0..runs {
            while dice.unit() >= first_pass {
                total += hours * dice.unit();
            }
            total += hours;
        }
        let mean = total / f64::from(runs);
        assert!(
            close(mean, hours_per_good(hours, first_pass), 0.003, 0.0),
            "{mean}"
        );
    }

    #[test]
    fn what_always_comes_out_good_costs_no_more_than_one_try() {
        for lost in [0.0, 0.5, 1.0] {
            assert!(close(per_good(3.0, 1.0, lost), 3.0, 1e-12, 0.0));
        }
        assert!(per_good(3.0, 0.0, 0.5).is_infinite());
    }
}
