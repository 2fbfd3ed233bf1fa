//! 3MF: what the core specification asks, on packages made by hand.
//!
//! The rules are those of the 3MF core specification 1.4.0 (verified).

use crate::support::packs::{
    CORE, CORNER, PRODUCTION, code, corner_object, model, package, read, rels, volume, zip_of,
};
use partpledge_formats::{FileKind, ModelFile, ReadError};
use partpledge_units::length::LengthUnit;
use partpledge_units::tolerance::close;
use partpledge_words::{Tongue, within};

fn built(attributes: &str, resources: &str, build: &str) -> ModelFile {
    let file = read(&package(&model(attributes, resources, build)), "set.3mf");
    let file = file.expect("the package is sound");
    assert_eq!(file.kind, FileKind::ThreeMf);
    file
}

fn refusal(resources: &str, build: &str) -> String {
    let error = read(&package(&model("", resources, build)), "x.3mf").expect_err("it is faulty");
    format!("{}: {error}", error.code())
}

#[test]
fn the_relationship_names_the_model_wherever_it_is() {
    let text = model("", &corner_object(1, ""), "<item objectid=\"1\"/>");
    let decoy = model(
        "",
        &corner_object(1, ""),
        &"<item objectid=\"1\"/>".repeat(7),
    );
    for (target, entry) in [
        ("/odd/place/my.model", "odd/place/my.model"),
        ("odd/Place/my.model", "ODD/place/my.model"),
        ("/odd/my%20own.model", "odd/my own.model"),
        ("./odd/My%20OWN.model", "Odd/my own.model"),
        ("/odd/my%20own.model", "odd/my%20own.model"),
    ] {
        let bytes = zip_of(&[
            ("3D/3dmodel.model", decoy.as_bytes()),
            ("_rels/.rels", rels(target).as_bytes()),
            (entry, text.as_bytes()),
        ]);
        assert_eq!(read(&bytes, "x.3mf").unwrap().parts.len(), 1, "{target}");
    }
    let none = zip_of(&[("3D/3dmodel.model", decoy.as_bytes())]);
    assert_eq!(code(&none, "x.3mf"), "bad-model");
    let astray = zip_of(&[("_rels/.rels", rels("/3D/gone.model").as_bytes())]);
    assert_eq!(code(&astray, "x.3mf"), "bad-model");
}

#[test]
fn units_are_those_of_the_specification() {
    let item = "<item objectid=\"1\"/>";
    for (text, unit) in [
        ("", LengthUnit::Millimetre),
        ("unit=\"millimeter\"", LengthUnit::Millimetre),
        ("unit=\"micron\"", LengthUnit::Micron),
        ("unit=\"centimeter\"", LengthUnit::Centimetre),
        ("unit=\"inch\"", LengthUnit::Inch),
        ("unit=\"foot\"", LengthUnit::Foot),
        ("unit=\"meter\"", LengthUnit::Metre),
    ] {
        assert_eq!(
            built(text, &corner_object(1, ""), item).declared_unit,
            Some(unit)
        );
    }
    assert_eq!(
        code(&package(&model("unit=\"mm\"", "", "")), "x.3mf"),
        "bad-model"
    );
}

#[test]
fn namespaces_count_and_prefixes_do_not() {
    let inner = CORNER
        .replace("</", "</c:")
        .replace('<', "<c:")
        .replace("<c:/c:", "</c:");
    let text = format!(
        "<c:model xmlns:c=\"{CORE}\" xmlns=\"urn:else\" xmlns:o=\"urn:other\"><c:resources>\
         <model/><object id=\"1\"/><c:object o:id=\"7\" id=\"1\" o:type=\"other\">{inner}</c:object>\
         </c:resources><c:build><item objectid=\"9\"/><c:item objectid=\"1\"/></c:build></c:model>"
    );
    assert_eq!(
        read(&package(&text), "x.3mf").unwrap().parts[0]
            .mesh
            .triangles
            .len(),
        4
    );
    // The same names without the namespace are nothing.
    let bare = model("", &corner_object(1, ""), "").replace(CORE, "urn:else");
    assert_eq!(code(&package(&bare), "x.3mf"), "bad-model");
}

