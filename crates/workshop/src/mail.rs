//! Messages by e-mail: which are made, for whom, when they may go, and what became of each.
//!
//! Nothing is sent from here: the server asks for what is due and says what came of it. Without a
//! mail server all messages stay in the outbox, where the coordinator reads them.

mod writing;

use std::collections::BTreeMap;

use jiff::civil::{Date, Time};
use partpledge_records::{
    MailChoice, Message, MessageKind, MessageState, NewMessage, Notice, Person, StoreError,
};
use partpledge_units::ids::{IdSource, MessageId, PersonId};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::{Tongue, say, within};

use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::hooks::again_at;
use crate::session::Session;

const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;
/// When the message of the morning is made, and when the quiet hours begin: hours of the day.
/// Between them nothing is sent. Common practice, no source.
const MORNING: i8 = 7;
const EVENING: i8 = 20;
/// Notices older than this come into no message.
const NEWS_MS: i64 = 7 * DAY_MS;
/// A message that has been on its way for so long was cut off: no mail server takes that long.
const CUT_OFF_MS: i64 = 10 * MINUTE_MS;
/// Messages that the outbox shows.
const SHOWN: i64 = 200;

/// Why messages failed, as it is kept; shown by [`why_failed`]. What a mail server said is kept as it is.
const CUT_OFF: &str = "The server stopped while it was being sent. We can’t tell if it went.";
const TOO_LATE: &str = "It could not be sent for a day.";
const UNWANTED: &str = "They want no e-mail.";
const NO_ANSWER: &str = "No answer: we can’t tell if it went. ";

/// A message with the address that it goes to.
#[derive(Clone, Debug)]
pub struct Letter {
    /// The message.
    pub message: Message,
    /// To where.
    pub address: String,
}

/// What came of handing a message over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// The mail server took it.
    Taken,
    /// It did not, and won't.
    Refused(String),
    /// It did not, but may later.
    Later(String),
    /// It did not say: nobody can tell whether it took it.
    Silent(String),
}

/// A message of the outbox, for the coordinator.
#[derive(Clone, Debug)]
pub struct Shown {
    /// The message.
    pub message: Message,
    /// Whom it is for.
    pub person: Person,
}

fn at(date: Date, hour: i8, session: &Session) -> EventMs {
    let zone = &session.terrain.zone;
    zone.minute(date, Time::constant(hour, 0, 0, 0)).to_ms()
}

fn today(session: &Session) -> Date {
    let now = Minute(session.now.0.div_euclid(MINUTE_MS));
    session.terrain.zone.date(now)
}

/// Whether it is a time at which nothing is sent.
#[must_use]
pub fn is_quiet(session: &Session) -> bool {
    let date = today(session);
    let open = at(date, MORNING, session)..at(date, EVENING, session);
    !open.contains(&session.now)
}

/// Whether somebody is at some bench today.
fn is_staffed(session: &Session, date: Date) -> bool {
    let zone = &session.terrain.zone;
    let mut sites = session.terrain.region.sites.iter();
    sites.any(|site| {
        let mut windows = site.staffed.as_slice().iter();
        windows.any(|window| zone.date(window.from) == date)
    })
}

/// Makes the messages that are to be made now: one in the morning of a staffed day with what was
/// not seen until then, and at once what is urgent for whoever wants that; how many. `site` is the
/// name by which other machines reach the server, for links.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server; [`WorkshopError::Store`].
pub async fn compose(
    session: &Session,
    actor: &Actor,
    site: Option<&str>,
) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    if is_quiet(session) {
        return Ok(0);
    }
    let (store, region) = session.writable()?;
    let since = EventMs(session.now.0 - NEWS_MS);
    let mut made = 0;
    for person in store.waited_for(region, since).await? {
        let choice = store.mail_choice(region, person).await?;
        let mut notices = store.notices_of(region, person).await?;
        notices.retain(|one| !one.seen && !one.in_message && one.said.at > since);
        notices.reverse();
        let day = digest_key(today(session));
        let urgent = choice == MailChoice::Urgent;
        let has_digest = urgent && store.has_message(region, (person, &day)).await?;
        let known = store.person(region, person).await?;
        let own = known.and_then(|known| Tongue::chosen(&known.language));
        let who = (person, choice, has_digest);
        let due = within(own.unwrap_or_default(), || {
            due_for(session, who, notices, site)
        });
        for (new, holds) in due {
            let ids = &mut IdSource::Os;
            let new = (&new, holds.as_slice());
            made += usize::from(store.add_message(region, new, ids, session.now).await?);
        }
    }
    Ok(made)
}

