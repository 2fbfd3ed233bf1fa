//! Zips of several parts.

#[path = "support/packs.rs"]
mod packs;

use packs::{box_mesh, code, corner_object, model, package, read, volume, zip_of};
use partpledge_formats::{FileKind, ReadError, write};
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
