//! Three-component arithmetic on plain arrays, the form in which meshes are stored.

pub(crate) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

pub(crate) fn middle(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|k| f64::midpoint(a[k], b[k]))
}

/// Twice the area of a triangle, along its outward normal.
pub(crate) fn double_area([a, b, c]: [[f64; 3]; 3]) -> [f64; 3] {
    cross(minus(b, a), minus(c, a))
}
