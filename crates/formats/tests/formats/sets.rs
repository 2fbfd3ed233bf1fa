//! Zips of several parts.

use crate::support::packs::{box_mesh, code, corner_object, model, package, read, volume, zip_of};
use partpledge_formats::{FileKind, Limits, ReadError, read_model, write};
use partpledge_units::length::LengthUnit;
use partpledge_units::tolerance::close;

fn stl() -> Vec<u8> {
    write::stl_binary(&box_mesh([1.0, 2.0, 3.0]))
}

#[test]
fn every_readable_member_is_a_part_named_after_its_file() {
    let obj = write::obj(&box_mesh([1.0, 2.0, 3.0]), "inner name");
    let bytes = zip_of(&[
        ("left/arm.stl", &stl()),
        ("right\\arm.STL", &stl()),
        ("hub.obj", &obj),
        ("__MACOSX/left/._arm.stl", b"junk"),
        ("left/.hidden.stl", b"junk"),
        (".git/x.stl", b"junk"),
        ("notes.txt", b"print two of each"),
        ("photo.png", b"\x89PNG"),
    ]);
    let file = read(&bytes, "parts.zip").unwrap();
    assert_eq!((file.kind, file.declared_unit), (FileKind::Zip, None));
    let names: Vec<&str> = file.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["arm", "arm (2)", "hub"]);
    assert!(
        file.parts
            .iter()
            .all(|part| close(volume(&part.mesh), 6.0, 1e-9, 0.0))
    );
    assert_eq!(file.left_out, []);
}

#[test]
fn a_member_that_can_not_be_read_is_named_beside_the_parts() {
    let bytes = zip_of(&[
        ("arm.stl", &stl()),
        ("broken.stl", &stl()[..300]),
        ("base.step", b"ISO-10303-21;"),
        ("empty.obj", b""),
    ]);
    let file = read(&bytes, "parts.zip").unwrap();
    assert_eq!(file.parts.len(), 1);
    let left_out: Vec<(&str, &str)> = file
        .left_out
        .iter()
        .map(|out| (out.name.as_str(), out.why.code()))
        .collect();
    let expected = [
        ("broken.stl", "truncated"),
        ("base.step", "cad-file"),
        ("empty.obj", "empty-file"),
    ];
    assert_eq!(left_out, expected);
}

#[test]
fn a_zip_without_parts_says_what_is_wrong() {
    assert_eq!(code(&zip_of(&[]), "x.zip"), "no-model-in-archive");
    assert_eq!(
        code(&zip_of(&[("a.txt", b"x")]), "x.zip"),
        "no-model-in-archive"
    );
    assert_eq!(
        code(
            &zip_of(&[("a.txt", b"x"), ("arm.stp", b"ISO-10303-21;")]),
            "x.zip"
        ),
        "cad-file"
    );
    let error = read(&zip_of(&[("a/arm.stl", &stl()[..300])]), "x.zip").unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("'a/arm.stl': the file breaks off"),
        "{error}"
    );
}

#[test]
fn a_3mf_among_the_members_gives_all_its_parts() {
    let two = model(
        "unit=\"inch\"",
        &corner_object(1, "name=\"claw\""),
        "<item objectid=\"1\"/><item objectid=\"1\"/>",
    );
    let alone = read(&zip_of(&[("gripper.3mf", &package(&two))]), "x.zip").unwrap();
    assert_eq!(alone.declared_unit, Some(LengthUnit::Inch));
    let names: Vec<&str> = alone.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["gripper: claw", "gripper: claw (2)"]);

    // Beside a file without a unit, lengths come in millimetres.
    let mixed = read(
        &zip_of(&[("arm.stl", &stl()), ("g.3mf", &package(&two))]),
        "x.zip",
    )
    .unwrap();
    assert_eq!(mixed.declared_unit, None);
    let found = volume(&mixed.parts[1].mesh);
    assert!(close(found, 25.4_f64.powi(3) / 6.0, 1e-9, 0.0), "{found}");
}

