//! The demo region with a dozen requests promised.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use super::valley::{send_part, valley};
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
        let (dir, session) = valley("").await;
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
    let team = Actor::new(Role::Team("Newt Works".to_owned()));
    send_part(session, &team, (i, None), key).await;
}
