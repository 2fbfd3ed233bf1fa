//! What keeps an open page up to date: a stream that says when there is something new.
//!
//! The log's rows are looked at once a second: simple, and the same for any number of servers.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::{Query, State};
use axum::http::HeaderMap;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_util::stream::{Stream, unfold};
use partpledge_workshop::people::Asked;
use serde::Deserialize;
use tokio::sync::watch;
use tokio::time::{Instant, sleep_until};

use crate::site::Site;

/// How often the log is looked at.
const LOOKS_EVERY: Duration = Duration::from_secs(1);
/// How often the page is told that time has passed: what is late can change without any event.
const MINUTE: Duration = Duration::from_mins(1);

/// What the page has seen.
#[derive(Deserialize)]
pub(crate) struct Seen {
    #[serde(default)]
    after: i64,
}

struct Watch {
    site: Site,
    /// Who listens, by their cookie: when they are signed out, the stream ends.
    whose: HeaderMap,
    stopping: watch::Receiver<bool>,
    after: i64,
    look: Instant,
    minute: Instant,
}

/// `GET /live?after=N`: `change` with the last entry whenever the log has grown beyond it, and
/// `minute` once a minute.
pub(crate) async fn live(
    State(site): State<Site>,
    Query(seen): Query<Seen>,
    whose: HeaderMap,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let now = Instant::now();
    let watch = Watch {
        stopping: site.stopping(),
        site,
        whose,
        after: seen.after,
        look: now,
        minute: now + MINUTE,
    };
    let stream = unfold(watch, |mut watch| async move {
        let event = watch.next().await?;
        Some((Ok(event), watch))
    });
    Sse::new(stream).keep_alive(KeepAlive::default())
}

impl Watch {
    /// The next thing to say; `None` when the server stops, or whoever listens is signed out.
    async fn next(&mut self) -> Option<Event> {
        loop {
            if *self.stopping.borrow() {
                return None;
            }
            tokio::select! {
                _ = self.stopping.changed() => return None,
                () = sleep_until(self.look) => {}
            }
            self.look += LOOKS_EVERY;
            if let Some(last) = self.last().await.filter(|last| *last > self.after) {
                self.after = last;
                let change = Event::default().event("change");
                return self
                    .told(change.data(format!("{{\"entry\":{last}}}")))
                    .await;
            }
            if Instant::now() >= self.minute {
                self.minute += MINUTE;
                return self.told(Event::default().event("minute").data("")).await;
            }
        }
    }

    /// The event, if they are signed in still. That they listen keeps them so no longer: the page
    /// lies open by itself.
    async fn told(&self, event: Event) -> Option<Event> {
        let visitor = self.site.visitor(&self.whose, Asked::ByThePage).await;
        visitor.ok()?.signed().map(|_| event)
    }

    async fn last(&self) -> Option<i64> {
        let (store, region) = self.site.base().store()?;
        store.last_entry(region).await.ok()
    }
}
