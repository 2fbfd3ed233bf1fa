//! A model in; a plan and pledges out.
//!
//! * [`ground`] indexes a region once: routes by leg, printers by site.
//! * [`insert`] finds the slots in which a plate could be printed, in gaps too.
//! * [`propose()`] places what has no place yet and improves on a move budget.
//! * [`sequence`] searches the orders of jobs on machines.
//! * [`explain`] says why a plate is where it is, and what would keep a promise.
//! * [`luck`] is how one run goes, and what people do when a printer is late.
//! * `world` plays a slot through one possible future, `background` what others do meanwhile.
//! * [`forecast()`] plays a pledge that was given on from where it stands.
//! * [`quote()`] plays every promising slot through many futures and pledges the first that holds.
//!
//! Nothing here reads a clock or a file; the same input and seed give the same bytes. Plans are
//! judged elsewhere, by `plan-check`, which shares no code with this crate.

mod ahead;
mod background;
mod candidates;
pub mod explain;
pub mod forecast;
pub mod ground;
mod improve;
pub mod insert;
pub mod luck;
pub mod propose;
pub mod quote;
pub mod reasons;
mod reorder;
pub mod sequence;
pub mod timeline;
mod world;

pub use forecast::{Forecast, Outlook, Standing, forecast, started_at};
pub use ground::Ground;
pub use insert::{Occupied, Overlay, Taken, best_slot, slots};
pub use propose::{Proposal, Unplaced, propose, why_unplaced};
pub use quote::{Alternative, Ask, NoQuote, Quote, Way, quote, quote_before};
pub use reasons::Reason;