#[test]
fn archives_inside_archives_are_refused_by_name_and_by_bytes() {
    let inner = zip_of(&[("arm.stl", &stl())]);
    for name in ["more.zip", "more.stl", "more.3mf"] {
        let error = read(&zip_of(&[("arm.stl", &stl()), (name, &inner)]), "x.zip").unwrap_err();
        assert_eq!(error.code(), "nested-archive");
        assert!(matches!(error, ReadError::Member { .. }));
    }
}

#[test]
fn parts_in_other_forms_and_archives_of_other_kinds_are_told() {
    let bytes = zip_of(&[
        ("arm.stl", &stl()),
        ("hub.glb", b"glTF"),
        ("scan.ply", b"ply"),
        ("plate.dxf", b"0"),
        ("more.rar", b"Rar!"),
        ("run.gcode", b"G28"),
        ("read me.pdf", b"%PDF"),
    ]);
    let file = read(&bytes, "parts.zip").unwrap();
    assert_eq!(file.parts.len(), 1);
    let left_out: Vec<(&str, &str)> = file
        .left_out
        .iter()
        .map(|out| (out.name.as_str(), out.why.code()))
        .collect();
    let expected = [
        ("hub.glb", "other-mesh-format"),
        ("scan.ply", "other-mesh-format"),
        ("plate.dxf", "cad-file"),
        ("more.rar", "other-archive"),
    ];
    assert_eq!(left_out, expected);
}

/// The zip with one byte of an entry's name changed, in both its headers.
fn renamed(bytes: &[u8], name: &[u8], at: usize, byte: u8, utf8: bool) -> Vec<u8> {
    let mut out = bytes.to_vec();
    for i in 0..=bytes.len() - name.len() {
        if bytes[i..].starts_with(name) {
            out[i + at] = byte;
            // The flags stand 24 bytes before a local name, and 38 before a central one.
            let back = if bytes[i - 30..].starts_with(b"PK\x03\x04") {
                24
            } else {
                38
            };
            out[i - back + 1] |= if utf8 { 8 } else { 0 };
        }
    }
    out
}

#[test]
fn names_that_are_not_utf_8_are_read_and_shown_cleanly() {
    let bytes = zip_of(&[("old-name.stl", &stl())]);
    // 0x82 is an e with an accent in the code page that zip began with (437, from memory).
    let old = renamed(&bytes, b"old-name.stl", 2, 0x82, false);
    assert_eq!(read(&old, "x.zip").unwrap().parts[0].name, "ol\u{e9}-name");
    // Marked as UTF-8, but none: a name or a refusal in words, never a panic.
    let lying = renamed(&bytes, b"old-name.stl", 2, 0xff, true);
    match read(&lying, "x.zip") {
        Ok(file) => assert!(file.parts[0].name.ends_with("-name")),
        Err(error) => assert_eq!(error.code(), "bad-archive"),
    }
}

#[test]
fn corners_are_counted_over_all_members() {
    let limits = Limits {
        max_triangles: 10,
        ..Limits::server()
    };
    // 20 corners and one triangle each: the first fits into 30 corners, the second does not.
    let text = format!("{}v 1 0 0\nv 0 1 0\nf 1 19 20\n", "v 0 0 0\n".repeat(18));
    let one = zip_of(&[("a.obj", text.as_bytes())]);
    assert!(read_model(&one, "x.zip", &limits).is_ok());
    let two = zip_of(&[("a.obj", text.as_bytes()), ("b.obj", text.as_bytes())]);
    let (vertices, limit) = (40, 30);
    let refused = Err(ReadError::TooManyVertices { vertices, limit });
    assert_eq!(read_model(&two, "x.zip", &limits), refused);
}

#[test]
fn a_corner_that_is_too_far_out_only_in_millimetres_is_refused() {
    let far = corner_object(1, "").replace("x=\"1\"", "x=\"900000\"");
    let far = package(&model("unit=\"meter\"", &far, "<item objectid=\"1\"/>"));
    assert_eq!(code(&zip_of(&[("a.3mf", &far)]), "x.zip"), "read");
    let mixed = zip_of(&[("a.3mf", &far), ("b.stl", &stl())]);
    assert_eq!(code(&mixed, "x.zip"), "coordinate-out-of-range");
}
