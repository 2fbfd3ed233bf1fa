//! Replays the fuzz corpus of the mesh: read, welded, counted and mended, promises checked.
//!
//! The files are those of `dev/fuzz/corpus/mesh`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../dev/fuzz/src/corpus.rs"]
mod files;
#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../dev/fuzz/src/mesh_promise.rs"]
mod mesh_promise;

use files::replayed;
use mesh_promise::weld_and_check;
use partpledge_formats::{Limits, read_model};

#[test]
fn every_mesh_of_the_corpus_keeps_the_promises() {
    let mut meshes = 0;
    // The readers' corpora hold meshes too, and odder ones.
    for target in ["mesh", "obj", "stl"] {
        let name = if target == "stl" { "x.stl" } else { "x.obj" };
        let found = replayed(target, 9, |bytes| {
            let file = read_model(bytes, name, &Limits::server()).ok()?;
            for part in &file.parts {
                weld_and_check(&part.mesh);
            }
            Some(file.parts.len())
        });
        meshes += found.values().sum::<usize>();
    }
    assert!(meshes >= 30, "the corpus has gone missing: {meshes} meshes");
}
