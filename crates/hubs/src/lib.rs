//! A bench that students run as a small factory, with adults responsible.
//!
//! Sign-offs and who is present go in; who may do what comes out ([`may`]). Days and crews go in; the
//! jobs of each day come out ([`jobs`]). Counts of two weeks go in; a hub's figures and what moved
//! them come out ([`figures`], [`moved`]). The rules stand in `docs/hubs.md`.

pub mod figures;
pub mod jobs;
pub mod may;
pub mod moved;
pub mod task;

pub use figures::{Pace, Share, Stay, Work};
pub use jobs::{Day, Job, Jobs, rotate};
pub use may::{Need, Present, Said, Verdict, judge, standing};
pub use moved::{Change, Part};
pub use task::Task;
