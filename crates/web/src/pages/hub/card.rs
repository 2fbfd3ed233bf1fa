//! The card of a job of the day: one page, to be printed and kept at the bench.
//!
//! What stands on it is common practice, no source; the site's rules and the maker's words come first.

use askama::Template;
use partpledge_hubs::Job;
use partpledge_workshop::Session;
use partpledge_workshop::hub::{DayJobs, Hub};

use super::{adult_words, job_name, turn_lines};
use crate::who::Head;

/// The card.
#[derive(Template)]
#[template(path = "hub_card.html")]
pub(crate) struct CardPage {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) job: &'static str,
    pub(crate) host: String,
    pub(crate) day: String,
    pub(crate) who: String,
    pub(crate) does: &'static [&'static str],
    pub(crate) never: Vec<String>,
    pub(crate) mind: &'static [&'static str],
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
        let own = never(job).iter().map(|text| (*text).to_owned());
        let asked = hub.adult_for.iter().map(|reason| {
            format!(
                "Without an adult: {}.",
                adult_words(*reason).trim_start_matches("to ")
            )
        });
        Self {
            code: hub.code.clone(),
            job: job_name(job),
            host: hub.name.clone(),
            day: zone.day(zone.minute(day.date, noon)),
            who: who.unwrap_or_else(|| "the bench is closed".to_owned()),
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

fn does(job: Job) -> &'static [&'static str] {
    match job {
        Job::Operator => &[
            "Say on the run sheet who is at the bench.",
            "Take the first job that says “Do this now”.",
            "Look that the bed is cool, empty and wiped. Put in the spool that the sheet names.",
            "Start the plate, then tick it.",
            "Stay for the first lines. Look again after 15 minutes: flat lines, no gaps, corners down.",
            "When it is done, wait until the bed is below 40 °C. Take the copies off.",
            "If something looks wrong, stop the printer and press “Trouble”. Anybody may do that.",
        ],
        Job::Inspector => &[
            "Take each copy as it comes off. Hold it to the light.",
            "Look for gaps, lifted corners, shifted layers and strings.",
            "Try what must fit: a screw, a shaft, the part beside it.",
            "Say good, rework or scrap on the run sheet, and why. “One by one” asks for each copy.",
            "Put scrap in the scrap tin. Put what is reworked in the tray, with its plate’s number.",
            "If two plates in a row have scrap, tell the planner and an adult.",
        ],
        Job::Packer => &[
            "Take copies that the inspector called good. Count them.",
            "Put them in the box with the traveler’s label, then tick “Closed”.",
            "Put the box where the sheet says: the shelf for the courier, or the counter.",
            "Over the counter, ask for the box’s code. The team reads it from their part’s page.",
            "If nobody came for a box, or it did not go, say so on the run sheet.",
        ],
        Job::Planner => &[
            "Read the whole run sheet when you come. Say who is at the bench.",
            "Fetch each plate’s file and send the program of your own toolpath program.",
            "Look at the spools: enough, dry, and where the sheet says.",
            "Ask an adult early for what only an adult may do today.",
            "If the bench can’t make a plate, pass it on with a reason.",
            "Before you go: read what is still running, and tell the next planner.",
            "On Friday, read the hub’s figures with the others: what moved them?",
        ],
    }
}

fn never(job: Job) -> &'static [&'static str] {
    match job {
        Job::Operator => &[
            "Work at a printer while nobody else is in the room.",
            "Open a printer’s electrics, or change a nozzle.",
        ],
        Job::Inspector => {
            &["Cut or file a part without eye protection, or with nobody else in the room."]
        }
        Job::Packer => &[
            "Hand a box to somebody you don’t know without its code.",
            "Carry boxes out of the school.",
        ],
        Job::Planner => &[
            "Say that a printer can be used again that an adult has put out of use.",
            "Change what a sheet says about heat.",
        ],
    }
}

fn mind(job: Job) -> &'static [&'static str] {
    match job {
        Job::Operator => &[
            "Nozzle and bed burn skin: the nozzle is above 200 °C. Let them cool.",
            "Moving parts pinch. Never reach into a printer that moves. Tie back hair, sleeves and cords.",
            "Heated plastic gives off fine particles and vapours. Keep the room aired as your school says.",
            "Smoke, a smell of burning or a spark: get out, tell an adult. Do not fight it alone.",
        ],
        Job::Inspector => &[
            "Edges and strings of plastic cut. Support stubs are sharp.",
            "Scrapers slip: push away from your hand. Leave what sits on a warm bed.",
            "Parts are untested. Try them behind a guard.",
        ],
        Job::Packer => &[
            "Heavy boxes: lift with two, or make two of them.",
            "Keep the way to the door free.",
        ],
        Job::Planner => &[
            "An unattended run needs the school’s paper on the wall, and an adult where the site asks.",
            "Batteries don’t belong beside a printer.",
        ],
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
                never: never(job).iter().map(|text| (*text).to_owned()).collect(),
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
