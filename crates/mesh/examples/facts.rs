//! Facts of model files as CSV, taken as mm unless told otherwise, to hold against a reference.
//!
//! `cargo run -p partpledge-mesh --example facts -- LIST [MM_PER_UNIT [DUMP_DIR]]`: LIST names a file a line.
//! With `DUMP_DIR` the triangles of each part are written there as `N.tri`: nine little-endian
//! f64 a triangle, so that the reference works on exactly the same triangles.

use std::error::Error;
use std::fs;
use std::io::Write;
use std::path::Path;

use partpledge_formats::{Limits, RawMesh, read_model};
use partpledge_mesh::{facts, repair, weld};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let list = arguments
        .next()
        .ok_or("give a file that lists model files")?;
    let mm_per_unit: f64 = arguments.next().map_or(Ok(1.0), |text| text.parse())?;
    let dump_dir = arguments.next();
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "row,path,part,triangles,vertices,shells,watertight,volume,area,dropped,repaired"
    )?;
    let mut row = 0_usize;
    for path in fs::read_to_string(list)?.lines() {
        let file = match read_model(&fs::read(path)?, path, &Limits::command_line()) {
            Ok(file) => file,
            Err(error) => {
                writeln!(out, ",{path},error {},,,,,,,,", error.code())?;
                continue;
            }
        };
        for (i, part) in file.parts.iter().enumerate() {
            if let Some(dir) = &dump_dir {
                dump(&part.mesh, &Path::new(dir).join(format!("{row}.tri")))?;
            }
            writeln!(out, "{row},{path},{i},{}", line(&part.mesh, mm_per_unit))?;
            row += 1;
        }
    }
    Ok(())
}

fn line(raw: &RawMesh, mm_per_unit: f64) -> String {
    let welded = weld(raw, mm_per_unit);
    let facts = facts(&welded.mesh, raw.triangles.len());
    let mended = repair(&welded.mesh, &facts);
    format!(
        "{},{},{},{},{},{:e},{},{}",
        facts.triangles,
        facts.vertices,
        facts.shells.len(),
        facts.watertight,
        facts
            .volume_mm3
            .map_or(String::new(), |volume| format!("{volume:e}")),
        facts.area_mm2,
        welded.degenerate_dropped + welded.duplicates_dropped,
        mended.map_or(String::new(), |mended| format!(
            "{:?}",
            mended.facts.watertight
        )),
    )
}

fn dump(raw: &RawMesh, path: &Path) -> std::io::Result<()> {
    let corners = raw
        .triangles
        .iter()
        .flatten()
        .flat_map(|&i| raw.vertices[i as usize]);
    fs::write(
        path,
        corners.flat_map(f64::to_le_bytes).collect::<Vec<u8>>(),
    )
}
