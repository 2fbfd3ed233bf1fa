//! `cargo xtask bench`: the benches, in release mode.

use std::process::{Command, ExitCode};

use crate::check::tools;
use crate::failure::Failure;
use crate::house::House;
use crate::nesting;
use crate::program::must_pass;

/// Runs `partpledge-bench` with whatever was asked of it; `mesh` alone is the mesh stage against
/// trimesh, with the time and memory of a whole judgement; `estimate` alone is the estimate stage
/// against trimesh's sections; `nest` alone is plates and strips against a nesting library.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    if args == ["mesh"] {
        let programs = ["partpledge-cli", "partpledge-bench"];
        let headline = "the mesh stage is slower or larger than it may be";
        return against_trimesh(house, &programs, "bench_mesh.py", headline);
    }
    if args == ["estimate"] {
        let headline = "the estimate stage is slower than it may be";
        return against_trimesh(house, &["partpledge-bench"], "bench_estimate.py", headline);
    }
    if args == ["nest"] {
        return nesting::run(house);
    }
    if args == ["nest", "--short"] {
        nesting::check(house)?;
        return Ok(ExitCode::SUCCESS);
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

/// Builds programs and gives their paths and a folder to a script.
fn against_trimesh(
    house: &House,
    packages: &[&str],
    script: &str,
    headline: &str,
) -> Result<ExitCode, Failure> {
    let python = tools::python(house)?;
    let mut build = house.cargo();
    build.args(["build", "--locked", "--release"]);
    for package in packages {
        build.args(["--package", package]);
    }
    must_pass(&mut build, "the benches did not build")?;
    let release = house.target().join("release");
    let folder = house.target().join("bench");
    std::fs::create_dir_all(&folder).map_err(|e| Failure::io("cannot make", &folder, &e))?;
    let mut command = Command::new(python);
    command.arg(house.root.join("dev/python").join(script));
    // The program of the package partpledge-cli is called partpledge.
    for package in packages {
        command.arg(release.join(package.trim_end_matches("-cli")));
    }
    must_pass(command.arg(folder), headline)?;
    Ok(ExitCode::SUCCESS)
}
