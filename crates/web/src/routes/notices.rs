//! One's own notices: what happened, and that it was seen.

use axum::extract::{Form, State};
use axum::response::{Redirect, Response};
use partpledge_records::{Notice, Unseen};
use partpledge_words::say;
use partpledge_workshop::{Session, notices};
use serde::Deserialize;

use super::account::when;
use super::{Trouble, failed, page};
use crate::pages::notices::{ElseRow, NoticeRow, NoticesPage};
use crate::site::Site;
use crate::who::{Head, Visitor, role_words};
use crate::words;

/// Most notices on the page.
const MOST: usize = 100;

/// What of so many notices, the last first, of which the first `new` were not seen, is on the page:
/// the last ones, or the oldest of those not seen when there are more of these. "Seen" goes up to the
/// last one shown and must pass over none.
fn shown(all: usize, new: usize) -> std::ops::Range<usize> {
    let first = new.saturating_sub(MOST);
    first..(first + MOST).min(all)
}

/// Whoever is signed in, with how many notices they have not seen. A count that can't be had now
/// keeps nobody from a page.
pub(crate) async fn with_unseen(site: &Site, visitor: Visitor) -> Visitor {
    let Some(signed) = visitor.signed() else {
        return visitor;
    };
    let all = notices::unseen(site.base(), &visitor.actor()).await;
    let mut all = all.unwrap_or_default().into_iter();
    let worn = all.find(|one| one.held == signed.sign_in.held);
    visitor.with_unseen(worn.map_or(0, |one| one.many))
}

fn row(session: &Session, one: &Notice) -> NoticeRow {
    NoticeRow {
        text: one.said.says.to_string(),
        href: one.said.link.clone(),
        when: when(session, one.said.at),
        new: !one.seen,
    }
}

fn heading(new: usize) -> String {
    match new {
        0 => say!("notices-title-all-seen"),
        new => {
            let count = words::spelled(new);
            say!("notices-title-new", n = new, count = count)
        }
    }
}

/// `GET /notices`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let session = site.session().await;
    let session = &session.map_err(|error| failed(&site, &error))?;
    let actor = visitor.actor();
    let all = notices::own(session, &actor).await;
    let all = all.map_err(|error| failed(&site, &error))?;
    let unseen = notices::unseen(session, &actor).await;
    let unseen = unseen.map_err(|error| failed(&site, &error))?;
    let new = all.iter().filter(|one| !one.seen).count();
    let worn = visitor.signed().map(|signed| &signed.sign_in.held);
    let elsewhere = unseen.iter().filter(|one| Some(&one.held) != worn);
    let elsewhere = elsewhere.map(|Unseen { held, many }| ElseRow {
        role: role_words(session, held),
        many: *many,
    });
    let shown = shown(all.len(), new);
    let rows = &all[shown.clone()];
    Ok(page(&NoticesPage {
        head: Head::new(session, &visitor.clone().with_unseen(new), "/notices"),
        title: heading(new),
        upto: rows.first().map_or(0, |one| one.n),
        any_new: new > 0,
        elsewhere: elsewhere.collect(),
        newer: shown.start,
        more: all.len() - shown.end,
        rows: rows.iter().map(|one| row(session, one)).collect(),
        kept_days: notices::KEPT_DAYS,
    }))
}

/// Up to which number.
#[derive(Deserialize)]
pub(crate) struct Upto {
    #[serde(default)]
    upto: i64,
}

/// `POST /notices/seen`.
pub(crate) async fn seen(
    State(site): State<Site>,
    visitor: Visitor,
    Form(upto): Form<Upto>,
) -> Result<Redirect, Trouble> {
    let done = notices::saw(site.base(), &visitor.actor(), upto.upto).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/notices"))
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn what_was_not_seen_is_shown_before_it_can_be_marked_as_seen() {
        for (all, new, on_page) in [
            (0, 0, 0..0),
            (7, 3, 0..7),
            (250, 3, 0..100),
            (250, 100, 0..100),
            (250, 130, 30..130),
            (130, 130, 30..130),
        ] {
            assert_eq!(shown(all, new), on_page, "{all} {new}");
        }
    }
}
