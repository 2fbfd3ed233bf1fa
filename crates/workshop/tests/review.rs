//! Review: held, passed, refused, appealed, taken down; plates declined; the same again; limits.
#![expect(clippy::too_many_lines, reason = "walks, told in their order")]
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_records::{Deed, ListedRequest, NoteKind, PlateState, PledgeEnd, PledgeKind, State};
use partpledge_units::ids::IdSource;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::bench::{Act, act, end_request};
use partpledge_workshop::review::deciding::{appeal, hold, pass, refuse, report, take_down};
use partpledge_workshop::review::limits::open;
use partpledge_workshop::review::{Claim, Decline, Reason, Statement};
use partpledge_workshop::sending::{Received, Sent, send, send_again, take_offer};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

const TEAM: &str = "Newt Works";

struct World {
    dir: tempfile::TempDir,
    session: Session,
}

fn student() -> Actor {
    Actor::new(Role::Team(TEAM.to_owned()))
}

fn mentor() -> Actor {
    Actor::new(Role::Mentor(TEAM.to_owned()))
}

fn coordinator() -> Actor {
    Actor::new(Role::Coordinator)
}

/// What is sent: a bracket of 30 mm or so, unless said otherwise.
struct Want<'a> {
    name: &'a str,
    size_mm: f64,
    copies: u32,
    again: bool,
    over: Option<&'a str>,
    replaces: Option<i64>,
    team: &'a str,
}

const WANT: Want<'static> = Want {
    name: "bracket.stl",
    size_mm: 30.0,
    copies: 1,
    again: false,
    over: None,
    replaces: None,
    team: TEAM,
};

impl World {
    /// The demo region with these lines before its first table.
    async fn with(lines: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let region = region.replacen("[[closures]]", &format!("{lines}\n[[closures]]"), 1);
        let session = Session::open(&dir.path().join("data"), &region, now).await;
        Self {
            dir,
            session: session.unwrap(),
        }
    }

    async fn try_send(
        &self,
        who: &Actor,
        want: &Want<'_>,
        key: &str,
    ) -> Result<Received, WorkshopError> {
        let side = want.size_mm / 2.0;
        let mesh = partpledge_testbed::parts::hex_prism(side, side / 2.0);
        let books = self.books().await;
        let statement = Statement {
            claim: Claim::Licence,
            words: "CC BY 4.0\n".to_owned(),
        };
        let sent = Sent {
            bytes: Bytes::from(partpledge_formats::write::stl_binary(&mesh)),
            file_name: want.name,
            team: want.team,
            part: None,
            copies: want.copies,
            material: "PLA",
            need_by: None,
            unit: Some(partpledge_units::length::LengthUnit::Millimetre),
            replaces: want.replaces.and_then(|n| books.numbered(n)),
            statement: Some(&statement),
            again: want.again,
            over_limit: want.over,
            key,
        };
        send(&self.session, who, &sent).await
    }

    async fn send(&self, want: &Want<'_>, key: &str) -> i64 {
        let sent = self.try_send(&student(), want, key).await.unwrap();
        assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
        sent.request.number
    }

    /// Somebody let it through, and no day could be promised then.
    async fn waits(&self, number: i64) -> ListedRequest {
        let (store, region) = self.session.store().unwrap();
        let deed = Deed {
            actor: "coordinator".to_owned(),
            occurred_at: self.session.now,
            received_at: self.session.now,
            idempotency_key: None,
        };
        let id = self.books().await.numbered(number).unwrap().request.id;
        store
            .step_request(region, id, State::Ready, &deed, &mut IdSource::Os)
            .await
            .unwrap();
        self.books().await.numbered(number).unwrap().clone()
    }

    async fn state(&self, number: i64) -> State {
        self.books().await.numbered(number).unwrap().request.state
    }

    async fn later(&self, minutes: i64) -> Session {
        let at = EventMs(self.session.now.0 + minutes * 60_000);
        self.session.at(at).await.unwrap()
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }
}

