//! The table of answers, for people and for the comparison.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::Value;

use super::run_one::Answer;
use crate::failure::Failure;

const HEAD: &str = "file,error,triangles,vertices,shells,watertight,volume_mm3,area_mm2,findings,\
unit,estimate_error,print_time_s,mass_g,judge_s,estimate_s";

/// Writes one row a file.
pub(super) fn write(path: &Path, answers: &[Answer]) -> Result<(), Failure> {
    let mut text = String::from(HEAD);
    text.push('\n');
    for answer in answers {
        text.push_str(&row(answer));
        text.push('\n');
    }
    std::fs::write(path, text).map_err(|e| Failure::io("cannot write", path, &e))?;
    eprintln!("the table is in {}", path.display());
    Ok(())
}

fn row(answer: &Answer) -> String {
    let (judged, estimated) = (&answer.judged, &answer.estimated);
    let plain = |value: &Value| match value {
        Value::Null => String::new(),
        Value::String(text) => text.replace([',', '\n', '"'], " "),
        other => other.to_string(),
    };
    let findings = judged["findings"]
        .as_array()
        .map_or_else(String::new, |list| {
            list.iter()
                .filter_map(|f| f["code"].as_str())
                .collect::<Vec<_>>()
                .join(" ")
        });
    let total = |field: &str| {
        if estimated[field].is_null() {
            plain(&estimated["total"][field])
        } else {
            plain(&estimated[field])
        }
    };
    [
        answer.file.display().to_string().replace(',', "?"),
        plain(&judged["error"]["code"]),
        plain(&judged["triangles"]),
        plain(&judged["vertices"]),
        plain(&judged["shells"]),
        plain(&judged["watertight"]),
        plain(&judged["volume_mm3"]),
        plain(&judged["area_mm2"]),
        findings,
        plain(&judged["unit"]["used"]),
        plain(&estimated["error"]["code"]),
        total("print_time_s"),
        total("mass_g"),
        format!("{:.3}", answer.judge_s),
        format!("{:.3}", answer.estimate_s),
    ]
    .join(",")
}

/// How many files were read, refused and why, and the slowest.
pub(super) fn summary(answers: &[Answer]) {
    let mut codes: BTreeMap<String, usize> = BTreeMap::new();
    for answer in answers {
        for (step, value) in [("judge", &answer.judged), ("estimate", &answer.estimated)] {
            let code = value["error"]["code"].as_str().unwrap_or("fine");
            *codes.entry(format!("{step}: {code}")).or_default() += 1;
        }
    }
    for (code, count) in codes {
        println!("{count:>6}  {code}");
    }
    let slowest = answers
        .iter()
        .max_by(|a, b| a.estimate_s.total_cmp(&b.estimate_s));
    if let Some(slow) = slowest {
        println!(
            "slowest: judge {:.1} s, estimate {:.1} s, {}",
            slow.judge_s,
            slow.estimate_s,
            slow.file.display()
        );
    }
}
