//! Our triangles for other libraries: what the reader gave and what welding made of it.

use std::io::{self, Write};

use partpledge_formats::{Limits, RawMesh, read_model};
use partpledge_mesh::{Mesh, weld};
use partpledge_units::length::LengthUnit;

/// Writes every part of a file to standard output.
///
/// A line of four numbers a part (corners and triangles as read, corners and triangles as welded),
/// then the corners as three f64 in mm and the triangles as three u32, all little-endian: first as
/// read, then as welded. As `judge --unit mm` has them: only a 3MF says its own unit.
pub(crate) fn run(file: &str) -> Result<(), String> {
    let told = |e: &dyn std::fmt::Display| format!("{file}: {e}");
    let bytes = std::fs::read(file).map_err(|e| told(&e))?;
    let model = read_model(&bytes, file, &Limits::command_line()).map_err(|e| told(&e))?;
    let mm_per_unit = model.declared_unit.map_or(1.0, LengthUnit::mm);
    let mut out = io::BufWriter::new(io::stdout().lock());
    for part in &model.parts {
        let welded = weld(&part.mesh, mm_per_unit).mesh;
        one(&mut out, &part.mesh, mm_per_unit, &welded).map_err(|e| told(&e))?;
    }
    out.flush().map_err(|e| told(&e))
}

fn one(out: &mut impl Write, raw: &RawMesh, mm_per_unit: f64, welded: &Mesh) -> io::Result<()> {
    let many = [
        raw.vertices.len(),
        raw.triangles.len(),
        welded.vertices.len(),
        welded.triangles.len(),
    ];
    writeln!(out, "{} {} {} {}", many[0], many[1], many[2], many[3])?;
    numbers(out, &raw.vertices, mm_per_unit, &raw.triangles)?;
    numbers(out, &welded.vertices, 1.0, &welded.triangles)
}

fn numbers(
    out: &mut impl Write,
    vertices: &[[f64; 3]],
    scale: f64,
    triangles: &[[u32; 3]],
) -> io::Result<()> {
    for x in vertices.iter().flatten() {
        out.write_all(&(x * scale).to_le_bytes())?;
    }
    for i in triangles.iter().flatten() {
        out.write_all(&i.to_le_bytes())?;
    }
    Ok(())
}
