//! The event log: what happened, who said so, when, once.
//!
//! Entries of a region are numbered 1, 2, 3 ... without gaps, in the order in which their
//! transactions were committed: whoever has read up to an entry has missed nothing before it.

use partpledge_units::ids::{EventId, IdSource, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
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

impl Event {
    /// Numbers that it says under a name; none when it doesn't say.
    #[must_use]
    pub fn numbers(&self, name: &str) -> Vec<u64> {
        let found = self.said(name);
        let all = found.as_array().into_iter().flatten();
        all.filter_map(serde_json::Value::as_u64).collect()
    }

    /// Words that it says under a name.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<String> {
        self.said(name).as_str().map(str::to_owned)
    }

    fn said(&self, name: &str) -> serde_json::Value {
        let payload = serde_json::from_str(&self.payload);
        let mut payload: serde_json::Value = payload.unwrap_or_default();
        payload
            .get_mut(name)
            .map(serde_json::Value::take)
            .unwrap_or_default()
    }
}

/// Who did something and when, for the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    /// Who, by reference.
    pub actor: String,
    /// When it happened.
    pub occurred_at: EventMs,
    /// When we heard of it: later for what was noted offline.
    pub received_at: EventMs,
    /// The sender's key; the same deed sent twice is done once.
    pub idempotency_key: Option<String>,
}

sql! {
    /// Also locks the region's row, so that its entries are numbered one transaction at a time.
    NUMBER = "UPDATE regions SET entries = entries + 1 WHERE region_id = $1 RETURNING entries";
    ADD = "INSERT INTO events (region_id, entry, event_id, kind, version, payload, actor,
            occurred_at, received_at, idempotency_key)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
    LAST = "SELECT entries FROM regions WHERE region_id = $1";
    SEEN = "SELECT entry FROM events WHERE region_id = $1 AND idempotency_key = $2";
    AT = "SELECT entry, kind, version, payload, actor, occurred_at, received_at, idempotency_key
        FROM events WHERE region_id = $1 AND entry = $2";
    AFTER = "SELECT entry, kind, version, payload, actor, occurred_at, received_at, idempotency_key
        FROM events WHERE region_id = $1 AND entry > $2 ORDER BY entry LIMIT 1000";
    OF_KIND = "SELECT entry, kind, version, payload, actor, occurred_at, received_at, idempotency_key
        FROM events WHERE region_id = $1 AND kind = $2 ORDER BY entry";
}

/// Number of the last entry; 0 for an empty log.
pub(crate) async fn last(tx: &mut Tx, region: RegionId) -> Result<i64, StoreError> {
    let rows = tx.rows(LAST, values![region.to_string()]).await?;
    let row = rows
        .first()
        .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
    row.int(0)
}

/// Adds an entry in the transaction of what it changed; its number.
pub(crate) async fn append(
    tx: &mut Tx,
    region: RegionId,
    event: &Event,
    ids: &mut IdSource,
) -> Result<i64, StoreError> {
    let entry = next_entry(tx, region).await?;
    tx.run(
        ADD,
        values![
            region.to_string(),
            entry,
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
    Ok(entry)
}

/// Adds what `deed` came to; its number.
pub(crate) async fn append_deed(
    tx: &mut Tx,
    region: RegionId,
    (kind, payload): (&str, String),
    deed: &Deed,
    ids: &mut IdSource,
) -> Result<i64, StoreError> {
    let event = Event {
        kind: kind.to_owned(),
        version: 1,
        payload,
        actor: deed.actor.clone(),
        occurred_at: deed.occurred_at,
        received_at: deed.received_at,
        idempotency_key: deed.idempotency_key.clone(),
    };
    append(tx, region, &event, ids).await
}

async fn next_entry(tx: &mut Tx, region: RegionId) -> Result<i64, StoreError> {
    let rows = tx.rows(NUMBER, values![region.to_string()]).await?;
    let row = rows
        .first()
        .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
    row.int(0)
}

/// Whether a deed with that key is in the log.
pub(crate) async fn seen(tx: &mut Tx, region: RegionId, deed: &Deed) -> Result<bool, StoreError> {
    let Some(key) = deed.idempotency_key.as_deref() else {
        return Ok(false);
    };
    let rows = tx.rows(SEEN, values![region.to_string(), key]).await?;
    Ok(!rows.is_empty())
}

/// The entry of that number, with it.
pub(crate) async fn event_at(
    tx: &mut Tx,
    region: RegionId,
    entry: i64,
) -> Result<Option<(i64, Event)>, StoreError> {
    let rows = tx.rows(AT, values![region.to_string(), entry]).await?;
    rows.first().map(from_row).transpose()
}

fn from_row(row: &Row) -> Result<(i64, Event), StoreError> {
    let event = Event {
        kind: row.text(1)?,
        version: row.int(2)?,
        payload: row.text(3)?,
        actor: row.text(4)?,
        occurred_at: EventMs(row.int(5)?),
        received_at: EventMs(row.int(6)?),
        idempotency_key: row.opt_text(7)?,
    };
    Ok((row.int(0)?, event))
}

impl Store {
    /// Whether a deed with that key is in the log.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn has_key(&self, region: RegionId, key: &str) -> Result<bool, StoreError> {
        let rows = self.db.rows(SEEN, values![region.to_string(), key]).await?;
        Ok(!rows.is_empty())
    }

    /// Number of the last entry; 0 for an empty log.
    ///
    /// # Errors
    /// [`StoreError::NoSuchRegion`], [`StoreError::Database`].
    pub async fn last_entry(&self, region: RegionId) -> Result<i64, StoreError> {
        let rows = self.db.rows(LAST, values![region.to_string()]).await?;
        let row = rows
            .first()
            .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
        row.int(0)
    }

    /// The log from an entry on, oldest first, at most 1000.
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
            .rows(AFTER, values![region.to_string(), entry])
            .await?;
        rows.iter().map(from_row).collect()
    }

    /// Everything of one kind, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn events_of_kind(
        &self,
        region: RegionId,
        kind: &str,
    ) -> Result<Vec<(i64, Event)>, StoreError> {
        let which = values![region.to_string(), kind];
        let rows = self.db.rows(OF_KIND, which).await?;
        rows.iter().map(from_row).collect()
    }
}
