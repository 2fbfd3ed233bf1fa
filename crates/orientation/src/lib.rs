//! A mesh in; the build orientations worth showing out.
//!
//! [`choices`] measures the part as it was sent, on each of its six sides and on its largest
//! flat faces, prices each way up by one documented score, and gives the best first.

pub mod choice;
mod faces;
mod rotation;
mod score;

pub use choice::{Choice, choices};
