//! A model in; a plan and pledges out.
//!
//! * [`ground`] indexes a region once: routes by leg, printers by site.
//! * [`insert`] keeps what is taken; [`mod@slots`] finds where a plate could be printed, in gaps too.
//! * [`propose()`] places what has no place yet and improves on a move budget.
//! * [`sequence`] searches the orders of jobs on machines.
//! * [`explain`] says why a plate is where it is, and what would keep a promise.
//! * [`journeys`] are the ways of boxes over legs and relays.
//! * [`luck`] is how one run goes, and what people do when a printer is late.
//! * [`presence`] is who comes and what leaves.
//! * `world` plays a slot through one possible future, `background` what others do meanwhile.
//! * `alone` is when a run must be stopped because people leave.
//! * [`forecast()`] plays a pledge that was given on from where it stands.
//! * [`fast`] sums luck instead of playing it, for many quotes at once.
//! * [`quote()`] plays every promising slot through many futures and pledges the first that holds.
//! * [`join`] does the same for copies that go on a plate which is planned already.
//!
//! Nothing here reads a clock or a file; the same input and seed give the same bytes. Plans are
//! judged elsewhere, by `plan-check`, which shares no code with this crate.

mod ahead;
mod alone;
mod background;
mod busy;
mod calm;
mod candidates;
mod cost;
pub mod explain;
pub mod fast;
mod firsts;
pub mod forecast;
pub mod ground;
mod hunt;
mod improve;
pub mod insert;
pub mod join;
pub mod journeys;
mod limits;
pub mod luck;
mod mixed;
mod normal;
pub mod presence;
pub mod propose;
pub mod quote;
#[cfg(test)]
#[path = "../tests/planning/support/random.rs"]
#[expect(
    dead_code,
    reason = "shared with the test of the search against the slow truth"
)]
mod random;
pub mod reasons;
mod reorder;
mod reshuffle;
pub mod sequence;
pub mod slots;
mod strata;
pub mod timeline;
mod world;

pub use alone::{lost_when_left, must_stop, runs_on, watched_until, will_be_stopped};
pub use cost::in_time;
pub use fast::{Foresight, quote_fast};
pub use forecast::{Forecast, Outlook, Standing, forecast, started_at};
pub use ground::Ground;
pub use insert::{Occupied, Overlay, Taken};
pub use join::{Join, Joinable, quote_joined};
pub use journeys::{Ride, Stop, journey};
pub use presence::Presence;
pub use propose::{Proposal, Unplaced, anew, fallen, propose, why_unplaced};
pub use quote::{Ask, NoQuote, Quote, Way, quote, quote_before};
pub use reasons::Reason;
pub use slots::{best_slot, slots};
