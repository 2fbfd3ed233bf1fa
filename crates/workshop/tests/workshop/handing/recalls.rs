//! Copies that are recalled: which, where they are, what becomes of them.

use partpledge_records::{RoleKind, StepKind};
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::{Found, answer_recall, lift_recall, recall};
use partpledge_workshop::boxes::Stop;
use partpledge_workshop::error::WorkshopError;
use partpledge_workshop::notices::look;
use partpledge_workshop::recalls::{Fate, Recall, Target, affected, of_old_file, recalls};
use partpledge_workshop::risks::outcomes;

use super::*;

fn without() -> Act {
    Act::HandOver(Shown::Nothing(NoCode::Forgotten))
}

/// What Heron made within two days of that time.
fn heron(around: EventMs) -> Target {
    let half = 48 * 3_600_000;
    Target::Printer {
        name: "Heron".to_owned(),
        from: EventMs(around.0 - half),
        until: EventMs(around.0 + half),
    }
}

fn code_of(error: Result<impl std::fmt::Debug, WorkshopError>) -> &'static str {
    error.unwrap_err().code()
}

impl World {
    async fn recalled(&self, at: &Session, target: &Target) -> Recall {
        let done = recall(at, &coordinator(), target, None).await.unwrap();
        assert!(!done.before && done.moved.is_empty());
        recalls(&self.books().await).swap_remove(0)
    }

