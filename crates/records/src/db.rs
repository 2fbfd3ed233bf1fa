//! One SQL text a query on two engines: values in, rows out, nothing engine-specific above.

use std::path::Path;
use std::time::Duration;

use sqlx::postgres::{PgPool, PgPoolOptions, PgRow};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteRow,
    SqliteSynchronous,
};
use sqlx::{Postgres, Row as _, Sqlite, Transaction};

use crate::error::StoreError;

/// A value bound to a statement.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    Int(Option<i64>),
    Text(Option<String>),
    Real(f64),
}

impl From<i64> for Value {
    fn from(value: i64) -> Self {
        Self::Int(Some(value))
    }
}
impl From<Option<i64>> for Value {
    fn from(value: Option<i64>) -> Self {
        Self::Int(value)
    }
}
impl From<String> for Value {
    fn from(value: String) -> Self {
        Self::Text(Some(value))
    }
}
impl From<&str> for Value {
    fn from(value: &str) -> Self {
        Self::Text(Some(value.to_owned()))
    }
}
impl From<Option<String>> for Value {
    fn from(value: Option<String>) -> Self {
        Self::Text(value)
    }
}
impl From<f64> for Value {
    fn from(value: f64) -> Self {
        Self::Real(value)
    }
}

/// Binds a list of anything that is a [`Value`].
macro_rules! values {
    ($($value:expr),* $(,)?) => { &[$($crate::db::Value::from($value)),*] };
}
pub(crate) use values;

/// A row of either engine.
pub(crate) enum Row {
    Sqlite(SqliteRow),
    Pg(PgRow),
}

impl Row {
    pub(crate) fn text(&self, i: usize) -> Result<String, StoreError> {
        Ok(match self {
            Self::Sqlite(row) => row.try_get(i)?,
            Self::Pg(row) => row.try_get(i)?,
        })
    }

    pub(crate) fn int(&self, i: usize) -> Result<i64, StoreError> {
        Ok(match self {
            Self::Sqlite(row) => row.try_get(i)?,
            Self::Pg(row) => row.try_get(i)?,
        })
    }

    pub(crate) fn real(&self, i: usize) -> Result<f64, StoreError> {
        Ok(match self {
            Self::Sqlite(row) => row.try_get(i)?,
            Self::Pg(row) => row.try_get(i)?,
        })
    }

    /// An id, parsed.
    pub(crate) fn id<T: std::str::FromStr>(&self, i: usize) -> Result<T, StoreError> {
        let text = self.text(i)?;
        text.parse().map_err(|_| StoreError::Damaged {
            what: "id",
            why: text,
        })
    }
}

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
    pub(crate) async fn open_sqlite(file: &Path) -> Result<Self, StoreError> {
        let options = SqliteConnectOptions::new()
            .filename(file)
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true)
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
        Ok(Self::Pg(
            PgPoolOptions::new().max_connections(8).connect(url).await?,
        ))
    }

    pub(crate) fn is_pg(&self) -> bool {
        matches!(self, Self::Pg(_))
    }

    /// Starts to write.
    pub(crate) async fn begin(&self) -> Result<Tx, StoreError> {
        Ok(match self {
            Self::Sqlite { write, .. } => Tx::Sqlite(write.begin_with("BEGIN IMMEDIATE").await?),
            Self::Pg(pool) => Tx::Pg(pool.begin().await?),
        })
    }

    /// Rows, outside any transaction.
    pub(crate) async fn rows(
        &self,
        sql: &'static str,
        values: &[Value],
    ) -> Result<Vec<Row>, StoreError> {
        Ok(match self {
            Self::Sqlite { read, .. } => {
                let rows = bind_sqlite(sql, values).fetch_all(read).await?;
                rows.into_iter().map(Row::Sqlite).collect()
            }
            Self::Pg(pool) => {
                let rows = bind_pg(sql, values).fetch_all(pool).await?;
                rows.into_iter().map(Row::Pg).collect()
            }
        })
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
    pub(crate) async fn run(
        &mut self,
        sql: &'static str,
        values: &[Value],
    ) -> Result<u64, StoreError> {
        Ok(match self {
            Self::Sqlite(tx) => bind_sqlite(sql, values)
                .execute(&mut **tx)
                .await?
                .rows_affected(),
            Self::Pg(tx) => bind_pg(sql, values)
                .execute(&mut **tx)
                .await?
                .rows_affected(),
        })
    }

    /// Rows as this transaction sees them.
    pub(crate) async fn rows(
        &mut self,
        sql: &'static str,
        values: &[Value],
    ) -> Result<Vec<Row>, StoreError> {
        Ok(match self {
            Self::Sqlite(tx) => {
                let rows = bind_sqlite(sql, values).fetch_all(&mut **tx).await?;
                rows.into_iter().map(Row::Sqlite).collect()
            }
            Self::Pg(tx) => {
                let rows = bind_pg(sql, values).fetch_all(&mut **tx).await?;
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
