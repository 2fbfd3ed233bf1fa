//! Addresses that are told what happens, what is to be told to each, and what they answered.
//!
//! What is to be told stands in the table of jobs: it is written there in one transaction with how
//! far the log has been gone through for that address, so that nothing is told never or twice.

use partpledge_units::ids::{HookId, IdSource, JobId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, sql, values};
use crate::error::StoreError;
use crate::events::Event;
use crate::happening::{Payload, Said};
use crate::store::Store;

/// Kind of the jobs.
pub const DELIVERY: &str = "hook.tell";

/// An address to be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hook {
    /// Its id.
    pub id: HookId,
    /// Where.
    pub address: String,
    /// Of which kinds of events.
    pub kinds: Vec<String>,
    /// What its messages are signed with; kept as it is, since signing needs it.
    pub secret: String,
    /// The log has been gone through for it up to this entry.
    pub after_entry: i64,
    /// Since when.
    pub made_at: EventMs,
    /// Until when, if it was stopped.
    pub stopped_at: Option<EventMs>,
}

/// A try to tell an address of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HookTry {
    /// Which address.
    pub hook: HookId,
    /// Of which entry of the log.
    pub entry: i64,
    /// 1, 2, 3 ...
    pub attempt: i64,
    /// When.
    pub at: EventMs,
    /// What came back, in a few words.
    pub answer: String,
}

sql! {
    ADD = "INSERT INTO hooks (region_id, hook_id, address, kinds, secret, after_entry, made_at)
        SELECT $1, $2, $3, $4, $5, r.entries, $6 FROM regions r WHERE r.region_id = $1";
    ALL = "SELECT hook_id, address, kinds, secret, after_entry, made_at, stopped_at FROM hooks
        WHERE region_id = $1 ORDER BY made_at, hook_id";
    STOP = "UPDATE hooks SET stopped_at = COALESCE(stopped_at, $3)
        WHERE region_id = $1 AND hook_id = $2";
    GIVE_UP = "UPDATE jobs SET state = 'given up', failure = 'the address was stopped'
        WHERE region_id = $1 AND kind = $2 AND payload LIKE $3 AND state IN ('waiting', 'claimed')";
    ADVANCE = "UPDATE hooks SET after_entry = $4
        WHERE region_id = $1 AND hook_id = $2 AND after_entry = $3";
    QUEUE = "INSERT INTO jobs (region_id, job_id, kind, payload, state, attempts, run_after, failure)
        VALUES ($1, $2, $3, $4, 'waiting', 0, $5, NULL)";
    TRIED = "INSERT INTO hook_tries (region_id, hook_id, entry, attempt, at, answer)
        VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING";
    TRIES = "SELECT hook_id, entry, attempt, at, answer FROM hook_tries
        WHERE region_id = $1 AND hook_id = $2 ORDER BY at DESC, entry DESC LIMIT 10";
    FORGET = "DELETE FROM hook_tries WHERE region_id = $1 AND at < $2";
}

fn hook(row: &Row) -> Result<Hook, StoreError> {
    Ok(Hook {
        id: row.id(0)?,
        address: row.text(1)?,
        kinds: row.text(2)?.split(' ').map(str::to_owned).collect(),
        secret: row.text(3)?,
        after_entry: row.int(4)?,
        made_at: EventMs(row.int(5)?),
        stopped_at: row.opt_int(6)?.map(EventMs),
    })
}

/// What a job says: which address, which entry.
#[must_use]
pub fn delivery_of(payload: &str) -> Option<(HookId, i64)> {
    let (hook, entry) = payload.split_once(' ')?;
    Some((hook.parse().ok()?, entry.parse().ok()?))
}

/// Names of what an event says that may be told to others: numbers and references. Free words of
/// people, such as reasons, stay here.
const TOLD: [&str; 8] = [
    "plate", "plates", "good", "request", "also", "printer", "step", "entry",
];

