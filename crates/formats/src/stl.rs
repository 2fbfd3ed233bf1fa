//! STL, binary and ASCII, in the strange forms that real files have.

use crate::detect::skip_blank;
use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile, RawMesh, RawPart};
use crate::names::stem;

/// Header and count.
const HEAD_BYTES: usize = 84;
/// Normal, three corners, attribute word.
const FACET_BYTES: usize = 50;

fn announced(bytes: &[u8]) -> Option<u64> {
    let count = bytes.get(80..HEAD_BYTES)?.try_into().ok()?;
    Some(u64::from(u32::from_le_bytes(count)))
}

/// Whether the announced triangles are all there.
pub(crate) fn is_whole_binary(bytes: &[u8]) -> bool {
    announced(bytes)
        .is_some_and(|n| bytes.len() as u64 >= HEAD_BYTES as u64 + n * FACET_BYTES as u64)
        && !bytes[..HEAD_BYTES]
            .iter()
            .all(|&b| b == b'\n' || (32..127).contains(&b))
}

/// The error for bytes named .stl that are neither whole nor text.
pub(crate) fn binary_is_short(bytes: &[u8], limits: &Limits) -> ReadError {
    let present = bytes.len().saturating_sub(HEAD_BYTES) / FACET_BYTES;
    match announced(bytes) {
        None => ReadError::Truncated {
            what: format!(
                "a binary STL starts with 84 bytes, here are {}",
                bytes.len()
            ),
        },
        Some(triangles)
            if triangles > limits.max_triangles && present as u64 > limits.max_triangles =>
        {
            ReadError::TooManyTriangles {
                triangles,
                limit: limits.max_triangles,
            }
        }
        Some(triangles) => ReadError::Truncated {
            what: format!("it announces {triangles} triangles, but only {present} are there"),
        },
    }
}

/// Reads a whole binary STL. Normals are ignored: they are often zero or wrong.
pub(crate) fn read_binary(
    bytes: &[u8],
    file_name: &str,
    limits: &Limits,
) -> Result<ModelFile, ReadError> {
    let triangles = announced(bytes).unwrap_or(0);
    if triangles > limits.max_triangles {
        return Err(ReadError::TooManyTriangles {
            triangles,
            limit: limits.max_triangles,
        });
    }
    let facets = usize::try_from(triangles).unwrap_or(0);
    let mut corners = Corners::new(limits, facets);
    for (i, facet) in bytes[HEAD_BYTES..]
        .chunks_exact(FACET_BYTES)
        .take(facets)
        .enumerate()
    {
        for corner in facet[12..48].chunks_exact(12) {
            let p = std::array::from_fn(|k| {
                let four = [
                    corner[4 * k],
                    corner[4 * k + 1],
                    corner[4 * k + 2],
                    corner[4 * k + 3],
                ];
                f64::from(f32::from_le_bytes(four))
            });
            corners.push(p, || format!("triangle {}", i + 1))?;
        }
    }
    corners.finish(FileKind::StlBinary, file_name)
}

/// Whether the text is an STL: it begins with "solid", or with a facet.
pub(crate) fn is_ascii(bytes: &[u8]) -> bool {
    let body = skip_blank(bytes);
    let starts =
        |word: &[u8]| body.len() >= word.len() && body[..word.len()].eq_ignore_ascii_case(word);
    starts(b"solid") || starts(b"facet")
}

