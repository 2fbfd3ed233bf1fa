//! The tables of benches that students run.

use crate::db::On;

/// Crews with their nicknames; what was said of sign-offs, never edited; who said that they are at the
/// bench, which is forgotten after days; deeds that an adult has to look at.
pub(super) const CREW: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS crew (
            region_id TEXT NOT NULL REFERENCES regions (region_id), crew_id TEXT NOT NULL,
            host TEXT NOT NULL, name TEXT NOT NULL, person_id TEXT, added_at BIGINT NOT NULL,
            left_at BIGINT,
            PRIMARY KEY (region_id, crew_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS crew_by_host ON crew (region_id, host)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS crew_signs (
            region_id TEXT NOT NULL, entry BIGINT NOT NULL, crew_id TEXT NOT NULL,
            task TEXT NOT NULL, class TEXT NOT NULL, at BIGINT NOT NULL, until BIGINT,
            actor TEXT NOT NULL,
            PRIMARY KEY (region_id, entry, crew_id, task, class),
            FOREIGN KEY (region_id, crew_id) REFERENCES crew (region_id, crew_id))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS bench_present (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            host TEXT NOT NULL, at BIGINT NOT NULL, until BIGINT NOT NULL, crew TEXT NOT NULL,
            PRIMARY KEY (region_id, entry))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS bench_adults (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            host TEXT NOT NULL, at BIGINT NOT NULL, until BIGINT NOT NULL, person_id TEXT NOT NULL,
            PRIMARY KEY (region_id, entry))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS adult_looks (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            host TEXT NOT NULL, plate_seq BIGINT NOT NULL, deed TEXT NOT NULL, why TEXT NOT NULL,
            at BIGINT NOT NULL, looked_at BIGINT,
            PRIMARY KEY (region_id, entry))",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS crew_signs_stay BEFORE UPDATE ON crew_signs
        BEGIN SELECT RAISE(ABORT, 'crew_signs is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS crew_signs_remain BEFORE DELETE ON crew_signs
        BEGIN SELECT RAISE(ABORT, 'crew_signs is append-only'); END",
    ),
    (
        On::Pg,
        "CREATE OR REPLACE TRIGGER crew_signs_stay BEFORE UPDATE OR DELETE ON crew_signs
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];
