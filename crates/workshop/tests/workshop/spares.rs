//! Spares at a meeting: printed there on its day, and nothing else is.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use std::collections::BTreeSet;

use bytes::Bytes;
use partpledge_catalogue::region::{Table, to_csv};
use partpledge_records::stored::Change;
use partpledge_records::{ListedRequest, PledgeKind, SiteClosure, State, StoreError};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{Act, act, close};
use partpledge_workshop::recalls::{Target, affected};
use partpledge_workshop::region_data::{Told, propose};
use partpledge_workshop::review::{Reason, Statement, deciding};
use partpledge_workshop::sending::spares::{
    Spare, ask_for, benches, close_benches, may_spare, offers, spare_at,
};
use partpledge_workshop::sending::{Sent, choices, choose, send};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

const HALL: &str = "sluice-hall";
const TEAM: &str = "Newt Works";

fn at(text: &str) -> EventMs {
    parse_rfc3339(text).unwrap()
}

fn mate() -> Actor {
    Actor::new(Role::Team(TEAM.to_owned()))
}

/// A region that has sent a part on the Tuesday before, and its day of the meeting.
struct World {
    _dir: tempfile::TempDir,
    before: Session,
    day: Session,
    part: ListedRequest,
}

impl World {
    /// With these lines before the first table of the region file.
    async fn new(lines: &str) -> Self {
        let region = partpledge_testbed::with_a_meeting();
        Self::of(&region.replacen("[[closures]]", &format!("{lines}\n[[closures]]"), 1)).await
    }

    async fn of(region: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let data = dir.path().join("data");
        let tuesday = at("2027-03-09T10:00:00+01:00");
        let before = Session::open(&data, region, tuesday).await.unwrap();
        let part = sent(&before, "PLA", 2, "the-first").await;
        let day = before.at(at("2027-03-13T09:00:00+01:00")).await.unwrap();
        Self {
            _dir: dir,
            before,
            day,
            part,
        }
    }

    async fn books(&self) -> Books {
        Books::open(&self.day).await.unwrap()
    }

    /// Asks for so many of the part, as late as may be.
    async fn ask(&self, copies: u32, key: &str) -> Result<ListedRequest, WorkshopError> {
        let spare = Spare {
            at: HALL,
            copies,
            material: None,
            no_later: Minute(i64::MAX),
        };
        let number = ask_for(&self.day, &mate(), &self.part, (&spare, key)).await?;
        Ok(self.books().await.numbered(number).unwrap().clone())
    }
}

/// One copy in PLA of nothing yet.
fn plain<'a>(key: &'a str, own: &'a Statement) -> Sent<'a> {
    Sent {
        bytes: Bytes::new(),
        file_name: "part.stl",
        team: TEAM,
        part: None,
        copies: 1,
        material: "PLA",
        need_by: None,
        unit: None,
        replaces: None,
        statement: Some(own),
        again: true,
        dimensions: None,
        over_limit: None,
        key,
    }
}

async fn sent(session: &Session, material: &str, copies: u32, key: &str) -> ListedRequest {
    let (file, own) = (partpledge_testbed::files().swap_remove(0), Statement::own());
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        copies,
        material,
        ..plain(key, &own)
    };
    let sent = send(session, &mate(), &sent).await.unwrap();
    assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
    let books = Books::open(session).await.unwrap();
    books.numbered(sent.request.number).unwrap().clone()
}

/// Names of the printers that could make what a request has on plates.
fn could(session: &Session, books: &Books, listed: &ListedRequest) -> BTreeSet<String> {
    let plates = books.plates_of(listed.request.id);
    let makings = plates.flat_map(|kept| &kept.plate.makings);
    let name = |making: &partpledge_planning_model::Making| {
        session.terrain.region.printers[making.printer.0]
            .name
            .clone()
    };
    makings.map(name).collect()
}

