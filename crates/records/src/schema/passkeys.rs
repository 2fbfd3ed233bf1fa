//! Passkeys of adults, and challenges that browsers have not answered yet.

use crate::db::On;

/// A passkey's public half is no secret. A challenge with a sign-in is to add one, without to sign in.
pub(super) const PASSKEYS: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS passkeys (
            region_id TEXT NOT NULL, passkey_id TEXT NOT NULL, person_id TEXT NOT NULL,
            credential TEXT NOT NULL, public_key TEXT NOT NULL, counter BIGINT NOT NULL,
            backup TEXT NOT NULL, name TEXT NOT NULL, added_at BIGINT NOT NULL, used_at BIGINT,
            PRIMARY KEY (region_id, passkey_id), UNIQUE (region_id, credential),
            FOREIGN KEY (region_id, person_id) REFERENCES persons (region_id, person_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS passkeys_by_person ON passkeys (region_id, person_id)",
    ),
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS passkey_challenges (
            region_id TEXT NOT NULL REFERENCES regions (region_id), challenge TEXT NOT NULL,
            sign_in_id TEXT, state TEXT NOT NULL, expires_at BIGINT NOT NULL,
            PRIMARY KEY (region_id, challenge))",
    ),
];
