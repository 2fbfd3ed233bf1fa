//! A bench that students run: its crew for adults, the cards of its jobs, its figures.

mod card;
mod crew;
mod figures;

use partpledge_hubs::{Job, Task};
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::Session;
use partpledge_workshop::hub::{AdultFor, DayJobs, Hub};

use crate::words;

pub(crate) use card::CardPage;
pub(crate) use crew::{CrewPage, Typed, sign_of};
pub(crate) use figures::FiguresPage;

/// A job of the day, as the bench shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TurnLine {
    pub(crate) job: &'static str,
    pub(crate) href: String,
    pub(crate) who: String,
    pub(crate) note: String,
}

/// Somebody of the crew, to be ticked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CrewTick {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) here: bool,
}

/// What stands on the run sheet of a bench that students run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct HubBox {
    /// Who is said to be there.
    pub(crate) there: String,
    pub(crate) adult: String,
    pub(crate) crew: Vec<CrewTick>,
    pub(crate) turns: Vec<TurnLine>,
    /// How many deeds an adult has to look at.
    pub(crate) to_look: String,
    pub(crate) key: String,
}

impl HubBox {
    pub(crate) fn new(session: &Session, hub: &Hub, day: &DayJobs, key: String) -> Self {
        let now = session.now;
        let present = hub.present(now);
        let crew = hub.crew().map(|one| CrewTick {
            id: one.id.to_string(),
            name: one.name.clone(),
            here: present.crew.contains(&one.id),
        });
        let crew: Vec<CrewTick> = crew.collect();
        let here: Vec<&str> = crew
            .iter()
            .filter(|one| one.here)
            .map(|one| one.name.as_str())
            .collect();
        let there = match (present.told, here.as_slice()) {
            (false, _) => "Nobody has said who is at the bench now.".to_owned(),
            (true, []) => "Nobody of the crew is at the bench now.".to_owned(),
            (true, some) => format!("At the bench now: {}.", super::bench::and(some)),
        };
        let to_look = match i64::try_from(hub.book.to_look.len()).unwrap_or(i64::MAX) {
            0 => String::new(),
            some => words::many(
                some,
                "deed waits for an adult to look at it.",
                "deeds wait for an adult to look at them.",
            ),
        };
        Self {
            there,
            adult: adult_here(session, hub),
            turns: turn_lines(hub, day, present.told),
            crew,
            to_look,
            key,
        }
    }
}

/// Until when an adult is there, in a sentence.
pub(crate) fn adult_here(session: &Session, hub: &Hub) -> String {
    hub.adult_until(session.now).map_or_else(
        || "No adult has said that they are here.".to_owned(),
        |until| format!("An adult is here until {}.", clock(session, until)),
    )
}

pub(crate) fn clock(session: &Session, at: EventMs) -> String {
    session.terrain.zone.clock(Minute(at.0.div_euclid(60_000)))
}

/// Who has which job; who is not there is only said where somebody has said who is.
pub(crate) fn turn_lines(hub: &Hub, day: &DayJobs, told: bool) -> Vec<TurnLine> {
    let line = |turn: &partpledge_workshop::hub::Turn| TurnLine {
        job: job_name(turn.job),
        href: format!("/hubs/{}/cards/{}", hub.code, turn.job.as_str()),
        who: turn.member.map_or_else(
            || "nobody is signed off".to_owned(),
            |member| hub.name_of(member).to_owned(),
        ),
        note: match (turn.member, turn.here, turn.instead) {
            _ if !told => String::new(),
            (None, ..) | (_, true, _) => String::new(),
            (_, _, Some(instead)) => {
                format!("not here; {} stands in", hub.name_of(instead))
            }
            (_, _, None) => "not here".to_owned(),
        },
    };
    day.turns.iter().map(line).collect()
}

pub(crate) fn job_name(job: Job) -> &'static str {
    match job {
        Job::Operator => "Operator",
        Job::Inspector => "Inspector",
        Job::Packer => "Packer",
        Job::Planner => "Planner",
    }
}

pub(crate) fn task_name(task: Task) -> &'static str {
    match task {
        Task::Load => "Load",
        Task::Start => "Start",
        Task::Clear => "Clear",
        Task::Inspect => "Inspect",
        Task::Pack => "Pack",
        Task::Plan => "Plan",
    }
}

/// What the site asks for an adult for, each in a few words.
pub(crate) fn adult_words(reason: AdultFor) -> &'static str {
    match reason {
        AdultFor::Unattended => "to start a plate that runs for some time with nobody there",
        AdultFor::HotMaterial => "to load, start or clear a plastic that is printed very hot",
        AdultFor::BatteryArea => {
            "to load, start or clear a printer that stands where batteries are"
        }
    }
}
