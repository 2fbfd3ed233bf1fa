//! What one season is really like: thrown once, known to nobody.

use std::collections::BTreeMap;

use partpledge_planning_model::{Region, SiteIx, Window, Windows};
use partpledge_units::dice::Dice;
use partpledge_units::time::Minute;

use crate::scenario::{LOSSES_APART, Scenario, Setting, TIMES_APART};

/// Most chance of losing the first layers that is thrown.
const MOST_START_FAILURE: f64 = 0.5;

/// The real region and how its printers stand to what was worked out.
#[derive(Clone, Debug)]
pub struct Truth {
    /// Real rates; calendars without the visits that nobody makes and the departures that are missed.
    pub region: Region,
    /// Real over worked-out time, by printer.
    pub factors: Vec<f64>,
    /// Whether somebody came, for each staffed window of each site as known.
    pub visits: Vec<Vec<(Window, bool)>>,
    /// Hosts that are lost, from when on.
    pub lost: Option<(Minute, Vec<SiteIx>)>,
}

impl Truth {
    /// Throws a season.
    #[must_use]
    pub fn thrown(setting: &Setting, scenario: &Scenario, seed: u64) -> Self {
        let mut dice = Dice::stream(seed, 2);
        let mut region = setting.region.clone();
        let mut factors = Vec::new();
        for printer in &mut region.printers {
            factors.push(scenario.times * (TIMES_APART * dice.normal()).exp());
            // The mean of a lognormal is above its middle.
            let apart = LOSSES_APART * dice.normal() - LOSSES_APART * LOSSES_APART / 2.0;
            let losses = scenario.losses * apart.exp();
            printer.start_failure = (printer.start_failure * losses).min(MOST_START_FAILURE);
            printer.failures_per_hour *= losses;
        }
        let lost = scenario.lost_hosts.map(|(day, many)| {
            let mut sites: Vec<SiteIx> = (0..region.sites.len()).map(SiteIx).collect();
            dice.shuffle(&mut sites);
            sites.truncate(many);
            (setting.midnight(day), sites)
        });
        let mut visits = Vec::new();
        for site in &mut region.sites {
            let windows = site.staffed.as_slice().iter();
            let thrown: Vec<(Window, bool)> = windows
                .map(|window| {
                    let chance = scenario.no_show(setting.day(window.from), site.no_show);
                    (*window, !dice.happens(chance))
                })
                .collect();
            let came = thrown.iter().filter(|(_, came)| *came);
            site.staffed = Windows::joined(came.map(|(window, _)| *window).collect());
            site.no_show = 0.0;
            visits.push(thrown);
        }
        miss(&mut region, &mut dice);
        if let Some((from, sites)) = &lost {
            close(&mut region, sites, *from);
        }
        Self {
            region,
            factors,
            visits,
            lost,
        }
    }
}

/// Takes the departures out that are missed: all boxes of a site together.
fn miss(region: &mut Region, dice: &mut Dice) {
    let mut thrown: BTreeMap<(SiteIx, Minute), bool> = BTreeMap::new();
    for leg in &mut region.legs {
        let missed = leg.missed;
        if missed > 0.0 {
            leg.departures.retain(|departure| {
                let key = (leg.from, departure.leaves);
                !*thrown.entry(key).or_insert_with(|| dice.happens(missed))
            });
        }
        leg.missed = 0.0;
    }
    for relay in &mut region.relays {
        let missed = relay.missed;
        relay.departures.retain(|_| !dice.happens(missed));
        relay.missed = 0.0;
    }
}

/// Nobody is at these sites from `at` on.
fn close(region: &mut Region, sites: &[SiteIx], at: Minute) {
    for site in sites {
        let staffed = &mut region.sites[site.0].staffed;
        let open = staffed.as_slice().iter().map(|window| Window {
            from: window.from,
            until: window.until.min(at),
        });
        *staffed = Windows::joined(open.collect());
    }
}

/// The region without these hosts' printers from `at` on, as people know it once they are told.
#[must_use]
pub(crate) fn without(mut region: Region, sites: &[SiteIx], at: Minute) -> Region {
    let end = region.horizon.unwrap_or(Minute(i64::MAX));
    for printer in &mut region.printers {
        if sites.contains(&printer.site) {
            let mut out = printer.out_of_use.as_slice().to_vec();
            out.push(Window {
                from: at,
                until: end.max(at) + partpledge_units::time::Minutes(1),
            });
            printer.out_of_use = Windows::joined(out);
        }
    }
    region
}
