//! Support, bridges, brim and infill patterns of parts whose lengths have closed forms.

use partpledge_catalogue::{Catalogue, InfillPattern, ProcessSheet};
use partpledge_mesh::Mesh;
use partpledge_sections::cut_layers;
use partpledge_testbed::shapes::boxes;
use partpledge_toolpath::{LineKind, Paths, no_void_spacing_mm, paths, time};
use partpledge_units::tolerance::close;

type Box3 = ([f64; 3], [f64; 3]);

fn laid(list: &[Box3], sheet: &ProcessSheet) -> Paths {
    let raw = boxes(list);
    let mesh = Mesh {
        vertices: raw.vertices,
        triangles: raw.triangles,
    };
    let cut = cut_layers(&mesh, sheet.first_layer_height_mm, sheet.layer_height_mm)
        .expect("boxes can be cut");
    paths(&cut, sheet)
}

fn plain() -> ProcessSheet {
    let catalogue = Catalogue::built_in();
    let sheet = catalogue.plain_sheet("PLA").expect("there is PLA");
    sheet.clone()
}

/// A post of 10 x 10 mm and 20 mm high under a slab of 40 x 40 x 4 mm.
const TABLE: [Box3; 2] = [
    ([-5.0, -5.0, 0.0], [5.0, 5.0, 20.0]),
    ([-20.0, -20.0, 20.0], [20.0, 20.0, 24.0]),
];

#[test]
fn support_under_a_table_is_its_columns_times_their_density() {
    let sheet = plain();
    let spacing = no_void_spacing_mm(0.45, 0.2);
    let laid = laid(&TABLE, &sheet);
    let column_mm2 = 40.0 * 40.0 - 11.0 * 11.0;
    let pitch = spacing / 0.16;
    for i in [5, 50, 90] {
        let got = laid.layers[i].length_mm(Some(LineKind::Support));
        assert!(
            close(got, column_mm2 / pitch, 0.03, 0.0),
            "layer {i}: {got}"
        );
    }
    // One layer stays open under the slab, the two below it are three times as dense.
    let at = |i: usize| laid.layers[i].length_mm(Some(LineKind::Support));
    assert!(at(99) <= 0.0 && at(100) <= 0.0);
    for i in [97, 98] {
        assert!(
            close(at(i), 3.0 * column_mm2 / pitch, 0.03, 0.0),
            "{}",
            at(i)
        );
    }
    let catalogue = Catalogue::built_in();
    let (class, pla) = (
        catalogue.class("standard").unwrap(),
        catalogue.material("PLA").unwrap(),
    );
    let with = time(&laid, &sheet, class, pla).unwrap();
    let none = ProcessSheet {
        support_percent: 0.0,
        ..sheet
    };
    let without = time(&self::laid(&TABLE, &none), &none, class, pla).unwrap();
    assert!(close(
        with.mass_g - without.mass_g,
        with.support_g,
        1e-9,
        0.0
    ));
    assert!(with.print_time_s > 1.1 * without.print_time_s && without.support_mm <= 0.0);
}

#[test]
fn support_keeps_its_distance_from_the_part() {
    let sheet = plain();
    let laid = laid(&TABLE, &sheet);
    for layer in &laid.layers[..99] {
        let support = layer
            .lines
            .iter()
            .filter(|line| line.kind == LineKind::Support);
        for point in support.flat_map(|line| &line.points) {
            let beside = point[0].abs().max(point[1].abs());
            assert!(beside > 5.5 - 1e-3 && beside < 20.0 + 1e-3, "{point:?}");
        }
    }
}

#[test]
fn support_that_stands_on_the_part_leaves_a_layer_open_there() {
    // A slab below, a table on it.
    let mut list = vec![([-20.0, -20.0, 0.0], [20.0, 20.0, 4.0])];
    list.extend(TABLE.map(|(low, high)| {
        let up = |p: [f64; 3]| [p[0], p[1], p[2] + 4.0];
        (up(low), up(high))
    }));
    let laid = laid(&list, &plain());
    let at = |i: usize| laid.layers[i].length_mm(Some(LineKind::Support));
    assert!(
        at(19) <= 0.0 && at(20) <= 0.0 && at(21) > 100.0,
        "{} {}",
        at(20),
        at(21)
    );
}

#[test]
fn a_small_ledge_gets_none_and_a_piece_that_begins_in_mid_air_always_does() {
    let post = ([0.0, 0.0, 0.0], [20.0, 20.0, 20.0]);
    let ledge = |out: f64| ([20.0, 0.0, 10.0], [20.0 + out, 20.0, 14.0]);
    let length = |more: Box3| laid(&[post, more], &plain()).length_mm(LineKind::Support);
    assert!(length(ledge(1.8)) <= 0.0);
    assert!(length(ledge(6.0)) > 500.0);
    // A knob of 1.2 mm that hangs beside the post and joins it higher up.
    let knob = ([22.0, 9.0, 8.0], [23.2, 10.2, 20.0]);
    let arm = ([20.0, 9.0, 18.0], [23.2, 10.2, 20.0]);
    let got = laid(&[post, knob, arm], &plain()).length_mm(LineKind::Support);
    assert!(got > 20.0, "{got}");
}

