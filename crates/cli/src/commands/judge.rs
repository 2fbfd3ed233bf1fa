//! `judge`: what is wrong, where, why, and what to do.

use std::path::PathBuf;

use partpledge_orientation::Choice;
use partpledge_workshop::intake::{JudgedFile, JudgedPart};

use crate::args::{Args, PartArgs};
use crate::{output, wire};

use super::{doubts, look, walk};

pub(crate) async fn run(args: &Args, files: &[PathBuf], part: &PartArgs) -> anyhow::Result<u8> {
    let session = look(args).await?;
    walk::process(&session, part)?;
    let mut worst = output::FINE;
    let mut answers = Vec::new();
    for path in files {
        let file = path.display().to_string();
        match walk::judge(&session, path, part) {
            Ok(walked) => {
                worst = worst.max(doubts::code_of_file(&walked.judged));
                if part.json {
                    answers.push(wire::judged(&file, &walked.judged));
                } else {
                    output::say(&text(&file, &walked.judged));
                }
            }
            Err(error) => {
                worst = worst.max(output::BAD_INPUT);
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

/// A file for people.
pub(crate) fn text(file: &str, judged: &JudgedFile) -> String {
    let mut out = format!("{file} {}", doubts::unit_text(judged));
    for part in &judged.parts {
        out.push_str("\n  ");
        out.push_str(&part_text(part, judged.parts.len() > 1));
    }
    out.push_str(&doubts::left_out_text(judged));
    out
}

fn part_text(part: &JudgedPart, named: bool) -> String {
    let facts = part
        .repaired
        .as_ref()
        .map_or(&part.facts, |repaired| &repaired.facts);
    let [x, y, z] = facts.size_mm;
    let name = if named {
        format!("{}: ", part.name)
    } else {
        String::new()
    };
    let volume = facts.volume_mm3.map_or_else(
        || "no closed volume".to_owned(),
        |volume| format!("{:.2} cm3", volume / 1000.0),
    );
    let mut out = format!(
        "{name}{x:.1} x {y:.1} x {z:.1} mm, {volume}, {} triangles, {} {}, {}",
        part.facts.triangles,
        facts.shells.len(),
        if facts.shells.len() == 1 {
            "shell"
        } else {
            "shells"
        },
        if facts.watertight {
            "watertight"
        } else {
            "not watertight"
        },
    );
    for repaired in part.repaired.iter().flat_map(|repaired| &repaired.steps) {
        out.push_str(&format!("\n    we mended: {repaired}"));
    }
    out.push_str(&doubts::findings_text(&part.findings));
    if part.findings.is_empty() {
        out.push_str("\n    nothing found");
    }
    out.push_str(&ways_text(&part.ways));
    out
}

/// A short table of the ways to stand; nothing when there is only one.
fn ways_text(ways: &[Choice]) -> String {
    let Some(best) = ways.first().filter(|_| ways.len() > 1) else {
        return String::new();
    };
    let wide = ways.iter().map(|way| way.name.chars().count()).max();
    let wide = wide.unwrap_or(0);
    let mut out = format!(
        "\n    ways to stand{:blank$}  about min  support cm3  high mm  tips deg  rough cm2  printers{}",
        "",
        if best.load.is_some() {
            "  load across layers deg"
        } else {
            ""
        },
        blank = wide.saturating_sub(13)
    );
    for way in ways {
        out.push_str(&format!(
            "\n    {:wide$}  {:>9.0}  {:>11.1}  {:>7.1}  {:>8.0}  {:>9.1}  {:>8}",
            way.name,
            way.time_s / 60.0,
            way.support_mm3 / 1000.0,
            way.height_mm,
            way.tip_over_angle_deg,
            (way.stepped_area_mm2 + way.scarred_area_mm2) / 100.0,
            way.fits_beds,
        ));
        if let Some(load) = way.load {
            out.push_str(&format!("  {:>22.0}", load.across_deg));
        }
    }
    out.push_str(&format!(
        "\n    we recommend {}: {}{}",
        best.name,
        if best.name == "as sent" {
            ""
        } else {
            "against as sent, "
        },
        best.reasons.join(", ")
    ));
    out
}
