//! The jobs of the day: operator, inspector, packer, planner, taken in turns by those who are signed
//! off, the same whoever asks.
//!
//! Nothing of it is kept: the turns are worked out from the first day on, each day from the one
//! before.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_units::ids::CrewId;

/// A job of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Job {
    /// Loads, starts, looks and clears.
    Operator,
    /// Says which copies are good.
    Inspector,
    /// Boxes and hands over.
    Packer,
    /// Looks after the day.
    Planner,
}

impl Job {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Operator, Self::Inspector, Self::Packer, Self::Planner];

    /// As it stands in addresses.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Operator => "operator",
            Self::Inspector => "inspector",
            Self::Packer => "packer",
            Self::Planner => "planner",
        }
    }

    /// Read from its word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|job| job.as_str() == text)
    }
}

/// A day on which the bench is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Day {
    /// The day's number, by which chance is seeded where two are alike.
    pub number: i64,
    /// Who could take which jobs.
    pub able: BTreeMap<CrewId, BTreeSet<Job>>,
}

/// Who has each job, in the order of [`Job::ALL`]; `None` where nobody is signed off.
pub type Jobs = [Option<CrewId>; 4];

/// What is known of the days before.
#[derive(Default)]
struct Turns {
    /// The jobs that somebody had when they last had one.
    last: BTreeMap<CrewId, BTreeSet<Job>>,
    /// How often somebody had any.
    all: BTreeMap<CrewId, u32>,
    /// How often somebody had this one.
    each: BTreeMap<(CrewId, Job), u32>,
}

/// One way to give the jobs, and how good it is: less is better, what stands first counts first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Cost {
    unfilled: u32,
    /// The same job as at their last turn.
    again: u32,
    /// Jobs beyond the first that one person has that day.
    doubled: u32,
    turns: u32,
    turns_in_job: u32,
    luck: u32,
}

impl Cost {
    fn plus(self, other: Self) -> Self {
        Self {
            unfilled: self.unfilled + other.unfilled,
            again: self.again + other.again,
            doubled: self.doubled + other.doubled,
            turns: self.turns + other.turns,
            turns_in_job: self.turns_in_job + other.turns_in_job,
            luck: self.luck + other.luck,
        }
    }
}

/// The jobs of each day. No job is left open that somebody could take; nobody has a job that they had
/// at their last turn if that can be helped; then nobody has two while another has none; then those
/// come first who had the fewest turns, and the fewest in that job. Who is new begins with as many as
/// the one who had the fewest, so that they don't have to catch up.
///
/// ```
/// use std::collections::{BTreeMap, BTreeSet};
/// use partpledge_hubs::{Day, Job, rotate};
/// use partpledge_units::ids::{CrewId, IdSource};
/// use partpledge_units::time::EventMs;
///
/// let mut ids = IdSource::seeded(1);
/// let all = BTreeSet::from(Job::ALL);
/// let crew: BTreeMap<_, _> = (0..5)
///     .map(|n| (CrewId::fresh(&mut ids, EventMs(n)), all.clone()))
///     .collect();
/// let day = |number| Day { number, able: crew.clone() };
/// let jobs = rotate(&[day(1), day(2)]);
/// assert!(jobs[0].iter().zip(&jobs[1]).all(|(before, now)| before != now));
/// ```
#[must_use]
pub fn rotate(days: &[Day]) -> Vec<Jobs> {
    let mut turns = Turns::default();
    let mut out = Vec::new();
    for day in days {
        turns.welcome(day);
        let jobs = turns.best(day);
        turns.note(&jobs);
        out.push(jobs);
    }
    out
}

/// Who takes a job when the one who has it is not there: of those present who could, one with no job
/// if there is any.
#[must_use]
pub fn stand_in(day: &Day, jobs: &Jobs, job: Job, present: &BTreeSet<CrewId>) -> Option<CrewId> {
    let able = day.able.iter().filter(|(_, able)| able.contains(&job));
    let there = able.map(|(member, _)| *member);
    let there = there.filter(|member| present.contains(member));
    there.min_by_key(|member| {
        (
            jobs.contains(&Some(*member)),
            luck(day.number, job, *member),
        )
    })
}

