//! What is written is read back, and no bytes make a reader panic.

use crate::support::packs::{box_mesh, corner_object, model, package, volume, zip_of};
use partpledge_formats::write::Placement;
use partpledge_formats::{Limits, RawMesh, RawPart, read_model, write};
use partpledge_units::length::LengthUnit;
use partpledge_units::tolerance::close;
use proptest::prelude::*;

/// Meshes of any shape, sound by index, in numbers that `f32` holds.
fn meshes() -> impl Strategy<Value = RawMesh> {
    let vertex = prop::array::uniform3((-1e6_f32..1e6).prop_map(f64::from));
    (
        prop::collection::vec(vertex, 4..40),
        prop::collection::vec(any::<[u16; 3]>(), 1..60),
    )
        .prop_map(|(vertices, triangles)| {
            let count = u32::try_from(vertices.len()).expect("a few dozen");
            let triangles = triangles
                .iter()
                .map(|t| t.map(|i| u32::from(i) % count))
                .collect();
            RawMesh {
                vertices,
                triangles,
            }
        })
}

/// The corners of every triangle, bit for bit.
fn soup(mesh: &RawMesh) -> Vec<[[u64; 3]; 3]> {
    let corner = |i: u32| mesh.vertices[i as usize].map(|c| (c + 0.0).to_bits());
    mesh.triangles.iter().map(|t| t.map(corner)).collect()
}

fn read_back(bytes: &[u8], name: &str) -> Vec<RawPart> {
    read_model(bytes, name, &Limits::server())
        .expect("our own files can be read")
        .parts
}

