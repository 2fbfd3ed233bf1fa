//! Notices of what matters to somebody, and the messages that would go out by e-mail.
//!
//! All but the first table belong to a person and go with them.

use crate::db::On;

/// How far the log has been gone through, notices by person and role, what of them was seen, who
/// wants e-mail, and every message that would be sent.
pub(super) const NOTICES: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS notices_upto (
            region_id TEXT NOT NULL REFERENCES regions (region_id), entry BIGINT NOT NULL,
            turn BIGINT NOT NULL, last BIGINT NOT NULL, told TEXT NOT NULL,
            PRIMARY KEY (region_id))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS notices (
            region_id TEXT NOT NULL, person_id TEXT NOT NULL, n BIGINT NOT NULL,
            role TEXT NOT NULL, scope TEXT NOT NULL, kind TEXT NOT NULL, entry BIGINT NOT NULL,
            at BIGINT NOT NULL, urgent BIGINT NOT NULL, link TEXT NOT NULL, says TEXT NOT NULL,
            message_id TEXT, PRIMARY KEY (region_id, person_id, n),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS notices_by_time ON notices (region_id, at)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS notices_seen (
            region_id TEXT NOT NULL, person_id TEXT NOT NULL, role TEXT NOT NULL,
            scope TEXT NOT NULL, upto BIGINT NOT NULL,
            PRIMARY KEY (region_id, person_id, role, scope),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS mail_choices (
            region_id TEXT NOT NULL, person_id TEXT NOT NULL, choice TEXT NOT NULL,
            PRIMARY KEY (region_id, person_id),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS outbox (
            region_id TEXT NOT NULL, message_id TEXT NOT NULL, person_id TEXT NOT NULL,
            kind TEXT NOT NULL, told_key TEXT NOT NULL, subject TEXT NOT NULL, body TEXT NOT NULL,
            made_at BIGINT NOT NULL, state TEXT NOT NULL, attempts BIGINT NOT NULL,
            run_after BIGINT NOT NULL, failure TEXT, sent_at BIGINT,
            PRIMARY KEY (region_id, message_id), UNIQUE (region_id, person_id, told_key),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS outbox_by_state ON outbox (region_id, state, run_after)",
    ),
];
