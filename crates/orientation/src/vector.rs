//! Three-component arithmetic on plain arrays, beside what `mesh` has of it.

pub(crate) use partpledge_mesh::vector::{cross, dot, double_area, length, minus};

pub(crate) type Vector = [f64; 3];

pub(crate) fn plus(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn scaled(a: Vector, by: f64) -> Vector {
    a.map(|x| x * by)
}

pub(crate) fn unit(a: Vector) -> Option<Vector> {
    let size = length(a);
    (size > 1e-12).then(|| scaled(a, 1.0 / size))
}
