//! Time, mass and prices in; energy and cost out, as ranges.
//!
//! Cost is built up as in Hopkinson & Dickens, Proc. `IMechE` C 217:31, 2003 (machine, labour and
//! material for each part; from memory) and Ruffo et al., Proc. `IMechE` B 220:1417, 2006 (rates by time, and
//! what is bought; title verified), with energy and failed builds as in the work of Baumers et al.
//! (verified second hand). What is learned from real runs goes into the prices' data file.
//!
//! No payments are handled: nobody is charged, nothing is owed.

mod cost;
mod energy;
mod failing;
mod spool;

pub use cost::{Cost, CostError, Job, cost, wear_per_h};
pub use energy::{energy_wh, share_of_rated_wh, temperature_wh};
pub use failing::{hours_per_good, per_good, plate_per_good};
pub use spool::{SpoolCheck, spool_check};

/// What is said beside a cost.
pub const NO_PAYMENTS: &str = "No payments are handled.";
