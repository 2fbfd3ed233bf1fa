//! How often nobody comes in a staffed window, from the windows that have passed.
//!
//! A site's own habit about that of its region, and beside it the chance that an illness goes round
//! just now: people fall ill together, so a bad day at some sites makes all less sure at once.

/// Chance that nobody comes in a staffed window where nothing is known. Common practice, no source.
pub const USUAL_NO_SHOW: f64 = 0.02;
/// The same while an illness goes round. Common practice, no source.
pub const OUTBREAK_NO_SHOW: f64 = 0.2;
/// Chance that an illness begins to go round on a day. Common practice, no source.
const BEGINS: f64 = 0.01;
/// Chance that it still does a day later: it lasts a week. Common practice, no source.
const LASTS: f64 = 0.86;
/// A window counts half as much for the region after so many days. Common practice, no source.
const REGION_HALF_LIFE_DAYS: f64 = 10.0;
/// How many windows without anybody the region file's number is worth, and the region's one for a site of
/// it: chances then lie about half apart, as those of loss do (`yields::PRINTER_LOSSES`). Common practice,
/// no source.
const WORTH: f64 = 4.0;
/// A chance smaller than this is worth no more windows than this one. Common practice, no source.
const LEAST_NO_SHOW: f64 = 0.01;
/// A window counts half as much for its site after so many days. Common practice, no source.
const SITE_HALF_LIFE_DAYS: f64 = 20.0;

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
    /// Chance that an illness goes round today.
    outbreak: f64,
}

impl Count {
    fn add(&mut self, visit: &Visit, (half_life_days, usual): (f64, f64)) {
        let weight = usual * (-visit.days_ago / half_life_days).exp2();
        self.windows += weight;
        self.empty += if visit.came { 0.0 } else { weight };
    }

    /// Beta-binomial mean about a prior worth [`WORTH`] windows without anybody.
    fn about(self, prior: f64) -> f64 {
        let worth = WORTH / prior.max(LEAST_NO_SHOW);
        (prior * worth + self.empty) / (worth + self.windows)
    }
}

impl Attendance {
    /// After these windows, in any order.
    #[must_use]
    pub fn after(visits: &[Visit]) -> Self {
        let mut out = Self::default();
        let days = outbreaks(visits);
        out.outbreak = days.last().map_or(0.0, |(_, today)| *today);
        for visit in visits {
            if out.sites.len() <= visit.site {
                out.sites.resize(visit.site + 1, Count::default());
            }
            // What happens while an illness goes round says nothing of habits.
            let day = days.binary_search_by_key(&-day(visit), |(day, _)| *day);
            let usual = day.map_or(1.0, |i| 1.0 - days[i].1);
            out.region.add(visit, (REGION_HALF_LIFE_DAYS, usual));
            out.sites[visit.site].add(visit, (SITE_HALF_LIFE_DAYS, usual));
        }
        out
    }

    /// The chance that nobody comes in the site's next window, where `prior` was believed before;
    /// 0 stays 0, for somebody is always there, until a window passes without anybody.
    ///
    /// # Source
    /// Beta-binomial conjugate update with exponential forgetting (Gelman et al., Bayesian Data
    /// Analysis, chapter 2, from memory); the illness as in `outbreaks`.
    #[must_use]
    pub fn no_show(&self, site: usize, prior: f64) -> f64 {
        let region = self.region.about(prior);
        let own = self.sites.get(site).copied().unwrap_or_default();
        let habit = own.about(region);
        if habit <= 0.0 {
            return 0.0;
        }
        habit + self.outbreak * (OUTBREAK_NO_SHOW - habit).max(0.0)
    }
}

/// Whole days ago.
fn day(visit: &Visit) -> i64 {
    partpledge_units::cast::round_i64(visit.days_ago.floor()).unwrap_or(0)
}

