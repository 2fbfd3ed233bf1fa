//! The tables of printers that say themselves what they do.

use crate::db::On;

/// Where the reading of each printer's agent stands; what printers said, each moment once, never
/// edited.
pub(super) const MACHINES: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS machine_watches (
            region_id TEXT NOT NULL REFERENCES regions (region_id), printer TEXT NOT NULL,
            turn BIGINT NOT NULL, document TEXT NOT NULL,
            PRIMARY KEY (region_id, printer))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS machine_moments (
            region_id TEXT NOT NULL, printer TEXT NOT NULL, instance BIGINT NOT NULL,
            sequence BIGINT NOT NULL, says TEXT NOT NULL, at BIGINT NOT NULL, plate_seq BIGINT,
            entry BIGINT NOT NULL,
            PRIMARY KEY (region_id, printer, instance, sequence, at),
            FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS machine_moments_by_time ON machine_moments (region_id, at)",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS machine_moments_by_plate
            ON machine_moments (region_id, plate_seq)",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS machine_moments_stay BEFORE UPDATE ON machine_moments
        BEGIN SELECT RAISE(ABORT, 'what machines said is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS machine_moments_remain BEFORE DELETE ON machine_moments
        BEGIN SELECT RAISE(ABORT, 'what machines said is append-only'); END",
    ),
    (
        On::Pg,
        "CREATE OR REPLACE TRIGGER machine_moments_stay BEFORE UPDATE OR DELETE ON machine_moments
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];
