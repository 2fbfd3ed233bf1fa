//! Thickness at points of real parts, written out for another library to measure again.

use std::fmt::Write as _;

use anyhow::{Result, bail};
use partpledge_mesh::rays::Rays;
use partpledge_mesh::thickness::thicknesses;
use rayon::prelude::*;

use crate::judging::{Clean, Judge};

/// Points a part.
const POINTS: usize = 150;

/// For each part of the list, as a JSON line: the triangles in mm, and points with outward normals
/// and our thickness.
pub(crate) fn run(list: &str, out: &str) -> Result<()> {
    let text = std::fs::read_to_string(list)?;
    let judge = Judge::new()?;
    let files: Vec<&str> = text.lines().collect();
    let parts: Vec<Clean> = files
        .par_iter()
        .filter_map(|file| judge.clean(file))
        .collect();
    if parts.is_empty() {
        bail!("no file of the list is a part of usual size");
    }
    let lines: Vec<String> = parts.par_iter().map(line).collect();
    std::fs::write(out, lines.concat())?;
    println!("{} parts, {POINTS} points each", parts.len());
    Ok(())
}

fn line(part: &Clean) -> String {
    let found = thicknesses(&part.mesh, &Rays::through(&part.mesh), POINTS);
    let mut text = format!("{{\"file\": {:?}, \"vertices\": ", part.file);
    list(
        &mut text,
        part.mesh
            .vertices
            .iter()
            .map(|p| p.map(|x| format!("{x:?}"))),
    );
    text.push_str(", \"triangles\": ");
    list(
        &mut text,
        part.mesh.triangles.iter().map(|t| t.map(|i| i.to_string())),
    );
    text.push_str(", \"points\": ");
    list(
        &mut text,
        found.iter().map(|t| t.place_mm.map(|x| format!("{x:?}"))),
    );
    text.push_str(", \"normals\": ");
    list(
        &mut text,
        found.iter().map(|t| t.normal.map(|x| format!("{x:?}"))),
    );
    text.push_str(", \"thickness\": [");
    for (i, t) in found.iter().enumerate() {
        let comma = if i > 0 { ", " } else { "" };
        let _ = write!(text, "{comma}{:?}", t.thickness_mm);
    }
    text.push_str("]}\n");
    text
}

fn list(text: &mut String, rows: impl Iterator<Item = [String; 3]>) {
    let rows: Vec<String> = rows.map(|row| format!("[{}]", row.join(","))).collect();
    let _ = write!(text, "[{}]", rows.join(","));
}
