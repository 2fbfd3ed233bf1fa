//! `cargo xtask bench`: the benches, in release mode.

use std::process::ExitCode;

use crate::failure::Failure;
use crate::house::House;
use crate::program;

/// Runs `partpledge-bench` with whatever was asked of it.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    let mut command = house.cargo();
    command
        .args([
            "run",
            "--locked",
            "--release",
            "--package",
            "partpledge-bench",
            "--",
        ])
        .args(args);
    program::must_pass(&mut command, "the benches did not finish")?;
    Ok(ExitCode::SUCCESS)
}
