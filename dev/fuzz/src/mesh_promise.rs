//! What welding, counting and mending promise about any mesh that a reader lets through.
//!
//! Shared by the fuzz target and, through `#[path]`, by the stable test that replays the corpus.

use partpledge_formats::RawMesh;
use partpledge_mesh::{Facts, Mesh, facts, repair, weld};

/// Welds the mesh as if its unit were a millimetre, an inch and a metre, and checks the rest.
///
/// # Panics
/// When a result breaks a promise of `partpledge_mesh`.
pub fn weld_and_check(raw: &RawMesh) {
    for mm_per_unit in [1.0, 25.4, 1000.0] {
        let welded = weld(raw, mm_per_unit);
        let mesh = &welded.mesh;
        check_mesh(mesh);
        let dropped = welded.degenerate_dropped + welded.duplicates_dropped;
        assert_eq!(
            mesh.triangles.len() + dropped,
            raw.triangles.len(),
            "triangles are lost"
        );
        assert!(
            mesh.vertices.len() <= raw.vertices.len(),
            "corners out of nothing"
        );
        let before = facts(mesh, raw.triangles.len());
        check_facts(&before, mesh, raw.triangles.len());
        let Some(mended) = repair(mesh, &before) else {
            continue;
        };
        assert!(!mended.steps.is_empty(), "mended without a step");
        check_mesh(&mended.mesh);
        assert_eq!(
            mended.mesh.vertices, mesh.vertices,
            "a repair moved a corner"
        );
        assert!(
            mended.mesh.triangles.len() >= mesh.triangles.len(),
            "a repair lost a triangle"
        );
        check_facts(&mended.facts, &mended.mesh, raw.triangles.len());
        // The facts it brings are those of the mesh it brings.
        assert_eq!(
            facts(&mended.mesh, raw.triangles.len()),
            mended.facts,
            "stale facts"
        );
        assert!(
            mended.facts.open.edges <= before.open.edges,
            "a repair tore the mesh"
        );
        assert!(
            mended.facts.watertight || !before.watertight,
            "a repair opened the mesh"
        );
        for step in &mended.steps {
            assert!(!step.to_string().is_empty(), "a step without words");
        }
    }
}

fn check_mesh(mesh: &Mesh) {
    let finite = |c: &f64| c.is_finite();
    assert!(
        mesh.vertices.iter().flatten().all(finite),
        "a corner that is no number"
    );
    let mut used = vec![false; mesh.vertices.len()];
    for &[a, b, c] in &mesh.triangles {
        assert!(
            a != b && b != c && a != c,
            "a triangle with two equal corners"
        );
        for corner in [a, b, c] {
            used[corner as usize] = true;
        }
    }
    assert!(
        used.iter().all(|&used| used),
        "a corner that no triangle uses"
    );
}

fn check_facts(found: &Facts, mesh: &Mesh, triangles_read: usize) {
    assert_eq!(found.triangles, triangles_read, "triangles of the file");
    assert_eq!(found.faces, mesh.triangles.len(), "faces");
    assert_eq!(found.vertices, mesh.vertices.len(), "vertices");
    let of_shells: usize = found.shells.iter().map(|shell| shell.faces).sum();
    assert_eq!(of_shells, found.faces, "every face is in one shell");
    let troubles = [found.open, found.crowded, found.misoriented];
    let sound = troubles.iter().all(|trouble| trouble.edges == 0);
    assert_eq!(
        found.watertight,
        sound && found.faces > 0,
        "watertight without bad edges"
    );
    assert_eq!(
        found.watertight,
        found.volume_mm3.is_some(),
        "a volume if watertight"
    );
    let numbers = found.volume_mm3.iter().chain([&found.area_mm2]);
    let numbers = numbers.chain(&found.size_mm).chain(&found.low_mm);
    assert!(
        numbers.copied().all(f64::is_finite),
        "facts that are no numbers: {found:?}"
    );
    assert!(
        found.area_mm2 >= 0.0 && found.size_mm.iter().all(|&c| c >= 0.0),
        "less than nothing"
    );
    for trouble in troubles {
        assert_eq!(
            trouble.edges > 0,
            trouble.place_mm.is_some(),
            "trouble has a place"
        );
        assert!(
            trouble.runs <= trouble.edges && trouble.longest_run_mm.is_finite(),
            "runs"
        );
    }
}
