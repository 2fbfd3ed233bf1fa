//! The messages to addresses that the coordinator registered: how they look and how they are sent.
//!
//! Without a registered address nothing is ever sent to anybody.

use std::time::Duration;

use partpledge_records::{Payload, Said};
use partpledge_units::ids::HookId;
use partpledge_units::local::rfc3339_utc;
use partpledge_words::Tongue;
use partpledge_workshop::hooks::{Delivery, Reach, answered, next, open, queue, signature};
use partpledge_workshop::{Actor, Role, WorkshopError};
use serde_json::{Map, Value, json};
use tokio::task::JoinSet;
use tokio::time::Instant;

use crate::outgoing::{Silence, asker};
use crate::site::Site;

/// How long an address may take for a message, from looking up its name to its answer. Common
/// practice, no source.
const PATIENCE: Duration = Duration::from_secs(10);
/// How long one address is told in one go; what is left comes with the next.
const GO: Duration = Duration::from_secs(30);

fn says(payload: &Payload) -> Value {
    let one = |(name, said): &(&'static str, Said)| {
        let value = match said {
            Said::Numbers(numbers) => json!(numbers),
            Said::Text(text) => json!(text),
        };
        ((*name).to_owned(), value)
    };
    Value::Object(payload.iter().map(one).collect::<Map<_, _>>())
}

/// The body of a message: numbers and references, no names of people.
fn body(delivery: &Delivery) -> String {
    json!({
        "schema": 1,
        "entry": delivery.entry,
        "kind": delivery.event.kind,
        "occurred_at": rfc3339_utc(delivery.event.occurred_at),
        "says": says(&delivery.says),
    })
    .to_string()
}

/// Sends one; the status that came back, or why none did. No redirect is followed: what was
/// registered is told, and nobody else.
fn send(delivery: &Delivery, at_s: i64, reach: Reach) -> Result<u16, String> {
    let body = body(delivery);
    let agent = asker(PATIENCE, move |ip| reach.allows(ip));
    let signed = signature(&delivery.hook.secret, at_s, &body);
    let answer = agent
        .post(&delivery.hook.address)
        .header("content-type", "application/json")
        .header("user-agent", "partpledge")
        .header("partpledge-entry", delivery.entry.to_string())
        .header("partpledge-time", at_s.to_string())
        .header("partpledge-signature", format!("hmac-sha256={signed}"))
        .send(&body);
    match answer {
        Ok(answer) => Ok(answer.status().as_u16()),
        Err(error) => Err(no_answer(Silence::from(&error))),
    }
}

/// Why an address gave no answer. What is kept is the English, as logs have it.
const NO_ANSWERS: &[(Silence, &str)] = &[
    (Silence::Late, "send-told-why-late"),
    (Silence::UnknownName, "send-told-why-unknown-name"),
    (Silence::NotAsked, "send-told-why-own-network"),
    (Silence::NothingListens, "send-told-why-nothing-listens"),
    (Silence::BrokeOff, "send-told-why-broke-off"),
    (Silence::NotSecret, "send-told-why-not-secret"),
    (Silence::NotHttp, "send-told-why-not-http"),
    (Silence::BadAddress, "send-told-why-bad-address"),
    (Silence::NoConnection, "send-told-why-no-connection"),
];

fn no_answer(silence: Silence) -> String {
    let mut all = NO_ANSWERS.iter();
    let (_, id) = all
        .find(|(one, _)| *one == silence)
        .unwrap_or(&NO_ANSWERS[NO_ANSWERS.len() - 1]);
    let why = crate::say(id).in_tongue(Tongue::English);
    format!("no answer: {why}")
}

/// Why there was no answer, as it was kept, in the tongue being spoken.
pub(crate) fn no_answer_says(why: &str) -> String {
    let mut all = NO_ANSWERS.iter().map(|(_, id)| crate::say(id));
    let found = all.find(|said| said.in_tongue(Tongue::English) == why);
    found.map_or_else(|| why.to_owned(), |said| said.to_string())
}

/// Goes through the log for every address, and sends what is due; how many were tried. All
/// addresses at once, so that one that is slow holds up nobody else.
///
/// # Errors
/// [`WorkshopError`] of the store; what an address answers is no error but written down.
pub(crate) async fn tell(site: &Site) -> Result<usize, WorkshopError> {
    let (session, clock) = (site.session().await?, Actor::new(Role::Clock));
    queue(&session, &clock).await?;
    let mut going = JoinSet::new();
    for hook in open(&session, &clock).await? {
        going.spawn(tell_one(site.clone(), hook));
    }
    let mut tried = 0;
    while let Some(one) = going.join_next().await {
        tried += one.map_err(|_| WorkshopError::BrokeOff)??;
    }
    Ok(tried)
}

/// Sends what is due for one address, the oldest first, until one is not answered: the rest would
/// hardly be either.
async fn tell_one(site: Site, hook: HookId) -> Result<usize, WorkshopError> {
    let (clock, began, mut tried) = (Actor::new(Role::Clock), Instant::now(), 0);
    while began.elapsed() < GO {
        // The time of each message is its own: it is signed, and old ones are refused.
        let session = site.session().await?;
        let Some(delivery) = next(&session, &clock, hook).await? else {
            break;
        };
        let (at_s, reach) = (session.now.0.div_euclid(1_000), site.reach());
        // Sending waits for the network: apart from the threads that answer.
        let sent = tokio::task::spawn_blocking(move || {
            let answer = send(&delivery, at_s, reach);
            (delivery, answer)
        });
        let (delivery, answer) = sent.await.map_err(|_| WorkshopError::BrokeOff)?;
        let silent = answer.is_err();
        answered(&site.session().await?, &delivery, answer).await?;
        tried += 1;
        if silent {
            break;
        }
    }
    Ok(tried)
}

#[cfg(test)]
mod tests {
    use partpledge_words::within;

    use super::*;

    #[test]
    fn why_there_was_no_answer_is_kept_in_english_and_read_in_every_tongue() {
        for (silence, _) in NO_ANSWERS {
            let kept = no_answer(*silence);
            let why = kept.strip_prefix("no answer: ").unwrap();
            assert_eq!(no_answer_says(why), why);
            let german = within(Tongue::German, || no_answer_says(why));
            assert_ne!(german, why, "{silence:?}");
        }
        let kept = no_answer(Silence::Large);
        assert_eq!(
            kept, "no answer: no connection could be made",
            "what has no words of its own"
        );
        let other = within(Tongue::German, || no_answer_says("io: Connection refused"));
        assert_eq!(
            other, "io: Connection refused",
            "as another release kept it"
        );
    }
}
