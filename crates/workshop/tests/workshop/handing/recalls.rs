//! Copies that are recalled: which, where they are, what becomes of them.

use partpledge_records::{Deed, NoteKind, RoleKind, StepKind};
use partpledge_units::ids::IdSource;
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::{Found, Settled, answer_recall, lift_recall, recall};
use partpledge_workshop::boxes::Stop;
use partpledge_workshop::error::WorkshopError;
use partpledge_workshop::measuring::{EachMeasured, Readings};
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

/// What was asked first, answered for the whole box.
fn check(good: bool) -> Act {
    about("", good)
}

fn about(asked: &str, good: bool) -> Act {
    let about = asked.to_owned();
    Act::Check { about, good }
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

    /// The number of a request with a newer file.
    pub(super) async fn newer(&self, at: &Session, kept: &KeptPlate) -> i64 {
        let books = self.books().await;
        let listed = books.request(kept.request).unwrap().clone();
        let file = partpledge_testbed::files().swap_remove(0);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team: &self.team,
            part: None,
            copies: 2,
            material: "PLA",
            need_by: None,
            unit: None,
            replaces: Some(&listed),
            statement: None,
            again: true,
            dimensions: None,
            over_limit: None,
            key: "send-00002",
        };
        send(at, &self.team(), &sent).await.unwrap().request.number
    }

    /// Its copies recalled twice, the first first: since the printer drifted, and since the file is old.
    async fn recalled_twice(
        &self,
        at: &Session,
        kept: &KeptPlate,
        drift_first: bool,
    ) -> (Recall, Recall) {
        let number = self
            .books()
            .await
            .request(kept.request)
            .unwrap()
            .request
            .number;
        self.newer(at, kept).await;
        let file = of_old_file(&self.books().await, number).unwrap();
        let drift = heron(at.now);
        let (first, second) = if drift_first {
            (drift, file)
        } else {
            (file, drift)
        };
        let first = self.recalled(at, &first).await;
        let second = self.recalled(at, &second).await;
        assert_eq!((first.count(Fate::open), second.count(Fate::open)), (2, 2));
        (first, second)
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
    let good = Act::Settle(Settled {
        copy: 1,
        found: Found::Good,
        about: String::new(),
        measured: Readings::new(),
    });
    act(&later, &bench(), seq, &good, None).await.unwrap();
    assert_eq!(
        refused(&later, &bench(), seq, Act::Leave).await,
        "box-recalled",
        "the other is not checked yet"
    );
    let before = world.books().await.floor.revision;
    let scrap = Act::Settle(Settled {
        copy: 2,
        found: Found::Scrap("The wrong size".to_owned()),
        about: String::new(),
        measured: Readings::new(),
    });
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
    let twice = act(&later, &bench(), seq, &check(true), None).await;
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
        let early = answer_recall(&then, &world.team(), (kept.request, "", good), None).await;
        assert_eq!(code_of(early), "recall-over", "nothing was recalled");
        let made = world.recalled(&then, &heron(then.now)).await;
        assert_eq!(made.count(|fate| fate == Fate::WithTeam), 2);
        let news = told(&then).await;
        let says = news.iter().find(|one| one.kind == "part.recalled").unwrap();
        let text = says.says.to_string();
        assert!(says.urgent && text.contains("Your team has 2 copies."));
        assert!(text.contains("Do not use them until somebody has checked them."));
        let other = Actor::new(Role::Team("Somebody Else".to_owned()));
        let theirs = answer_recall(&then, &other, (kept.request, "", good), None).await;
        assert_eq!(code_of(theirs), "not-yours");
        for before in [false, true] {
            let which = (kept.request, "", good);
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
        let late = answer_recall(&then, &world.team(), (kept.request, "", true), None).await;
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
async fn what_comes_under_a_recall_at_the_moment_that_it_is_lifted_is_lifted_too() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let made = world.recalled(&later, &heron(later.now)).await;
    lift_recall(&later, &coordinator(), made.entry, None)
        .await
        .unwrap();
    // Whoever took a plate off read the books before that, and writes after it.
    let books = world.books().await;
    let opened = books.notes(kept.request).iter();
    let mut opened = opened.filter(|note| note.said.kind == NoteKind::Recalled);
    let mut note = opened.next().unwrap().said.clone();
    note.hints.push(format!("recall: {}", made.entry));
    let (store, region) = later.store().unwrap();
    let deed = Deed {
        actor: "local".to_owned(),
        occurred_at: later.now,
        received_at: later.now,
        idempotency_key: None,
    };
    store
        .note(
            region,
            (kept.request, None),
            &note,
            &deed,
            &mut IdSource::Os,
        )
        .await
        .unwrap();
    assert!(!recalls(&world.books().await)[0].open());
    assert_eq!(world.line(&later, &kept).await.stopped, None);
    let leaves = act(&later, &bench(), kept.plate.seq.0, &Act::Leave, None).await;
    leaves.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_of_a_file_that_was_replaced_are_recalled_and_not_printed_again() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let books = world.books().await;
    let number = books.request(kept.request).unwrap().request.number;
    assert_eq!(code_of(of_old_file(&books, number)), "not-replaced");
    let newer = world.newer(&later, &kept).await;
    let books = world.books().await;
    let target = of_old_file(&books, number).unwrap();
    assert_eq!(target, Target::Version { number, newer });
    let made = world.recalled(&later, &target).await;
    assert_eq!(made.count(|fate| fate == Fate::InBox), 2);
    let seq = kept.plate.seq.0;
    let plates = world.books().await.floor.kept.len();
    let bad = check(false);
    act(&later, &bench(), seq, &bad, None).await.unwrap();
    let books = world.books().await;
    assert_eq!(books.floor.kept.len(), plates, "nobody prints an old file");
    assert_eq!(world.states(&kept).await, [State::Recalled; 2]);
    let end = books.pledge_of(kept.request).unwrap().end.clone().unwrap();
    assert_eq!(end.kind, PledgeKind::Superseded);
    assert!(books.step(seq, StepKind::Left).is_none());
    assert!(open_boxes(&later, &books, None).is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_recalled_for_two_reasons_goes_when_both_are_answered() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    let (_, file) = world.recalled_twice(&later, &kept, true).await;
    let nothing = about("cold", true);
    assert_eq!(refused(&later, &bench(), seq, nothing).await, "recall-over");
    let good = about("printer-drifted", true);
    act(&later, &bench(), seq, &good, None).await.unwrap();
    assert_eq!(refused(&later, &bench(), seq, good).await, "recall-over");
    assert_eq!(
        refused(&later, &bench(), seq, Act::Leave).await,
        "box-recalled",
        "it is of an old file all the same"
    );
    lift_recall(&later, &coordinator(), file.entry, None)
        .await
        .unwrap();
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn one_recall_lifted_leaves_the_other_open() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    let (drift, file) = world.recalled_twice(&later, &kept, true).await;
    lift_recall(&later, &coordinator(), drift.entry, None)
        .await
        .unwrap();
    assert_eq!(
        refused(&later, &bench(), seq, Act::Leave).await,
        "box-recalled"
    );
    // What is said after it was lifted is not said of it.
    act(&later, &bench(), seq, &check(true), None)
        .await
        .unwrap();
    let all = recalls(&world.books().await);
    let counts = |entry: i64, fate: Fate| {
        let mut all = all.iter();
        all.find(|one| one.entry == entry)
            .unwrap()
            .count(|one| one == fate)
    };
    assert_eq!(
        (
            counts(drift.entry, Fate::Lifted),
            counts(file.entry, Fate::Good)
        ),
        (2, 2)
    );
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_of_an_old_file_are_not_printed_again_whatever_else_they_are_recalled_for() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    world.recalled_twice(&later, &kept, false).await;
    let plates = world.books().await.floor.kept.len();
    let bad = about("printer-drifted", false);
    act(&later, &bench(), seq, &bad, None).await.unwrap();
    let books = world.books().await;
    assert_eq!(books.floor.kept.len(), plates, "nobody prints an old file");
    assert_eq!(world.states(&kept).await, [State::Recalled; 2]);
    assert!(
        recalls(&books)
            .iter()
            .all(|one| one.count(|fate| fate == Fate::Bad) == 2)
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_looked_at_before_a_recall_does_not_answer_it() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let first = world.at(boxed + Minutes(5)).await;
    world.recalled(&first, &heron(first.now)).await;
    // A tablet keeps what was found, and sends it when the same printer was recalled for longer.
    let second = world.at(boxed + Minutes(15)).await;
    let longer = Target::Printer {
        name: "Heron".to_owned(),
        from: EventMs(first.now.0 - 48 * 3_600_000),
        until: second.now,
    };
    let longer = world.recalled(&second, &longer).await;
    let sent = world.at(boxed + Minutes(20)).await;
    let told = Told {
        key: Some("t-000009"),
        done_at: Some((boxed + Minutes(10)).to_ms()),
        printer: None,
    };
    act(&sent, &bench(), seq, &check(true), told).await.unwrap();
    let open = recalls(&world.books().await);
    let open: Vec<i64> = open
        .iter()
        .filter(|one| one.open())
        .map(|one| one.entry)
        .collect();
    assert_eq!(open, [longer.entry]);
    assert_eq!(
        refused(&sent, &bench(), seq, Act::Leave).await,
        "box-recalled"
    );
    act(&sent, &bench(), seq, &check(true), None).await.unwrap();
    act(&sent, &bench(), seq, &Act::Leave, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn two_who_recall_the_same_at_the_same_moment_recall_it_once() {
    let world = World::new(REGION).await;
    let (_, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let target = heron(later.now);
    let who = coordinator();
    let (one, other) = tokio::join!(
        recall(&later, &who, &target, Some("recall-0001")),
        recall(&later, &who, &target, Some("recall-0002")),
    );
    let slower = if one.is_ok() { other } else { one };
    assert_eq!(code_of(slower), "nothing-to-recall");
    assert_eq!(recalls(&world.books().await).len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_can_not_say_that_it_has_a_recalled_box_which_lies_at_its_host() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let made = world.recalled(&later, &heron(later.now)).await;
    assert!(world.books().await.may_be_held(kept.request).is_empty());
    let early = hold(&later, &world.team(), kept.request, Some("held-0001")).await;
    assert_eq!(code_of(early), "box-recalled");
    assert_eq!(world.states(&kept).await, [State::Boxed; 2]);
    assert!(world.line(&later, &kept).await.handed.is_none());
    let books = world.books().await;
    assert!(books.pledge_of(kept.request).unwrap().end.is_none());
    lift_recall(&later, &coordinator(), made.entry, None)
        .await
        .unwrap();
    hold(&later, &world.team(), kept.request, Some("held-0001"))
        .await
        .unwrap();
    assert_eq!(world.states(&kept).await, [State::HandedOver; 2]);
}

impl World {
    /// The only plate of its request so far that was started; with when it is off.
    async fn running(&self) -> (KeptPlate, Minute) {
        let books = self.books().await;
        let kept = books.floor.kept.last().unwrap().clone();
        let place = *books.place(&kept).unwrap();
        let start = self.at(place.start).await;
        let seq = kept.plate.seq.0;
        act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
        (kept, place.cleared)
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_still_being_made_is_recalled_and_checked_once_it_is_good() {
    use partpledge_workshop::bench::Each;
    let world = World::new(REGION).await;
    let (kept, cleared) = world.running().await;
    let seq = kept.plate.seq.0;
    let early = world.at(Minute(cleared.0 - 1)).await;
    let made = world.recalled(&early, &heron(early.now)).await;
    assert_eq!(made.count(|fate| fate == Fate::BeingMade), 2);
    assert!(made.open() && made.count(Fate::open) == 0);
    let twice = recall(&early, &coordinator(), &made.target, None).await;
    assert_eq!(code_of(twice), "nothing-to-recall");
    let end = world.at(cleared).await;
    let found = [
        ((seq, 1), Found::Good),
        ((seq, 2), Found::Rework("Stringy".to_owned())),
    ];
    let each = Each::from(found);
    act(
        &end,
        &bench(),
        seq,
        &Act::Inspect {
            each,
            measured: EachMeasured::new(),
        },
        None,
    )
    .await
    .unwrap();
    let stands = async || {
        let all = recalls(&world.books().await);
        assert_eq!(all.len(), 1);
        let copies = all[0].requests.iter().flat_map(|one| &one.copies);
        copies.map(|(_, fate)| *fate).collect::<Vec<_>>()
    };
    assert_eq!(stands().await, [Fate::AtHost, Fate::BeingMade]);
    act(&end, &bench(), seq, &check(true), None).await.unwrap();
    assert_eq!(stands().await, [Fate::Good, Fate::BeingMade]);
    let settle = |number| {
        Act::Settle(Settled {
            copy: number,
            found: Found::Good,
            about: String::new(),
            measured: Readings::new(),
        })
    };
    act(&end, &bench(), seq, &settle(2), None).await.unwrap();
    assert_eq!(stands().await, [Fate::Good, Fate::AtHost]);
    assert_eq!(
        refused(&end, &bench(), seq, Act::Box).await,
        "box-recalled",
        "it was reworked, and is still of that printer"
    );
    act(&end, &bench(), seq, &settle(2), None).await.unwrap();
    assert_eq!(stands().await, [Fate::Good; 2]);
    act(&end, &bench(), seq, &Act::Box, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn what_starts_after_a_recall_is_caught_when_it_is_off_the_bed_unless_the_recall_was_lifted()
{
    for lifts in [false, true] {
        let world = World::new(REGION).await;
        let (kept, cleared) = world.running().await;
        let seq = kept.plate.seq.0;
        let end = world.at(cleared).await;
        let off = Act::TakeOff { good: 1.into() };
        act(&end, &bench(), seq, &off, None).await.unwrap();
        // The recall is about all of today: the lost one is made again on that printer.
        let made = world.recalled(&end, &heron(end.now)).await;
        assert_eq!(made.requests[0].copies, [((seq, 1), Fate::AtHost)]);
        if lifts {
            lift_recall(&end, &coordinator(), made.entry, None)
                .await
                .unwrap();
        } else {
            act(&end, &bench(), seq, &check(true), None).await.unwrap();
            assert!(!recalls(&world.books().await)[0].open());
        }
        let (again, cleared) = world.running().await;
        let second = again.plate.seq.0;
        assert_ne!(second, seq);
        let off = Act::TakeOff { good: 1.into() };
        let end = world.at(cleared).await;
        act(&end, &bench(), second, &off, None).await.unwrap();
        let all = recalls(&world.books().await);
        assert_eq!((all.len(), all[0].open()), (1, !lifts), "one recall");
        assert_eq!((all[0].entry, all[0].at), (made.entry, made.at));
        let boxed = act(&end, &bench(), second, &Act::Box, None).await;
        if lifts {
            boxed.unwrap();
            continue;
        }
        assert_eq!(code_of(boxed), "box-recalled");
        assert_eq!(all[0].count(|fate| fate == Fate::AtHost), 1);
        lift_recall(&end, &coordinator(), made.entry, None)
            .await
            .unwrap();
        act(&end, &bench(), second, &Act::Box, None).await.unwrap();
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_starts_after_the_time_of_a_recall_is_not_of_it() {
    let world = World::new(REGION).await;
    let (kept, cleared) = world.running().await;
    let end = world.at(cleared).await;
    let off = Act::TakeOff { good: 1.into() };
    act(&end, &bench(), kept.plate.seq.0, &off, None)
        .await
        .unwrap();
    let target = Target::Printer {
        name: "Heron".to_owned(),
        from: EventMs(end.now.0 - 48 * 3_600_000),
        until: end.now,
    };
    world.recalled(&end, &target).await;
    let books = world.books().await;
    let again = books.floor.kept.last().unwrap().plate.seq.0;
    let place = *books
        .floor
        .plan
        .of(books.floor.kept.last().unwrap().plate.seq)
        .unwrap();
    let start = world.at(Minute(place.start.0.max(cleared.0 + 1))).await;
    act(&start, &bench(), again, &Act::Start, None)
        .await
        .unwrap();
    let late = world.at(Minute(place.cleared.0.max(cleared.0 + 60))).await;
    let off = Act::TakeOff { good: 1.into() };
    act(&late, &bench(), again, &off, None).await.unwrap();
    act(&late, &bench(), again, &Act::Box, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_of_an_old_file_that_come_off_later_are_recalled_too() {
    let world = World::new(REGION).await;
    let (kept, cleared) = world.running().await;
    let seq = kept.plate.seq.0;
    let end = world.at(cleared).await;
    let off = Act::TakeOff { good: 1.into() };
    act(&end, &bench(), seq, &off, None).await.unwrap();
    let again = world.books().await.floor.kept.last().unwrap().plate.seq;
    let number = world
        .books()
        .await
        .request(kept.request)
        .unwrap()
        .request
        .number;
    world.newer(&end, &kept).await;
    let target = of_old_file(&world.books().await, number).unwrap();
    let made = world.recalled(&end, &target).await;
    assert_eq!(made.count(|_| true), 1);
    world.recalled(&end, &heron(end.now)).await;
    let place = *world.books().await.floor.plan.of(again).unwrap();
    let start = world.at(place.start).await;
    act(&start, &bench(), again.0, &Act::Start, None)
        .await
        .unwrap();
    let late = world.at(place.cleared).await;
    let off = Act::TakeOff { good: 1.into() };
    act(&late, &bench(), again.0, &off, None).await.unwrap();
    let all = recalls(&world.books().await);
    let at_host = all.iter().map(|one| one.count(|fate| fate == Fate::AtHost));
    assert_eq!(at_host.collect::<Vec<_>>(), [2, 2], "for both reasons");
    assert_eq!(
        refused(&late, &bench(), again.0, Act::Box).await,
        "box-recalled"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_that_its_team_went_back_to_is_not_an_old_one() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let newer = world.newer(&later, &kept).await;
    let books = world.books().await;
    let number = books.request(kept.request).unwrap().request.number;
    assert!(of_old_file(&books, number).is_ok());
    let listed = books.numbered(newer).unwrap().clone();
    let file = partpledge_testbed::files().swap_remove(1);
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team: &world.team,
        part: Some(&listed.part),
        copies: 2,
        material: "PLA",
        need_by: None,
        unit: None,
        replaces: None,
        statement: None,
        again: true,
        dimensions: None,
        over_limit: None,
        key: "send-00003",
    };
    let back = send(&later, &world.team(), &sent).await.unwrap().request;
    let books = world.books().await;
    let first = books.request(kept.request).unwrap();
    assert_eq!(back.version, first.request.version, "the same file");
    let other = &books.numbered(newer).unwrap().request;
    assert_eq!(other.state, State::Pledged, "it is still asked for");
    assert_eq!(code_of(of_old_file(&books, number)), "not-replaced");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_printer_that_left_the_region_can_be_named() {
    use partpledge_workshop::recalls::printers;
    let world = World::new(REGION).await;
    let (_, boxed) = world.boxed().await;
    let mut later = world.at(boxed + Minutes(5)).await;
    let books = world.books().await;
    assert_eq!(printers(&later, &books), ["Heron"]);
    later.terrain.region.printers.clear();
    assert_eq!(printers(&later, &books), ["Heron"]);
    let found = affected(&later, &books, &heron(later.now)).unwrap();
    assert_eq!(found[0].1.len(), 2);
    let target = Target::Printer {
        name: "Bittern".to_owned(),
        from: EventMs(later.now.0 - 1),
        until: later.now,
    };
    assert_eq!(code_of(affected(&later, &books, &target)), "unknown-name");
}
