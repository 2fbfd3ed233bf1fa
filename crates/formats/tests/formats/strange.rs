//! Strange files that have been seen or may be feared: read rightly, or refused with words.

use crate::support::packs::{
    CORE, box_mesh, code, corner_object, model, package, read, rels, volume, zip_of,
};
use partpledge_formats::{FileKind, ReadError, write};
use partpledge_units::tolerance::close;

fn triangles(bytes: &[u8]) -> usize {
    let file = read(bytes, "x.stl").expect("this one is to be read");
    file.parts[0].mesh.triangles.len()
}

#[test]
fn a_count_that_was_never_filled_in_is_taken_from_the_length() {
    let mut bytes = write::stl_binary(&box_mesh([1.0; 3]));
    bytes[80..84].copy_from_slice(&[0; 4]);
    assert_eq!(triangles(&bytes), 12);
    bytes.push(0);
    assert_eq!(code(&bytes, "x.stl"), "no-triangles");
}

#[test]
fn a_count_that_is_too_large_or_too_small_is_refused_with_both_numbers() {
    let mut bytes = write::stl_binary(&box_mesh([1.0; 3]));
    bytes[80] = 13;
    assert_eq!(
        read(&bytes, "x.stl").unwrap_err().to_string(),
        "the file breaks off: it announces 13 triangles, but only 12 are there"
    );
    bytes[80] = 5;
    assert_eq!(
        read(&bytes, "x.stl").unwrap_err().to_string(),
        "the file announces 5 triangles, but holds 12"
    );
    // Padding behind the last triangle is no triangle.
    bytes[80] = 12;
    bytes.extend_from_slice(&[0; 100]);
    assert_eq!(triangles(&bytes), 12);
}

#[test]
fn one_stl_behind_another_is_never_half_read() {
    let binary = write::stl_binary(&box_mesh([1.0; 3]));
    let ascii = write::stl_ascii(&box_mesh([1.0; 3]), "x");
    for pair in [[&binary, &binary], [&binary, &ascii], [&ascii, &binary]] {
        let error = read(&pair.map(Vec::as_slice).concat(), "x.stl").unwrap_err();
        assert_eq!(error.code(), "more-behind", "{error}");
        assert!(error.what_to_do().contains("a file of its own"));
    }
    assert_eq!(triangles(&[&ascii[..], &ascii].concat()), 24);
    let long = [&ascii.repeat(5)[..], &binary].concat();
    assert_eq!(code(&long, "x.stl"), "more-behind");
}

#[test]
fn a_curved_surface_of_an_obj_is_told_and_curves_are_not() {
    let flat = "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n";
    let curve = format!("{flat}cstype bezier\ndeg 2\ncurv 0 1 1 2 3\nend\n");
    assert!(read(curve.as_bytes(), "x.obj").is_ok());
    let surface = format!("{flat}deg 1 1\nsurf 0 1 0 1 1 2 3 1\nend\n");
    assert_eq!(
        read(surface.as_bytes(), "x.obj"),
        Err(ReadError::FreeForm { line: 6 })
    );
}

#[test]
fn a_3mf_with_objects_and_an_empty_build_says_so() {
    let bytes = package(&model("", &corner_object(1, ""), ""));
    let error = read(&bytes, "x.3mf").unwrap_err();
    assert_eq!(error, ReadError::EmptyBuild);
    assert_eq!(code(&package(&model("", "", "")), "x.3mf"), "no-triangles");
}

#[test]
fn pictures_print_tickets_and_recommended_extensions_are_passed_over() {
    let beams = "<b:beamlattice minlength=\"1\"><b:beams><b:beam v1=\"0\" v2=\"99\"/></b:beams>\
                 </b:beamlattice></mesh>";
    let object =
        corner_object(1, "thumbnail=\"/Metadata/a.png\" pid=\"7\"").replace("</mesh>", beams);
    let extra = "xmlns:b=\"http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02\" \
                 recommendedextensions=\"b\"";
    let text = model(extra, &object, "<item objectid=\"1\" printable=\"1\"/>");
    let rels = rels("./3D/My%20part.Model");
    let bytes = zip_of(&[
        ("_rels/.rels", rels.as_bytes()),
        ("3D/my PART.model", text.as_bytes()),
        ("Metadata/a.png", b"\x89PNG"),
        ("3D/Metadata/Model_PT.xml", b"<PrintTicket/>"),
    ]);
    assert_eq!(read(&bytes, "x.3mf").unwrap().parts.len(), 1);
    let required = text.replace("recommendedextensions", "requiredextensions");
    let error = read(&package(&required), "x.3mf").unwrap_err();
    assert_eq!(error.code(), "needs-extension");
    assert!(error.to_string().contains("beamlattice"), "{error}");
}

