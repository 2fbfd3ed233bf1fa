//! The server: what its pages stand on, its headers, and its clock.

use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::Duration;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::{HeaderMap, header};
use axum::middleware;
use partpledge_records::PersonKind;
use partpledge_units::ids::{PersonId, RequestId};
use partpledge_units::time::{Clock, EventMs, Minute};
use partpledge_words::{Tongue, within};
use partpledge_workshop::hooks::Reach;
use partpledge_workshop::people::signing_in::NewToken;
use partpledge_workshop::people::{Asked, People, PeopleError};
use partpledge_workshop::review::undecided;
use partpledge_workshop::review::waiting::Waiting;
use partpledge_workshop::risks::{Outcome, outcomes};
use partpledge_workshop::sending::spares;
use partpledge_workshop::{
    Actor, Books, Role, Session, WorkshopError, bench, notices, sending, wrong_unit,
};
use tokio::net::TcpListener;
use tokio::sync::{OwnedSemaphorePermit, Semaphore, watch};
use tokio::time::Instant;

use crate::mail::Mailer;
use crate::who::Visitor;
use crate::{guard, routes};

/// Why the server could not start or go on.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The session has no store to show.
    #[error("there is no data directory to serve")]
    NoStore,
    /// The port is taken or not allowed.
    #[error("port {port} on this machine can't be used: {source}")]
    Port {
        /// The port asked for.
        port: u16,
        /// Why.
        source: std::io::Error,
    },
    /// The server broke off.
    #[error("the server stopped: {0}")]
    Broken(#[from] std::io::Error),
}

/// Files judged at the same time; each may take a core and some hundred megabytes.
const HEAVY: usize = 2;
/// Sendings read at the same time: each may hold a hundred megabytes. Others wait.
const UPLOADS: usize = 2;
/// Passwords hashed at the same time: each takes a core for a while and 19 MiB.
const HASHING: usize = 2;
/// How often the server looks whether something should have been started.
const LOOKS_EVERY: Duration = Duration::from_mins(1);

/// How often the server looks whether the log has grown, for notices.
const NOTES_EVERY: Duration = Duration::from_secs(5);
/// How often it looks at forecasts for notices when nothing has happened. Common practice, no source.
const FORECASTS_EVERY: Duration = Duration::from_mins(15);

/// How open pledges stand, by request.
pub(crate) type Outcomes = BTreeMap<RequestId, Outcome>;

/// A turn at sending: of one's own, and of all.
pub(crate) type Turn = (Option<OwnedSemaphorePermit>, Option<OwnedSemaphorePermit>);

/// Forecasts, and what they were made for.
struct Forecasts {
    entry: i64,
    minute: Minute,
    outcomes: Arc<Outcomes>,
}

/// What the pages need. Every copy, and so every request, begins with the newest region file known.
pub struct Site {
    session: Arc<Session>,
    /// The region with the newest region file that any request has seen.
    newest: Arc<RwLock<Arc<Session>>>,
    clock: Arc<dyn Clock>,
    heavy: Arc<Semaphore>,
    uploads: Arc<Semaphore>,
    /// Whoever is sending or waits to, each with a turn of their own.
    senders: Arc<Mutex<BTreeMap<PersonId, Arc<Semaphore>>>>,
    hashing: Arc<Semaphore>,
    /// Whether anybody may try it as an invented person.
    to_try: bool,
    front: Option<Front>,
    /// How far messages to other programs may go.
    reach: Reach,
    /// Whether printers' agents are asked.
    reads_printers: bool,
    /// By which messages go out; without one none do.
    mailer: Option<Mailer>,
    /// How every open pledge stands, as last worked out.
    forecasts: Arc<Mutex<Option<Forecasts>>>,
    /// How much waits for the coordinator's word, as last counted, and after which entry of the log.
    waiting: Arc<Mutex<Option<(i64, usize)>>>,
    /// Becomes true when the server stops: open streams end then.
    stopping: Arc<watch::Sender<bool>>,
}

impl Clone for Site {
    fn clone(&self) -> Self {
        // Nothing is done while it is held that could break off.
        let newest = self.newest.read();
        let session = newest.unwrap_or_else(PoisonError::into_inner).clone();
        Self {
            session,
            newest: self.newest.clone(),
            clock: self.clock.clone(),
            heavy: self.heavy.clone(),
            uploads: self.uploads.clone(),
            senders: self.senders.clone(),
            hashing: self.hashing.clone(),
            to_try: self.to_try,
            front: self.front.clone(),
            reach: self.reach,
            reads_printers: self.reads_printers,
            mailer: self.mailer.clone(),
            forecasts: self.forecasts.clone(),
            waiting: self.waiting.clone(),
            stopping: self.stopping.clone(),
        }
    }
}

