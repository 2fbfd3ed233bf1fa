//! The table of answers, for people and for the comparison.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::Value;

use super::run_one::Answer;
use crate::failure::Failure;

const HEAD: &str = "file,part,error,triangles,vertices,shells,watertight,volume_mm3,area_mm2,\
findings,repairs,unit,estimate_error,print_time_s,mass_g,judge_s,estimate_s";

/// Writes one row a part; of a file with an error, one row.
pub(super) fn write(path: &Path, answers: &[Answer]) -> Result<(), Failure> {
    let mut text = String::from(HEAD);
    text.push('\n');
    for answer in answers {
        match answer.judged["parts"].as_array() {
            Some(parts) => {
                for (i, part) in parts.iter().enumerate() {
                    text.push_str(&row(answer, part, i));
                }
            }
            None => text.push_str(&row(answer, &answer.judged, 0)),
        }
    }
    std::fs::write(path, text).map_err(|e| Failure::io("cannot write", path, &e))
}

fn plain(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.replace([',', '\n', '"'], " "),
        other => other.to_string(),
    }
}

/// A list's texts in one cell; `field` is what to take of each, if they are objects.
fn together(list: &Value, field: Option<&str>, between: &str) -> String {
    let texts = list.as_array().into_iter().flatten();
    let texts = texts.map(|item| plain(field.map_or(item, |field| &item[field])));
    texts.collect::<Vec<_>>().join(between)
}

/// The row of one part; times and the estimate are the whole file's.
fn row(answer: &Answer, part: &Value, i: usize) -> String {
    let (judged, estimated) = (&answer.judged, &answer.estimated);
    let total = |field: &str| {
        if estimated[field].is_null() {
            plain(&estimated["total"][field])
        } else {
            plain(&estimated[field])
        }
    };
    let cells = [
        answer.file.display().to_string().replace(',', "?"),
        (i + 1).to_string(),
        plain(&judged["error"]["code"]),
        plain(&part["triangles"]),
        plain(&part["vertices"]),
        plain(&part["shells"]),
        plain(&part["watertight"]),
        plain(&part["volume_mm3"]),
        plain(&part["area_mm2"]),
        together(&part["findings"], Some("code"), " "),
        together(&part["repaired"]["steps"], None, "; "),
        plain(&judged["unit"]["used"]),
        plain(&estimated["error"]["code"]),
        total("print_time_s"),
        total("mass_g"),
        format!("{:.3}", answer.judge_s),
        format!("{:.3}", answer.estimate_s),
    ];
    cells.join(",") + "\n"
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