#[test]
fn two_mirrors_and_a_turn_leave_the_solid_the_right_way_out() {
    let mirror = "transform=\"-1 0 0 0 1 0 0 0 1 0 0 0\"";
    let nested = format!(
        "{}<object id=\"2\"><components><component objectid=\"1\" {mirror}/></components></object>",
        corner_object(1, "")
    );
    for item in [
        "<item objectid=\"2\"/>".to_owned(),
        format!("<item objectid=\"2\" {mirror}/>"),
        "<item objectid=\"1\" transform=\"0 1 0 1 0 0 0 0 -1 3 4 5\"/>".to_owned(),
    ] {
        let file = read(&package(&model("", &nested, &item)), "x.3mf").unwrap();
        let found = volume(&file.parts[0].mesh);
        assert!(close(found, 1.0 / 6.0, 1e-12, 0.0), "{item}: {found}");
    }
}

#[test]
fn names_in_the_letters_of_an_old_code_page_are_read() {
    let mut bytes = zip_of(&[("arm_.stl", &write::stl_binary(&box_mesh([1.0; 3])))]);
    let at: Vec<usize> = (0..bytes.len() - 8)
        .filter(|&i| bytes[i..].starts_with(b"arm_.stl"))
        .collect();
    assert_eq!(at.len(), 2);
    for i in at {
        bytes[i + 3] = 0x82;
    }
    let file = read(&bytes, "x.zip").unwrap();
    assert_eq!(file.kind, FileKind::Zip);
    assert_eq!(file.parts[0].name, "armé");
}

#[test]
fn a_set_of_mixed_units_may_not_leave_the_reach_of_coordinates() {
    let far = corner_object(1, "").replace("x=\"1\"", "x=\"9000000\"");
    let text = model("unit=\"meter\"", &far, "<item objectid=\"1\"/>");
    let stl = write::stl_binary(&box_mesh([1.0; 3]));
    let bytes = zip_of(&[("a.stl", &stl), ("b.3mf", &package(&text))]);
    assert_eq!(code(&bytes, "x.zip"), "coordinate-out-of-range");
}

#[test]
fn a_cad_file_that_is_a_zip_inside_is_told_as_one() {
    let bytes = zip_of(&[("Document.xml", b"<Document/>")]);
    assert_eq!(code(&bytes, "arm.f3d"), "cad-file");
    assert_eq!(code(&bytes, "arm.zip"), "no-model-in-archive");
}

#[test]
fn a_message_that_quotes_the_file_drives_no_terminal() {
    let text = format!(
        "<model xmlns=\"{CORE}\"><resources></\u{1b}[2J{}>",
        "a".repeat(5_000)
    );
    let message = read(&package(&text), "x.3mf").unwrap_err().to_string();
    assert!(!message.chars().any(char::is_control), "{message:?}");
    assert!(message.chars().count() < 600, "{message}");
}

/// Half a megabyte each: a tenth of a second, where quadratic work would take minutes.
#[test]
fn attributes_and_namespaces_without_end_cost_no_more_than_their_length() {
    let numbered = |count: u32, word: fn(u32) -> String| (0..count).map(word).collect::<String>();
    let many = numbered(40_000, |i| format!(" a{i}=\"\""));
    let spaces = numbered(20_000, |i| format!(" xmlns:n{i}=\"u\""));
    let leaves = "<q:x/>".repeat(40_000);
    let item = "<item objectid=\"1\"/>";
    let wide = model("", &corner_object(1, &many), item);
    let spacious = model(&spaces, &format!("{leaves}{}", corner_object(1, "")), item);
    for text in [wide, spacious] {
        let answer = code(&package(&text), "x.3mf");
        assert!(["read", "bad-model"].contains(&answer), "{answer}");
    }
}