impl Site {
    /// A site over a session with a store.
    ///
    /// # Errors
    /// [`ServeError::NoStore`].
    pub fn new(session: Session, clock: Arc<dyn Clock>) -> Result<Self, ServeError> {
        session.store().ok_or(ServeError::NoStore)?;
        let session = Arc::new(session);
        Ok(Self {
            newest: Arc::new(RwLock::new(session.clone())),
            session,
            clock,
            heavy: Arc::new(Semaphore::new(HEAVY)),
            uploads: Arc::new(Semaphore::new(UPLOADS)),
            senders: Arc::default(),
            hashing: Arc::new(Semaphore::new(HASHING)),
            to_try: false,
            front: None,
            reach: Reach::Far,
            reads_printers: false,
            mailer: None,
            forecasts: Arc::default(),
            waiting: Arc::default(),
            stopping: Arc::new(watch::Sender::new(false)),
        })
    }

    /// Open for anybody to try as an invented person: for the demo region, and never behind a front.
    #[must_use]
    pub fn to_try(self) -> Self {
        Self {
            to_try: self.front.is_none(),
            ..self
        }
    }

    /// Behind a front that other machines reach over TLS.
    #[must_use]
    pub fn behind(self, front: Front) -> Self {
        Self {
            front: Some(front),
            to_try: false,
            ..self
        }
    }

    /// Messages to other programs may also go to this machine and its own network.
    #[must_use]
    pub fn telling_near(self) -> Self {
        Self {
            reach: Reach::Near,
            ..self
        }
    }

    /// Printers' agents are asked what their machines do, wherever the region file says that they are.
    #[must_use]
    pub fn reading_printers(self) -> Self {
        Self {
            reads_printers: true,
            ..self
        }
    }

    /// Messages go out by e-mail.
    #[must_use]
    pub fn mailing(self, mailer: Mailer) -> Self {
        Self {
            mailer: Some(mailer),
            ..self
        }
    }

    pub(crate) fn mailer(&self) -> Option<&Mailer> {
        self.mailer.as_ref()
    }

    /// Whether messages go out.
    pub(crate) fn sends_mail(&self) -> bool {
        self.mailer.is_some()
    }

    pub(crate) fn reads_printers(&self) -> bool {
        self.reads_printers
    }

    pub(crate) fn reach(&self) -> Reach {
        self.reach
    }

    /// Whether anybody may try it as an invented person.
    pub(crate) fn may_be_tried(&self) -> bool {
        self.to_try
    }

    pub(crate) fn front(&self) -> Option<&Front> {
        self.front.as_ref()
    }

    /// The present moment.
    pub(crate) fn now(&self) -> EventMs {
        self.clock.now()
    }

