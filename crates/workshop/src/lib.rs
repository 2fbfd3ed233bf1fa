//! Use cases: who may do what, transactions, translation between stages.
//!
//! Stages know nothing of each other's words beyond the product they take; here a file becomes
//! facts and findings ([`intake`]), an estimate ([`estimating`]), a menu of plates ([`plating`]),
//! a question to planning ([`pledging`]) and rows in the store.

pub mod actor;
pub mod bench;
pub mod books;
pub mod boxes;
pub mod calendar;
pub mod capacity;
pub mod closures;
pub mod doubts;
pub mod error;
pub mod estimating;
mod happened;
pub mod hooks;
pub mod hub;
pub mod intake;
pub mod keeping;
pub mod laying_out;
pub mod learning;
pub mod machines;
pub mod mail;
pub mod measuring;
pub mod notices;
pub mod people;
pub mod plan_room;
pub mod plate_room;
pub mod plating;
pub mod pledging;
pub mod programs;
pub mod recalls;
pub mod region_data;
pub mod replanning;
pub mod review;
pub mod rights;
pub mod risks;
pub mod run_sheet;
pub mod season_days;
pub mod sending;
pub mod session;
pub mod shares;
pub mod shelf;
pub mod showing;
pub mod so_far;
pub mod spent;
pub mod spools;
pub mod taking;
pub mod terrain;
pub mod what_if;
pub mod why;
mod words;
pub mod wrong_unit;

pub use actor::{Actor, Role};
pub use books::Books;
pub use error::{WorkshopError, whom};
pub use partpledge_catalogue::{caution_says, class_says, sheet_says};
pub use session::Session;
pub use terrain::{place_said, place_says};

/// Version of everything that judges, estimates and plans; results are kept under it.
pub const ENGINE: &str = "4";
