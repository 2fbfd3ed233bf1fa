//! When to order filament, and how much: enough for the wait, weighed by what each mistake costs.

use partpledge_units::cast::{ceil_i64, int_f64};
use statrs::distribution::{ContinuousCDF, Normal};

/// Days in a week.
const WEEK: f64 = 7.0;
/// With fewer weeks than this behind it, demand is taken to be as uneven as it is large. Common
/// practice, no source.
const FEW_WEEKS: usize = 4;

/// What a material is needed for at a host, g of filament.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// What the plates in the plan take that nobody has started, all of them promised work.
    pub planned_g: f64,
    /// Days from now until the last of them starts: what is asked for later comes on top.
    pub planned_days: f64,
    /// What runs took in each of the last whole weeks.
    pub weekly_g: Vec<f64>,
}

/// What mistakes cost and how long an order takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prices {
    /// Cost of a kilogram that is missing, in minor units of money.
    pub short_per_kg: f64,
    /// Cost of a kilogram that is there too early or never needed.
    pub over_per_kg: f64,
    /// Days from order to shelf.
    pub lead_days: f64,
    /// Days from one look at the shelf to the next.
    pub review_days: f64,
}

/// What to do about a material at a host.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// Expected to be needed until an order would be there, g.
    pub expected_g: f64,
    /// Order when less than this is there and on its way, g.
    pub point_g: f64,
    /// What should be there and on its way after an order, g.
    pub up_to_g: f64,
    /// Whole spools to order now; 0 when there is enough.
    pub spools: i64,
}

/// The chance of having enough that costs least: each further gram is worth it as long as it is
/// needed more often than this is not.
///
/// # Source
/// The newsvendor's critical ratio `cu / (cu + co)`: Arrow, Harris and Marschak 1951 (from memory).
///
/// ```
/// // Bought for 5 and sold for 7, worth nothing the day after (textbook example, from memory).
/// let ratio = partpledge_stock::critical_ratio(2.0, 5.0);
/// assert!((ratio - 0.2857).abs() < 5e-5);
/// ```
#[must_use]
pub fn critical_ratio(short: f64, over: f64) -> f64 {
    let sum = short + over;
    if sum > 0.0 {
        (short / sum).clamp(0.0, 1.0)
    } else {
        0.5
    }
}

/// The quantity that a demand stays below with the critical ratio's chance, demand being normal,
/// g; never less than nothing.
///
/// # Source
/// `Q = mean + sd · Φ⁻¹(ratio)`, the newsvendor's rule for normal demand (from memory).
///
/// ```
/// // Mean 50, sd 20, bought for 5, sold for 7: 39 copies (textbook example, from memory).
/// let ratio = partpledge_stock::critical_ratio(2.0, 5.0);
/// let best = partpledge_stock::newsvendor_g(50.0, 20.0, ratio);
/// assert!((best - 38.7).abs() < 0.05);
/// ```
#[must_use]
pub fn newsvendor_g(mean_g: f64, sd_g: f64, ratio: f64) -> f64 {
    let inside = ratio.clamp(1e-6, 1.0 - 1e-6);
    (mean_g + sd_g * Normal::standard().inverse_cdf(inside)).max(0.0)
}

/// Whether to order a material, and how many spools of `spool_g` grams, with `here_g` there and on
/// its way. `None` when nothing says that it is ever needed.
///
/// Until an order is there, the plan's plates are needed for sure; after the last of them, what was
/// used in the last weeks goes on. Unsure is only what nobody has planned.
///
/// # Source
/// Reorder point: the newsvendor quantity for the demand over the lead time; the order fills up to
/// that over lead time and review period (periodic review with an order-up-to level, from memory).
/// How planned and learned demand are put together is derived here.
#[must_use]
pub fn reorder(demand: &Demand, prices: &Prices, here_g: f64, spool_g: i64) -> Option<Advice> {
    let (mean, sd) = weekly(&demand.weekly_g);
    if demand.planned_g <= 0.0 && mean <= 0.0 {
        return None;
    }
    let ratio = critical_ratio(prices.short_per_kg, prices.over_per_kg);
    let over = |days: f64| {
        let open_weeks = (days - demand.planned_days.max(0.0)).max(0.0) / WEEK;
        let expected = demand.planned_g + mean * open_weeks;
        (
            expected,
            newsvendor_g(expected, sd * open_weeks.sqrt(), ratio),
        )
    };
    let (expected_g, point_g) = over(prices.lead_days);
    let (_, up_to_g) = over(prices.lead_days + prices.review_days);
    let missing = if here_g < point_g {
        up_to_g - here_g
    } else {
        0.0
    };
    Some(Advice {
        expected_g,
        point_g,
        up_to_g,
        spools: ceil_i64(missing / int_f64(spool_g.max(1))).unwrap_or(0),
    })
}

