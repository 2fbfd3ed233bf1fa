//! A bench that students run: its crew for adults, the cards of its jobs, its figures.

mod card;
mod crew;
mod figures;

use partpledge_hubs::{Job, Task};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::hub::{AdultFor, DayJobs, Hub};

pub(crate) use card::CardPage;
pub(crate) use crew::{CrewPage, Typed, sign_of};
pub(crate) use figures::FiguresPage;

/// A job of the day, as the bench shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TurnLine {
    pub(crate) job: String,
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
            (false, _) => say!("hub-box-nobody-said"),
            (true, []) => say!("hub-box-nobody"),
            (true, some) => say!("hub-box-there", names = listed(some)),
        };
        let to_look = match hub.book.to_look.len() {
            0 => String::new(),
            some => say!("hub-box-to-look", n = some),
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
        || say!("hub-no-adult"),
        |until| say!("hub-adult-until", clock = clock(session, until)),
    )
}

pub(crate) fn clock(session: &Session, at: EventMs) -> String {
    session.terrain.zone.clock(Minute::at_or_before(at))
}

/// Who has which job; who is not there is only said where somebody has said who is.
pub(crate) fn turn_lines(hub: &Hub, day: &DayJobs, told: bool) -> Vec<TurnLine> {
    let line = |turn: &partpledge_workshop::hub::Turn| TurnLine {
        job: job_name(turn.job),
        href: format!("/hubs/{}/cards/{}", hub.code, turn.job.as_str()),
        who: turn.member.map_or_else(
            || say!("hub-turn-nobody"),
            |member| hub.name_of(member).to_owned(),
        ),
        note: match (turn.member, turn.here, turn.instead) {
            _ if !told => String::new(),
            (None, ..) | (_, true, _) => String::new(),
            (_, _, Some(instead)) => {
                say!("hub-turn-stands-in", name = hub.name_of(instead))
            }
            (_, _, None) => say!("hub-turn-not-here"),
        },
    };
    day.turns.iter().map(line).collect()
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn listed(all: &[&str]) -> String {
    match all {
        [before @ .., last] if !before.is_empty() => {
            say!("common-and", before = before.join(", "), last = last)
        }
        one => one.concat(),
    }
}

pub(crate) fn job_name(job: Job) -> String {
    match job {
        Job::Operator => say!("hub-job-operator"),
        Job::Inspector => say!("hub-job-inspector"),
        Job::Packer => say!("hub-job-packer"),
        Job::Planner => say!("hub-job-planner"),
    }
}

pub(crate) fn task_name(task: Task) -> String {
    match task {
        Task::Load => say!("hub-task-load"),
        Task::Start => say!("hub-task-start"),
        Task::Clear => say!("hub-task-clear"),
        Task::Inspect => say!("hub-task-inspect"),
        Task::Pack => say!("hub-task-pack"),
        Task::Plan => say!("hub-task-plan"),
    }
}

/// What the site asks for an adult for, each in a few words.
pub(crate) fn adult_words(reason: AdultFor) -> String {
    match reason {
        AdultFor::Unattended => say!("hub-adult-unattended"),
        AdultFor::HotMaterial => say!("hub-adult-hot"),
        AdultFor::BatteryArea => say!("hub-adult-battery"),
    }
}
