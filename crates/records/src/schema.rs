//! The tables, as numbered steps; each step runs once, in a transaction with its number.

mod boxes;
mod crew;
mod ground;
mod machines;
mod measures;
mod notes;
mod notices;
mod outages;
mod passkeys;
mod people;
mod programs;
mod spools;
mod standing;
mod undo;

use crate::db::{Db, On, Tx, sql, values};
use crate::error::StoreError;

/// The steps. Never edit one that has shipped: add another.
const STEPS: &[&[(On, &str)]] = &[
    FIRST,
    SECOND,
    THIRD,
    FOURTH,
    FIFTH,
    SIXTH,
    people::PEOPLE,
    undo::UNDO,
    spools::TABLES,
    programs::PROGRAMS,
    notes::NOTES,
    boxes::BOXES,
    ground::GROUND,
    notices::NOTICES,
    crew::CREW,
    standing::STANDING,
    machines::MACHINES,
    measures::MEASURES,
    passkeys::PASSKEYS,
    outages::OUTAGES,
];

/// Tables of the whole walk: region, part, estimate, request, plate, plan, pledge, event, job.
const FIRST: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE regions (
            region_id TEXT NOT NULL PRIMARY KEY, name TEXT NOT NULL UNIQUE, document TEXT NOT NULL,
            head BIGINT NOT NULL, next_seq BIGINT NOT NULL, entries BIGINT NOT NULL,
            created_at BIGINT NOT NULL)",
    ),
    (
        On::Both,
        "CREATE TABLE parts (
            region_id TEXT NOT NULL REFERENCES regions (region_id), part_id TEXT NOT NULL,
            team TEXT NOT NULL, name TEXT NOT NULL, created_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, part_id), UNIQUE (region_id, team, name))",
    ),
    (
        On::Both,
        "CREATE TABLE part_versions (
            region_id TEXT NOT NULL, version_id TEXT NOT NULL, part_id TEXT NOT NULL,
            blob TEXT NOT NULL, file_name TEXT NOT NULL, unit TEXT NOT NULL,
            unit_source TEXT NOT NULL, facts TEXT NOT NULL, findings TEXT NOT NULL,
            repairs TEXT NOT NULL, engine TEXT NOT NULL, created_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, version_id), UNIQUE (region_id, part_id, blob, unit, engine),
            FOREIGN KEY (region_id, part_id) REFERENCES parts (region_id, part_id))",
    ),
    (
        On::Both,
        "CREATE INDEX part_versions_by_blob ON part_versions (region_id, blob, unit, engine)",
    ),
    (
        On::Both,
        "CREATE TABLE estimates (
            region_id TEXT NOT NULL, estimate_id TEXT NOT NULL, version_id TEXT NOT NULL,
            orientation TEXT NOT NULL, sheet TEXT NOT NULL, class TEXT NOT NULL,
            engine TEXT NOT NULL, payload TEXT NOT NULL, created_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, estimate_id),
            UNIQUE (region_id, version_id, orientation, sheet, class, engine),
            FOREIGN KEY (region_id, version_id) REFERENCES part_versions (region_id, version_id))",
    ),
    (
        On::Both,
        "CREATE TABLE requests (
            region_id TEXT NOT NULL, request_id TEXT NOT NULL, team TEXT NOT NULL,
            version_id TEXT NOT NULL, material TEXT NOT NULL, copies BIGINT NOT NULL,
            need_by BIGINT, asked_at BIGINT NOT NULL, first_answer_at BIGINT, state TEXT NOT NULL,
            idempotency_key TEXT,
            PRIMARY KEY (region_id, request_id), UNIQUE (region_id, idempotency_key),
            FOREIGN KEY (region_id, version_id) REFERENCES part_versions (region_id, version_id))",
    ),
    (
        On::Both,
        "CREATE TABLE plates (
            region_id TEXT NOT NULL, seq BIGINT NOT NULL, plate_id TEXT NOT NULL,
            request_id TEXT NOT NULL, version_id TEXT NOT NULL, document TEXT NOT NULL,
            PRIMARY KEY (region_id, seq), UNIQUE (region_id, plate_id),
            FOREIGN KEY (region_id, request_id) REFERENCES requests (region_id, request_id),
            FOREIGN KEY (region_id, version_id) REFERENCES part_versions (region_id, version_id))",
    ),
    (
        On::Both,
        "CREATE TABLE copies (
            region_id TEXT NOT NULL, copy_id TEXT NOT NULL, request_id TEXT NOT NULL,
            number BIGINT NOT NULL, plate_seq BIGINT NOT NULL, state TEXT NOT NULL,
            PRIMARY KEY (region_id, copy_id), UNIQUE (region_id, request_id, number),
            FOREIGN KEY (region_id, request_id) REFERENCES requests (region_id, request_id),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Both,
        "CREATE INDEX copies_by_plate ON copies (region_id, plate_seq)",
    ),
    (
        On::Both,
        "CREATE TABLE plan_revisions (
            region_id TEXT NOT NULL REFERENCES regions (region_id), revision BIGINT NOT NULL,
            parent BIGINT NOT NULL, reason TEXT NOT NULL, made_at BIGINT NOT NULL,
            document TEXT NOT NULL,
            PRIMARY KEY (region_id, revision))",
    ),
    (
        On::Both,
        "CREATE TABLE pledges (
            region_id TEXT NOT NULL, entry BIGINT NOT NULL, pledge_id TEXT NOT NULL,
            request_id TEXT NOT NULL, kind TEXT NOT NULL, arrival BIGINT NOT NULL,
            place TEXT NOT NULL, probability DOUBLE PRECISION NOT NULL,
            plan_revision BIGINT NOT NULL, recorded_at BIGINT NOT NULL, document TEXT NOT NULL,
            PRIMARY KEY (region_id, entry), UNIQUE (region_id, pledge_id, kind),
            FOREIGN KEY (region_id, request_id) REFERENCES requests (region_id, request_id),
            FOREIGN KEY (region_id, plan_revision)
                REFERENCES plan_revisions (region_id, revision))",
    ),
    (
        On::Both,
        "CREATE UNIQUE INDEX pledges_end_once ON pledges (region_id, pledge_id)
         WHERE kind <> 'given'",
    ),
    (
        On::Both,
        "CREATE TABLE events (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            event_id TEXT NOT NULL, kind TEXT NOT NULL, version BIGINT NOT NULL,
            payload TEXT NOT NULL, actor TEXT NOT NULL, occurred_at BIGINT NOT NULL,
            received_at BIGINT NOT NULL, idempotency_key TEXT,
            PRIMARY KEY (region_id, entry), UNIQUE (region_id, idempotency_key))",
    ),
    (
        On::Both,
        "CREATE TABLE jobs (
            region_id TEXT NOT NULL REFERENCES regions (region_id), job_id TEXT NOT NULL,
            kind TEXT NOT NULL, payload TEXT NOT NULL, state TEXT NOT NULL,
            attempts BIGINT NOT NULL, run_after BIGINT NOT NULL, failure TEXT,
            PRIMARY KEY (region_id, job_id))",
    ),
    (
        On::Both,
        "CREATE INDEX jobs_waiting ON jobs (state, run_after)",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER pledges_stay BEFORE UPDATE ON pledges
        BEGIN SELECT RAISE(ABORT, 'pledges are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER pledges_remain BEFORE DELETE ON pledges
        BEGIN SELECT RAISE(ABORT, 'pledges are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER events_stay BEFORE UPDATE ON events
        BEGIN SELECT RAISE(ABORT, 'events are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER events_remain BEFORE DELETE ON events
        BEGIN SELECT RAISE(ABORT, 'events are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER plan_revisions_stay BEFORE UPDATE ON plan_revisions
        BEGIN SELECT RAISE(ABORT, 'plan revisions are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER plan_revisions_remain BEFORE DELETE ON plan_revisions
        BEGIN SELECT RAISE(ABORT, 'plan revisions are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER part_versions_stay BEFORE UPDATE ON part_versions
        BEGIN SELECT RAISE(ABORT, 'part versions never change'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER estimates_stay BEFORE UPDATE ON estimates
        BEGIN SELECT RAISE(ABORT, 'estimates never change'); END",
    ),
    (
        On::Pg,
        "CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS
        $$ BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END $$",
    ),
    (
        On::Pg,
        "CREATE TRIGGER pledges_stay BEFORE UPDATE OR DELETE ON pledges
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
    (
        On::Pg,
        "CREATE TRIGGER events_stay BEFORE UPDATE OR DELETE ON events
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
    (
        On::Pg,
        "CREATE TRIGGER plan_revisions_stay BEFORE UPDATE OR DELETE ON plan_revisions
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
    (
        On::Pg,
        "CREATE TRIGGER part_versions_stay BEFORE UPDATE ON part_versions
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
    (
        On::Pg,
        "CREATE TRIGGER estimates_stay BEFORE UPDATE ON estimates
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];

/// The floor: requests numbered for people, what was done with each plate, printers out of use.
const SECOND: &[(On, &str)] = &[
    (On::Both, "ALTER TABLE requests ADD COLUMN number BIGINT"),
    (On::Both, "ALTER TABLE requests ADD COLUMN process TEXT"),
    (On::Both, "ALTER TABLE requests ADD COLUMN replaces TEXT"),
    (
        On::Both,
        "ALTER TABLE regions ADD COLUMN next_request BIGINT NOT NULL DEFAULT 1",
    ),
    (
        On::Both,
        "ALTER TABLE plates ADD COLUMN state TEXT NOT NULL DEFAULT 'open'",
    ),
    (
        On::Both,
        "UPDATE requests SET number = (SELECT COUNT(*) FROM requests r
            WHERE r.region_id = requests.region_id AND (r.asked_at < requests.asked_at
                OR (r.asked_at = requests.asked_at AND r.request_id <= requests.request_id)))",
    ),
    (
        On::Both,
        "UPDATE regions SET next_request = 1 + (SELECT COUNT(*) FROM requests r
            WHERE r.region_id = regions.region_id)",
    ),
    (
        On::Both,
        "CREATE UNIQUE INDEX requests_by_number ON requests (region_id, number)",
    ),
    (
        On::Both,
        "CREATE TABLE run_steps (
            region_id TEXT NOT NULL, plate_seq BIGINT NOT NULL, step TEXT NOT NULL,
            printer TEXT NOT NULL, at BIGINT NOT NULL, actor TEXT NOT NULL,
            document TEXT NOT NULL, entry BIGINT NOT NULL,
            PRIMARY KEY (region_id, plate_seq, step),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Both,
        "CREATE TABLE outages (
            region_id TEXT NOT NULL, entry BIGINT NOT NULL, printer TEXT NOT NULL,
            from_min BIGINT NOT NULL, until_min BIGINT NOT NULL, reason TEXT NOT NULL,
            PRIMARY KEY (region_id, entry))",
    ),
];

/// What was learned from: runs that ended, with what was worked out and what they really took.
const THIRD: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE finished_runs (
            region_id TEXT NOT NULL, plate_seq BIGINT NOT NULL, entry BIGINT NOT NULL,
            printer TEXT NOT NULL, sheet TEXT NOT NULL, worked_out_min BIGINT NOT NULL,
            started_at BIGINT NOT NULL, ended_at BIGINT NOT NULL, copies BIGINT NOT NULL,
            good BIGINT NOT NULL, outcome TEXT NOT NULL, end_seen TEXT NOT NULL,
            PRIMARY KEY (region_id, plate_seq),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER finished_runs_stay BEFORE UPDATE ON finished_runs
        BEGIN SELECT RAISE(ABORT, 'finished runs are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER finished_runs_remain BEFORE DELETE ON finished_runs
        BEGIN SELECT RAISE(ABORT, 'finished runs are append-only'); END",
    ),
    (
        On::Pg,
        "CREATE TRIGGER finished_runs_stay BEFORE UPDATE OR DELETE ON finished_runs
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];

/// Programs that hosts have sent for plates, and which runs were timed by one.
const FOURTH: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE plate_programs (
            region_id TEXT NOT NULL, entry BIGINT NOT NULL, plate_seq BIGINT NOT NULL,
            class TEXT NOT NULL, blob TEXT NOT NULL, file_name TEXT NOT NULL,
            worked_out_min BIGINT NOT NULL, levelling_min BIGINT NOT NULL,
            mass_g DOUBLE PRECISION NOT NULL, layers BIGINT NOT NULL,
            not_used TEXT NOT NULL, received_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, entry),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Both,
        "CREATE INDEX plate_programs_by_plate ON plate_programs (region_id, plate_seq, entry)",
    ),
    (
        On::Both,
        "ALTER TABLE finished_runs ADD COLUMN timed_by TEXT NOT NULL DEFAULT 'lines'",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER plate_programs_stay BEFORE UPDATE ON plate_programs
        BEGIN SELECT RAISE(ABORT, 'plate programs are append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER plate_programs_remain BEFORE DELETE ON plate_programs
        BEGIN SELECT RAISE(ABORT, 'plate programs are append-only'); END",
    ),
    (
        On::Pg,
        "CREATE TRIGGER plate_programs_stay BEFORE UPDATE OR DELETE ON plate_programs
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];

/// What is looked for again and again among thousands of rows: the states of plates, which stand
/// behind their long documents, and the pledge of a request.
const FIFTH: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS plates_by_state ON plates (region_id, state, seq)",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS pledges_by_request ON pledges (region_id, request_id, kind)",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS run_steps_by_entry ON run_steps (region_id, entry)",
    ),
];

/// Copies that went on a plate which was there already: its number.
const SIXTH: &[(On, &str)] = &[(On::Both, "ALTER TABLE plates ADD COLUMN joins BIGINT")];

sql! {
    TABLES_PG[Pg] = "SELECT COUNT(*) FROM information_schema.tables
        WHERE table_schema = current_schema() AND table_name = 'schema_steps'";
    TABLES_SQLITE[Sqlite] = "SELECT COUNT(*) FROM sqlite_master
        WHERE type = 'table' AND name = 'schema_steps'";
    /// Two servers starting at once: the second waits here until the first has committed.
    WAIT[Pg] = "SELECT CAST(pg_advisory_xact_lock(8717001) AS TEXT)";
    LAST = "SELECT CAST(COALESCE(MAX(step), 0) AS BIGINT) FROM schema_steps";
    ADD = "INSERT INTO schema_steps (step) VALUES ($1)";
}

const STEP_TABLE: &str = "CREATE TABLE IF NOT EXISTS schema_steps (step BIGINT PRIMARY KEY)";

/// Whether the database has our tables, of whatever version.
pub(crate) async fn present(db: &Db) -> Result<bool, StoreError> {
    let sql = match db.engine() {
        On::Pg => TABLES_PG,
        On::Sqlite | On::Both => TABLES_SQLITE,
    };
    let rows = db.rows(sql, &[]).await?;
    Ok(rows.first().map_or(Ok(0), |row| row.int(0))? > 0)
}

/// Brings the tables up to date; writes nothing when they are.
pub(crate) async fn migrate(db: &Db) -> Result<(), StoreError> {
    let known = i64::try_from(STEPS.len()).unwrap_or(i64::MAX);
    if present(db).await? && version(&db.rows(LAST, &[]).await?)? == known {
        return Ok(());
    }
    let mut tx = db.begin().await?;
    if db.engine() == On::Pg {
        tx.rows(WAIT, &[]).await?;
    }
    tx.run_text(STEP_TABLE, &[]).await?;
    let found = version(&tx.rows(LAST, &[]).await?)?;
    if found > known {
        return Err(StoreError::NewerSchema { found, known });
    }
    let steps = (1..).zip(STEPS).filter(|(number, _)| *number > found);
    for (number, step) in steps {
        run(&mut tx, db.engine(), step).await?;
        tx.run(ADD, values![number]).await?;
    }
    tx.commit().await
}

async fn run(tx: &mut Tx, engine: On, step: &[(On, &'static str)]) -> Result<(), StoreError> {
    for (on, text) in step {
        if *on == On::Both || *on == engine {
            tx.run_text(text, &[]).await?;
        }
    }
    Ok(())
}

fn version(rows: &[crate::db::Row]) -> Result<i64, StoreError> {
    rows.first().map_or(Ok(0), |row| row.int(0))
}
