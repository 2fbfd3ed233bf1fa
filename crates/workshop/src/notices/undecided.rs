//! Requests that wait for a decision for too long.

use std::collections::BTreeMap;

use partpledge_records::{Before, Waited};
use partpledge_units::time::{EventMs, Minute};

use super::{News, Says, To};
use crate::books::Books;
use crate::review::undecided::overdue;
use crate::session::Session;

/// What is to be told, and of which requests that is told from then on: each once for each wait.
pub(super) fn news(
    session: &Session,
    books: &Books,
    before: &Before,
) -> (Vec<News>, BTreeMap<i64, Waited>) {
    let (mut out, mut told) = (Vec::new(), BTreeMap::new());
    for (listed, waited, again) in overdue(session, books, before) {
        let number = listed.request.number;
        told.insert(number, waited);
        if before.undecided.get(&number) == Some(&waited) {
            continue;
        }
        let (part, team) = (listed.part.clone(), listed.request.team.clone());
        let closes = Minute::at_or_after(EventMs(waited.until));
        let mut add = |to, link, says| {
            out.push(News {
                to,
                at: session.now,
                link,
                says,
                by: None,
            });
        };
        let to_team = Says::WaitsLong {
            part: part.clone(),
            closes,
            again,
        };
        add(To::Team(team.clone()), format!("/parts/{number}"), to_team);
        let to_those = Says::Undecided {
            number,
            part,
            team,
            closes,
        };
        add(To::Coordinators, format!("/review/{number}"), to_those);
    }
    (out, told)
}
