//! Zips and 3MF packages made by hand, and small meshes, for the tests of this folder.

use std::io::{Cursor, Write};

use partpledge_formats::{Limits, ModelFile, RawMesh, ReadError, read_model};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

pub(crate) const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
pub(crate) const PRODUCTION: &str =
    "http://schemas.microsoft.com/3dmanufacturing/production/2015/06";

/// A zip of the entries, packed by deflate.
pub(crate) fn zip_of(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        zip.start_file(*name, options)
            .expect("the names of a test differ");
        zip.write_all(bytes)
            .expect("writing to memory does not fail");
    }
    zip.finish()
        .expect("writing to memory does not fail")
        .into_inner()
}

/// Package relationships that name `target` as the 3D model.
pub(crate) fn rels(target: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?><r:Relationships \
         xmlns:r=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
         <r:Relationship Id=\"other\" Target=\"/x.png\" Type=\"thumbnail\"/>\
         <r:Relationship Id=\"a\" Target=\"{target}\" \
         Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/>\
         </r:Relationships>"
    )
}

/// A 3MF with one model part.
pub(crate) fn package(model: &str) -> Vec<u8> {
    let rels = rels("/3D/part.model");
    zip_of(&[
        ("_rels/.rels", rels.as_bytes()),
        ("3D/part.model", model.as_bytes()),
    ])
}

/// A model with the core namespace as the default one.
pub(crate) fn model(attributes: &str, resources: &str, build: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model xmlns=\"{CORE}\" {attributes}>\
         <resources>{resources}</resources><build>{build}</build></model>"
    )
}

/// The corner of a cube as the inside of an object: volume 1/6, four triangles.
pub(crate) const CORNER: &str = "<mesh><vertices><vertex x=\"0\" y=\"0\" z=\"0\"/>\
    <vertex x=\"1\" y=\"0\" z=\"0\"/><vertex x=\"0\" y=\"1\" z=\"0\"/>\
    <vertex x=\"0\" y=\"0\" z=\"1\"/></vertices><triangles>\
    <triangle v1=\"0\" v2=\"2\" v3=\"1\"/><triangle v1=\"0\" v2=\"1\" v3=\"3\"/>\
    <triangle v1=\"1\" v2=\"2\" v3=\"3\"/><triangle v1=\"2\" v2=\"0\" v3=\"3\"/>\
    </triangles></mesh>";

/// An object with that corner in it.
pub(crate) fn corner_object(id: u32, attributes: &str) -> String {
    format!("<object id=\"{id}\" {attributes}>{CORNER}</object>")
}

/// A box with its low corner at the origin: 8 corners, 12 triangles.
pub(crate) fn box_mesh([w, d, h]: [f64; 3]) -> RawMesh {
    let vertices = (0..8)
        .map(|i| {
            [
                f64::from(i & 1) * w,
                f64::from(i >> 1 & 1) * d,
                f64::from(i >> 2) * h,
            ]
        })
        .collect();
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let triangles = quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
        .collect();
    RawMesh {
        vertices,
        triangles,
    }
}

/// Signed volume by the divergence theorem.
pub(crate) fn volume(mesh: &RawMesh) -> f64 {
    let triple = |[a, b, c]: [[f64; 3]; 3]| {
        a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
    };
    mesh.triangles
        .iter()
        .map(|t| triple(t.map(|i| mesh.vertices[i as usize])))
        .sum::<f64>()
        / 6.0
}

/// Reads with the limits of the server.
pub(crate) fn read(bytes: &[u8], name: &str) -> Result<ModelFile, ReadError> {
    read_model(bytes, name, &Limits::server())
}

/// The code of the refusal, or "read".
pub(crate) fn code(bytes: &[u8], name: &str) -> &'static str {
    read(bytes, name).map_or_else(|error| error.code(), |_| "read")
}
