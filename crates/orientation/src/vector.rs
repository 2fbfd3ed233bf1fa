//! Three-component arithmetic on plain arrays, the form in which meshes are stored.

pub(crate) type Vector = [f64; 3];

pub(crate) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn plus(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn scaled(a: Vector, by: f64) -> Vector {
    a.map(|x| x * by)
}

pub(crate) fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

pub(crate) fn unit(a: Vector) -> Option<Vector> {
    let size = length(a);
    (size > 1e-12).then(|| scaled(a, 1.0 / size))
}

/// Twice the area of a triangle, along its outward normal.
pub(crate) fn double_area([a, b, c]: [Vector; 3]) -> Vector {
    cross(minus(b, a), minus(c, a))
}
