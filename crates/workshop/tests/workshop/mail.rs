//! Messages by e-mail: to whom, when, once, and what becomes of each.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_records::{
    Before, Deed, Held, MailChoice, Message, MessageState, NewNotice, NewPerson, PersonKind,
    RoleKind,
};
use partpledge_units::ids::{IdSource, PersonId};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::EventMs;
use partpledge_workshop::mail::{
    Answer, Letter, again, answered, choice, choose, compose, due, goes, not_reached, outbox,
};
use partpledge_workshop::{Actor, Role, Session};

const MINUTE_MS: i64 = 60_000;

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

fn clock() -> Actor {
    Actor::new(Role::Clock)
}

impl World {
    /// The demo region on a Tuesday.
    async fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        Self { _dir: dir, session }
    }

    async fn at(&self, time: &str) -> Session {
        let at = parse_rfc3339(&format!("2027-03-{time}:00+01:00")).unwrap();
        self.session.at(at).await.unwrap()
    }

    async fn person(&self, name: &str, kind: PersonKind, held: &Held) -> Actor {
        let (store, region) = self.session.store().unwrap();
        let new = NewPerson {
            kind,
            name: name.to_owned(),
            // Even if somebody wrote one down for a student.
            email: Some(format!("{name}@example.org")),
            secret: None,
        };
        let deed = Deed {
            actor: "local".to_owned(),
            occurred_at: self.session.now,
            received_at: self.session.now,
            idempotency_key: None,
        };
        let ids = &mut IdSource::Os;
        let id = store.add_person(region, (&new, held), &deed, ids).await;
        Actor::person_as(id.unwrap(), Role::of(held))
    }

    async fn mentor(&self, name: &str) -> Actor {
        let held = Held::new(RoleKind::Mentor, "Newt Works");
        self.person(name, PersonKind::Adult, &held).await
    }

    /// Somebody is told something at that time.
    async fn tell(&self, who: &Actor, says: &str, time: &str, urgent: bool) {
        let (store, region) = self.session.store().unwrap();
        let new = NewNotice {
            person: who.person().unwrap(),
            held: who.role().held().unwrap(),
            kind: "part.may-be-late".to_owned(),
            entry: 1,
            at: self.at(time).await.now,
            urgent,
            link: "/parts/1".to_owned(),
            says: partpledge_words::said!("common-as-written", text = says),
        };
        let upto = store.told(region).await.unwrap();
        let step = (1, &Before::default());
        assert!(store.tell(region, &upto, step, &[new]).await.unwrap());
    }

    async fn compose(&self, time: &str) -> usize {
        let session = self.at(time).await;
        let site = Some("https://parts.example");
        compose(&session, &clock(), site).await.unwrap()
    }

    async fn due(&self, time: &str) -> Vec<Letter> {
        due(&self.at(time).await, &clock()).await.unwrap()
    }

    async fn to(&self, id: PersonId) -> Vec<Message> {
        let (store, region) = self.session.store().unwrap();
        store.messages_to(region, id).await.unwrap()
    }

    async fn chooses(&self, who: &Actor, chosen: MailChoice) {
        choose(&self.session, who, chosen).await.unwrap();
        assert_eq!(choice(&self.session, who).await.unwrap(), chosen);
    }
}

#[tokio::test]
async fn what_was_not_seen_comes_in_one_message_in_the_morning_and_never_to_a_student() {
    let world = World::new().await;
    let wren = world.mentor("wren").await;
    let held = Held::new(RoleKind::Student, "Newt Works");
    let otter = world.person("otter", PersonKind::Student, &held).await;
    world.tell(&wren, "Seen.", "09T10:00", false).await;
    let all = partpledge_workshop::notices::own(&world.session, &wren).await;
    let seen = all.unwrap()[0].n;
    partpledge_workshop::notices::saw(&world.session, &wren, seen)
        .await
        .unwrap();
    for who in [&wren, &otter] {
        world.tell(who, "One.", "09T10:00", true).await;
        world.tell(who, "Two.", "09T23:00", false).await;
    }
    for quiet in ["09T10:01", "09T19:59", "09T21:00", "10T06:59"] {
        assert_eq!(world.compose(quiet).await, 0, "{quiet}");
    }
    world.tell(&wren, "Of the day.", "10T07:00", false).await;
    assert_eq!(world.compose("10T07:00").await, 1);
    for later in ["10T07:01", "10T12:00"] {
        assert_eq!(world.compose(later).await, 0, "{later}: once a day");
    }
    let to = world.to(wren.person().unwrap()).await;
    assert_eq!(to.len(), 1);
    assert_eq!(to[0].said.subject, "Partpledge: 2 notices");
    let body = &to[0].said.body;
    let one = body.find("One.").unwrap();
    assert!(one < body.find("Two.").unwrap(), "oldest first: {body}");
    assert!(!body.contains("Seen.") && !body.contains("Of the day"));
    assert!(body.contains("https://parts.example/parts/1"), "{body}");
    assert!(!body.contains("wren"), "no names: {body}");
    assert!(world.to(otter.person().unwrap()).await.is_empty());
    assert_eq!(world.compose("11T09:00").await, 1, "the next day");
}

