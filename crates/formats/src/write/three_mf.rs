//! 3MF packages that keep the core specification: parts as they are, or laid out on a plate.

use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use partpledge_units::length::LengthUnit;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::model::RawPart;

/// Where one copy of an object stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Position in the list of objects.
    pub object: usize,
    /// Row-vector affine transform, twelve numbers, the last three the move.
    pub transform: [f64; 12],
}

const CONTENT_TYPES: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8"?>"#,
    "\n",
    r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">"#,
    r#"<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>"#,
    r#"<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>"#,
    "</Types>\n"
);
const RELATIONSHIPS: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8"?>"#,
    "\n",
    r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">"#,
    r#"<Relationship Target="/3D/3dmodel.model" Id="rel0" "#,
    r#"Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>"#,
    "</Relationships>\n"
);

/// A 3MF with one build item for each part, where it is.
#[must_use]
pub fn three_mf(parts: &[RawPart], unit: LengthUnit) -> Vec<u8> {
    let transform = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0];
    let items: Vec<_> = (0..parts.len())
        .map(|object| Placement { object, transform })
        .collect();
    three_mf_plate(parts, &items, unit)
}

/// A 3MF with objects placed on a plate; an object may be placed several times.
///
/// The corners that coincide are joined, as the core specification asks of a closed mesh.
/// # Source
/// 3MF core specification 1.4.0, sections 3.4 and 4.1 (verified).
#[must_use]
pub fn three_mf_plate(objects: &[RawPart], items: &[Placement], unit: LengthUnit) -> Vec<u8> {
    let model = model_xml(objects, items, unit);
    let files = [
        ("[Content_Types].xml", CONTENT_TYPES),
        ("_rels/.rels", RELATIONSHIPS),
        ("3D/3dmodel.model", model.as_str()),
    ];
    // A fixed time of day, so that the same plate gives the same bytes.
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::DEFAULT);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in files {
        zip.start_file(name, options)
            .expect("names are fixed and distinct");
        zip.write_all(text.as_bytes())
            .expect("writing to memory does not fail");
    }
    zip.finish()
        .expect("writing to memory does not fail")
        .into_inner()
}

fn model_xml(objects: &[RawPart], items: &[Placement], unit: LengthUnit) -> String {
    let unit = match unit {
        LengthUnit::Micron => "micron",
        LengthUnit::Millimetre => "millimeter",
        LengthUnit::Centimetre => "centimeter",
        LengthUnit::Inch => "inch",
        LengthUnit::Foot => "foot",
        LengthUnit::Metre => "meter",
    };
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    let core = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
    let _ = writeln!(
        out,
        "<model unit=\"{unit}\" xml:lang=\"en\" xmlns=\"{core}\">\n<resources>"
    );
    for (i, part) in objects.iter().enumerate() {
        object_xml(&mut out, i + 1, part);
    }
    out.push_str("</resources>\n<build>\n");
    for item in items {
        let numbers: Vec<String> = item.transform.iter().map(|&c| short(c)).collect();
        let id = item.object + 1;
        let _ = writeln!(
            out,
            "<item objectid=\"{id}\" transform=\"{}\"/>",
            numbers.join(" ")
        );
    }
    out.push_str("</build>\n</model>\n");
    out
}

fn object_xml(out: &mut String, id: usize, part: &RawPart) {
    let name = quick_xml::escape::escape(part.name.as_str());
    let _ = writeln!(
        out,
        "<object id=\"{id}\" type=\"model\" name=\"{name}\">\n<mesh>\n<vertices>"
    );
    for &[x, y, z] in &part.mesh.vertices {
        let (x, y, z) = (short(x), short(y), short(z));
        let _ = writeln!(out, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    out.push_str("</vertices>\n<triangles>\n");
    for [a, b, c] in &part.mesh.triangles {
        let _ = writeln!(out, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    }
    out.push_str("</triangles>\n</mesh>\n</object>\n");
}

/// The shortest decimal that reads back as the same number; no minus zero.
fn short(value: f64) -> String {
    format!("{}", value + 0.0)
}
