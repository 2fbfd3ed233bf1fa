//! Background work: a table, claimed one at a time, tried again after a failure.

use partpledge_units::ids::{IdSource, JobId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::values;
use crate::error::StoreError;
use crate::store::Store;

/// A piece of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// Its id.
    pub id: JobId,
    /// Its region.
    pub region: RegionId,
    /// What to do.
    pub kind: String,
    /// JSON.
    pub payload: String,
    /// Tries, this one included.
    pub attempts: i64,
}

impl Store {
    /// Puts work in the queue.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn add_job(
        &self,
        region: RegionId,
        kind: &str,
        payload: &str,
        ids: &mut IdSource,
        run_after: EventMs,
    ) -> Result<JobId, StoreError> {
        let id = JobId::fresh(ids, run_after);
        let mut tx = self.db.begin().await?;
        tx.run(
            "INSERT INTO jobs (region_id, job_id, kind, payload, state, attempts, run_after)
             VALUES ($1, $2, $3, $4, 'waiting', 0, $5)",
            values![
                region.to_string(),
                id.to_string(),
                kind,
                payload,
                run_after.0
            ],
        )
        .await?;
        tx.commit().await?;
        Ok(id)
    }

    /// Takes the oldest work that is due; nobody else gets it until it fails.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn claim_job(&self, now: EventMs) -> Result<Option<Job>, StoreError> {
        let mut tx = self.db.begin().await?;
        let sql = if self.db.is_pg() {
            CLAIM_PG
        } else {
            CLAIM_SQLITE
        };
        let rows = tx.rows(sql, values![now.0]).await?;
        let Some(row) = rows.first() else {
            return Ok(None);
        };
        let job = Job {
            id: row.id(0)?,
            region: row.id(1)?,
            kind: row.text(2)?,
            payload: row.text(3)?,
            attempts: row.int(4)? + 1,
        };
        tx.run(
            "UPDATE jobs SET state = 'claimed', attempts = attempts + 1
             WHERE region_id = $1 AND job_id = $2",
            values![job.region.to_string(), job.id.to_string()],
        )
        .await?;
        tx.commit().await?;
        Ok(Some(job))
    }

    /// Done: or to be tried again from `again_at` on.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn finish_job(&self, job: &Job, again_at: Option<EventMs>) -> Result<(), StoreError> {
        let state = if again_at.is_some() {
            "waiting"
        } else {
            "done"
        };
        let mut tx = self.db.begin().await?;
        tx.run(
            "UPDATE jobs SET state = $3, run_after = COALESCE($4, run_after)
             WHERE region_id = $1 AND job_id = $2",
            values![
                job.region.to_string(),
                job.id.to_string(),
                state,
                again_at.map(|at| at.0)
            ],
        )
        .await?;
        tx.commit().await
    }
}

const CLAIM_SQLITE: &str = "SELECT job_id, region_id, kind, payload, attempts FROM jobs
     WHERE state = 'waiting' AND run_after <= $1 ORDER BY run_after, job_id LIMIT 1";
const CLAIM_PG: &str = "SELECT job_id, region_id, kind, payload, attempts FROM jobs
     WHERE state = 'waiting' AND run_after <= $1 ORDER BY run_after, job_id LIMIT 1
     FOR UPDATE SKIP LOCKED";
