//! Ways up of real part files: never worse than as sent, how quick, how good the guess of time.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use partpledge_catalogue::Catalogue;
use partpledge_formats::{Limits, RawMesh, read_model};
use partpledge_mesh::{Mesh, weld};
use partpledge_orientation::{Choice, choices};
use partpledge_sections::cut_layers;
use partpledge_toolpath::{paths, time};
use partpledge_units::dice::Dice;

use crate::timed;

/// Files looked at.
const PARTS: usize = 50;
/// Usable rooms of made-up printers, mm.
const BEDS: [[f64; 3]; 3] = [
    [180.0, 180.0, 180.0],
    [250.0, 210.0, 210.0],
    [300.0, 300.0, 320.0],
];
/// Files whose largest side is smaller than this are taken to be in metres.
const METRES_BELOW: f64 = 3.0;
/// Larger parts are not laid line by line here: it would take minutes.
const LAID_TRIANGLES: usize = 150_000;
const LAID_MM: f64 = 260.0;

/// What was found of one file.
struct Row {
    better: bool,
    worse: bool,
    /// Time of `choices` by that of sorting as many numbers.
    ratio: f64,
    /// Guess of time by the lines' own time, as sent and as recommended.
    guesses: Vec<f64>,
    /// Whether guess and lines agree on which of the two is quicker.
    same_order: Option<bool>,
}

/// Runs it on 50 of the STL files under a folder, evenly picked in order of their paths.
pub(crate) fn run(folder: Option<&str>) -> ExitCode {
    let mut files = Vec::new();
    if let Some(folder) = folder {
        gather(Path::new(folder), &mut files);
    }
    files.sort();
    let step = (files.len() / PARTS).max(1);
    let picked = files.iter().step_by(step);
    let rows: Vec<Row> = picked.filter_map(|path| row(path)).take(PARTS).collect();
    if rows.is_empty() {
        eprintln!("no STL file could be read; give a folder of parts: ways DIR");
        return ExitCode::from(2);
    }
    summary(&rows);
    if rows.iter().any(|row| row.worse) {
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}

/// Paths of STL files, links followed by nobody.
fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => gather(&path, files),
            Ok(kind) if kind.is_file() => {
                let stl = path
                    .extension()
                    .is_some_and(|e| e.eq_ignore_ascii_case("stl"));
                files.extend(stl.then_some(path));
            }
            _ => {}
        }
    }
}

/// Millimetres in the file's unit, by its size.
pub(crate) fn unit_mm(raw: &RawMesh) -> f64 {
    let side = (0..3).map(|k| {
        let along = || raw.vertices.iter().map(|p| p[k]);
        along().fold(f64::MIN, f64::max) - along().fold(f64::MAX, f64::min)
    });
    let largest = side.fold(0.0, f64::max);
    if largest < METRES_BELOW { 1000.0 } else { 1.0 }
}

fn row(path: &Path) -> Option<Row> {
    let bytes = std::fs::read(path).ok()?;
    let name = path.file_name()?.to_string_lossy().into_owned();
    let model = read_model(&bytes, &name, &Limits::command_line()).ok()?;
    let raw = &model.parts.first()?.mesh;
    let mesh = weld(raw, unit_mm(raw)).mesh;
    let (list, seconds) = timed(|| choices(&mesh, &BEDS));
    let sent = list.iter().find(|way| way.name == "as sent")?;
    let best = list.first()?;
    let reference = reference_s(mesh.triangles.len());
    let times: Vec<(f64, f64)> = if mesh.triangles.len() <= LAID_TRIANGLES {
        let laid = [sent, best]
            .into_iter()
            .filter_map(|way| laid_s(&mesh, way));
        laid.zip([sent.time_s, best.time_s]).collect()
    } else {
        Vec::new()
    };
    let ratio = seconds / reference;
    let mut says = format!(
        "{:>7} triangles {:>2} ways {ratio:>6.1} of the reference ({:>4.0} ms), score {:.3} to {:.3}, {}",
        mesh.triangles.len(),
        list.len(),
        1000.0 * seconds,
        sent.score,
        best.score,
        best.name
    );
    for (laid_s, guess_s) in &times {
        says.push_str(&format!(", {guess_s:.0} s guessed for {laid_s:.0}"));
    }
    println!("{says}  {name}");
    let same_order = match times.as_slice() {
        [a, b] if (a.0 / b.0 - 1.0).abs() > 0.02 => Some((a.0 < b.0) == (a.1 < b.1)),
        _ => None,
    };
    Some(Row {
        better: best.score < sent.score,
        worse: best.score > sent.score,
        ratio,
        guesses: times.iter().map(|(laid, guess)| guess / laid).collect(),
        same_order,
    })
}

/// Seconds to sort as many numbers as the triangles have coordinates.
pub(crate) fn reference_s(triangles: usize) -> f64 {
    let mut dice = Dice::seeded(1);
    let mut numbers: Vec<f64> = (0..triangles * 9).map(|_| dice.unit()).collect();
    timed(|| numbers.sort_by(f64::total_cmp)).1.max(1e-6)
}

/// Printing time of the lines themselves, without support; `None` when they can't be laid.
fn laid_s(mesh: &Mesh, way: &Choice) -> Option<f64> {
    let catalogue = Catalogue::built_in();
    let sheet = catalogue.plain_sheet("PLA")?;
    let class = catalogue.class("standard")?;
    let material = catalogue.material("PLA")?;
    let turned = mesh.turned(&way.rotation);
    let (low, high) = turned.bounds()?;
    if (0..3).any(|k| high[k] - low[k] > LAID_MM) {
        return None;
    }
    let cut = cut_layers(&turned, sheet.first_layer_height_mm, sheet.layer_height_mm).ok()?;
    let laid = paths(&cut, sheet);
    Some(time(&laid, sheet, class, material).ok()?.print_time_s)
}

fn summary(rows: &[Row]) {
    let count = |of: &dyn Fn(&Row) -> bool| rows.iter().filter(|row| of(row)).count();
    println!(
        "{} parts: recommended better than as sent {}, the same {}, worse {}",
        rows.len(),
        count(&|row| row.better),
        count(&|row| !row.better && !row.worse),
        count(&|row| row.worse)
    );
    let ratios = rows.iter().map(|row| row.ratio).collect();
    say("choices by sorting as many numbers", ratios);
    let guesses: Vec<f64> = rows.iter().flat_map(|row| row.guesses.clone()).collect();
    say("guess of time by the lines' own time", guesses);
    let ordered: Vec<bool> = rows.iter().filter_map(|row| row.same_order).collect();
    println!(
        "of {} parts whose two ways differ by over 2 % in time, the guess has the quicker one in {}",
        ordered.len(),
        ordered.iter().filter(|same| **same).count()
    );
}

fn say(what: &str, mut list: Vec<f64>) {
    list.sort_by(f64::total_cmp);
    let at = |tenth: usize| list.get((list.len() * tenth / 10).min(list.len().saturating_sub(1)));
    if let (Some(low), Some(middle), Some(high)) = (at(1), at(5), at(9)) {
        println!(
            "{what}: middle {middle:.2}, one in ten below {low:.2}, one in ten above {high:.2}"
        );
    }
}
