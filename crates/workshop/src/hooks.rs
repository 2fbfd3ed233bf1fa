//! Telling other programs what happens: addresses that the coordinator registers, messages in the
//! table of jobs, signed, tried again with growing waits, given up after a day.
//!
//! Nothing is sent from here: the server asks for the next message and says what came of it.

use hmac::{Hmac, KeyInit, Mac};
use partpledge_records::{
    DELIVERY, Event, Hook, HookTry, Job, Payload, Said, StoreError, delivery_of,
};
use partpledge_units::ids::{HookId, IdSource};
use partpledge_units::time::EventMs;
use sha2::Sha256;

use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::happened::Happened;
use crate::people::codes;
use crate::session::Session;

mod reach;

pub use reach::{Reach, is_far, may_be_told};

const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;
/// How long a server that took a message may be silent before another takes it.
const LEASE_MS: i64 = 5 * MINUTE_MS;
/// The first wait after a try that failed, and the longest; each is twice the one before. Common
/// practice, no source.
const FIRST_WAIT_MS: i64 = MINUTE_MS;
const LONGEST_WAIT_MS: i64 = 240 * MINUTE_MS;
/// Addresses that a region may have at a time.
const MOST_HOOKS: usize = 20;
/// What is said of an address that may not be told.
const FAR_ONLY: &str = "one that begins with https:// and leads out of this server’s own network";
const NEAR_TOO: &str = "one that begins with https://, or http:// to this machine";

/// What can be told. People who come and go are not among it.
pub const KINDS: [&str; 27] = [
    "pledge.given",
    "pledge.kept",
    "pledge.broken",
    "pledge.withdrawn",
    "run.started",
    "run.off",
    "run.failed",
    "step.taken-back",
    "box.left",
    "box.handed-over",
    "box.missed-leg",
    "box.doubted",
    "box.made-again",
    "box.all-right",
    "request.handed-over",
    "request.wrong-unit",
    "spare.not-made",
    "recall.opened",
    "recall.checked",
    "recall.lifted",
    "printer.out-of-use",
    "printer.back-in-use",
    "printer.taken-back",
    "plan.chosen",
    "region.closed",
    "region.opened",
    "region.changed",
];

/// An address with its last tries.
#[derive(Clone, Debug)]
pub struct Told {
    /// The address.
    pub hook: Hook,
    /// What the last tries came to.
    pub tries: Vec<HookTry>,
}

/// A message to be sent.
#[derive(Clone, Debug)]
pub struct Delivery {
    job: Job,
    /// To whom.
    pub hook: Hook,
    /// Number of the entry of the log.
    pub entry: i64,
    /// The entry.
    pub event: Event,
    /// What it says that may be told: numbers and references, no names of people, no free words.
    pub says: Payload,
}

/// The signature of a message: HMAC (RFC 2104) with SHA-256 over the time in seconds, a full stop
/// and the body, in hexadecimal figures. The time is in it so that a message that somebody has
/// heard can't be sent again later.
///
/// ```
/// let signed = partpledge_workshop::hooks::signature("secret", 1, "{}");
/// assert_eq!(signed.len(), 64);
/// assert_ne!(signed, partpledge_workshop::hooks::signature("secret", 2, "{}"));
/// ```
#[must_use]
pub fn signature(secret: &str, at_s: i64, body: &str) -> String {
    mac(secret.as_bytes(), format!("{at_s}.{body}").as_bytes())
}

fn mac(key: &[u8], text: &[u8]) -> String {
    // HMAC takes a key of any length, so this is for form's sake.
    let Ok(mut mac) = Hmac::<Sha256>::new_from_slice(key) else {
        return String::new();
    };
    mac.update(text);
    codes::hex(&mac.finalize().into_bytes())
}

/// When a message is tried again after so many tries, `None` when it is given up.
pub(crate) fn again_at(first: EventMs, attempts: i64, now: EventMs) -> Option<EventMs> {
    let doublings = u32::try_from((attempts - 1).clamp(0, 20)).unwrap_or(20);
    let wait = (FIRST_WAIT_MS << doublings).min(LONGEST_WAIT_MS);
    let at = EventMs(now.0 + wait);
    (at.0 - first.0 <= DAY_MS).then_some(at)
}

