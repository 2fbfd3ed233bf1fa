//! The table of notes on requests.

use crate::db::On;

/// No trigger keeps rows as they are: free words about somebody may have to be blanked.
pub(super) const NOTES: &[(On, &str)] = &[
    (
        On::Both,
        "CREATE TABLE IF NOT EXISTS request_notes (
            region_id TEXT NOT NULL, entry BIGINT NOT NULL, n BIGINT NOT NULL,
            request_id TEXT NOT NULL, kind TEXT NOT NULL, role TEXT NOT NULL, at BIGINT NOT NULL,
            reason TEXT NOT NULL, words TEXT NOT NULL, hints TEXT NOT NULL,
            PRIMARY KEY (region_id, entry, n),
            FOREIGN KEY (region_id, request_id) REFERENCES requests (region_id, request_id))",
    ),
    (
        On::Both,
        "CREATE INDEX IF NOT EXISTS request_notes_by_request
            ON request_notes (region_id, request_id, entry)",
    ),
];