#[tokio::test]
async fn a_spare_is_promised_and_printed_at_the_meeting_and_the_part_stays_as_it_is() {
    let world = World::new("").await;
    let offered = offers(&world.day, &mate(), &world.part, 2).await.unwrap();
    let [offer] = offered.as_slice() else {
        panic!("{offered:?}");
    };
    assert_eq!(
        (offer.bench.school.as_str(), offer.bench.meeting.as_str()),
        (HALL, "Valley qualifier")
    );
    let shown = offer.own.as_ref().unwrap();
    assert!(shown.probability >= 0.9 && offer.others.is_empty());
    assert!(Minute(shown.arrival_min) <= offer.bench.closes());
    let spare = Spare {
        at: HALL,
        copies: 2,
        material: None,
        no_later: Minute(shown.arrival_min),
    };
    let first = ask_for(&world.day, &mate(), &world.part, (&spare, "once"))
        .await
        .unwrap();
    let again = ask_for(&world.day, &mate(), &world.part, (&spare, "once"))
        .await
        .unwrap();
    assert_eq!(first, again, "asked twice with one key, it is one");
    let books = world.books().await;
    let made = books.numbered(first).unwrap();
    assert_eq!(spare_at(&world.day, made).unwrap().school, HALL);
    let promised = books.pledge_of(made.request.id).unwrap();
    assert_eq!(promised.pledge.place, "Sluice Hall, spares");
    assert_eq!(promised.pledge.arrival.0, shown.arrival_min);
    let at_the_hall = ["Heron at the hall", "Wren at the hall"];
    assert_eq!(
        could(&world.day, &books, made),
        at_the_hall.map(str::to_owned).into()
    );
    // It takes nobody's place, and says by what right it is printed.
    assert_eq!(made.request.replaces, None);
    assert!(
        books
            .notes(made.request.id)
            .iter()
            .any(|note| Statement::read(note).is_some())
    );
    assert!(
        books
            .pledge_of(world.part.request.id)
            .unwrap()
            .end
            .is_none()
    );
    // The bench makes it within the day.
    let kept = books.plates_of(made.request.id).next().unwrap();
    let (plate, start) = (kept.plate.seq.0, books.place(kept).unwrap().start);
    assert_eq!(
        start,
        world.day.minute() + Minutes(10),
        "whoever is there waits for it"
    );
    let then = world.day.at(start.to_ms()).await.unwrap();
    let host = Actor::new(Role::Host(HALL.to_owned()));
    act(&then, &host, plate, &Act::Start, Some("begins-the-spare"))
        .await
        .unwrap();
    let books = Books::open(&then).await.unwrap();
    assert!(!books.may_withdraw(made.request.id));
}

#[tokio::test]
async fn nothing_else_is_printed_at_the_meeting_and_what_is_there_is_away_from_home() {
    let world = World::new("").await;
    let session = &world.before;
    let books = Books::open(session).await.unwrap();
    let printers = could(session, &books, &world.part);
    assert!(
        printers.iter().all(|name| !name.ends_with("hall")),
        "{printers:?}"
    );
    assert!(
        printers.contains("Heron"),
        "on other days it is at its school"
    );
    let heron = session.terrain.printer_of("Heron").unwrap();
    let out = |text: &str| {
        let minute = Minute::at_or_after(at(text));
        let windows = &session.terrain.region.printers[heron.0].out_of_use;
        windows
            .as_slice()
            .iter()
            .any(|w| w.from <= minute && minute < w.until)
    };
    assert!(out("2027-03-13T00:00:00+01:00") && out("2027-03-13T23:59:00+01:00"));
    assert!(!out("2027-03-12T23:59:00+01:00") && !out("2027-03-14T00:00:00+01:00"));
    // Nor can a team have its part fetched there by another door.
    let fetch = Change::Fetch(HALL.to_owned());
    let chosen = choose(session, &mate(), &world.part, (&fetch, Minute(i64::MAX))).await;
    assert!(
        matches!(chosen, Err(WorkshopError::NoSpareNow)),
        "{chosen:?}"
    );
}

