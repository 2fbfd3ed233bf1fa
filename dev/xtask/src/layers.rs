//! `cargo xtask layers`: sections against other libraries, and what is laid against the volume, on
//! real parts.

use std::process::{Command, ExitCode};

use crate::check::tools;
use crate::failure::Failure;
use crate::house::House;
use crate::program::{capture, must_pass};
use crate::{programs, real_files};

/// Least share of heights at which each library has the same area within 1e-4; 99.9 % were measured
/// when this was set, the rest tiny sections or corners exactly at the height.
const LEAST_SAME: &str = "0.99";

/// All of it: 100 parts at 50 heights, or as many as are asked for.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    let (mut parts, mut heights) = (100, 50);
    let mut rest = args.iter();
    while let Some(arg) = rest.next() {
        let number = rest.next().and_then(|text| text.parse::<u32>().ok());
        let number =
            number.ok_or_else(|| Failure::wrong_call(format!("{arg} wants a whole number")))?;
        match arg.as_str() {
            "--parts" => parts = number,
            "--heights" => heights = number,
            other => {
                return Err(Failure::wrong_call(format!(
                    "layers has no option `{other}`"
                )));
            }
        }
    }
    compare(house, parts, heights)?;
    Ok(ExitCode::SUCCESS)
}

/// A smaller round for `check`.
pub(crate) fn check(house: &House) -> Result<(), Failure> {
    compare(house, 25, 20)
}

fn compare(house: &House, parts: u32, heights: u32) -> Result<(), Failure> {
    let dir = real_files::fetch(house)?;
    let python = tools::python(house)?;
    let out = house.root.join("out");
    std::fs::create_dir_all(&out).map_err(|e| Failure::io("cannot make", &out, &e))?;
    let (list, areas) = (out.join("watertight-parts.txt"), out.join("sections.jsonl"));
    let script = |name: &str| {
        let mut command = Command::new(&python);
        command.arg(house.root.join("dev/python").join(name));
        command
    };
    let mut choose = script("watertight_parts.py");
    choose.arg(&dir).arg(&list).arg(parts.to_string());
    real_files::chosen(&mut choose, &dir)?;
    let mut cut = programs::bench(house)?;
    cut.arg("sections").arg(&list).arg(heights.to_string());
    std::fs::write(&areas, capture(&mut cut)?)
        .map_err(|e| Failure::io("cannot write", &areas, &e))?;
    let mut same = script("compare_sections.py");
    same.arg(&list).arg(&areas).arg(LEAST_SAME);
    must_pass(&mut same, "sections differ from those of other libraries")?;
    let mut laid = programs::bench(house)?;
    laid.arg("conserved").arg(&list);
    must_pass(&mut laid, "what is laid is not what the part holds")
}
