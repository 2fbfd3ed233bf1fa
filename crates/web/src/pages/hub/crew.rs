//! The crew of a bench, for the adults who are responsible.

use std::collections::BTreeMap;

use askama::Template;
use jiff::Span;
use partpledge_hubs::{Said, Task};
use partpledge_records::{KeptSign, Person};
use partpledge_units::ids::CrewId;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_words::say;
use partpledge_workshop::hub::{DayJobs, Hub, LONGEST_DAYS};
use partpledge_workshop::{Session, class_says};

use super::{TurnLine, adult_here, adult_words, listed, task_name, turn_lines};
use crate::pages::entry::wrong_with;
use crate::pages::send::Wrong;
use crate::who::Head;
use crate::words;

/// How long a sign-off is offered to hold, days. Common practice, no source.
const OFFERED_DAYS: i64 = 90;
/// How many of the last sign-offs are listed with who gave them.
const LISTED: usize = 30;

/// What was typed, to be shown again when something is wrong with it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    pub(crate) name: String,
    /// Whom of the mentor's team.
    pub(crate) student: String,
    pub(crate) member: String,
    /// Who is to be taken off.
    pub(crate) leaver: String,
    /// What was looked at.
    pub(crate) entry: String,
    pub(crate) signs: Vec<String>,
    pub(crate) until: String,
    pub(crate) clock: String,
}

/// Somebody of the crew with what they may do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct MemberRow {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) chosen: bool,
    /// What they are signed off for, and until when.
    pub(crate) may: Vec<String>,
}

/// A task to be ticked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct SignTick {
    pub(crate) value: String,
    pub(crate) text: String,
    pub(crate) ticked: bool,
}

/// Something in words, with a value for a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Listed {
    pub(crate) value: String,
    pub(crate) text: String,
}

/// The page.
#[derive(Template)]
#[template(path = "hub.html")]
pub(crate) struct CrewPage {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) title: String,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) adult: String,
    /// Whether the one who looks has said that they are there.
    pub(crate) you_are_here: bool,
    pub(crate) asks: Vec<String>,
    pub(crate) turns: Vec<TurnLine>,
    pub(crate) members: Vec<MemberRow>,
    pub(crate) signs: Vec<SignTick>,
    pub(crate) students: Vec<Listed>,
    pub(crate) to_look: Vec<Listed>,
    pub(crate) log: Vec<String>,
    pub(crate) today: String,
    pub(crate) latest: String,
    pub(crate) typed: Typed,
    /// Whether whoever looks has a password to be asked for.
    pub(crate) asks_password: bool,
    pub(crate) key: String,
}

/// A sign-off as a form has it: `load:standard`.
pub(crate) fn sign_of(text: &str) -> Option<(Task, String)> {
    let (task, class) = text.split_once(':')?;
    Some((Task::parse(task)?, class.to_owned()))
}

fn day(session: &Session, at: EventMs) -> String {
    session.terrain.zone.day(Minute::at_or_before(at))
}

/// Tasks in words: `Load, start and clear`.
fn tasks_in_words(tasks: &[Task]) -> String {
    let names: Vec<String> = tasks
        .iter()
        .map(|task| task_name(*task).to_lowercase())
        .collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    words::capital(&listed(&names))
}

/// `Load, start and clear, standard open printer`.
fn what(session: &Session, tasks: &[Task], class: &str) -> String {
    let tasks = tasks_in_words(tasks);
    match session.catalogue.class(class) {
        Some(class) => say!(
            "hub-on-class",
            tasks = tasks,
            class = class_says(&class.name)
        ),
        None => tasks,
    }
}

/// What somebody may do, a line for each class and last day.
fn may(session: &Session, own: &[&&Said]) -> Vec<String> {
    let mut lines: BTreeMap<(&str, EventMs), Vec<Task>> = BTreeMap::new();
    for said in own {
        let until = said.until.unwrap_or(said.at);
        lines
            .entry((&said.class, until))
            .or_default()
            .push(said.task);
    }
    let line = |((class, until), tasks): (&(&str, EventMs), &Vec<Task>)| {
        // It holds until the first moment of the day after.
        let last = day(session, EventMs(until.0 - 1));
        say!("hub-may", what = what(session, tasks, class), day = last)
    };
    lines.iter().map(line).collect()
}

/// Classes of printers that stand at the bench, by code and name.
fn classes(session: &Session, code: &str) -> BTreeMap<String, String> {
    let own = session.terrain.file.printers.iter();
    let own = own.filter(|printer| {
        printer.host == code || printer.stays.iter().any(|stay| stay.host == code)
    });
    let named = own.filter_map(|printer| session.catalogue.class(&printer.class));
    named
        .map(|class| (class.code.clone(), class_says(&class.name)))
        .collect()
}

