//! The estimate stage on a file: layers, walls, skins, infill, motion.

use std::hint::black_box;

use partpledge_catalogue::{Catalogue, ProcessSheet};
use partpledge_formats::{Limits, read_model};
use partpledge_mesh::weld;
use partpledge_sections::crossing::Buckets;
use partpledge_sections::{heights, slice};
use partpledge_toolpath::{paths, time};

use crate::timed;

/// Prints a line a run: seconds from the welded mesh to the estimate, of all
/// threads' processors, then of each step; points of the
/// outlines as cut and as cleaned, and the area of all sections. The sheet is the plain one for PLA
/// with layers so thin that there are `layers` of them.
pub(crate) fn run(file: &str, layers: &str, runs: &str) -> Result<(), String> {
    let number = |text: &str| {
        text.parse::<u32>()
            .map_err(|_| format!("not a number: {text}"))
    };
    let (layers, runs) = (number(layers)?.max(1), number(runs)?);
    let told = |e: &dyn std::fmt::Display| format!("{file}: {e}");
    let bytes = std::fs::read(file).map_err(|e| told(&e))?;
    let model = read_model(&bytes, file, &Limits::command_line()).map_err(|e| told(&e))?;
    let mesh = weld(&model.parts[0].mesh, 1.0).mesh;
    let (low, high) = mesh.bounds().ok_or("a part without corners")?;
    let layer_mm = (high[2] - low[2]) / f64::from(layers);
    let catalogue = Catalogue::built_in();
    let (Some(sheet), Some(class), Some(material)) = (
        catalogue.plain_sheet("PLA"),
        catalogue.class("standard"),
        catalogue.material("PLA"),
    ) else {
        return Err("the catalogue has no plain PLA".to_owned());
    };
    let sheet = ProcessSheet {
        layer_height_mm: layer_mm,
        first_layer_height_mm: layer_mm,
        ..sheet.clone()
    };
    let at = heights(low[2], high[2], layer_mm, layer_mm).map_err(|e| told(&e))?;
    let buckets = Buckets::new(&mesh, &at);
    let as_cut: usize = (0..at.len()).map(|i| buckets.layer(i).len()).sum();
    for _ in 0..runs {
        let before = processor_s();
        let (cut, cut_s) = timed(|| slice(&mesh, &at));
        let cut = cut.map_err(|e| told(&e))?;
        let (laid, lines_s) = timed(|| paths(&cut, &sheet));
        let (estimate, time_s) = timed(|| time(&laid, &sheet, class, material));
        let processor = processor_s() - before;
        let estimate = black_box(estimate).map_err(|e| told(&e))?;
        let outlines = || cut.iter().flat_map(|section| &section.outlines);
        let points: usize = outlines().map(Vec::len).sum();
        let area: f64 = cut
            .iter()
            .map(|s| partpledge_sections::area_mm2(&s.outlines))
            .sum();
        println!(
            "{:.6} processor {processor:.2} cut {cut_s:.6} lines {lines_s:.6} time {time_s:.6} layers {} as_cut {as_cut} \
             points {points} area {area:.6} minutes {:.3}",
            cut_s + lines_s + time_s,
            cut.len(),
            estimate.print_time_s / 60.0
        );
    }
    Ok(())
}

/// Seconds that processors spent on this process, all threads; 0 where the system doesn't say.
///
/// # Source
/// proc(5): fields 14 and 15 of `/proc/self/stat`, in hundredths of a second on Linux.
fn processor_s() -> f64 {
    let text = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields = text.rsplit(')').next().unwrap_or_default();
    let ticks = fields.split_whitespace().skip(11).take(2);
    ticks
        .filter_map(|word| word.parse::<f64>().ok())
        .sum::<f64>()
        / 100.0
}