fn samples() -> Vec<(Vec<u8>, &'static str)> {
    let mesh = box_mesh([1.0, 2.0, 3.0]);
    let nested = corner_object(1, "name=\"a\"")
        + "<object id=\"2\"><components><component objectid=\"1\" \
           transform=\"0 1 0 -1 0 0 0 0 1 0 0 3\"/></components></object>";
    let three_mf = package(&model("unit=\"inch\"", &nested, "<item objectid=\"2\"/>"));
    vec![
        (write::stl_binary(&mesh), "a.stl"),
        (write::stl_ascii(&mesh, "a"), "a.stl"),
        (write::obj(&mesh, "a"), "a.obj"),
        (
            zip_of(&[("a.stl", &write::stl_binary(&mesh)), ("b.3mf", &three_mf)]),
            "a.zip",
        ),
        (three_mf, "a.3mf"),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_format_gives_the_triangles_back(mesh in meshes()) {
        let before = soup(&mesh);
        for (bytes, name) in [
            (write::stl_binary(&mesh), "x.stl"),
            (write::stl_ascii(&mesh, "a facet of mine"), "x.stl"),
            (write::obj(&mesh, "x"), "x.obj"),
        ] {
            prop_assert_eq!(&soup(&read_back(&bytes, name)[0].mesh), &before);
        }
        let kept: Vec<_> =
            before.iter().filter(|[a, b, c]| a != b && b != c && a != c).copied().collect();
        let part = RawPart { name: "x".to_owned(), mesh };
        let bytes = write::three_mf(&[part], LengthUnit::Millimetre);
        let after = read_model(&bytes, "x.3mf", &Limits::server());
        match after {
            Ok(file) => prop_assert_eq!(&soup(&file.parts[0].mesh), &kept),
            Err(error) => prop_assert!(kept.is_empty(), "{}", error),
        }
    }

    #[test]
    fn arbitrary_bytes_never_make_a_reader_panic(
        bytes in prop::collection::vec(any::<u8>(), 0..600),
        start in 0_usize..6,
        name in prop::sample::select(vec!["x.stl", "x.obj", "x.3mf", "x.zip", "x", "x.step"]),
    ) {
        let starts = [&b""[..], b"solid x\nfacet\n", b"v 1 2 3\nf ", b"PK\x03\x04", b"PK\x05\x06", b"<?xml"];
        let bytes = [starts[start], &bytes].concat();
        let _ = read_model(&bytes, name, &Limits::server());
    }

    #[test]
    fn changed_files_never_make_a_reader_panic(
        which in 0_usize..5,
        changes in prop::collection::vec((any::<u32>(), any::<u8>()), 1..12),
        cut in any::<u32>(),
    ) {
        let (mut bytes, name) = samples().swap_remove(which);
        for (at, value) in changes {
            let at = at as usize % bytes.len();
            bytes[at] = value;
        }
        if cut % 4 == 0 {
            bytes.truncate(cut as usize / 4 % bytes.len());
        }
        if let Ok(file) = read_model(&bytes, name, &Limits::server()) {
            prop_assert!(!file.parts.is_empty());
            for part in &file.parts {
                let count = part.mesh.vertices.len();
                prop_assert!(!part.mesh.triangles.is_empty());
                prop_assert!(part.mesh.triangles.iter().flatten().all(|&i| (i as usize) < count));
                prop_assert!(part.mesh.vertices.iter().flatten().all(|c| c.is_finite()));
            }
        }
    }

    #[test]
    fn changed_models_inside_a_package_never_make_a_reader_panic(
        changes in prop::collection::vec((any::<u32>(), 0x20_u8..0x7f), 1..12),
    ) {
        let nested = corner_object(1, "name=\"a\"")
            + "<object id=\"2\"><components><component objectid=\"1\"/></components></object>";
        let mut text = model("unit=\"inch\"", &nested, "<item objectid=\"2\"/>").into_bytes();
        for (at, value) in changes {
            let at = at as usize % text.len();
            text[at] = value;
        }
        let text = String::from_utf8(text).expect("all ASCII");
        let _ = read_model(&package(&text), "x.3mf", &Limits::server());
    }
}

#[test]
fn a_plate_places_one_object_many_times() {
    let part = RawPart {
        name: "box <1>".to_owned(),
        mesh: box_mesh([1.0, 2.0, 3.0]),
    };
    let turn = [
        0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0, 40.0, 50.0, 0.0,
    ];
    let stay = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, -0.0, 0.5, 0.0];
    let items = [turn, stay, turn].map(|transform| Placement {
        object: 0,
        transform,
    });
    let bytes = write::three_mf_plate(&[part], &items, LengthUnit::Millimetre);
    let parts = read_back(&bytes, "plate.3mf");
    let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["box <1>", "box <1> (2)", "box <1> (3)"]);
    assert!(
        parts
            .iter()
            .all(|part| close(volume(&part.mesh), 6.0, 1e-12, 0.0))
    );
    let low_x = parts[0]
        .mesh
        .vertices
        .iter()
        .map(|p| p[0])
        .fold(f64::INFINITY, f64::min);
    assert!(close(low_x, 38.0, 1e-12, 0.0), "{low_x}");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for _ in 0..2 {
        let parts = [1.0, 2.0].map(|s| RawPart {
            name: format!("{s}"),
            mesh: box_mesh([s, 1.0, 1.0]),
        });
        let bytes = write::three_mf(&parts, LengthUnit::Centimetre);
        assert_eq!(bytes, write::three_mf(&parts, LengthUnit::Centimetre));
        // MS-DOS date and time of 1 January 1980, 00:00, in the first local header.
        assert_eq!(bytes[10..14], [0, 0, 0x21, 0]);
    }
}

#[test]
fn an_stl_soup_is_written_to_3mf_with_shared_corners() {
    let soup = read_back(&write::stl_binary(&box_mesh([1.0, 2.0, 3.0])), "x.stl");
    assert_eq!(soup[0].mesh.vertices.len(), 36);
    let joined = read_back(&write::three_mf(&soup, LengthUnit::Millimetre), "x.3mf");
    assert_eq!(joined[0].mesh.vertices.len(), 8);
    assert_eq!(joined[0].mesh.triangles.len(), 12);
}

#[test]
fn names_with_line_ends_can_not_smuggle_lines_into_a_file() {
    let mesh = box_mesh([1.0; 3]);
    let name = "x\nv 9 9 9\nendsolid\u{0}";
    for bytes in [write::stl_ascii(&mesh, name), write::obj(&mesh, name)] {
        let text = String::from_utf8(bytes.clone()).unwrap();
        assert!(text.lines().next().unwrap().ends_with("xv 9 9 9endsolid"));
        assert_eq!(read_back(&bytes, "x")[0].mesh.triangles.len(), 12);
    }
    let part = RawPart {
        name: "\u{1}a\u{ffff}\"<&".to_owned(),
        mesh,
    };
    assert_eq!(
        read_back(&write::three_mf(&[part], LengthUnit::Inch), "x")[0].name,
        "a\"<&"
    );
}
