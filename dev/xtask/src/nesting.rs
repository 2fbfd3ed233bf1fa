//! Plates and strips: published sets and 60 real footprints, judged by shapely, beside a general
//! nesting library.

use std::process::{Command, ExitCode};

use crate::check::tools;
use crate::failure::Failure;
use crate::house::{House, in_ci};
use crate::program::{capture, must_pass};
use crate::{programs, real_files};

/// Watertight parts whose footprints are chosen from.
const PARTS: &str = "160";

/// All sets, at equal time beside the library: a quarter of an hour.
pub(crate) fn run(house: &House) -> Result<ExitCode, Failure> {
    judge(house, true, &[])?;
    Ok(ExitCode::SUCCESS)
}

/// A few sets for some seconds, without the library; and plates as 3MF read by another library.
pub(crate) fn check(house: &House) -> Result<(), Failure> {
    judge(house, false, &["--short"])?;
    strict_3mf(house)
}

/// Copies of two parts that other people made, on plates that lib3mf reads in strict mode.
fn strict_3mf(house: &House) -> Result<(), Failure> {
    programs::build(house)?;
    let list = house.root.join("out/nest-parts.txt");
    let text = std::fs::read_to_string(&list).map_err(|e| Failure::io("cannot read", &list, &e))?;
    // Millimetres in the file, one body, and small enough for one plate.
    let plain = |row: &&str| row.starts_with("1.0\t1\t");
    let files: Vec<&str> = text
        .lines()
        .filter(plain)
        .filter_map(|row| row.split('\t').nth(3))
        .take(2)
        .collect();
    let folder = house.target().join("strict-3mf");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).map_err(|e| Failure::io("cannot make", &folder, &e))?;
    let mut layout = Command::new(house.partpledge());
    layout.arg("--data").arg(folder.join("data")).arg("layout");
    for file in &files {
        layout.arg(format!("{file}:3"));
    }
    layout.args(["--unit", "mm", "--bed", "260x260", "--out"]);
    must_pass(
        layout.arg(folder.join("plates.3mf")),
        "the plates could not be laid out",
    )?;
    let mut plates: Vec<_> = std::fs::read_dir(&folder)
        .map_err(|e| Failure::io("cannot read", &folder, &e))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|end| end == "3mf"))
        .collect();
    plates.sort();
    let mut read = Command::new(tools::python(house)?);
    read.arg(house.root.join("dev/python/strict_3mf.py"));
    read.arg((3 * files.len()).to_string()).args(plates);
    must_pass(&mut read, "lib3mf finds fault with our plates")
}

/// With benches built for speed, or as the tests have built them.
fn judge(house: &House, fast: bool, options: &[&str]) -> Result<(), Failure> {
    let reference = house.reference();
    if reference.is_none() && in_ci() {
        return Err(Failure::new(
            "the published nesting sets are missing: PARTPLEDGE_REFERENCE names no folder",
        ));
    }
    let dir = real_files::fetch(house)?;
    let python = tools::python(house)?;
    let out = house.root.join("out");
    std::fs::create_dir_all(&out).map_err(|e| Failure::io("cannot make", &out, &e))?;
    let (list, shadows) = (out.join("nest-parts.txt"), out.join("footprints.jsonl"));
    let script = |name: &str| {
        let mut command = Command::new(&python);
        command.arg(house.root.join("dev/python").join(name));
        command
    };
    let mut choose = script("watertight_parts.py");
    choose.arg(&dir).arg(&list).arg(PARTS);
    real_files::chosen(&mut choose, &dir)?;
    let bench = if fast {
        let mut build = house.cargo();
        build.args(["build", "--locked", "--release"]);
        build.args(["--package", "partpledge-bench"]);
        must_pass(&mut build, "the benches did not build")?;
        house.target().join("release").join("partpledge-bench")
    } else {
        programs::build(house)?;
        house.target().join("debug").join("partpledge-bench")
    };
    let mut cast = Command::new(&bench);
    let text = capture(cast.arg("footprints").arg(&list))?;
    std::fs::write(&shadows, text).map_err(|e| Failure::io("cannot write", &shadows, &e))?;
    let mut compare = script("bench_nest.py");
    compare.arg(&bench).arg(&shadows);
    match reference {
        Some(dir) => compare.arg(dir),
        None => compare.arg("-"),
    };
    compare.arg(&out).args(options);
    must_pass(&mut compare, "a layout is wrong, or a floor is not held")
}