#[tokio::test]
async fn spares_are_for_the_day_for_parts_that_were_promised_and_for_the_team_itself() {
    let world = World::new("").await;
    assert!(benches(&world.before).is_empty(), "it is Tuesday");
    let spare = Spare {
        at: HALL,
        copies: 1,
        material: None,
        no_later: Minute(i64::MAX),
    };
    let early = ask_for(&world.before, &mate(), &world.part, (&spare, "early")).await;
    assert!(matches!(early, Err(WorkshopError::NoSpareNow)), "{early:?}");
    let evening = world.day.at(at("2027-03-13T17:00:00+01:00")).await.unwrap();
    let late = ask_for(&evening, &mate(), &world.part, (&spare, "late")).await;
    assert!(matches!(late, Err(WorkshopError::NoSpareNow)), "{late:?}");
    let others = Actor::new(Role::Team("Rail Riders".to_owned()));
    let theirs = ask_for(&world.day, &others, &world.part, (&spare, "theirs")).await;
    assert!(matches!(theirs, Err(WorkshopError::NotYours)), "{theirs:?}");
    let home = Spare {
        at: "brindlemoor",
        ..spare.clone()
    };
    let home = ask_for(&world.day, &mate(), &world.part, (&home, "home")).await;
    assert!(
        matches!(home, Err(WorkshopError::Unknown { .. })),
        "{home:?}"
    );
    let none = Spare {
        copies: 0,
        ..spare.clone()
    };
    let none = ask_for(&world.day, &mate(), &world.part, (&none, "none")).await;
    assert!(
        matches!(none, Err(WorkshopError::OutOfRange { .. })),
        "{none:?}"
    );
    let too_soon = Spare {
        no_later: world.day.minute(),
        ..spare
    };
    let later = ask_for(&world.day, &mate(), &world.part, (&too_soon, "soon")).await;
    assert!(
        matches!(later, Err(WorkshopError::LaterNow { .. })),
        "{later:?}"
    );
    // What was taken down has none.
    let coordinator = Actor::new(Role::Coordinator);
    let why = (Reason::Unclear, "", "take-down-1");
    deciding::take_down(&world.day, &coordinator, &world.part, why)
        .await
        .unwrap();
    let books = world.books().await;
    assert!(!may_spare(
        &books,
        books.numbered(world.part.request.number).unwrap()
    ));
    assert!(world.ask(1, "taken-down").await.is_err());
}

#[tokio::test]
async fn a_team_waits_for_as_many_spares_as_the_region_says_whatever_else_it_has_open() {
    let world = World::new("limits = { open_requests = 1, spares = 2 }").await;
    let (one, two) = tokio::join!(world.ask(1, "one"), world.ask(1, "two"));
    assert!(one.is_ok() && two.is_ok(), "{one:?} {two:?}");
    let three = world.ask(1, "three").await;
    assert!(
        matches!(three, Err(WorkshopError::OverLimit { .. })),
        "{three:?}"
    );
    // Two at the same moment are not both the last one allowed.
    let world = World::new("limits = { spares = 1 }").await;
    let (one, two) = tokio::join!(world.ask(1, "one"), world.ask(1, "two"));
    assert!(one.is_ok() != two.is_ok(), "{one:?} {two:?}");
}

/// When the clock ends what a bench did not make: half a day after it has closed.
async fn next_morning(world: &World) -> Session {
    world.day.at(at("2027-03-14T05:00:00+01:00")).await.unwrap()
}

#[tokio::test]
async fn what_waits_half_a_day_after_the_bench_closed_is_a_broken_promise() {
    let world = World::new("").await;
    let made = world.ask(1, "not-made").await.unwrap();
    let (id, clock) = (made.request.id, Actor::new(Role::Clock));
    let refused = close_benches(&world.day, &mate()).await;
    assert!(matches!(refused, Err(WorkshopError::NotAllowed { .. })));
    for early in ["2027-03-13T17:00:00+01:00", "2027-03-14T04:59:00+01:00"] {
        let early = world.day.at(at(early)).await.unwrap();
        assert_eq!(
            close_benches(&early, &clock).await.unwrap(),
            0,
            "deeds may be told late"
        );
    }
    let morning = next_morning(&world).await;
    assert_eq!(close_benches(&morning, &clock).await.unwrap(), 1);
    assert_eq!(close_benches(&morning, &clock).await.unwrap(), 0);
    let books = Books::open(&morning).await.unwrap();
    let ended = books.pledge_of(id).unwrap().end.as_ref().unwrap();
    assert_eq!(ended.kind, PledgeKind::Broken);
    assert_eq!(books.request(id).unwrap().request.state, State::Withdrawn);
    assert_eq!(books.came(id), None, "nobody holds it");
    assert!(
        books
            .pledge_of(world.part.request.id)
            .unwrap()
            .end
            .is_none()
    );
    assert!(books.plates_of(id).all(|kept| books.place(kept).is_none()));
    let listed = books.request(id).unwrap();
    assert!(
        may_spare(&books, listed),
        "the part itself is as good as it was"
    );
}

