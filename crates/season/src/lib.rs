//! Demand, a region and dice in; service figures out.
//!
//! [`fortnight()`] plays the floor forward: requests come in, each is quoted and given at its own
//! moment, runs take their real time and fail, reprints take what the plan leaves. Pledges and
//! what became of them are compared: that is the only honest test of a stated chance.
//! [`season()`] does so for weeks of a region that is not quite as people believe ([`Scenario`]),
//! with quotes that learn; [`reliability`] counts and [`fairness`] asks whether all got their share.

mod beliefs;
pub mod fairness;
pub mod floor;
pub mod fortnight;
pub mod play;
pub mod reliability;
pub mod scenario;
mod sharing;
pub mod truth;

pub use fairness::jain_index;
pub use fortnight::{AFTER_SCHOOL, Demand, FortnightReport, Kept, fortnight};
pub use play::{Given, Quoting, SeasonReport, season};
pub use scenario::{Scenario, Setting, Shared};