#[test]
fn only_build_items_are_parts_and_each_is_one() {
    let resources = format!(
        "{}{}{}",
        corner_object(1, "name=\"arm &amp; hub\""),
        corner_object(2, ""),
        corner_object(3, "name=\"spare\"")
    );
    let build = "<item objectid=\"1\"/><item objectid=\"2\"/>\
                 <item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 5 6 7\"/>";
    let file = built("", &resources, build);
    let names: Vec<&str> = file.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["arm & hub", "part 2", "arm & hub (2)"]);
    let moved = file.parts[2].mesh.vertices[0];
    assert!(
        moved
            .iter()
            .zip([5.0, 6.0, 7.0])
            .all(|(&a, b)| close(a, b, 0.0, 1e-12))
    );
    let alone = built("", &corner_object(2, ""), "<item objectid=\"2\"/>");
    assert_eq!(alone.parts[0].name, "set");
    assert_eq!(
        refusal(&resources, ""),
        "empty-build: the 3MF holds objects, but its list of what to print is empty"
    );
    assert_eq!(refusal("", ""), "no-triangles: the file holds no triangles");
}

#[test]
fn components_are_moved_by_their_own_transform_first() {
    let resources = format!(
        "{}<object id=\"2\"><components>\
         <component objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 10 0 0\"/></components></object>",
        corner_object(1, "")
    );
    // A quarter turn about z takes (10, 0, 0) to (0, 10, 0).
    let file = built(
        "",
        &resources,
        "<item objectid=\"2\" transform=\"0 1 0 -1 0 0 0 0 1 0 0 3\"/>",
    );
    let origin = file.parts[0].mesh.vertices[0];
    assert!(
        origin
            .iter()
            .zip([0.0, 10.0, 3.0])
            .all(|(&a, b)| close(a, b, 0.0, 1e-12)),
        "{origin:?}"
    );
}

#[test]
fn a_mirror_keeps_the_solid_right_side_out() {
    let mirror = "transform=\"-2 0 0 0 1 0 0 0 1 0 0 0\"";
    let resources = format!(
        "{}<object id=\"2\"><components><component objectid=\"1\" {mirror}/>\
         <component objectid=\"1\"/></components></object>",
        corner_object(1, "")
    );
    for (item, expected) in [("", 0.5), (mirror, 1.0)] {
        let file = built("", &resources, &format!("<item objectid=\"2\" {item}/>"));
        assert_eq!(file.parts[0].mesh.triangles.len(), 8);
        let found = volume(&file.parts[0].mesh);
        assert!(close(found, expected, 1e-12, 0.0), "{found}");
    }
}

#[test]
fn supports_and_other_shapes_are_not_printed() {
    let resources = format!(
        "{}{}{}<object id=\"4\"><components><component objectid=\"1\"/>\
         <component objectid=\"2\"/><component objectid=\"3\"/></components></object>",
        corner_object(1, "type=\"model\""),
        corner_object(2, "type=\"support\""),
        corner_object(3, "type=\"other\"")
    );
    let file = built(
        "",
        &resources,
        "<item objectid=\"3\"/><item objectid=\"2\"/><item objectid=\"4\"/>",
    );
    assert_eq!(file.parts.len(), 1);
    assert_eq!(file.parts[0].mesh.triangles.len(), 4);
}

#[test]
fn required_extensions_are_refused_unless_they_leave_the_shape_alone() {
    let known = "xmlns:m=\"http://schemas.microsoft.com/3dmanufacturing/material/2015/02\" \
                 requiredextensions=\"m\"";
    assert_eq!(
        built(known, &corner_object(1, ""), "<item objectid=\"1\"/>")
            .parts
            .len(),
        1
    );
    let lattice = "http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02";
    for (attributes, extension) in [
        (
            format!("xmlns:m=\"{lattice}\" requiredextensions=\"m\""),
            lattice,
        ),
        ("requiredextensions=\"undeclared\"".to_owned(), "undeclared"),
    ] {
        let text = model(&attributes, &corner_object(1, ""), "<item objectid=\"1\"/>");
        let extension = extension.to_owned();
        assert_eq!(
            read(&package(&text), "x.3mf"),
            Err(ReadError::NeedsExtension { extension })
        );
    }
}

