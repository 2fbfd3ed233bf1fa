//! `cargo xtask seeded-defects`: known faults put into clean parts made by other people, and whether
//! they are found.

use std::process::{Command, ExitCode};

use crate::check::tools;
use crate::failure::Failure;
use crate::house::House;
use crate::program::{capture, must_pass};
use crate::{programs, real_files};

/// Says which files are clean, then spoils and judges them.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    judge_spoilt(house, args, "60")?;
    thickness(house)?;
    Ok(ExitCode::SUCCESS)
}

/// A smaller round for `check`: fewer cases, fewer parts that look alike.
pub(crate) fn check(house: &House) -> Result<(), Failure> {
    let args = ["--cases".to_owned(), "240".to_owned()];
    judge_spoilt(house, &args, "4")?;
    thickness(house)
}

/// Least share of points at which trimesh measures the same thickness within 2 %.
const LEAST_SAME: &str = "0.99";

/// Our thickness beside trimesh's on the same clean parts.
fn thickness(house: &House) -> Result<(), Failure> {
    let points = house.root.join("out/thickness.jsonl");
    let mut command = programs::defects(house)?;
    command
        .arg("thickness")
        .arg(house.root.join("out/clean-parts.txt"))
        .arg(&points);
    must_pass(&mut command, "thickness could not be measured")?;
    let mut command = Command::new(tools::python(house)?);
    command
        .arg(house.root.join("dev/python/compare_thickness.py"))
        .arg(&points)
        .arg(LEAST_SAME);
    print!("{}", capture(&mut command)?);
    Ok(())
}

fn judge_spoilt(house: &House, args: &[String], most_of_a_kind: &str) -> Result<(), Failure> {
    let dir = real_files::fetch(house)?;
    let list = house.root.join("out/clean-parts.txt");
    if let Some(parent) = list.parent() {
        std::fs::create_dir_all(parent).map_err(|e| Failure::io("cannot make", parent, &e))?;
    }
    let python = tools::python(house)?;
    let mut command = Command::new(python);
    command
        .arg(house.root.join("dev/python/clean_parts.py"))
        .arg(&dir)
        .arg(&list)
        .arg(most_of_a_kind);
    real_files::chosen(&mut command, &dir)?;
    let mut command = programs::defects(house)?;
    command
        .arg(&list)
        .arg("--out")
        .arg(house.root.join("out/seeded-defects.csv"))
        .args(args);
    must_pass(
        &mut command,
        "known defects were missed, or clean parts raised alarms; see out/seeded-defects.csv",
    )
}
