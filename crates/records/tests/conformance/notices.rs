//! Notices, what of them was seen, and the outbox.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    Before, Held, MailChoice, MessageKind, MessageState, NewMessage, NewNotice, NewPerson,
    PersonKind, RoleKind, Told,
};
use partpledge_units::ids::{IdSource, PersonId, RegionId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample::{self, LATER, NOW, deed};

const PAST: EventMs = EventMs(NOW.0 - 1_000);

fn mentor(team: &str) -> Held {
    Held::new(RoleKind::Mentor, team)
}

/// A mentor of the Newts.
async fn world(ground: &Ground) -> (RegionId, PersonId, IdSource) {
    let mut ids = IdSource::seeded(7);
    let region = sample::region(ground, &mut ids).await;
    let new = NewPerson {
        kind: PersonKind::Adult,
        name: "Wren".to_owned(),
        email: Some("wren@example.org".to_owned()),
        secret: None,
    };
    let who = (&new, &mentor("Newt Works"));
    let id = ground.add_person(region, who, &deed(), &mut ids).await;
    (region, id.unwrap(), ids)
}

fn notice(person: PersonId, says: &str) -> NewNotice {
    NewNotice {
        person,
        held: mentor("Newt Works"),
        kind: "pledge.given".to_owned(),
        entry: 1,
        at: NOW,
        urgent: true,
        link: "/parts/1".to_owned(),
        says: partpledge_words::said!("common-as-written", text = says),
    }
}

fn message(person: PersonId, key: &str) -> NewMessage {
    NewMessage {
        person,
        kind: MessageKind::Digest,
        key: key.to_owned(),
        subject: "2 notices".to_owned(),
        body: "One. Two.".to_owned(),
    }
}

/// The mentor with two notices.
async fn two(ground: &Ground) -> (RegionId, PersonId, IdSource) {
    let (region, person, ids) = world(ground).await;
    let new = [notice(person, "One."), notice(person, "Two.")];
    let step = (5, &Before::default());
    assert!(
        ground
            .tell(region, &Told::default(), step, &new)
            .await
            .unwrap()
    );
    (region, person, ids)
}

pub(crate) async fn what_is_told_is_told_once_and_seen_up_to_a_mark(ground: &Ground) {
    let (region, person, _) = two(ground).await;
    let told = ground.told(region).await.unwrap();
    assert_eq!((told.entry, told.turn, told.last), (5, 1, 2));
    let late = [notice(person, "Too late.")];
    let step = (6, &Before::default());
    for old in [
        Told::default(),
        Told {
            turn: 7,
            ..told.clone()
        },
    ] {
        let faster = ground.tell(region, &old, step, &late).await.unwrap();
        assert!(!faster, "another server was faster: {old:?}");
    }
    let mut before = Before::default();
    before.late.insert(3, None);
    let other = NewNotice {
        held: mentor("Silt Sisters"),
        ..notice(person, "Of another team.")
    };
    let step = (9, &before);
    assert!(ground.tell(region, &told, step, &[other]).await.unwrap());
    let told = ground.told(region).await.unwrap();
    assert_eq!((told.entry, told.last, &told.before), (9, 3, &before));

    let all = ground.notices_of(region, person).await.unwrap();
    let says: Vec<_> = all
        .iter()
        .map(|one| (one.n, one.said.says.to_string()))
        .collect();
    let two = [(2, "Two.".to_owned()), (1, "One.".to_owned())];
    assert_eq!(says, two, "in roles that are held");
    assert_eq!(all[1].said, notice(person, "One."));
    assert!(all.iter().all(|one| !one.seen && !one.in_message));
    let held = mentor("Newt Works");
    for (upto, left) in [(1, 1), (0, 1), (90, 0)] {
        let whose = (person, &held);
        ground.saw_notices(region, whose, upto).await.unwrap();
        let unseen = ground.unseen(region, person).await.unwrap();
        let many: usize = unseen.iter().map(|one| one.many).sum();
        assert_eq!(many, left, "up to {upto}");
    }
    let new = [notice(person, "Three.")];
    let told = ground.told(region).await.unwrap();
    assert!(ground.tell(region, &told, step, &new).await.unwrap());
    let unseen = ground.unseen(region, person).await.unwrap();
    assert_eq!((unseen[0].many, &unseen[0].held), (1, &held), "yet to come");
    assert_eq!(ground.forget_notices(region, NOW).await.unwrap(), 0);
    assert_eq!(ground.forget_notices(region, LATER).await.unwrap(), 3);
}

pub(crate) async fn a_message_is_made_once_and_a_notice_stands_in_one(ground: &Ground) {
    let (region, person, mut ids) = two(ground).await;
    let day = message(person, "day 1");
    let ids = &mut ids;
    let waited_for = |since| ground.waited_for(region, since);
    assert_eq!(waited_for(PAST).await.unwrap(), [person]);
    assert_eq!(waited_for(NOW).await.unwrap(), [], "too old");
    let taken = ground.add_message(region, (&day, &[1, 9]), ids, NOW).await;
    assert!(!taken.unwrap(), "there is no notice 9");
    assert!(ground.messages(region, 10).await.unwrap().is_empty());
    let made = ground.add_message(region, (&day, &[1, 2]), ids, NOW).await;
    assert!(made.unwrap());
    for (key, holds) in [("day 1", &[][..]), ("day 2", &[2][..])] {
        let new = message(person, key);
        let twice = ground.add_message(region, (&new, holds), ids, NOW).await;
        assert!(!twice.unwrap(), "{key}");
    }
    let all = ground.messages(region, 10).await.unwrap();
    assert_eq!((all.len(), &all[0].said), (1, &day));
    assert_eq!((all[0].state, all[0].attempts), (MessageState::Kept, 0));
    let notices = ground.notices_of(region, person).await.unwrap();
    assert!(notices.iter().all(|one| one.in_message));
    assert_eq!(waited_for(PAST).await.unwrap(), [], "all in a message");

    // What was given up could be sent again: with the role it goes as what waits does.
    for (key, at) in [("day 3", NOW), ("day 4", LATER)] {
        let new = message(person, key);
        let made = ground.add_message(region, (&new, &[]), ids, at).await;
        assert!(made.unwrap());
    }
    let why = "not for a day.";
    let late = ground.messages_too_late(region, NOW, why).await;
    assert_eq!(late.unwrap(), 2, "made then or before");
    let all = ground.messages(region, 10).await.unwrap();
    let failed = all.iter().filter(|one| one.state == MessageState::Failed);
    assert!(
        failed
            .clone()
            .all(|one| one.failure.as_deref() == Some(why))
    );
    assert_eq!((failed.count(), all[0].state), (2, MessageState::Kept));
    for (key, there) in [("day 1", true), ("day 4", true), ("day 2", false)] {
        let has = ground.has_message(region, (person, key)).await;
        assert_eq!(has.unwrap(), there, "{key}");
    }
    let waits = (MessageState::Kept, "busy.", LATER);
    ground.message_waits(region, &all[0], waits).await.unwrap();
    ground.messages_too_late(region, LATER, why).await.unwrap();
    let all = ground.messages(region, 10).await.unwrap();
    let last = all[0].failure.as_deref();
    assert_eq!(last, Some("not for a day. busy."));
    let lost = (person, &mentor("Newt Works"));
    ground.end_role(region, lost, &deed(), ids).await.unwrap();
    assert!(ground.messages(region, 10).await.unwrap().is_empty());
    assert!(ground.notices_of(region, person).await.unwrap().is_empty());
}

pub(crate) async fn a_message_that_was_cut_off_never_goes_again_by_itself(ground: &Ground) {
    let (region, person, mut ids) = two(ground).await;
    for key in ["day 1", "day 2"] {
        let new = message(person, key);
        let made = ground.add_message(region, (&new, &[]), &mut ids, NOW).await;
        assert!(made.unwrap());
    }
    let due = ground.messages_due(region, NOW, PAST).await.unwrap();
    assert_eq!(due.len(), 2);
    assert!(
        ground
            .messages_due(region, LATER, NOW)
            .await
            .unwrap()
            .is_empty(),
        "old"
    );
    let goes = ground.message_goes(region, &due[0], NOW).await.unwrap();
    let goes = goes.unwrap();
    let twice = ground.message_goes(region, &due[0], NOW).await.unwrap();
    assert_eq!(twice, None, "another server has it");
    let why = "no answer";
    let wait = (MessageState::Kept, why, LATER);
    ground.message_waits(region, &due[1], wait).await.unwrap();
    assert!(
        ground
            .messages_due(region, NOW, PAST)
            .await
            .unwrap()
            .is_empty()
    );
    let due = ground.messages_due(region, LATER, PAST).await.unwrap();
    assert_eq!((due.len(), due[0].attempts), (1, 1));
    assert_eq!(due[0].failure.as_deref(), Some(why));
    let sent = ground.message_goes(region, &due[0], LATER).await.unwrap();
    let done = (MessageState::Sent, None, LATER);
    ground
        .message_done(region, &sent.unwrap(), done)
        .await
        .unwrap();

    // The one that was going when the server was killed.
    let early = ground.messages_cut_off(region, NOW, "cut off").await;
    assert_eq!(early.unwrap(), 0, "it may be going still");
    let cut = ground.messages_cut_off(region, LATER, "cut off").await;
    assert_eq!(cut.unwrap(), 1);
    let much_later = EventMs(LATER.0 + 1_000_000);
    let due = ground.messages_due(region, much_later, PAST).await.unwrap();
    assert!(due.is_empty(), "{due:?}");
    ground.message_done(region, &goes, done).await.unwrap();
    let to = ground.messages_to(region, person).await.unwrap();
    let states: Vec<_> = to.iter().map(|one| (one.state, one.sent_at)).collect();
    let both = [
        (MessageState::Failed, None),
        (MessageState::Sent, Some(LATER)),
    ];
    assert!(both.iter().all(|one| states.contains(one)), "{states:?}");
    ground.message_again(region, goes.id, LATER).await.unwrap();
    let again = ground.message_again(region, goes.id, LATER).await;
    assert!(again.is_err(), "once is enough");
    assert_eq!(
        ground
            .messages_due(region, LATER, PAST)
            .await
            .unwrap()
            .len(),
        1
    );
    assert_eq!(ground.forget_messages(region, much_later).await.unwrap(), 2);
}

pub(crate) async fn an_erased_person_leaves_no_notice_and_no_message(ground: &Ground) {
    let (region, person, mut ids) = two(ground).await;
    let new = message(person, "day 1");
    let made = ground
        .add_message(region, (&new, &[1]), &mut ids, NOW)
        .await;
    assert!(made.unwrap());
    let chosen = || ground.mail_choice(region, person);
    assert_eq!(chosen().await.unwrap(), MailChoice::Digest, "unless chosen");
    for choice in [MailChoice::Urgent, MailChoice::None] {
        ground.choose_mail(region, person, choice).await.unwrap();
        assert_eq!(chosen().await.unwrap(), choice);
    }
    let whose = (person, &mentor("Newt Works"));
    ground.saw_notices(region, whose, 2).await.unwrap();
    let erased = ground.erase_person(region, person, &deed(), &mut ids).await;
    erased.unwrap();
    assert!(ground.notices_of(region, person).await.unwrap().is_empty());
    assert!(ground.messages_to(region, person).await.unwrap().is_empty());
    assert_eq!(chosen().await.unwrap(), MailChoice::Digest);
    let told = ground.told(region).await.unwrap();
    let step = (9, &Before::default());
    let late = [notice(person, "Too late.")];
    assert!(ground.tell(region, &told, step, &late).await.unwrap());
    assert!(ground.notices_of(region, person).await.unwrap().is_empty());
}
