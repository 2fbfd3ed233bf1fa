//! Speed benches, as ratios against a reference in the same run: machines are noisy, ratios less so.
//!
//! `partpledge-bench stages`: each stage from bytes to lines on a generated part, beside the time
//! to sort as many random numbers as the part has coordinates, single-threaded.
//!
//! `partpledge-bench ways DIR`: the ways up of 50 STL files under a folder; `standing FILE`: those of
//! one file, to be compared.

mod standing;
mod ways;

use std::process::ExitCode;
use std::time::Instant;

use partpledge_formats::{Limits, RawMesh, read_model, write};
use partpledge_mesh::{facts, weld};
use partpledge_orientation::choices;
use partpledge_sections::{cut_layers, silhouette};
use partpledge_toolpath::{paths, time};
use partpledge_units::dice::Dice;

fn main() -> ExitCode {
    match std::env::args().nth(1).as_deref() {
        None | Some("stages") => stages(),
        Some("standing") => return standing::run(std::env::args().nth(2).as_deref()),
        Some("ways") => return ways::run(std::env::args().nth(2).as_deref()),
        Some(other) => {
            eprintln!("there is no bench '{other}'; there are: stages, ways DIR, standing FILE");
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}

/// Runs it and gives its result and the seconds it took.
#[expect(clippy::disallowed_methods, reason = "a bench is about the clock")]
pub(crate) fn timed<T>(run: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let result = run();
    (result, start.elapsed().as_secs_f64())
}

/// A torus of `2 n²` triangles, 60 mm across.
fn torus(n: u32) -> RawMesh {
    let point = |i: u32, j: u32| {
        let angle = |k: u32| (360.0 * f64::from(k % n) / f64::from(n)).to_radians();
        let (round, tube) = (angle(i), angle(j));
        let flat = 22.0 + 8.0 * tube.cos();
        [flat * round.cos(), flat * round.sin(), 8.0 * tube.sin()]
    };
    let vertices = (0..n * n).map(|k| point(k / n, k % n)).collect();
    let at = |i: u32, j: u32| (i % n) * n + j % n;
    let triangles = (0..n * n)
        .flat_map(|k| {
            let (i, j) = (k / n, k % n);
            let (a, b) = (at(i, j), at(i + 1, j));
            let (c, d) = (at(i + 1, j + 1), at(i, j + 1));
            [[a, b, c], [a, c, d]]
        })
        .collect();
    RawMesh {
        vertices,
        triangles,
    }
}

fn stages() {
    let catalogue = partpledge_catalogue::Catalogue::built_in();
    let (Some(sheet), Some(class), Some(material)) = (
        catalogue.plain_sheet("PLA"),
        catalogue.class("standard"),
        catalogue.material("PLA"),
    ) else {
        return;
    };
    for n in [100, 300, 500] {
        let bytes = write::stl_binary(&torus(n));
        let triangles = u64::from(n) * u64::from(n) * 2;
        let mut dice = Dice::seeded(1);
        let mut numbers: Vec<f64> = (0..triangles * 9).map(|_| dice.unit()).collect();
        let ((), reference) = timed(|| numbers.sort_by(f64::total_cmp));
        let row = |name: &str, seconds: f64| {
            println!(
                "{triangles:>8} triangles  {name:<10} {:>7.3} of the reference",
                seconds / reference
            );
        };
        println!(
            "{triangles:>8} triangles  reference: sorting {} numbers",
            triangles * 9
        );
        let (model, s) = timed(|| read_model(&bytes, "torus.stl", &Limits::command_line()));
        row("read", s);
        let Ok(model) = model else { continue };
        let (welded, s) = timed(|| weld(&model.parts[0].mesh, 1.0));
        row("weld", s);
        let (_, s) = timed(|| facts(&welded.mesh, welded.mesh.triangles.len()));
        row("facts", s);
        row("ways up", timed(|| choices(&welded.mesh, &[[200.0; 3]])).1);
        let cut = timed(|| {
            cut_layers(
                &welded.mesh,
                sheet.first_layer_height_mm,
                sheet.layer_height_mm,
            )
        });
        row("cut", cut.1);
        row("shadow", timed(|| silhouette(&welded.mesh)).1);
        let Ok(cut) = cut.0 else { continue };
        let (laid, s) = timed(|| paths(&cut, sheet));
        row("lines", s);
        row("time", timed(|| time(&laid, sheet, class, material)).1);
    }
}
