//! The tables of other programs: tokens by which they ask, addresses that are told.

use crate::db::On;

/// Tokens in somebody's name, addresses to be told, and what those answered.
pub(super) const PROGRAMS: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS tokens (
            region_id TEXT NOT NULL, token_id TEXT NOT NULL, token_hash TEXT NOT NULL,
            kind TEXT NOT NULL, person_id TEXT NOT NULL, role TEXT NOT NULL, scope TEXT NOT NULL,
            name TEXT NOT NULL, made_at BIGINT NOT NULL, seen_at BIGINT, ends_at BIGINT NOT NULL,
            stopped_at BIGINT,
            PRIMARY KEY (region_id, token_id), UNIQUE (region_id, token_hash),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS tokens_by_person ON tokens (region_id, person_id)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS hooks (
            region_id TEXT NOT NULL REFERENCES regions (region_id), hook_id TEXT NOT NULL,
            address TEXT NOT NULL, kinds TEXT NOT NULL, secret TEXT NOT NULL,
            after_entry BIGINT NOT NULL, made_at BIGINT NOT NULL, stopped_at BIGINT,
            PRIMARY KEY (region_id, hook_id))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS hook_tries (
            region_id TEXT NOT NULL, hook_id TEXT NOT NULL, entry BIGINT NOT NULL,
            attempt BIGINT NOT NULL, at BIGINT NOT NULL, answer TEXT NOT NULL,
            PRIMARY KEY (region_id, hook_id, entry, attempt),
            FOREIGN KEY (region_id, hook_id) REFERENCES hooks (region_id, hook_id))",
    ),
];
