//! The card of a job of the day: one page, to be printed and kept at the bench.
//!
//! What stands on it is common practice, no source; the site's rules and the maker's words come first.

use askama::Template;
use partpledge_hubs::Job;
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::hub::{AdultFor, DayJobs, Hub};

use super::{job_name, turn_lines};
use crate::who::Head;

/// The card.
#[derive(Template)]
#[template(path = "hub_card.html")]
pub(crate) struct CardPage {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) job: String,
    pub(crate) host: String,
    pub(crate) day: String,
    pub(crate) who: String,
    pub(crate) does: Vec<String>,
    pub(crate) never: Vec<String>,
    pub(crate) mind: Vec<String>,
}

impl CardPage {
    pub(crate) fn new(
        head: Head,
        (session, hub): (&Session, &Hub),
        (job, day): (Job, &DayJobs),
    ) -> Self {
        let place = Job::ALL.iter().position(|one| *one == job);
        let turn = place.and_then(|place| turn_lines(hub, day, false).into_iter().nth(place));
        let who = turn.map(|turn| turn.who);
        let noon = jiff::civil::time(12, 0, 0, 0);
        let zone = &session.terrain.zone;
        let own = never(job).into_iter();
        let asked = hub.adult_for.iter().map(|reason| match reason {
            AdultFor::Unattended => say!("cards-no-adult-unattended"),
            AdultFor::HotMaterial => say!("cards-no-adult-hot"),
            AdultFor::BatteryArea => say!("cards-no-adult-battery"),
        });
        Self {
            code: hub.code.clone(),
            job: job_name(job),
            host: hub.name.clone(),
            day: zone.day(zone.minute(day.date, noon)),
            who: who.unwrap_or_else(|| say!("cards-closed")),
            does: does(job),
            never: match job {
                Job::Operator | Job::Inspector => own.chain(asked).collect(),
                Job::Packer | Job::Planner => own.collect(),
            },
            mind: mind(job),
            head,
        }
    }
}

fn does(job: Job) -> Vec<String> {
    match job {
        Job::Operator => vec![
            say!("cards-operator-does-1"),
            say!("cards-operator-does-2"),
            say!("cards-operator-does-3"),
            say!("cards-operator-does-4"),
            say!("cards-operator-does-5"),
            say!("cards-operator-does-6"),
            say!("cards-operator-does-7"),
        ],
        Job::Inspector => vec![
            say!("cards-inspector-does-1"),
            say!("cards-inspector-does-2"),
            say!("cards-inspector-does-3"),
            say!("cards-inspector-does-4"),
            say!("cards-inspector-does-5"),
            say!("cards-inspector-does-6"),
        ],
        Job::Packer => vec![
            say!("cards-packer-does-1"),
            say!("cards-packer-does-2"),
            say!("cards-packer-does-3"),
            say!("cards-packer-does-4"),
            say!("cards-packer-does-5"),
        ],
        Job::Planner => vec![
            say!("cards-planner-does-1"),
            say!("cards-planner-does-2"),
            say!("cards-planner-does-3"),
            say!("cards-planner-does-4"),
            say!("cards-planner-does-5"),
            say!("cards-planner-does-6"),
            say!("cards-planner-does-7"),
        ],
    }
}

fn never(job: Job) -> Vec<String> {
    match job {
        Job::Operator => vec![
            say!("cards-operator-never-1"),
            say!("cards-operator-never-2"),
        ],
        Job::Inspector => vec![say!("cards-inspector-never-1")],
        Job::Packer => vec![say!("cards-packer-never-1"), say!("cards-packer-never-2")],
        Job::Planner => vec![say!("cards-planner-never-1"), say!("cards-planner-never-2")],
    }
}

fn mind(job: Job) -> Vec<String> {
    match job {
        Job::Operator => vec![
            say!("cards-operator-mind-1"),
            say!("cards-operator-mind-2"),
            say!("cards-operator-mind-3"),
            say!("cards-operator-mind-4"),
        ],
        Job::Inspector => vec![
            say!("cards-inspector-mind-1"),
            say!("cards-inspector-mind-2"),
            say!("cards-inspector-mind-3"),
        ],
        Job::Packer => vec![say!("cards-packer-mind-1"), say!("cards-packer-mind-2")],
        Job::Planner => vec![say!("cards-planner-mind-1"), say!("cards-planner-mind-2")],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn every_card_says_what_to_do_what_not_alone_and_what_to_mind() {
        for job in Job::ALL {
            let page = CardPage {
                head: head(),
                code: "otterquay".to_owned(),
                job: job_name(job),
                host: AWKWARD.to_owned(),
                day: "Tuesday 9 March".to_owned(),
                who: AWKWARD.to_owned(),
                does: does(job),
                never: never(job),
                mind: mind(job),
            };
            let page = page.render().unwrap();
            sound(&page);
            for text in ["In this order", "Never alone", "Mind"] {
                assert!(page.contains(text), "{job:?}: {text}");
            }
            for word in ["approved", "certified"] {
                assert!(!page.contains(word), "{job:?}: {word}");
            }
        }
    }
}
