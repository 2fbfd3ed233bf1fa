//! The jobs of a day: worked out from the first sign-off on, each day from the one before.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Span;
use jiff::civil::{Date, Time};
use partpledge_catalogue::region::{Closure, Host, parse_hours};
use partpledge_hubs::jobs::stand_in;
use partpledge_hubs::{Day, Job, Said, Task, rotate};
use partpledge_units::ids::CrewId;
use partpledge_units::time::{EventMs, Minute};

use super::Hub;
use crate::session::Session;

/// Month of the first day of a year's turns: they begin anew each 1 August, whoever asks on whichever
/// day. Many schools are closed then (common practice, no source).
const YEAR_BEGINS: i8 = 8;

/// Who has a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Which.
    pub job: Job,
    /// Who; `None` where nobody is signed off.
    pub member: Option<CrewId>,
    /// Whether they are at the bench now.
    pub here: bool,
    /// Who takes it while they are not, of those who are there.
    pub instead: Option<CrewId>,
}

/// The jobs of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayJobs {
    /// The day.
    pub date: Date,
    /// Each job, in their order; none on a day on which the bench is closed.
    pub turns: Vec<Turn>,
}

/// The jobs of a day at a hub, worked out from the year's first day or the first sign-off on. For each
/// day those sign-offs count that hold until its end, as far as they have been said: asked on the day
/// or later, it is the same.
#[must_use]
pub fn jobs_of(session: &Session, hub: &Hub, date: Date) -> DayJobs {
    let closed = DayJobs {
        date,
        turns: Vec::new(),
    };
    let Some(host) = session.terrain.file.hub(&hub.code) else {
        return closed;
    };
    let zone = &session.terrain.zone;
    let day_of = |at: EventMs| zone.date(Minute::at_or_before(at));
    let first = hub.said.first().map_or(date, |said| day_of(said.at));
    let mut days = Vec::new();
    let mut day = first.max(year_of(date)).min(date);
    while day <= date {
        let next = day.saturating_add(Span::new().days(1));
        if opens(session, host, day) {
            // A sign-off ends with the last moment of its last day, and holds all that day.
            let ends = zone.minute(next, Time::midnight()).to_ms();
            days.push(of_day(&hub.standing(EventMs(ends.0 - 1)), day));
        }
        if next == day {
            break;
        }
        day = next;
    }
    let Some(last) = days.last().filter(|_| opens(session, host, date)) else {
        return closed;
    };
    let jobs = rotate(&days).pop().unwrap_or_default();
    let present = hub.present(session.now).crew;
    let turn = |(job, member): (Job, Option<CrewId>)| {
        let here = member.is_some_and(|member| present.contains(&member));
        let instead = stand_in(last, &jobs, job, &present);
        Turn {
            job,
            member,
            here,
            instead: instead.filter(|_| member.is_some() && !here),
        }
    };
    let turns = Job::ALL.into_iter().zip(jobs).map(turn).collect();
    DayJobs { date, turns }
}

/// The first day of the year's turns that a day is in.
fn year_of(date: Date) -> Date {
    let begins = |year| Date::new(year, YEAR_BEGINS, 1).unwrap_or(date);
    let own = begins(date.year());
    if own <= date {
        own
    } else {
        begins(date.year().saturating_sub(1))
    }
}

fn of_day(holds: &[&Said], date: Date) -> Day {
    let mut by_member: BTreeMap<CrewId, Vec<&Said>> = BTreeMap::new();
    for said in holds {
        by_member.entry(said.member).or_default().push(said);
    }
    let jobs = |(member, said): (CrewId, Vec<&Said>)| {
        let may = |job: &Job| could(*job, &said);
        let jobs: BTreeSet<Job> = Job::ALL.into_iter().filter(may).collect();
        (!jobs.is_empty()).then_some((member, jobs))
    };
    Day {
        number: number(date),
        able: by_member.into_iter().filter_map(jobs).collect(),
    }
}

/// Whether somebody's sign-offs make them fit for a job: an operator loads, starts and clears printers
/// of one class at least.
fn could(job: Job, said: &[&Said]) -> bool {
    let any = |task: Task| said.iter().any(|one| one.task == task);
    match job {
        Job::Operator => said.iter().any(|load| {
            let also = |task| {
                let same = |one: &&&Said| one.task == task && one.class == load.class;
                said.iter().any(|one| same(&one))
            };
            load.task == Task::Load && also(Task::Start) && also(Task::Clear)
        }),
        Job::Inspector => any(Task::Inspect),
        Job::Packer => any(Task::Pack),
        Job::Planner => any(Task::Plan),
    }
}

/// Days since 1 January of year 1, or thereabouts: only that they differ counts.
fn number(date: Date) -> i64 {
    let (year, day) = (i64::from(date.year()), i64::from(date.day_of_year()));
    year * 366 + day
}

/// Whether a bench is open on a day by its weekly hours and the closures of the region file.
fn opens(session: &Session, host: &Host, date: Date) -> bool {
    let weekday = u8::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
    let on = |text: &String| parse_hours(text).is_ok_and(|hours| hours.days.contains(&weekday));
    let day = date.to_string();
    // Dates are written so that they sort as text.
    let shut = |closure: &Closure| closure.from <= day && day <= closure.to;
    let mut closures = session.terrain.file.closures.iter().chain(&host.closures);
    host.hours.iter().any(on) && !closures.any(shut)
}
