//! One file through `judge` and `estimate`, held to time and memory.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use serde_json::Value;

use crate::failure::Failure;
use crate::house::House;
use crate::program::{End, Outcome, bounded};

/// Longest that a command may take on one file.
const LIMIT: Duration = Duration::from_mins(2);
/// Most address space in KiB; a runaway fails instead of taking the machine along.
const MEMORY_KIB: u64 = 8_000_000;

/// What came of one file.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    pub(crate) file: PathBuf,
    pub(crate) judged: Value,
    pub(crate) estimated: Value,
    pub(crate) judge_s: f64,
    pub(crate) estimate_s: f64,
    trouble: Option<String>,
}

impl Answer {
    /// What was not as it must be, if anything.
    pub(crate) fn trouble(&self) -> Option<String> {
        self.trouble
            .as_ref()
            .map(|what| format!("{}: {what}", self.file.display()))
    }
}

/// Judges in millimetres (so that facts compare number by number), estimates as a person would.
pub(crate) fn judge_and_estimate(house: &House, file: &Path) -> Result<Answer, Failure> {
    // A 3MF carries its unit; asking for another one would be a wrong call.
    let is_3mf = file
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("3mf"));
    let unit: &[&str] = if is_3mf { &[] } else { &["--unit", "mm"] };
    let judge = limited(house, "judge", file, unit)?;
    let estimate = limited(house, "estimate", file, &[])?;
    let (judged, trouble) = read(&judge, &["triangles", "watertight", "area_mm2", "findings"]);
    let (estimated, more) = read(&estimate, &["print_time_s", "mass_g", "layers"]);
    Ok(Answer {
        file: file.to_owned(),
        judged,
        estimated,
        judge_s: judge.seconds,
        estimate_s: estimate.seconds,
        trouble: trouble
            .map(|t| format!("judge: {t}"))
            .or_else(|| more.map(|t| format!("estimate: {t}"))),
    })
}

fn limited(house: &House, command: &str, file: &Path, more: &[&str]) -> Result<Outcome, Failure> {
    let mut shell = Command::new("bash");
    shell
        .arg("-c")
        .arg(format!("ulimit -v {MEMORY_KIB}; exec \"$@\""))
        .arg("bash");
    shell
        .arg(house.partpledge())
        .arg(command)
        .arg(file)
        .arg("--json")
        .args(more);
    shell
        .arg("--data")
        .arg(house.target().join("real-files-has-no-region"));
    bounded(&mut shell, LIMIT)
}

/// The answer as JSON, and what is wrong with it: facts, or an error with its three fields.
fn read(outcome: &Outcome, fields: &[&str]) -> (Value, Option<String>) {
    let code = match &outcome.end {
        End::Exit(code @ 0..=2) => *code,
        other => {
            return (
                Value::Null,
                Some(format!("ended with {other:?}: {}", outcome.stderr.trim())),
            );
        }
    };
    if outcome.stderr.contains("panicked") {
        return (Value::Null, Some(outcome.stderr.trim().to_owned()));
    }
    let Ok(value) = serde_json::from_str::<Value>(&outcome.stdout) else {
        return (Value::Null, Some("the answer is not JSON".to_owned()));
    };
    let error = &value["error"];
    if error.is_object() {
        let clear = ["code", "message", "what_to_do"]
            .iter()
            .all(|field| error[*field].as_str().is_some_and(|text| !text.is_empty()));
        let wrong = if clear {
            (code == 0).then_some("an error with exit code 0")
        } else {
            Some("the error lacks a field")
        };
        return (value.clone(), wrong.map(str::to_owned));
    }
    let totals = if value["parts"].is_array() && value[fields[0]].is_null() {
        &value["total"]
    } else {
        &value
    };
    let missing = fields.iter().find(|field| {
        totals[**field].is_null() && value[**field].is_null() && !value["parts"].is_array()
    });
    (
        value.clone(),
        missing.map(|field| format!("'{field}' is missing")),
    )
}
