//! What a case stands on: a fresh store, and the same database seen without it.

use std::ops::Deref;
use std::path::PathBuf;

use partpledge_records::{Store, StoreError};
use sqlx::{AssertSqlSafe, Connection, PgConnection, SqliteConnection};

use super::postgres;

/// A fresh store of one engine.
pub(crate) struct Ground {
    store: Store,
    raw: Raw,
    dir: tempfile::TempDir,
}

enum Raw {
    Sqlite(String),
    Pg(String),
}

type Nine = (i64, i64, i64, i64, i64, i64, i64, i64, i64);

impl Deref for Ground {
    type Target = Store;
    fn deref(&self) -> &Store {
        &self.store
    }
}

impl Ground {
    /// On a data directory.
    pub(crate) async fn sqlite() -> Self {
        let dir = tempfile::tempdir().expect("a temporary folder");
        let data = dir.path().join("data");
        let store = Store::open_dir(&data).await.expect("a new directory opens");
        let raw = Raw::Sqlite(data.join("partpledge.sqlite").display().to_string());
        Self { store, raw, dir }
    }

    /// On a database of the server, if there is one.
    pub(crate) async fn postgres() -> Option<Self> {
        let server = postgres::server().await?;
        let dir = tempfile::tempdir().expect("a temporary folder");
        let url = server.fresh_database().await;
        let store = Store::connect_pg(&url, &dir.path().join("blobs")).await;
        Some(Self {
            store: store.expect("a new database opens"),
            raw: Raw::Pg(url),
            dir,
        })
    }

    /// The folder of original files.
    pub(crate) fn blobs(&self) -> PathBuf {
        match self.raw {
            Raw::Sqlite(_) => self.dir.path().join("data/blobs"),
            Raw::Pg(_) => self.dir.path().join("blobs"),
        }
    }

    /// Another program opening the same store.
    pub(crate) async fn reopened(&self) -> Store {
        self.try_reopened().await.expect("it opens again")
    }

    pub(crate) async fn try_reopened(&self) -> Result<Store, StoreError> {
        match &self.raw {
            Raw::Sqlite(_) => Store::open_dir(&self.dir.path().join("data")).await,
            Raw::Pg(url) => Store::connect_pg(url, &self.blobs()).await,
        }
    }

    /// From now on no row can be added to the pledges.
    pub(crate) async fn fail_on_pledges(&self) {
        let statements: &[&str] = match &self.raw {
            Raw::Sqlite(_) => &["CREATE TRIGGER full BEFORE INSERT ON pledges
                BEGIN SELECT RAISE(ABORT, 'full'); END"],
            Raw::Pg(_) => &[
                "CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS
                    $$ BEGIN RAISE EXCEPTION 'full'; END $$",
                "CREATE TRIGGER full_disk BEFORE INSERT ON pledges
                    FOR EACH ROW EXECUTE FUNCTION full_disk()",
            ],
        };
        for sql in statements {
            self.run(sql).await.expect("a trigger can be made");
        }
    }

    /// Runs a statement behind the store's back.
    pub(crate) async fn run(&self, sql: &str) -> Result<u64, sqlx::Error> {
        let sql = AssertSqlSafe(sql.to_owned());
        match &self.raw {
            Raw::Sqlite(file) => {
                let mut connection = SqliteConnection::connect(file).await?;
                Ok(sqlx::query(sql)
                    .execute(&mut connection)
                    .await?
                    .rows_affected())
            }
            Raw::Pg(url) => {
                let mut connection = PgConnection::connect(url).await?;
                Ok(sqlx::query(sql)
                    .execute(&mut connection)
                    .await?
                    .rows_affected())
            }
        }
    }

    /// How many rows there are in each table that giving writes, and the region's counters.
    pub(crate) async fn rows_of_giving(&self) -> Vec<i64> {
        let sql = "SELECT * FROM (SELECT COUNT(*) AS a FROM requests) q,
            (SELECT COUNT(*) AS b FROM copies) c, (SELECT COUNT(*) AS d FROM plates) p,
            (SELECT COUNT(*) AS e FROM plan_revisions) v, (SELECT COUNT(*) AS f FROM pledges) g,
            (SELECT COUNT(*) AS h FROM events) x, (SELECT head, next_seq, entries FROM regions) r";
        let row: Result<Nine, sqlx::Error> = match &self.raw {
            Raw::Sqlite(file) => {
                let mut connection = SqliteConnection::connect(file).await.expect("it is there");
                sqlx::query_as(sql).fetch_one(&mut connection).await
            }
            Raw::Pg(url) => {
                let mut connection = PgConnection::connect(url).await.expect("it is there");
                sqlx::query_as(sql).fetch_one(&mut connection).await
            }
        };
        let (a, b, c, d, e, f, g, h, i) = row.expect("one region");
        vec![a, b, c, d, e, f, g, h, i]
    }
}
