//! `retime`: what motion programs that are there already take on a class of printer.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use partpledge_catalogue::{Catalogue, Material, PrinterClass};
use partpledge_toolpath::program::{ProgramFinding, Retimed, Retiming};
use partpledge_workshop::WorkshopError;
use partpledge_workshop::estimating::{Process, class_for};
use serde_json::{Value, json};

use crate::args::Args;
use crate::output;

use super::estimate::clock;
use super::{folder, look, not_opened};

/// How much of a file is in memory at a time.
const PIECE_BYTES: usize = 256 * 1024;
/// Most words that a person is shown; `--json` has all.
const MOST_WORDS_SHOWN: usize = 12;

pub(crate) async fn run(
    args: &Args,
    files: &[PathBuf],
    [class, material]: [Option<&str>; 2],
    json: bool,
) -> anyhow::Result<u8> {
    let session = look(args).await?;
    let (class, material) = choose(&session.catalogue, class, material)?;
    let mut worst = output::FINE;
    let mut answers = Vec::new();
    for path in files {
        let file = path.display().to_string();
        match retime(path, class, &material) {
            Ok(told) => {
                if !told.findings.is_empty() {
                    worst = worst.max(output::NOT_POSSIBLE);
                }
                if json {
                    answers.push(wire(&file, class, &material, &told));
                } else {
                    output::say(&text(&file, class, &material, &told));
                }
            }
            Err(error) => {
                worst = worst.max(output::code_of(&error));
                if json {
                    answers.push(output::error_json(Some(&file), &error));
                } else {
                    output::say(&output::error_text(Some(&file), &error));
                }
            }
        }
    }
    if json {
        output::say_json(answers);
    }
    Ok(worst)
}

/// The class asked for, or the usual one for the material; PLA unless said.
fn choose<'a>(
    catalogue: &'a Catalogue,
    class: Option<&str>,
    material: Option<&str>,
) -> Result<(&'a PrinterClass, Material), WorkshopError> {
    let process = Process::choose(catalogue, material, None, None)?;
    let class = class_for(catalogue, class, &process, &[])?;
    Ok((class, process.material))
}

/// Reads piece by piece, so that a program of any length can be timed.
fn retime(
    path: &Path,
    class: &PrinterClass,
    material: &Material,
) -> Result<Retimed, WorkshopError> {
    let mut retiming = Retiming::new(class, material)?;
    let trouble = |error: std::io::Error| not_opened(path, &error);
    if path.is_dir() {
        return Err(folder(path));
    }
    let mut file = File::open(path).map_err(trouble)?;
    let mut piece = vec![0; PIECE_BYTES];
    loop {
        match file.read(&mut piece).map_err(trouble)? {
            0 => return Ok(retiming.finish()?),
            some => retiming.feed(&piece[..some])?,
        }
    }
}

fn wire(file: &str, class: &PrinterClass, material: &Material, told: &Retimed) -> Value {
    let words: Vec<Value> = told
        .words
        .iter()
        .map(|word| json!({ "word": word.word, "count": word.count }))
        .collect();
    json!({
        "schema": 1,
        "file": file,
        "class": class.code,
        "material": material.code,
        "time_s": told.time_s,
        "laying_s": told.laying_s,
        "travel_s": told.travel_s,
        "filament_alone_s": told.filament_alone_s,
        "dwell_s": told.dwell_s,
        "heating_s": told.heating_s,
        "filament_mm": told.filament_mm,
        "laid_filament_mm": told.laid_filament_mm,
        "mass_g": told.mass_g,
        "laid_mass_g": told.laid_mass_g,
        "layers": told.layers,
        "climbing_mm": told.climbing_mm,
        "size_mm": told.laid.map(|laid| laid.size_mm()),
        "low_mm": told.laid.map(|laid| laid.low_mm),
        "high_mm": told.laid.map(|laid| laid.high_mm),
        "nozzle_max_c": told.nozzle_c,
        "bed_max_c": told.bed_c,
        "blocks": told.blocks,
        "moves": told.moves,
        "moves_slowed_by_class": told.slowed,
        "moves_not_timed": told.not_timed,
        "checksums_wrong": told.checksums_wrong,
        "lines_passed_over": told.lines_passed_over,
        "skippable_blocks": told.skippable,
        "look_ahead": { "cuts": told.cuts, "at_most_s": told.cuts_at_most_s },
        "words_not_used": words,
        "findings": told.findings.iter().map(finding).collect::<Vec<_>>(),
    })
}

fn finding(found: &ProgramFinding) -> Value {
    let (measured, limit, unit) = found.numbers();
    json!({
        "code": found.code(),
        "severity": "blocking",
        "place_mm": null,
        "measured": measured,
        "limit": limit,
        "unit": unit,
        "why": found.why(),
        "what_to_do": found.what_to_do(),
        "source": "limits of the printer class (the catalogue)",
    })
}

fn text(file: &str, class: &PrinterClass, material: &Material, told: &Retimed) -> String {
    let mut out = format!(
        "{file}: {} on {}, {}\n  {:.0} s laying, {:.0} s between lines, {:.0} s filament alone, {:.0} s dwells, {:.0} s warming up",
        clock(told.time_s),
        class.name,
        material.code,
        told.laying_s,
        told.travel_s,
        told.filament_alone_s,
        told.dwell_s,
        told.heating_s,
    );
    out.push_str(&format!(
        "\n  {:.2} m of filament, {:.1} g; {} layers",
        told.filament_mm / 1000.0,
        told.mass_g,
        told.layers
    ));
    if let Some([x, y, z]) = told.laid.map(|laid| laid.size_mm()) {
        out.push_str(&format!(
            ", {x:.1} x {y:.1} x {z:.1} mm between the lines laid"
        ));
    }
    for (what, asked_c) in [("nozzle", told.nozzle_c), ("bed", told.bed_c)] {
        if let Some(asked_c) = asked_c {
            out.push_str(&format!("\n  {what} up to {asked_c:.0} °C"));
        }
    }
    for found in &told.findings {
        let (code, advice) = (found.code(), found.what_to_do());
        out.push_str(&format!(
            "\n  BLOCKING {code}: {}\n    {advice}",
            found.why()
        ));
    }
    out.push_str(&left_out(told));
    out
}

/// What the time does not hold.
fn left_out(told: &Retimed) -> String {
    let mut out = String::new();
    for (count, what) in [
        (
            told.slowed,
            "moves are slower than the program asks: the class's limits hold",
        ),
        (
            told.not_timed,
            "moves are not timed: nobody knows where they begin, or they are no arc in the plane",
        ),
        (
            told.checksums_wrong,
            "lines do not fit their checksum; they were used",
        ),
        (
            told.lines_passed_over,
            "lines are too long and were not read",
        ),
        (
            told.skippable,
            "lines may be skipped by the operator; they were used",
        ),
        (told.cuts, "times the look-ahead was cut"),
    ] {
        if count > 0 {
            out.push_str(&format!("\n  {count} {what}"));
        }
    }
    if told.cuts > 0 {
        out.push_str(&format!(" ({:.2} s too long at most)", told.cuts_at_most_s));
    }
    if !told.words.is_empty() {
        let shown = told.words.iter().take(MOST_WORDS_SHOWN);
        let list: Vec<String> = shown
            .map(|word| format!("{} x {}", word.count, word.word))
            .collect();
        let more = told.words.len().saturating_sub(MOST_WORDS_SHOWN);
        let rest = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        out.push_str(&format!(
            "\n  counted, not used, not timed: {}{rest}",
            list.join(", ")
        ));
    }
    out
}
