//! What a deed takes, when an adult is asked, and the plain line that says so.

use partpledge_catalogue::class_says;
use partpledge_catalogue::region::AdultFor;
use partpledge_hubs::{Need, Present, Task, Verdict, judge};
use partpledge_planning_model::{Assignment, PrinterIx};
use partpledge_records::Event;
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::{Said, said, say};

use super::Hub;
use crate::bench::Act;
use crate::run_sheet::JobKind;
use crate::session::Session;

/// Kinds of deeds, by what they take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// A spool is put on a printer.
    Load,
    /// A plate is loaded and started.
    Start,
    /// Its first layer is looked at.
    Look,
    /// It comes off the bed, and its copies are counted.
    Clear,
    /// A copy that was held is good or scrap.
    Settle,
    /// A box is closed, leaves or is handed over.
    Pack,
    /// A plate is passed on to another school.
    Plan,
    /// What anybody may say: that something went wrong.
    Anybody,
}

impl Doing {
    /// What a deed at the bench is.
    #[must_use]
    pub fn of(act: &Act) -> Self {
        match act {
            Act::Start => Self::Start,
            Act::Look => Self::Look,
            Act::TakeOff { .. } | Act::Inspect { .. } => Self::Clear,
            Act::Settle(_) | Act::Check { .. } => Self::Settle,
            Act::Box | Act::Leave | Act::HandOver(_) | Act::MissLeg { .. } => Self::Pack,
            Act::Decline { .. } => Self::Plan,
            Act::Fail { .. } | Act::PutOut { .. } | Act::Doubt(_) => Self::Anybody,
        }
    }

    /// What a line of the run sheet is ticked with.
    #[must_use]
    pub fn of_job(job: JobKind) -> Self {
        match job {
            JobKind::Load => Self::Start,
            JobKind::Look => Self::Look,
            JobKind::Clear => Self::Clear,
            // Anybody may stop a printer, and say so.
            JobKind::Stop => Self::Anybody,
            JobKind::Box | JobKind::HandOver => Self::Pack,
        }
    }

    /// As stored and sent.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Load => "load",
            Self::Start => "start",
            Self::Look => "look",
            Self::Clear => "clear",
            Self::Settle => "settle",
            Self::Pack => "pack",
            Self::Plan => "plan",
            Self::Anybody => "tell",
        }
    }

    fn tasks(self) -> &'static [Task] {
        match self {
            Self::Load => &[Task::Load],
            Self::Start => &[Task::Load, Task::Start],
            Self::Look => &[Task::Start],
            Self::Clear => &[Task::Clear, Task::Inspect],
            Self::Settle => &[Task::Inspect],
            Self::Pack => &[Task::Pack],
            Self::Plan => &[Task::Plan],
            Self::Anybody => &[],
        }
    }
}

/// What a deed is done with.
#[derive(Clone, Copy, Debug, Default)]
pub struct Subject<'a> {
    /// Name of the printer; empty for none.
    pub printer: &'a str,
    /// Code of the material; empty for none.
    pub material: &'a str,
    /// Where it stands in the plan.
    pub place: Option<&'a Assignment>,
    /// Whether it is only shown, for when it is planned, and not done yet.
    pub ahead: bool,
}

/// Why those who are there may not do it by themselves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// The site asks for an adult, for these reasons.
    Adult(Vec<AdultFor>),
    /// An adult has put a printer out of use, and none is there.
    AdultPutOut,
    /// Nobody there is signed off.
    NobodyThere {
        /// For what.
        task: Task,
        /// Name of the class of printers; empty for what is on none.
        class: String,
        /// Nicknames of those who are.
        could: Vec<String>,
        /// Whether anybody has said who is there.
        told: bool,
    },
}

