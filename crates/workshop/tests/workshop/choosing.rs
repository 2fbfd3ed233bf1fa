//! A team takes one of the quicker ways that it is offered: all that was shown holds, or nothing changes.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_records::stored::{Change, PledgedAlternative};
use partpledge_records::{ListedRequest, PledgeKind, State, StepKind};
use partpledge_units::ids::RequestId;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::bench::{Act, act, take_back};
use partpledge_workshop::review::{Statement, deciding};
use partpledge_workshop::sending::{Choices, Sent, choices, choose, make_room, may_choose, send};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

fn team(name: &str) -> Actor {
    Actor::new(Role::Team(name.to_owned()))
}

impl World {
    /// The demo region with these lines before its first table.
    async fn with(lines: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let region = region.replacen("[[closures]]", &format!("{lines}\n[[closures]]"), 1);
        let session = Session::open(&dir.path().join("data"), &region, now).await;
        Self {
            _dir: dir,
            session: session.unwrap(),
        }
    }

    async fn send(&self, whose: &str, copies: u32, key: &str) -> ListedRequest {
        let file = partpledge_testbed::files().swap_remove(0);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team: whose,
            part: None,
            copies,
            material: "PLA",
            need_by: None,
            unit: None,
            replaces: None,
            statement: Some(&Statement::own()),
            again: true,
            dimensions: None,
            over_limit: None,
            key,
        };
        let sent = send(&self.session, &team(whose), &sent).await.unwrap();
        assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
        self.listed(sent.request.number).await
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    async fn listed(&self, number: i64) -> ListedRequest {
        self.books().await.numbered(number).unwrap().clone()
    }

    async fn look(&self, listed: &ListedRequest) -> Choices {
        let actor = team(&listed.request.team);
        choices(&self.session, &actor, listed).await.unwrap()
    }

    async fn take(
        &self,
        listed: &ListedRequest,
        other: &PledgedAlternative,
    ) -> Result<i64, WorkshopError> {
        let actor = team(&listed.request.team);
        let change = other.change.as_ref().unwrap();
        let by = match change {
            Change::FewerFirst { by_min, .. } => *by_min,
            _ => other.arrival_min,
        };
        let what = (change, Minute(by));
        let chosen = choose(&self.session, &actor, listed, what).await?;
        Ok(chosen.number)
    }

    /// A team whose school has no printers.
    fn away(&self) -> &str {
        let file = &self.session.terrain.file;
        let host = |school: &String| file.hosts.iter().any(|host| host.school == *school);
        let away = file.teams.iter().find(|team| !host(&team.school));
        &away.unwrap().name
    }

    /// Sends until a way of that kind is offered.
    async fn offered(&self, kind: &str) -> (ListedRequest, PledgedAlternative) {
        for (i, copies) in [16, 40, 30, 40, 16, 40, 30, 40].into_iter().enumerate() {
            let whose = if i % 2 == 0 {
                self.away()
            } else {
                "Newt Works"
            };
            let listed = self
                .send(whose, copies, &format!("{kind}-number-{i}"))
                .await;
            let found = self.look(&listed).await;
            let arrival = found.arrival.unwrap();
            for other in &found.others {
                // The first copies come earlier, not the rest.
                let by = match &other.change {
                    Some(Change::FewerFirst { by_min, .. }) => *by_min,
                    _ => other.arrival_min,
                };
                assert!(Minute(by) <= arrival - Minutes(60), "{other:?}");
            }
            if let Some(other) = found.others.iter().find(|other| other.kind == kind) {
                return (listed, other.clone());
            }
        }
        panic!("no way of the kind {kind} was ever offered");
    }
}

/// The old promise has made room for the new one, which is as good as was shown.
async fn replaced(world: &World, old: &ListedRequest, number: i64, by: i64) -> ListedRequest {
    let books = world.books().await;
    let ended = books.pledge_of(old.request.id).unwrap().end.as_ref();
    assert_eq!(ended.unwrap().kind, PledgeKind::Superseded);
    let new = books.numbered(number).unwrap();
    assert_eq!(new.request.replaces, Some(old.request.id));
    let promised = books.pledge_of(new.request.id).unwrap();
    assert!(promised.end.is_none());
    assert!(promised.document.arrival_min <= by, "{promised:?}");
    new.clone()
}