#[test]
fn objects_may_be_in_other_package_parts_in_their_own_unit() {
    let root = model(
        &format!("unit=\"millimeter\" xmlns:p=\"{PRODUCTION}\" requiredextensions=\"p\""),
        "<object id=\"1\"><components><component objectid=\"5\" p:path=\"/3D/Far.model\"/></components></object>",
        "<item objectid=\"1\"/><item p:path=\"/3D/far.model\" objectid=\"5\"/>",
    );
    let far = model("unit=\"centimeter\"", &corner_object(5, "name=\"far\""), "");
    let bytes = zip_of(&[
        ("_rels/.rels", rels("/3D/root.model").as_bytes()),
        ("3D/root.model", root.as_bytes()),
        ("3D/far.model", far.as_bytes()),
    ]);
    let file = read(&bytes, "x.3mf").unwrap();
    assert_eq!(
        (file.parts.len(), file.declared_unit),
        (2, Some(LengthUnit::Millimetre))
    );
    for part in &file.parts {
        let found = volume(&part.mesh);
        assert!(close(found, 1000.0 / 6.0, 1e-12, 0.0), "{found}");
    }
}

#[test]
fn what_belongs_to_other_specifications_is_skipped_with_its_inside() {
    let resources = format!(
        "<x:lattice xmlns:x=\"urn:x\"><object id=\"1\"/></x:lattice><basematerials id=\"1\"/>{}",
        corner_object(1, "").replace(
            "</mesh>",
            "<x:beams xmlns:x=\"urn:x\"><vertices><vertex x=\"9\"/></vertices></x:beams></mesh>"
        )
    );
    let file = built("", &resources, "<item objectid=\"1\" partnumber=\"A\"/>");
    assert_eq!(file.parts[0].mesh.vertices.len(), 4);
}

