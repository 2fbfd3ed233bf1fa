//! The check sheet's own mesh files, read from STL: exact answers, defects included.
//!
//! Source: the project's check sheet, `checks/mesh/expected.json`, every value recomputed from
//! closed formulas. STL carries f32, so lengths agree to 1e-6 relative, not better.

use std::path::PathBuf;

use partpledge_formats::{Limits, read_model};
use partpledge_mesh::{Facts, facts, repair, weld};
use partpledge_units::tolerance::close;

/// Name, vertices, triangles, volume of the mended mesh, area, open edges, misoriented edges.
type Expected = (&'static str, usize, usize, Option<f64>, f64, usize, usize);

const EXPECTED: [Expected; 8] = [
    ("cube20", 8, 12, Some(8000.0), 2400.0, 0, 0),
    ("box_10x20x30", 8, 12, Some(6000.0), 2200.0, 0, 0),
    (
        "tetra1",
        4,
        4,
        Some(1.0 / 6.0),
        2.366_025_403_784_438_4,
        0,
        0,
    ),
    (
        "prism6_af12p7_h10",
        14,
        24,
        Some(1_396.812_373_763_921),
        719.303_379_875_279,
        0,
        0,
    ),
    (
        "prism64_r11_h7",
        130,
        256,
        Some(2_656.656_571_492_410_4),
        1_242.655_732_883_149_5,
        0,
        0,
    ),
    ("cube20_missing_triangle", 8, 11, None, 2200.0, 3, 0),
    ("cube20_one_flipped", 8, 12, Some(8000.0), 2400.0, 0, 3),
    ("cube20_inverted", 8, 12, Some(8000.0), 2400.0, 0, 0),
];

#[test]
fn the_check_sheets_meshes_have_their_stated_facts() {
    let Some(root) = std::env::var_os("PARTPLEDGE_REFERENCE") else {
        assert!(
            std::env::var("CI").as_deref() != Ok("true"),
            "PARTPLEDGE_REFERENCE must be set"
        );
        println!("SKIPPED: PARTPLEDGE_REFERENCE is not set");
        return;
    };
    let folder = PathBuf::from(root).join("checks/mesh");
    for (name, vertices, triangles, volume_mm3, area_mm2, open, misoriented) in EXPECTED {
        let bytes = std::fs::read(folder.join(format!("{name}.stl"))).unwrap();
        let raw = read_model(&bytes, name, &Limits::command_line())
            .unwrap()
            .parts
            .remove(0)
            .mesh;
        let mesh = weld(&raw, 1.0).mesh;
        let before = facts(&mesh, raw.triangles.len());
        let counts = (
            before.vertices,
            before.triangles,
            before.open.edges,
            before.misoriented.edges,
        );
        assert_eq!(counts, (vertices, triangles, open, misoriented), "{name}");
        assert!(
            close(before.area_mm2, area_mm2, 1e-6, 0.0),
            "{name}: {before:?}"
        );
        let after: Facts = repair(&mesh, &before).map_or(before.clone(), |mended| mended.facts);
        match (after.volume_mm3, volume_mm3) {
            (Some(ours), Some(stated)) => assert!(close(ours, stated, 1e-6, 0.0), "{name}: {ours}"),
            (ours, stated) => assert_eq!(ours, stated, "{name}"),
        }
        let inverted = name == "cube20_inverted";
        assert_eq!(
            before.volume_mm3.is_some_and(|volume| volume < 0.0),
            inverted,
            "{name}"
        );
    }
}