#[tokio::test]
async fn a_part_fetched_at_a_host_is_made_and_handed_over_there() {
    let world = World::with("limits = { open_requests = 50, open_grams = 90000 }").await;
    let (old, other) = world.offered("fetch").await;
    let Some(Change::Fetch(school)) = &other.change else {
        panic!("{other:?}");
    };
    let number = world.take(&old, &other).await.unwrap();
    let new = replaced(&world, &old, number, other.arrival_min).await;
    assert_eq!(new.request.copies, old.request.copies);
    let file = &world.session.terrain.file;
    let place = file.schools.iter().position(|s| s.code == *school).unwrap();
    let host = file.hosts.iter().position(|h| h.school == *school).unwrap();
    let books = world.books().await;
    let plates: Vec<_> = books.plates_of(new.request.id).collect();
    assert!(!plates.is_empty());
    for kept in plates {
        assert_eq!(kept.plate.to.0, place);
        let at = books.place(kept).unwrap();
        assert_eq!(
            world.session.terrain.region.printers[at.printer.0].site.0,
            host
        );
    }
    let promised = books.pledge_of(new.request.id).unwrap();
    let name = &world.session.terrain.region.places[place].name;
    assert_eq!(promised.document.place, *name);
    // Asked for once more, by somebody else of the team, it is the same change; another is refused.
    assert_eq!(world.take(&old, &other).await.unwrap(), number);
    let change = Change::FewerFirst {
        first: 1,
        by_min: i64::MAX,
    };
    let actor = Actor::new(Role::Mentor(old.request.team.clone()));
    let what = (&change, Minute(i64::MAX));
    let another = choose(&world.session, &actor, &old, what).await;
    assert!(
        matches!(another, Err(WorkshopError::ChosenOtherwise { .. })),
        "{another:?}"
    );
    assert_eq!(world.books().await.requests.len(), books.requests.len());
    // Changed once more, all of it is still fetched there.
    let change = Change::FewerFirst {
        first: 1,
        by_min: i64::MAX,
    };
    let what = (&change, Minute(i64::MAX));
    let chosen = choose(&world.session, &actor, &new, what).await.unwrap();
    let books = world.books().await;
    for number in [chosen.number, chosen.rest.unwrap().request.number] {
        let id = books.numbered(number).unwrap().request.id;
        let goes_to: Vec<usize> = books.plates_of(id).map(|kept| kept.plate.to.0).collect();
        assert!(!goes_to.is_empty(), "{number} is promised");
        assert!(
            goes_to.iter().all(|to| *to == place),
            "{number}: {goes_to:?}"
        );
    }
}

#[tokio::test]
async fn two_of_a_team_who_choose_at_the_same_moment_get_one_change() {
    let world = World::with("").await;
    let old = world.send("Newt Works", 4, "both-at-once").await;
    let before = world.books().await.requests.len();
    let half = Change::FewerFirst {
        first: 2,
        by_min: i64::MAX,
    };
    let (mate, mentor) = (
        team("Newt Works"),
        Actor::new(Role::Mentor("Newt Works".to_owned())),
    );
    let what = (&half, Minute(i64::MAX));
    let (one, two) = tokio::join!(
        choose(&world.session, &mate, &old, what),
        choose(&world.session, &mentor, &old, what)
    );
    assert_eq!(one.unwrap().number, two.unwrap().number);
    let books = world.books().await;
    assert_eq!(books.requests.len(), before + 2, "the first and the rest");
    let own = books
        .requests
        .iter()
        .filter(|r| r.request.team == "Newt Works");
    let open = own.filter(|r| books.pledge_of(r.request.id).unwrap().end.is_none());
    let copies: i64 = open.map(|r| r.request.copies).sum();
    assert_eq!(copies, 4, "no copy is lost, none is made twice");
    // One way and another: whoever is second is told.
    let third = world.send("Newt Works", 4, "one-and-other").await;
    let petg = Change::Material("PETG".to_owned());
    let (one, two) = tokio::join!(
        choose(&world.session, &mate, &third, what),
        choose(&world.session, &mentor, &third, (&petg, Minute(i64::MAX)))
    );
    let refused = [one.err(), two.err()];
    let refused: Vec<_> = refused.into_iter().flatten().collect();
    let [WorkshopError::ChosenOtherwise { .. } | WorkshopError::TooLateToChange { .. }] =
        refused[..]
    else {
        panic!("one of two: {refused:?}");
    };
}

/// The first plate of a request is started on time; by then, and which one.
async fn started(world: &World, listed: &ListedRequest) -> (Session, u64) {
    let books = world.books().await;
    let kept = books.plates_of(listed.request.id).next().unwrap();
    let (plate, start) = (kept.plate.seq.0, books.place(kept).unwrap().start);
    let then = world.session.at(start.to_ms()).await.unwrap();
    let host = Actor::new(Role::Coordinator);
    let key = format!("started-{plate}");
    act(&then, &host, plate, &Act::Start, Some(key.as_str()))
        .await
        .unwrap();
    (then, plate)
}

