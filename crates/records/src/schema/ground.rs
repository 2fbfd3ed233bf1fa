//! What the region stands on: schools closed for a while, and the region file as it was changed.

use crate::db::On;

/// Closures and revisions of the region file; neither is ever changed. A closure is lifted by a row
/// that takes its entry back.
pub(super) const GROUND: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS site_closures (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            school TEXT NOT NULL, from_min BIGINT NOT NULL, until_min BIGINT NOT NULL,
            reason TEXT NOT NULL, at BIGINT NOT NULL,
            PRIMARY KEY (region_id, entry, school))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS region_files (
            region_id TEXT NOT NULL REFERENCES regions (region_id), revision BIGINT NOT NULL,
            entry BIGINT NOT NULL, actor TEXT NOT NULL, at BIGINT NOT NULL, reason TEXT NOT NULL,
            document TEXT NOT NULL,
            PRIMARY KEY (region_id, revision))",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS site_closures_stay BEFORE UPDATE ON site_closures
        BEGIN SELECT RAISE(ABORT, 'site_closures is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS site_closures_remain BEFORE DELETE ON site_closures
        BEGIN SELECT RAISE(ABORT, 'site_closures is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS region_files_stay BEFORE UPDATE ON region_files
        BEGIN SELECT RAISE(ABORT, 'region_files is append-only'); END",
    ),
    (
        On::Sqlite,
        "CREATE TRIGGER IF NOT EXISTS region_files_remain BEFORE DELETE ON region_files
        BEGIN SELECT RAISE(ABORT, 'region_files is append-only'); END",
    ),
    (
        On::Pg,
        "CREATE OR REPLACE TRIGGER site_closures_stay BEFORE UPDATE OR DELETE ON site_closures
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
    (
        On::Pg,
        "CREATE OR REPLACE TRIGGER region_files_stay BEFORE UPDATE OR DELETE ON region_files
        FOR EACH ROW EXECUTE FUNCTION append_only()",
    ),
];
