//! A welded triangle mesh in millimetres.

/// Triangles that share corners. Made by welding; positions in mm, z up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corner positions in mm.
    pub vertices: Vec<[f64; 3]>,
    /// Three positions into `vertices`, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// Least and greatest corner of the axis-parallel box in mm; `None` without triangles.
    #[must_use]
    pub fn bounds(&self) -> Option<([f64; 3], [f64; 3])> {
        let mut corners = self
            .triangles
            .iter()
            .flatten()
            .map(|&i| self.vertices[i as usize]);
        let first = corners.next()?;
        Some(corners.fold((first, first), |(low, high), p| {
            (
                std::array::from_fn(|k| low[k].min(p[k])),
                std::array::from_fn(|k| high[k].max(p[k])),
            )
        }))
    }

    /// The same mesh turned by a row-major rotation, then moved so that it stands on z = 0.
    #[must_use]
    pub fn turned(&self, rotation: &[f64; 9]) -> Self {
        let r = rotation;
        let mut vertices: Vec<[f64; 3]> = self
            .vertices
            .iter()
            .map(|&[x, y, z]| {
                std::array::from_fn(|k| r[3 * k] * x + r[3 * k + 1] * y + r[3 * k + 2] * z)
            })
            .collect();
        let turned = Self {
            vertices: std::mem::take(&mut vertices),
            triangles: self.triangles.clone(),
        };
        let drop_mm = turned.bounds().map_or(0.0, |(low, _)| low[2]);
        let vertices = turned
            .vertices
            .iter()
            .map(|&[x, y, z]| [x, y, z - drop_mm])
            .collect();
        Self { vertices, ..turned }
    }
}
