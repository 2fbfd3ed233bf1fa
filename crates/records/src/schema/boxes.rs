//! The table of boxes' codes.

use crate::db::On;

/// A code is drawn when the box is closed. It is short and shown to the team for days, so it stands
/// here as it is; the log never has it.
pub(super) const BOXES: &[(On, &str)] = &[(
    On::Both,
    "CREATE TABLE IF NOT EXISTS box_codes (
        region_id TEXT NOT NULL, plate_seq BIGINT NOT NULL, code TEXT NOT NULL,
        entry BIGINT NOT NULL,
        PRIMARY KEY (region_id, plate_seq),
        FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq))",
)];
