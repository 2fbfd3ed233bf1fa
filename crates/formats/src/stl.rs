//! STL, binary and ASCII, in the strange forms that real files have.

mod ascii;

pub(crate) use ascii::{is_ascii, read_ascii};

use partpledge_words::{Said, said};

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile, RawMesh, RawPart};
use crate::names::stem;
use crate::points::check_point;

/// Header and count.
const HEAD_BYTES: usize = 84;
/// Normal, three corners, attribute word.
const FACET_BYTES: usize = 50;

/// How the size of the bytes compares with the triangles that they would announce.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fit {
    /// 84 + 50 n bytes to the byte, n above zero: a binary STL, whatever it begins with.
    Exact,
    /// All n triangles and more bytes behind.
    Longer,
    /// Not all the triangles, or not even a header.
    Short,
}

/// The size test.
pub(crate) fn fit(bytes: &[u8]) -> Fit {
    let Some(n) = announced(bytes) else {
        return Fit::Short;
    };
    let needed = HEAD_BYTES as u64 + n * FACET_BYTES as u64;
    match (bytes.len() as u64).cmp(&needed) {
        std::cmp::Ordering::Less => Fit::Short,
        std::cmp::Ordering::Equal if n > 0 => Fit::Exact,
        _ => Fit::Longer,
    }
}

/// Whether a whole number of triangles stands behind a count of zero, which some writers put down
/// first and never come back to: the size is believed then. A count that is too large stays
/// refused, since a file that broke off looks the same.
fn count_was_never_filled_in(bytes: &[u8]) -> bool {
    announced(bytes) == Some(0) && by_size(bytes).is_some_and(|n| n > 0)
}

/// The triangles that fill the bytes to the end; `None` if something is left over.
fn by_size(bytes: &[u8]) -> Option<u64> {
    let behind = bytes.len().checked_sub(HEAD_BYTES)?;
    (behind % FACET_BYTES == 0).then_some((behind / FACET_BYTES) as u64)
}

/// More whole triangles than announced, and all of them look like ones: the size and the count
/// tell two stories, and believing the count would leave a piece of the part out.
fn check_count(bytes: &[u8], announced: u64, limits: &Limits) -> Result<(), ReadError> {
    let Some(present) = by_size(bytes).filter(|&present| present > announced) else {
        return Ok(());
    };
    let first = HEAD_BYTES + usize::try_from(announced).unwrap_or(usize::MAX) * FACET_BYTES;
    let (facets, _) = bytes[first..].as_chunks::<FACET_BYTES>();
    let sound = |c: f64| c.is_finite() && c.abs() <= limits.max_abs_coordinate;
    // Padding with zeros gives triangles that are one point.
    let solid = |facet: &[u8; FACET_BYTES]| {
        let corners = facet_corners(facet);
        let [a, b, c] = corners.map(|p| p.map(f64::to_bits));
        corners.iter().flatten().all(|&c| sound(c)) && a != b && b != c
    };
    if facets.iter().all(solid) {
        return Err(ReadError::WrongCount { announced, present });
    }
    Ok(())
}

/// Another STL behind the last triangle would be lost.
fn check_rest(bytes: &[u8], triangles: u64) -> Result<(), ReadError> {
    let end = usize::try_from(triangles)
        .ok()
        .and_then(|n| n.checked_mul(FACET_BYTES)?.checked_add(HEAD_BYTES))
        .unwrap_or(usize::MAX);
    let rest = bytes.get(end..).unwrap_or_default();
    if is_ascii(rest.trim_ascii_start()) || fit(rest) == Fit::Exact {
        let what = said!("errors-read-another-stl", n = triangles);
        return Err(ReadError::MoreBehind { what });
    }
    Ok(())
}

/// The three corners behind the normal.
fn facet_corners(facet: &[u8; FACET_BYTES]) -> [[f64; 3]; 3] {
    let (words, _) = facet.as_chunks::<4>();
    let number = |i: usize| f64::from(f32::from_le_bytes(words[i]));
    std::array::from_fn(|corner| std::array::from_fn(|k| number(3 + 3 * corner + k)))
}

/// The triangles that a binary STL would announce in these bytes.
fn announced(bytes: &[u8]) -> Option<u64> {
    let count = bytes.get(80..HEAD_BYTES)?.try_into().ok()?;
    Some(u64::from(u32::from_le_bytes(count)))
}

/// The error for bytes named .stl that are neither whole nor text.
pub(crate) fn binary_is_short(bytes: &[u8]) -> ReadError {
    let present = bytes.len().saturating_sub(HEAD_BYTES) / FACET_BYTES;
    let what = match announced(bytes) {
        None => said!("errors-read-short-head", n = bytes.len()),
        Some(n) => said!("errors-read-short", n = n, present = present),
    };
    ReadError::Truncated { what }
}

/// Reads a binary STL whose announced triangles are all there. Normals are ignored (they are
/// often zero or wrong), and so is whatever follows the last triangle, unless it is more triangles.
pub(crate) fn read_binary(
    bytes: &[u8],
    file_name: &str,
    limits: &Limits,
) -> Result<ModelFile, ReadError> {
    let triangles = match announced(bytes) {
        Some(_) if count_was_never_filled_in(bytes) => by_size(bytes).unwrap_or(0),
        Some(count) => count,
        None => 0,
    };
    limits.check_triangles(triangles)?;
    check_count(bytes, triangles, limits)?;
    check_rest(bytes, triangles)?;
    let facets = usize::try_from(triangles).unwrap_or(usize::MAX);
    let (facet_bytes, _) = bytes[HEAD_BYTES..].as_chunks::<FACET_BYTES>();
    let mut corners = Corners::new(limits, facets.min(facet_bytes.len()));
    for (i, facet) in facet_bytes.iter().take(facets).enumerate() {
        for p in facet_corners(facet) {
            corners.push(p, || said!("errors-read-at-triangle", n = i + 1))?;
        }
    }
    corners.finish(FileKind::StlBinary, file_name)
}

/// Corners in threes, each checked.
struct Corners<'a> {
    limits: &'a Limits,
    mesh: RawMesh,
}

impl<'a> Corners<'a> {
    /// `facets` is a hint that the caller has checked against the bytes that are there.
    fn new(limits: &'a Limits, facets: usize) -> Self {
        let facets = facets.min(usize::try_from(limits.max_triangles).unwrap_or(usize::MAX));
        let vertices = Vec::with_capacity(facets * 3);
        let triangles = Vec::with_capacity(facets);
        Self {
            limits,
            mesh: RawMesh {
                vertices,
                triangles,
            },
        }
    }

    fn push(&mut self, p: [f64; 3], place: impl Fn() -> Said) -> Result<(), ReadError> {
        check_point(p, self.limits, &place)?;
        self.mesh.vertices.push(p);
        let count = self.mesh.vertices.len();
        if count.is_multiple_of(3) {
            self.limits.check_triangles(count as u64 / 3)?;
            let last = u32::try_from(count - 1).map_err(|_| ReadError::TooManyVertices {
                vertices: count as u64,
                limit: u64::from(u32::MAX),
            })?;
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
            left_out: Vec::new(),
        })
    }
}