/// A request that was given in the place of another, by a server that was stopped before it could end that
/// one. Choosing is dropped as soon as the new one is on disk, wherever it stands then; if it has ended the
/// old one by then, another is tried.
async fn stopped_halfway(world: &World) -> (ListedRequest, RequestId) {
    let petg = Change::Material("PETG".to_owned());
    let mate = team("Newt Works");
    for n in 0..20 {
        let old = world.send("Newt Works", 4, &format!("stopped-{n}")).await;
        let before = world.books().await.requests.len();
        let written = async { while world.books().await.requests.len() == before {} };
        tokio::select! {
            () = written => {}
            _ = choose(&world.session, &mate, &old, (&petg, Minute(i64::MAX))) => {}
        }
        let books = world.books().await;
        let open = |id| books.pledge_of(id).unwrap().end.is_none();
        let mut new = books.requests.iter();
        let new = new.find(|one| one.request.replaces == Some(old.request.id));
        let new = new.unwrap().request.id;
        if open(old.request.id) && open(new) {
            return (old, new);
        }
    }
    panic!("never between the two");
}

#[tokio::test]
async fn a_server_that_was_stopped_between_two_promises_ends_the_old_one_when_it_is_back() {
    let world = World::with("limits = { open_requests = 50, open_grams = 90000 }").await;
    let (old, new) = stopped_halfway(&world).await;
    let (mate, clock) = (team("Newt Works"), Actor::new(Role::Clock));
    let refused = make_room(&world.session, &mate).await;
    assert!(matches!(refused, Err(WorkshopError::NotAllowed { .. })));
    assert_eq!(make_room(&world.session, &clock).await.unwrap(), 1);
    let books = world.books().await;
    let end = |id| {
        books
            .pledge_of(id)
            .unwrap()
            .end
            .as_ref()
            .map(|end| end.kind)
    };
    assert_eq!(end(old.request.id), Some(PledgeKind::Superseded));
    assert_eq!(end(new), None);
    assert_eq!(make_room(&world.session, &clock).await.unwrap(), 0);
    // Chosen again after that, it is the same change.
    let petg = Change::Material("PETG".to_owned());
    let what = (&petg, Minute(i64::MAX));
    choose(&world.session, &mate, &old, what).await.unwrap();
    assert_eq!(world.books().await.requests.len(), books.requests.len());
}

#[tokio::test]
async fn what_was_started_before_the_server_was_back_goes_on_and_the_new_one_is_called_back() {
    let world = World::with("limits = { open_requests = 50, open_grams = 90000 }").await;
    let (old, new) = stopped_halfway(&world).await;
    let (machine, clock) = (Actor::at_the_machine(), Actor::new(Role::Clock));
    let (then, seq) = started(&world, &old).await;
    assert_eq!(make_room(&then, &clock).await.unwrap(), 1);
    let books = world.books().await;
    let end = |id| {
        books
            .pledge_of(id)
            .unwrap()
            .end
            .as_ref()
            .map(|end| end.kind)
    };
    assert_eq!(end(old.request.id), None);
    assert_eq!(end(new), Some(PledgeKind::Withdrawn));
    assert_eq!(make_room(&then, &clock).await.unwrap(), 0);
    // The start was a mistake: the team may choose again, and what was called back is in nobody's way.
    take_back(&then, &machine, (seq, StepKind::Started), None)
        .await
        .unwrap();
    let petg = Change::Material("PETG".to_owned());
    let what = (&petg, Minute(i64::MAX));
    let mate = team("Newt Works");
    let chosen = choose(&then, &mate, &old, what).await.unwrap();
    replaced(&world, &old, chosen.number, i64::MAX).await;
    assert_ne!(world.listed(chosen.number).await.request.id, new);
}

#[tokio::test]
async fn at_its_limit_a_team_may_have_another_plastic_but_not_one_part_more() {
    let world = World::with("limits = { open_requests = 1, open_grams = 90000 }").await;
    let old = world.send("Newt Works", 4, "at-the-limit").await;
    let (mate, latest) = (team("Newt Works"), Minute(i64::MAX));
    let half = Change::FewerFirst {
        first: 2,
        by_min: i64::MAX,
    };
    let refused = choose(&world.session, &mate, &old, (&half, latest)).await;
    assert!(
        matches!(refused, Err(WorkshopError::OverLimit { .. })),
        "{refused:?}"
    );
    let petg = Change::Material("PETG".to_owned());
    let chosen = choose(&world.session, &mate, &old, (&petg, latest)).await;
    replaced(&world, &old, chosen.unwrap().number, i64::MAX).await;
}