impl Ask {
    /// A stable word for programs and the list of what an adult looks at.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Adult(_) | Self::AdultPutOut => "adult",
            Self::NobodyThere { told: false, .. } => "not-told",
            Self::NobodyThere { .. } => "not-signed-off",
        }
    }

    /// The line that stands in place of the button.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Adult(reasons) => {
                let all = reasons.iter().map(|one| because(*one));
                let joined = |before, next| said!("hub-ask-because", before = before, next = next);
                let reasons = all
                    .reduce(joined)
                    .map_or_else(String::new, |all| all.to_string());
                say!("hub-ask-adult", reasons = reasons)
            }
            Self::AdultPutOut => say!("hub-ask-adult-put-out"),
            Self::NobodyThere {
                task,
                class,
                could,
                told,
            } => {
                let what = to_do(*task, &class_says(class));
                match (could.as_slice(), told) {
                    ([], _) => say!("hub-ask-nobody", what = what),
                    (some, true) => say!("hub-ask-may", names = or(some), what = what),
                    (some, false) => say!("hub-ask-who", names = or(some), what = what),
                }
            }
        }
    }
}

fn because(reason: AdultFor) -> Said {
    match reason {
        AdultFor::Unattended => say("hub-because-unattended"),
        AdultFor::HotMaterial => say("hub-because-hot"),
        AdultFor::BatteryArea => say("hub-because-battery"),
    }
}

fn to_do(task: Task, class: &str) -> Said {
    match task {
        Task::Load => said!("hub-do-load", class = class),
        Task::Start => said!("hub-do-start", class = class),
        Task::Clear => said!("hub-do-clear", class = class),
        Task::Inspect => said!("hub-do-inspect", class = class),
        Task::Pack => say("hub-do-pack"),
        Task::Plan => say("hub-do-plan"),
    }
}

/// `Newt`, `Newt or Teal`, `Newt, Teal or Wren`.
fn or(names: &[String]) -> String {
    match names {
        [before @ .., last] if !before.is_empty() => {
            say!("hub-or", before = before.join(", "), last = last)
        }
        one => one.concat(),
    }
}

/// Whether a run that goes on for that time runs while nobody is there.
fn runs_alone(session: &Session, printer: PrinterIx, (start, end): (Minute, Minute)) -> bool {
    let region = &session.terrain.region;
    let site = region.printers[printer.0].site_at(start);
    let mut staffed = region.sites[site.0].staffed.as_slice().iter();
    !staffed.any(|w| w.from <= start && end <= w.until)
}

/// Whether a plate runs while nobody is there: as it is planned, or started at `at` on the printer that
/// is named, which need not be as planned.
fn is_left_alone(session: &Session, subject: &Subject<'_>, at: EventMs) -> bool {
    let Some(place) = subject.place else {
        return false;
    };
    let planned = runs_alone(session, place.printer, (place.start, place.end));
    let named = session.terrain.printer_of(subject.printer);
    let mut start = Minute::at_or_after(at);
    if subject.ahead {
        start = start.max(place.start);
    }
    let now = (start, start + (place.end - place.start));
    planned || runs_alone(session, named.unwrap_or(place.printer), now)
}

