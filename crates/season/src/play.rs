//! A season from the first request to the last hand-over, with quotes that learn as it goes.

use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Foresight, Ground, Way, quote, quote_fast};
use partpledge_planning_model::{Plan, Plate, PlateSeq, Window};
use partpledge_quality::Run;
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

use crate::beliefs::{Beliefs, learned_from};
use crate::floor::Floor;
use crate::fortnight::{Kept, moments, numbered};
use crate::scenario::{Scenario, Setting};
use crate::truth::{Truth, without};

/// Requests of the last so many days tell the pace; older plates that are done are forgotten.
const PACE_DAYS: i64 = 8;

/// How requests are quoted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quoting {
    /// Luck summed.
    Fast,
    /// So many worlds for each candidate.
    Worlds(u64),
}

/// One pledge of a season and what became of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// When, how sure, and when it came.
    pub kept: Kept,
    /// Chance asked for.
    pub level: f64,
    /// Position of the team in [`Setting::teams`].
    pub team: usize,
    /// Day of the season on which it was asked.
    pub day: i64,
}

/// All pledges of a season.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SeasonReport {
    /// In order of asking.
    pub given: Vec<Given>,
    /// Requests for which no pledge was possible.
    pub refused: usize,
}

/// Plays a season.
///
/// Each request is quoted on the plan of its moment, by what is believed that day: times and losses
/// from the runs that have ended, visits from those that were made, the pace from last week's
/// requests. The floor is played with dice of its own.
#[must_use]
pub fn season(setting: &Setting, scenario: &Scenario, quoting: Quoting, seed: u64) -> SeasonReport {
    let truth = Truth::thrown(setting, scenario, seed);
    let real = Ground::new(&truth.region);
    let known = Ground::new(&setting.region);
    let rest = truth
        .lost
        .as_ref()
        .map(|(at, sites)| without(setting.region.clone(), sites, *at));
    let rest = rest.as_ref().map(Ground::new);
    let mut floor = Floor::real(&known, &real, &truth.factors, seed ^ 0x005E_ED0F_7EA1);
    let mut office = Office {
        setting,
        quoting,
        seed,
        runs: Vec::new(),
        heard: 0,
        visits: truth.visits.clone(),
        asked: Vec::new(),
        refused: 0,
        next_seq: 1,
    };
    let mut dice = Dice::stream(seed, 1);
    let requests = requests(setting, scenario, &mut dice);
    let mut requests = requests.into_iter().peekable();
    for day in 0..setting.days {
        let midnight = setting.midnight(day);
        floor.play(midnight);
        let gone = truth.lost.as_ref().filter(|(at, _)| *at <= midnight);
        if let (Some((at, sites)), Some(rest)) = (gone, &rest)
            && *at == midnight
        {
            office.close(sites);
            floor.learn(rest);
            floor.lose(sites, midnight);
        }
        let mut beliefs = office.believe(&mut floor, midnight);
        if let Some((at, sites)) = gone {
            beliefs.region = without(beliefs.region, sites, *at);
        }
        let region = beliefs.region.clone();
        let ground = Ground::new(&region);
        let mut foresight = Foresight::new(
            &ground,
            &floor.plates,
            &floor.plan,
            midnight,
            seed ^ day.unsigned_abs(),
        );
        let tomorrow = setting.midnight(day + 1);
        while let Some(at) = requests.next_if(|at| *at < tomorrow) {
            floor.play(at);
            office.ask(
                &mut floor,
                (&ground, &mut beliefs),
                &mut foresight,
                at,
                &mut dice,
            );
        }
    }
    let end = setting.region.horizon;
    floor.play(end.unwrap_or(setting.midnight(2 * setting.days)));
    office.report(&floor)
}

/// When requests come.
fn requests(setting: &Setting, scenario: &Scenario, dice: &mut Dice) -> Vec<Minute> {
    let days = (0..setting.days).map(|day| scenario.asked(day));
    let most = days.fold(0.0, f64::max);
    let all = moments(
        setting.a_day * most,
        &setting.by_hour,
        (setting.from, setting.days),
        dice,
    );
    let mut thinned = all;
    thinned.retain(|at| dice.happens(scenario.asked(setting.day(*at)) / most));
    thinned
}

