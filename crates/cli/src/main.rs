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
    let args = match args::Args::try_parse() {
        Ok(args) => args,
        Err(error) => {
            let code = u8::try_from(error.exit_code()).unwrap_or(output::BAD_INPUT);
            return output::ended_after(error.print(), code).into();
        }
    };
    let json = args.command.json();
    let code = commands::run(&args).unwrap_or_else(|error| {
        output::failure(&error, json);
        output::BAD_INPUT
    });
    output::ended(code).into()
}
