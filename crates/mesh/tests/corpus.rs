//! Replays the fuzz corpus of the mesh: read, welded, counted and mended, promises checked.
//!
//! The files are those of `dev/fuzz/corpus/mesh`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../dev/fuzz/src/mesh_promise.rs"]
mod mesh_promise;

use std::path::Path;

use mesh_promise::weld_and_check;
use partpledge_formats::{Limits, read_model};

#[test]
fn every_mesh_of_the_corpus_keeps_the_promises() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../dev/fuzz/corpus");
    let mut meshes = 0;
    // The readers' corpora hold meshes too, and odder ones.
    for target in ["mesh", "obj", "stl"] {
        let entries = std::fs::read_dir(folder.join(target)).expect("it is in the checkout");
        let mut paths: Vec<_> = entries
            .map(|entry| entry.expect("the folder can be listed").path())
            .collect();
        paths.sort();
        for path in paths {
            let bytes = std::fs::read(&path).expect("the file can be read");
            let name = if target == "stl" { "x.stl" } else { "x.obj" };
            let Ok(file) = read_model(&bytes, name, &Limits::server()) else {
                continue;
            };
            // Shown only if a promise is broken.
            println!("{}", path.display());
            for part in &file.parts {
                weld_and_check(&part.mesh);
                meshes += 1;
            }
        }
    }
    assert!(meshes >= 30, "the corpus has gone missing: {meshes} meshes");
}