/// Name of the message of a morning.
fn digest_key(date: Date) -> String {
    format!("day {date}")
}

/// The messages to make for somebody with these notices, oldest first, and the notices in each.
/// Once the message of the morning is there, what came too late for it goes by itself if it is urgent.
fn due_for(
    session: &Session,
    (person, choice, has_digest): (PersonId, MailChoice, bool),
    notices: Vec<Notice>,
    site: Option<&str>,
) -> Vec<(NewMessage, Vec<i64>)> {
    if choice == MailChoice::None {
        return Vec::new();
    }
    let date = today(session);
    let morning = at(date, MORNING, session);
    let to_come = !has_digest && is_staffed(session, date);
    let in_digest = |one: &Notice| to_come && one.said.at < morning;
    let (digest, rest): (Vec<_>, Vec<_>) = notices.into_iter().partition(in_digest);
    let urgent = rest.into_iter().filter(|one| one.said.urgent);
    let urgent: Vec<Notice> = urgent.filter(|_| choice == MailChoice::Urgent).collect();
    let mut out = Vec::new();
    for (kind, held) in [(MessageKind::Digest, digest), (MessageKind::Urgent, urgent)] {
        let Some(last) = held.last() else {
            continue;
        };
        let key = match kind {
            MessageKind::Digest => digest_key(date),
            MessageKind::Urgent => format!("urgent {}", last.n),
        };
        let told = each_once(&held);
        let new = NewMessage {
            person,
            kind,
            key,
            subject: writing::subject(kind, told.len()),
            body: writing::body(kind, &told, site),
        };
        out.push((new, held.iter().map(|one| one.n).collect()));
    }
    out
}

/// Without what was told word for word in another role too: a message is a person's.
fn each_once(held: &[Notice]) -> Vec<Notice> {
    let mut out: Vec<Notice> = Vec::new();
    for one in held {
        let same = |old: &Notice| {
            let (old, one) = (&old.said, &one.said);
            (old.at, &old.link, &old.says) == (one.at, &one.link, &one.says) && old.held != one.held
        };
        if !out.iter().any(same) {
            out.push(one.clone());
        }
    }
    out
}

/// Messages to be sent now, those that wait longest first; none in the quiet hours. On the way,
/// those that were cut off are given up, those that could not be sent for a day, and those whose
/// person wants none or has left.
///
/// # Errors
/// As [`compose`].
pub async fn due(session: &Session, actor: &Actor) -> Result<Vec<Letter>, WorkshopError> {
    actor.must_be_the_clock()?;
    let (store, region) = session.writable()?;
    let before = EventMs(session.now.0 - CUT_OFF_MS);
    store.messages_cut_off(region, before, CUT_OFF).await?;
    let since = EventMs(session.now.0 - DAY_MS);
    store.messages_too_late(region, since, TOO_LATE).await?;
    if is_quiet(session) {
        return Ok(Vec::new());
    }
    let mut letters = Vec::new();
    for message in store.messages_due(region, session.now, since).await? {
        let id = message.said.person;
        let person = store.person(region, id).await?;
        let address = person.and_then(|person| person.email);
        let wants = store.mail_choice(region, id).await? != MailChoice::None;
        match address.filter(|_| wants) {
            Some(address) => letters.push(Letter { message, address }),
            None => {
                let over = (MessageState::Failed, UNWANTED, session.now);
                store.message_waits(region, &message, over).await?;
            }
        }
    }
    Ok(letters)
}

/// No mail server was reached: nothing was handed over, all of it is tried again later, or given up
/// a day after it was made.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn not_reached(
    session: &Session,
    letters: &[Letter],
    why: &str,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    for Letter { message, .. } in letters {
        let again = again_at(message.made_at, message.attempts + 1, session.now);
        let (state, until) = match again {
            Some(until) => (MessageState::Kept, until),
            None => (MessageState::Failed, session.now),
        };
        let left = (state, why, until);
        store.message_waits(region, message, left).await?;
    }
    Ok(())
}

/// Marks a message as on its way, on disk, before it is handed over: found so after a kill, it is
/// not sent again by itself. `None` when another server has it.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn goes(session: &Session, letter: Letter) -> Result<Option<Letter>, WorkshopError> {
    let (store, region) = session.writable()?;
    let taken = store.message_goes(region, &letter.message, session.now);
    let taken = taken.await?;
    Ok(taken.map(|message| Letter { message, ..letter }))
}

