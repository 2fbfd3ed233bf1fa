//! Deeds that were taken back: nothing is removed, a row says so, and readers pass over what it names.

use crate::db::On;

/// A step can be taken again after it was taken back, so that tables which held one row a plate hold
/// one for each deed.
pub(super) const UNDO: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE taken_back (
            region_id TEXT NOT NULL REFERENCES regions (region_id), undoes BIGINT NOT NULL,
            entry BIGINT NOT NULL, PRIMARY KEY (region_id, undoes))",
    ),
    (
        On::Both,
        "CREATE TABLE run_steps_again (
            region_id TEXT NOT NULL, plate_seq BIGINT NOT NULL, step TEXT NOT NULL,
            printer TEXT NOT NULL, at BIGINT NOT NULL, actor TEXT NOT NULL,
            document TEXT NOT NULL, entry BIGINT NOT NULL,
            PRIMARY KEY (region_id, plate_seq, step, entry),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Both,
        "INSERT INTO run_steps_again (region_id, plate_seq, step, printer, at, actor, document, entry)
            SELECT region_id, plate_seq, step, printer, at, actor, document, entry FROM run_steps",
    ),
    (On::Both, "DROP TABLE run_steps"),
    (On::Both, "ALTER TABLE run_steps_again RENAME TO run_steps"),
    (
        On::Both,
        "CREATE INDEX run_steps_by_entry ON run_steps (region_id, entry)",
    ),
    (
        On::Both,
        "CREATE TABLE finished_runs_again (
            region_id TEXT NOT NULL, plate_seq BIGINT NOT NULL, entry BIGINT NOT NULL,
            printer TEXT NOT NULL, sheet TEXT NOT NULL, worked_out_min BIGINT NOT NULL,
            started_at BIGINT NOT NULL, ended_at BIGINT NOT NULL, copies BIGINT NOT NULL,
            good BIGINT NOT NULL, outcome TEXT NOT NULL, end_seen TEXT NOT NULL,
            timed_by TEXT NOT NULL DEFAULT 'lines',
            PRIMARY KEY (region_id, plate_seq, entry),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Both,
        "INSERT INTO finished_runs_again (region_id, plate_seq, entry, printer, sheet,
                worked_out_min, started_at, ended_at, copies, good, outcome, end_seen, timed_by)
            SELECT region_id, plate_seq, entry, printer, sheet, worked_out_min, started_at,
                ended_at, copies, good, outcome, end_seen, timed_by FROM finished_runs",
    ),
    (On::Both, "DROP TABLE finished_runs"),
    (
        On::Both,
        "ALTER TABLE finished_runs_again RENAME TO finished_runs",
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
        On::Sqlite,
        "CREATE TRIGGER taken_back_stay BEFORE UPDATE ON taken_back
        BEGIN SELECT RAISE(ABORT, 'what was taken back is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER taken_back_remain BEFORE DELETE ON taken_back
        BEGIN SELECT RAISE(ABORT, 'what was taken back is append-only'); END",
    ),
    (
        On::Pg,
        "CREATE TRIGGER finished_runs_stay BEFORE UPDATE OR DELETE ON finished_runs
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
    (
        On::Pg,
        "CREATE TRIGGER taken_back_stay BEFORE UPDATE OR DELETE ON taken_back
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];
