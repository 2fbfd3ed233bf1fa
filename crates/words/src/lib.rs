//! What people read: messages of the Fluent files, in the tongue of whoever reads.
//!
//! A sentence is data until it is shown: a [`Said`] has the name of its message and what goes into it.
//! It becomes text in the tongue that is being spoken ([`within`], [`Speaking`]); English where nobody said
//! otherwise, as on the command line and in what programs read. The messages stand in `en/` and `de/`,
//! one file for each part of the house; the tests hold the two against each other, and against the code.

mod bundles;
pub mod dates;
mod markup;
mod said;
mod tongue;
mod value;

pub use bundles::{AREAS, area};
pub use markup::Markup;
pub use said::{Said, say};
pub use tongue::{Speaking, Tongue, within};
pub use value::{ToValue, Value, clause, decimal, grouped, short};

/// Text of a message in the tongue being spoken: `say!("plate-failed", plate = 7, printer = name)`.
#[macro_export]
macro_rules! say {
    ($id:literal $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::say($id)$(.with(stringify!($name), &$value))*.to_string()
    };
}

/// The same as data, to be kept and said later: `said!("plate-failed", plate = 7)`.
#[macro_export]
macro_rules! said {
    ($id:literal $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::say($id)$(.with(stringify!($name), &$value))*
    };
}