impl CrewPage {
    pub(crate) fn new(
        head: Head,
        (session, hub): (&Session, &Hub),
        jobs: &DayJobs,
        typed: Typed,
    ) -> Self {
        let holds = hub.standing(session.now);
        let rows = hub.crew().map(|one| MemberRow {
            id: one.id.to_string(),
            name: one.name.clone(),
            chosen: typed.member == one.id.to_string(),
            may: {
                let own = holds.iter().filter(|said| said.member == one.id);
                may(session, &own.collect::<Vec<_>>())
            },
        });
        let members: Vec<MemberRow> = rows.collect();
        let tick = |task: Task, class: &str, text: String| {
            let value = format!("{}:{class}", task.as_str());
            let ticked = typed.signs.contains(&value);
            SignTick {
                value,
                text,
                ticked,
            }
        };
        let mut signs = Vec::new();
        for (class, name) in classes(session, &hub.code) {
            for task in Task::ALL.into_iter().filter(|task| task.is_on_a_class()) {
                let text = say!("hub-on-class", tasks = task_name(task), class = name);
                signs.push(tick(task, &class, text));
            }
        }
        for task in Task::ALL.into_iter().filter(|task| !task.is_on_a_class()) {
            signs.push(tick(task, "", task_name(task)));
        }
        let zone = &session.terrain.zone;
        let today = zone.date(session.minute());
        let after = |days: i64| today.saturating_add(Span::new().days(days)).to_string();
        let mut typed = typed;
        if typed.until.is_empty() {
            typed.until = after(OFFERED_DAYS);
        }
        if typed.clock.is_empty() {
            typed.clock = zone.clock(session.minute() + Minutes(60));
        }
        let looks = hub.book.to_look.iter().map(|look| Listed {
            value: look.entry.to_string(),
            text: say!(
                "hub-look",
                deed = deed_words(&look.deed, look.plate),
                day = day(session, look.at),
                clock = super::clock(session, look.at),
                why = why_words(&look.why)
            ),
        });
        Self {
            code: hub.code.clone(),
            title: say!("hub-title", host = hub.name),
            wrong: Vec::new(),
            adult: adult_here(session, hub),
            you_are_here: false,
            asks: hub.adult_for.iter().map(|one| adult_words(*one)).collect(),
            turns: turn_lines(hub, jobs, hub.present(session.now).told),
            members,
            signs,
            students: Vec::new(),
            to_look: looks.collect(),
            log: Vec::new(),
            today: today.to_string(),
            latest: after(LONGEST_DAYS),
            typed,
            asks_password: true,
            key: crate::routes::key(),
            head,
        }
    }

    /// With students of a mentor's team who could be taken in.
    pub(crate) fn with_students(mut self, hub: &Hub, students: &[Person]) -> Self {
        let is_new = |one: &&Person| hub.crew().all(|member| member.person != Some(one.id));
        let listed = |one: &Person| Listed {
            value: one.id.to_string(),
            text: one.name.clone(),
        };
        self.students = students.iter().filter(is_new).map(listed).collect();
        self
    }