    /// The people of the region, now.
    ///
    /// # Errors
    /// [`WorkshopError`] never in fact: a site has a store.
    pub fn people(&self) -> Result<People<'_>, WorkshopError> {
        self.session.people(self.clock.now())
    }

    /// Who asks, by the cookie of their browser; with [`Asked::ByThePage`] that keeps nobody signed
    /// in.
    pub(crate) async fn visitor(
        &self,
        headers: &HeaderMap,
        asked: Asked,
    ) -> Result<Visitor, WorkshopError> {
        let cookies = headers.get_all(header::COOKIE).iter();
        let pairs = cookies.filter_map(|value| value.to_str().ok());
        let mut pairs = pairs.flat_map(|text| text.split(';'));
        let token = pairs.find_map(|pair| {
            let (name, value) = pair.trim().split_once('=')?;
            (name == self.cookie_name()).then_some(value)
        });
        let Some(token) = token else {
            return Ok(Visitor::nobody());
        };
        let signed = self.people()?.signed_in(token, asked).await?;
        Ok(signed.map_or_else(Visitor::nobody, Visitor::known))
    }

    /// Browsers take `__Host-` names only over TLS, only for this very host and for all its paths.
    /// On loopback there is no TLS, and not every browser takes a `Secure` cookie there.
    fn cookie_name(&self) -> &'static str {
        match self.front {
            Some(_) => "__Host-partpledge",
            None => "partpledge_here",
        }
    }

    fn cookie(&self, value: &str, lasts_s: Option<i64>) -> String {
        let secure = if self.front.is_some() { "; Secure" } else { "" };
        let lasts = lasts_s.map_or_else(String::new, |s| format!("; Max-Age={s}"));
        let name = self.cookie_name();
        format!("{name}={value}; Path=/; HttpOnly; SameSite=Lax{secure}{lasts}")
    }

    /// The cookie of somebody who has signed in. A student's goes with the browser's window, since
    /// laptops are shared; an adult's lasts as long as the sign-in.
    pub(crate) fn cookie_of(&self, token: &NewToken) -> String {
        let lasts = (token.kind == PersonKind::Adult).then_some(token.lasts_s);
        self.cookie(&token.token, lasts)
    }

    /// The cookie of somebody who has signed out.
    pub(crate) fn no_cookie(&self) -> String {
        self.cookie("", Some(0))
    }

    /// The address of a page, for a link that is handed over: by the front's name, or as the page
    /// was asked for.
    pub(crate) fn link(&self, headers: &HeaderMap, path: &str) -> String {
        let asked = headers
            .get(header::HOST)
            .and_then(|host| host.to_str().ok());
        match &self.front {
            Some(front) => format!("{}{path}", front.origin()),
            None => format!("http://{}{path}", asked.unwrap_or("localhost")),
        }
    }

    /// How every open pledge stands. Worked out once for each entry of the log and each minute,
    /// however many pages ask; meanwhile the others wait. To be called where a core may be taken.
    pub(crate) fn forecasts(&self, session: &Session, books: &Books) -> Arc<Outcomes> {
        let (entry, minute) = (books.entry, session.minute());
        // A panic while it was held leaves the last ones there, which are as good as before.
        let held = self.forecasts.lock();
        let mut held = held.unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(known) = held.as_ref()
            && (known.entry, known.minute) == (entry, minute)
        {
            return known.outcomes.clone();
        }
        let outcomes = Arc::new(outcomes(session, books));
        *held = Some(Forecasts {
            entry,
            minute,
            outcomes: outcomes.clone(),
        });
        outcomes
    }

    /// The region as it is on record, now.
    pub(crate) async fn session(&self) -> Result<Session, WorkshopError> {
        let now = self.clock.now();
        let session = self.session.at(now).await?;
        if session.file_revision > self.session.file_revision {
            let newer = Arc::new(session.at(now).await?);
            let held = self.newest.write();
            let mut held = held.unwrap_or_else(PoisonError::into_inner);
            if held.file_revision < newer.file_revision {
                *held = newer;
            }
        }
        Ok(session)
    }

    /// The region by the newest region file known: its names and zone.
    pub(crate) fn base(&self) -> &Session {
        &self.session
    }

    /// How much waits for the coordinator's word: counted anew only when something has happened since.
    pub(crate) async fn waiting(&self) -> Result<usize, WorkshopError> {
        let Some((store, region)) = self.session.store() else {
            return Ok(0);
        };
        let last = store.last_entry(region).await?;
        let known = self.waiting.lock().map_or(None, |known| *known);
        if let Some((_, many)) = known.filter(|(entry, _)| *entry >= last) {
            return Ok(many);
        }
        let (_, books) = self.books().await?;
        let many = Waiting::of(&books).total();
        if let Ok(mut known) = self.waiting.lock() {
            *known = Some((books.entry, many));
        }
        Ok(many)
    }

    /// The region now, with everything on record about it.
    pub(crate) async fn books(&self) -> Result<(Session, Books), WorkshopError> {
        let session = self.session().await?;
        let books = Books::open(&session).await?;
        Ok((session, books))
    }

    /// Tells other programs what has happened, as far as addresses are registered; how many
    /// messages were tried.
    ///
    /// # Errors
    /// [`WorkshopError`] of the store.
    pub async fn tell(&self) -> Result<usize, WorkshopError> {
        crate::hooks::tell(self).await
    }

    /// Asks the agents of all printers that have one, if that is allowed; how many were asked.
    ///
    /// # Errors
    /// [`WorkshopError`] of the store.
    pub async fn read_printers(&self) -> Result<usize, WorkshopError> {
        crate::machines::read_all(self).await
    }

    /// Writes down what matters to whom, from what is new; how many notices.
    ///
    /// # Errors
    /// [`WorkshopError`] of the store.
    pub async fn notify(&self) -> Result<usize, WorkshopError> {
        let (session, books) = self.books().await?;
        let site = self.clone();
        let work = async move {
            let outcomes = site.forecasts(&session, &books);
            notices::look(&session, &Actor::new(Role::Clock), &books, &outcomes).await
        };
        self.heavy(work).await
    }

    /// Makes messages of notices, and sends what is due if there is a mail server; how many were
    /// handed over.
    ///
    /// # Errors
    /// [`WorkshopError`] of the store.
    pub async fn post(&self) -> Result<usize, WorkshopError> {
        Box::pin(crate::mail::post(self)).await
    }

    async fn last_entry(&self) -> Option<i64> {
        let (store, region) = self.session.store()?;
        store.last_entry(region).await.ok()
    }

    /// Told when the server stops.
    pub(crate) fn stopping(&self) -> watch::Receiver<bool> {
        self.stopping.subscribe()
    }

    /// A turn at sending, to be had before any of a body with files is read, and by nothing else: a deed
    /// that works on a file which is on record already waits for its turn at the heavy work only. Held until the files are judged,
    /// so that memory stays bounded however many send at once. One person has one at a time, and
    /// waits for it without taking anybody else's. `None` never comes: the turns are not closed.
    pub(crate) async fn turn_to_send(&self, sender: Option<PersonId>) -> Turn {
        let own = match sender {
            Some(sender) => self.own_turn(sender).acquire_owned().await.ok(),
            None => None,
        };
        (own, self.uploads.clone().acquire_owned().await.ok())
    }

    fn own_turn(&self, sender: PersonId) -> Arc<Semaphore> {
        // Nothing is done while it is held that could leave it half done.
        let held = self.senders.lock();
        let mut held = held.unwrap_or_else(std::sync::PoisonError::into_inner);
        held.retain(|_, turn| Arc::strong_count(turn) > 1);
        let turn = held.entry(sender);
        turn.or_insert_with(|| Arc::new(Semaphore::new(1))).clone()
    }

    /// Does work that takes a core for a while, apart from the threads that answer, and not too
    /// much of it at once.
    pub(crate) fn heavy<T, F>(
        &self,
        work: F,
    ) -> impl Future<Output = Result<T, WorkshopError>> + Send + use<T, F>
    where
        T: Send + 'static,
        F: Future<Output = Result<T, WorkshopError>> + Send + 'static,
    {
        apart(self.heavy.clone(), Box::pin(work))
    }

    /// The same for passwords, which must not wait for somebody's large part.
    pub(crate) fn hashing<T, F>(
        &self,
        work: F,
    ) -> impl Future<Output = Result<T, PeopleError>> + Send + use<T, F>
    where
        T: Send + 'static,
        F: Future<Output = Result<T, PeopleError>> + Send + 'static,
    {
        apart(self.hashing.clone(), Box::pin(work))
    }
}