/// Mean and spread of a week's use, g.
fn weekly(weeks: &[f64]) -> (f64, f64) {
    let n = weeks.len() as f64;
    if weeks.is_empty() {
        return (0.0, 0.0);
    }
    let mean = weeks.iter().sum::<f64>() / n;
    let squares: f64 = weeks.iter().map(|week| (week - mean).powi(2)).sum();
    let sd = (squares / (n - 1.0).max(1.0)).sqrt();
    let sd = if weeks.len() < FEW_WEEKS {
        sd.max(mean)
    } else {
        sd
    };
    (mean, sd)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRICES: Prices = Prices {
        short_per_kg: 6_000.0,
        over_per_kg: 400.0,
        lead_days: 14.0,
        review_days: 7.0,
    };

    fn demand(planned_g: f64, planned_days: f64, weekly_g: &[f64]) -> Demand {
        Demand {
            planned_g,
            planned_days,
            weekly_g: weekly_g.to_vec(),
        }
    }

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found}, wanted {wanted}");
    }

    /// Textbook examples of the newsvendor (from memory): cost 5, price 7; and an even chance.
    #[test]
    fn the_quantity_is_that_of_the_textbook() {
        near(newsvendor_g(50.0, 20.0, 2.0 / 7.0), 38.68, 0.01);
        near(newsvendor_g(50.0, 20.0, 0.5), 50.0, 1e-9);
        near(newsvendor_g(100.0, 30.0, 0.9), 138.45, 0.01);
        near(newsvendor_g(10.0, 20.0, 0.001), 0.0, 1e-12);
    }

    #[test]
    fn an_even_demand_is_ordered_for_lead_time_and_review() {
        let even = demand(0.0, 0.0, &[500.0; 8]);
        let advice = reorder(&even, &PRICES, 900.0, 1_000).unwrap();
        near(advice.point_g, 1_000.0, 1e-9);
        near(advice.up_to_g, 1_500.0, 1e-9);
        assert_eq!(advice.spools, 1, "600 g are missing");
        assert_eq!(reorder(&even, &PRICES, 1_000.0, 1_000).unwrap().spools, 0);
    }

    #[test]
    fn what_is_planned_is_needed_for_sure_and_counted_once() {
        let planned = demand(800.0, 14.0, &[500.0; 8]);
        near(
            reorder(&planned, &PRICES, 0.0, 1_000).unwrap().expected_g,
            800.0,
            1e-9,
        );
        let soon = demand(800.0, 7.0, &[500.0; 8]);
        near(
            reorder(&soon, &PRICES, 0.0, 1_000).unwrap().expected_g,
            1_300.0,
            1e-9,
        );
    }

    #[test]
    fn uneven_weeks_ask_for_more_and_none_for_nothing() {
        let even = reorder(&demand(0.0, 0.0, &[500.0; 4]), &PRICES, 0.0, 1_000).unwrap();
        let uneven = [100.0, 900.0, 200.0, 800.0];
        let uneven = reorder(&demand(0.0, 0.0, &uneven), &PRICES, 0.0, 1_000).unwrap();
        assert!(uneven.point_g > even.point_g + 100.0);
        let few = reorder(&demand(0.0, 0.0, &[500.0]), &PRICES, 0.0, 1_000).unwrap();
        assert!(few.point_g > even.point_g, "one week says little");
        assert!(reorder(&demand(0.0, 0.0, &[0.0; 4]), &PRICES, 0.0, 1_000).is_none());
    }
}
