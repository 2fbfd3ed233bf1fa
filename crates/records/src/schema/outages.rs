//! Printers that can be used again before the moment that was given.

use crate::db::On;

/// When a printer could be used again; never changed. An outage of it that was told before ends then.
pub(super) const OUTAGES: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS outage_ends (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            printer TEXT NOT NULL, at_min BIGINT NOT NULL,
            PRIMARY KEY (region_id, entry))",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS outage_ends_stay BEFORE UPDATE ON outage_ends
        BEGIN SELECT RAISE(ABORT, 'outage_ends is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS outage_ends_remain BEFORE DELETE ON outage_ends
        BEGIN SELECT RAISE(ABORT, 'outage_ends is append-only'); END",
    ),
    (
        On::Pg,
        "CREATE OR REPLACE TRIGGER outage_ends_stay BEFORE UPDATE OR DELETE ON outage_ends
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];
