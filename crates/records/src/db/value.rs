//! Values in and rows out, the same for both engines.

use std::str::FromStr;

use sqlx::Row as _;
use sqlx::postgres::PgRow;
use sqlx::sqlite::SqliteRow;

use crate::error::StoreError;

/// A value bound to a statement.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    Int(Option<i64>),
    Text(Option<String>),
    Real(f64),
}

macro_rules! from {
    ($($kind:ty => $make:expr),+ $(,)?) => {$(
        impl From<$kind> for Value {
            fn from(value: $kind) -> Self {
                $make(value)
            }
        }
    )+};
}
from! {
    i64 => |value| Self::Int(Some(value)),
    Option<i64> => Self::Int,
    String => |value| Self::Text(Some(value)),
    &str => |value: &str| Self::Text(Some(value.to_owned())),
    Option<String> => Self::Text,
    f64 => Self::Real,
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

macro_rules! getter {
    ($($name:ident: $kind:ty),+ $(,)?) => {$(
        pub(crate) fn $name(&self, i: usize) -> Result<$kind, StoreError> {
            Ok(match self {
                Self::Sqlite(row) => row.try_get(i)?,
                Self::Pg(row) => row.try_get(i)?,
            })
        }
    )+};
}

impl Row {
    getter! {
        text: String,
        opt_text: Option<String>,
        int: i64,
        opt_int: Option<i64>,
        real: f64,
    }

    /// Anything that was stored as text: an id, a hash, a state.
    pub(crate) fn parsed<T: FromStr>(&self, i: usize, what: &'static str) -> Result<T, StoreError> {
        let text = self.text(i)?;
        text.parse()
            .map_err(|_| StoreError::Damaged { what, why: text })
    }

    /// An id.
    pub(crate) fn id<T: FromStr>(&self, i: usize) -> Result<T, StoreError> {
        self.parsed(i, "id")
    }

    /// A count or a number of ours that is never negative.
    pub(crate) fn count<T: TryFrom<i64>>(&self, i: usize) -> Result<T, StoreError> {
        let number = self.int(i)?;
        T::try_from(number).map_err(|_| StoreError::Damaged {
            what: "number",
            why: number.to_string(),
        })
    }
}
