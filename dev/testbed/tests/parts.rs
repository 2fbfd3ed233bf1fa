//! The demo's files, read back like anyone's.

use partpledge_catalogue::{Catalogue, RegionFile};
use partpledge_formats::{Limits, RawMesh, read_model};
use partpledge_mesh::{facts, weld};
use partpledge_testbed::{ambrel_valley, files, parts};
use partpledge_units::tolerance::close;

fn volume_mm3(mesh: &RawMesh) -> f64 {
    let welded = weld(mesh, 1.0);
    let facts = facts(&welded.mesh, mesh.triangles.len());
    assert!(facts.watertight);
    facts.volume_mm3.expect("a watertight mesh has a volume")
}

/// Area of a regular outline of 96 corners, as our circles are drawn.
fn drawn_circle(radius_mm: f64) -> f64 {
    48.0 * radius_mm * radius_mm * (360.0_f64 / 96.0).to_radians().sin()
}

#[test]
fn solids_with_closed_forms_have_their_volume() {
    // checks/mesh: hexagonal prism 12.7 across flats, 10 high (recomputed).
    assert!(close(
        volume_mm3(&parts::hex_prism(12.7, 10.0)),
        1_396.812_373_763_921,
        1e-9,
        0.0
    ));
    let washer = (drawn_circle(8.0) - drawn_circle(4.1)) * 2.0;
    assert!(close(volume_mm3(&parts::axle_washer()), washer, 1e-9, 0.0));
    let spacer = 1_396.812_373_763_921 - drawn_circle(3.2) * 10.0;
    assert!(close(volume_mm3(&parts::hex_spacer()), spacer, 1e-9, 0.0));
    let bore = 139.681_237_376_392_1;
    let hub = (drawn_circle(25.0) - bore - 6.0 * drawn_circle(2.1)) * 5.0
        + (drawn_circle(12.0) - bore) * 15.0;
    assert!(close(volume_mm3(&parts::wheel_hub()), hub, 1e-9, 0.0));
    // Foot, gusset (a trapezium), post and lip, less the axle hole.
    let bracket = 200.0 + 312.0 + 48.0 + 72.0 - drawn_circle(2.5);
    let got = volume_mm3(&parts::bracket()) / 30.0;
    assert!(close(got, bracket, 1e-9, 0.0), "{got} {bracket}");
    // A ball of 32 x 64 faces is a little smaller than the ball it stands for.
    let ball = 4.0 / 3.0 * std::f64::consts::PI * (8_000.0 - 4_096.0);
    let got = volume_mm3(&parts::hollow_ball());
    assert!(got < ball && close(got, ball, 0.01, 0.0), "{got} {ball}");
}

#[test]
fn every_file_reads_back_and_the_defects_are_the_intended_ones() {
    let all = files();
    assert!(all.len() >= 12);
    for file in all {
        let model = read_model(&file.bytes, file.name, &Limits::server()).unwrap();
        let raw = &model.parts[0].mesh;
        let facts = facts(&weld(raw, 1.0).mesh, raw.triangles.len());
        let torn = file.name == "torn-tray.stl" || file.name == "patched-gear.stl";
        assert_eq!(facts.watertight, !torn, "{}", file.name);
    }
}

#[test]
fn the_region_has_the_size_it_says_and_keeps_its_rules() {
    let region = RegionFile::parse(ambrel_valley(), &Catalogue::built_in()).unwrap();
    let counts = (
        region.schools.len(),
        region.teams.len(),
        region.hosts.len(),
        region.printers.len(),
    );
    assert_eq!(counts, (14, 40, 9, 36));
    let mut classes: Vec<&str> = region.printers.iter().map(|p| p.class.as_str()).collect();
    classes.sort_unstable();
    classes.dedup();
    assert_eq!(classes.len(), 5);
    assert!(
        files()
            .iter()
            .all(|file| region.teams.iter().any(|team| team.name == file.team))
    );
    let alone = region
        .printers
        .iter()
        .filter(|p| p.unattended_permission.is_some())
        .count();
    assert!(
        alone > 0 && alone < 36,
        "only where the owner has allowed it: {alone}"
    );
}
