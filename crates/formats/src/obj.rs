//! OBJ: vertices and faces. Free-form surfaces are refused; everything else is skipped.
//!
//! The `tobj` crate was refused: it gives no line numbers, and it fans polygons, which turns
//! triangles of concave faces over.

use partpledge_words::said;

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile, RawMesh, RawPart};
use crate::names::stem;
use crate::points::{check_point, number, point, shown};
use crate::triangulate::Triangulator;

/// Whether some early line is a vertex of three numbers.
pub(crate) fn is_obj(body: &[u8]) -> bool {
    let head = &body[..body.len().min(65_536)];
    head.split(|&b| b == b'\n' || b == b'\r').any(|line| {
        let mut words = words(line);
        words.next() == Some(b"v")
            && words.take(3).filter(|word| number(word).is_some()).count() == 3
    })
}

/// Reads all groups and objects into one part.
pub(crate) fn read(bytes: &[u8], file_name: &str, limits: &Limits) -> Result<ModelFile, ReadError> {
    // Only files without any line feed use the carriage return as their line end.
    let line_end = if bytes.contains(&b'\n') { b'\n' } else { b'\r' };
    let mut reader = Reader {
        limits,
        mesh: RawMesh::default(),
        face: Vec::new(),
        divider: Triangulator::default(),
    };
    let mut joined: Vec<u8> = Vec::new();
    let mut first_line = None;
    for (line, raw) in (1..).zip(bytes.split(|&b| b == line_end)) {
        let text = raw.trim_ascii();
        if let Some(start) = text.strip_suffix(b"\\") {
            joined.extend_from_slice(start);
            joined.push(b' ');
            first_line = first_line.or(Some(line));
        } else if let Some(first) = first_line.take() {
            joined.extend_from_slice(text);
            reader.line(&joined, first)?;
            joined.clear();
        } else {
            reader.line(text, line)?;
        }
    }
    if let Some(first) = first_line {
        reader.line(&joined, first)?;
    }
    if reader.mesh.triangles.is_empty() {
        return Err(ReadError::NoTriangles);
    }
    let parts = vec![RawPart {
        name: stem(file_name),
        mesh: reader.mesh,
    }];
    Ok(ModelFile {
        kind: FileKind::Obj,
        declared_unit: None,
        parts,
        left_out: Vec::new(),
    })
}

/// Words up to a comment.
fn words(line: &[u8]) -> impl Iterator<Item = &[u8]> {
    line.split(u8::is_ascii_whitespace)
        .filter(|word| !word.is_empty())
        .take_while(|word| !word.starts_with(b"#"))
}

struct Reader<'a> {
    limits: &'a Limits,
    mesh: RawMesh,
    face: Vec<u32>,
    divider: Triangulator,
}

impl Reader<'_> {
    fn line(&mut self, text: &[u8], line: usize) -> Result<(), ReadError> {
        let mut words = words(text);
        match words.next() {
            // A fourth number (weight) and colours may follow; neither moves the corner.
            Some(b"v") => {
                let p = point(&mut words, line)?;
                check_point(p, self.limits, &|| {
                    said!("errors-read-at-line", line = line)
                })?;
                self.mesh.vertices.push(p);
                self.limits.check_vertices(self.mesh.vertices.len() as u64)
            }
            Some(b"f" | b"fo") => {
                self.face.clear();
                for word in words {
                    self.face
                        .push(corner(word, line, self.mesh.vertices.len())?);
                }
                self.add_face(line)
            }
            // What faces there are beside it would be a part with a piece missing.
            Some(b"surf") => Err(ReadError::FreeForm { line }),
            _ => Ok(()),
        }
    }

    fn add_face(&mut self, line: usize) -> Result<(), ReadError> {
        let face = &self.face;
        match face.len() {
            0 | 1 => {
                let what = said!("errors-read-face-corners", n = face.len());
                return Err(ReadError::BadLine { line, what });
            }
            // Some writers put loose edges out as faces; an edge encloses nothing.
            2 => return Ok(()),
            _ => {}
        }
        let triangles = self.mesh.triangles.len() + face.len() - 2;
        self.limits.check_triangles(triangles as u64)?;
        if let &[a, b, c] = face.as_slice() {
            self.mesh.triangles.push([a, b, c]);
            return Ok(());
        }
        let corners: Vec<[f64; 3]> = face
            .iter()
            .map(|&i| self.mesh.vertices[i as usize])
            .collect();
        let divided = self
            .divider
            .divide(&corners)
            .map_err(|_| ReadError::TooComplex { line })?;
        self.mesh
            .triangles
            .extend(divided.into_iter().map(|t| t.map(|k| face[k])));
        Ok(())
    }
}

/// `7`, `7/1`, `7//3`, `-1`: the vertex, counted from 1 or back from the last.
fn corner(word: &[u8], line: usize, vertices: usize) -> Result<u32, ReadError> {
    let first = word.split(|&b| b == b'/').next().unwrap_or(word);
    let index: i64 = std::str::from_utf8(first)
        .ok()
        .and_then(|w| w.parse().ok())
        .ok_or_else(|| {
            let what = said!("errors-read-no-vertex-number", text = shown(word));
            ReadError::BadLine { line, what }
        })?;
    let count = i64::try_from(vertices).unwrap_or(i64::MAX);
    // Neither overflows: the first adds a negative to a count, the second is at least -1.
    let from_zero = if index < 0 { count + index } else { index - 1 };
    u32::try_from(from_zero)
        .ok()
        .filter(|_| from_zero < count)
        .ok_or_else(|| ReadError::BadIndex {
            place: said!("errors-read-at-line", line = line),
            index,
            vertices,
        })
}
