//! Kept against stated, and how long teams waited against the best that a fixed answer can do.

use std::collections::BTreeMap;

use partpledge_units::cast::ceil_i64;

use crate::fairness::jain_index;
use crate::play::Given;

/// Some pledges, counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// How many.
    pub pledges: usize,
    /// Share that was kept.
    pub kept: f64,
    /// Mean of the chances stated.
    pub stated: f64,
}

/// Counts pledges; `None` of none.
///
/// ```
/// assert_eq!(partpledge_season::reliability::shares([].into_iter()), None);
/// ```
pub fn shares<'a>(given: impl Iterator<Item = &'a Given>) -> Option<Shares> {
    let (mut pledges, mut kept, mut stated) = (0_usize, 0_usize, 0.0);
    for one in given {
        pledges += 1;
        kept += usize::from(one.kept.kept());
        stated += one.kept.stated;
    }
    (pledges > 0).then(|| Shares {
        pledges,
        kept: kept as f64 / pledges as f64,
        stated: stated / pledges as f64,
    })
}

/// Pledges in ten groups of the same size by the chance stated, least sure first.
#[must_use]
pub fn by_decile(given: &[&Given]) -> Vec<Shares> {
    let mut sorted = given.to_vec();
    // Ties in order of asking: what is stated alike is cut anywhere.
    sorted.sort_by(|a, b| a.kept.stated.total_cmp(&b.kept.stated));
    let cut = |i: usize| sorted.len() * i / 10;
    let groups = (0..10).map(|i| &sorted[cut(i)..cut(i + 1)]);
    groups
        .filter_map(|group| shares(group.iter().copied()))
        .collect()
}

/// Lead times, h.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadTimes {
    /// Mean from asking to the hand-over pledged.
    pub quoted_h: f64,
    /// Mean from asking to the real hand-over, of what came.
    pub waited_h: f64,
    /// Least number of hours that, said to everybody, would have been kept as often.
    pub one_for_all_h: f64,
    /// Mean of the least numbers, one for each team's place, that would have been kept as often there.
    pub one_a_team_h: f64,
}

/// Quoted lead times against constant ones, on the very hand-overs that came of these quotes.
///
/// A constant is chosen afterwards, from what really came, so no fixed answer can do better with
/// the same kept share; no quote knows as much. `None` when so few came that no constant is kept
/// as often.
#[must_use]
pub fn lead_times(given: &[&Given]) -> Option<LeadTimes> {
    let share = shares(given.iter().copied())?.kept;
    let hours = |minutes: i64| minutes as f64 / 60.0;
    let mean = |list: &[f64]| list.iter().sum::<f64>() / list.len() as f64;
    let quoted: Vec<f64> = given
        .iter()
        .map(|one| hours((one.kept.pledged - one.kept.asked).0))
        .collect();
    let wait = |one: &&Given| Some(hours((one.kept.came? - one.kept.asked).0));
    let waits: Vec<Option<f64>> = given.iter().map(wait).collect();
    let came: Vec<f64> = waits.iter().flatten().copied().collect();
    let mut by_team: BTreeMap<usize, Vec<Option<f64>>> = BTreeMap::new();
    for (one, wait) in given.iter().zip(&waits) {
        by_team.entry(one.team).or_default().push(*wait);
    }
    let mut one_a_team = 0.0;
    for team in by_team.values() {
        one_a_team += constant(team, share)? * team.len() as f64;
    }
    Some(LeadTimes {
        quoted_h: mean(&quoted),
        waited_h: mean(&came),
        one_for_all_h: constant(&waits, share)?,
        one_a_team_h: one_a_team / given.len() as f64,
    })
}

/// The least wait that at least that share of all stays within.
fn constant(waits: &[Option<f64>], share: f64) -> Option<f64> {
    let mut came: Vec<f64> = waits.iter().flatten().copied().collect();
    came.sort_by(f64::total_cmp);
    let need = ceil_i64(share * waits.len() as f64 - 1e-9)?;
    let last = usize::try_from(need).ok()?.checked_sub(1);
    last.map_or(Some(0.0), |last| came.get(last).copied())
}

/// Jain's index over teams.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fairness {
    /// Of the mean time that a team waited for a part.
    pub waited: f64,
    /// Of the share of a team's pledges that were kept.
    pub kept: f64,
    /// Of the number of requests that a team has in its hands.
    pub got: f64,
}

