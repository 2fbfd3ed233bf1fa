//! Every kind of picture from generated parts: what its dimension says, and where it is.

use partpledge_formats::{RawMesh, write};
use partpledge_testbed::parts::{self, TeachingPlate};
use partpledge_testbed::shapes::boxes;
use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::Session;
use partpledge_workshop::estimating::Process;
use partpledge_workshop::intake::{JudgedFile, Orient, Stands};
use partpledge_workshop::sending::judged;

use super::*;

/// A part judged as sent, with the rooms of the demo region.
async fn judge(mesh: &RawMesh) -> (JudgedFile, Vec<Bed>) {
    let now = parse_rfc3339("2027-03-09T16:52:00+01:00").unwrap();
    let dir = tempfile::tempdir().unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let session = Session::open(&dir.path().join("data"), region, now)
        .await
        .unwrap();
    let process = Process::choose(&session.catalogue, Some("PLA"), None, None).unwrap();
    let bytes = write::stl_binary(mesh);
    let how = (&process, &Stands::decide(Orient::AsSent));
    let file = judged(&session, (&bytes, "part.stl"), None, how).unwrap();
    (file, session.beds())
}

fn stored(part: &JudgedPart, code: &str) -> StoredFinding {
    let all: Vec<&str> = part.findings.iter().map(|f| f.code).collect();
    let found = part.findings.iter().find(|f| f.code == code);
    let found = found.unwrap_or_else(|| panic!("{code} among {all:?}"));
    StoredFinding {
        code: code.to_owned(),
        severity: found.severity.word().to_owned(),
        place_mm: found.place_mm,
        measured: found.measured,
        limit: found.limit,
        unit: found.unit.to_owned(),
        why: found.why.clone(),
        what_to_do: found.what_to_do.clone(),
        source: String::new(),
    }
}

/// The picture of a finding with that code, and the file.
fn pictured(file: &JudgedFile, beds: &[Bed], code: &str) -> (Picture, String) {
    let part = &file.parts[0];
    let finding = stored(part, code);
    let about = About::new(part, &finding, (0.45, 0.2), beds);
    let svg = about.svg().unwrap();
    for never in ["style=", "class=", "<script", "NaN", "inf"] {
        assert!(!svg.contains(never), "{code}: {never}");
    }
    if let Ok(folder) = std::env::var("PARTPLEDGE_FIGURES") {
        std::fs::write(format!("{folder}/{code}.svg"), &svg).unwrap();
    }
    (about.picture().unwrap(), svg)
}

fn near(value: f64, wanted: f64, by: f64) {
    assert!((value - wanted).abs() <= by, "{value}, not {wanted}");
}

fn middle(dimension: &Dimension) -> [f64; 2] {
    std::array::from_fn(|k| f64::midpoint(dimension.from_mm[k], dimension.to_mm[k]))
}

#[tokio::test]
async fn what_is_measured_in_a_layer_is_dimensioned_where_it_is() {
    let (file, beds) = judge(&parts::teaching_plate()).await;
    let wall = pictured(&file, &beds, "thin-wall").0.dimensions.remove(0);
    near(wall.long_mm(), TeachingPlate::WALL_MM, 0.01);
    assert_eq!(wall.label, "0.4 mm");
    near(middle(&wall)[0], 18.0, 2.0);
    near(middle(&wall)[1], 30.2, 0.02);
    let gap = pictured(&file, &beds, "narrow-gap").0.dimensions.remove(0);
    near(gap.long_mm(), TeachingPlate::GAP_MM, 0.01);
    assert_eq!(gap.label, "0.3 mm");
    near(middle(&gap)[0], 40.15, 0.02);
    near(middle(&gap)[1], 31.0, 3.0);
    let hole = pictured(&file, &beds, "small-hole").0.dimensions.remove(0);
    near(hole.long_mm(), TeachingPlate::HOLE_MM, 0.06);
    near(middle(&hole)[0], 60.0, 0.05);
    near(middle(&hole)[1], 32.0, 0.05);
}

