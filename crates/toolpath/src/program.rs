//! Motion programs: our own paths written out, and any such program timed again.
//!
//! The words of motion are those of ISO 6983-1 (from memory). The filament axis `E` with its
//! absolute and incremental words, the heater words, dwells by `P` and `S`, line checksums and
//! comments behind a semicolon are common practice in the trade, no source. Everything else in a
//! program is counted and reported, and never guessed at.

mod answer;
mod arc;
mod block;
mod findings;
mod heat;
mod lines;
mod machine;
mod retime;
mod tally;
mod words;
mod write;

pub use answer::{RetimeError, Retimed};
pub use findings::{Heater, ProgramFinding};
pub use retime::Retiming;
pub use tally::{Extent, WordCount};
pub use write::{Dialect, program};
