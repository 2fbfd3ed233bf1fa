//! `cargo xtask api-check`: the programme interface asked by other people's libraries.

use std::process::{Command, ExitCode};

use crate::browser::server::Served;
use crate::check::tools;
use crate::failure::Failure;
use crate::house::House;
use crate::program::must_pass;
use crate::programs;

/// Minutes when nothing is said, and in `check`.
const MINUTES: &str = "10";
const IN_CHECK: &str = "1";

/// `api-check [--minutes N]`.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    let minutes = match args {
        [] => MINUTES,
        [option, minutes] if option == "--minutes" && minutes.parse::<f64>().is_ok() => minutes,
        _ => return Err(Failure::wrong_call("api-check [--minutes N]".to_owned())),
    };
    asked(house, minutes).map(|()| ExitCode::SUCCESS)
}

/// The part of it that `check` does.
pub(crate) fn check(house: &House) -> Result<(), Failure> {
    asked(house, IN_CHECK)
}

fn asked(house: &House, minutes: &str) -> Result<(), Failure> {
    let python = tools::python(house)?;
    programs::build(house)?;
    let served = Served::start(house)?;
    let mut ask = Command::new(python);
    ask.arg(house.root.join("dev/python/check_api.py"));
    ask.args([served.url(), minutes]);
    must_pass(&mut ask, "the programme interface is not as it says it is")
}
