//! The messages to addresses that the coordinator registered: how they look and how they are sent.
//!
//! Without a registered address nothing is ever sent to anybody.

use std::time::Duration;

use partpledge_records::{Payload, Said};
use partpledge_units::local::rfc3339_utc;
use partpledge_workshop::hooks::{Delivery, answered, next, queue, signature};
use partpledge_workshop::{Actor, Role, Session, WorkshopError};
use serde_json::{Map, Value, json};

/// How long an address may take. Common practice, no source.
const PATIENCE: Duration = Duration::from_secs(10);
/// Messages sent in one go; what is left comes with the next.
const MOST_AT_ONCE: usize = 50;

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
fn send(delivery: &Delivery, at_s: i64) -> Result<u16, String> {
    let body = body(delivery);
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .max_redirects(0)
        .http_status_as_error(false)
        .timeout_global(Some(PATIENCE))
        .proxy(None)
        .build()
        .into();
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
        Err(error) => Err(format!("no answer: {error}")),
    }
}

/// Goes through the log for every address, and sends what is due; how many were tried.
///
/// # Errors
/// [`WorkshopError`] of the store; what an address answers is no error but written down.
pub(crate) async fn tell(session: Session) -> Result<usize, WorkshopError> {
    let clock = Actor::new(Role::Clock);
    queue(&session, &clock).await?;
    let mut tried = 0;
    while tried < MOST_AT_ONCE {
        let Some(delivery) = next(&session, &clock).await? else {
            break;
        };
        let at_s = session.now.0.div_euclid(1_000);
        // Sending waits for the network: apart from the threads that answer.
        let sent = tokio::task::spawn_blocking(move || {
            let answer = send(&delivery, at_s);
            (delivery, answer)
        });
        let (delivery, answer) = sent.await.map_err(|_| WorkshopError::BrokeOff)?;
        answered(&session, &delivery, answer).await?;
        tried += 1;
    }
    Ok(tried)
}
