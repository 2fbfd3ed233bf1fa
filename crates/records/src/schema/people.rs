//! The tables of people: the only ones that hold anything personal.
//!
//! Whatever else is kept names people by their id alone, so that erasing a row here is enough.

use crate::db::On;

/// Persons, what they do, where they are signed in, codes handed out, tries that were counted.
pub(super) const PEOPLE: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS persons (
            region_id TEXT NOT NULL REFERENCES regions (region_id), person_id TEXT NOT NULL,
            kind TEXT NOT NULL, name TEXT NOT NULL, email TEXT, secret TEXT,
            language TEXT NOT NULL, since BIGINT NOT NULL, left_at BIGINT,
            PRIMARY KEY (region_id, person_id), UNIQUE (region_id, email))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS person_roles (
            region_id TEXT NOT NULL, person_id TEXT NOT NULL, role TEXT NOT NULL,
            scope TEXT NOT NULL, given_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, person_id, role, scope),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS person_roles_by_scope ON person_roles (region_id, role, scope)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS sign_ins (
            region_id TEXT NOT NULL, token_hash TEXT NOT NULL, sign_in_id TEXT NOT NULL,
            person_id TEXT NOT NULL, role TEXT NOT NULL, scope TEXT NOT NULL,
            began_at BIGINT NOT NULL, seen_at BIGINT NOT NULL, ends_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, token_hash), UNIQUE (region_id, sign_in_id),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS sign_ins_by_person ON sign_ins (region_id, person_id)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS codes (
            region_id TEXT NOT NULL REFERENCES regions (region_id), code_id TEXT NOT NULL,
            code_hash TEXT NOT NULL, kind TEXT NOT NULL, role TEXT NOT NULL, scope TEXT NOT NULL,
            person_id TEXT, made_by TEXT, made_at BIGINT NOT NULL, expires_at BIGINT,
            uses_left BIGINT, stopped_at BIGINT,
            PRIMARY KEY (region_id, code_id), UNIQUE (region_id, kind, code_hash))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS codes_by_person ON codes (region_id, person_id)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS tries (
            region_id TEXT NOT NULL, bucket TEXT NOT NULL, used BIGINT NOT NULL,
            until BIGINT NOT NULL, PRIMARY KEY (region_id, bucket))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS daily_salts (
            region_id TEXT NOT NULL, day BIGINT NOT NULL, salt TEXT NOT NULL,
            PRIMARY KEY (region_id, day))",
    ),
];
