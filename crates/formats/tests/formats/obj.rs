//! OBJ in the forms that real files have.

use std::fmt::Write;

use crate::support::packs::{box_mesh, code, read, volume};
use partpledge_formats::{FileKind, Limits, RawMesh, ReadError, read_model, write};
use partpledge_units::tolerance::close;

const SQUARE: &str = "v 0 0 0\nv 2 0 0\nv 2 2 0\nv 0 2 0\n";

fn mesh(text: &str) -> RawMesh {
    let mut file = read(text.as_bytes(), "x.obj").expect(text);
    assert_eq!(
        (file.kind, file.declared_unit, file.parts.len()),
        (FileKind::Obj, None, 1)
    );
    file.parts.remove(0).mesh
}

#[test]
fn faces_are_written_in_many_ways() {
    for face in [
        "f 1 2 3 4",
        "f -4 -3 -2 -1",
        "f 1/1 2/2 3/3 4/4",
        "f 1//1 2//1 3//1 4//1",
        "f 1/1/1 2/1/1 3/1/1 4/1/1  # the top",
        "  f\t1  2 3   4 ",
        "f 1 2 \\\n 3 \\\r\n 4",
        "fo 1 2 3 4",
        "g a b\no arm\nusemtl red\ns off\nvt 0 0\nvn 0 0 1\nf 1 2 3\ng c\nf 1 3 4",
    ] {
        let found = mesh(&format!("{SQUARE}{face}\n"));
        assert_eq!(found.triangles, [[0, 1, 2], [0, 2, 3]], "{face}");
    }
}

#[test]
fn vertices_carry_weights_colours_and_comments() {
    for v in [
        "v 1 2 3",
        "v 1 2 3 1.0",
        "v 1 2 3 0.5 0.5 0.5",
        "v 1.0e0 2. +3 # here",
    ] {
        let found = mesh(&format!("# made by hand\r\n{SQUARE}{v}\r\nf 1 2 5"));
        assert!(
            found.vertices[4]
                .iter()
                .zip([1.0, 2.0, 3.0])
                .all(|(&a, b)| close(a, b, 0.0, 0.0))
        );
    }
    assert_eq!(mesh(&format!("{SQUARE}f 1 2\nf 1 2 3")).triangles.len(), 1);
    let old_line_ends = format!("{SQUARE}f 1 2 3 4\n").replace('\n', "\r");
    assert_eq!(mesh(&old_line_ends).triangles.len(), 2);
}

#[test]
fn wide_text_is_read() {
    let text = format!("\u{feff}{SQUARE}f 1 2 3 4\n");
    let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    for bytes in [little, big] {
        assert_eq!(
            read(&bytes, "x.obj").unwrap().parts[0].mesh.triangles.len(),
            2
        );
    }
}

#[test]
fn a_concave_face_keeps_its_shape() {
    // An L of area 3, 2 high; a fan from its first corner would cover the notch.
    let text = "v 2 1 0\nv 1 1 0\nv 1 2 0\nv 0 2 0\nv 0 0 0\nv 2 0 0\nf 1 2 3 4 5 6\n";
    let found = mesh(text);
    let areas: Vec<f64> = found
        .triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(|i| found.vertices[i as usize]);
            ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2.0
        })
        .collect();
    assert_eq!(areas.len(), 4);
    assert!(areas.iter().all(|&area| area > 0.0), "{areas:?}");
    assert!(close(areas.iter().sum(), 3.0, 1e-12, 0.0));
}

#[test]
fn the_bytes_decide_and_not_the_ending() {
    let bytes = write::obj(&box_mesh([2.0, 3.0, 4.0]), "x");
    for name in ["x.obj", "x.stl", "x", "x.txt"] {
        let file = read(&bytes, name).unwrap();
        assert_eq!(file.kind, FileKind::Obj);
        assert!(close(volume(&file.parts[0].mesh), 24.0, 1e-12, 0.0));
    }
    let stl = write::stl_ascii(&box_mesh([1.0; 3]), "v 1 2 3");
    assert_eq!(read(&stl, "x.obj").unwrap().kind, FileKind::StlAscii);
}

