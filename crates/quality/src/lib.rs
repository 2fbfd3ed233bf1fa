//! What finished runs teach about a printer: how its real times stand to the estimate, how often
//! a plate comes out good at the first try, and whether it has begun to drift.
//!
//! Runs go in ([`Run`]), in the order in which they ended; [`learn`] gives what is known now
//! ([`Learned`]). Times are judged by a normal model of `ln(real / estimated)` whose mean and
//! variance are both unknown ([`factor`]), so what comes out is a Student t: the next run's time
//! with its own uncertainty. See `docs/learning.md` for the priors and measured figures.
//!
//! And what is measured on copies: sizes that must be right ([`dimension`]), and how wide a tolerance
//! prints usually hold ([`grade`]).

pub mod attendance;
pub mod counting;
pub mod dimension;
pub mod drift;
pub mod factor;
pub mod grade;
pub mod learning;
pub mod losses;
pub mod stats;
pub mod ticks;
pub mod yields;

pub use counting::{NotCounted, Run, time_counts};
pub use dimension::{CriticalDimension, NotADimension, Outside, Reading};
pub use drift::{Chart, Drift, Side};
pub use factor::{Factor, Next};
pub use learning::{Known, Learned, PrinterPrior, learn};
pub use yields::Yield;
