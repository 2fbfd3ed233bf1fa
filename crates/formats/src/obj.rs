//! OBJ: vertices and faces; everything else in it is skipped.
//!
//! The `tobj` crate was refused: it gives no line numbers, and it fans polygons, which turns
//! triangles of concave faces over.

use crate::detect::skip_blank;
use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile, RawMesh, RawPart};
use crate::names::stem;
use crate::stl::{check_point, number};
use crate::triangulate::triangulate;

/// Longest polygon taken; cutting ears costs the square of it.
const LONGEST_FACE: usize = 4_096;

/// Whether some early line is a vertex.
pub(crate) fn is_obj(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(65_536)];
    head.split(|&b| b == b'\n')
        .any(|line| line.starts_with(b"v ") || line.starts_with(b"v\t"))
}

/// Reads all groups and objects into one part.
pub(crate) fn read(bytes: &[u8], file_name: &str, limits: &Limits) -> Result<ModelFile, ReadError> {
    let mut mesh = RawMesh::default();
    let mut joined: Vec<u8> = Vec::new();
    for (i, raw) in skip_blank(bytes).split(|&b| b == b'\n').enumerate() {
        let line = raw.trim_ascii();
        if let Some(start) = line.strip_suffix(b"\\") {
            joined.extend_from_slice(start);
            joined.push(b' ');
            continue;
        }
        if joined.is_empty() {
            read_line(line, i + 1, &mut mesh, limits)?;
        } else {
            joined.extend_from_slice(line);
            read_line(&std::mem::take(&mut joined), i + 1, &mut mesh, limits)?;
        }
    }
    if mesh.triangles.is_empty() {
        return Err(ReadError::NoTriangles);
    }
    let parts = vec![RawPart {
        name: stem(file_name),
        mesh,
    }];
    Ok(ModelFile {
        kind: FileKind::Obj,
        declared_unit: None,
        parts,
    })
}

fn read_line(
    text: &[u8],
    line: usize,
    mesh: &mut RawMesh,
    limits: &Limits,
) -> Result<(), ReadError> {
    let mut words = text
        .split(u8::is_ascii_whitespace)
        .filter(|word| !word.is_empty());
    match words.next() {
        Some(b"v") => {
            let mut p = [0.0; 3];
            for value in &mut p {
                *value = words
                    .next()
                    .and_then(number)
                    .ok_or_else(|| ReadError::BadLine {
                        line,
                        what: "a vertex needs three numbers".to_owned(),
                    })?;
            }
            check_point(p, limits, &|| format!("line {line}"))?;
            mesh.vertices.push(p);
            Ok(())
        }
        Some(b"f" | b"fo") => {
            let face = words
                .take_while(|word| !word.starts_with(b"#"))
                .map(|word| corner(word, line, mesh.vertices.len()))
                .collect::<Result<Vec<u32>, _>>()?;
            add_face(&face, line, mesh, limits)
        }
        _ => Ok(()),
    }
}

fn add_face(
    face: &[u32],
    line: usize,
    mesh: &mut RawMesh,
    limits: &Limits,
) -> Result<(), ReadError> {
    if face.len() < 3 {
        let what = format!("a face with {} corners", face.len());
        return Err(ReadError::BadLine { line, what });
    }
    if face.len() > LONGEST_FACE {
        let what = format!(
            "a face with {} corners; the limit is {LONGEST_FACE}",
            face.len()
        );
        return Err(ReadError::BadLine { line, what });
    }
    let corners: Vec<[f64; 3]> = face.iter().map(|&i| mesh.vertices[i as usize]).collect();
    mesh.triangles.extend(
        triangulate(&corners)
            .into_iter()
            .map(|t| t.map(|k| face[k])),
    );
    let triangles = mesh.triangles.len() as u64;
    if triangles > limits.max_triangles {
        return Err(ReadError::TooManyTriangles {
            triangles,
            limit: limits.max_triangles,
        });
    }
    Ok(())
}

/// `7`, `7/1`, `7//3`, `-1`: the vertex, counted from 1 or back from the last.
fn corner(word: &[u8], line: usize, vertices: usize) -> Result<u32, ReadError> {
    let first = word.split(|&b| b == b'/').next().unwrap_or(word);
    let index: i64 = std::str::from_utf8(first)
        .ok()
        .and_then(|w| w.parse().ok())
        .ok_or_else(|| {
            let what = format!("'{}' is not a vertex number", String::from_utf8_lossy(word));
            ReadError::BadLine { line, what }
        })?;
    let count = i64::try_from(vertices).unwrap_or(i64::MAX);
    let from_zero = if index < 0 { count + index } else { index - 1 };
    if (0..count).contains(&from_zero) {
        if let Ok(i) = u32::try_from(from_zero) {
            return Ok(i);
        }
    }
    Err(ReadError::BadIndex {
        place: format!("line {line}"),
        index,
        vertices,
    })
}
