//! `cargo xtask demo`: build the program and let it show the demo region.

use std::process::{Command, ExitCode};

use crate::client;
use crate::failure::Failure;
use crate::house::House;
use crate::program;
use crate::progress::{Stopwatch, spoken};

pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    let passed_on = options(args)?;
    let watch = Stopwatch::start();
    client::build_or_warn(house);
    build(house)?;
    eprintln!("built the program in {}", spoken(watch.elapsed()));
    let mut command = Command::new(house.partpledge());
    command
        .current_dir(&house.root)
        .args(["demo", "--data", "partpledge-data"])
        .args(passed_on);
    let status = program::pass_through(&mut command)?;
    let Some(code) = status.code() else {
        return Err(Failure::new(format!("the demo was stopped: {status}")));
    };
    Ok(ExitCode::from(u8::try_from(code).unwrap_or(1)))
}

/// Builds `target/debug/partpledge`.
fn build(house: &House) -> Result<(), Failure> {
    program::must_pass(
        house
            .cargo()
            .args(["build", "--locked", "--package", "partpledge-cli"]),
        "the program does not build",
    )
}

/// Only the two options that the README names are passed on, so that a typing error is caught
/// before the build and not after it.
fn options(args: &[String]) -> Result<Vec<String>, Failure> {
    let mut passed_on = Vec::new();
    let mut rest = args.iter();
    while let Some(arg) = rest.next() {
        match arg.as_str() {
            "--no-serve" => passed_on.push(arg.clone()),
            "--port" => {
                let port = rest.next().map(String::as_str).unwrap_or_default();
                port.parse::<u16>().map_err(|_| {
                    Failure::wrong_call(format!("--port wants a number up to 65535, not `{port}`"))
                })?;
                passed_on.extend([arg.clone(), port.to_owned()]);
            }
            other => {
                return Err(Failure::wrong_call(format!("demo has no option `{other}`"))
                    .advise("cargo xtask demo [--port N] [--no-serve]"));
            }
        }
    }
    Ok(passed_on)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(args: &[&str]) -> Result<Vec<String>, Failure> {
        options(&args.iter().map(ToString::to_string).collect::<Vec<_>>())
    }

    #[test]
    fn the_two_options_are_passed_on_in_order() {
        assert_eq!(
            given(&["--no-serve", "--port", "8080"]).unwrap(),
            ["--no-serve", "--port", "8080"]
        );
    }

    #[test]
    fn a_wrong_option_or_port_is_a_wrong_call() {
        for args in [
            &["--prot", "80"][..],
            &["--port"],
            &["--port", "70000"],
            &["--port", "x"],
        ] {
            assert_eq!(given(args).unwrap_err().exit_code, 2, "{args:?}");
        }
    }
}
