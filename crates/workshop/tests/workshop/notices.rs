//! Notices: who is told of what, once, and in which words.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

mod account;
mod boxes;
mod hubs;
mod leaving;
mod looks;
mod review;
mod spares;

use crate::support::plates::open_plates;
use crate::support::valley::{send_part, valley};
use bytes::Bytes;
use partpledge_records::{Deed, Held, NewPerson, Notice, PersonKind, RoleKind};
use partpledge_stock::Roll;
use partpledge_units::ids::{IdSource, PersonId};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools};
use partpledge_workshop::bench::{Act, act, adopt, end_request, hold, printer_out};
use partpledge_workshop::notices::{look, own, saw, unseen};
use partpledge_workshop::programs::program_for_plate;
use partpledge_workshop::review::deciding::{report, take_down};
use partpledge_workshop::review::{Reason, undecided};
use partpledge_workshop::risks::{outcomes, take};
use partpledge_workshop::sending::Received;
use partpledge_workshop::{Actor, Books, Role, Session};

const TEAM: &str = "Newt Works";

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

impl World {
    /// The demo region, looked at once.
    async fn new() -> Self {
        Self::with("").await
    }

    /// The same with these lines before its first table.
    async fn with(lines: &str) -> Self {
        let (dir, session) = valley(lines).await;
        let world = Self { _dir: dir, session };
        assert_eq!(world.look(&world.session).await, 0);
        world
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    /// The server looks; how many notices it wrote.
    async fn look(&self, session: &Session) -> usize {
        let books = Books::open(session).await.unwrap();
        let outcomes = outcomes(session, &books);
        let clock = Actor::new(Role::Clock);
        look(session, &clock, &books, &outcomes).await.unwrap()
    }

    /// Somebody in that role.
    async fn person(&self, name: &str, role: RoleKind, scope: &str) -> Actor {
        let (store, region) = self.session.store().unwrap();
        let student = role == RoleKind::Student;
        let new = NewPerson {
            kind: if student {
                PersonKind::Student
            } else {
                PersonKind::Adult
            },
            name: name.to_owned(),
            email: (!student).then(|| format!("{name}@example.org")),
            secret: None,
        };
        let held = Held::new(role, scope);
        let deed = Deed {
            actor: "local".to_owned(),
            occurred_at: self.session.now,
            received_at: self.session.now,
            idempotency_key: None,
        };
        let who = (&new, &held);
        let id: PersonId = store
            .add_person(region, who, &deed, &mut IdSource::Os)
            .await
            .unwrap();
        Actor::person_as(id, Role::of(&held))
    }

    async fn send(&self, who: &Actor, i: usize, key: &str) -> Received {
        send_part(&self.session, who, (i, None), key).await
    }

    /// A plate is printed where and when it was planned, and put in its box; when that was.
    async fn boxed(&self, (seq, start, end): (u64, Minute, Minute)) -> Session {
        let (starting, ending) = (self.at(start).await, self.at(end).await);
        act(&starting, &bench(), seq, &Act::Start, None)
            .await
            .unwrap();
        let books = self.books().await;
        let good = books.plate(seq).unwrap().plate.copies.into();
        for what in [Act::TakeOff { good }, Act::Box] {
            act(&ending, &bench(), seq, &what, None).await.unwrap();
        }
        ending
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    async fn notices(&self, who: &Actor) -> Vec<Notice> {
        own(&self.session, who).await.unwrap()
    }

    /// Kinds of somebody's notices, the first first.
    async fn kinds(&self, who: &Actor) -> Vec<String> {
        let all = self.notices(who).await;
        all.into_iter().rev().map(|one| one.said.kind).collect()
    }

    /// The last thing that somebody was told.
    async fn last(&self, who: &Actor) -> String {
        let mut all = self.notices(who).await;
        all.swap_remove(0).said.says.to_string()
    }

    /// Open plates of a request with start and end, in order.
    async fn plates(&self, sent: &Received) -> Vec<(u64, Minute, Minute)> {
        open_plates(&self.books().await, sent)
    }
}

fn bench() -> Actor {
    Actor::new(Role::Host("brindlemoor".to_owned()))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_is_told_from_the_promise_to_the_hand_over_and_nobody_else_is() {
    let world = World::new().await;
    let sender = world.person("Otter", RoleKind::Student, TEAM).await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let mentor = world.person("Wren", RoleKind::Mentor, TEAM).await;
    let other = world
        .person("Teal", RoleKind::Student, "Silt Sisters")
        .await;
    let sent = world.send(&sender, 0, "send-00001").await;
    assert_eq!(world.look(&world.session).await, 2);
    assert_eq!(world.look(&world.session).await, 0, "told once");
    let promised = world.last(&mate).await;
    assert!(promised.contains("is promised"), "{promised}");
    assert_eq!(world.kinds(&sender).await, [""; 0], "it was their own deed");
    let mut last = Minute(0);
    let plates = world.plates(&sent).await;
    assert!(plates.len() > 1);
    for &(seq, start, end) in &plates {
        let (starting, ending) = (world.at(start).await, world.at(end).await);
        act(&starting, &bench(), seq, &Act::Start, None)
            .await
            .unwrap();
        world.look(&starting).await;
        let books = world.books().await;
        let good = books.plate(seq).unwrap().plate.copies.into();
        for what in [Act::TakeOff { good }, Act::Box, Act::Leave] {
            act(&ending, &bench(), seq, &what, None).await.unwrap();
        }
        last = last.max(end);
    }
    let after = world.at(last + Minutes(60)).await;
    world.look(&after).await;
    hold(&after, &mentor, sent.request.id, Some("held-00001"))
        .await
        .unwrap();
    world.look(&after).await;
    let told = world.kinds(&mate).await;
    let once = |kind: &str| told.iter().filter(|one| *one == kind).count();
    assert_eq!(told[..2], ["part.promised", "part.printing"]);
    assert_eq!(once("part.printing"), 1, "{told:?}");
    for kind in ["part.ready", "part.on-its-way"] {
        assert_eq!(once(kind), plates.len(), "{kind}: {told:?}");
    }
    assert_eq!(told.last().unwrap(), "part.handed-over");
    assert_eq!(world.kinds(&sender).await, told[1..], "all that others did");
    assert_eq!(world.kinds(&mentor).await, told[..told.len() - 1]);
    assert_eq!(world.kinds(&other).await, [""; 0]);
    let link = format!("/parts/{}", sent.request.number);
    assert!(
        world
            .notices(&mate)
            .await
            .iter()
            .all(|n| n.said.link == link)
    );

    let newest = world.notices(&mate).await[0].n;
    saw(&world.session, &mate, newest - 1).await.unwrap();
    let left = unseen(&world.session, &mate).await.unwrap();
    assert_eq!(left.iter().map(|one| one.many).sum::<usize>(), 1);
    let nobody = own(&world.session, &Actor::new(Role::Nobody)).await;
    assert_eq!(nobody.unwrap_err().code(), "not-allowed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_that_needs_a_change_or_a_look_is_told_to_those_who_act() {
    let world = World::new().await;
    let sender = world.person("Otter", RoleKind::Student, TEAM).await;
    let mentor = world.person("Wren", RoleKind::Mentor, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    world.send(&sender, 11, "send-00001").await; // torn tray
    let fine = world.send(&sender, 0, "send-00002").await;
    let what = (false, "It looks like a blade.", "report-0001");
    report(&world.session, &mentor, fine.request.number, what)
        .await
        .unwrap();
    world.look(&world.session).await;
    let told = world.kinds(&mentor).await;
    assert_eq!(told, ["part.needs-change", "part.promised"]);
    assert_eq!(world.kinds(&sender).await, [""; 0], "their own deeds");
    let told = world.notices(&coordinator).await;
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].said.kind, "review.reported");
    assert_eq!(
        told[0].said.link,
        format!("/review/{}", fine.request.number)
    );
    assert!(told[0].said.urgent);

    let what = (Reason::ALL[0], "It can hurt.", "down-00001");
    let books = world.books().await;
    let listed = books.request(fine.request.id).unwrap();
    take_down(&world.session, &coordinator, listed, what)
        .await
        .unwrap();
    world.look(&world.session).await;
    assert_eq!(world.kinds(&sender).await, ["part.taken-down"]);
    assert_eq!(world.kinds(&coordinator).await.len(), 1, "their own deed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_that_comes_at_risk_is_told_with_the_new_time_and_why_until_it_holds_again() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let other = world
        .person("Teal", RoleKind::Student, "Silt Sisters")
        .await;
    let sent = world
        .send(&Actor::new(Role::Team(TEAM.to_owned())), 0, "send-00001")
        .await;
    world.look(&world.session).await;
    // Every printer is out of use until long after the promise.
    let now = world.session.minute();
    let machine = Actor::at_the_machine();
    let printers = world.session.terrain.region.printers.clone();
    for (i, printer) in printers.iter().enumerate() {
        let session = world.session.at(world.session.now).await.unwrap();
        let what = ("The belt broke", now + Minutes(9 * 1_440));
        let key = format!("out-{i:05}");
        printer_out(&session, &machine, &printer.name, what, Some(key.as_str()))
            .await
            .unwrap();
    }
    let session = world.session.at(world.session.now).await.unwrap();
    assert!(world.look(&session).await >= 2);
    let told = world.last(&mate).await;
    assert!(told.contains("may be late. We promised it for "), "{told}");
    assert!(told.contains("is out of use (the belt broke)"), "{told}");
    let to_coordinator = world.notices(&coordinator).await;
    assert_eq!(to_coordinator[0].said.kind, "promise.at-risk");
    assert!(to_coordinator[0].said.urgent);
    assert_eq!(world.look(&session).await, 0, "told once");
    let before = world.kinds(&mate).await.len();
    let minute_later = session.at(EventMs(session.now.0 + 60_000)).await.unwrap();
    assert_eq!(world.look(&minute_later).await, 0, "about the same");
    assert_eq!(world.kinds(&mate).await.len(), before);
    assert_eq!(world.kinds(&other).await, [""; 0]);

    // With its end the promise is at risk no more, and a new one is told anew.
    let id = sent.request.id;
    let end = partpledge_records::PledgeEnd::Withdrawn;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    end_request(&session, &team, id, end, Some("back-00001"))
        .await
        .unwrap();
    world.look(&session).await;
    let (store, region) = session.store().unwrap();
    assert!(store.told(region).await.unwrap().before.late.is_empty());
    assert_eq!(world.kinds(&mate).await.last().unwrap(), "part.called-back");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_is_told_what_came_and_went_today_and_what_is_wanting() {
    let world = World::new().await;
    let codes = world.session.terrain.file.hosts.iter();
    let mut benches = Vec::new();
    for code in codes.map(|host| host.school.clone()) {
        let person = world.person(&code, RoleKind::Operator, &code).await;
        benches.push((code, person));
    }
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    let (seq, start, _) = world.plates(&sent).await[0];
    let zone = &world.session.terrain.zone;
    assert_eq!(zone.date(start), zone.date(world.session.minute()), "today");
    let books = world.books().await;
    let place = *books.place(books.plate(seq).unwrap()).unwrap();
    let terrain = &world.session.terrain;
    let site = terrain.region.printers[place.printer.0].site_at(place.start);
    let home = &terrain.file.hosts[site.0].school;
    let mut told = 0;
    for (code, person) in &benches {
        let all = world.notices(person).await;
        told += all.len();
        assert_eq!(all.is_empty(), code != home, "{code}: {all:?}");
    }
    assert_eq!(told, 1);
    let own = &benches.iter().find(|(code, _)| code == home).unwrap().1;
    let says = world.last(own).await;
    let new = format!(
        "New on your bench today: plate {seq} at {}",
        zone.clock(start)
    );
    assert!(says.starts_with(&new), "{says}");

    let id = sent.request.id;
    let end = partpledge_records::PledgeEnd::Withdrawn;
    end_request(&world.session, &team, id, end, Some("back-00001"))
        .await
        .unwrap();
    world.look(&world.session).await;
    let says = world.last(own).await;
    let gone = format!("Plate {seq} is off the plan. Don’t start it.");
    assert!(says.starts_with(&gone), "{says}");
    let kinds = world.kinds(own).await;
    assert_eq!(kinds, ["bench.changed", "bench.changed"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_that_holds_again_is_told_to_its_team() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    // Every plate a day later than it was promised with.
    let books = world.books().await;
    let mut plan = books.floor.plan.clone();
    let day = Minutes(1_440);
    for place in &mut plan.assignments {
        place.start = place.start + day;
        place.end = place.end + day;
        place.cleared = place.cleared + day;
        place.ready = place.ready + day;
        place.arrives = place.arrives + day;
    }
    let why = (
        plan,
        partpledge_words::said!("common-as-written", text = "set up for the test"),
    );
    adopt(&world.session, &coordinator, &books, why, None)
        .await
        .unwrap();
    world.look(&world.session).await;
    let told = world.last(&mate).await;
    assert!(told.contains("may be late"), "{told}");
    let books = world.books().await;
    let at = (sent.request.number, books.floor.revision);
    take(&world.session, &coordinator, at, None).await.unwrap();
    world.look(&world.session).await;
    let told = world.last(&mate).await;
    assert!(told.contains("should be in time after all"), "{told}");
    assert_eq!(world.look(&world.session).await, 0, "told once");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_that_sends_programs_is_asked_for_the_next_one_once() {
    let world = World::new().await;
    let own = world
        .person("Crake", RoleKind::Operator, "brindlemoor")
        .await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    let kinds = world.kinds(&own).await;
    assert_eq!(
        kinds,
        ["bench.changed"],
        "no program has come from there yet"
    );
    let (first, second) = {
        let plates = world.plates(&sent).await;
        (plates[0].0, plates[1].0)
    };
    let bytes = Bytes::from_static(
        b"G21 G90\nM83\nG28\nG92 X0 Y0 Z0 E0\nG0 X10 Y10 Z.2 F6000\nG1 X60 E1.5 F1800\nG4 S600\n",
    );
    let what = (&bytes, "plate.txt");
    program_for_plate(&world.session, &bench(), first, what, Some("program-01"))
        .await
        .unwrap();
    let session = world.session.at(world.session.now).await.unwrap();
    world.look(&session).await;
    let told = world.notices(&own).await;
    let says = |kind: &str| {
        let of_kind = told.iter().filter(|one| one.said.kind == kind);
        of_kind
            .map(|one| one.said.says.to_string())
            .collect::<Vec<_>>()
    };
    let wanted = says("bench.programs-wanted");
    assert_eq!(wanted.len(), 1, "{told:?}");
    let plate = format!("plate {second} at");
    assert!(wanted[0].contains(&plate), "{wanted:?}");
    assert!(!wanted[0].contains(&format!("plate {first} at")));
    assert_eq!(world.look(&session).await, 0, "told once");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_is_told_once_that_no_spool_suffices() {
    let world = World::new().await;
    let own = world
        .person("Crake", RoleKind::Operator, "brindlemoor")
        .await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    let kinds = world.kinds(&own).await;
    assert_eq!(kinds, ["bench.changed"], "nothing is counted there yet");
    let roll = Roll {
        host: "brindlemoor".to_owned(),
        material: "PETG".to_owned(),
        colour: "orange".to_owned(),
        net_g: 60,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let came = SpoolAct::Receive {
        roll,
        spools: 4,
        delivery: None,
    };
    // Four ends, as the scale has it: together they would do, none does alone.
    let ends = (1..=4).map(|spool| SpoolAct::Weigh {
        spool,
        grams: 28,
        with_reel: false,
        tare_g: None,
        sure: false,
    });
    for what in std::iter::once(came).chain(ends) {
        act_on_spools(&world.session, &bench(), &what, None)
            .await
            .unwrap();
    }
    let session = world.session.at(world.session.now).await.unwrap();
    world.look(&session).await;
    let told = world.notices(&own).await;
    let short = told
        .iter()
        .filter(|one| one.said.kind == "bench.spool-short");
    let short: Vec<String> = short.map(|one| one.said.says.to_string()).collect();
    assert_eq!(short.len(), world.plates(&sent).await.len(), "{told:?}");
    let says = |says: &String| says.contains("No spool here has more than 28 g");
    assert!(short.iter().all(says), "{short:?}");
    assert_eq!(world.look(&session).await, 0, "told once");
}