/// Reads an ASCII STL; several solids in one file become shells of one part.
pub(crate) fn read_ascii(
    bytes: &[u8],
    file_name: &str,
    limits: &Limits,
) -> Result<ModelFile, ReadError> {
    let mut corners = Corners::new(limits, bytes.len() / 250);
    let mut in_loop = 0_usize;
    for (i, line) in skip_blank(bytes)
        .split(|&b| b == b'\n' || b == b'\r')
        .enumerate()
    {
        let mut words = line
            .split(u8::is_ascii_whitespace)
            .filter(|word| !word.is_empty());
        let Some(first) = words.next() else { continue };
        if first.eq_ignore_ascii_case(b"vertex") {
            let p = point(&mut words, i + 1)?;
            if in_loop >= 3 {
                return Err(ReadError::BadLine {
                    line: i + 1,
                    what: "a facet with more than three corners".to_owned(),
                });
            }
            in_loop += 1;
            corners.push(p, || format!("line {}", i + 1))?;
        } else if first.eq_ignore_ascii_case(b"endloop") || first.eq_ignore_ascii_case(b"facet") {
            if in_loop % 3 != 0 {
                let what = format!("a facet with {in_loop} corners instead of three");
                return Err(ReadError::BadLine { line: i + 1, what });
            }
            in_loop = 0;
        }
    }
    if in_loop % 3 != 0 {
        return Err(ReadError::Truncated {
            what: format!("the last facet has {in_loop} of 3 corners"),
        });
    }
    corners.finish(FileKind::StlAscii, file_name)
}

fn point<'a>(
    words: &mut impl Iterator<Item = &'a [u8]>,
    line: usize,
) -> Result<[f64; 3], ReadError> {
    let mut p = [0.0; 3];
    for value in &mut p {
        let Some(word) = words.next() else {
            let what = "a vertex with fewer than three numbers".to_owned();
            return Err(ReadError::BadLine { line, what });
        };
        *value = number(word).ok_or_else(|| ReadError::BadLine {
            line,
            what: format!("'{}' is not a number", String::from_utf8_lossy(word)),
        })?;
    }
    Ok(p)
}

/// A decimal number; "nan" and "inf" are numbers here and refused by the range check.
pub(crate) fn number(word: &[u8]) -> Option<f64> {
    std::str::from_utf8(word).ok()?.parse().ok()
}

/// Corners in threes, each checked.
pub(crate) struct Corners<'a> {
    limits: &'a Limits,
    mesh: RawMesh,
}

impl<'a> Corners<'a> {
    pub(crate) fn new(limits: &'a Limits, facets: usize) -> Self {
        // A hint only, and bounded: the counts were checked against the bytes that are there.
        let facets = facets.min(usize::try_from(limits.max_triangles).unwrap_or(usize::MAX));
        let vertices = Vec::with_capacity(facets * 3);
        Self {
            limits,
            mesh: RawMesh {
                vertices,
                triangles: Vec::with_capacity(facets),
            },
        }
    }

    pub(crate) fn push(
        &mut self,
        p: [f64; 3],
        place: impl Fn() -> String,
    ) -> Result<(), ReadError> {
        check_point(p, self.limits, &place)?;
        self.mesh.vertices.push(p);
        if self.mesh.vertices.len() % 3 == 0 {
            let triangles = self.mesh.vertices.len() as u64 / 3;
            if triangles > self.limits.max_triangles {
                let limit = self.limits.max_triangles;
                return Err(ReadError::TooManyTriangles { triangles, limit });
            }
            let last = u32::try_from(self.mesh.vertices.len() - 1).unwrap_or(u32::MAX);
            self.mesh.triangles.push([last - 2, last - 1, last]);
        }
        Ok(())
    }

    fn finish(self, kind: FileKind, file_name: &str) -> Result<ModelFile, ReadError> {
        if self.mesh.triangles.is_empty() {
            return Err(ReadError::NoTriangles);
        }
        let parts = vec![RawPart {
            name: stem(file_name),
            mesh: self.mesh,
        }];
        Ok(ModelFile {
            kind,
            declared_unit: None,
            parts,
        })
    }
}

/// Finite and within reach.
pub(crate) fn check_point(
    p: [f64; 3],
    limits: &Limits,
    place: &dyn Fn() -> String,
) -> Result<(), ReadError> {
    if p.iter().any(|c| !c.is_finite()) {
        return Err(ReadError::NotFinite { place: place() });
    }
    let limit = limits.max_abs_coordinate;
    match p.iter().find(|c| c.abs() > limit) {
        Some(&value) => Err(ReadError::OutOfRange {
            place: place(),
            value,
            limit,
        }),
        None => Ok(()),
    }
}
