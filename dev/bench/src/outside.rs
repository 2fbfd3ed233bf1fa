//! Areas of sections of listed parts, for other libraries to be compared with.

use std::fmt::Write as _;

use partpledge_formats::{Limits, read_model};
use partpledge_mesh::{Mesh, weld};
use partpledge_sections::outlines::perimeter_mm;
use partpledge_sections::{Section, area_mm2, heights, slice};

/// Layers of the comparison, mm.
const LAYER_MM: f64 = 0.2;

/// A part of the list that `dev/python/watertight_parts.py` writes.
pub(crate) struct Part {
    pub(crate) file: String,
    /// By trimesh.
    pub(crate) volume_mm3: f64,
    pub(crate) mesh: Mesh,
}

/// Writes the areas inside our outlines of every part in a list, a JSON line a part, at up to
/// `most` heights: middles of layers of 0.2 mm, evenly picked from the bottom to the top.
pub(crate) fn sections(list: &str, most: &str) -> Result<(), String> {
    let most: usize = most.parse().map_err(|_| format!("not a number: {most}"))?;
    for part in parts(list)? {
        let (low, high) = part.mesh.bounds().ok_or("a part without corners")?;
        let all = heights(low[2], high[2], LAYER_MM, LAYER_MM).map_err(|e| e.to_string())?;
        let count = most.clamp(1, all.len());
        let picked: Vec<f64> = (0..count)
            .map(|i| all[(2 * i + 1) * all.len() / (2 * count)])
            .collect();
        let cut = slice(&part.mesh, &picked).map_err(|e| format!("{}: {e}", part.file))?;
        println!("{}", line(&part.file, &cut));
    }
    Ok(())
}

fn line(file: &str, cut: &[Section]) -> String {
    let mut text = format!("{{\"file\": {file:?}");
    let mut row = |name: &str, value: &dyn Fn(&Section) -> f64| {
        let values: Vec<String> = cut.iter().map(|s| format!("{:?}", value(s))).collect();
        let _ = write!(text, ", \"{name}\": [{}]", values.join(", "));
    };
    row("heights", &|section| section.z_mm);
    row("areas", &|section| area_mm2(&section.outlines));
    row("edges", &|section| perimeter_mm(&section.outlines));
    row("open", &|section| f64::from(section.open_chains));
    text.push('}');
    text
}

/// The parts of a list, in its order.
pub(crate) fn parts(list: &str) -> Result<Vec<Part>, String> {
    let text = std::fs::read_to_string(list).map_err(|e| format!("{list}: {e}"))?;
    text.lines().map(part).collect()
}

fn part(row: &str) -> Result<Part, String> {
    let bad = || format!("not a row of a list of parts: {row}");
    let mut words = row.splitn(4, '\t');
    let mut word = || words.next().ok_or_else(bad);
    let mm_per_unit: f64 = word()?.parse().map_err(|_| bad())?;
    let _bodies = word()?;
    let volume_mm3 = word()?.parse().map_err(|_| bad())?;
    let file = word()?.to_owned();
    let told = |e: &dyn std::fmt::Display| format!("{file}: {e}");
    let bytes = std::fs::read(&file).map_err(|e| told(&e))?;
    let model = read_model(&bytes, &file, &Limits::command_line()).map_err(|e| told(&e))?;
    let mut mesh = Mesh::default();
    for part in &model.parts {
        let base = u32::try_from(mesh.vertices.len()).map_err(|e| told(&e))?;
        let welded = weld(&part.mesh, mm_per_unit).mesh;
        mesh.vertices.extend(&welded.vertices);
        let moved = welded.triangles.iter().map(|t| t.map(|i| i + base));
        mesh.triangles.extend(moved);
    }
    Ok(Part {
        file,
        volume_mm3,
        mesh,
    })
}
