//! Closed solids from stacked outlines: all that our parts need.

use partpledge_formats::RawMesh;

use crate::outline::{Outline, area_mm2, holds};

/// One storey of a solid: what is solid between two heights.
pub(crate) struct Storey {
    /// Borders and holes, in any order and direction; solid is where an odd number of them hold.
    pub(crate) outlines: Vec<Outline>,
    /// Its top; its bottom is the top of the one below, or zero.
    pub(crate) top_mm: f64,
}

/// A solid of storeys. Outlines of neighbouring storeys must be the same or not touch.
pub(crate) fn stack(storeys: &[Storey]) -> RawMesh {
    let mut mesh = RawMesh::default();
    let none: Vec<Outline> = Vec::new();
    let mut bottom_mm = 0.0;
    for (i, storey) in storeys.iter().enumerate() {
        for outline in &storey.outlines {
            wall(
                &mut mesh,
                outline,
                &storey.outlines,
                bottom_mm,
                storey.top_mm,
            );
        }
        let below = if i == 0 {
            &none
        } else {
            &storeys[i - 1].outlines
        };
        floor(&mut mesh, below, &storey.outlines, bottom_mm);
        bottom_mm = storey.top_mm;
    }
    if let Some(last) = storeys.last() {
        floor(&mut mesh, &last.outlines, &none, last.top_mm);
    }
    mesh
}

/// One outline with holes, raised.
pub(crate) fn extrude(outlines: Vec<Outline>, height_mm: f64) -> RawMesh {
    stack(&[Storey {
        outlines,
        top_mm: height_mm,
    }])
}

/// How many of the outlines other than itself hold the first corner of this one.
fn depth(outline: &Outline, all: &[Outline]) -> usize {
    all.iter()
        .filter(|other| *other != outline && holds(other, outline[0]))
        .count()
}

fn wall(mesh: &mut RawMesh, outline: &Outline, all: &[Outline], low_mm: f64, high_mm: f64) {
    // Borders run counter-clockwise, holes clockwise, so that walls face away from the solid.
    let is_hole = depth(outline, all) % 2 == 1;
    let runs_left = area_mm2(outline) > 0.0;
    let mut ring = outline.clone();
    if is_hole == runs_left {
        ring.reverse();
    }
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let corner = |p: [f64; 2], z| [p[0], p[1], z];
        let (a0, b0, a1, b1) = (
            corner(a, low_mm),
            corner(b, low_mm),
            corner(a, high_mm),
            corner(b, high_mm),
        );
        face(mesh, [a0, b0, b1]);
        face(mesh, [a0, b1, a1]);
    }
}

fn face(mesh: &mut RawMesh, corners: [[f64; 3]; 3]) {
    let first = u32::try_from(mesh.vertices.len()).expect("our parts are small");
    mesh.vertices.extend(corners);
    mesh.triangles.push([first, first + 1, first + 2]);
}

/// The faces between what is below and what is above: up where only below is solid, down where
/// only above is.
fn floor(mesh: &mut RawMesh, below: &[Outline], above: &[Outline], z_mm: f64) {
    // An outline that both share bounds nothing here.
    let here: Vec<&Outline> = below
        .iter()
        .filter(|outline| !above.contains(outline))
        .chain(above.iter().filter(|outline| !below.contains(outline)))
        .collect();
    for outer in &here {
        let inside_of = |outline: &Outline| -> Vec<&Outline> {
            here.iter()
                .copied()
                .filter(|o| *o != outline && holds(o, outline[0]))
                .collect()
        };
        let depth_here = inside_of(outer).len();
        if depth_here % 2 == 1 {
            continue; // the area between the lines is bounded from outside by even ones
        }
        let holes: Vec<&Outline> = here
            .iter()
            .copied()
            .filter(|o| inside_of(o).len() == depth_here + 1 && holds(outer, o[0]))
            .collect();
        // Solid below just inside this line: then the face looks up.
        let probe = inner_point(outer, &holes);
        let solid =
            |outlines: &[Outline]| outlines.iter().filter(|o| holds(o, probe)).count() % 2 == 1;
        cap(mesh, outer, &holes, z_mm, solid(below) && !solid(above));
    }
}

/// A point of the face: the middle of its first triangle.
fn inner_point(outer: &Outline, holes: &[&Outline]) -> [f64; 2] {
    let (points, triangles) = triangles(outer, holes);
    let Some(t) = triangles.first() else {
        return outer[0];
    };
    let sum = |k: usize| t.iter().map(|&i| points[i][k]).sum::<f64>() / 3.0;
    [sum(0), sum(1)]
}

fn triangles(outer: &Outline, holes: &[&Outline]) -> (Vec<[f64; 2]>, Vec<[usize; 3]>) {
    let mut points = outer.clone();
    let mut starts: Vec<u32> = Vec::new();
    for hole in holes {
        starts.push(u32::try_from(points.len()).expect("our parts are small"));
        points.extend(hole.iter().copied());
    }
    let mut found: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(points.iter().copied(), &starts, &mut found);
    let triangles = found
        .chunks_exact(3)
        .map(|t| [t[0] as usize, t[1] as usize, t[2] as usize]);
    (points, triangles.collect())
}

fn cap(mesh: &mut RawMesh, outer: &Outline, holes: &[&Outline], z_mm: f64, up: bool) {
    let (points, triangles) = triangles(outer, holes);
    for t in triangles {
        let [a, b, c] = t.map(|i| points[i]);
        let left = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0.0;
        let order = if left == up { [a, b, c] } else { [a, c, b] };
        face(mesh, order.map(|p| [p[0], p[1], z_mm]));
    }
}

/// A ball of triangles; inside out when `inward`.
pub(crate) fn ball(radius_mm: f64, inward: bool) -> RawMesh {
    let (rings, sides) = (32_u32, 64_u32);
    let point = |ring: u32, side: u32| {
        let down = (180.0 * f64::from(ring) / f64::from(rings)).to_radians();
        let round = (360.0 * f64::from(side % sides) / f64::from(sides)).to_radians();
        let flat = if ring == 0 || ring == rings {
            0.0
        } else {
            radius_mm * down.sin()
        };
        [
            flat * round.cos(),
            flat * round.sin(),
            radius_mm * down.cos(),
        ]
    };
    let mut mesh = RawMesh::default();
    for ring in 0..rings {
        for side in 0..sides {
            let (a, b) = (point(ring, side), point(ring, side + 1));
            let (c, d) = (point(ring + 1, side), point(ring + 1, side + 1));
            for [p, q, r] in [[a, c, d], [a, d, b]] {
                let pole = (ring == 0 && [p, q, r] == [a, d, b])
                    || (ring + 1 == rings && [p, q, r] == [a, c, d]);
                if !pole {
                    face(&mut mesh, if inward { [p, r, q] } else { [p, q, r] });
                }
            }
        }
    }
    mesh
}

/// Turned a quarter about the x axis, so that what pointed along y points up.
pub(crate) fn tipped(mesh: &RawMesh) -> RawMesh {
    let vertices = mesh.vertices.iter().map(|&[x, y, z]| [x, -z, y]).collect();
    RawMesh {
        vertices,
        triangles: mesh.triangles.clone(),
    }
}

/// Two meshes as one.
pub(crate) fn joined(mut a: RawMesh, b: &RawMesh) -> RawMesh {
    let shift = u32::try_from(a.vertices.len()).expect("our parts are small");
    a.vertices.extend(&b.vertices);
    a.triangles
        .extend(b.triangles.iter().map(|t| t.map(|i| i + shift)));
    a
}