/// Days with windows, oldest first, as minus the days ago, each with the chance that an illness
/// went round on it as far as was known then.
///
/// # Source
/// A hidden state that switches: the filter of Hamilton 1989 (from memory).
fn outbreaks(visits: &[Visit]) -> Vec<(i64, f64)> {
    let mut days: std::collections::BTreeMap<i64, (i32, i32)> = std::collections::BTreeMap::new();
    for visit in visits {
        let (came, empty) = days.entry(-day(visit)).or_default();
        *(if visit.came { came } else { empty }) += 1;
    }
    let likelihood =
        |chance: f64, (came, empty): (i32, i32)| (1.0 - chance).powi(came) * chance.powi(empty);
    let mut ill = BEGINS;
    let one_day = |(day, counts): (i64, (i32, i32))| {
        let before = ill * LASTS + (1.0 - ill) * BEGINS;
        let spread = before * likelihood(OUTBREAK_NO_SHOW, counts);
        let well = (1.0 - before) * likelihood(USUAL_NO_SHOW, counts);
        ill = spread / (spread + well).max(f64::MIN_POSITIVE);
        (day, ill)
    };
    days.into_iter().map(one_day).collect()
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

    /// Nine sites over so many days; on each day of illness two are empty.
    fn weeks(days: i32, ill: std::ops::Range<i32>) -> Vec<Visit> {
        let each = (0..days).flat_map(|ago| (0..9).map(move |site| (ago, site)));
        each.map(|(ago, site)| {
            let empty = ill.contains(&ago) && (site + ago) % 9 < 2;
            visit(
                usize::try_from(site).unwrap_or(0),
                f64::from(ago) + 0.4,
                !empty,
            )
        })
        .collect()
    }

    #[test]
    fn two_bad_days_tell_that_an_illness_goes_round_and_a_good_week_that_it_is_over() {
        let at = |visits: &[Visit]| Attendance::after(visits).no_show(8, USUAL_NO_SHOW);
        let well = at(&weeks(30, 0..0));
        let one_day = at(&weeks(30, 0..1));
        let two_days = at(&weeks(30, 0..2));
        let over = at(&weeks(30, 7..12));
        assert!(well < 0.02, "{well}");
        assert!(one_day > 0.04 && one_day < two_days, "{one_day}");
        assert!(two_days > 0.14, "{two_days}");
        assert!(over < 0.03, "{over}");
    }

    #[test]
    fn a_site_s_own_habit_is_told_from_the_others() {
        let mut visits: Vec<Visit> = (0..60).map(|i| visit(0, f64::from(i), i % 4 > 0)).collect();
        visits.extend((0..300).map(|i| visit(1, f64::from(i / 5), true)));
        let learned = Attendance::after(&visits);
        assert!(learned.no_show(0, 0.02) > 2.0 * learned.no_show(1, 0.02));
    }

    /// As a printer that loses a plate: what happened once is no habit yet.
    #[test]
    fn one_window_without_anybody_makes_its_host_less_sure_by_a_quarter_at_most() {
        let missed_once = |missed: usize| {
            let days = (0..200).map(|i| (i % 9, i / 9));
            let visits = days.map(|(site, day)| {
                let missed = site == 0 && day == missed;
                visit(site, f64::from(u8::try_from(day).unwrap()) + 0.4, !missed)
            });
            Attendance::after(&visits.collect::<Vec<_>>())
        };
        let learned = missed_once(10);
        let (own, others) = (
            learned.no_show(0, USUAL_NO_SHOW),
            learned.no_show(1, USUAL_NO_SHOW),
        );
        assert!(own > others && own < 1.25 * others, "{own} {others}");
        // Nor does it move what is believed of all hosts by much.
        let never = missed_once(99).no_show(1, USUAL_NO_SHOW);
        assert!(others < never + 0.002, "{others} {never}");
    }

    #[test]
    fn where_somebody_always_came_nothing_is_feared() {
        let visits: Vec<Visit> = (0..9).map(|i| visit(0, f64::from(i), true)).collect();
        assert!(Attendance::after(&visits).no_show(0, 0.0).abs() < 1e-15);
    }
}
