//! The whole walk from outside: the program, its answers, what it leaves on disk.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

#[path = "walk/answers.rs"]
mod answers;
#[path = "walk/bad_inputs.rs"]
mod bad_inputs;
#[path = "walk/crash.rs"]
mod crash;
#[path = "walk/own_region.rs"]
mod own_region;
#[path = "walk/people.rs"]
mod people;
#[path = "walk/program.rs"]
mod program;
#[path = "walk/retime.rs"]
mod retime;
#[path = "walk/server_crash.rs"]
mod server_crash;
#[path = "walk/taking.rs"]
mod taking;
#[path = "walk/unheard.rs"]
mod unheard;