/// Told in each role that they hold, it is one thing in a message.
#[tokio::test]
async fn what_is_told_in_two_roles_stands_in_a_message_once() {
    let world = World::new().await;
    let wren = world.mentor("wren").await;
    let bench = Role::Host("brindlemoor".to_owned());
    let at_bench = Actor::person_as(wren.person().unwrap(), bench);
    for who in [&wren, &at_bench] {
        world.tell(who, "A new token.", "09T22:00", true).await;
    }
    assert_eq!(world.compose("10T07:00").await, 1);
    let to = world.to(wren.person().unwrap()).await;
    assert_eq!(to[0].said.subject, "Partpledge: 1 notice");
    assert_eq!(to[0].said.body.matches("A new token.").count(), 1);
    assert_eq!(world.compose("10T07:01").await, 0, "neither waits any more");
}

#[tokio::test]
async fn on_days_without_anybody_at_a_bench_there_is_no_message_of_the_morning() {
    let world = World::new().await;
    let wren = world.mentor("wren").await;
    // Some benches have people on Saturdays.
    world.tell(&wren, "On Saturday.", "13T18:00", false).await;
    assert_eq!(world.compose("14T09:00").await, 0, "a Sunday");
    assert_eq!(world.compose("15T07:00").await, 1);
    world.chooses(&wren, MailChoice::Urgent).await;
    world.tell(&wren, "In the night.", "20T23:00", true).await;
    assert_eq!(world.compose("21T06:00").await, 0, "it waits");
    assert_eq!(world.compose("21T07:00").await, 1, "urgent on a Sunday");
}

#[tokio::test]
async fn each_adult_gets_what_they_chose() {
    let world = World::new().await;
    let (none, digest, urgent) = (
        world.mentor("wren").await,
        world.mentor("rail").await,
        world.mentor("teal").await,
    );
    world.chooses(&none, MailChoice::None).await;
    world.chooses(&urgent, MailChoice::Urgent).await;
    for who in [&none, &digest, &urgent] {
        world.tell(who, "It can wait.", "09T10:00", false).await;
        world.tell(who, "It is urgent.", "09T10:05", true).await;
    }
    assert_eq!(world.compose("09T10:06").await, 1);
    let at_once = world.to(urgent.person().unwrap()).await;
    assert_eq!(at_once[0].said.subject, "Partpledge, urgent: 1 notice");
    world
        .tell(&urgent, "Late at night.", "09T22:00", true)
        .await;
    assert_eq!(world.compose("09T22:01").await, 0, "quiet hours");
    assert_eq!(world.compose("10T07:00").await, 2);
    let both = world.to(urgent.person().unwrap()).await;
    assert_eq!(
        both.len(),
        2,
        "what waited is in the message of the morning"
    );
    let body = &both[1].said.body;
    assert!(body.contains("Late at night.") && body.contains("It can wait."));
    assert!(!body.contains("It is urgent."), "told once: {body}");
    assert!(world.to(none.person().unwrap()).await.is_empty());
    // Who changes their mind before it went gets none.
    assert_eq!(world.due("10T07:00").await.len(), 3);
    world.chooses(&digest, MailChoice::None).await;
    assert_eq!(world.due("10T07:01").await.len(), 2);
    let over = world.to(digest.person().unwrap()).await;
    assert_eq!(over[0].state, MessageState::Failed);
}