/// Registers an address; its id and the secret that its messages are signed with, shown this once.
/// Whether it may lead to this machine or its network is for whoever runs the server to say.
///
/// # Errors
/// [`WorkshopError::NotAllowed`]; [`WorkshopError::OutOfRange`] for an address that may not be
/// told, no kinds or unknown ones, too many addresses.
pub async fn register(
    session: &Session,
    actor: &Actor,
    (address, kinds): (&str, &[&str]),
    reach: Reach,
) -> Result<(HookId, String), WorkshopError> {
    actor.must_coordinate()?;
    let out_of = |what, range| Err(WorkshopError::OutOfRange { what, range });
    if !may_be_told(address, reach) {
        let range = match reach {
            Reach::Far => FAR_ONLY,
            Reach::Near => NEAR_TOO,
        };
        return out_of("the address", range);
    }
    let known = |kind: &&str| KINDS.contains(kind);
    if kinds.is_empty() || !kinds.iter().all(known) {
        return out_of("what is told", "one at least of the list");
    }
    let (store, region) = session.writable()?;
    let open = store.hooks(region).await?;
    if open.iter().filter(|hook| hook.stopped_at.is_none()).count() >= MOST_HOOKS {
        return out_of("how many addresses there are", "20 at most");
    }
    let secret = codes::token()?;
    let row = (address, kinds, secret.as_str());
    let ids = &mut IdSource::Os;
    let id = store.add_hook(region, row, ids, session.now).await?;
    Ok((id, secret))
}

/// Addresses that are told, with their last tries.
///
/// # Errors
/// [`WorkshopError::NotAllowed`], [`WorkshopError::Store`].
pub async fn told(session: &Session, actor: &Actor) -> Result<Vec<Told>, WorkshopError> {
    actor.must_coordinate()?;
    let (store, region) = session.writable()?;
    let mut out = Vec::new();
    for hook in store.hooks(region).await? {
        if hook.stopped_at.is_none() {
            let tries = store.hook_tries(region, hook.id).await?;
            out.push(Told { hook, tries });
        }
    }
    Ok(out)
}

/// Stops an address.
///
/// # Errors
/// [`WorkshopError::NotAllowed`]; [`WorkshopError::NotYours`] for one that is not there.
pub async fn stop(session: &Session, actor: &Actor, id: HookId) -> Result<(), WorkshopError> {
    actor.must_coordinate()?;
    let (store, region) = session.writable()?;
    match store.stop_hook(region, id, session.now).await {
        Err(StoreError::NoSuch { .. }) => Err(WorkshopError::NotYours),
        other => Ok(other?),
    }
}

/// Goes through what is new in the log, and puts in the queue what is to be told; how much.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server; [`WorkshopError::Store`].
pub async fn queue(session: &Session, actor: &Actor) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let (store, region) = session.writable()?;
    let mut queued = 0;
    for hook in store.hooks(region).await? {
        if hook.stopped_at.is_some() {
            continue;
        }
        let new = store.events_after(region, hook.after_entry).await?;
        let Some((upto, _)) = new.last() else {
            continue;
        };
        let told = new
            .iter()
            .filter(|(_, event)| hook.kinds.contains(&event.kind));
        let told: Vec<i64> = told.map(|(entry, _)| *entry).collect();
        let step = (&hook, told.as_slice(), *upto);
        let ids = &mut IdSource::Os;
        if store.queue_for_hook(region, step, ids, session.now).await? {
            queued += told.len();
        }
    }
    Ok(queued)
}

/// Addresses that are told.
///
/// # Errors
/// As [`queue`].
pub async fn open(session: &Session, actor: &Actor) -> Result<Vec<HookId>, WorkshopError> {
    actor.must_be_the_clock()?;
    let (store, region) = session.writable()?;
    let all = store.hooks(region).await?.into_iter();
    let all = all.filter(|hook| hook.stopped_at.is_none());
    Ok(all.map(|hook| hook.id).collect())
}

