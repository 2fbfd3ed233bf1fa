//! The demo region with a dozen requests promised.

use bytes::Bytes;
use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::review::Statement;
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Role, Session};

/// What tests of a busy region stand on; the folder goes with it.
pub(crate) struct Busy {
    _dir: tempfile::TempDir,
    pub(crate) session: Session,
}

pub(crate) fn coordinator() -> Actor {
    Actor::new(Role::Coordinator)
}

impl Busy {
    /// So many rounds of three parts each, all asked for by Newt Works.
    pub(crate) async fn after(rounds: usize) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        for round in 0..rounds {
            for i in 0..3 {
                ask_for(&session, i, &format!("request-{round}-{i}")).await;
            }
        }
        Self { _dir: dir, session }
    }

    /// The region as it is on record by now.
    pub(crate) async fn again(&self) -> Session {
        self.session.at(self.session.now).await.unwrap()
    }
}

/// The demo's part of that place in its list, promised.
pub(crate) async fn ask_for(session: &Session, i: usize, key: &str) {
    let file = partpledge_testbed::files().swap_remove(i);
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
        statement: Some(&Statement::own()),
        again: true,
        over_limit: None,
        key,
    };
    let actor = Actor::new(Role::Team("Newt Works".to_owned()));
    send(session, &actor, &sent).await.unwrap();
}
