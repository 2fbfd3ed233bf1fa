//! The tables of critical dimensions and of what was measured of them.

use crate::db::On;

/// What was measured stays as it was read. What a dimension is called are its team's own words: nothing
/// changes them yet, but whoever keeps a server can, so no trigger keeps those rows.
pub(super) const MEASURES: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS critical_dimensions (
            region_id TEXT NOT NULL, request_id TEXT NOT NULL, n BIGINT NOT NULL,
            what TEXT NOT NULL, nominal_um BIGINT NOT NULL, lower_um BIGINT NOT NULL,
            upper_um BIGINT NOT NULL,
            PRIMARY KEY (region_id, request_id, n),
            FOREIGN KEY (region_id, request_id) REFERENCES requests (region_id, request_id))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS measured (
            region_id TEXT NOT NULL, entry BIGINT NOT NULL, copy_id TEXT NOT NULL,
            n BIGINT NOT NULL, plate_seq BIGINT NOT NULL, value_um BIGINT, not_measured TEXT,
            PRIMARY KEY (region_id, entry, copy_id, n),
            CHECK ((value_um IS NULL) <> (not_measured IS NULL)),
            FOREIGN KEY (region_id, copy_id) REFERENCES copies (region_id, copy_id))",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS measured_stays BEFORE UPDATE ON measured
        BEGIN SELECT RAISE(ABORT, 'what was measured is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS measured_remains BEFORE DELETE ON measured
        BEGIN SELECT RAISE(ABORT, 'what was measured is append-only'); END",
    ),
    (
        On::Pg,
        "CREATE OR REPLACE TRIGGER measured_stays BEFORE UPDATE OR DELETE ON measured
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];
