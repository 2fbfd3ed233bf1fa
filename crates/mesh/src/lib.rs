//! A mesh cut from raw triangles: welded, in millimetres, with facts and safe repairs.

pub mod mesh;

pub use mesh::Mesh;
