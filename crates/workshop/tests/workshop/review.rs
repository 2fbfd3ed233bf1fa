//! Review: held, passed, refused, appealed, taken down; plates declined; the same again; limits.
#![expect(clippy::too_many_lines, reason = "walks, told in their order")]
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

mod deciding;
mod ending;
mod limits;

use std::collections::BTreeMap;

use bytes::Bytes;
use partpledge_records::{Deed, ListedRequest, NoteKind, PlateState, PledgeEnd, PledgeKind, State};
use partpledge_units::ids::IdSource;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::bench::{Act, act, end_request};
use partpledge_workshop::notices::look;
use partpledge_workshop::review::deciding::{appeal, hold, pass, refuse, report, take_down};
use partpledge_workshop::review::limits::open;
use partpledge_workshop::review::{Claim, Decline, Reason, Statement, undecided};
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
            dimensions: None,
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
