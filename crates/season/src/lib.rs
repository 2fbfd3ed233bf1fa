//! Demand, a region and dice in; service figures out.
//!
//! [`fortnight()`] plays the floor forward: requests come in, each is quoted and given at its own
//! moment, runs take their real time and fail, reprints take what the plan leaves. Pledges and
//! what became of them are compared: that is the only honest test of a stated chance.

pub mod floor;
pub mod fortnight;

pub use fortnight::{AFTER_SCHOOL, Demand, FortnightReport, Kept, fortnight};