#[test]
fn a_gate_is_bridged_from_post_to_post_and_needs_no_support() {
    let gate = |room: f64| {
        let over = room + 16.0;
        [
            ([0.0, 0.0, 0.0], [8.0, 20.0, 10.0]),
            ([8.0 + room, 0.0, 0.0], [over, 20.0, 10.0]),
            ([0.0, 0.0, 10.0], [over, 20.0, 14.0]),
        ]
    };
    let narrow = laid(&gate(8.0), &plain());
    assert!(narrow.length_mm(LineKind::Support) <= 0.0);
    let bridged: Vec<_> = narrow.layers[50]
        .lines
        .iter()
        .filter(|line| line.kind == LineKind::Bridge)
        .collect();
    assert!(bridged.len() > 30);
    for line in &bridged {
        let (a, b) = (line.points[0], line.points[1]);
        assert!((a[1] - b[1]).abs() < 1e-9, "across: {a:?} {b:?}");
        // A line's width onto both posts.
        assert!(close((a[0] - b[0]).abs(), 8.9, 0.02, 0.0), "{a:?} {b:?}");
    }
    assert!(narrow.layers[51].length_mm(Some(LineKind::Bridge)) <= 0.0);
    let wide = laid(&gate(24.0), &plain());
    assert!(wide.length_mm(LineKind::Support) > 1_000.0 && wide.length_mm(LineKind::Bridge) <= 0.0);
}

#[test]
fn what_a_gate_is_solid_with_does_not_depend_on_being_bridged() {
    let gate = [
        ([0.0, 0.0, 0.0], [8.0, 20.0, 10.0]),
        ([16.0, 0.0, 0.0], [24.0, 20.0, 10.0]),
        ([0.0, 0.0, 10.0], [24.0, 20.0, 14.0]),
    ];
    let solid = ProcessSheet {
        infill_percent: 100.0,
        ..plain()
    };
    let got = laid(&gate, &solid).volume_mm3();
    let want = 2.0 * 8.0 * 20.0 * 10.0 + 24.0 * 20.0 * 4.0;
    assert!(close(got, want, 0.02, 0.0), "{got} {want}");
}

#[test]
fn a_brim_is_its_loops_round_the_foot() {
    let sheet = ProcessSheet {
        brim_lines: 5,
        ..plain()
    };
    let spacing = no_void_spacing_mm(0.45, 0.2);
    let laid = laid(&[([0.0; 3], [20.0, 30.0, 3.0])], &sheet);
    // Square corners: each loop is 8 times its distance longer than the foot.
    let want: f64 = (0..5)
        .map(|k| 100.0 + 8.0 * (f64::from(k) + 0.5) * spacing)
        .sum();
    let got = laid.length_mm(LineKind::Brim);
    assert!(close(got, want, 1e-3, 0.0), "{got} {want}");
    assert!(laid.layers[1].length_mm(Some(LineKind::Brim)) <= 0.0);
    assert_eq!(laid.layers[0].lines[0].kind, LineKind::Brim);
}

#[test]
fn three_way_lines_weigh_what_crossed_lines_weigh() {
    let with = |infill_pattern| {
        let sheet = ProcessSheet {
            infill_pattern,
            ..plain()
        };
        laid(&[([0.0; 3], [40.0, 40.0, 20.0])], &sheet)
    };
    let (crossed, three_way) = (with(InfillPattern::Crossed), with(InfillPattern::ThreeWay));
    let [a, b] = [&crossed, &three_way].map(|laid| laid.length_mm(LineKind::Infill));
    assert!(close(a, b, 0.02, 0.0), "{a} {b}");
    let infill = three_way.layers[50]
        .lines
        .iter()
        .filter(|line| line.kind == LineKind::Infill);
    let mut ways: Vec<i64> = infill
        .map(|line| {
            let [dx, dy] = [0, 1].map(|k| line.points[1][k] - line.points[0][k]);
            partpledge_units::cast::round_i64(dy.atan2(dx).to_degrees().rem_euclid(180.0)).unwrap()
                % 180
        })
        .collect();
    ways.sort_unstable();
    ways.dedup();
    assert_eq!(ways, [0, 60, 120]);
}

#[test]
fn a_steep_slope_needs_none_and_a_shallow_one_does() {
    // A stair of one-layer steps on one side is a slope: 0.2 mm high, `out` long.
    let slope = |out: f64| {
        let steps = (0..60_u8).map(|k| {
            let (z, x) = (0.2 * f64::from(k), out * f64::from(k));
            ([0.0, 0.0, z], [20.0 + x, 20.0, z + 0.2])
        });
        laid(&steps.collect::<Vec<_>>(), &plain()).length_mm(LineKind::Support)
    };
    // 0.2 mm out is 45 degrees; 0.5 is 68.
    assert!(slope(0.2) <= 0.0);
    let got = slope(0.5);
    // A wedge 30 mm long and 12 mm high, 20 mm broad, less the last millimetres.
    let wedge = 30.0 * 12.0 / 2.0 * 20.0 / 0.2 * 0.16 / no_void_spacing_mm(0.45, 0.2);
    assert!(got > 0.5 * wedge && got < 1.3 * wedge, "{got} {wedge}");
}
