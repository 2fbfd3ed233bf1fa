//! Which triangles cross which plane, and where.

use clipper2_rust::Point64;
use partpledge_mesh::Mesh;

use crate::outlines::to_point;

/// One triangle's part of a section: from the edge where the triangle's boundary goes down
/// through the plane to the edge where it comes up, which keeps the solid on the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Edge it starts on.
    pub from: EdgeKey,
    /// Edge it ends on.
    pub to: EdgeKey,
    /// Where it starts.
    pub start: Point64,
    /// Where it ends.
    pub end: Point64,
}

/// A mesh edge: its two corners, the smaller index in the upper half.
pub type EdgeKey = u64;

/// For each plane the triangles that cross it, in order of triangle, in one flat list: the
/// cost is triangles + crossings, not triangles x planes.
#[derive(Debug)]
pub struct Buckets {
    starts: Vec<usize>,
    triangles: Vec<u32>,
}

impl Buckets {
    /// Sorts the triangles of `mesh` under `heights_mm`, which must rise.
    #[must_use]
    pub fn new(mesh: &Mesh, heights_mm: &[f64]) -> Self {
        let spans: Vec<(usize, usize)> = mesh
            .triangles
            .iter()
            .map(|triangle| {
                let z = triangle.map(|i| mesh.vertices[i as usize][2]);
                let low = z[0].min(z[1]).min(z[2]);
                let high = z[0].max(z[1]).max(z[2]);
                // A corner on the plane counts as above it: crossed when low < h <= high.
                (
                    heights_mm.partition_point(|&h| h <= low),
                    heights_mm.partition_point(|&h| h <= high),
                )
            })
            .collect();
        let mut starts = vec![0_usize; heights_mm.len() + 1];
        for &(first, end) in &spans {
            for layer in first..end {
                starts[layer + 1] += 1;
            }
        }
        for layer in 0..heights_mm.len() {
            starts[layer + 1] += starts[layer];
        }
        let mut next = starts.clone();
        let mut triangles = vec![0_u32; starts[heights_mm.len()]];
        for (triangle, &(first, end)) in (0_u32..).zip(&spans) {
            for slot in &mut next[first..end] {
                triangles[*slot] = triangle;
                *slot += 1;
            }
        }
        Self { starts, triangles }
    }

    /// The triangles that cross plane `layer`.
    #[must_use]
    pub fn layer(&self, layer: usize) -> &[u32] {
        &self.triangles[self.starts[layer]..self.starts[layer + 1]]
    }
}

/// The segment in which a triangle crosses the plane `z_mm`; `None` when it does not.
#[must_use]
pub fn segment(mesh: &Mesh, triangle: u32, z_mm: f64) -> Option<Segment> {
    let corners = mesh.triangles[triangle as usize];
    let above = corners.map(|i| mesh.vertices[i as usize][2] >= z_mm);
    let (mut down, mut up) = (None, None);
    for k in 0..3 {
        let next = (k + 1) % 3;
        match (above[k], above[next]) {
            (true, false) => down = Some((corners[k], corners[next])),
            (false, true) => up = Some((corners[k], corners[next])),
            _ => {}
        }
    }
    let (from, start) = cut(mesh, down?, z_mm);
    let (to, end) = cut(mesh, up?, z_mm);
    Some(Segment {
        from,
        to,
        start,
        end,
    })
}

/// Where an edge meets the plane. Always worked out from the smaller index to the larger, so
/// that both triangles of the edge get the same point to the last bit.
fn cut(mesh: &Mesh, (i, j): (u32, u32), z_mm: f64) -> (EdgeKey, Point64) {
    let (i, j) = (i.min(j), i.max(j));
    let [ax, ay, az] = mesh.vertices[i as usize];
    let [bx, by, bz] = mesh.vertices[j as usize];
    let t = (z_mm - az) / (bz - az);
    let point = to_point(ax + t * (bx - ax), ay + t * (by - ay));
    ((u64::from(i) << 32) | u64::from(j), point)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_solid_lies_on_the_left() {
        // A front wall at y = 0 facing -y: the solid is at y > 0, so the section runs to +x.
        let mesh = Mesh {
            vertices: vec![[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]],
            triangles: vec![[0, 1, 2]],
        };
        let found = segment(&mesh, 0, 0.5).unwrap();
        assert_eq!(
            (found.start, found.end),
            (to_point(0.0, 0.0), to_point(0.5, 0.0))
        );
    }

    #[test]
    fn a_corner_on_the_plane_counts_as_above() {
        let mesh = Mesh {
            vertices: vec![[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]],
            triangles: vec![[0, 1, 2]],
        };
        let buckets = Buckets::new(&mesh, &[0.0, 0.5, 1.0, 1.5]);
        let crossed: Vec<usize> = (0..4).map(|layer| buckets.layer(layer).len()).collect();
        assert_eq!(crossed, [0, 1, 1, 0]);
        assert!(segment(&mesh, 0, 1.0).is_some() && segment(&mesh, 0, 0.0).is_none());
    }
}
