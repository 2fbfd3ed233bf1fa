//! `cargo xtask check`: everything CI asks for, in the order in which it is cheapest to fail.

pub(crate) mod tools;

use std::process::ExitCode;
use std::time::Duration;

use crate::failure::Failure;
use crate::house::{House, in_ci, on_path};
use crate::program::must_pass;
use crate::progress::{Stopwatch, spoken};
use crate::{api, browser, client, compiler, defects, layers, nesting, programs, real_files, tidy};

/// Real files compared in `check`; `cargo xtask real-files` does all of them.
const REAL_FILES: &str = "240";

/// A step of the check.
type Step = fn(&House) -> Result<(), Failure>;

/// Runs every step, stops at the first that fails, and says how long each took.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    if let Some(other) = args.first() {
        return Err(Failure::wrong_call(format!(
            "check has no option `{other}`"
        )));
    }
    let all = Stopwatch::start();
    let mut took: Vec<(&str, Duration)> = Vec::new();
    let house = &house.linted();
    compiler::stand_by(house)?;
    let steps: [(&str, Step); 15] = [
        ("house rules", |house| tidy::run(house, &[]).map(|_| ())),
        ("formatting", formatting),
        ("scripts and fonts of the pages", client::build),
        ("licences, bans, sources", tools::licences),
        ("PostgreSQL for the tests", tools::postgres),
        ("code, lints and docs", code),
        ("tests", tests),
        ("pages in a browser", browser::check),
        ("programs of other people ask", api::check),
        ("examples in the docs", doc_tests),
        ("real files against other libraries", compare),
        ("known defects in clean parts", spoilt),
        ("layers against other libraries", layers_outside),
        ("quotes in a large region", quotes),
        ("plates judged by another library", plates_outside),
    ];
    for (name, step) in steps {
        eprintln!("\n== {name}");
        let watch = Stopwatch::start();
        let result = step(house);
        took.push((name, watch.elapsed()));
        if let Err(failure) = result {
            eprintln!("\n== failed at \"{name}\"");
            say_times(&took, all);
            return Err(failure);
        }
    }
    eprintln!("\n== all checks passed");
    say_times(&took, all);
    Ok(ExitCode::SUCCESS)
}

fn say_times(took: &[(&str, Duration)], all: Stopwatch) {
    for (name, time) in took {
        eprintln!("{:>14}  {name}", spoken(*time));
    }
    eprintln!("{:>14}  in all", spoken(all.elapsed()));
}

fn formatting(house: &House) -> Result<(), Failure> {
    let headline = "the code is not formatted; run `cargo fmt`";
    must_pass(house.cargo().args(["fmt", "--all", "--check"]), headline)
}

/// Everything is compiled once, with lints and the pages of the docs on the way.
fn code(house: &House) -> Result<(), Failure> {
    let mut command = house.compiling();
    command.args([
        "test",
        "--no-run",
        "--locked",
        "--workspace",
        "--all-targets",
        "--quiet",
    ]);
    must_pass(
        &mut command,
        "the compiler, clippy or the docs have something to say",
    )
}

/// The reference folder travels to the tests by one variable.
fn with_reference<'a>(
    house: &House,
    command: &'a mut std::process::Command,
) -> &'a mut std::process::Command {
    match house.reference() {
        Some(dir) => command.env("PARTPLEDGE_REFERENCE", dir),
        None => {
            eprintln!(
                "SKIPPED: tests on the team's reference data; PARTPLEDGE_REFERENCE names no folder"
            );
            command
        }
    }
}

fn tests(house: &House) -> Result<(), Failure> {
    let mut command = house.compiling();
    if on_path("cargo-nextest").is_some() {
        command.args([
            "nextest",
            "run",
            "--locked",
            "--workspace",
            "--no-fail-fast",
        ]);
    } else {
        command.args([
            "test",
            "--locked",
            "--workspace",
            "--lib",
            "--bins",
            "--tests",
            "--no-fail-fast",
        ]);
    }
    must_pass(with_reference(house, &mut command), "tests failed")
}

fn doc_tests(house: &House) -> Result<(), Failure> {
    must_pass(
        house
            .compiling()
            .args(["test", "--locked", "--workspace", "--doc", "--quiet"]),
        "an example in the docs failed",
    )
}

fn compare(house: &House) -> Result<(), Failure> {
    let args = ["--most".to_owned(), REAL_FILES.to_owned()];
    or_skipped(real_files::run(house, &args).map(|_| ()))
}

fn spoilt(house: &House) -> Result<(), Failure> {
    or_skipped(defects::check(house))
}

fn layers_outside(house: &House) -> Result<(), Failure> {
    or_skipped(layers::check(house))
}

/// Processor time against a reference in the same run: coarse, and true on a busy machine too.
fn quotes(house: &House) -> Result<(), Failure> {
    let mut command = programs::bench(house)?;
    command.args(["quote", "guard"]);
    must_pass(&mut command, "exact quotes are far slower than they were")
}

fn plates_outside(house: &House) -> Result<(), Failure> {
    or_skipped(nesting::check(house))
}

/// Outside CI a machine without real files may go on.
fn or_skipped(result: Result<(), Failure>) -> Result<(), Failure> {
    match result {
        Err(failure) if !in_ci() && failure.exit_code == real_files::NOTHING_TO_COMPARE => {
            eprintln!("SKIPPED: {}", failure.headline);
            Ok(())
        }
        other => other,
    }
}
