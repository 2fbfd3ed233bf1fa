//! A mesh, a process sheet and printers in; findings out.
//!
//! [`guess_unit`] decides how large the part is, [`judge()`] says what is wrong or risky about it.
//! Findings are ordinary data: all are collected, none stops the work by itself.

pub mod finding;
mod floors;
pub mod judge;
pub mod layers;
pub mod lessons;
mod shape;
mod size;
mod sources;
mod standing;
pub mod subject;
pub mod unit_guess;
mod words;

pub use finding::{Finding, Severity};
pub use judge::judge;
pub use layers::Cut;
pub use lessons::{Lesson, lesson};
pub use size::too_small;
pub use sources::source_says;
pub use subject::{Bed, Limits, Plastic, Subject};
pub use unit_guess::{UnitJudgement, UnitSource, guess_unit};
