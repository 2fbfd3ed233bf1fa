//! Spools: what came, what was done with each, what scales said, what runs took, what is promised.

use crate::db::On;

/// Has both engines refuse to change or remove a row of these tables.
macro_rules! append_only {
    ($before:tt, $($table:literal),+) => {
        append_only!(@list $before, $((
            On::Sqlite,
            concat!(
                "CREATE TRIGGER ", $table, "_stay BEFORE UPDATE ON ", $table,
                " BEGIN SELECT RAISE(ABORT, '", $table, " is append-only'); END"
            ),
        ), (
            On::Sqlite,
            concat!(
                "CREATE TRIGGER ", $table, "_remain BEFORE DELETE ON ", $table,
                " BEGIN SELECT RAISE(ABORT, '", $table, " is append-only'); END"
            ),
        ), (
            On::Pg,
            concat!(
                "CREATE TRIGGER ", $table, "_stay BEFORE UPDATE OR DELETE ON ", $table,
                " FOR EACH ROW EXECUTE FUNCTION append_only()"
            ),
        )),+)
    };
    (@list [$($before:expr),+ $(,)?], $($trigger:expr),+) => { &[$($before,)+ $($trigger),+] };
}

/// The ninth step. Nothing in these tables is ever changed; how a spool stands is worked out.
pub(super) const TABLES: &[(On, &str)] = append_only!(
    [
        (
            On::Both,
            "CREATE TABLE spools (
                region_id TEXT NOT NULL REFERENCES regions (region_id), number BIGINT NOT NULL,
                spool_id TEXT NOT NULL, host TEXT NOT NULL, material TEXT NOT NULL,
                colour TEXT NOT NULL, net_g BIGINT NOT NULL, tare_g BIGINT, donor TEXT NOT NULL,
                received_at BIGINT NOT NULL, entry BIGINT NOT NULL,
                PRIMARY KEY (region_id, number), UNIQUE (region_id, spool_id))",
        ),
        (
            On::Both,
            "CREATE TABLE spool_steps (
                region_id TEXT NOT NULL, entry BIGINT NOT NULL, spool BIGINT NOT NULL,
                at BIGINT NOT NULL, deed TEXT NOT NULL, detail TEXT NOT NULL,
                PRIMARY KEY (region_id, entry, spool, deed),
                FOREIGN KEY (region_id, spool) REFERENCES spools (region_id, number))",
        ),
        (
            On::Both,
            "CREATE TABLE spool_readings (
                region_id TEXT NOT NULL, entry BIGINT NOT NULL, spool BIGINT NOT NULL,
                at BIGINT NOT NULL, net_g BIGINT NOT NULL, gross_g BIGINT,
                PRIMARY KEY (region_id, entry, spool),
                FOREIGN KEY (region_id, spool) REFERENCES spools (region_id, number))",
        ),
        (
            On::Both,
            "CREATE TABLE spool_uses (
                region_id TEXT NOT NULL, plate_seq BIGINT NOT NULL, spool BIGINT NOT NULL,
                from_ms BIGINT NOT NULL, until_ms BIGINT NOT NULL, used_mg BIGINT NOT NULL,
                entry BIGINT NOT NULL,
                PRIMARY KEY (region_id, plate_seq, spool, from_ms, entry),
                FOREIGN KEY (region_id, plate_seq) REFERENCES plates (region_id, seq),
                FOREIGN KEY (region_id, spool) REFERENCES spools (region_id, number))",
        ),
        (
            On::Both,
            "CREATE TABLE spool_deliveries (
                region_id TEXT NOT NULL REFERENCES regions (region_id), number BIGINT NOT NULL,
                host TEXT NOT NULL, material TEXT NOT NULL, spools BIGINT NOT NULL,
                net_g BIGINT NOT NULL, due_min BIGINT NOT NULL, donor TEXT NOT NULL,
                entry BIGINT NOT NULL,
                PRIMARY KEY (region_id, number))",
        ),
        (
            On::Both,
            "CREATE TABLE spool_delivery_ends (
                region_id TEXT NOT NULL, number BIGINT NOT NULL, how TEXT NOT NULL,
                entry BIGINT NOT NULL,
                PRIMARY KEY (region_id, number),
                FOREIGN KEY (region_id, number) REFERENCES spool_deliveries (region_id, number))",
        ),
    ],
    "spools",
    "spool_steps",
    "spool_readings",
    "spool_uses",
    "spool_deliveries",
    "spool_delivery_ends"
);
