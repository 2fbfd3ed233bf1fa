//! How often nobody comes in a staffed window, from the windows that have passed.
//!
//! Two levels: what goes round in the whole region lately, and a site's own habit. People fall ill
//! together, so a bad day at some sites makes the others less sure at once.

/// Chance that nobody comes in a staffed window where nothing is known. Common practice, no source.
pub const USUAL_NO_SHOW: f64 = 0.02;
/// A window counts half as much for the region after so many days. Common practice, no source.
const REGION_HALF_LIFE_DAYS: f64 = 3.0;
/// How many windows the region file's number is worth. Common practice, no source.
const REGION_WORTH: f64 = 30.0;
/// A window counts half as much for its site after so many days. Common practice, no source.
const SITE_HALF_LIFE_DAYS: f64 = 20.0;
/// How many windows of its own the region's number is worth. Common practice, no source.
const SITE_WORTH: f64 = 60.0;

/// A staffed window that has passed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Visit {
    /// Number of the site.
    pub site: usize,
    /// How long ago it ended.
    pub days_ago: f64,
    /// Whether anybody came.
    pub came: bool,
}

/// Windows and those without anybody, weighed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Count {
    windows: f64,
    empty: f64,
}

/// What the windows that have passed say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Attendance {
    region: Count,
    sites: Vec<Count>,
}

impl Count {
    fn add(&mut self, visit: &Visit, half_life_days: f64) {
        let weight = (-visit.days_ago / half_life_days).exp2();
        self.windows += weight;
        self.empty += if visit.came { 0.0 } else { weight };
    }

    /// Beta-binomial mean about a prior worth so many windows.
    fn about(self, prior: f64, worth: f64) -> f64 {
        (prior * worth + self.empty) / (worth + self.windows)
    }
}

impl Attendance {
    /// After these windows, in any order.
    #[must_use]
    pub fn after(visits: &[Visit]) -> Self {
        let mut out = Self::default();
        for visit in visits {
            if out.sites.len() <= visit.site {
                out.sites.resize(visit.site + 1, Count::default());
            }
            out.region.add(visit, REGION_HALF_LIFE_DAYS);
            out.sites[visit.site].add(visit, SITE_HALF_LIFE_DAYS);
        }
        out
    }

    /// The chance that nobody comes in the site's next window, where `prior` was believed before;
    /// 0 stays 0, for somebody is always there, until a window passes without anybody.
    ///
    /// # Source
    /// Beta-binomial conjugate update with exponential forgetting (Gelman et al., Bayesian Data
    /// Analysis, chapter 2; West and Harrison, Bayesian Forecasting; both from memory).
    ///
    /// ```
    /// use partpledge_quality::attendance::{Attendance, Visit};
    /// let visits = vec![Visit { site: 0, days_ago: 0.0, came: true }; 20];
    /// // By hand: the region 30 x 0.02 / 50 = 0.012; the site 60 x 0.012 / 80.
    /// let chance = Attendance::after(&visits).no_show(0, 0.02);
    /// assert!((chance - 0.009).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn no_show(&self, site: usize, prior: f64) -> f64 {
        let region = self.region.about(prior, REGION_WORTH);
        let own = self.sites.get(site).copied().unwrap_or_default();
        own.about(region, SITE_WORTH)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn visit(site: usize, days_ago: f64, came: bool) -> Visit {
        Visit {
            site,
            days_ago,
            came,
        }
    }

    #[test]
    fn illness_elsewhere_makes_a_site_less_sure_and_is_forgotten() {
        let ill = |days_ago: f64| -> Vec<Visit> {
            (0..30)
                .map(|i| visit(1 + i % 6, days_ago, i % 3 > 0))
                .collect()
        };
        let lately = Attendance::after(&ill(1.0)).no_show(0, USUAL_NO_SHOW);
        let long_ago = Attendance::after(&ill(40.0)).no_show(0, USUAL_NO_SHOW);
        assert!(lately > 0.1 && lately < 0.34, "{lately}");
        assert!((long_ago - USUAL_NO_SHOW).abs() < 0.001, "{long_ago}");
    }

    #[test]
    fn a_site_s_own_habit_is_told_from_the_others() {
        let mut visits: Vec<Visit> = (0..60).map(|i| visit(0, f64::from(i), i % 4 > 0)).collect();
        visits.extend((0..300).map(|i| visit(1, f64::from(i / 5), true)));
        let learned = Attendance::after(&visits);
        assert!(learned.no_show(0, 0.02) > 3.0 * learned.no_show(1, 0.02));
        assert!(learned.no_show(1, 0.0) < 0.02);
    }

    #[test]
    fn where_somebody_always_came_nothing_is_feared() {
        let visits: Vec<Visit> = (0..9).map(|i| visit(0, f64::from(i), true)).collect();
        assert!(Attendance::after(&visits).no_show(0, 0.0).abs() < 1e-15);
    }
}
