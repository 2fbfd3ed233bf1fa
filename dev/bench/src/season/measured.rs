//! What seasons of one scenario came to, counted by level asked for.

use partpledge_season::reliability::{
    Fairness, LeadTimes, Shares, by_decile, fairness, lead_times, shares,
};
use partpledge_season::{Given, Scenario, SeasonReport};

/// Pledges of the first so many days are left out where quotes are given time to learn.
pub(crate) const LEARNED_AFTER_DAYS: i64 = 14;

/// Pledges that were asked for at one chance, or all.
pub(crate) struct AtLevel {
    /// `None` for all.
    pub(crate) level: Option<f64>,
    pub(crate) all: Shares,
    /// After the first two weeks.
    pub(crate) later: Shares,
    pub(crate) deciles: Vec<Shares>,
    /// Deciles after the first two weeks.
    pub(crate) later_deciles: Vec<Shares>,
    pub(crate) weeks: Vec<Shares>,
    pub(crate) lead: Option<LeadTimes>,
    pub(crate) fair: Option<Fairness>,
}

/// One scenario, played many times.
pub(crate) struct Measured {
    pub(crate) name: &'static str,
    pub(crate) seasons: usize,
    pub(crate) refused: usize,
    /// All levels together first.
    pub(crate) levels: Vec<AtLevel>,
}

impl Measured {
    pub(crate) fn of(scenario: &Scenario, levels: &[f64], reports: &[SeasonReport]) -> Self {
        let all: Vec<&Given> = reports.iter().flat_map(|report| &report.given).collect();
        let mut out = Vec::new();
        for level in std::iter::once(None).chain(levels.iter().copied().map(Some)) {
            let asked = |given: &&Given| level.is_none_or(|l| (given.level - l).abs() < 1e-9);
            let mut given = all.clone();
            given.retain(asked);
            out.extend(at_level(level, &given));
        }
        Self {
            name: scenario.name,
            seasons: reports.len(),
            refused: reports.iter().map(|report| report.refused).sum(),
            levels: out,
        }
    }

    /// Kept less stated, in points, worst first: of each level after two weeks.
    pub(crate) fn worst_later(&self) -> f64 {
        let below = self.levels.iter().map(|l| l.later.kept - l.later.stated);
        below.fold(f64::INFINITY, f64::min)
    }

    /// Greatest distance between kept and stated, overall and by decile: of all pledges, and of those asked at each
    /// level.
    pub(crate) fn farthest(&self) -> (f64, f64) {
        let apart = |shares: &Shares| (shares.kept - shares.stated).abs();
        let overall = self
            .levels
            .iter()
            .map(|l| apart(&l.all))
            .fold(0.0, f64::max);
        let deciles = self.levels.iter().flat_map(|level| &level.deciles);
        (overall, deciles.map(apart).fold(0.0, f64::max))
    }
}

fn at_level(level: Option<f64>, given: &[&Given]) -> Option<AtLevel> {
    let late: Vec<&Given> = (given.iter().copied())
        .filter(|one| one.day >= LEARNED_AFTER_DAYS)
        .collect();
    let last = given.iter().map(|one| one.day / 7).max()?;
    let week = |week: i64| shares(given.iter().copied().filter(|one| one.day / 7 == week));
    Some(AtLevel {
        level,
        all: shares(given.iter().copied())?,
        later: shares(late.iter().copied())?,
        deciles: by_decile(given),
        later_deciles: by_decile(&late),
        weeks: (0..=last).filter_map(week).collect(),
        lead: lead_times(given),
        fair: fairness(given),
    })
}
