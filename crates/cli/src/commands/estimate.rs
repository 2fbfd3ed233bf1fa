//! `estimate`: layers, time, filament, mass.

use std::path::PathBuf;

use partpledge_toolpath::plate_time;
use partpledge_workshop::estimating::{class_for, timed};
use partpledge_workshop::{Session, WorkshopError};
use serde_json::{Map, Value, json};

use crate::args::{Args, PartArgs};
use crate::{output, wire};

use super::look;
use super::walk::{self, Walked};

pub(crate) async fn run(
    args: &Args,
    files: &[PathBuf],
    class: Option<&str>,
    part: &PartArgs,
) -> anyhow::Result<u8> {
    let session = look(args).await?;
    walk::process(&session, part)?;
    let mut worst = output::FINE;
    let mut answers = Vec::new();
    for path in files {
        let file = path.display().to_string();
        let walked = walk::judge(&session, path, part);
        match walked.and_then(|walked| one(&session, &file, &walked, class, part)) {
            Ok((answer, text)) => {
                if part.json {
                    answers.push(answer);
                } else {
                    output::say(&text);
                }
            }
            Err(error) => {
                worst = worst.max(output::code_of(&error));
                if part.json {
                    answers.push(output::error_json(Some(&file), &error));
                } else {
                    output::say(&output::error_text(Some(&file), &error));
                }
            }
        }
    }
    if part.json {
        output::say_json(answers);
    }
    Ok(worst)
}

/// Sums over the parts of a file.
#[derive(Default)]
struct Sum {
    print_time_s: f64,
    filament_mm: f64,
    mass_g: f64,
}

fn one(
    session: &Session,
    file: &str,
    walked: &Walked,
    class: Option<&str>,
    args: &PartArgs,
) -> Result<(Value, String), WorkshopError> {
    let laid = walk::lay_all(walked)?;
    let size_mm = std::array::from_fn(|k| laid.iter().map(|p| p.size_mm[k]).fold(0.0, f64::max));
    let class = class_for(&session.catalogue, class, &walked.process, size_mm)?;
    let copies = args.copies;
    let mut parts = Vec::new();
    let mut text = format!("{file}: {} on {}", walked.process.key(), class.name);
    let mut sum = Sum::default();
    let mut warmup_s = 0.0_f64;
    for (part, laid) in walked.judged.parts.iter().zip(&laid) {
        let estimate = timed(laid, &walked.process, class)?;
        let hop_mm = laid.size_mm[0].hypot(laid.size_mm[1]);
        let all = plate_time(&[(&estimate, copies)], hop_mm, &walked.process.sheet, class);
        sum.print_time_s += all.print_time_s;
        sum.filament_mm += f64::from(copies) * estimate.filament_mm;
        sum.mass_g += f64::from(copies) * estimate.mass_g;
        warmup_s = warmup_s.max(estimate.warmup_s);
        text.push_str(&format!(
            "\n  {}: {}, {} layers, {}, 9 in 10 under {}, {:.1} g, {:.2} m of filament",
            part.name,
            part.standing.name,
            estimate.layer_s.len(),
            clock(estimate.print_time_s + estimate.warmup_s),
            clock(estimate.spread.p90_s + estimate.warmup_s),
            estimate.mass_g,
            estimate.filament_mm / 1000.0,
        ));
        if estimate.support_g > 0.0 {
            let off_g = estimate.support_g;
            text.push_str(&format!(
                ", {off_g:.1} g of it support and brim to take off"
            ));
        }
        let mut map = Map::new();
        map.insert("name".to_owned(), json!(part.name));
        map.extend(wire::estimate(&estimate, part));
        parts.push(map);
    }
    if copies > 1 {
        text.push_str(&format!(
            "\n  {copies} copies: {}, {:.1} g",
            clock(sum.print_time_s + warmup_s),
            sum.mass_g
        ));
    }
    let total = json!({
        "copies": copies,
        "print_time_s": sum.print_time_s,
        "warmup_s": warmup_s,
        "filament_mm": sum.filament_mm,
        "mass_g": sum.mass_g,
    });
    let mut map = Map::new();
    map.insert("schema".to_owned(), json!(1));
    map.insert("file".to_owned(), json!(file));
    map.insert("material".to_owned(), json!(walked.process.material.code));
    map.insert("sheet".to_owned(), json!(walked.process.sheet.code));
    map.insert("class".to_owned(), json!(class.code));
    if let [only] = parts.as_slice() {
        map.extend(only.clone());
    } else {
        map.insert(
            "parts".to_owned(),
            Value::Array(parts.into_iter().map(Value::Object).collect()),
        );
    }
    map.insert("total".to_owned(), total);
    Ok((Value::Object(map), text))
}

/// Seconds as a ticket says them.
pub(crate) fn clock(seconds: f64) -> String {
    partpledge_units::time::Minutes::covering_s(seconds).to_string()
}
