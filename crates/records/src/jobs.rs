//! Background work: a table, claimed one at a time, tried again after a failure.
//!
//! A claim is a lease: a worker that dies without a word loses its work to the next one when the
//! lease is over. The number of the try tells a late worker that its work is no longer its own.

use partpledge_units::ids::{IdSource, JobId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{On, sql, values};
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

sql! {
    ADD = "INSERT INTO jobs (region_id, job_id, kind, payload, state, attempts, run_after, failure)
        VALUES ($1, $2, $3, $4, 'waiting', 0, $5, NULL)";
    NEXT_SQLITE[Sqlite] = "SELECT job_id, region_id, kind, payload, attempts FROM jobs
        WHERE state IN ('waiting', 'claimed') AND run_after <= $1 AND kind = $2 AND payload LIKE $3
        ORDER BY run_after, job_id LIMIT 1";
    NEXT_PG[Pg] = "SELECT job_id, region_id, kind, payload, attempts FROM jobs
        WHERE state IN ('waiting', 'claimed') AND run_after <= $1 AND kind = $2 AND payload LIKE $3
        ORDER BY run_after, job_id LIMIT 1 FOR UPDATE SKIP LOCKED";
    CLAIM = "UPDATE jobs SET state = 'claimed', attempts = attempts + 1, run_after = $3
        WHERE region_id = $1 AND job_id = $2";
    LEAVE = "UPDATE jobs SET state = $4, run_after = COALESCE(CAST($5 AS BIGINT), run_after),
            failure = COALESCE(CAST($6 AS TEXT), failure)
        WHERE region_id = $1 AND job_id = $2 AND attempts = $3 AND state = 'claimed'";
}

impl Store {
    /// Puts work in the queue, not to be begun before `run_after`.
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
            ADD,
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

    /// Takes the work of a kind that has been due longest; nobody else gets it before `until`.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn claim_job(
        &self,
        kind: &str,
        now: EventMs,
        until: EventMs,
    ) -> Result<Option<Job>, StoreError> {
        self.claim_job_of((kind, ""), now, until).await
    }

    /// The same of work whose payload begins with that, of letters, figures and dashes.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn claim_job_of(
        &self,
        (kind, begins): (&str, &str),
        now: EventMs,
        until: EventMs,
    ) -> Result<Option<Job>, StoreError> {
        let mut tx = self.db.begin().await?;
        let next = match self.db.engine() {
            On::Pg => NEXT_PG,
            On::Sqlite | On::Both => NEXT_SQLITE,
        };
        let rows = tx
            .rows(next, values![now.0, kind, format!("{begins}%")])
            .await?;
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
            CLAIM,
            values![job.region.to_string(), job.id.to_string(), until.0],
        )
        .await?;
        tx.commit().await?;
        Ok(Some(job))
    }

    /// The work is done. `false` when the lease was over and somebody else has it, or did it.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn finish_job(&self, job: &Job) -> Result<bool, StoreError> {
        self.leave(job, ("done", None, None)).await
    }

    /// The work failed: to be tried again from `again_at` on, or given up without one. `false` as
    /// in [`Store::finish_job`].
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn fail_job(
        &self,
        job: &Job,
        why: &str,
        again_at: Option<EventMs>,
    ) -> Result<bool, StoreError> {
        let state = if again_at.is_some() {
            "waiting"
        } else {
            "given up"
        };
        self.leave(job, (state, again_at, Some(why))).await
    }

    async fn leave(
        &self,
        job: &Job,
        (state, again_at, why): (&str, Option<EventMs>, Option<&str>),
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        let values = values![
            job.region.to_string(),
            job.id.to_string(),
            job.attempts,
            state,
            again_at.map(|at| at.0),
            why.map(str::to_owned)
        ];
        let changed = tx.run(LEAVE, values).await?;
        tx.commit().await?;
        Ok(changed == 1)
    }
}