async fn apart<T, E, F>(turns: Arc<Semaphore>, work: F) -> Result<T, E>
where
    T: Send + 'static,
    E: From<WorkshopError> + Send + 'static,
    F: Future<Output = Result<T, E>> + Send + 'static,
{
    let permit = turns.acquire_owned().await;
    let here = tokio::runtime::Handle::current();
    let tongue = Tongue::spoken();
    let done = tokio::task::spawn_blocking(move || {
        let _permit = permit;
        within(tongue, || here.block_on(work))
    });
    // A panic in a stage is our mistake; it must not take the page with it.
    done.await
        .unwrap_or_else(|_| Err(WorkshopError::BrokeOff.into()))
}

/// A server in front of this one that does TLS: the one name by which other machines ask.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Front {
    origin: String,
}

impl Front {
    /// `https://HOST`, with a port perhaps and nothing behind it. `None` for anything else.
    ///
    /// ```
    /// use partpledge_web::Front;
    /// assert!(Front::named("https://parts.example").is_some());
    /// assert!(Front::named("http://parts.example").is_none());
    /// ```
    #[must_use]
    pub fn named(origin: &str) -> Option<Self> {
        let host = origin.strip_prefix("https://")?;
        let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | ':');
        (!host.is_empty() && host.chars().all(plain)).then(|| Self {
            origin: origin.to_ascii_lowercase(),
        })
    }

    /// As browsers name it in `Origin`.
    #[must_use]
    pub fn origin(&self) -> &str {
        &self.origin
    }

    pub(crate) fn host(&self) -> &str {
        self.origin.strip_prefix("https://").unwrap_or_default()
    }
}