#[test]
fn trouble_is_given_with_its_line() {
    for (line, message) in [
        ("f 1 2 5", "line 6 uses vertex 5, but there are only 4"),
        ("f 1 2 0", "line 6 uses vertex 0, but there are only 4"),
        ("f 1 2 -5", "line 6 uses vertex -5, but there are only 4"),
        (
            "f 1 2 4294967297",
            "line 6 uses vertex 4294967297, but there are only 4",
        ),
        (
            "f 1 2 -9223372036854775808",
            "line 6 uses vertex -9223372036854775808, but there are only 4",
        ),
        ("f 1 2 x", "line 6: 'x' is not a vertex number"),
        ("f 1 2 1.5", "line 6: '1.5' is not a vertex number"),
        ("f \\\n2", "line 6: a face with 1 corners"),
        ("v 1 2", "line 6: a vertex with fewer than three numbers"),
        ("v 1 2 three", "line 6: 'three' is not a number"),
        (
            "v 1 2 -inf",
            "line 6 holds a coordinate that is not a number",
        ),
        ("v 1 2 2e9", "line 6 lies at 2e9, farther out than 1e7"),
    ] {
        let text = format!("\n{SQUARE}{line}\nf 1 2 3\n");
        assert_eq!(
            read(text.as_bytes(), "x.obj").unwrap_err().to_string(),
            message
        );
    }
    assert_eq!(code(SQUARE.as_bytes(), "x.obj"), "no-triangles");
    assert_eq!(code(b"curv 1 2 3\n", "x.obj"), "no-triangles");
}

#[test]
fn corners_without_end_are_refused_before_they_fill_the_memory() {
    let limits = Limits {
        max_triangles: 2,
        ..Limits::server()
    };
    let six = "v 0 0 0\n".repeat(6);
    let error = read_model(format!("{six}f 1 2 3").as_bytes(), "x.obj", &limits);
    assert!(error.is_ok());
    let error = read_model(
        format!("{six}v 0 0 0\nf 1 2 3").as_bytes(),
        "x.obj",
        &limits,
    );
    assert_eq!(
        error,
        Err(ReadError::TooManyVertices {
            vertices: 7,
            limit: 6
        })
    );
}

#[test]
fn faces_that_would_take_for_ever_are_given_up() {
    // A crescent: every corner of its outer arc is an ear, and each must be tested against all
    // corners that are left, 8 x 10^8 tests in the end.
    let half = 20_000;
    let mut text = String::new();
    for i in 0..=2 * half {
        let (x, bulge) = if i < half {
            (half - i, 2.0)
        } else {
            (i - half, 1.0)
        };
        let x = f64::from(x) / f64::from(half);
        let y = bulge * x * (1.0 - x) * 1e4;
        writeln!(text, "v {} {y} 0", x * 1e5).unwrap();
    }
    let face: Vec<String> = (1..2 * half).map(|i| i.to_string()).collect();
    text.push_str("f ");
    text.push_str(&face.join(" "));
    let line = usize::try_from(2 * half + 2).unwrap();
    assert_eq!(
        read(text.as_bytes(), "x.obj"),
        Err(ReadError::TooComplex { line })
    );
}

#[test]
fn curved_surfaces_are_told_and_never_left_out_in_silence() {
    // Faces beside the surface would be a part with a piece missing.
    for faces in ["", "f 1 2 3 4\n"] {
        let text = format!(
            "{SQUARE}{faces}cstype bezier\ndeg 1 1\nsurf 0 1 0 1 1 2 3 4\nparm u 0 1\nend\n"
        );
        let error = read(text.as_bytes(), "x.obj").unwrap_err();
        let line = if faces.is_empty() { 7 } else { 8 };
        assert_eq!(error, ReadError::FreeForm { line });
        assert!(error.what_to_do().contains("triangles"), "{error}");
    }
    // A curve, a line and a point enclose nothing.
    let text = format!("{SQUARE}vp 0 1\ncurv 0 1 1 2\nl 1 2\np 1\nf 1 2 3 4\n");
    assert_eq!(mesh(&text).triangles.len(), 2);
}