#[tokio::test]
async fn a_printed_line_lies_beside_at_the_same_scale() {
    let (file, beds) = judge(&parts::teaching_plate()).await;
    let (_, svg) = pictured(&file, &beds, "thin-wall");
    assert!(svg.contains("one printed line:") && svg.contains("0.45 mm wide"));
    // 16 mm over 320 px are 20 px a mm: the line is 9 px thick.
    assert!(svg.contains("width=\"56.0\" height=\"9.0\""), "{svg}");
}

#[tokio::test]
async fn ledges_and_bridges_are_cut_where_they_are_longest() {
    let (file, beds) = judge(&parts::teaching_plate()).await;
    let ledge = pictured(&file, &beds, "overhang").0.dimensions.remove(0);
    near(ledge.long_mm(), TeachingPlate::LEDGE_MM, 0.1);
    assert_eq!(ledge.label, "8 mm");
    let under = 15.0 - ledge.from_mm[1];
    assert!((0.0..6.0).contains(&under), "{under} mm below the ledge");
    let (bridge, svg) = pictured(&file, &beds, "long-bridge");
    near(bridge.dimensions[0].long_mm(), TeachingPlate::SPAN_MM, 0.1);
    assert_eq!(bridge.dimensions[0].label, "18 mm");
    assert!(svg.contains(">bed<"), "where the bed is");
}

#[tokio::test]
async fn a_hollow_is_cut_through_its_middle() {
    let (file, beds) = judge(&parts::hollow_ball()).await;
    let hollow = pictured(&file, &beds, "enclosed-hollow")
        .0
        .dimensions
        .remove(0);
    near(hollow.long_mm(), 32.0, 0.2);
    near(middle(&hollow)[0], 0.0, 0.1);
    near(middle(&hollow)[1], 20.0, 0.1);
}

#[tokio::test]
async fn the_skin_is_drawn_with_its_bad_edges_and_a_name() {
    let (file, beds) = judge(&parts::torn_tray()).await;
    let (_, svg) = pictured(&file, &beds, "open-edges");
    assert!(svg.contains("data:image/png;base64,iVBOR"));
    let open = stored(&file.parts[0], "open-edges").measured.unwrap();
    let drawn = svg.matches("stroke-linecap=\"round\"").count() / 2;
    near(drawn as f64, open, 0.0);
    assert!(svg.contains("open here"));
    let (file, beds) = judge(&parts::patched_gear()).await;
    let (_, svg) = pictured(&file, &beds, "mixed-facing");
    assert!(svg.contains("wrong way round") && svg.contains("<circle"));
}

#[tokio::test]
async fn a_part_too_large_lies_over_the_largest_room() {
    let (file, beds) = judge(&parts::hex_prism(20.0, 600.0)).await;
    let (picture, svg) = pictured(&file, &beds, "fits-no-printer");
    let finding = stored(&file.parts[0], "fits-no-printer");
    near(
        picture.dimensions[0].long_mm(),
        finding.measured.unwrap(),
        0.1,
    );
    near(picture.dimensions[1].long_mm(), finding.limit.unwrap(), 0.1);
    assert!(svg.contains("your part: 600 mm"));
}

#[tokio::test]
async fn a_doubtful_unit_shows_the_part_beside_a_pencil() {
    let (file, beds) = judge(&parts::pulley_in_inches()).await;
    let (picture, svg) = pictured(&file, &beds, "unit-doubtful");
    near(picture.dimensions[0].long_mm(), 38.1, 0.2);
    assert!(svg.contains("your part: 38.1 mm") && svg.contains("a new pencil, 175 mm"));
}

#[tokio::test]
async fn a_tower_shows_its_middle_of_weight_over_its_foot() {
    let (file, beds) = judge(&parts::hex_prism(10.0, 100.0)).await;
    let picture = pictured(&file, &beds, "tips-over").0;
    let [from, to] = [picture.dimensions[0].from_mm, picture.dimensions[0].to_mm];
    near(from[1], 50.0, 1e-6);
    near(to[0], 5.0, 1e-3);
    // Static balance: atan(5 / 50) = 5.71 degrees.
    assert_eq!(picture.dimensions[0].label, "falls at 5.71°");
}