/// The next message that is due for an address, taken for some minutes. What is for one that was
/// stopped meanwhile is given up on the way.
///
/// # Errors
/// As [`queue`].
pub async fn next(
    session: &Session,
    actor: &Actor,
    whose: HookId,
) -> Result<Option<Delivery>, WorkshopError> {
    actor.must_be_the_clock()?;
    let (store, region) = session.writable()?;
    let until = EventMs(session.now.0 + LEASE_MS);
    let whose = whose.to_string();
    let which = (DELIVERY, whose.as_str());
    while let Some(job) = store.claim_job_of(which, session.now, until).await? {
        let hooks = store.hooks(job.region).await?;
        let found = delivery_of(&job.payload).and_then(|(id, entry)| {
            let hook = hooks.into_iter().find(|hook| hook.id == id)?;
            Some((hook, entry))
        });
        let found = found.filter(|(hook, _)| hook.stopped_at.is_none() && job.region == region);
        let Some((hook, entry)) = found else {
            store
                .fail_job(&job, "the address was stopped", None)
                .await?;
            continue;
        };
        let events = store.events_after(region, entry - 1).await?;
        let Some((_, event)) = events.into_iter().next() else {
            store.fail_job(&job, "the entry is gone", None).await?;
            continue;
        };
        return Ok(Some(Delivery {
            says: said(session, &event).await?,
            job,
            hook,
            entry,
            event,
        }));
    }
    Ok(None)
}

/// What an event says, with the number of its request: the interface knows requests by that.
async fn said(session: &Session, event: &Event) -> Result<Payload, WorkshopError> {
    let (store, region) = session.writable()?;
    let Happened {
        mut says, request, ..
    } = Happened::read(event);
    if let Some(id) = request
        && let Some(request) = store.request(region, id).await?
    {
        let number = u64::try_from(request.number).unwrap_or_default();
        says.push(("number", Said::Numbers(vec![number])));
    }
    Ok(says)
}

/// Writes down what a try came to: a status, or why there was none. Anything from 200 to 299 is
/// taken as heard.
///
/// # Errors
/// As [`queue`].
pub async fn answered(
    session: &Session,
    delivery: &Delivery,
    answer: Result<u16, String>,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    let job = &delivery.job;
    let heard = matches!(answer, Ok(200..=299));
    let mut says = match answer {
        Ok(status) => format!("answered {status}"),
        Err(why) => why.chars().take(200).collect(),
    };
    let again = again_at(delivery.event.received_at, job.attempts, session.now);
    if !heard && again.is_none() {
        says += "; given up after a day";
    }
    let tried = HookTry {
        hook: delivery.hook.id,
        entry: delivery.entry,
        attempt: job.attempts,
        at: session.now,
        answer: says.clone(),
    };
    store.add_hook_try(region, &tried).await?;
    if heard {
        store.finish_job(job).await?;
    } else {
        store.fail_job(job, &says, again).await?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_signature_is_the_published_function() {
        // RFC 4231, section 4.3 (test case 2), from memory.
        let published = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843";
        assert_eq!(mac(b"Jefe", b"what do ya want for nothing?"), published);
    }

    #[test]
    fn waits_grow_and_after_a_day_it_is_given_up() {
        let (mut now, mut tries) = (EventMs(0), 1);
        let mut waits = Vec::new();
        while let Some(at) = again_at(EventMs(0), tries, now) {
            waits.push((at.0 - now.0) / MINUTE_MS);
            (now, tries) = (at, tries + 1);
        }
        assert_eq!(waits[..4], [1, 2, 4, 8]);
        assert!(waits.windows(2).all(|two| two[0] <= two[1]), "{waits:?}");
        assert!(
            now.0 <= DAY_MS && now.0 > DAY_MS - LONGEST_WAIT_MS,
            "{now:?}"
        );
    }
}
