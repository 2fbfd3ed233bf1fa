//! Floors and lids that are too thin, by rays through the solid. Upright and leaning walls are
//! measured on the layers.

use partpledge_mesh::rays::Rays;
use partpledge_mesh::thickness::{Thickness, thicknesses};
use partpledge_mesh::vector::{dot, double_area, length};

use partpledge_words::{decimal, said};

use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// Points of the surface that are measured.
const POINTS: usize = 4_000;
/// A floor wants this many layers: fewer let light and water through. Common practice, no source.
const GOOD_LAYERS: f64 = 3.0;
/// Both sides must face away from each other this squarely, as a cosine: near an edge everything is
/// thin. Derived here: 20 degrees.
const SQUARE: f64 = 0.94;
/// How upright the normal of a floor is, as a cosine: lying, not leaning. Derived here: 30 degrees.
const LYING: f64 = 0.866;
/// Less surface than this is no floor, mm², nor a smaller share of the surface. Common practice, no
/// source.
const NOTICED_MM2: f64 = 30.0;
const NOTICED_SHARE: f64 = 0.01;

/// A floor or lid of the part as it stands that is thinner than three layers.
pub(crate) fn finding(subject: &Subject<'_>) -> Option<Finding> {
    let facts = subject.final_facts();
    if !facts.watertight {
        return None;
    }
    let limit_mm = GOOD_LAYERS * subject.limits.layer_height_mm;
    let up = subject.up;
    let noticed_mm2 = NOTICED_MM2.max(NOTICED_SHARE * facts.area_mm2);
    // A part with too little that lies needs no rays. A floor has two sides.
    if lying_mm2(subject) < 2.0 * noticed_mm2 {
        return None;
    }
    let measured = thicknesses(subject.mesh, &Rays::through(subject.mesh), POINTS);
    let thin = |t: &&Thickness| {
        let upright = dot(t.normal, up);
        // A tenth of a layer of grace: three layers drawn exactly are three layers.
        t.thickness_mm < limit_mm - 0.1 * subject.limits.layer_height_mm
            && t.facing > SQUARE
            && upright.abs() > LYING
    };
    let floors: Vec<&Thickness> = measured.iter().filter(thin).collect();
    // Each point stands for its share of the surface, and each floor has two sides.
    let area_mm2 = floors.len() as f64 / POINTS as f64 * facts.area_mm2 / 2.0;
    if area_mm2 < noticed_mm2 {
        return None;
    }
    let thinnest = floors
        .iter()
        .min_by(|a, b| a.thickness_mm.total_cmp(&b.thickness_mm))?;
    let layer = short(subject.limits.layer_height_mm);
    let layers = thinnest.thickness_mm / subject.limits.layer_height_mm;
    let thick = short(thinnest.thickness_mm);
    let why = if layers < 1.5 {
        said!("findings-thin-floor-one", thick = thick, layer = layer)
    } else {
        let layers = decimal(layers, 0);
        said!(
            "findings-thin-floor",
            thick = thick,
            layers = layers,
            layer = layer
        )
    };
    Some(Finding {
        code: "thin-floor",
        severity: Severity::Warning,
        place_mm: Some(thinnest.place_mm),
        measured: Some(thinnest.thickness_mm),
        limit: Some(limit_mm),
        unit: "mm",
        why,
        what_to_do: said!("findings-thin-floor-do", thick = short(limit_mm)),
        source: "three layers: common practice, no source; thickness by rays through the solid, \
                 derived here",
    })
}

/// Surface that lies, looking up or down, mm².
fn lying_mm2(subject: &Subject<'_>) -> f64 {
    let doubles = subject.mesh.triangles.iter().map(|t| {
        let normal = double_area(t.map(|i| subject.mesh.vertices[i as usize]));
        let size = length(normal);
        let lies = dot(normal, subject.up).abs() > LYING * size;
        if lies { size } else { 0.0 }
    });
    doubles.sum::<f64>() / 2.0
}
