//! Our own programs, as the tests build them.
//!
//! Cargo gives every crate the features that all which is built at once wants of it, tests included. A
//! program built by itself would have other ones, and with them the whole house would be built again.

use std::path::PathBuf;
use std::process::Command;

use crate::failure::Failure;
use crate::house::House;
use crate::program::must_pass;

/// Builds `partpledge`, `partpledge-bench` and `partpledge-defects` into `target/debug`: the tests named here
/// call them, so cargo makes them first.
pub(crate) fn build(house: &House) -> Result<(), Failure> {
    let mut command = house.compiling();
    command.args(["test", "--no-run", "--locked", "--quiet", "--workspace"]);
    command.args(["--test", "walk", "--test", "calls"]);
    must_pass(&mut command, "the programs do not build")
}

/// The benches' program, built.
pub(crate) fn bench(house: &House) -> Result<Command, Failure> {
    build(house)?;
    Ok(in_house(house, "partpledge-bench"))
}

/// The program that spoils parts and judges them, built.
pub(crate) fn defects(house: &House) -> Result<Command, Failure> {
    build(house)?;
    Ok(in_house(house, "partpledge-defects"))
}

fn in_house(house: &House, name: &str) -> Command {
    let path: PathBuf = house.target().join("debug").join(name);
    let mut command = Command::new(path);
    command.current_dir(&house.root);
    command
}
