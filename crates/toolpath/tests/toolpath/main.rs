//! One binary for all tests of the crate: linking many takes longer than running them.

mod closed_forms;
mod corpus;
mod golden;
mod over_air;
mod programs;
mod variants;
