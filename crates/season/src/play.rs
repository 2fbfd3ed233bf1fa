//! A season from the first request to the last hand-over, with quotes that learn as it goes.

use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Foresight, Ground, Quote, Way, quote, quote_fast};
use partpledge_planning_model::{Plan, Plate, PlateSeq, Promise, Window};
use partpledge_quality::Run;
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

use crate::beliefs::{Beliefs, learned_from};
use crate::floor::Floor;
use crate::fortnight::{Kept, moments, numbered};
use crate::scenario::{Scenario, Setting};
use crate::sharing::{Joined, Riders, on_anothers};
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
    /// Whether it joined a plate of others.
    pub joined: bool,
    /// Whether others joined a plate that it was on.
    pub carries: bool,
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
        riders: Riders::default(),
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
    asked: Vec<Given>,
    riders: Riders,
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
        let by = quoted.as_ref().map_or(Minute(i64::MAX), |own| own.arrival);
        let joined = setting.shared.as_ref().and_then(|shared| {
            let there = (&*floor, &self.riders);
            on_anothers(shared, there, (ground, beliefs), (&ask, by))
        });
        let given = match (joined, quoted) {
            (Some(joined), _) => self.join(floor, joined),
            (None, Ok(quoted)) => self.give(floor, ask, &quoted),
            (None, Err(_)) => {
                self.refused += 1;
                return;
            }
        };
        let (given, joined) = given;
        let kept = Kept {
            asked: at,
            pledged: given.arrival,
            stated: given.probability,
            came: None,
        };
        let day = setting.day(at);
        self.asked.push(Given {
            kept,
            level,
            team,
            day,
            joined,
            carries: false,
        });
    }

    /// Plates of its own.
    fn give(&mut self, floor: &mut Floor<'_>, mut ask: Ask, quoted: &Quote) -> (Promise, bool) {
        let given = promise(quoted);
        let mut plates = ask.ways.swap_remove(quoted.way).plates;
        for plate in &mut plates {
            plate.promise = Some(given);
        }
        self.next_seq += plates.len() as u64;
        let numbers: Vec<PlateSeq> = plates.iter().map(|plate| plate.seq).collect();
        floor.give(plates, &quoted.assignments);
        self.riders.put(self.asked.len(), &numbers);
        (given, false)
    }

    /// A place on another's plate.
    fn join(&mut self, floor: &mut Floor<'_>, joined: Joined) -> (Promise, bool) {
        // The next request has a seed of its own.
        self.next_seq += 1;
        let on = joined.plate.seq;
        for request in self.riders.on(on) {
            self.asked[*request].carries = true;
        }
        floor.grow(joined.plate, joined.place);
        self.riders.put(self.asked.len(), &[on]);
        (promise(&joined.quote), true)
    }

    fn report(self, floor: &Floor<'_>) -> SeasonReport {
        let came = |(request, mut given): (usize, Given)| {
            let to = self.setting.teams[given.team];
            let plates = self.riders.of(request).iter();
            let mut each = plates.map(|seq| floor.came(*seq, to));
            given.kept.came = each.try_fold(given.kept.asked, |last, came| {
                came.map(|came| came.max(last))
            });
            given
        };
        let given = self.asked.into_iter().enumerate().map(came);
        SeasonReport {
            given: given.collect(),
            refused: self.refused,
        }
    }
}