#[test]
fn every_code_has_words_for_those_who_see_and_for_those_who_do_not() {
    for lesson in &partpledge_printability::lessons::LESSONS {
        let finding = StoredFinding {
            code: lesson.code.to_owned(),
            severity: "warning".to_owned(),
            place_mm: None,
            measured: Some(1.25),
            limit: None,
            unit: "mm".to_owned(),
            why: lesson.text(),
            what_to_do: lesson.text(),
            source: String::new(),
        };
        assert!(caption(&finding).ends_with('.'));
        assert!(
            alt(&finding).contains("1.25"),
            "{}: the number",
            lesson.code
        );
    }
}

#[tokio::test]
async fn a_piece_in_mid_air_shows_the_air_below_it() {
    let mesh = boxes(&[
        ([0.0; 3], [40.0, 20.0, 4.0]),
        ([0.0, 0.0, 3.5], [6.0, 20.0, 30.0]),
        ([3.0, 5.0, 26.0], [30.0, 15.0, 29.0]),
        // Its lower end starts 12 mm up, with nothing below.
        ([20.0, 6.0, 12.0], [28.0, 14.0, 27.0]),
    ]);
    let (file, beds) = judge(&mesh).await;
    let air = pictured(&file, &beds, "starts-in-air")
        .0
        .dimensions
        .remove(0);
    near(air.long_mm(), 12.0, 0.21);
    near(air.from_mm[1], 0.0, 1e-9);
    let (_, svg) = pictured(&file, &beds, "several-shells");
    assert!(svg.contains("body 1") && svg.contains("body 4"));
    let (_, svg) = pictured(&file, &beds, "self-crossing");
    assert!(svg.contains("they cross here") && svg.contains("<circle"));
}

#[tokio::test]
async fn a_table_on_thin_legs_shows_its_foot() {
    let leg = |x: f64, y: f64| ([x, y, 0.0], [x + 1.0, y + 1.0, 60.0]);
    let mesh = boxes(&[
        leg(0.0, 0.0),
        leg(29.0, 0.0),
        leg(0.0, 29.0),
        leg(29.0, 29.0),
        ([0.0, 0.0, 59.0], [30.0, 30.0, 62.0]),
    ]);
    let (file, beds) = judge(&mesh).await;
    let picture = pictured(&file, &beds, "small-foot").0;
    near(picture.dimensions[0].to_mm[0], 15.0, 0.01);
    assert_eq!(picture.dimensions[0].label, "4 mm²");
}

#[tokio::test]
async fn a_surface_that_leans_too_far_is_ringed_beside_the_lean_that_holds() {
    let (file, beds) = judge(&parts::hollow_ball()).await;
    let (picture, svg) = pictured(&file, &beds, "overhang");
    assert!(picture.dimensions.is_empty(), "an area has no length");
    assert!(svg.contains("hangs over") && svg.contains("45° holds"));
}

#[tokio::test]
async fn every_other_code_is_drawn_whatever_is_missing() {
    let (file, beds) = judge(&parts::teaching_plate()).await;
    let part = &file.parts[0];
    for lesson in &partpledge_printability::lessons::LESSONS {
        for place_mm in [None, Some([18.0, 30.2, 8.1]), Some([500.0, 0.0, -3.0])] {
            let mut finding = stored(part, "thin-wall");
            lesson.code.clone_into(&mut finding.code);
            (finding.place_mm, finding.measured) = (place_mm, None);
            let svg = About::new(part, &finding, (0.45, 0.2), &beds)
                .svg()
                .unwrap();
            assert!(
                svg.ends_with("</svg>\n") && !svg.contains("NaN"),
                "{}",
                lesson.code
            );
            if let (Ok(folder), Some(_)) = (
                std::env::var("PARTPLEDGE_FIGURES"),
                place_mm.filter(|p| p[0] < 100.0),
            ) {
                std::fs::write(format!("{folder}/zz-{}.svg", lesson.code), &svg).unwrap();
            }
        }
    }
}