impl Hub {
    /// Why those who are there at a moment may not do something by themselves; `None` when somebody
    /// may.
    #[must_use]
    pub fn asks(
        &self,
        session: &Session,
        (doing, subject): (Doing, &Subject<'_>),
        at: EventMs,
    ) -> Option<Ask> {
        self.asks_those(session, (doing, subject), at, &self.present(at))
    }

    /// The same for a sheet of paper, which hangs there whoever comes and goes: what asks for an adult,
    /// else who of the crew may do it. `None` for what anybody may.
    #[must_use]
    pub fn asks_on_paper(
        &self,
        session: &Session,
        (doing, subject): (Doing, &Subject<'_>),
        at: EventMs,
    ) -> Option<Ask> {
        let nobody = Present {
            told: true,
            ..Present::default()
        };
        self.asks_those(session, (doing, subject), at, &nobody)
    }

    fn asks_those(
        &self,
        session: &Session,
        (doing, subject): (Doing, &Subject<'_>),
        at: EventMs,
        present: &Present,
    ) -> Option<Ask> {
        let class = class_of(session, subject.printer);
        let needs = doing.tasks().iter();
        let needs: Vec<Need> = needs.map(|task| Need::new(*task, class)).collect();
        if needs.is_empty() {
            return None;
        }
        let reasons = self.adult_asked(session, (doing, subject), at);
        match judge(&needs, !reasons.is_empty(), present, (&self.said, at)) {
            Verdict::Yes => None,
            Verdict::AdultAsked => Some(Ask::Adult(reasons)),
            Verdict::NobodyThere { need, could } => {
                let found = session.catalogue.class(&need.class);
                let class = found.map_or(need.class.as_str(), |class| &class.name);
                let could = could.iter().map(|id| self.name_of(*id).to_owned());
                Some(Ask::NobodyThere {
                    task: need.task,
                    class: class.to_owned(),
                    could: could.collect(),
                    told: present.told,
                })
            }
        }
    }

    /// Why those who are there at a moment may not say that a printer can be used again which was put
    /// out of use by these deeds. What an adult has put out, only an adult puts back:
    /// the coordinator, or whoever works from the bench's sheet while an adult is there.
    #[must_use]
    pub fn asks_to_put_back(
        &self,
        session: &Session,
        (printer, out): (&str, &[(i64, Event)]),
        at: EventMs,
    ) -> Option<Ask> {
        let own = format!("host:{}", self.code);
        let by_crew = |deed: &Event| {
            let there = self.present(deed.occurred_at);
            let at_bench = deed.actor.split('/').next() == Some(own.as_str());
            at_bench && there.told && !there.adult
        };
        if out.iter().all(|(_, deed)| by_crew(deed)) {
            let subject = Subject {
                printer,
                ..Subject::default()
            };
            return self.asks(session, (Doing::Plan, &subject), at);
        }
        (!self.present(at).adult).then_some(Ask::AdultPutOut)
    }

    /// For what of all that the site asks for an adult.
    fn adult_asked(
        &self,
        session: &Session,
        (doing, subject): (Doing, &Subject<'_>),
        at: EventMs,
    ) -> Vec<AdultFor> {
        let at_printer = matches!(doing, Doing::Load | Doing::Start | Doing::Clear);
        let holds = |reason: &&AdultFor| match reason {
            AdultFor::Unattended => doing == Doing::Start && is_left_alone(session, subject, at),
            AdultFor::HotMaterial => {
                let material = session.catalogue.material(subject.material);
                at_printer && material.is_some_and(|material| material.hot)
            }
            AdultFor::BatteryArea => {
                let mut printers = session.terrain.file.printers.iter();
                at_printer
                    && printers.any(|entry| entry.name == subject.printer && entry.battery_area)
            }
        };
        self.adult_for.iter().filter(holds).copied().collect()
    }
}

/// Code of a printer's class; nothing for no printer.
fn class_of<'a>(session: &'a Session, printer: &str) -> &'a str {
    let terrain = &session.terrain;
    let found = terrain.printer_of(printer);
    found.map_or("", |at| terrain.classes[at.0].as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_who_could_or_that_an_adult_is_asked() {
        let ask = |could: &[&str], told| Ask::NobodyThere {
            task: Task::Start,
            class: "standard open printer".to_owned(),
            could: could.iter().map(|name| (*name).to_owned()).collect(),
            told,
        };
        assert_eq!(
            ask(&["Newt", "Teal"], true).words(),
            "Newt or Teal may start a standard open printer. Or ask an adult."
        );
        assert_eq!(
            ask(&["Newt"], false).words(),
            "Say who is at the bench. Newt may start a standard open printer."
        );
        assert_eq!(
            ask(&[], false).words(),
            "Ask an adult: nobody is signed off to start a standard open printer."
        );
        let adult = Ask::Adult(vec![AdultFor::Unattended, AdultFor::HotMaterial]);
        assert_eq!(
            adult.words(),
            "Ask an adult: it runs for some time with nobody there, and this plastic is printed very hot."
        );
        let codes = [ask(&[], true).code(), ask(&[], false).code(), adult.code()];
        assert_eq!(codes, ["not-signed-off", "not-told", "adult"]);
    }
}