/// Writes down what came of handing a message over.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn answered(
    session: &Session,
    letter: &Letter,
    answer: &Answer,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    let message = &letter.message;
    let again = again_at(message.made_at, message.attempts, session.now);
    let now = session.now;
    let short = |why: &str| why.chars().take(200).collect::<String>();
    let (state, why, at) = match answer {
        Answer::Taken => (MessageState::Sent, None, now),
        Answer::Refused(why) => (MessageState::Failed, Some(short(why)), now),
        Answer::Later(why) => match again {
            Some(again) => (MessageState::Kept, Some(short(why)), again),
            None => (MessageState::Failed, Some(short(why)), now),
        },
        Answer::Silent(why) => {
            let why = format!("{NO_ANSWER}{}", short(why));
            (MessageState::Failed, Some(why), now)
        }
    };
    let done = (state, why.as_deref(), at);
    Ok(store.message_done(region, message, done).await?)
}

/// Why a message failed, for whoever reads the outbox.
#[must_use]
pub fn why_failed(kept: &str) -> String {
    match kept {
        CUT_OFF => say!("outbox-why-cut-off"),
        TOO_LATE => say!("outbox-why-too-late"),
        UNWANTED => say!("outbox-why-unwanted"),
        other => match other.strip_prefix(NO_ANSWER) {
            Some(said) => say!("outbox-why-no-answer", said = answer_says(said)),
            None => answer_says(other),
        },
    }
}

/// Why a mail server did not take a message: as whoever sends keeps it.
pub mod answers {
    /// It was not there.
    pub const NOT_REACHED: &str = "The mail server was not reached.";
    /// It did not answer in time.
    pub const SILENT: &str = "The mail server was silent for too long.";
    /// It could not be talked to in private.
    pub const NO_TLS: &str = "The mail server did no TLS.";
    /// Before and behind the code that it answered.
    pub const SAID: (&str, &str) = ("The mail server said ", ".");
}

fn answer_says(kept: &str) -> String {
    let code = kept.strip_prefix(answers::SAID.0);
    let code = code.and_then(|rest| rest.strip_suffix(answers::SAID.1));
    match (kept, code) {
        (answers::NOT_REACHED, _) => say!("outbox-why-not-reached"),
        (answers::SILENT, _) => say!("outbox-why-silent"),
        (answers::NO_TLS, _) => say!("outbox-why-no-tls"),
        (_, Some(code)) => say!("outbox-why-said", code = code),
        (other, None) => other.to_owned(),
    }
}

/// The outbox, the last message first.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator; [`WorkshopError::Store`].
pub async fn outbox(session: &Session, actor: &Actor) -> Result<Vec<Shown>, WorkshopError> {
    actor.must_coordinate()?;
    let (store, region) = session.writable()?;
    let people = store.people(region).await?.into_iter();
    let people: BTreeMap<PersonId, Person> = people.map(|(one, _)| (one.id, one)).collect();
    let messages = store.messages(region, SHOWN).await?.into_iter();
    let with = messages.filter_map(|message| {
        let person = people.get(&message.said.person)?.clone();
        Some(Shown { message, person })
    });
    Ok(with.collect())
}

/// A message that was given up is sent again: the coordinator takes it on them that it may come
/// twice.
///
/// # Errors
/// As [`outbox`]; [`WorkshopError::NotYours`] for one that is not there or was not given up.
pub async fn again(session: &Session, actor: &Actor, id: MessageId) -> Result<(), WorkshopError> {
    actor.must_coordinate()?;
    let (store, region) = session.writable()?;
    match store.message_again(region, id, session.now).await {
        Err(StoreError::NoSuch { .. }) => Err(WorkshopError::NotYours),
        other => Ok(other?),
    }
}

/// What whoever asks wants by e-mail.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for nobody; [`WorkshopError::Store`].
pub async fn choice(session: &Session, actor: &Actor) -> Result<MailChoice, WorkshopError> {
    let (store, region) = session.writable()?;
    let who = actor.person().ok_or(NOBODY)?;
    Ok(store.mail_choice(region, who).await?)
}

/// Whoever asks chooses what they want by e-mail.
///
/// # Errors
/// As [`choice`].
pub async fn choose(
    session: &Session,
    actor: &Actor,
    choice: MailChoice,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    let who = actor.person().ok_or(NOBODY)?;
    Ok(store.choose_mail(region, who, choice).await?)
}

const NOBODY: WorkshopError = WorkshopError::NotAllowed {
    who: "people who are signed in",
};
