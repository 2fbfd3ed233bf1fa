//! STL in all the forms that real files have.

use crate::support::packs::{box_mesh, code, read, volume};
use partpledge_formats::{FileKind, Limits, ReadError, read_model, write};
use partpledge_units::tolerance::close;

const FACET: &str =
    "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n";

fn ascii(text: &str) -> usize {
    let file = read(text.as_bytes(), "x.stl").expect(text);
    assert_eq!(file.kind, FileKind::StlAscii);
    assert_eq!(file.parts.len(), 1);
    file.parts[0].mesh.triangles.len()
}

#[test]
fn a_binary_stl_of_12_triangles_has_684_bytes_and_reads_back() {
    // 84 + 50 x 12: Library of Congress fdd000505, PRONOM fmt/865 (verified).
    let bytes = write::stl_binary(&box_mesh([2.0, 3.0, 4.0]));
    assert_eq!(bytes.len(), 684);
    let file = read(&bytes, "some/folder/battery box.stl").unwrap();
    assert_eq!((file.kind, file.declared_unit), (FileKind::StlBinary, None));
    assert_eq!(file.parts[0].name, "battery box");
    assert_eq!(file.parts[0].mesh.triangles.len(), 12);
    assert!(close(volume(&file.parts[0].mesh), 24.0, 1e-12, 0.0));
}

#[test]
fn the_size_decides_and_never_the_word_solid_or_the_name() {
    let mut bytes = write::stl_binary(&box_mesh([1.0; 3]));
    for header in [
        &b"solid made by a program"[..],
        b"%PDF-1.7",
        b"<?xml version",
        b"ply\nformat",
    ] {
        bytes[..80].fill(b' ');
        bytes[..header.len()].copy_from_slice(header);
        for name in ["x.stl", "x.obj", "x.pdf", "x"] {
            assert_eq!(read(&bytes, name).unwrap().kind, FileKind::StlBinary);
        }
    }
}

#[test]
fn bytes_behind_the_last_triangle_are_left_alone() {
    let mut bytes = write::stl_binary(&box_mesh([1.0; 3]));
    bytes.extend_from_slice(b"colour table \0\x01\x02");
    assert_eq!(
        read(&bytes, "x.STL").unwrap().parts[0].mesh.triangles.len(),
        12
    );
    assert_eq!(code(&bytes, "x.bin"), "unknown-format");
}

#[test]
fn wrong_normals_do_not_matter_and_wrong_corners_do() {
    let mut bytes = write::stl_binary(&box_mesh([1.0; 3]));
    let good = read(&bytes, "x.stl").unwrap();
    bytes[84..96].copy_from_slice(&[f32::NAN.to_le_bytes(); 3].concat());
    assert_eq!(read(&bytes, "x.stl").unwrap(), good);
    let third_corner = 84 + 50 + 12 + 24;
    bytes[third_corner..third_corner + 4].copy_from_slice(&f32::INFINITY.to_le_bytes());
    let place = partpledge_words::said!("errors-read-at-triangle", n = 2);
    assert_eq!(read(&bytes, "x.stl"), Err(ReadError::NotFinite { place }));
}

#[test]
fn a_binary_stl_that_breaks_off_says_how_many_triangles_are_missing() {
    let bytes = write::stl_binary(&box_mesh([1.0; 3]));
    let error = read(&bytes[..400], "x.stl").unwrap_err();
    assert_eq!(error.code(), "truncated");
    assert_eq!(
        error.to_string(),
        "the file breaks off: it announces 12 triangles, but only 6 are there"
    );
    assert_eq!(code(b"\0\x01\x02", "x.stl"), "truncated");
    assert_eq!(code(&[0; 84], "x.stl"), "no-triangles");
}

#[test]
fn ascii_stl_comes_in_many_shapes() {
    let solid = format!("solid\n{FACET}endsolid\n");
    let strange = [
        solid.clone(),
        format!("\u{feff}\n \t\r\n  {solid}"),
        solid.replace('\n', "\r\n"),
        solid.replace('\n', "\r"),
        solid.replace('\n', " "),
        solid.to_uppercase(),
        solid.replace(' ', "\t  "),
        solid.replace("solid\n", "solid facet vertex 1 2 of the arm\n"),
        solid.replace("normal 0 0 1", "normal nan nan nan"),
        solid.replace("vertex 1 0 0", "vertex +1.0E+00 -0 1e-30"),
        FACET.to_owned(),
        format!("{solid}\0\0"),
    ];
    for text in &strange {
        assert_eq!(ascii(text), 1, "{text:?}");
    }
    assert_eq!(
        ascii(&format!("{solid}{solid}solid arm\nendsolid\n{solid}")),
        3
    );
}

