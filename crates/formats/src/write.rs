//! Writing the formats we read. The same triangles give the same bytes.

mod three_mf;

pub use three_mf::{Placement, three_mf, three_mf_plate};

use std::fmt::Write as _;

use partpledge_units::cast::to_f32;

use crate::model::RawMesh;
use crate::names::clean;

/// A binary STL: 84 + 50 n bytes, normals worked out from the corners.
///
/// # Source
/// Library of Congress fdd000505; PRONOM fmt/865 (verified).
///
/// ```
/// use partpledge_formats::{RawMesh, write};
/// let mesh = RawMesh { vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]], triangles: vec![[0, 1, 2]] };
/// assert_eq!(write::stl_binary(&mesh).len(), 134);
/// ```
#[must_use]
pub fn stl_binary(mesh: &RawMesh) -> Vec<u8> {
    let mut out = Vec::with_capacity(84 + 50 * mesh.triangles.len());
    out.extend_from_slice(&[0; 80]);
    out.extend_from_slice(
        &u32::try_from(mesh.triangles.len())
            .unwrap_or(u32::MAX)
            .to_le_bytes(),
    );
    for &triangle in &mesh.triangles {
        let corners = triangle.map(|i| mesh.vertices[i as usize]);
        for c in std::iter::once(normal(corners)).chain(corners).flatten() {
            out.extend_from_slice(&to_f32(c).to_le_bytes());
        }
        out.extend_from_slice(&[0, 0]);
    }
    out
}

/// An ASCII STL with one solid. Numbers read back as they were; the name is made plain first.
///
/// ```
/// use partpledge_formats::{RawMesh, write};
/// let mesh = RawMesh { vertices: vec![[0.0; 3], [0.1, 0.0, 0.0], [0.0, 1.0, 0.0]], triangles: vec![[0, 1, 2]] };
/// let text = String::from_utf8(write::stl_ascii(&mesh, "wedge")).unwrap();
/// assert!(text.starts_with("solid wedge\n  facet normal 0 0 1\n"));
/// assert!(text.contains("vertex 0.1 0 0\n"));
/// ```
#[must_use]
pub fn stl_ascii(mesh: &RawMesh, name: &str) -> Vec<u8> {
    let name = clean(name);
    let mut out = format!("solid {name}\n");
    for &triangle in &mesh.triangles {
        let corners = triangle.map(|i| mesh.vertices[i as usize]);
        let [nx, ny, nz] = normal(corners);
        let _ = writeln!(out, "  facet normal {nx} {ny} {nz}\n    outer loop");
        for [x, y, z] in corners {
            let _ = writeln!(out, "      vertex {x} {y} {z}");
        }
        out.push_str("    endloop\n  endfacet\n");
    }
    let _ = writeln!(out, "endsolid {name}");
    out.into_bytes()
}

/// An OBJ with one object. Numbers read back as they were; the name is made plain first.
///
/// ```
/// use partpledge_formats::{RawMesh, write};
/// let mesh = RawMesh { vertices: vec![[0.0; 3], [0.1, 0.0, 0.0], [0.0, 1.0, 0.0]], triangles: vec![[0, 1, 2]] };
/// let text = String::from_utf8(write::obj(&mesh, "wedge")).unwrap();
/// assert_eq!(text, "o wedge\nv 0 0 0\nv 0.1 0 0\nv 0 1 0\nf 1 2 3\n");
/// ```
#[must_use]
pub fn obj(mesh: &RawMesh, name: &str) -> Vec<u8> {
    let mut out = format!("o {}\n", clean(name));
    for [x, y, z] in &mesh.vertices {
        let _ = writeln!(out, "v {x} {y} {z}");
    }
    for &[a, b, c] in &mesh.triangles {
        let _ = writeln!(
            out,
            "f {} {} {}",
            u64::from(a) + 1,
            u64::from(b) + 1,
            u64::from(c) + 1
        );
    }
    out.into_bytes()
}

/// Unit normal by the right-hand rule; zero for a face without area.
fn normal([a, b, c]: [[f64; 3]; 3]) -> [f64; 3] {
    let u: [f64; 3] = std::array::from_fn(|k| b[k] - a[k]);
    let v: [f64; 3] = std::array::from_fn(|k| c[k] - a[k]);
    let n = [
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ];
    let length = n.iter().map(|c| c * c).sum::<f64>().sqrt();
    if length > 0.0 {
        n.map(|c| c / length)
    } else {
        [0.0; 3]
    }
}