#[tokio::test]
async fn what_failed_at_the_bench_is_not_made_after_it_closed() {
    let world = World::new("").await;
    let made = world.ask(2, "fails").await.unwrap();
    let id = made.request.id;
    let books = world.books().await;
    let kept = books.plates_of(id).next().unwrap();
    let (plate, start) = (kept.plate.seq.0, books.place(kept).unwrap().start);
    let host = Actor::new(Role::Host(HALL.to_owned()));
    let then = world.day.at(start.to_ms()).await.unwrap();
    act(&then, &host, plate, &Act::Start, None).await.unwrap();
    let late = world.day.at(at("2027-03-13T16:50:00+01:00")).await.unwrap();
    let what = Act::Fail {
        reason: "came loose".to_owned(),
        good: 0.into(),
        out_until: None,
    };
    act(&late, &host, plate, &what, None).await.unwrap();
    let books = Books::open(&late).await.unwrap();
    assert!(!books.may_withdraw(id), "it was started");
    assert_eq!(
        books.waiting_of(id).count(),
        2,
        "one again, one for the first time"
    );
    let morning = next_morning(&world).await;
    let clock = Actor::new(Role::Clock);
    assert_eq!(close_benches(&morning, &clock).await.unwrap(), 1);
    let books = Books::open(&morning).await.unwrap();
    let ended = books.pledge_of(id).unwrap().end.as_ref().unwrap();
    assert_eq!(ended.kind, PledgeKind::Broken);
    assert_eq!(books.waiting_of(id).count(), 0);
    // It is in nobody's way any more.
    let again = world.ask(1, "another").await;
    assert!(again.is_ok(), "{again:?}");
}

#[tokio::test]
async fn a_bench_that_is_closed_for_the_day_is_none_and_a_closure_week_is_no_hindrance() {
    let world = World::new("").await;
    let closure = SiteClosure {
        schools: vec![HALL.to_owned()],
        from: Minute::at_or_after(at("2027-03-13T00:00:00+01:00")),
        until: Minute::at_or_after(at("2027-03-14T00:00:00+01:00")),
        reason: "no power".to_owned(),
    };
    let coordinator = Actor::new(Role::Coordinator);
    close(&world.before, &coordinator, (&closure, None), None)
        .await
        .unwrap();
    let day = world
        .before
        .at(at("2027-03-13T09:00:00+01:00"))
        .await
        .unwrap();
    assert!(benches(&day).is_empty());
    let region = partpledge_testbed::with_a_meeting();
    let holiday = "[[closures]]\nfrom = \"2027-03-12\"\nto = \"2027-03-14\"\nreason = \"holiday\"\n\n[[closures]]";
    let world = World::of(&region.replacen("[[closures]]", holiday, 1)).await;
    let [bench] = &benches(&world.day)[..] else {
        panic!("the meeting is held");
    };
    let hours = bench
        .open
        .iter()
        .map(|window| (window.until - window.from).0);
    assert_eq!(hours.sum::<i64>(), 8 * 60 + 30);
}

