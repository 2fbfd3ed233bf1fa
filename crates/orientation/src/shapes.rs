//! Parts for tests, in shapes whose numbers can be worked out by hand.

use partpledge_mesh::Mesh;

/// A box from its least corner and its sides; the first two triangles are its floor.
pub(crate) fn cuboid(low: [f64; 3], side: [f64; 3]) -> Mesh {
    let high = std::array::from_fn(|k| low[k] + side[k]);
    let raw = partpledge_testbed::shapes::boxes(&[(low, high)]);
    Mesh {
        vertices: raw.vertices,
        triangles: raw.triangles,
    }
}

/// Several meshes as one.
pub(crate) fn together(list: &[Mesh]) -> Mesh {
    let mut all = Mesh::default();
    for mesh in list {
        let first = u32::try_from(all.vertices.len()).unwrap();
        all.vertices.extend(&mesh.vertices);
        all.triangles
            .extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
    }
    all
}

/// A solid with the given outline in x and z, drawn counter-clockwise and fanned from its first
/// point (which must see all others), `depth` thick in y.
pub(crate) fn extruded(outline: &[[f64; 2]], depth: f64) -> Mesh {
    let n = u32::try_from(outline.len()).unwrap();
    let at = |y: f64| outline.iter().map(move |&[x, z]| [x, y, z]);
    let sides = (0..n).flat_map(|i| {
        let j = (i + 1) % n;
        [[i, n + j, j], [i, n + i, n + j]]
    });
    let caps = (1..n - 1).flat_map(|i| [[0, i, i + 1], [n, n + i + 1, n + i]]);
    Mesh {
        vertices: at(0.0).chain(at(depth)).collect(),
        triangles: sides.chain(caps).collect(),
    }
}

/// A body turned about the upright axis: radius and height of each ring from the lowest to the
/// highest, closed by flat ends (a radius of 0 gives a tip).
pub(crate) fn turned_on_a_lathe(rings: &[[f64; 2]], around: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for &[radius, z] in rings {
        mesh.vertices.extend((0..around).map(|i| {
            let turn = std::f64::consts::TAU * f64::from(i) / f64::from(around);
            [radius * turn.cos(), radius * turn.sin(), z]
        }));
    }
    let many = u32::try_from(rings.len()).unwrap();
    let (floor, roof) = (many * around, many * around + 1);
    mesh.vertices.push([0.0, 0.0, rings[0][1]]);
    mesh.vertices.push([0.0, 0.0, rings[rings.len() - 1][1]]);
    for i in 0..around {
        let j = (i + 1) % around;
        mesh.triangles.push([floor, j, i]);
        for ring in 0..many - 1 {
            let (low, high) = (ring * around, (ring + 1) * around);
            mesh.triangles
                .extend([[low + i, low + j, high + j], [low + i, high + j, high + i]]);
        }
        let last = (many - 1) * around;
        mesh.triangles.push([roof, last + i, last + j]);
    }
    let (vertices, triangles) = (mesh.vertices, mesh.triangles);
    welded(&vertices, &triangles)
}

/// Joins corners at the same place and drops triangles without area.
fn welded(vertices: &[[f64; 3]], triangles: &[[u32; 3]]) -> Mesh {
    let mut mesh = Mesh::default();
    let near = |a: &[f64; 3], b: &[f64; 3]| (0..3).all(|k| (a[k] - b[k]).abs() < 1e-9);
    let places: Vec<u32> = vertices
        .iter()
        .map(|vertex| {
            let known = mesh.vertices.iter().position(|other| near(vertex, other));
            let at = known.unwrap_or_else(|| {
                mesh.vertices.push(*vertex);
                mesh.vertices.len() - 1
            });
            u32::try_from(at).unwrap()
        })
        .collect();
    let joined = triangles.iter().map(|t| t.map(|i| places[i as usize]));
    mesh.triangles = joined
        .filter(|[a, b, c]| a != b && b != c && c != a)
        .collect();
    mesh
}

/// A ball of flat facets.
pub(crate) fn ball(radius: f64) -> Mesh {
    let rings: Vec<[f64; 2]> = (0..=12)
        .map(|ring| {
            let tilt = (15.0 * f64::from(ring)).to_radians();
            [radius * tilt.sin().max(0.0), -radius * tilt.cos()]
        })
        .collect();
    turned_on_a_lathe(&rings, 24)
}

/// A table: a plate on four round feet, each a half ball of 5 mm under a post. It has no flat
/// face that it stands on as drawn, feet down.
pub(crate) fn table() -> Mesh {
    let mut rings: Vec<[f64; 2]> = (0..=6)
        .map(|ring| {
            let tilt = (15.0 * f64::from(ring)).to_radians();
            [5.0 * tilt.sin(), 5.0 - 5.0 * tilt.cos()]
        })
        .collect();
    rings.push([5.0, 40.0]);
    let foot = turned_on_a_lathe(&rings, 24);
    let mut all = vec![cuboid([0.0, 0.0, 40.0], [80.0, 60.0, 6.0])];
    for (x, y) in [(10.0, 10.0), (70.0, 10.0), (70.0, 50.0), (10.0, 50.0)] {
        let mut moved = foot.clone();
        for vertex in &mut moved.vertices {
            *vertex = [vertex[0] + x, vertex[1] + y, vertex[2]];
        }
        all.push(moved);
    }
    together(&all)
}