#[test]
fn wide_text_and_a_byte_order_mark_are_read() {
    let text = model(
        "",
        &corner_object(1, "name=\"å\""),
        "<item objectid=\"1\"/>",
    );
    let text = text.replace("UTF-8", "UTF-16");
    let little: Vec<u8> = std::iter::once(0xfeff)
        .chain(text.encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    let big: Vec<u8> = std::iter::once(0xfeff)
        .chain(text.encode_utf16())
        .flat_map(u16::to_be_bytes)
        .collect();
    let marked = [b"\xef\xbb\xbf", text.replace("UTF-16", "UTF-8").as_bytes()].concat();
    for bytes in [little, big, marked] {
        let bytes = zip_of(&[
            ("_rels/.rels", rels("/a.model").as_bytes()),
            ("a.model", &bytes),
        ]);
        assert_eq!(read(&bytes, "x.3mf").unwrap().parts[0].name, "å");
    }
}

#[test]
fn faulty_models_are_refused_with_the_place() {
    let item = "<item objectid=\"1\"/>";
    let corner = corner_object(1, "");
    let changed = |from: &str, to: &str| refusal(&corner.replace(from, to), item);
    assert_eq!(
        changed("v1=\"1\" v2=\"2\"", "v1=\"4\" v2=\"2\""),
        "bad-index: triangle 3 of object 1 uses vertex 4, but there are only 4"
    );
    assert_eq!(
        changed("v3=\"1\"", "v3=\"-1\""),
        "bad-model: '3D/part.model': v3=\"-1\" is not a whole number"
    );
    assert_eq!(
        changed("v3=\"1\"", ""),
        "bad-model: '3D/part.model': an element lacks its 'v3'"
    );
    assert_eq!(
        changed("x=\"1\"", "x=\"one\""),
        "bad-model: '3D/part.model': x=\"one\" is not a number"
    );
    assert_eq!(
        changed("x=\"1\"", "x=\"nan\""),
        "not-finite: vertex 2 of object 1 holds a coordinate that is not a number"
    );
    assert_eq!(
        changed("x=\"1\"", "x=\"1e300\""),
        "coordinate-out-of-range: vertex 2 of object 1 lies at 1e300, farther out than 1e7"
    );
    assert_eq!(
        refusal(&format!("{corner}{corner}"), item),
        "bad-model: '3D/part.model': object 1 is there twice"
    );
    assert_eq!(
        refusal(&corner, "<item objectid=\"2\"/>"),
        "bad-model: '3D/part.model': object 2 is not there"
    );
    for transform in [
        "1 0 0",
        "1 0 0 0 1 0 0 0 1 0 0 x",
        "1 0 0 0 1 0 0 0 0 0 0 0",
        "0 0 0 0 0 0 0 0 0 0 0 0 1",
    ] {
        let found = refusal(
            &corner,
            &format!("<item objectid=\"1\" transform=\"{transform}\"/>"),
        );
        assert!(found.contains("twelve numbers"), "{found}");
    }
    let huge = "<item objectid=\"1\" transform=\"1e200 0 0 0 1e200 0 0 0 1 0 0 0\"/>";
    assert!(refusal(&corner, huge).starts_with("coordinate-out-of-range: a corner of object 1"));
}

#[test]
fn xml_that_ends_early_is_not_taken_for_whole() {
    let text = model("", &corner_object(1, ""), "<item objectid=\"1\"/>");
    let end = text.rfind("</model>").unwrap();
    for cut in text.find("<model").unwrap()..=end {
        let found = code(&package(&text[..cut]), "x.3mf");
        assert!(
            ["truncated", "bad-model"].contains(&found),
            "{cut}: {found}"
        );
    }
}

#[test]
fn every_type_of_object_is_printed_or_not_as_the_specification_says() {
    for (kind, printed) in [
        ("model", true),
        ("surface", true),
        ("support", false),
        ("solidsupport", false),
        ("other", false),
    ] {
        let resources =
            corner_object(1, &format!("type=\"{kind}\"")) + &corner_object(2, "type=\"model\"");
        let build = "<item objectid=\"1\"/><item objectid=\"2\"/>";
        let parts = built("", &resources, build).parts.len();
        assert_eq!(parts, 1 + usize::from(printed), "{kind}");
    }
    let unknown = refusal(
        &corner_object(1, "type=\"cloud\""),
        "<item objectid=\"1\"/>",
    );
    assert!(
        unknown.contains("'cloud' is not a type of object"),
        "{unknown}"
    );
}

#[test]
fn recommended_extensions_are_ignored_with_what_they_bring() {
    let attributes = "xmlns:b=\"urn:b\" recommendedextensions=\"b undeclared\"";
    let resources = format!(
        "<b:thing id=\"9\"/>{}",
        corner_object(1, "b:colour=\"red\"")
    );
    let file = built(attributes, &resources, "<item objectid=\"1\" b:tag=\"x\"/>");
    assert_eq!(file.parts[0].mesh.triangles.len(), 4);
}

#[test]
fn a_message_never_carries_the_control_characters_of_the_file() {
    // Found by fuzzing: the XML library quotes the file in what it says.
    let text = model("", "<object\u{1b}[2J id=\"1\"></wrong\u{7}\n>", "");
    let error = read(&package(&text), "x.3mf").unwrap_err();
    assert_eq!(error.code(), "bad-model");
    let message = error.to_string();
    assert!(!message.chars().any(char::is_control), "{message:?}");
}

#[test]
fn what_a_library_says_is_a_detail_behind_a_sentence_of_ours() {
    let broken = model("", "<object id=\"1\"></wrong>", "");
    let mut zip = package(&broken);
    zip.truncate(zip.len() - 30);
    for (bytes, name, ours) in [
        (
            package(&broken),
            "x.3mf",
            "sein XML ist nicht wohlgeformt (",
        ),
        (zip, "x.zip", "sein Inhaltsverzeichnis ist beschädigt ("),
    ] {
        let error = read(&bytes, name).unwrap_err();
        let german = within(Tongue::German, || error.to_string());
        let (_, detail) = german.split_once(ours).expect(&german);
        assert!(
            detail.starts_with("das Leseprogramm sagt auf Englisch: "),
            "{german}"
        );
    }
}
