//! Who may do what, by hand.

use std::collections::BTreeSet;

use partpledge_hubs::{Need, Present, Said, Task, Verdict, judge, standing};
use partpledge_units::ids::{CrewId, IdSource};
use partpledge_units::time::EventMs;
use proptest::prelude::*;

fn two() -> [CrewId; 2] {
    let mut ids = IdSource::seeded(3);
    [0, 1].map(|_| CrewId::fresh(&mut ids, EventMs(0)))
}

fn said(member: CrewId, task: Task, class: &str, until: Option<i64>) -> Said {
    Said {
        member,
        task,
        class: class.to_owned(),
        at: EventMs(10),
        until: until.map(EventMs),
    }
}

fn there(crew: &[CrewId]) -> Present {
    Present {
        adult: false,
        told: true,
        crew: crew.iter().copied().collect::<BTreeSet<_>>(),
    }
}

#[test]
fn each_need_is_met_by_somebody_there_on_that_class_and_in_time() {
    let [a, b] = two();
    let signs = [
        said(a, Task::Load, "standard", Some(100)),
        said(b, Task::Start, "standard", Some(100)),
    ];
    let needs = |class| [Need::new(Task::Load, class), Need::new(Task::Start, class)];
    let at =
        |present: &Present, class, ms| judge(&needs(class), false, present, (&signs, EventMs(ms)));
    assert_eq!(at(&there(&[a, b]), "standard", 20), Verdict::Yes);
    let missing = |task, class: &str, could: &[CrewId]| Verdict::NobodyThere {
        need: Need::new(task, class),
        could: could.to_vec(),
    };
    assert_eq!(
        at(&there(&[a]), "standard", 20),
        missing(Task::Start, "standard", &[b])
    );
    assert_eq!(
        at(&there(&[a, b]), "swift", 20),
        missing(Task::Load, "swift", &[])
    );
    assert_eq!(
        at(&there(&[a, b]), "standard", 100),
        missing(Task::Load, "standard", &[])
    );
    assert_eq!(
        at(&there(&[a, b]), "standard", 9),
        missing(Task::Load, "standard", &[])
    );
}

#[test]
fn an_adult_may_where_nobody_else_may() {
    let [a, _] = two();
    let signs = [said(a, Task::Start, "standard", Some(100))];
    let needs = [Need::new(Task::Start, "standard")];
    let at = EventMs(20);
    assert_eq!(
        judge(&needs, true, &there(&[a]), (&signs, at)),
        Verdict::AdultAsked
    );
    let adult = Present {
        adult: true,
        ..Present::default()
    };
    assert_eq!(judge(&needs, true, &adult, (&[], at)), Verdict::Yes);
    assert_eq!(
        judge(&[], false, &there(&[]), (&[], at)),
        Verdict::Yes,
        "it takes nobody in particular"
    );
    assert_eq!(Need::new(Task::Pack, "standard"), Need::new(Task::Pack, ""));
}

proptest! {
    /// What is withdrawn is withdrawn, and giving it again gives it again.
    #[test]
    fn what_was_said_last_counts(steps in prop::collection::vec((0..40_i64, prop::option::of(0..60_i64)), 0..8), at in 0..60_i64) {
        let [a, _] = two();
        let mut steps = steps;
        steps.sort_by_key(|(at, _)| *at);
        let all: Vec<Said> = steps
            .iter()
            .map(|(at, until)| Said { at: EventMs(*at), ..said(a, Task::Clear, "swift", *until) })
            .collect();
        let last = steps.iter().rfind(|(then, _)| *then <= at);
        let holds = last.is_some_and(|(_, until)| until.is_some_and(|until| at < until));
        prop_assert_eq!(!standing(&all, EventMs(at)).is_empty(), holds);
    }
}

#[test]
fn words_are_read_back() {
    let jobs = partpledge_hubs::Job::ALL;
    assert!(
        jobs.iter()
            .all(|job| partpledge_hubs::Job::parse(job.as_str()) == Some(*job))
    );
    let on_none: Vec<_> = Task::ALL
        .into_iter()
        .filter(|task| !task.is_on_a_class())
        .collect();
    assert_eq!(on_none, [Task::Pack, Task::Plan]);
    assert_eq!(Task::parse("plan").unwrap(), Task::Plan);
}
