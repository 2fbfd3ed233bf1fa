//! `cargo xtask bench`: the benches, in release mode.

use std::process::{Command, ExitCode};

use crate::check::tools;
use crate::failure::Failure;
use crate::house::House;
use crate::program::must_pass;

/// Runs `partpledge-bench` with whatever was asked of it; `mesh` alone is the mesh stage against
/// trimesh, with the time and memory of a whole judgement.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    if args == ["mesh"] {
        return against_trimesh(house);
    }
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
    must_pass(&mut command, "the benches did not finish")?;
    Ok(ExitCode::SUCCESS)
}

fn against_trimesh(house: &House) -> Result<ExitCode, Failure> {
    let python = tools::python(house)?;
    let mut build = house.cargo();
    build.args(["build", "--locked", "--release"]);
    build.args([
        "--package",
        "partpledge-bench",
        "--package",
        "partpledge-cli",
    ]);
    must_pass(&mut build, "the benches did not build")?;
    let release = house.target().join("release");
    let folder = house.target().join("bench");
    std::fs::create_dir_all(&folder).map_err(|e| Failure::io("cannot make", &folder, &e))?;
    let mut command = Command::new(python);
    command
        .arg(house.root.join("dev/python/bench_mesh.py"))
        .arg(release.join("partpledge"))
        .arg(release.join("partpledge-bench"))
        .arg(folder);
    must_pass(
        &mut command,
        "the mesh stage is slower or larger than it may be",
    )?;
    Ok(ExitCode::SUCCESS)
}