/// All routes.
pub fn router(site: Site) -> Router {
    routes::all(&site)
        .merge(crate::api::all(&site))
        .layer(DefaultBodyLimit::max(64 * 1024))
        .layer(middleware::from_fn_with_state(
            site.clone(),
            guard::same_origin,
        ))
        .layer(middleware::from_fn(crate::api::problems))
        .layer(middleware::from_fn(guard::tongue))
        .layer(middleware::from_fn(guard::headers))
        .with_state(site)
}

/// A socket on loopback; no other machine can reach it.
///
/// # Errors
/// [`ServeError::Port`].
pub async fn bind(port: u16) -> Result<TcpListener, ServeError> {
    let bound = TcpListener::bind(("127.0.0.1", port)).await;
    bound.map_err(|source| ServeError::Port { port, source })
}

/// Serves until `stop` comes; meanwhile, every minute, plates that nobody has started are given
/// another place.
///
/// # Errors
/// [`ServeError::Broken`].
pub async fn serve(
    listener: TcpListener,
    site: Site,
    stop: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    let stopping = site.stopping.clone();
    let looking = tokio::spawn(look_after(site.clone()));
    let telling = tokio::spawn(tell_on(site.clone()));
    let noting = tokio::spawn(note_on(site.clone()));
    let posting = tokio::spawn(post_on(site.clone()));
    let reading = tokio::spawn(read_on(site.clone()));
    let ended = axum::serve(
        listener,
        router(site).into_make_service_with_connect_info::<SocketAddr>(),
    )
    .with_graceful_shutdown(async move {
        stop.await;
        stopping.send_replace(true);
    })
    .await;
    looking.abort();
    telling.abort();
    noting.abort();
    posting.abort();
    reading.abort();
    Ok(ended?)
}

/// Looks every few seconds whether there is something new to be noted, and every quarter of an hour
/// whether time alone has made a promise less sure.
async fn note_on(site: Site) {
    let mut every = tokio::time::interval(NOTES_EVERY);
    every.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Skip);
    let mut noted: Option<(i64, Instant)> = None;
    loop {
        every.tick().await;
        let Some(last) = site.last_entry().await else {
            continue;
        };
        let fresh = |(entry, at): (i64, Instant)| entry == last && at.elapsed() < FORECASTS_EVERY;
        if noted.is_some_and(fresh) {
            continue;
        }
        // Whatever stands in the way now is tried again with the next.
        if site.notify().await.is_ok() {
            noted = Some((last, Instant::now()));
        }
    }
}

/// Sends messages, minute by minute; apart from all else, since a mail server may be slow.
async fn post_on(site: Site) {
    let mut every = tokio::time::interval(LOOKS_EVERY);
    every.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Skip);
    loop {
        every.tick().await;
        // What the mail server answers is written down; whatever else is tried again in a minute.
        let _ = Box::pin(site.post()).await;
    }
}

/// Asks printers' agents, minute by minute; apart from all else, since they may be slow.
async fn read_on(site: Site) {
    let mut every = tokio::time::interval(LOOKS_EVERY);
    every.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Skip);
    loop {
        every.tick().await;
        // What an agent answers is written down; whatever else is tried again in a minute.
        let _ = site.read_printers().await;
    }
}

/// Tells other programs, minute by minute; apart from all else, since they may be slow.
async fn tell_on(site: Site) {
    let mut every = tokio::time::interval(LOOKS_EVERY);
    every.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Skip);
    loop {
        every.tick().await;
        let site = site.clone();
        // What an address answers is written down; whatever else is tried again in a minute.
        let _ = site.tell().await;
    }
}

/// Looks every minute whether something should have been started, and clears up after people.
async fn look_after(site: Site) {
    let actor = Actor::new(Role::Clock);
    let mut every = tokio::time::interval(LOOKS_EVERY);
    every.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Skip);
    loop {
        every.tick().await;
        let site = site.clone();
        let Ok(session) = site.session().await else {
            continue;
        };
        // By the newest region file: another end of the season may be in it.
        if let Ok(people) = session.people(session.now) {
            let _ = people.tidy(&actor).await;
        }
        let actor = actor.clone();
        // Whatever stands in the way now is tried again in a minute.
        let _ = site
            .heavy(async move {
                let _ = sending::make_room(&session, &actor).await;
                let _ = undecided::close(&session, &actor).await;
                let _ = spares::close_benches(&session, &actor).await;
                let _ = wrong_unit::catch_up(&session, &actor).await;
                bench::catch_up(&session, &actor).await
            })
            .await;
    }
}