    /// The copies of a request on plates, good or not, by plate.
    async fn on_plates(&self, kept: &KeptPlate) -> Vec<(u64, State)> {
        let books = self.books().await;
        let copies = books.copies(kept.request).iter();
        copies.map(|copy| (copy.plate, copy.state)).collect()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recall_shows_what_it_would_do_and_does_it_only_then() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let books = world.books().await;
    let target = heron(later.now);
    let found = affected(&later, &books, &target).unwrap();
    assert_eq!(found.len(), 1);
    let (listed, copies) = &found[0];
    let seq = kept.plate.seq.0;
    assert_eq!(listed.request.id, kept.request);
    assert_eq!(*copies, [((seq, 1), Fate::InBox), ((seq, 2), Fate::InBox)]);
    assert!(
        recalls(&world.books().await).is_empty(),
        "nothing is written"
    );
    let none = Target::Printer {
        name: "Heron".to_owned(),
        from: EventMs(later.now.0 - 3_000 * 3_600_000),
        until: EventMs(later.now.0 - 2_000 * 3_600_000),
    };
    assert_eq!(
        code_of(affected(&later, &books, &none)),
        "nothing-to-recall"
    );
    let nobody = Target::Printer {
        name: "Grebe".to_owned(),
        from: EventMs(0),
        until: later.now,
    };
    assert_eq!(code_of(affected(&later, &books, &nobody)), "unknown-name");
    let Target::Printer { name, from, until } = target.clone() else {
        unreachable!()
    };
    let backwards = Target::Printer {
        name,
        from: until,
        until: from,
    };
    assert_eq!(
        code_of(affected(&later, &books, &backwards)),
        "out-of-range"
    );
    for nosy in [bench(), world.team()] {
        let refused = recall(&later, &nosy, &target, None).await;
        assert_eq!(code_of(refused), "not-allowed");
    }
    let made = world.recalled(&later, &target).await;
    assert_eq!(made.count(|fate| fate == Fate::InBox), 2);
    assert!(made.open());
    // What is recalled already is not recalled twice.
    let twice = recall(&later, &coordinator(), &target, None).await;
    assert_eq!(code_of(twice), "nothing-to-recall");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recalled_box_stays_until_each_copy_is_checked_and_scrap_keeps_its_promise() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    world.recalled(&later, &heron(later.now)).await;
    assert_eq!(
        world.line(&later, &kept).await.stopped,
        Some(Stop::Recalled)
    );
    for what in [Act::Leave, without()] {
        assert_eq!(refused(&later, &bench(), seq, what).await, "box-recalled");
    }
    let good = Act::Settle {
        copy: 1,
        found: Found::Good,
    };
    act(&later, &bench(), seq, &good, None).await.unwrap();
    assert_eq!(
        refused(&later, &bench(), seq, Act::Leave).await,
        "box-recalled",
        "the other is not checked yet"
    );
    let before = world.books().await.floor.revision;
    let scrap = Act::Settle {
        copy: 2,
        found: Found::Scrap("The wrong size".to_owned()),
    };
    act(&later, &bench(), seq, &scrap, None).await.unwrap();
    let books = world.books().await;
    assert_eq!(books.floor.revision, before + 1, "the plan is made anew");
    let again = books.floor.kept.last().unwrap();
    assert_eq!(
        world.on_plates(&kept).await,
        [(seq, State::Boxed), (again.plate.seq.0, State::Pledged)]
    );
    let arrival = books.pledge_of(kept.request).unwrap().pledge.arrival;
    assert_eq!(again.plate.promise.unwrap().arrival, arrival);
    assert!(books.floor.plan.of(again.plate.seq).is_some());
    let note = books.notes(kept.request).last().unwrap();
    assert_eq!(note.said.kind, NoteKind::RecallBad);
    let fate = |text: &str| note.said.hints.contains(&text.to_owned());
    assert!(fate("promise: open") && fate(&format!("again: {}", again.plate.seq.0)));
    let all = recalls(&books);
    assert!(!all[0].open());
    assert_eq!(all[0].count(|fate| fate == Fate::Good), 1);
    assert_eq!(all[0].count(|fate| fate == Fate::Bad), 1);
    // With what is good in it the box goes.
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    assert_eq!(world.line(&later, &kept).await.copies, 1);
    let twice = act(&later, &bench(), seq, &Act::Check { good: true }, None).await;
    assert_eq!(code_of(twice), "recall-over");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_that_has_copies_is_told_and_answers_once() {
    for good in [true, false] {
        let world = World::new(REGION).await;
        let people = world.session.people(world.session.now).unwrap();
        let held = partpledge_records::Held::new(RoleKind::Student, &world.team);
        people
            .try_as(&Role::of(&held))
            .await
            .expect("a student to be told");
        let (kept, there) = world.gone().await;
        let seq = kept.plate.seq.0;
        let then = world.at(there).await;
        let clock = Actor::new(Role::Clock);
        let told = async |session: &Session| {
            let books = world.books().await;
            let outcomes = outcomes(session, &books);
            look(session, &clock, &books, &outcomes).await.unwrap();
            let (store, region) = session.store().unwrap();
            let people = store.people(region).await.unwrap();
            let all = store.notices_of(region, people[0].0.id).await.unwrap();
            all.into_iter().map(|one| one.said).collect::<Vec<_>>()
        };
        act(&then, &bench(), seq, &without(), None).await.unwrap();
        told(&then).await;
        let early = answer_recall(&then, &world.team(), (kept.request, good), None).await;
        assert_eq!(code_of(early), "recall-over", "nothing was recalled");
        let made = world.recalled(&then, &heron(then.now)).await;
        assert_eq!(made.count(|fate| fate == Fate::WithTeam), 2);
        let news = told(&then).await;
        let says = news.iter().find(|one| one.kind == "part.recalled").unwrap();
        assert!(says.urgent && says.says.contains("Your team has 2 copies."));
        assert!(
            says.says
                .contains("Do not use them until somebody has checked them.")
        );
        let other = Actor::new(Role::Team("Somebody Else".to_owned()));
        let theirs = answer_recall(&then, &other, (kept.request, good), None).await;
        assert_eq!(code_of(theirs), "not-yours");
        for before in [false, true] {
            let which = (kept.request, good);
            let done = answer_recall(&then, &world.team(), which, Some("answer-001")).await;
            assert_eq!(done.unwrap().before, before);
        }
        let books = world.books().await;
        let end = books.pledge_of(kept.request).unwrap().end.clone().unwrap();
        assert_eq!(end.kind, PledgeKind::Kept, "it stays as it ended");
        if good {
            assert_eq!(world.states(&kept).await, [State::HandedOver; 2]);
            continue;
        }
        let again = books.floor.kept.last().unwrap();
        assert_eq!(again.plate.promise, None, "as soon as there is room");
        let new = again.plate.seq.0;
        assert_eq!(world.on_plates(&kept).await, [(new, State::Pledged); 2]);
        let note = books.notes(kept.request).last().unwrap();
        assert!(note.said.hints.contains(&"promise: kept".to_owned()));
        let late = answer_recall(&then, &world.team(), (kept.request, true), None).await;
        assert_eq!(code_of(late), "recall-over");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recall_that_is_lifted_leaves_everything_as_it_was() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    let before = world.on_plates(&kept).await;
    let made = world.recalled(&later, &heron(later.now)).await;
    let refused = lift_recall(&later, &bench(), made.entry, None).await;
    assert_eq!(code_of(refused), "not-allowed");
    for known in [false, true] {
        let done = lift_recall(&later, &coordinator(), made.entry, Some("lift-00001")).await;
        assert_eq!(done.unwrap().before, known);
    }
    assert_eq!(world.on_plates(&kept).await, before);
    assert_eq!(world.line(&later, &kept).await.stopped, None);
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    let all = recalls(&world.books().await);
    assert!(!all[0].open() && all[0].lifted.is_some());
    assert_eq!(all[0].count(|fate| fate == Fate::Lifted), 2);
    let again = lift_recall(&later, &coordinator(), made.entry, None).await;
    assert_eq!(code_of(again), "recall-over");
    let none = lift_recall(&later, &coordinator(), 99_999, None).await;
    assert_eq!(code_of(none), "store");
    let (store, region) = later.store().unwrap();
    let log = store.events_after(region, 0).await.unwrap();
    let kinds: Vec<&str> = log.iter().map(|(_, event)| event.kind.as_str()).collect();
    assert!(kinds.contains(&"recall.opened") && kinds.contains(&"recall.lifted"));
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_of_a_file_that_was_replaced_are_recalled_and_not_printed_again() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let books = world.books().await;
    let listed = books.request(kept.request).unwrap().clone();
    let number = listed.request.number;
    assert_eq!(code_of(of_old_file(&books, number)), "not-replaced");
    let file = partpledge_testbed::files().swap_remove(0);
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team: &world.team,
        part: None,
        copies: 2,
        material: "PLA",
        need_by: None,
        unit: None,
        replaces: Some(&listed),
        statement: None,
        again: true,
        over_limit: None,
        key: "send-00002",
    };
    let newer = send(&later, &world.team(), &sent).await.unwrap();
    let books = world.books().await;
    let target = of_old_file(&books, number).unwrap();
    let newer = newer.request.number;
    assert_eq!(target, Target::Version { number, newer });
    let made = world.recalled(&later, &target).await;
    assert_eq!(made.count(|fate| fate == Fate::InBox), 2);
    let seq = kept.plate.seq.0;
    let plates = world.books().await.floor.kept.len();
    let bad = Act::Check { good: false };
    act(&later, &bench(), seq, &bad, None).await.unwrap();
    let books = world.books().await;
    assert_eq!(books.floor.kept.len(), plates, "nobody prints an old file");
    assert_eq!(world.states(&kept).await, [State::Recalled; 2]);
    let end = books.pledge_of(kept.request).unwrap().end.clone().unwrap();
    assert_eq!(end.kind, PledgeKind::Superseded);
    assert!(books.step(seq, StepKind::Left).is_none());
    assert!(open_boxes(&later, &books, None).is_empty());
}
