//! Promises that came at risk, hold again, or are expected at another time than was told.

use std::collections::BTreeMap;

use partpledge_records::{Before, ListedRequest};
use partpledge_units::ids::RequestId;

use super::says::on;
use super::{News, Says, To};
use crate::books::{Books, Promised};
use crate::pledging::LEVEL;
use crate::risks::{Outcome, cause};
use crate::session::Session;

/// A forecast that moved by less than this is not told again. Common practice, no source.
const WORTH_MIN: i64 = 180;

/// What is to be told, and which promises are told to be at risk from then on.
pub(super) fn news(
    session: &Session,
    books: &Books,
    outcomes: &BTreeMap<RequestId, Outcome>,
    before: &Before,
) -> (Vec<News>, BTreeMap<i64, Option<i64>>) {
    let (mut out, mut late) = (Vec::new(), BTreeMap::new());
    for (listed, promised) in books.open_pledges() {
        let number = listed.request.number;
        let told = before.late.get(&number);
        let Some(outcome) = outcomes.get(&listed.request.id) else {
            late.extend(told.map(|told| (number, *told)));
            continue;
        };
        if outcome.at_risk() {
            let likely = outcome.likely.map(|at| at.0);
            let same = told.is_some_and(|told| about_the_same(*told, likely));
            late.insert(
                number,
                if same {
                    told.copied().flatten()
                } else {
                    likely
                },
            );
            if !same {
                let first = told.is_none();
                out.extend(at_risk(session, books, (listed, promised), outcome, first));
            }
        } else if told.is_some() {
            // Between the two it is neither: what was told is left as it is.
            if outcome.chance < LEVEL {
                late.extend(told.map(|told| (number, *told)));
            } else {
                out.push(in_time_again(session, listed, promised));
            }
        }
    }
    (out, late)
}

fn about_the_same(told: Option<i64>, now: Option<i64>) -> bool {
    match (told, now) {
        (Some(told), Some(now)) => (told - now).abs() < WORTH_MIN,
        (told, now) => told == now,
    }
}

fn to_team(session: &Session, listed: &ListedRequest, says: Says) -> News {
    News {
        to: To::Team(listed.request.team.clone()),
        at: session.now,
        link: format!("/parts/{}", listed.request.number),
        says,
        by: None,
    }
}

/// To the team whenever the forecast is another, to the coordinator when it is at risk at first.
fn at_risk(
    session: &Session,
    books: &Books,
    (listed, promised): (&ListedRequest, &Promised),
    outcome: &Outcome,
    first: bool,
) -> Vec<News> {
    let why = cause(session, books, listed);
    let why = why.map(|why| why.because(|at| on(&session.terrain.zone, at)));
    let (part, likely) = (listed.part.clone(), outcome.likely);
    let arrival = promised.pledge.arrival;
    let says = Says::MayBeLate {
        part: part.clone(),
        promised: arrival,
        likely,
        place: promised.document.place.clone(),
        why: why.clone(),
    };
    let mut out = vec![to_team(session, listed, says)];
    if first {
        out.push(News {
            to: To::Coordinators,
            at: session.now,
            link: "/region".to_owned(),
            says: Says::AtRisk {
                number: listed.request.number,
                part,
                team: listed.request.team.clone(),
                promised: arrival,
                likely,
                why,
            },
            by: None,
        });
    }
    out
}

fn in_time_again(session: &Session, listed: &ListedRequest, promised: &Promised) -> News {
    let says = Says::InTimeAgain {
        part: listed.part.clone(),
        promised: promised.pledge.arrival,
        place: promised.document.place.clone(),
    };
    to_team(session, listed, says)
}
