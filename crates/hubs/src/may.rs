//! Who may do what at a bench: sign-offs as they stood at a moment, and who was there.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_units::ids::CrewId;
use partpledge_units::time::EventMs;

use crate::task::Task;

/// Something that was said about a sign-off: given, extended or withdrawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// Of whom.
    pub member: CrewId,
    /// For what.
    pub task: Task,
    /// Code of the class of printers; empty for what is on no class.
    pub class: String,
    /// When it was said.
    pub at: EventMs,
    /// It holds until then; `None` when it was withdrawn.
    pub until: Option<EventMs>,
}

/// Something that a deed takes somebody for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// What.
    pub task: Task,
    /// Code of the class of printers; empty for what is on no class.
    pub class: String,
}

impl Need {
    /// A task on a class; for what is on no class that is left out.
    #[must_use]
    pub fn new(task: Task, class: &str) -> Self {
        let class = if task.is_on_a_class() { class } else { "" };
        let class = class.to_owned();
        Self { task, class }
    }
}

/// Who was at the bench at a moment.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Present {
    /// Whether an adult was.
    pub adult: bool,
    /// Whether anybody had said who of the crew was there.
    pub told: bool,
    /// Who of the crew was.
    pub crew: BTreeSet<CrewId>,
}

/// Whether a deed may be done by those who are there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Somebody there may.
    Yes,
    /// It is the site's rule that an adult does it or stands by, and none is there.
    AdultAsked,
    /// Nobody there is signed off for this; those who are, be they there or not.
    NobodyThere {
        /// The first thing that nobody there may do.
        need: Need,
        /// Who is signed off for it.
        could: Vec<CrewId>,
    },
}

/// The sign-offs that hold at a moment: what was said last until then, if that was no withdrawal and
/// has not ended. `said` stands in the order in which it was said.
///
/// ```
/// use partpledge_hubs::{Said, Task, standing};
/// use partpledge_units::ids::{CrewId, IdSource};
/// use partpledge_units::time::EventMs;
///
/// let member = CrewId::fresh(&mut IdSource::seeded(1), EventMs(0));
/// let say = |at, until| Said {
///     member,
///     task: Task::Clear,
///     class: "standard".to_owned(),
///     at: EventMs(at),
///     until,
/// };
/// let said = [say(10, Some(EventMs(50))), say(30, None)];
/// assert_eq!(standing(&said, EventMs(9)).len(), 0);
/// assert_eq!(standing(&said, EventMs(20)).len(), 1);
/// assert_eq!(standing(&said, EventMs(30)).len(), 0);
/// assert_eq!(standing(&said[..1], EventMs(50)).len(), 0);
/// ```
#[must_use]
pub fn standing(said: &[Said], at: EventMs) -> Vec<&Said> {
    let mut last: BTreeMap<(CrewId, Task, &str), &Said> = BTreeMap::new();
    for one in said.iter().filter(|one| one.at <= at) {
        last.insert((one.member, one.task, one.class.as_str()), one);
    }
    let holds = |one: &&Said| one.until.is_some_and(|until| at < until);
    last.into_values().filter(holds).collect()
}

/// Whether those present may do what takes `needs`. Where an adult is there, they may; where the site
/// asks for one, nobody else may. Otherwise each need is met by somebody there, not always the same.
#[must_use]
pub fn judge(
    needs: &[Need],
    adult_asked: bool,
    present: &Present,
    (said, at): (&[Said], EventMs),
) -> Verdict {
    if present.adult {
        return Verdict::Yes;
    }
    if adult_asked {
        return Verdict::AdultAsked;
    }
    let holds = standing(said, at);
    for need in needs {
        let fits = |one: &&&Said| one.task == need.task && one.class == need.class;
        let could: Vec<CrewId> = holds.iter().filter(fits).map(|one| one.member).collect();
        if !could.iter().any(|member| present.crew.contains(member)) {
            let need = need.clone();
            return Verdict::NobodyThere { need, could };
        }
    }
    Verdict::Yes
}
