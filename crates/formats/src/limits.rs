//! Hard limits, checked before memory is taken.

/// What a reader may take in. Anything beyond is refused with a [`crate::ReadError`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Size of the file in bytes.
    pub max_bytes: u64,
    /// Triangles over all parts, components counted as often as they are placed.
    pub max_triangles: u64,
    /// Entries in an archive.
    pub max_entries: usize,
    /// Bytes over all entries that are read, once inflated; archives inside count too.
    pub max_inflated_bytes: u64,
    /// Inflated over packed size of one entry of more than a megabyte.
    pub max_ratio: u64,
    /// Components within components.
    pub max_depth: usize,
    /// Size of any coordinate, in the file's own unit.
    pub max_abs_coordinate: f64,
}

impl Limits {
    /// For files that the person at the machine opens: 10 million triangles, 2 GB.
    #[must_use]
    pub fn command_line() -> Self {
        Self {
            max_bytes: 2_000_000_000,
            max_triangles: 10_000_000,
            max_entries: 10_000,
            max_inflated_bytes: 3_000_000_000,
            max_ratio: 250,
            max_depth: 32,
            max_abs_coordinate: 1.0e7,
        }
    }

    /// For files that come over the network: 2 million triangles, 100 MB.
    #[must_use]
    pub fn server() -> Self {
        Self {
            max_bytes: 100_000_000,
            max_triangles: 2_000_000,
            max_entries: 1_000,
            max_inflated_bytes: 600_000_000,
            ..Self::command_line()
        }
    }

    /// Corners over all parts: three for each triangle, as many as an STL has.
    #[must_use]
    pub fn max_vertices(&self) -> u64 {
        self.max_triangles.saturating_mul(3)
    }

    /// [`crate::ReadError::TooManyTriangles`] beyond the limit.
    pub(crate) fn check_triangles(&self, triangles: u64) -> Result<(), crate::ReadError> {
        let limit = self.max_triangles;
        if triangles > limit {
            return Err(crate::ReadError::TooManyTriangles { triangles, limit });
        }
        Ok(())
    }

    /// [`crate::ReadError::TooManyVertices`] beyond the limit.
    pub(crate) fn check_vertices(&self, vertices: u64) -> Result<(), crate::ReadError> {
        let limit = self.max_vertices();
        if vertices > limit {
            return Err(crate::ReadError::TooManyVertices { vertices, limit });
        }
        Ok(())
    }
}
