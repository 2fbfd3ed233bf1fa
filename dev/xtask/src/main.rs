//! Set-up, demo and check: the commands the README names.
//!
//! `cargo xtask` is an alias for `cargo run --package xtask --`. It gets by on the standard
//! library and `serde_json`, so that it builds in seconds on a fresh machine.

mod api;
mod bench;
mod browser;
mod check;
mod client;
mod compiler;
mod defects;
mod demo;
mod failure;
mod house;
mod layers;
mod nesting;
mod program;
mod programs;
mod progress;
mod real_files;
mod tidy;

use std::ffi::OsString;
use std::process::ExitCode;

use failure::Failure;
use house::House;

/// What `cargo xtask help` prints. A command is named here only when it does something.
const HELP: &str = "\
cargo xtask: set-up, demo and check

  demo [--port N] [--no-serve]   build the program, plant the demo region in ./partpledge-data
                                 and serve it on loopback; --no-serve prints the walk and stops
  check                          everything CI asks for; installs what it lacks under target/tools
  tidy                           the house rules that no compiler checks (a second or two)
  real-files [--dir DIR] [--most N] [--out FILE] [--jobs N]
                                 judge and estimate model files made by other people, and compare
                                 each fact with trimesh, manifold3d and pymeshlab
                                   --dir DIR   use this folder instead of fetching packages
                                   --most N    at most N files, spread evenly over the formats
                                   --out FILE  where the table goes (default out/real-files.csv)
                                   --jobs N    files at a time (default 2)
  seeded-defects [--cases N] [--seed N]
                                 put known defects into clean parts made by other people, and
                                 count how many are found by the right name and place
  layers [--parts N] [--heights N]
                                 areas of sections of real parts against trimesh with shapely and
                                 manifold3d, and what is laid against the volume
  api-check [--minutes N]        the programme interface asked by schemathesis, its calendars
                                 read by icalendar, its places by shapely (default 10 minutes)
  browser                        only the browser tests of check
  shots [--out DIR]              screenshots of every page and the printed sheets (default out/shots)
  bench [ARGS]                   speed and quality benches, built with --release; `bench mesh` is
                                 the mesh stage against trimesh, `bench estimate` the
                                 estimate against trimesh's sections, `bench nest` plates and
                                 strips against a nesting library, with floors;
                                 `bench nest --short` is the part of it that check runs;
                                 `bench season` plays 360 seasons (15 to 25 minutes of processor
                                 time): is what was stated kept? `bench season joining`
                                 asks it of seasons in which requests share plates
  help                           this text

Exit code: 0 fine, 1 something failed, 2 wrong call.";

fn main() -> ExitCode {
    let args: Vec<OsString> = std::env::args_os().skip(1).collect();
    let spoken = |arg: &OsString| arg.to_string_lossy().into_owned();
    let done = compiler::called(&args)
        .unwrap_or_else(|| dispatch(&args.iter().map(spoken).collect::<Vec<_>>()));
    match done {
        Ok(code) => code,
        Err(failure) => {
            eprintln!("{failure}");
            ExitCode::from(failure.exit_code)
        }
    }
}

fn dispatch(args: &[String]) -> Result<ExitCode, Failure> {
    let Some((command, rest)) = args.split_first() else {
        println!("{HELP}");
        return Ok(ExitCode::SUCCESS);
    };
    match command.as_str() {
        "help" | "--help" | "-h" => {
            println!("{HELP}");
            Ok(ExitCode::SUCCESS)
        }
        "demo" => demo::run(&House::find()?, rest),
        "check" => check::run(&House::find()?, rest),
        "tidy" => tidy::run(&House::find()?, rest),
        "real-files" => real_files::run(&House::find()?, rest),
        "seeded-defects" => defects::run(&House::find()?, rest),
        "layers" => layers::run(&House::find()?, rest),
        "api-check" => api::run(&House::find()?, rest),
        "browser" => browser::run(&House::find()?, rest),
        "shots" => browser::shots(&House::find()?, rest),
        "bench" => bench::run(&House::find()?, rest),
        other => Err(
            Failure::wrong_call(format!("`{other}` is not an xtask command"))
                .advise("`cargo xtask help` lists the commands"),
        ),
    }
}