#[tokio::test]
async fn an_older_file_is_no_spare_and_neither_is_what_is_chosen_elsewhere() {
    let world = World::new("limits = { spares = 3 }").await;
    let spare = world.ask(2, "of-the-old").await.unwrap();
    let (day, actor) = (&world.day, mate());
    let changes = [
        Change::Fetch("brindlemoor".to_owned()),
        Change::FewerFirst {
            first: 1,
            by_min: i64::MAX,
        },
    ];
    for change in &changes {
        let chosen = choose(day, &actor, &spare, (change, Minute(i64::MAX))).await;
        assert!(
            matches!(chosen, Err(WorkshopError::NoSpareNow)),
            "{chosen:?}"
        );
    }
    let shown = choices(day, &actor, &spare).await.unwrap().others;
    let only_plastics = shown
        .iter()
        .all(|other| matches!(other.change, Some(Change::Material(_))));
    assert!(only_plastics, "{shown:?}");
    // A changed file under the same name, in the place of nothing.
    let (file, own) = (partpledge_testbed::files().swap_remove(1), Statement::own());
    let newer = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        part: Some(&world.part.part),
        ..plain("the-newer", &own)
    };
    send(day, &actor, &newer).await.unwrap();
    let books = world.books().await;
    for old in [&world.part, &spare] {
        assert!(!may_spare(&books, books.request(old.request.id).unwrap()));
    }
    let late = world.ask(1, "too-old").await;
    assert!(matches!(late, Err(WorkshopError::NoSpareNow)), "{late:?}");
}

#[tokio::test]
async fn a_key_that_came_before_with_something_else_is_refused() {
    let world = World::new("").await;
    world.ask(1, "the-key").await.unwrap();
    let other = world.ask(2, "the-key").await;
    let Err(WorkshopError::Store(StoreError::KeyReused(_))) = other else {
        panic!("{other:?}");
    };
    assert_eq!(world.books().await.requests.len(), 2);
}

#[tokio::test]
async fn what_a_machine_made_at_the_meeting_is_recalled_with_what_it_made_at_home() {
    let world = World::new("").await;
    let made = world.ask(1, "drifts").await.unwrap();
    let books = world.books().await;
    let kept = books.plates_of(made.request.id).next().unwrap();
    let place = *books.place(kept).unwrap();
    let host = Actor::new(Role::Host(HALL.to_owned()));
    let then = world.day.at(place.start.to_ms()).await.unwrap();
    act(&then, &host, kept.plate.seq.0, &Act::Start, None)
        .await
        .unwrap();
    let later = world.day.at(place.end.to_ms()).await.unwrap();
    let off = Act::TakeOff { good: 1.into() };
    act(&later, &host, kept.plate.seq.0, &off, None)
        .await
        .unwrap();
    let books = Books::open(&later).await.unwrap();
    let name = &later.terrain.region.printers[place.printer.0].name;
    let target = Target::Printer {
        name: later.terrain.file.machine_of(name).to_owned(),
        from: place.start.to_ms(),
        until: place.end.to_ms(),
    };
    let found = affected(&later, &books, &target).unwrap();
    assert_eq!(found[0].0.request.id, made.request.id);
    let machine = later.terrain.file.machine_of(name);
    let after = later.at(later.now).await.unwrap();
    let known = after.terrain.learned.printer(machine).unwrap();
    assert_eq!(known.plates, 1, "and it has learned from it");
    // So it stays known by both names.
    let csv = String::from_utf8(to_csv(&after.terrain.file, Table::Printers)).unwrap();
    let cell = format!(",{machine}\r\n");
    assert_eq!(csv.matches(&cell).count(), 1);
    let told = Told {
        table: Table::Printers,
        bytes: csv.replace(&cell, ",\r\n").into_bytes(),
        removes: false,
    };
    let books = Books::open(&after).await.unwrap();
    let coordinator = Actor::new(Role::Coordinator);
    let shown = propose(&after, &coordinator, &books, &told).await.unwrap();
    let mut rows = shown.refused.iter();
    assert!(rows.any(|(row, why)| row == name && why.contains("on record as made by")));
}

