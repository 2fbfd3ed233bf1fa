//! A bench that students run: who may do what, what is told later, the jobs of the day, figures.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

mod figures;
mod floor;
mod people;
mod shared;
mod turns;

use bytes::Bytes;
use jiff::civil::Date;
use partpledge_hubs::Task;
use partpledge_units::ids::{CrewId, PersonId};
use partpledge_units::local::{parse_date, parse_rfc3339};
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::bench::{Act, Told, act};
use partpledge_workshop::hub::{CrewDeed, Hub, lead, say_present};
use partpledge_workshop::people::PeopleError;
use partpledge_workshop::plate_room::printer_of;
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

/// Every task, for a sign-off on the classes of the region.
const CLASSES: [&str; 5] = ["standard", "swift", "compact", "roomy", "warm"];

/// Position of a part of the demo whose copies lie on one plate.
const SPACERS: usize = 7;

/// One printer, at a bench that is open ten hours a day, and two teams.
const TWO_TEAMS: &str = include_str!("sharing/region.toml");

struct World {
    _dir: tempfile::TempDir,
    session: Session,
    /// Code of the bench that makes the first plate.
    code: String,
    plate: u64,
    /// Copies on it: several.
    copies: u32,
    printer: String,
    class: String,
    /// When it is planned to start.
    start: Minute,
}

/// The demo region with every bench run by students, and what else `change` does to its file.
fn region(change: impl Fn(String) -> String) -> String {
    let text = partpledge_testbed::ambrel_valley();
    let plain = text.replace(
        "student_run = true\nadult_for = [\"unattended\", \"hot-material\", \"battery-area\"]\n",
        "",
    );
    assert_ne!(plain, text);
    let plain = plain.replace("battery_area = true\n", "");
    change(plain.replace(
        "no_show = 0.02\n",
        "no_show = 0.02\nstudent_run = true\nadult_for = []\n",
    ))
}

fn machine() -> Actor {
    Actor::at_the_machine()
}

fn day(text: &str) -> Date {
    parse_date(text).unwrap()
}

impl World {
    /// With a plate of spacers promised.
    async fn new(region: &str) -> Self {
        let (dir, session) = opened(region).await;
        send_one(&session, SPACERS, "send-00001").await;
        Self::around(dir, session).await
    }

    /// At the bench with one printer, with a plate of two copies promised to Newt Works.
    async fn of_two_teams() -> Self {
        let students = "no_show = 0.0\nstudent_run = true\nadult_for = []\n";
        let region = TWO_TEAMS.replace("no_show = 0.0\n", students);
        let (dir, session) = opened(&region).await;
        send_for(&session, "Newt Works", 2).await;
        Self::around(dir, session).await
    }

    async fn around(dir: tempfile::TempDir, session: Session) -> Self {
        let books = Books::open(&session).await.unwrap();
        let place = books.floor.plan.assignments[0];
        let kept = books.plate(place.plate.0).unwrap();
        let printer = printer_of(&session, &books, kept).unwrap();
        let at = session.terrain.printer_of(&printer).unwrap();
        let host = session.terrain.host_at(at, place.start).to_owned();
        let schools = &session.terrain.file.schools;
        let code = schools.iter().find(|school| school.name == host).unwrap();
        Self {
            code: code.code.clone(),
            plate: place.plate.0,
            copies: kept.plate.copies,
            class: session.terrain.classes[at.0].clone(),
            printer,
            start: place.start,
            session,
            _dir: dir,
        }
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    fn bench(&self) -> Actor {
        Actor::new(Role::Host(self.code.clone()))
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn hub(&self, session: &Session) -> Hub {
        Hub::open(session, &self.code).await.unwrap().unwrap()
    }

    async fn lead(&self, session: &Session, what: &CrewDeed) -> Result<(), PeopleError> {
        lead(session, &machine(), (&self.code, what), None).await
    }

    /// Somebody new, signed off for these on one class until that day.
    async fn member(&self, name: &str, tasks: &[Task], class: &str, until: &str) -> CrewId {
        let add = CrewDeed::Add {
            name: name.to_owned(),
        };
        self.lead(&self.session, &add).await.unwrap();
        let hub = self.hub(&self.session).await;
        let member = hub.crew().find(|one| one.name == name).unwrap().id;
        let tasks = tasks.iter().map(|task| (*task, class.to_owned()));
        let sign = CrewDeed::Sign {
            member,
            tasks: tasks.collect(),
            until: day(until),
        };
        self.lead(&self.session, &sign).await.unwrap();
        member
    }

    async fn here(&self, session: &Session, crew: &[CrewId]) {
        let told = (None, None);
        say_present(session, &self.bench(), (&self.code, crew), told)
            .await
            .unwrap();
    }

    /// An adult of the bench says that they are there.
    async fn adult(&self, session: &Session, until: Minute) {
        let id = PersonId::fresh(&mut partpledge_units::ids::IdSource::seeded(5), EventMs(0));
        let adult = Actor::person_as(id, Role::Host(self.code.clone()));
        let here = CrewDeed::Here(until);
        lead(session, &adult, (&self.code, &here), None)
            .await
            .unwrap();
    }

    /// Done from the bench's own sheet, as it is told.
    async fn does(&self, session: &Session, what: &Act) -> Result<(), WorkshopError> {
        act(session, &self.bench(), self.plate, what, None)
            .await
            .map(|_| ())
    }

    /// Done then, told now.
    async fn did(&self, session: &Session, what: &Act, at: Minute) -> Result<(), WorkshopError> {
        let told = Told {
            done_at: Some(at.to_ms()),
            ..Told::default()
        };
        act(session, &self.bench(), self.plate, what, told)
            .await
            .map(|_| ())
    }
}

async fn opened(region: &str) -> (tempfile::TempDir, Session) {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
    let session = Session::open(&dir.path().join("data"), region, now).await;
    (dir, session.unwrap())
}

/// A part of which several copies of two teams fit on one plate.
async fn send_for(session: &Session, team: &str, copies: u32) {
    let file = partpledge_testbed::files().swap_remove(1);
    let own = partpledge_workshop::review::Statement::own();
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team,
        part: None,
        copies,
        material: "PLA",
        need_by: None,
        unit: None,
        replaces: None,
        statement: Some(&own),
        again: true,
        over_limit: None,
        key: &format!("send-{team}"),
    };
    let actor = Actor::new(Role::Team(team.to_owned()));
    let sent = send(session, &actor, &sent).await.unwrap();
    assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
}

async fn send_one(session: &Session, file: usize, key: &str) {
    let file = partpledge_testbed::files().swap_remove(file);
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team: "Newt Works",
        part: None,
        copies: file.copies,
        material: file.material,
        need_by: None,
        unit: None,
        replaces: None,
        statement: None,
        again: true,
        over_limit: None,
        key,
    };
    let actor = Actor::new(Role::Team("Newt Works".to_owned()));
    send(session, &actor, &sent).await.unwrap();
}
