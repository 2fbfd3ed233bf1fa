//! One SQL text a query on two engines: values in, rows out, nothing engine-specific above.

mod sql;
mod value;

use std::path::Path;
use std::time::Duration;

use sqlx::postgres::{PgPool, PgPoolOptions};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{Executor as _, Postgres, SqlSafeStr as _, Sqlite, Transaction};

use crate::error::StoreError;

pub(crate) use sql::{On, Sql, sql};
pub(crate) use value::{Row, Value, values};

/// The two engines.
#[derive(Clone, Debug)]
pub(crate) enum Db {
    /// One connection writes, with `BEGIN IMMEDIATE`; others only read. A plain `BEGIN` gave 915
    /// busy errors in 2,000 (measured, see the reference README).
    Sqlite { read: SqlitePool, write: SqlitePool },
    /// A pool.
    Pg(PgPool),
}

impl Db {
    /// Opens a file that is there, or makes an empty one.
    pub(crate) async fn open_sqlite(file: &Path) -> Result<Self, StoreError> {
        let options = SqliteConnectOptions::new()
            .filename(file)
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true)
            // What is deleted is overwritten: a file that is copied must not hold whom we erased.
            .pragma("secure_delete", "ON")
            .busy_timeout(Duration::from_secs(30));
        let write = SqlitePoolOptions::new()
            .max_connections(1)
            .connect_with(options.clone())
            .await?;
        let read = SqlitePoolOptions::new()
            .max_connections(4)
            .connect_with(options.read_only(true).create_if_missing(false))
            .await?;
        Ok(Self::Sqlite { read, write })
    }

    pub(crate) async fn open_pg(url: &str) -> Result<Self, StoreError> {
        let pool = PgPoolOptions::new().max_connections(8).connect(url).await?;
        Ok(Self::Pg(pool))
    }

    /// Which engine this is.
    pub(crate) fn engine(&self) -> On {
        match self {
            Self::Sqlite { .. } => On::Sqlite,
            Self::Pg(_) => On::Pg,
        }
    }

    /// Starts to write.
    pub(crate) async fn begin(&self) -> Result<Tx, StoreError> {
        Ok(match self {
            Self::Sqlite { write, .. } => Tx::Sqlite(write.begin_with("BEGIN IMMEDIATE").await?),
            Self::Pg(pool) => Tx::Pg(pool.begin().await?),
        })
    }

    /// Runs one statement in a transaction of its own; how many rows it changed.
    pub(crate) async fn alone(&self, sql: Sql, values: &[Value]) -> Result<u64, StoreError> {
        let mut tx = self.begin().await?;
        let rows = tx.run(sql, values).await?;
        tx.commit().await?;
        Ok(rows)
    }

    /// Starts to read: several statements see one and the same moment.
    pub(crate) async fn snapshot(&self) -> Result<Tx, StoreError> {
        const BEGIN: &str = "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY";
        Ok(match self {
            Self::Sqlite { read, .. } => Tx::Sqlite(read.begin().await?),
            Self::Pg(pool) => Tx::Pg(pool.begin_with(BEGIN).await?),
        })
    }

    /// Rows, outside any transaction.
    pub(crate) async fn rows(&self, sql: Sql, values: &[Value]) -> Result<Vec<Row>, StoreError> {
        Ok(match self {
            Self::Sqlite { read, .. } => {
                let rows = bind_sqlite(sql.text, values).fetch_all(read).await?;
                rows.into_iter().map(Row::Sqlite).collect()
            }
            Self::Pg(pool) => {
                let rows = bind_pg(sql.text, values).fetch_all(pool).await?;
                rows.into_iter().map(Row::Pg).collect()
            }
        })
    }

    /// Has the engine read a statement without running it.
    pub(crate) async fn prepare(&self, sql: Sql) -> Result<(), StoreError> {
        match self {
            Self::Sqlite { write, .. } => {
                write.prepare(sql.text.into_sql_str()).await?;
            }
            Self::Pg(pool) => {
                pool.prepare(sql.text.into_sql_str()).await?;
            }
        }
        Ok(())
    }

    /// Empties the log beside an `SQLite` file, in which what was changed stands as it was before.
    /// While somebody reads from it, some of it stays.
    pub(crate) async fn forget_log(&self) -> Result<(), StoreError> {
        if let Self::Sqlite { write, .. } = self {
            sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)")
                .fetch_all(write)
                .await?;
        }
        Ok(())
    }

    pub(crate) async fn close(&self) {
        match self {
            Self::Sqlite { read, write } => {
                read.close().await;
                write.close().await;
            }
            Self::Pg(pool) => pool.close().await,
        }
    }
}

/// A transaction; dropped without [`Tx::commit`] it leaves nothing behind.
pub(crate) enum Tx {
    Sqlite(Transaction<'static, Sqlite>),
    Pg(Transaction<'static, Postgres>),
}

impl Tx {
    /// Runs a statement; how many rows it changed.
    pub(crate) async fn run(&mut self, sql: Sql, values: &[Value]) -> Result<u64, StoreError> {
        self.run_text(sql.text, values).await
    }

    /// Runs a step of the schema.
    pub(crate) async fn run_text(
        &mut self,
        text: &'static str,
        values: &[Value],
    ) -> Result<u64, StoreError> {
        Ok(match self {
            Self::Sqlite(tx) => {
                let done = bind_sqlite(text, values).execute(&mut **tx).await?;
                done.rows_affected()
            }
            Self::Pg(tx) => {
                let done = bind_pg(text, values).execute(&mut **tx).await?;
                done.rows_affected()
            }
        })
    }

    /// Rows as this transaction sees them.
    pub(crate) async fn rows(
        &mut self,
        sql: Sql,
        values: &[Value],
    ) -> Result<Vec<Row>, StoreError> {
        Ok(match self {
            Self::Sqlite(tx) => {
                let rows = bind_sqlite(sql.text, values).fetch_all(&mut **tx).await?;
                rows.into_iter().map(Row::Sqlite).collect()
            }
            Self::Pg(tx) => {
                let rows = bind_pg(sql.text, values).fetch_all(&mut **tx).await?;
                rows.into_iter().map(Row::Pg).collect()
            }
        })
    }

    /// Makes it last.
    pub(crate) async fn commit(self) -> Result<(), StoreError> {
        match self {
            Self::Sqlite(tx) => tx.commit().await?,
            Self::Pg(tx) => tx.commit().await?,
        }
        Ok(())
    }
}

macro_rules! binder {
    ($name:ident, $engine:ty) => {
        fn $name<'q>(
            sql: &'static str,
            values: &[Value],
        ) -> sqlx::query::Query<'q, $engine, <$engine as sqlx::Database>::Arguments> {
            values
                .iter()
                .fold(sqlx::query(sql), |query, value| match value.clone() {
                    Value::Int(value) => query.bind(value),
                    Value::Text(value) => query.bind(value),
                    Value::Real(value) => query.bind(value),
                })
        }
    };
}
binder!(bind_sqlite, Sqlite);
binder!(bind_pg, Postgres);
