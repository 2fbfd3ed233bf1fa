//! What printers say of themselves: answers of MTConnect agents (ANSI/MTC1.4-2018) go in, and when a
//! machine began, stopped, went on and ended comes out.
//!
//! An agent numbers whatever it hears. [`read`] reads one answer, [`Watch::begin`] takes the state
//! that a machine is in, [`Watch::go_on`] what came since. Where the numbers have a gap no time is
//! made up. Names and meanings of the standard are from memory; what is done with a moment is for
//! others to say. The rules stand in `docs/machines.md`.

mod answer;
mod ask;
mod execution;
mod watch;

pub use answer::{Answer, Device, Header, MOST_BYTES, Observation, ReadError, Says, read};
pub use ask::{Ask, COUNT};
pub use execution::{Execution, Group};
pub use watch::{How, Kind, LookAgain, Moment, Story, Watch, WatchError};
