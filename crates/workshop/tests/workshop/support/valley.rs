//! The demo region on a Tuesday morning, and its parts sent.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_records::ListedRequest;
use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::review::Statement;
use partpledge_workshop::sending::{Received, Sent, send};
use partpledge_workshop::{Actor, Session};

/// The region in a folder of its own, with these lines before its first table.
pub(crate) async fn valley(lines: &str) -> (tempfile::TempDir, Session) {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let region = region.replacen("[[closures]]", &format!("{lines}\n[[closures]]"), 1);
    let session = Session::open(&dir.path().join("data"), &region, now).await;
    (dir, session.unwrap())
}

/// The demo's part of that place in its list, sent by somebody for their team.
pub(crate) async fn send_part(
    session: &Session,
    who: &Actor,
    (i, replaces): (usize, Option<&ListedRequest>),
    key: &str,
) -> Received {
    let file = partpledge_testbed::files().swap_remove(i);
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team: who.role().team().unwrap(),
        part: None,
        copies: file.copies,
        material: file.material,
        need_by: None,
        unit: None,
        replaces,
        statement: Some(&Statement::own()),
        again: true,
        dimensions: None,
        over_limit: None,
        key,
    };
    send(session, who, &sent).await.unwrap()
}
