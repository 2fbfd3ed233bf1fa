//! `estimate`: layers, time, filament, mass, energy, cost, the weakest layer.

use std::path::PathBuf;

use partpledge_catalogue::{Costs, PrinterClass};
use partpledge_costing::{Job, NO_PAYMENTS};
use partpledge_planning_model::PrinterIx;
use partpledge_toolpath::strength::CAUTION;
use partpledge_toolpath::{Estimate, plate_time};
use partpledge_units::time::Minutes;
use partpledge_workshop::estimating::{class_for, timed};
use partpledge_workshop::intake::JudgedPart;
use partpledge_workshop::taking::{
    Taking, lighter_in_words, money_in_words, priced, range_in_words, taking, weak_in_words,
};
use partpledge_workshop::terrain::Terrain;
use partpledge_workshop::{Session, WorkshopError};
use serde_json::{Map, Value, json};

use crate::args::{Args, PartArgs};
use crate::{output, wire};

use super::walk::{self, Walked};
use super::{doubts, look};

pub(crate) async fn run(
    args: &Args,
    files: &[PathBuf],
    (class, printer): (Option<&str>, Option<&str>),
    part: &PartArgs,
) -> anyhow::Result<u8> {
    let session = look(args).await?;
    walk::process(&session, part)?;
    let printer = printer.map(|name| of_name(&session, name)).transpose()?;
    let class = printer.map_or(class, |ix| Some(session.terrain.classes[ix.0].as_str()));
    let mut worst = output::FINE;
    let mut answers = Vec::new();
    for path in files {
        let file = path.display().to_string();
        let walked = walk::judge(&session, path, part);
        match walked.and_then(|walked| one(&session, &file, &walked, (class, printer), part)) {
            Ok((answer, text, code)) => {
                worst = worst.max(code);
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
    p10_s: f64,
    p90_s: f64,
    filament_mm: f64,
    mass_g: f64,
}

impl Sum {
    fn total(&self, copies: u32, warmup_s: f64) -> Value {
        json!({
            "copies": copies,
            "print_time_s": self.print_time_s,
            "warmup_s": warmup_s,
            "filament_mm": self.filament_mm,
            "mass_g": self.mass_g,
        })
    }

    fn job(&self, copies: u32, warmup_s: f64) -> Job {
        Job {
            mass_g: self.mass_g,
            time_s: [self.p10_s + warmup_s, self.p90_s + warmup_s],
            copies,
        }
    }
}

fn one(
    session: &Session,
    file: &str,
    walked: &Walked,
    (class, printer): (Option<&str>, Option<PrinterIx>),
    args: &PartArgs,
) -> Result<(Value, String, u8), WorkshopError> {
    let parts = walked.judged.parts.iter();
    let sizes_mm: Vec<[f64; 3]> = parts.map(JudgedPart::standing_size_mm).collect();
    let class = class_for(&session.catalogue, class, &walked.process, &sizes_mm)?;
    let laid = walk::lay_all(walked)?;
    let copies = args.copies;
    let mut parts = Vec::new();
    let mut text = format!(
        "{file} {}: {} on {}",
        doubts::unit_text(&walked.judged),
        walked.process.key(),
        class.name
    );
    let mut sum = Sum::default();
    let mut warmup_s = 0.0_f64;
    for (part, laid) in walked.judged.parts.iter().zip(&laid) {
        let estimate = timed(laid, &walked.process, class);
        let estimate = estimate.map_err(|error| walk::said_of(part, error))?;
        let hop_mm = laid.size_mm[0].hypot(laid.size_mm[1]);
        let all = plate_time(&[(&estimate, copies)], hop_mm, &walked.process.sheet, class);
        sum.print_time_s += all.print_time_s;
        sum.p10_s += all.spread.p10_s;
        sum.p90_s += all.spread.p90_s;
        sum.filament_mm += f64::from(copies) * estimate.filament_mm;
        sum.mass_g += f64::from(copies) * estimate.mass_g;
        warmup_s = warmup_s.max(estimate.warmup_s);
        text.push_str(&told(part, &estimate));
        let found = doubts::of(part);
        text.push_str(&doubts::findings_text(&found));
        let took = (part, laid, &estimate);
        let taken = taking(took, &walked.process, class, &session.costs, args.load)?;
        let mut map = Map::new();
        map.insert("name".to_owned(), json!(part.name));
        map.extend(wire::estimate(&estimate, part));
        map.extend(wire::taking(&taken, part, &session.costs));
        map.insert("findings".to_owned(), wire::findings(&found));
        if let Some(printer) = printer {
            let time_s = estimate.print_time_s + estimate.warmup_s;
            let (says, json) = learned(
                &session.terrain,
                printer,
                &walked.process.sheet.code,
                time_s,
            );
            text.push_str(&says);
            map.insert("learned".to_owned(), json);
        }
        text.push_str(&taken_text(&taken, walked, &session.costs));
        parts.push(map);
    }
    if copies > 1 {
        text.push_str(&format!(
            "\n  {copies} copies: {}, {:.1} g",
            clock(sum.print_time_s + warmup_s),
            sum.mass_g
        ));
    }
    let mut total = sum.total(copies, warmup_s);
    if let [_] = parts.as_slice() {
        // One plate; parts of several files may lie on several, which only a layout knows.
        let job = sum.job(copies, warmup_s);
        let (energy, cost) = priced(&job, &walked.process, class, &session.costs)?;
        total["energy_wh"] = wire::range(energy);
        total["cost"] = wire::cost(&cost, &session.costs);
    }
    text.push_str(&doubts::left_out_text(&walked.judged));
    let answer = whole(file, walked, class, (parts, total));
    let code = doubts::code_of_file(&walked.judged);
    Ok((Value::Object(answer), text, code))
}

/// A part's line of the answer.
fn told(part: &JudgedPart, estimate: &Estimate) -> String {
    let mut text = format!(
        "\n  {}: {}, {} layers, {}, 9 in 10 under {}, {:.1} g, {:.2} m of filament",
        part.name,
        part.standing.name,
        estimate.layer_s.len(),
        clock(estimate.print_time_s + estimate.warmup_s),
        clock(estimate.spread.p90_s + estimate.warmup_s),
        estimate.mass_g,
        estimate.filament_mm / 1000.0,
    );
    if estimate.support_g > 0.0 {
        let off_g = estimate.support_g;
        text.push_str(&format!(
            ", {off_g:.1} g of it support and brim to take off"
        ));
    }
    text
}

/// What stands at the head of an answer, then its only part or all of them.
fn whole(
    file: &str,
    walked: &Walked,
    class: &PrinterClass,
    (parts, total): (Vec<Map<String, Value>>, Value),
) -> Map<String, Value> {
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
    doubts::insert(&mut map, &walked.judged);
    map
}

/// The printer of that name.
fn of_name(session: &Session, name: &str) -> Result<PrinterIx, WorkshopError> {
    let printers = &session.terrain.region.printers;
    let known = || printers.iter().map(|printer| printer.name.as_str());
    let found = session.terrain.printer_of(name);
    found.ok_or_else(|| WorkshopError::Unknown {
        what: "printer",
        name: name.to_owned(),
        known: known().collect::<Vec<_>>().join(", "),
    })
}

/// What a printer's runs make of a time worked out, warming up included.
fn learned(terrain: &Terrain, printer: PrinterIx, sheet: &str, time_s: f64) -> (String, Value) {
    let name = &terrain.region.printers[printer.0].name;
    let known = terrain.learned.printer(terrain.file.machine_of(name));
    let (runs, factor) = known.map_or((0, None), |known| (known.counted, known.factor()));
    let band = terrain.band(printer, sheet, Minutes::covering_s(time_s));
    let from = match runs {
        0 => "it has no run that counts yet".to_owned(),
        1 => "from 1 run".to_owned(),
        n => format!("from {n} runs"),
    };
    let json = json!({
        "printer": name,
        "runs": runs,
        "factor": factor.map(|factor| factor.median()),
        "p10_min": band.low.0,
        "p50_min": band.middle.0,
        "p90_min": band.high.0,
    });
    (format!("\n    on {name}: {band}; {from}"), json)
}

/// What one copy takes beside time, and bears, a line each.
fn taken_text(taken: &Taking, walked: &Walked, costs: &Costs) -> String {
    let money = |range| money_in_words(range, costs);
    let cost = &taken.cost;
    let mut text = format!(
        "\n    {} Wh, {}: filament {}, energy {}, wear {}, work {}; {} for each good part. {NO_PAYMENTS}",
        range_in_words(taken.energy_wh),
        money(cost.total),
        money([cost.filament; 2]),
        money(cost.energy),
        money(cost.wear),
        money([cost.labour; 2]),
        money(cost.per_good_part),
    );
    if let Some(weak) = &taken.weak {
        for line in weak_in_words(weak).iter().filter(|line| !line.is_empty()) {
            text.push_str(&format!("\n    {line}"));
        }
        text.push_str(&format!("\n    {CAUTION}"));
    }
    if let Some(variant) = &taken.lighter {
        let line = lighter_in_words(variant, &walked.process.sheet);
        text.push_str(&format!("\n    {line}"));
    }
    text
}

/// Seconds as a ticket says them.
pub(crate) fn clock(seconds: f64) -> String {
    partpledge_units::time::Minutes::covering_s(seconds).to_string()
}