/// What an event says that may be told to others.
#[must_use]
pub fn told_of(event: &Event) -> Payload {
    let read = serde_json::from_str::<serde_json::Value>(&event.payload);
    let read = read.unwrap_or_default();
    let said = |name: &'static str| match read.get(name)? {
        serde_json::Value::String(text) => Some((name, Said::Text(text.clone()))),
        serde_json::Value::Number(number) => Some((name, Said::Numbers(vec![number.as_u64()?]))),
        serde_json::Value::Array(numbers) => {
            let numbers = numbers.iter().map(serde_json::Value::as_u64);
            Some((name, Said::Numbers(numbers.collect::<Option<_>>()?)))
        }
        _ => None,
    };
    TOLD.into_iter().filter_map(said).collect()
}

impl Store {
    /// Writes down an address to be told of what happens from now on.
    ///
    /// # Errors
    /// [`StoreError::NoSuchRegion`], [`StoreError::Database`].
    pub async fn add_hook(
        &self,
        region: RegionId,
        (address, kinds, secret): (&str, &[&str], &str),
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<HookId, StoreError> {
        let id = HookId::fresh(ids, at);
        let mut tx = self.db.begin().await?;
        let row = values![
            region.to_string(),
            id.to_string(),
            address,
            kinds.join(" "),
            secret,
            at.0
        ];
        if tx.run(ADD, row).await? == 0 {
            return Err(StoreError::NoSuchRegion(region.to_string()));
        }
        tx.commit().await?;
        Ok(id)
    }

    /// All addresses, those that were stopped too, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn hooks(&self, region: RegionId) -> Result<Vec<Hook>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        rows.iter().map(hook).collect()
    }

    /// Stops one; nothing more is told to it, and what waits for it is given up.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`].
    pub async fn stop_hook(
        &self,
        region: RegionId,
        id: HookId,
        at: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), id.to_string(), at.0];
        if tx.run(STOP, which).await? == 0 {
            let (what, id) = ("hook", id.to_string());
            return Err(StoreError::NoSuch { what, id });
        }
        let waits = format!("{id} %");
        tx.run(GIVE_UP, values![region.to_string(), DELIVERY, waits])
            .await?;
        tx.commit().await
    }

    /// Puts entries in the queue of an address that has been gone through up to `upto` with them.
    /// `false` when another server was faster; nothing is written then.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn queue_for_hook(
        &self,
        region: RegionId,
        (hook, entries, upto): (&Hook, &[i64], i64),
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        let (place, id) = (region.to_string(), hook.id.to_string());
        let step = values![place.as_str(), id.as_str(), hook.after_entry, upto];
        if tx.run(ADVANCE, step).await? == 0 {
            return Ok(false);
        }
        // Within a millisecond ids are in no order of their own; the older entry comes first.
        let mut jobs: Vec<_> = entries.iter().map(|_| JobId::fresh(ids, at)).collect();
        jobs.sort_unstable();
        for (entry, job) in entries.iter().zip(jobs) {
            let job = job.to_string();
            let payload = format!("{id} {entry}");
            let row = values![place.as_str(), job, DELIVERY, payload, at.0];
            tx.run(QUEUE, row).await?;
        }
        tx.commit().await?;
        Ok(true)
    }

    /// Writes down what a try came to.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn add_hook_try(&self, region: RegionId, tried: &HookTry) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let row = values![
            region.to_string(),
            tried.hook.to_string(),
            tried.entry,
            tried.attempt,
            tried.at.0,
            tried.answer.as_str()
        ];
        tx.run(TRIED, row).await?;
        tx.commit().await
    }

    /// The last ten tries of an address, the last first.
    ///
    /// # Errors
    /// As [`Store::hooks`].
    pub async fn hook_tries(
        &self,
        region: RegionId,
        hook: HookId,
    ) -> Result<Vec<HookTry>, StoreError> {
        let which = values![region.to_string(), hook.to_string()];
        let rows = self.db.rows(TRIES, which).await?;
        let tried = |row: &Row| {
            Ok(HookTry {
                hook: row.id(0)?,
                entry: row.int(1)?,
                attempt: row.int(2)?,
                at: EventMs(row.int(3)?),
                answer: row.text(4)?,
            })
        };
        rows.iter().map(tried).collect()
    }

    /// Forgets tries from before.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_hook_tries(
        &self,
        region: RegionId,
        before: EventMs,
    ) -> Result<u64, StoreError> {
        let mut tx = self.db.begin().await?;
        let gone = tx
            .run(FORGET, values![region.to_string(), before.0])
            .await?;
        tx.commit().await?;
        Ok(gone)
    }
}