#[tokio::test]
async fn some_copies_first_become_two_parts_with_all_copies() {
    let world = World::with("limits = { open_requests = 50, open_grams = 90000 }").await;
    let (old, other) = world.offered("fewer-first").await;
    let Some(Change::FewerFirst { first, by_min }) = &other.change else {
        panic!("{other:?}");
    };
    let actor = team(&old.request.team);
    let what = (other.change.as_ref().unwrap(), Minute(*by_min));
    let chosen = choose(&world.session, &actor, &old, what).await;
    let chosen = chosen.unwrap();
    let new = replaced(&world, &old, chosen.number, *by_min).await;
    let rest = chosen.rest.unwrap();
    assert!(rest.no_pledge.is_none(), "{rest:?}");
    assert_eq!(new.request.copies, i64::from(*first));
    assert_eq!(new.request.copies + rest.request.copies, old.request.copies);
    let books = world.books().await;
    assert!(books.pledge_of(rest.request.id).unwrap().end.is_none());
    let again = choose(&world.session, &actor, &old, what).await;
    let again = again.unwrap();
    assert_eq!(
        (again.number, again.rest.unwrap().request.number),
        (chosen.number, rest.request.number)
    );
    assert_eq!(world.books().await.requests.len(), books.requests.len());
}

#[tokio::test]
async fn when_somebody_was_faster_all_stays_as_it_was() {
    let world = World::with("limits = { open_requests = 50, open_grams = 90000 }").await;
    let (old, mut other) = world.offered("fetch").await;
    let before = world.books().await;
    other.arrival_min -= 1;
    let late = world.take(&old, &other).await;
    assert!(
        matches!(late, Err(WorkshopError::LaterNow { .. })),
        "{late:?}"
    );
    let books = world.books().await;
    assert!(books.pledge_of(old.request.id).unwrap().end.is_none());
    assert_eq!(books.floor.plan, before.floor.plan);
    assert_eq!(books.requests.len(), before.requests.len());
    assert_eq!(books.entry, before.entry, "nothing is written");
    // And it can still be chosen as it is.
    other.arrival_min += 1;
    world.take(&old, &other).await.unwrap();
}

#[tokio::test]
async fn another_plastic_keeps_the_lines_and_is_not_looked_at_again() {
    let world = World::with("review = \"all\"").await;
    let file = partpledge_testbed::files().swap_remove(0);
    let statement = Statement::own();
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team: "Newt Works",
        part: None,
        copies: 2,
        material: "PLA",
        need_by: None,
        unit: None,
        replaces: None,
        statement: Some(&statement),
        again: false,
        dimensions: None,
        over_limit: None,
        key: "looked-at-once",
    };
    let sent = send(&world.session, &team("Newt Works"), &sent)
        .await
        .unwrap();
    assert_eq!(sent.request.state, State::HeldForReview);
    let held = world.listed(sent.request.number).await;
    let early = choices(&world.session, &team("Newt Works"), &held).await;
    assert!(matches!(early, Err(WorkshopError::TooLateToChange { .. })));
    let coordinator = Actor::new(Role::Coordinator);
    let words = ("", "passed-0");
    deciding::pass(&world.session, &coordinator, &held, words)
        .await
        .unwrap();
    let listed = world.listed(sent.request.number).await;
    let change = Change::Material("PETG".to_owned());
    let what = (&change, Minute(i64::MAX));
    let actor = team("Newt Works");
    let chosen = choose(&world.session, &actor, &listed, what).await.unwrap();
    let new = world.listed(chosen.number).await;
    assert_eq!(
        (
            new.request.material.as_str(),
            new.request.state,
            new.blob.clone()
        ),
        ("PETG", State::Pledged, listed.blob.clone())
    );
    let none = Change::Material("ASA".to_owned());
    let none = choose(&world.session, &actor, &new, (&none, Minute(i64::MAX))).await;
    assert!(
        matches!(none, Err(WorkshopError::Unknown { .. })),
        "its sheet lays other lines: {none:?}"
    );
}

#[tokio::test]
async fn what_is_another_teams_or_was_started_is_not_changed() {
    let world = World::with("").await;
    let listed = world.send("Newt Works", 4, "not-yours-0").await;
    let change = Change::FewerFirst {
        first: 2,
        by_min: i64::MAX,
    };
    let what = (&change, Minute(i64::MAX));
    let other = choose(&world.session, &team(world.away()), &listed, what).await;
    assert!(matches!(other, Err(WorkshopError::NotYours)), "{other:?}");
    let all = Change::FewerFirst {
        first: 4,
        by_min: i64::MAX,
    };
    let all = (&all, Minute(i64::MAX));
    let all = choose(&world.session, &team("Newt Works"), &listed, all).await;
    assert!(
        matches!(all, Err(WorkshopError::OutOfRange { .. })),
        "{all:?}"
    );
    let (then, _) = started(&world, &listed).await;
    let books = Books::open(&then).await.unwrap();
    assert!(!may_choose(&books, &listed));
    let late = choose(&then, &team("Newt Works"), &listed, what).await;
    assert!(
        matches!(late, Err(WorkshopError::TooLateToChange { .. })),
        "{late:?}"
    );
}
