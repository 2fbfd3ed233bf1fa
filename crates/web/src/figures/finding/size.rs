//! The part seen straight from one side: against the largest bed, beside a pencil, on its foot.

use partpledge_mesh::Mesh;
use partpledge_mesh::upright::balance;
use partpledge_sections::outlines::bounds_mm;
use partpledge_sections::{Outlines, silhouette};
use partpledge_words::say;

use super::cut::path;
use super::ink::{Dimension, HEIGHT, Scale, Sheet, WIDTH};
use super::{About, Picture, number};

/// A pencil that was never sharpened, mm. Common practice, no source.
const PENCIL_MM: [f64; 2] = [175.0, 7.0];
const ALL: [f64; 4] = [0.0, 0.0, WIDTH, HEIGHT];

/// What a mesh covers seen along one axis: `right` and `up` are the axes that the picture has.
fn shadow(mesh: &Mesh, right: usize, up: usize) -> Option<Outlines> {
    let away = 3 - right - up;
    let turned = Mesh {
        vertices: mesh
            .vertices
            .iter()
            .map(|p| [p[right], p[up], p[away]])
            .collect(),
        triangles: mesh.triangles.clone(),
    };
    silhouette(&turned).ok()
}

/// The part over the room of the largest printer that it does not fit, to scale.
pub(super) fn fit(about: &About<'_>) -> Option<Picture> {
    let (measured, limit) = (about.finding.measured?, about.finding.limit?);
    let mesh = &about.part.mesh;
    let (low, high) = mesh.bounds()?;
    let size: [f64; 3] = std::array::from_fn(|k| high[k] - low[k]);
    let mut order = [0, 1, 2];
    order.sort_by(|&a: &usize, &b| size[a].total_cmp(&size[b]));
    // The side that was measured, and the longest of the others.
    let tight = order
        .iter()
        .position(|&k| (size[k] - measured).abs() < 0.05 + 1e-3 * measured)?;
    let other = if tight == 2 { 1 } else { 2 };
    let bed = partpledge_printability::too_small(size, about.beds);
    let mut room = bed.map_or([limit; 3], |bed| bed.size_mm);
    room.sort_by(f64::total_cmp);
    let outlines = shadow(mesh, order[tight], order[other])?;
    let (left, right) = bounds_mm(&outlines)?;
    let centre = [
        f64::midpoint(left[0], right[0]),
        f64::midpoint(left[1], right[1]),
    ];
    let half = [limit / 2.0, room[other] / 2.0];
    let bed_low = [centre[0] - half[0], centre[1] - half[1]];
    let bed_high = [centre[0] + half[0], centre[1] + half[1]];
    let scale = Scale::fitted(
        [left[0].min(bed_low[0]), left[1].min(bed_low[1])],
        [right[0].max(bed_high[0]), right[1].max(bed_high[1])],
        [14.0, 36.0, WIDTH - 14.0, HEIGHT - 36.0],
    );
    let mut sheet = Sheet::default();
    sheet.clay(&path(&outlines, &scale, ALL), ALL);
    let ([x, y1], [x2, y]) = (scale.place(bed_low), scale.place(bed_high));
    sheet.rectangle([x, y, x2 - x, y1 - y], false, true);
    let above = y.min(scale.place(right)[1]) - 10.0;
    let below = y1.max(scale.place(left)[1]) + 24.0;
    let part = Dimension {
        from_mm: [left[0], scale.back([0.0, above])[1]],
        to_mm: [left[0] + measured, scale.back([0.0, above])[1]],
        label: say!("findings-pic-your-part", n = number(measured)),
    };
    let room = Dimension {
        from_mm: [bed_low[0], scale.back([0.0, below])[1]],
        to_mm: [bed_high[0], scale.back([0.0, below])[1]],
        label: say!("findings-pic-room", n = number(limit)),
    };
    sheet.dimension(&scale, &part);
    sheet.dimension(&scale, &room);
    Some(Picture {
        sheet,
        dimensions: vec![part, room],
    })
}