impl Turns {
    /// Who could not do something before starts level with the one who had the fewest turns in it.
    fn welcome(&mut self, day: &Day) {
        let known = day.able.keys().filter_map(|member| self.all.get(member));
        let fewest = known.min().copied().unwrap_or(0);
        for member in day.able.keys() {
            self.all.entry(*member).or_insert(fewest);
        }
        for job in Job::ALL {
            let able = || day.able.iter().filter(|(_, able)| able.contains(&job));
            let known = able().filter_map(|(member, _)| self.each.get(&(*member, job)));
            let fewest = known.min().copied().unwrap_or(0);
            for (member, _) in able() {
                self.each.entry((*member, job)).or_insert(fewest);
            }
        }
    }

    fn cost(&self, day: &Day, job: Job, member: CrewId) -> Cost {
        let again = self
            .last
            .get(&member)
            .is_some_and(|last| last.contains(&job));
        Cost {
            again: u32::from(again),
            turns: self.all.get(&member).copied().unwrap_or(0),
            turns_in_job: self.each.get(&(member, job)).copied().unwrap_or(0),
            luck: luck(day.number, job, member),
            ..Cost::default()
        }
    }

    /// The best way to give the jobs. At most three others can be taken when a job is given, so that
    /// the best four for each are enough to look at.
    fn best(&self, day: &Day) -> Jobs {
        let choices = Job::ALL.map(|job| {
            let able = day.able.iter().filter(|(_, able)| able.contains(&job));
            let mut all: Vec<(Cost, CrewId)> = able
                .map(|(member, _)| (self.cost(day, job, *member), *member))
                .collect();
            all.sort_unstable();
            all.truncate(Job::ALL.len());
            all
        });
        let mut best: Option<(Cost, Jobs)> = None;
        try_all(&choices, 0, (Cost::default(), [None; 4]), &mut best);
        best.map_or([None; 4], |(_, jobs)| jobs)
    }

    fn note(&mut self, jobs: &Jobs) {
        let had = Job::ALL.iter().zip(jobs);
        let had: Vec<(CrewId, Job)> = had.filter_map(|(job, who)| Some(((*who)?, *job))).collect();
        for (member, _) in &had {
            self.last.remove(member);
        }
        for (member, job) in had {
            self.last.entry(member).or_default().insert(job);
            *self.all.entry(member).or_default() += 1;
            *self.each.entry((member, job)).or_default() += 1;
        }
    }
}

fn try_all(
    choices: &[Vec<(Cost, CrewId)>; 4],
    at: usize,
    (cost, jobs): (Cost, Jobs),
    best: &mut Option<(Cost, Jobs)>,
) {
    if at == choices.len() {
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            *best = Some((cost, jobs));
        }
        return;
    }
    if choices[at].is_empty() {
        let unfilled = Cost {
            unfilled: 1,
            ..Cost::default()
        };
        return try_all(choices, at + 1, (cost.plus(unfilled), jobs), best);
    }
    for (one, member) in &choices[at] {
        let doubled = Cost {
            doubled: u32::from(jobs.contains(&Some(*member))),
            ..Cost::default()
        };
        let mut with = jobs;
        with[at] = Some(*member);
        let cost = cost.plus(*one).plus(doubled);
        try_all(choices, at + 1, (cost, with), best);
    }
}

/// Where two are alike: a number below 1024 from the day, the job and the member alone.
///
/// # Source
/// FNV-1a, 64 bits (Fowler, Noll and Vo, from memory).
fn luck(day: i64, job: Job, member: CrewId) -> u32 {
    let text = format!("{day} {} {member}", job.as_str());
    let mix = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325, mix);
    u32::try_from((hash ^ (hash >> 32)) % 1_024).unwrap_or(0)
}