/// How evenly teams were served; `None` when a team has nothing at all.
#[must_use]
pub fn fairness(given: &[&Given]) -> Option<Fairness> {
    let mut teams: BTreeMap<usize, Vec<&Given>> = BTreeMap::new();
    for one in given {
        teams.entry(one.team).or_default().push(one);
    }
    let index = |of: &dyn Fn(&[&Given]) -> Option<f64>| {
        let each = teams.values().map(|own| of(own));
        jain_index(&each.collect::<Option<Vec<f64>>>()?)
    };
    let came = |own: &[&Given]| {
        let waits = own
            .iter()
            .filter_map(|one| Some(one.kept.came? - one.kept.asked));
        let waits: Vec<f64> = waits.map(|wait| wait.0 as f64).collect();
        (waits.len() as f64, waits.iter().sum::<f64>())
    };
    Some(Fairness {
        waited: index(&|own| {
            let (many, sum) = came(own);
            (many > 0.0).then(|| sum / many)
        })?,
        kept: index(&|own| Some(shares(own.iter().copied())?.kept))?,
        got: index(&|own| Some(came(own).0))?,
    })
}

#[cfg(test)]
mod tests {
    use partpledge_units::time::Minute;

    use super::*;
    use crate::fortnight::Kept;

    /// A pledge asked at 0 with these hours to the pledge and to the hand-over.
    fn given(team: usize, stated: f64, pledged_h: i64, came_h: Option<i64>) -> Given {
        Given {
            kept: Kept {
                asked: Minute(0),
                pledged: Minute(pledged_h * 60),
                stated,
                came: came_h.map(|h| Minute(h * 60)),
            },
            level: 0.9,
            team,
            day: 0,
            joined: false,
            carries: false,
        }
    }

    #[test]
    fn deciles_hold_a_tenth_each_in_order_of_what_was_stated() {
        let all: Vec<Given> = (0..100)
            .map(|i| {
                given(
                    0,
                    f64::from(i) / 100.0,
                    10,
                    Some(if i < 50 { 11 } else { 9 }),
                )
            })
            .collect();
        let all: Vec<&Given> = all.iter().rev().collect();
        let deciles = by_decile(&all);
        assert_eq!(deciles.len(), 10);
        for (i, group) in deciles.iter().enumerate() {
            assert_eq!(group.pledges, 10);
            assert!((group.stated - (i as f64 * 0.1 + 0.045)).abs() < 1e-9);
            let kept = if i < 5 { 0.0 } else { 1.0 };
            assert!((group.kept - kept).abs() < 1e-9);
        }
    }

    #[test]
    fn the_best_constant_is_kept_just_as_often() {
        // Team 0 is near, team 1 far; three of four pledges are kept.
        let all = [
            given(0, 0.9, 10, Some(10)),
            given(0, 0.9, 10, Some(20)),
            given(1, 0.9, 40, Some(40)),
            given(1, 0.9, 60, Some(50)),
        ];
        let all: Vec<&Given> = all.iter().collect();
        let times = lead_times(&all).unwrap();
        assert!((times.quoted_h - 30.0).abs() < 1e-9 && (times.waited_h - 30.0).abs() < 1e-9);
        // Three of 10, 20, 40, 50 within 40; 75 % of two are two: 20 and 50.
        assert!((times.one_for_all_h - 40.0).abs() < 1e-9);
        assert!((times.one_a_team_h - 35.0).abs() < 1e-9);
    }

    #[test]
    fn what_never_came_counts_against_a_constant() {
        let all = [given(0, 0.9, 10, Some(9)), given(0, 0.9, 10, None)];
        let all: Vec<&Given> = all.iter().collect();
        assert!((lead_times(&all).unwrap().one_for_all_h - 9.0).abs() < 1e-9);
        assert!((shares(all.iter().copied()).unwrap().kept - 0.5).abs() < 1e-9);
    }

    #[test]
    fn teams_that_wait_and_get_alike_are_served_fairly() {
        let even = [given(0, 0.9, 9, Some(8)), given(1, 0.9, 9, Some(8))];
        let even: Vec<&Given> = even.iter().collect();
        let index = fairness(&even).unwrap();
        assert!((index.waited - 1.0).abs() < 1e-9 && (index.got - 1.0).abs() < 1e-9);
        // 8 and 24 hours: 32² / (2 x (64 + 576)).
        let odd = [given(0, 0.9, 9, Some(8)), given(1, 0.9, 9, Some(24))];
        let odd: Vec<&Given> = odd.iter().collect();
        let index = fairness(&odd).unwrap();
        assert!((index.waited - 0.8).abs() < 1e-9);
        assert!((index.kept - 0.5).abs() < 1e-9);
    }
}