#[test]
fn ascii_trouble_is_given_with_its_line() {
    let solid = format!("solid\n{FACET}endsolid\n");
    for line_end in ["\n", "\r\n", "\r"] {
        let bad = solid
            .replace("vertex 1 0 0", "vertex 1 0 o")
            .replace('\n', line_end);
        let what = partpledge_words::said!("errors-read-no-number", text = "o");
        assert_eq!(
            read(bad.as_bytes(), "x.stl"),
            Err(ReadError::BadLine { line: 5, what })
        );
    }
    for (from, to, message) in [
        (
            "vertex 1 0 0",
            "vertex 1 0 1,5",
            "line 5: '1,5' is not a number (a comma where a point belongs)",
        ),
        (
            "vertex 1 0 0\n",
            "",
            "line 6: a facet with 2 corners instead of three",
        ),
        (
            "endloop",
            "vertex 1 1 1",
            "line 7: a facet with more than three corners",
        ),
        (
            "vertex 1 0 0",
            "vertex 1 0 nan",
            "line 5 holds a coordinate that is not a number",
        ),
        (
            "vertex 1 0 0",
            "vertex 1 0 -1e30",
            "line 5 lies at -1e30, farther out than 1e7",
        ),
    ] {
        let text = solid.replace(from, to);
        assert_eq!(
            read(text.as_bytes(), "x.stl").unwrap_err().to_string(),
            message
        );
    }
}

#[test]
fn an_ascii_stl_that_breaks_off_is_never_taken_for_whole() {
    let whole = format!("solid arm\n{FACET}{FACET}endsolid arm\n");
    let end = whole.len() - "endsolid arm\n".len();
    for cut in "solid arm\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\n".len()..end {
        let error = read(&whole.as_bytes()[..cut], "x.stl").unwrap_err();
        assert!(
            ["truncated", "bad-line"].contains(&error.code()),
            "{cut}: {error}"
        );
    }
    assert_eq!(code(b"solid arm\nendsolid arm\n", "x.stl"), "no-triangles");
}

#[test]
fn limits_hold_to_the_last_triangle() {
    let mesh = box_mesh([1.0; 3]);
    let exact = Limits {
        max_triangles: 12,
        ..Limits::server()
    };
    let less = Limits {
        max_triangles: 11,
        ..Limits::server()
    };
    for bytes in [
        write::stl_binary(&mesh),
        write::stl_ascii(&mesh, "x"),
        write::obj(&mesh, "x"),
    ] {
        assert!(read_model(&bytes, "x", &exact).is_ok());
        let error = read_model(&bytes, "x", &less).unwrap_err();
        assert_eq!(
            error,
            ReadError::TooManyTriangles {
                triangles: 12,
                limit: 11
            }
        );
        let short = Limits {
            max_bytes: 100,
            ..Limits::server()
        };
        assert_eq!(
            read_model(&bytes, "x", &short).unwrap_err().code(),
            "file-too-large"
        );
    }
}

fn with_count(count: u32) -> Vec<u8> {
    let mut bytes = write::stl_binary(&box_mesh([1.0, 2.0, 3.0]));
    bytes[80..84].copy_from_slice(&count.to_le_bytes());
    bytes
}

#[test]
fn a_count_of_zero_that_was_never_filled_in_gives_way_to_the_size() {
    let file = read(&with_count(0), "x.stl").unwrap();
    assert_eq!(file.kind, FileKind::StlBinary);
    assert!(close(volume(&file.parts[0].mesh), 6.0, 1e-12, 0.0));
    // Not a whole number of triangles: the size says nothing either.
    assert_eq!(code(&with_count(0)[..400], "x.stl"), "no-triangles");
}

#[test]
fn a_count_that_is_too_small_is_refused_and_padding_is_not() {
    let (announced, present) = (5, 12);
    let wrong = Err(ReadError::WrongCount { announced, present });
    assert_eq!(read(&with_count(5), "x.stl"), wrong);
    // Zeros to the end of a block are padding, even if they would fill whole triangles.
    let mut padded = write::stl_binary(&box_mesh([1.0; 3]));
    padded.extend_from_slice(&[0; 150]);
    let file = read(&padded, "x.stl").unwrap();
    assert_eq!(file.parts[0].mesh.triangles.len(), 12);
}

#[test]
fn a_count_that_is_too_large_is_a_file_that_broke_off() {
    for count in [13, u32::MAX] {
        assert_eq!(code(&with_count(count), "x.stl"), "truncated");
    }
}