#[tokio::test]
async fn a_bench_without_the_plastic_offers_the_one_that_it_has() {
    let (valley, meeting) = (
        partpledge_testbed::ambrel_valley(),
        partpledge_testbed::meeting(),
    );
    let only_pla = meeting.replace("[\"PLA\", \"PETG\", \"TPU\"]", "[\"PLA\"]");
    assert_ne!(only_pla, meeting);
    let world = World::of(&format!("{valley}{only_pla}")).await;
    let petg = sent(&world.before, "PETG", 1, "in-petg").await;
    let offered = offers(&world.day, &mate(), &petg, 1).await.unwrap();
    assert!(offered[0].own.is_err());
    let [other] = offered[0].others.as_slice() else {
        panic!("{offered:?}");
    };
    assert_eq!(other.change, Some(Change::Material("PLA".to_owned())));
    let spare = Spare {
        at: HALL,
        copies: 1,
        material: Some("PLA"),
        no_later: Minute(other.arrival_min),
    };
    let number = ask_for(&world.day, &mate(), &petg, (&spare, "in-pla"))
        .await
        .unwrap();
    let books = world.books().await;
    assert_eq!(books.numbered(number).unwrap().request.material, "PLA");
}

#[tokio::test]
async fn a_bench_stays_one_once_something_was_to_be_handed_over_there() {
    let meeting = partpledge_testbed::meeting();
    let plain = meeting
        .replace("at_home = \"Heron\"\n", "")
        .replace("at_home = \"Wren\"\n", "");
    assert!(!plain.contains("at_home"));
    let world = World::of(&format!("{}{plain}", partpledge_testbed::ambrel_valley())).await;
    let csv = String::from_utf8(to_csv(&world.day.terrain.file, Table::Hours)).unwrap();
    let told = Told {
        table: Table::Hours,
        bytes: csv.replace("2027-03-13", "").into_bytes(),
        removes: false,
    };
    let coordinator = Actor::new(Role::Coordinator);
    let of_hall = async || {
        let books = world.books().await;
        let shown = propose(&world.day, &coordinator, &books, &told)
            .await
            .unwrap();
        let mut rows = shown.refused.into_iter();
        rows.find(|(row, _)| row == HALL).map(|(_, why)| why)
    };
    assert_eq!(of_hall().await, None);
    world.ask(1, "on-record").await.unwrap();
    let why = of_hall().await.unwrap();
    assert!(why.contains("on record for its desk"), "{why}");
    // Nor does it move to the next meeting with what is promised for this one.
    let later = Told {
        bytes: csv.replace("2027-03-13", "2027-04-10").into_bytes(),
        ..told.clone()
    };
    let books = world.books().await;
    let shown = propose(&world.day, &coordinator, &books, &later)
        .await
        .unwrap();
    let mut rows = shown.refused.iter();
    let (_, why) = rows.find(|(row, _)| row == HALL).unwrap();
    assert!(why.contains("is promised for its day"), "{why}");
}

#[tokio::test]
async fn a_spare_of_which_only_some_was_made_is_a_broken_promise_too() {
    let world = World::new("").await;
    let made = world.ask(2, "half-made").await.unwrap();
    let (id, host) = (made.request.id, Actor::new(Role::Host(HALL.to_owned())));
    let books = world.books().await;
    assert_eq!(books.waiting_of(id).count(), 2, "on two plates");
    let kept = books.plates_of(id).next().unwrap();
    let (plate, place) = (kept.plate.seq.0, *books.place(kept).unwrap());
    let then = world.day.at(place.start.to_ms()).await.unwrap();
    act(&then, &host, plate, &Act::Start, None).await.unwrap();
    let off = world.day.at(place.end.to_ms()).await.unwrap();
    for what in [Act::TakeOff { good: 1.into() }, Act::Box] {
        act(&off, &host, plate, &what, None).await.unwrap();
    }
    let (morning, clock) = (next_morning(&world).await, Actor::new(Role::Clock));
    assert_eq!(close_benches(&morning, &clock).await.unwrap(), 1);
    let books = Books::open(&morning).await.unwrap();
    let ended = books.pledge_of(id).unwrap().end.as_ref().unwrap();
    assert_eq!(ended.kind, PledgeKind::Broken);
    assert_ne!(books.request(id).unwrap().request.state, State::Withdrawn);
    let boxed = books
        .copies(id)
        .iter()
        .filter(|copy| copy.state == State::Boxed);
    assert_eq!(boxed.count(), 1, "what was made may still be handed over");
}
