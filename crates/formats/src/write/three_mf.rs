//! 3MF packages that keep the core specification: parts as they are, or laid out on a plate.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use partpledge_units::length::LengthUnit;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::model::{RawMesh, RawPart};
use crate::names::clean;

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
///
/// # Panics
/// Never; the package is written to memory.
///
/// ```
/// use partpledge_formats::{Limits, RawMesh, RawPart, read_model, write};
/// use partpledge_units::length::LengthUnit;
/// let mesh = RawMesh {
///     vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]],
/// };
/// let parts = [RawPart { name: "corner".to_owned(), mesh }];
/// let bytes = write::three_mf(&parts, LengthUnit::Inch);
/// let file = read_model(&bytes, "x.3mf", &Limits::server()).unwrap();
/// assert_eq!(file.declared_unit, Some(LengthUnit::Inch));
/// assert_eq!(file.parts[0].name, "corner");
/// assert_eq!(file.parts[0].mesh.triangles.len(), 4);
/// ```
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
/// Corners at exactly the same place are joined and triangles with two equal corners left out,
/// as the core specification asks of a closed mesh. The same input gives the same bytes.
///
/// # Units
/// Coordinates and moves are in `unit`.
/// # Panics
/// If a placement names an object that is not in the list.
/// # Source
/// 3MF core specification 1.4.0, sections 3.4 and 4.1 (verified).
#[must_use]
pub fn three_mf_plate(objects: &[RawPart], items: &[Placement], unit: LengthUnit) -> Vec<u8> {
    assert!(
        items.iter().all(|item| item.object < objects.len()),
        "an object that is not there"
    );
    let model = model_xml(objects, items, unit);
    let files = [
        ("[Content_Types].xml", CONTENT_TYPES),
        ("_rels/.rels", RELATIONSHIPS),
        ("3D/3dmodel.model", model.as_str()),
    ];
    // A fixed time of day, so that the same plate gives the same bytes.
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .large_file(u32::try_from(model.len()).is_err())
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
        let numbers: Vec<String> = item
            .transform
            .iter()
            .map(|&c| plain_zero(c).to_string())
            .collect();
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
    let name = clean(&part.name);
    let name = quick_xml::escape::escape(name.as_str());
    let _ = writeln!(
        out,
        "<object id=\"{id}\" type=\"model\" name=\"{name}\">\n<mesh>\n<vertices>"
    );
    let (vertices, triangles) = joined(&part.mesh);
    for [x, y, z] in vertices {
        let _ = writeln!(out, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    out.push_str("</vertices>\n<triangles>\n");
    for [a, b, c] in triangles {
        let _ = writeln!(out, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    }
    out.push_str("</triangles>\n</mesh>\n</object>\n");
}

/// The mesh with equal corners joined, numbered as they first come, without the triangles that
/// this collapses and the corners that none uses.
fn joined(mesh: &RawMesh) -> (Vec<[f64; 3]>, Vec<[usize; 3]>) {
    let mut numbers = BTreeMap::new();
    let mut vertices = Vec::new();
    let mut triangles = Vec::new();
    for triangle in &mesh.triangles {
        let corners = triangle.map(|i| mesh.vertices[i as usize].map(plain_zero));
        let [a, b, c] = corners.map(|p| p.map(f64::to_bits));
        if a == b || b == c || a == c {
            continue;
        }
        triangles.push(corners.map(|p| {
            *numbers.entry(p.map(f64::to_bits)).or_insert_with(|| {
                vertices.push(p);
                vertices.len() - 1
            })
        }));
    }
    (vertices, triangles)
}

/// Minus zero is zero. Displayed, a number is the shortest decimal that reads back the same.
fn plain_zero(value: f64) -> f64 {
    value + 0.0
}
