//! Statements: one text each, for both engines or for one of them.

/// Which engine a statement is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum On {
    Both,
    Sqlite,
    Pg,
}

/// A statement. Made only by [`sql!`], which also puts it on its file's list, so that
/// [`crate::Store::prepare_all`] has seen every statement there is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sql {
    pub(crate) name: &'static str,
    pub(crate) text: &'static str,
    pub(crate) on: On,
}

/// Declares statements and the list `STATEMENTS` of all of them.
macro_rules! sql {
    ($($(#[$doc:meta])* $name:ident $([$on:ident])? = $text:expr;)+) => {
        $($(#[$doc])* const $name: $crate::db::Sql = $crate::db::Sql {
            name: stringify!($name),
            text: $text,
            on: $crate::db::sql!(@on $($on)?),
        };)+
        pub(crate) const STATEMENTS: &[$crate::db::Sql] = &[$($name),+];
    };
    (@on) => { $crate::db::On::Both };
    (@on $on:ident) => { $crate::db::On::$on };
}
pub(crate) use sql;