/// Who answers requests, and what they have written down.
struct Office<'a> {
    setting: &'a Setting,
    quoting: Quoting,
    seed: u64,
    runs: Vec<Run>,
    /// Ended runs of the floor already written down.
    heard: usize,
    visits: Vec<Vec<(Window, bool)>>,
    asked: Vec<(Given, Vec<PlateSeq>)>,
    refused: usize,
    next_seq: u64,
}

impl Office<'_> {
    /// A lost host's visits say nothing of the others.
    fn close(&mut self, sites: &[partpledge_planning_model::SiteIx]) {
        for site in sites {
            self.visits[site.0].clear();
        }
    }

    /// What is believed at midnight; open plates are expected anew.
    fn believe(&mut self, floor: &mut Floor<'_>, midnight: Minute) -> Beliefs {
        for ended in &floor.ended[self.heard..] {
            let found = floor.plates.binary_search_by_key(&ended.plate, |p| p.seq);
            if let Ok(i) = found {
                let run = learned_from(self.setting, ended, &floor.plates[i]);
                self.runs.extend(run);
            }
        }
        self.heard = floor.ended.len();
        floor.forget(midnight, midnight - Minutes(PACE_DAYS * 1_440));
        let mut beliefs = Beliefs::after(self.setting, &self.runs, &self.visits, midnight);
        for plate in &mut floor.plates {
            beliefs.expect(plate, false);
        }
        beliefs
    }

    /// Answers one request.
    fn ask(
        &mut self,
        floor: &mut Floor<'_>,
        (ground, beliefs): (&Ground<'_>, &mut Beliefs),
        foresight: &mut Foresight,
        at: Minute,
        dice: &mut Dice,
    ) {
        let setting = self.setting;
        let kind = dice.below(setting.kinds.len());
        let team = dice.below(setting.teams.len());
        let level = setting.levels[dice.below(setting.levels.len())];
        let mut ways = numbered(&setting.kinds[kind], setting.teams[team], at, self.next_seq);
        let plates = ways.iter_mut().flat_map(|way: &mut Way| &mut way.plates);
        plates.for_each(|plate| beliefs.expect(plate, true));
        let mut ask = Ask {
            ways,
            level,
            now: at,
            seed: self.seed ^ self.next_seq,
            worlds: 0,
        };
        let (plates, plan): (&[Plate], &Plan) = (&floor.plates, &floor.plan);
        let quoted = match self.quoting {
            Quoting::Fast => quote_fast(ground, plates, plan, &ask, foresight),
            Quoting::Worlds(worlds) => {
                ask.worlds = worlds;
                quote(ground, plates, plan, &ask)
            }
        };
        let Ok(quoted) = quoted else {
            self.refused += 1;
            return;
        };
        let given = promise(&quoted);
        let mut plates = ask.ways.swap_remove(quoted.way).plates;
        for plate in &mut plates {
            plate.promise = Some(given);
        }
        self.next_seq += plates.len() as u64;
        let numbers = plates.iter().map(|plate| plate.seq).collect();
        floor.give(plates, &quoted.assignments);
        let kept = Kept {
            asked: at,
            pledged: quoted.arrival,
            stated: quoted.probability,
            came: None,
        };
        let day = setting.day(at);
        let given = Given {
            kept,
            level,
            team,
            day,
        };
        self.asked.push((given, numbers));
    }

    fn report(self, floor: &Floor<'_>) -> SeasonReport {
        let came = |asked: Minute, plates: &[PlateSeq]| {
            let mut each = plates.iter().map(|seq| floor.handed_over.get(seq).copied());
            each.try_fold(asked, |last, came| came.map(|came| came.max(last)))
        };
        let given = self.asked.into_iter().map(|(mut given, plates)| {
            given.kept.came = came(given.kept.asked, &plates);
            given
        });
        SeasonReport {
            given: given.collect(),
            refused: self.refused,
        }
    }
}