/// The part beside a pencil.
pub(super) fn beside_a_pencil(about: &About<'_>) -> Option<Picture> {
    let mesh = &about.mesh;
    let (low, high) = mesh.bounds()?;
    let wide = usize::from(high[1] - low[1] > high[0] - low[0]);
    let outlines = shadow(mesh, wide, 2)?;
    let (left, right) = bounds_mm(&outlines)?;
    let gap = 0.1 * (right[1] - left[1]).max(PENCIL_MM[1] * 2.0);
    let pencil_top = left[1] - gap;
    let pencil_low = [left[0], pencil_top - PENCIL_MM[1]];
    let scale = Scale::fitted(
        pencil_low,
        [right[0].max(left[0] + PENCIL_MM[0]), right[1]],
        [14.0, 40.0, WIDTH - 14.0, HEIGHT - 30.0],
    );
    let mut sheet = Sheet::default();
    sheet.clay(&path(&outlines, &scale, ALL), ALL);
    let [x, y] = scale.place([pencil_low[0], pencil_top]);
    let (long, thick) = (
        PENCIL_MM[0] * scale.px_per_mm,
        (PENCIL_MM[1] * scale.px_per_mm).max(2.0),
    );
    sheet.rectangle([x, y, 0.9 * long, thick], false, false);
    sheet.line([x + 0.9 * long, y], [x + long, y + thick / 2.0], 1.2, false);
    sheet.line(
        [x + 0.9 * long, y + thick],
        [x + long, y + thick / 2.0],
        1.2,
        false,
    );
    sheet.text(
        [x, y + thick + 17.0],
        "start",
        false,
        &say!("findings-pic-pencil"),
    );
    let top = scale.back([0.0, scale.place(right)[1] - 10.0])[1];
    let dimension = Dimension {
        from_mm: [left[0], top],
        to_mm: [right[0], top],
        label: say!("findings-pic-your-part", n = number(high[wide] - low[wide])),
    };
    sheet.dimension(&scale, &dimension);
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}

/// How it stands: its foot, its centre of mass, and how far it may lean.
pub(super) fn standing(about: &About<'_>) -> Option<Picture> {
    let solid = about.part.facts.watertight || about.part.repaired.is_some();
    let on_bed = about.layer_mm / 4.0;
    let found = balance(&about.mesh, on_bed, solid);
    // Turned so that it falls to the right.
    let [ux, uy] = found.towards;
    let [cx, cy, cz] = found.centre_mm;
    let flat = |[x, y, z]: [f64; 3]| {
        let (x, y) = (x - cx, y - cy);
        [x * ux + y * uy, z, x * uy - y * ux]
    };
    let turned = Mesh {
        vertices: about.mesh.vertices.iter().map(|&p| flat(p)).collect(),
        triangles: about.mesh.triangles.clone(),
    };
    let outlines = silhouette(&turned).ok()?;
    let (low, high) = bounds_mm(&outlines)?;
    let scale = Scale::fitted(
        [low[0].min(0.0), 0.0],
        [high[0].max(0.0), high[1]],
        [60.0, 14.0, WIDTH - 90.0, HEIGHT - 34.0],
    );
    let mut sheet = Sheet::default();
    sheet.clay(&path(&outlines, &scale, ALL), ALL);
    let bed = scale.place([0.0, 0.0])[1];
    sheet.line([6.0, bed + 1.5], [WIDTH - 6.0, bed + 1.5], 2.0, false);
    let word = say!("findings-pic-standing-bed");
    sheet.text([8.0, bed + 20.0], "start", false, &word);
    let feet = turned
        .vertices
        .iter()
        .filter(|p| p[1] <= on_bed)
        .map(|p| p[0]);
    let (from, to) = feet.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    let (left, right) = (scale.place([from, 0.0]), scale.place([to, 0.0]));
    sheet.line(
        [left[0] - 1.0, bed + 2.0],
        [right[0] + 1.0, bed + 2.0],
        7.0,
        false,
    );
    sheet.text(
        [f64::midpoint(left[0], right[0]), bed + 20.0],
        "middle",
        true,
        &say!("findings-pic-foot"),
    );
    let centre = scale.place([0.0, cz]);
    let edge = scale.place([found.reach_mm, 0.0]);
    sheet.cased(centre, [centre[0], bed], 1.5, true);
    sheet.cased(centre, edge, 1.5, false);
    sheet.centre_of_mass(centre);
    let beside = scale.place(high)[0].max(centre[0] + 14.0) + 8.0;
    let words = [say!("findings-pic-weight-1"), say!("findings-pic-weight-2")];
    sheet.text([beside, centre[1] + 5.0], "start", false, &words[0]);
    sheet.text([beside, centre[1] + 21.0], "start", false, &words[1]);
    let measured = about.finding.measured.unwrap_or(0.0);
    let label = if about.finding.code == "tips-over" {
        say!("findings-pic-falls", n = number(measured))
    } else {
        say!("findings-pic-mm2", n = number(measured))
    };
    sheet.text([WIDTH - 8.0, bed + 20.0], "end", true, &label);
    let dimension = Dimension {
        from_mm: [0.0, cz],
        to_mm: [found.reach_mm, 0.0],
        label,
    };
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}