fn kinds(books: &Books, number: i64) -> Vec<NoteKind> {
    let id = books.numbered(number).unwrap().request.id;
    books.notes(id).iter().map(|note| note.said.kind).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_guess_holds_a_request_and_passing_it_gives_the_pledge_at_once() {
    let world = World::with("").await;
    let plain = world.send(&WANT, "send-00001").await;
    let knife = Want {
        name: "knife.stl",
        size_mm: 31.0,
        ..WANT
    };
    let held = world.send(&knife, "send-00002").await;
    let books = world.books().await;
    let listed = books.numbered(plain).unwrap();
    assert_eq!(listed.request.state, State::Pledged, "nothing was guessed");
    let notes = books.notes(listed.request.id);
    assert_eq!(Statement::read(&notes[0]).unwrap().words, "CC BY 4.0");
    let listed = books.numbered(held).unwrap().clone();
    let request = &listed.request;
    assert_eq!(
        (request.state, request.first_answer_at),
        (State::HeldForReview, None)
    );
    assert_eq!(kinds(&books, held), [NoteKind::Stated, NoteKind::Held]);
    assert_eq!(books.notes(request.id)[1].said.hints, ["word: knife"]);
    for who in [
        student(),
        mentor(),
        Actor::new(Role::Host("brindlemoor".to_owned())),
    ] {
        let own = pass(&world.session, &who, &listed, ("", "pass-1")).await;
        assert!(matches!(own.unwrap_err(), WorkshopError::NotAllowed { .. }));
    }
    let offer = take_offer(&world.session, &student(), &listed).await;
    assert_eq!(offer.unwrap_err().code(), "store", "held is held");
    assert_eq!(world.state(held).await, State::HeldForReview);
    let later = world.later(60).await;
    for _ in 0..2 {
        let passed = pass(&later, &coordinator(), &listed, ("", "pass-2"))
            .await
            .unwrap();
        assert!(passed.no_pledge.is_none(), "{:?}", passed.no_pledge);
    }
    let books = world.books().await;
    let found = &books.numbered(held).unwrap().request;
    assert_eq!(
        (found.state, found.first_answer_at),
        (State::Pledged, Some(later.now))
    );
    assert!(books.pledge_of(found.id).is_some());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_changed_file_that_is_looked_at_first_keeps_the_promise_until_it_passes() {
    let world = World::with("").await;
    let old = world.send(&WANT, "send-00001").await;
    let knife = |size_mm, replaces| Want {
        name: "knife.stl",
        size_mm,
        replaces: Some(replaces),
        ..WANT
    };
    let first = world.send(&knife(31.0, old), "send-00002").await;
    let second = world.send(&knife(32.0, first), "send-00003").await;
    let state = |books: &Books, number| books.numbered(number).unwrap().request.state;
    let books = world.books().await;
    assert_eq!(state(&books, old), State::Pledged, "still promised");
    assert_eq!(state(&books, first), State::Withdrawn, "one of them waits");
    assert_eq!(state(&books, second), State::HeldForReview);
    let listed = books.numbered(second).unwrap().clone();
    let passed = pass(&world.session, &coordinator(), &listed, ("", "pass-1")).await;
    assert!(passed.unwrap().no_pledge.is_none());
    let books = world.books().await;
    assert_eq!(state(&books, second), State::Pledged);
    // What it replaced had replaced it: one promise is left, not two.
    assert_eq!(state(&books, old), State::Withdrawn);
    let end = books.pledge_of(books.numbered(old).unwrap().request.id);
    let end = end.unwrap().end.as_ref().map(|end| end.kind);
    assert_eq!(end, Some(PledgeKind::Superseded));
    assert_eq!(books.open_pledges().len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn of_two_reviewers_at_once_the_second_is_told_and_changes_nothing() {
    let world = World::with("review = \"all\"").await;
    let number = world.send(&WANT, "send-00001").await;
    let seen = world.books().await.numbered(number).unwrap().clone();
    let first = pass(&world.session, &coordinator(), &seen, ("", "pass-1")).await;
    assert!(first.unwrap().no_pledge.is_none());
    // The second still sees it held. A promised request can go back to ready, but not by this.
    let second = pass(&world.session, &coordinator(), &seen, ("", "pass-2")).await;
    assert_eq!(second.unwrap_err().code(), "store");
    assert_eq!(world.state(number).await, State::Pledged);
    let passed = kinds(&world.books().await, number);
    let passed = passed.iter().filter(|kind| **kind == NoteKind::Passed);
    assert_eq!(passed.count(), 1);
    let other = Want {
        size_mm: 33.0,
        ..WANT
    };
    let number = world.send(&other, "send-00002").await;
    let seen = world.books().await.numbered(number).unwrap().clone();
    let no = (Reason::Unclear, "", "no-1");
    refuse(&world.session, &coordinator(), &seen, no)
        .await
        .unwrap();
    // Only an appeal brings a refused one back.
    let held = hold(&world.session, &coordinator(), &seen, ("", "hold-1")).await;
    assert!(held.is_err());
    assert_eq!(world.state(number).await, State::Refused);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_offer_taken_looks_at_the_limits_again_and_ends_what_it_replaces() {
    let world = World::with("limits = { open_requests = 2 }").await;
    let old = world.send(&WANT, "send-00001").await;
    let knife = Want {
        name: "knife.stl",
        size_mm: 31.0,
        replaces: Some(old),
        ..WANT
    };
    let changed = world.send(&knife, "send-00002").await;
    let listed = world.waits(changed).await;
    for (n, size_mm) in [(3, 33.0), (4, 34.0)] {
        let more = Want {
            size_mm,
            over: Some("for the fair"),
            ..WANT
        };
        let key = format!("send-0000{n}");
        world.try_send(&mentor(), &more, &key).await.unwrap();
    }
    let over = take_offer(&world.session, &student(), &listed).await;
    assert_eq!(over.unwrap_err().code(), "over-limit");
    assert_eq!(world.state(changed).await, State::Ready);
    let books = world.books().await;
    let last = books.numbered(4).unwrap().request.id;
    let end = (last, PledgeEnd::Withdrawn);
    end_request(&world.session, &student(), end.0, end.1, None)
        .await
        .unwrap();
    for _ in 0..2 {
        take_offer(&world.session, &student(), &listed)
            .await
            .unwrap();
    }
    assert_eq!(world.state(changed).await, State::Pledged);
    assert_eq!(world.state(old).await, State::Withdrawn);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_with_its_changed_files_is_one_open_request() {
    let world = World::with("limits = { open_requests = 1 }").await;
    let first = world.send(&WANT, "send-00001").await;
    let changed = |size_mm, replaces| Want {
        size_mm,
        replaces: Some(replaces),
        ..WANT
    };
    let second = world.send(&changed(31.0, first), "send-00002").await;
    let knife = Want {
        name: "knife.stl",
        ..changed(32.0, second)
    };
    let held = world.send(&knife, "send-00003").await;
    assert_eq!(world.state(held).await, State::HeldForReview);
    assert_eq!(world.state(second).await, State::Pledged);
    assert_eq!(open(&world.books().await, TEAM).requests, 1);
    let another = Want {
        size_mm: 35.0,
        ..WANT
    };
    let another = world.try_send(&student(), &another, "send-00004").await;
    assert_eq!(another.unwrap_err().code(), "over-limit");
}

#[tokio::test(flavor = "multi_thread")]
async fn two_files_at_the_same_moment_are_not_both_the_last_one_allowed() {
    let world = World::with("limits = { open_requests = 1 }").await;
    let other = Want {
        size_mm: 35.0,
        ..WANT
    };
    let who = student();
    let both = tokio::join!(
        world.try_send(&who, &WANT, "send-00001"),
        world.try_send(&who, &other, "send-00002"),
    );
    let codes = [both.0, both.1].map(|sent| sent.map_or_else(|error| error.code(), |_| "sent"));
    assert!(codes.contains(&"sent"), "{codes:?}");
    assert!(codes.contains(&"over-limit"), "{codes:?}");
    assert_eq!(world.books().await.requests.len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn taking_down_takes_the_same_file_of_the_team_and_leaves_that_of_another() {
    const SILT: &str = "Silt Sisters";
    let world = World::with("").await;
    let first = world.send(&WANT, "send-00001").await;
    let renamed = Want {
        name: "strut.stl",
        again: true,
        ..WANT
    };
    let second = world.send(&renamed, "send-00002").await;
    let theirs = Want { team: SILT, ..WANT };
    let silt = Actor::new(Role::Team(SILT.to_owned()));
    let third = world.try_send(&silt, &theirs, "send-00003").await.unwrap();
    let third = third.request.number;
    let listed = world.books().await.numbered(first).unwrap().clone();
    let why = (Reason::NotTheirs, "", "down-1");
    take_down(&world.session, &coordinator(), &listed, why)
        .await
        .unwrap();
    let books = world.books().await;
    for number in [first, second] {
        let request = &books.numbered(number).unwrap().request;
        assert_eq!(request.state, State::Recalled, "{number}");
        assert!(books.taken_down(request));
        assert!(books.pledge_of(request.id).unwrap().end.is_some());
        assert_eq!(kinds(&books, number).last(), Some(&NoteKind::TakenDown));
        let plates: Vec<_> = books.plates_of(request.id).map(|kept| kept.state).collect();
        assert_eq!(plates, [PlateState::Withdrawn]);
    }
    let stays = &books.numbered(third).unwrap().request;
    assert_eq!(stays.state, State::Pledged);
    assert!(!books.taken_down(stays));
    let same: Vec<i64> = books
        .same_file(&listed)
        .map(|one| one.request.number)
        .collect();
    assert_eq!(same, [second, third], "those to look at");
    let spoon = Want {
        name: "spoon.stl",
        ..renamed
    };
    let again = world.try_send(&student(), &spoon, "send-00004").await;
    assert_eq!(again.unwrap_err().code(), "taken-down");
}

#[tokio::test(flavor = "multi_thread")]
async fn where_all_is_looked_at_trusted_teams_pass_and_others_wait() {
    let world = World::with("review = \"all\"").await;
    let held = world.send(&WANT, "send-00001").await;
    let books = world.books().await;
    assert_eq!(
        books.numbered(held).unwrap().request.state,
        State::HeldForReview
    );
    let trusted = World::with("review = \"all\"\ntrusted_teams = [\"Newt Works\"]").await;
    let passed = trusted.send(&WANT, "send-00001").await;
    let books = trusted.books().await;
    assert_eq!(
        books.numbered(passed).unwrap().request.state,
        State::Pledged
    );
    let none = World::with("review = \"none\"").await;
    let knife = none
        .send(
            &Want {
                name: "knife.stl",
                ..WANT
            },
            "send-00001",
        )
        .await;
    let books = none.books().await;
    assert_eq!(books.numbered(knife).unwrap().request.state, State::Pledged);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_refusal_answers_and_may_be_appealed_once() {
    let world = World::with("review = \"all\"").await;
    let number = world.send(&WANT, "send-00001").await;
    let listed = world.books().await.numbered(number).unwrap().clone();
    let later = world.later(90).await;
    let no = |key| (Reason::Hurts, "  the\nspikes ", key);
    let early = appeal(&later, &student(), &listed, ("please", "app-0")).await;
    assert!(early.is_err(), "nothing was refused yet");
    refuse(&later, &coordinator(), &listed, no("no-1"))
        .await
        .unwrap();
    let books = world.books().await;
    let found = &books.numbered(number).unwrap().request;
    assert_eq!(
        (found.state, found.first_answer_at),
        (State::Refused, Some(later.now))
    );
    assert!(books.may_appeal(found.id));
    let last = books.notes(found.id).last().unwrap();
    assert_eq!(
        (last.said.words.as_str(), last.role.as_str()),
        ("the spikes", "coordinator")
    );
    let stranger = Actor::new(Role::Team("Silt Sisters".to_owned()));
    assert!(
        appeal(&later, &stranger, &listed, ("x", "app-1"))
            .await
            .is_err()
    );
    for _ in 0..2 {
        appeal(&later, &student(), &listed, ("rubber", "app-2"))
            .await
            .unwrap();
    }
    let state = |books: &Books| books.numbered(number).unwrap().request.state;
    assert_eq!(state(&world.books().await), State::HeldForReview);
    refuse(&later, &coordinator(), &listed, no("no-2"))
        .await
        .unwrap();
    let books = world.books().await;
    assert!(
        !books.may_appeal(listed.request.id),
        "the second decision is final"
    );
    assert!(
        appeal(&later, &student(), &listed, ("again", "app-3"))
            .await
            .is_err()
    );
    assert_eq!(state(&world.books().await), State::Refused);
    // Where only guesses hold, the same file again is one.
    let guessed = World::with("").await;
    let first = guessed
        .send(
            &Want {
                name: "knife.stl",
                ..WANT
            },
            "send-00001",
        )
        .await;
    let listed = guessed.books().await.numbered(first).unwrap().clone();
    refuse(&guessed.session, &coordinator(), &listed, no("no-1"))
        .await
        .unwrap();
    let second = guessed
        .send(
            &Want {
                name: "spoon.stl",
                ..WANT
            },
            "send-00002",
        )
        .await;
    let books = guessed.books().await;
    let id = books.numbered(second).unwrap().request.id;
    assert_eq!(books.notes(id)[1].said.hints, [format!("before: {first}")]);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_taken_down_leaves_the_plan_and_the_pledge_ends_on_record() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let other = world
        .send(
            &Want {
                size_mm: 40.0,
                ..WANT
            },
            "send-00002",
        )
        .await;
    let silt = Actor::new(Role::Team("Silt Sisters".to_owned()));
    for unknown in [number, 999] {
        report(&world.session, &silt, unknown, (true, "I drew it", "rep-1"))
            .await
            .unwrap();
    }
    let nobody = Actor::new(Role::Nobody);
    assert!(
        report(&world.session, &nobody, number, (true, "", "rep-2"))
            .await
            .is_err()
    );
    let books = world.books().await;
    let listed = books.numbered(number).unwrap().clone();
    assert_eq!(books.open_reports(listed.request.id).len(), 1);
    let why = |key| (Reason::NotTheirs, "", key);
    let own = take_down(&world.session, &mentor(), &listed, why("down-0")).await;
    assert!(own.is_err(), "for the coordinator only");
    for _ in 0..2 {
        take_down(&world.session, &coordinator(), &listed, why("down-1"))
            .await
            .unwrap();
    }
    let books = world.books().await;
    let id = listed.request.id;
    assert!(books.taken_down(&listed.request) && books.open_reports(id).is_empty());
    assert_eq!(
        books.numbered(number).unwrap().request.state,
        State::Recalled
    );
    let plates: Vec<_> = books.plates_of(id).map(|kept| kept.state).collect();
    assert_eq!(plates, [PlateState::Withdrawn]);
    let end = books.pledge_of(id).unwrap().end.as_ref().unwrap();
    assert_eq!(end.kind, PledgeKind::Withdrawn);
    let copies: Vec<_> = books.copies(id).iter().map(|copy| copy.state).collect();
    assert_eq!(copies, [State::Withdrawn]);
    let kept = books.numbered(other).unwrap().request.id;
    assert!(
        books.pledge_of(kept).unwrap().end.is_none(),
        "others keep theirs"
    );
    let places: Vec<_> = books
        .plates_of(kept)
        .map(|kept| books.place(kept))
        .collect();
    assert!(places.len() == 1 && places[0].is_some(), "{places:?}");
    let taken = take_offer(&world.session, &student(), &listed).await;
    assert_eq!(taken.unwrap_err().code(), "taken-down");
    let (store, region) = world.session.store().unwrap();
    let log = store.events_after(region, 0).await.unwrap();
    assert!(
        log.iter()
            .any(|(_, event)| event.kind == "request.reported")
    );
    for (_, event) in log {
        assert!(!event.payload.contains("drew"), "{}", event.payload);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_declined_plate_goes_to_another_host_and_its_promise_is_planned_for() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let books = world.books().await;
    let id = books.numbered(number).unwrap().request.id;
    let kept = books.plates_of(id).next().unwrap().clone();
    let place = *books.place(&kept).unwrap();
    let terrain = &world.session.terrain;
    let at = terrain.host_at(place.printer, place.start).to_owned();
    let code = |name: &str| {
        let schools = terrain.file.schools.iter();
        schools
            .clone()
            .find(|s| s.name == name)
            .unwrap()
            .code
            .clone()
    };
    let host = Actor::new(Role::Host(code(&at)));
    let what = Act::Decline {
        why: Decline::Hands,
        words: String::new(),
    };
    let elsewhere = terrain
        .file
        .hosts
        .iter()
        .find(|h| h.school != code(&at))
        .unwrap();
    let stranger = Actor::new(Role::Host(elsewhere.school.clone()));
    let seq = kept.plate.seq.0;
    assert!(
        act(&world.session, &stranger, seq, &what, None)
            .await
            .is_err()
    );
    let done = act(&world.session, &host, seq, &what, Some("dec-1"))
        .await
        .unwrap();
    let twice = act(&world.session, &host, seq, &what, Some("dec-1")).await;
    assert!(twice.is_ok_and(|done| done.before), "a double click is one");
    let books = world.books().await;
    let open = books
        .plates_of(id)
        .filter(|kept| kept.state == PlateState::Open);
    let open: Vec<_> = open.collect();
    assert_eq!(open.len(), 1);
    let new = books.place(open[0]).unwrap();
    assert_ne!(
        terrain.host_at(new.printer, new.start),
        at,
        "left out for it"
    );
    assert_eq!(
        open[0].plate.promise, kept.plate.promise,
        "the promise goes with it"
    );
    let place = books.place(open[0]).unwrap();
    let late = place.arrives > open[0].plate.promise.unwrap().arrival;
    assert_eq!(done.late.contains(&open[0].plate.seq), late);
    assert_eq!(books.copies_on(open[0]).count(), 1);
    assert_eq!(books.declined_by(id), [code(&at)]);
    // One after the other declines, until nobody is left who could.
    let mut plate = open[0].plate.seq.0;
    let last = loop {
        let books = world.books().await;
        let machine = Actor::at_the_machine();
        match act(&world.session, &machine, plate, &what, None).await {
            Ok(_) => {
                plate = world
                    .books()
                    .await
                    .plates_of(id)
                    .last()
                    .unwrap()
                    .plate
                    .seq
                    .0;
            }
            Err(error) => break (error, books),
        }
    };
    assert!(
        matches!(last.0, WorkshopError::NobodyElse { .. }),
        "{}",
        last.0
    );
    assert!(
        last.1
            .plate(plate)
            .is_some_and(|kept| kept.state == PlateState::Open)
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_again_within_a_week_is_asked_about_and_one_tap_sends_it() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let again = world.try_send(&student(), &WANT, "send-00002").await;
    assert!(matches!(again.unwrap_err(), WorkshopError::SentBefore { number: n } if n == number));
    let click = world
        .try_send(&student(), &WANT, "send-00001")
        .await
        .unwrap();
    assert_eq!(
        click.request.number, number,
        "a double click is the same request"
    );
    let other = world
        .try_send(&student(), &Want { copies: 2, ..WANT }, "send-00003")
        .await;
    assert!(other.is_ok(), "other copies are another wish");
    let listed = world.books().await.numbered(number).unwrap().clone();
    let tap = send_again(&world.session, &student(), &listed, "send-00004")
        .await
        .unwrap();
    let books = world.books().await;
    assert_eq!(books.requests.len(), 3);
    let stated = &books.notes(tap.request.id)[0];
    assert_eq!(
        Statement::read(stated).unwrap().claim,
        Claim::Licence,
        "as it was stated then"
    );
    let week = Minutes(8 * 24 * 60);
    let later = World {
        session: world.later(week.0).await,
        dir: world.dir,
    };
    assert!(
        later
            .try_send(&student(), &WANT, "send-00005")
            .await
            .is_ok()
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_has_limits_and_its_mentor_may_go_beyond_with_a_reason() {
    let world = World::with("limits = { copies = 3, open_requests = 2 }").await;
    let many = Want { copies: 4, ..WANT };
    let over = |error: WorkshopError| {
        matches!(
            error,
            WorkshopError::OverLimit {
                mentor_may: true,
                ..
            }
        )
    };
    assert!(over(
        world
            .try_send(&student(), &many, "send-00001")
            .await
            .unwrap_err()
    ));
    let reason = Want {
        over: Some("for the whole school"),
        copies: 4,
        ..WANT
    };
    assert!(over(
        world
            .try_send(&student(), &reason, "send-00002")
            .await
            .unwrap_err()
    ));
    assert!(over(
        world
            .try_send(&mentor(), &many, "send-00003")
            .await
            .unwrap_err()
    ));
    let sent = world
        .try_send(&mentor(), &reason, "send-00004")
        .await
        .unwrap();
    let books = world.books().await;
    let note = &books.notes(sent.request.id)[1];
    assert_eq!(
        (note.said.kind, note.said.words.as_str()),
        (NoteKind::OverLimit, "for the whole school")
    );
    world
        .send(
            &Want {
                size_mm: 33.0,
                ..WANT
            },
            "send-00005",
        )
        .await;
    let third = Want {
        size_mm: 34.0,
        ..WANT
    };
    let third = world
        .try_send(&student(), &third, "send-00006")
        .await
        .unwrap_err();
    assert!(third.to_string().contains("2 open at a time"), "{third}");
    let strict = World::with("limits = { copies = 3, mentors_may_exceed = false }").await;
    let no = strict
        .try_send(&mentor(), &reason, "send-00001")
        .await
        .unwrap_err();
    assert!(matches!(
        no,
        WorkshopError::OverLimit {
            mentor_may: false,
            ..
        }
    ));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_person_can_hold_what_waits_without_a_promise_and_not_what_is_promised() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let listed = world.books().await.numbered(number).unwrap().clone();
    let held = hold(&world.session, &coordinator(), &listed, ("", "hold-1")).await;
    assert!(held.is_err(), "a promise is given");
}
