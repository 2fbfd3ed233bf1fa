//! A mesh in; the build orientations worth showing out.
//!
//! [`choices`] measures the part as it was sent, on each of its six sides, on its largest flat
//! faces, on the outer points that its hull stands on, along its own axes and tilted all round;
//! it prices each way up by one documented score, marks those that no other beats in everything,
//! and gives the best first. [`differences`] says in numbers what another way would change.

mod bins;
mod candidates;
pub mod choice;
mod columns;
mod directions;
mod faces;
mod footprint;
mod front;
mod hull;
mod mass;
mod measure;
mod outline_faces;
mod rotation;
mod score;
#[cfg(test)]
mod shapes;
mod time;
mod vector;
mod words;

pub use choice::{Choice, LoadCheck, Question, as_decided, choices, choices_for, shown};
pub use footprint::BedFit;
pub use time::TimeRule;
pub use words::{differences, measures_in_words};
