//! Filament by the spool: what is left on each, whether it is dry, when to order how much.
//!
//! People say what they do with a spool ([`Step`]) and what a scale says ([`Reading`]); runs say
//! what they took ([`Use`]). [`Ledger::accounts`] folds all of it: what is left is the last reading
//! less the uses since. Everything carries the time when it happened, and only that counts: what is
//! left does not depend on the order in which late news comes. [`mod@reorder`] says when to order.
//! See `docs/stock.md`.

pub mod account;
pub mod feeding;
pub mod reorder;
pub mod words;

pub use account::{Account, Correction, State, usable_g};
pub use feeding::{Fed, Run, fed, uses_of};
pub use reorder::{Advice, Demand, Prices, critical_ratio, newsvendor_g, reorder};
pub use words::{Deed, Delivery, DeliveryEnd, Ledger, Reading, Roll, Spool, Step, Use};
