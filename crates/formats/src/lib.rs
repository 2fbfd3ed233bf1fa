//! STL, OBJ, 3MF: bytes in, triangles out, and back.

pub mod model;

pub use model::{FileKind, ModelFile, RawMesh, RawPart};
