//! The mesh stage on a file: read, weld, topology, mass.

use std::hint::black_box;

use partpledge_formats::{Limits, read_model, write};
use partpledge_mesh::{crossings, facts, weld};

use crate::parts::knurled_ring;
use crate::timed;

/// Prints a line a run: seconds in all from the file's path to its facts, then of each step, then
/// of the search for crossings, which is not in the sum.
pub(crate) fn run(file: &str, runs: &str) -> Result<(), String> {
    let runs: usize = runs.parse().map_err(|_| format!("not a number: {runs}"))?;
    for _ in 0..runs {
        let (bytes, load_s) = timed(|| std::fs::read(file));
        let bytes = bytes.map_err(|e| format!("{file}: {e}"))?;
        let (model, read_s) = timed(|| read_model(&bytes, file, &Limits::command_line()));
        let model = model.map_err(|e| format!("{file}: {e}"))?;
        let raw = &model.parts[0].mesh;
        let (welded, weld_s) = timed(|| weld(raw, 1.0));
        let (facts, facts_s) = timed(|| facts(&welded.mesh, raw.triangles.len()));
        let (found, cross_s) = timed(|| crossings(&welded.mesh, 1_000));
        black_box((&facts, found));
        println!(
            "{:.6} load {load_s:.6} read {read_s:.6} weld {weld_s:.6} facts {facts_s:.6} \
             crossings {cross_s:.6} triangles {} watertight {} volume {:?}",
            load_s + read_s + weld_s + facts_s,
            facts.triangles,
            facts.watertight,
            facts.volume_mm3
        );
    }
    Ok(())
}

/// Writes a generated part.
pub(crate) fn ring(n: &str, file: &str) -> Result<(), String> {
    let n: u32 = n.parse().map_err(|_| format!("not a number: {n}"))?;
    let bytes = write::stl_binary(&knurled_ring(n));
    std::fs::write(file, bytes).map_err(|e| format!("{file}: {e}"))
}