#[tokio::test]
async fn a_message_is_tried_again_with_longer_waits_and_blocks_no_other() {
    let world = World::new().await;
    for name in ["wren", "rail", "teal", "crake"] {
        let who = world.mentor(name).await;
        world.tell(&who, "One.", "09T06:00", false).await;
    }
    world.compose("09T10:00").await;
    let now = world.at("09T10:00").await;
    let letters = world.due("09T10:00").await;
    assert_eq!(letters.len(), 4);
    not_reached(&now, &letters, "Nobody there.").await.unwrap();
    assert!(world.due("09T10:00").await.is_empty(), "it waits a minute");
    let letters = world.due("09T10:01").await;
    assert_eq!(letters.len(), 4);
    let answers = [
        Answer::Later("Busy.".to_owned()),
        Answer::Refused("Nobody of that name.".to_owned()),
        Answer::Silent("Cut.".to_owned()),
        Answer::Taken,
    ];
    let now = world.at("09T10:01").await;
    for (letter, answer) in letters.into_iter().zip(&answers) {
        let twice = letter.clone();
        let letter = goes(&now, letter).await.unwrap().unwrap();
        assert!(goes(&now, twice).await.unwrap().is_none(), "another has it");
        answered(&now, &letter, answer).await.unwrap();
    }
    assert!(world.due("09T10:02").await.is_empty());
    let left = world.due("09T10:03").await;
    assert_eq!(left.len(), 1, "two minutes after the second try");
    assert_eq!(left[0].message.failure.as_deref(), Some("Busy."));
    assert!(world.due("09T20:00").await.is_empty(), "quiet hours");
    assert_eq!(world.due("10T09:59").await.len(), 1);
    assert!(world.due("10T10:00").await.is_empty(), "a day is enough");

    let coordinator = Actor::new(Role::Coordinator);
    let all = outbox(&now, &coordinator).await.unwrap();
    let mut states: Vec<_> = all.iter().map(|one| one.message.state.as_str()).collect();
    states.sort_unstable();
    assert_eq!(states, ["failed", "failed", "failed", "sent"]);
    let why = "It could not be sent for a day. Busy.";
    let late = all.iter().find(|one| {
        let failure = one.message.failure.as_deref();
        failure == Some(why)
    });
    assert!(all.iter().all(|one| one.person.email.is_some()));
    let mentor = world.mentor("grebe").await;
    let refused = outbox(&now, &mentor).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    let sent = all
        .iter()
        .find(|one| one.message.state == MessageState::Sent);
    let id = sent.unwrap().message.id;
    let twice = again(&now, &coordinator, id).await;
    assert_eq!(twice.unwrap_err().code(), "not-yours", "it went");
    let now = world.at("10T10:05").await;
    let late = late.unwrap().message.id;
    again(&now, &coordinator, late).await.unwrap();
    assert_eq!(world.due("10T10:05").await.len(), 1, "a day more");
}

#[tokio::test]
async fn what_was_on_its_way_when_the_server_was_killed_never_goes_twice() {
    let world = World::new().await;
    let wren = world.mentor("wren").await;
    world.tell(&wren, "One.", "09T06:00", false).await;
    world.compose("09T10:00").await;
    let now = world.at("09T10:00").await;
    let letter = world.due("09T10:00").await.swap_remove(0);
    let letter = goes(&now, letter).await.unwrap().unwrap();
    // Killed here: nobody says what came of it.
    for time in ["09T10:01", "09T10:09", "09T10:11", "09T12:00"] {
        assert!(world.due(time).await.is_empty(), "{time}");
        assert_eq!(world.compose(time).await, 0, "{time}");
    }
    let to = world.to(wren.person().unwrap()).await;
    assert_eq!(to[0].state, MessageState::Failed);
    assert!(to[0].failure.as_ref().unwrap().contains("can’t tell"));
    let coordinator = Actor::new(Role::Coordinator);
    let late = EventMs(now.now.0 + 200 * MINUTE_MS);
    let late = world.session.at(late).await.unwrap();
    let id = letter.message.id;
    again(&late, &coordinator, id).await.unwrap();
    let due = due(&late, &clock()).await.unwrap();
    assert_eq!(due[0].message.id, id, "the coordinator takes it on them");
}

#[tokio::test]
async fn what_was_never_tried_for_a_day_is_given_up_too_and_in_the_quiet_hours() {
    let world = World::new().await;
    let wren = world.mentor("wren").await;
    world.tell(&wren, "One.", "09T06:00", false).await;
    world.compose("09T19:00").await;
    assert!(world.due("10T20:00").await.is_empty());
    let to = world.to(wren.person().unwrap()).await;
    assert_eq!(to[0].state, MessageState::Failed);
    let why = to[0].failure.as_deref();
    assert_eq!(why, Some("It could not be sent for a day."));
}

#[tokio::test]
async fn what_is_urgent_and_came_too_late_for_the_morning_goes_at_once() {
    let world = World::new().await;
    let (wren, rail) = (world.mentor("wren").await, world.mentor("rail").await);
    world.chooses(&wren, MailChoice::Urgent).await;
    for who in [&wren, &rail] {
        world.tell(who, "One.", "09T22:00", false).await;
    }
    assert_eq!(world.compose("10T07:00").await, 2);
    // It happened before seven, and was read in the log after.
    for who in [&wren, &rail] {
        world.tell(who, "It is urgent.", "10T06:59", true).await;
        world.tell(who, "It can wait.", "10T06:59", false).await;
    }
    assert_eq!(world.compose("10T07:01").await, 1);
    let to = world.to(wren.person().unwrap()).await;
    assert_eq!(to[1].said.subject, "Partpledge, urgent: 1 notice");
    assert_eq!(world.compose("11T07:00").await, 2, "what can wait");
}
