//! Each stage from bytes to lines, beside the time to sort as many random numbers.

use partpledge_formats::{Limits, read_model, write};
use partpledge_mesh::{facts, weld};
use partpledge_orientation::choices;
use partpledge_sections::{cut_layers, silhouette};
use partpledge_toolpath::{paths, time};
use partpledge_units::dice::Dice;

use crate::parts::torus;
use crate::timed;

/// Prints a ratio a stage.
pub(crate) fn stages() {
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
