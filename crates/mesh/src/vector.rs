//! Three-component arithmetic on plain arrays, the form in which meshes are stored.

/// `a - b`.
#[must_use]
pub fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// The inner product.
#[must_use]
pub fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The outer product: at right angles to both, by the right hand.
#[must_use]
pub fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Euclidean length.
#[must_use]
pub fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

/// Halfway between two points.
#[must_use]
pub fn middle(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|k| f64::midpoint(a[k], b[k]))
}

/// Twice the area of a triangle, along its outward normal.
#[must_use]
pub fn double_area([a, b, c]: [[f64; 3]; 3]) -> [f64; 3] {
    cross(minus(b, a), minus(c, a))
}
