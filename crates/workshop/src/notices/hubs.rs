//! What the adults of a bench that students run should look at: deeds that nobody who was there may do
//! alone. The deed's own event does not say so; the list of what waits for an adult does.

use super::{NEWS_MS, News, Says, To};
use crate::error::WorkshopError;
use crate::session::Session;

/// What came to wait for an adult after the first of these entries of the log, up to the second, at each
/// bench. What an adult has looked at by now, or was taken back, is left out.
///
/// The bench's tablet is signed in by an adult, and the crew works at it: whose deed it was can't be
/// said, so that adult is told too.
pub(super) async fn news(
    session: &Session,
    (after, upto): (i64, i64),
) -> Result<Vec<News>, WorkshopError> {
    let (store, region) = session.writable()?;
    let file = &session.terrain.file;
    let mut out = Vec::new();
    for host in file.hosts.iter().filter(|host| host.student_run) {
        let waits = store.crew(region, &host.school).await?.to_look;
        let new = waits.iter().filter(|look| {
            after < look.entry && look.entry <= upto && session.now.0 - look.at.0 < NEWS_MS
        });
        let deeds = new.count();
        if deeds == 0 {
            continue;
        }
        let school = file.school(&host.school);
        out.push(News {
            to: To::Adults(host.school.clone()),
            at: session.now,
            link: format!("/hubs/{}", host.school),
            says: Says::LookAt {
                host: school.map_or_else(|| host.school.clone(), |school| school.name.clone()),
                deeds,
            },
            by: None,
        });
    }
    Ok(out)
}
