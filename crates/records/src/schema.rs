//! The tables, as numbered steps; each step runs once, in a transaction with its number.

use crate::db::{Db, values};
use crate::error::StoreError;

/// The steps. Never edit one that has shipped: add another.
const STEPS: &[&[&str]] = &[&[
    "CREATE TABLE regions (
        region_id TEXT PRIMARY KEY, name TEXT NOT NULL, document TEXT NOT NULL,
        head BIGINT NOT NULL, next_seq BIGINT NOT NULL, created_at BIGINT NOT NULL)",
    "CREATE TABLE parts (
        region_id TEXT NOT NULL, part_id TEXT NOT NULL, team TEXT NOT NULL, name TEXT NOT NULL,
        created_at BIGINT NOT NULL, PRIMARY KEY (region_id, part_id))",
    "CREATE TABLE part_versions (
        region_id TEXT NOT NULL, version_id TEXT NOT NULL, part_id TEXT NOT NULL,
        blob TEXT NOT NULL, file_name TEXT NOT NULL, unit TEXT NOT NULL, unit_source TEXT NOT NULL,
        facts TEXT NOT NULL, findings TEXT NOT NULL, repairs TEXT NOT NULL, engine TEXT NOT NULL,
        created_at BIGINT NOT NULL,
        PRIMARY KEY (region_id, version_id), UNIQUE (region_id, part_id, blob, unit, engine))",
    "CREATE TABLE estimates (
        region_id TEXT NOT NULL, estimate_id TEXT NOT NULL, version_id TEXT NOT NULL,
        orientation TEXT NOT NULL, sheet TEXT NOT NULL, class TEXT NOT NULL, engine TEXT NOT NULL,
        payload TEXT NOT NULL, created_at BIGINT NOT NULL,
        PRIMARY KEY (region_id, estimate_id),
        UNIQUE (region_id, version_id, orientation, sheet, class, engine))",
    "CREATE TABLE requests (
        region_id TEXT NOT NULL, request_id TEXT NOT NULL, team TEXT NOT NULL,
        version_id TEXT NOT NULL, material TEXT NOT NULL, copies BIGINT NOT NULL, need_by BIGINT,
        asked_at BIGINT NOT NULL, first_answer_at BIGINT, state TEXT NOT NULL,
        idempotency_key TEXT,
        PRIMARY KEY (region_id, request_id), UNIQUE (region_id, idempotency_key))",
    "CREATE TABLE copies (
        region_id TEXT NOT NULL, copy_id TEXT NOT NULL, request_id TEXT NOT NULL,
        number BIGINT NOT NULL, plate_seq BIGINT NOT NULL, state TEXT NOT NULL,
        PRIMARY KEY (region_id, copy_id), UNIQUE (region_id, request_id, number))",
    "CREATE TABLE plates (
        region_id TEXT NOT NULL, seq BIGINT NOT NULL, plate_id TEXT NOT NULL,
        request_id TEXT NOT NULL, version_id TEXT NOT NULL, document TEXT NOT NULL,
        PRIMARY KEY (region_id, seq))",
    "CREATE TABLE plan_revisions (
        region_id TEXT NOT NULL, revision BIGINT NOT NULL, parent BIGINT NOT NULL,
        reason TEXT NOT NULL, made_at BIGINT NOT NULL, document TEXT NOT NULL,
        PRIMARY KEY (region_id, revision))",
    "CREATE TABLE pledges (
        region_id TEXT NOT NULL, entry BIGINT NOT NULL, pledge_id TEXT NOT NULL, request_id TEXT NOT NULL,
        kind TEXT NOT NULL, arrival BIGINT NOT NULL, place TEXT NOT NULL,
        probability DOUBLE PRECISION NOT NULL, plan_revision BIGINT NOT NULL,
        recorded_at BIGINT NOT NULL, document TEXT NOT NULL,
        PRIMARY KEY (region_id, entry), UNIQUE (region_id, pledge_id, kind))",
    "CREATE TABLE events (
        region_id TEXT NOT NULL, entry BIGINT NOT NULL, event_id TEXT NOT NULL, kind TEXT NOT NULL, version BIGINT NOT NULL,
        payload TEXT NOT NULL, actor TEXT NOT NULL, occurred_at BIGINT NOT NULL,
        received_at BIGINT NOT NULL, idempotency_key TEXT,
        PRIMARY KEY (region_id, entry), UNIQUE (region_id, idempotency_key))",
    "CREATE TABLE jobs (
        region_id TEXT NOT NULL, job_id TEXT NOT NULL, kind TEXT NOT NULL, payload TEXT NOT NULL,
        state TEXT NOT NULL, attempts BIGINT NOT NULL, run_after BIGINT NOT NULL,
        PRIMARY KEY (region_id, job_id))",
    "CREATE INDEX jobs_waiting ON jobs (state, run_after)",
    "CREATE INDEX copies_by_plate ON copies (region_id, plate_seq)",
]];

/// Brings the tables up to date.
pub(crate) async fn migrate(db: &Db) -> Result<(), StoreError> {
    let known = i64::try_from(STEPS.len()).unwrap_or(i64::MAX);
    let mut tx = db.begin().await?;
    if db.is_pg() {
        // Two servers starting at once: the second waits here until the first has committed.
        tx.rows("SELECT CAST(pg_advisory_xact_lock(8717001) AS TEXT)", &[])
            .await?;
    }
    tx.run(
        "CREATE TABLE IF NOT EXISTS schema_steps (step BIGINT PRIMARY KEY)",
        &[],
    )
    .await?;
    let found = tx
        .rows(
            "SELECT CAST(COALESCE(MAX(step), 0) AS BIGINT) FROM schema_steps",
            &[],
        )
        .await?;
    let found = found.first().map_or(Ok(0), |row| row.int(0))?;
    if found > known {
        return Err(StoreError::NewerSchema { found, known });
    }
    let done = usize::try_from(found).unwrap_or(0);
    for (i, step) in STEPS.iter().enumerate().skip(done) {
        for sql in *step {
            tx.run(sql, &[]).await?;
        }
        let number = i64::try_from(i + 1).unwrap_or(i64::MAX);
        tx.run(
            "INSERT INTO schema_steps (step) VALUES ($1)",
            values![number],
        )
        .await?;
    }
    tx.commit().await
}
