//! The `partpledge` command line: composition root.
//!
//! Here the parts of the house are put together, and here alone live the wire JSON of the command
//! line and the one look at the wall clock.

mod args;
mod clock;
mod commands;
mod output;
mod wire;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let args = args::Args::parse();
    let json = args.command.json();
    match commands::run(&args) {
        Ok(code) => code,
        Err(error) => {
            output::failure(&error, json);
            ExitCode::from(output::BAD_INPUT)
        }
    }
}
