//! The event log: what happened, who said so, when, once.

use partpledge_units::ids::{EventId, IdSource, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Tx, values};
use crate::error::StoreError;
use crate::store::Store;

/// An entry of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Such as `pledge.given`.
    pub kind: String,
    /// Form of the payload.
    pub version: i64,
    /// JSON; people only by reference.
    pub payload: String,
    /// Who did it, by reference.
    pub actor: String,
    /// When it happened.
    pub occurred_at: EventMs,
    /// When we heard of it.
    pub received_at: EventMs,
    /// The sender's key; the same key twice is one event.
    pub idempotency_key: Option<String>,
}

/// Adds an entry in the transaction of what it changed.
pub(crate) async fn append(
    tx: &mut Tx,
    region: RegionId,
    event: &Event,
    ids: &mut IdSource,
) -> Result<(), StoreError> {
    tx.run(
        "INSERT INTO events (region_id, entry, event_id, kind, version, payload, actor, occurred_at,
            received_at, idempotency_key)
         VALUES ($1, (SELECT COALESCE(MAX(entry), 0) + 1 FROM events WHERE region_id = $1),
            $2, $3, $4, $5, $6, $7, $8, $9)",
        values![
            region.to_string(),
            EventId::fresh(ids, event.received_at).to_string(),
            event.kind.as_str(),
            event.version,
            event.payload.as_str(),
            event.actor.as_str(),
            event.occurred_at.0,
            event.received_at.0,
            event.idempotency_key.clone()
        ],
    )
    .await?;
    Ok(())
}

impl Store {
    /// The log from an entry on, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn events_after(
        &self,
        region: RegionId,
        entry: i64,
    ) -> Result<Vec<(i64, Event)>, StoreError> {
        let rows = self
            .db
            .rows(
                "SELECT entry, kind, version, payload, actor, occurred_at, received_at
                 FROM events WHERE region_id = $1 AND entry > $2 ORDER BY entry LIMIT 1000",
                values![region.to_string(), entry],
            )
            .await?;
        rows.iter()
            .map(|row| {
                let event = Event {
                    kind: row.text(1)?,
                    version: row.int(2)?,
                    payload: row.text(3)?,
                    actor: row.text(4)?,
                    occurred_at: EventMs(row.int(5)?),
                    received_at: EventMs(row.int(6)?),
                    idempotency_key: None,
                };
                Ok((row.int(0)?, event))
            })
            .collect()
    }
}