    /// With the last sign-offs, each with who gave it.
    pub(crate) fn with_log(
        mut self,
        (session, hub): (&Session, &Hub),
        who: &BTreeMap<String, String>,
    ) -> Self {
        let name = |id: CrewId| match hub.name_of(id) {
            "" => say!("hub-somebody-left"),
            name => name.to_owned(),
        };
        // What was said at once of one class is one line.
        let mut lines: Vec<(&KeptSign, Vec<Task>)> = Vec::new();
        for kept in hub.book.signs.iter().rev() {
            let Some(task) = Task::parse(&kept.said.task) else {
                continue;
            };
            let told = |kept: &KeptSign| {
                let said = &kept.said;
                (
                    said.member,
                    said.class.clone(),
                    said.until,
                    kept.at,
                    kept.actor.clone(),
                )
            };
            let same = lines
                .iter()
                .position(|(first, _)| told(first) == told(kept));
            match same {
                Some(at) => lines[at].1.push(task),
                None if lines.len() < LISTED => lines.push((kept, vec![task])),
                None => break,
            }
        }
        let last = lines.into_iter().map(|(kept, mut tasks)| {
            tasks.sort_unstable();
            let what = what(session, &tasks, &kept.said.class);
            let until = kept.said.until.map(|until| EventMs(until.0 - 1));
            let by = who.get(&kept.actor).map_or("", String::as_str);
            let (at, name) = (day(session, kept.at), name(kept.said.member));
            match until {
                Some(until) => say!(
                    "hub-log-signed",
                    at = at,
                    name = name,
                    what = what,
                    until = day(session, until),
                    by = by
                ),
                None => say!(
                    "hub-log-withdrawn",
                    at = at,
                    name = name,
                    what = what,
                    by = by
                ),
            }
        });
        self.log = last.collect();
        self
    }

    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

/// What was done; a spool has its own number in place of a plate's.
fn deed_words(deed: &str, plate: u64) -> String {
    match deed {
        "load" => say!("hub-deed-load", n = plate),
        "start" => say!("hub-deed-start", n = plate),
        "look" => say!("hub-deed-look", n = plate),
        "clear" => say!("hub-deed-clear", n = plate),
        "settle" => say!("hub-deed-settle", n = plate),
        "pack" => say!("hub-deed-pack", n = plate),
        "plan" => say!("hub-deed-plan", n = plate),
        _ => say!("hub-deed-other", n = plate),
    }
}

fn why_words(why: &str) -> String {
    match why {
        "adult" => say!("hub-why-adult"),
        "not-told" => say!("hub-why-not-told"),
        _ => say!("hub-why-not-signed-off"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn page(many: usize) -> CrewPage {
        let listed = || Listed {
            value: "7".to_owned(),
            text: AWKWARD.to_owned(),
        };
        let row = || MemberRow {
            id: "m".to_owned(),
            name: AWKWARD.to_owned(),
            chosen: true,
            may: vec![AWKWARD.to_owned(); many],
        };
        let turn = || TurnLine {
            job: "Packer".to_owned(),
            href: "/hubs/otterquay/cards/packer".to_owned(),
            who: AWKWARD.to_owned(),
            note: AWKWARD.to_owned(),
        };
        let wrong = |field| Wrong {
            field,
            text: AWKWARD.to_owned(),
        };
        let fields = ["leaver", "password-l", "password-n", "password-s"];
        CrewPage {
            head: head(),
            code: "otterquay".to_owned(),
            title: AWKWARD.to_owned(),
            wrong: fields.into_iter().take(2 * many).map(wrong).collect(),
            adult: AWKWARD.to_owned(),
            you_are_here: many > 0,
            asks: vec!["to be there".to_owned(); many],
            turns: (0..many).map(|_| turn()).collect(),
            members: (0..many).map(|_| row()).collect(),
            signs: vec![SignTick {
                value: "load:standard".to_owned(),
                text: AWKWARD.to_owned(),
                ticked: true,
            }],
            students: (0..many).map(|_| listed()).collect(),
            to_look: (0..many)
                .map(|n| Listed {
                    value: (7 + n).to_string(),
                    ..listed()
                })
                .collect(),
            log: vec![AWKWARD.to_owned(); many],
            today: "2027-03-09".to_owned(),
            latest: "2028-03-09".to_owned(),
            typed: Typed {
                name: AWKWARD.to_owned(),
                student: "7".to_owned(),
                leaver: "m".to_owned(),
                entry: "7".to_owned(),
                until: "2027-06-07".to_owned(),
                ..Typed::default()
            },
            asks_password: many > 0,
            key: "k".to_owned(),
        }
    }

    #[test]
    fn a_crew_renders_from_its_samples_empty_and_full() {
        let empty = page(0).render().unwrap();
        sound(&empty);
        assert!(
            empty.contains("Nobody is on the crew yet.") && !empty.contains("type=\"password\"")
        );
        let full = page(2).render().unwrap();
        sound(&full);
        assert!(full.contains("There is a problem") && full.contains("type=\"password\""));
        assert_eq!(full.matches("value=\"looked\"").count(), 2);
        assert_eq!(full.matches("id=\"password-l\"").count(), 1);
        assert!(
            full.contains("<option value=\"7\" selected>"),
            "the student"
        );
        assert!(
            full.contains("<details id=\"off\" open>"),
            "what is wrong is seen"
        );
        assert!(!empty.contains("id=\"off\""));
    }

    #[test]
    fn a_deed_to_look_at_names_its_plate_or_its_spool() {
        assert_eq!(deed_words("load", 4), "Spool S-4 was put on a printer");
        assert_eq!(deed_words("start", 4), "Plate 4 was started");
    }

    #[test]
    fn a_sign_off_is_read_as_the_form_has_it() {
        assert_eq!(
            sign_of("load:standard"),
            Some((Task::Load, "standard".to_owned()))
        );
        assert_eq!(sign_of("pack:"), Some((Task::Pack, String::new())));
        assert_eq!((sign_of("weld:standard"), sign_of("load")), (None, None));
    }
}
