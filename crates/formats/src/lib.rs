//! STL, OBJ, 3MF: bytes in, triangles out, and back.
//!
//! [`read_model`] decides the format from the bytes, keeps hard limits before it allocates, and
//! gives triangles in the file's own unit: nothing welded, nothing judged. [`mod@write`] writes the
//! same formats, byte for byte the same each time.

mod archive;
mod detect;
pub mod error;
mod foreign;
pub mod limits;
pub mod model;
mod names;
mod obj;
mod points;
mod stl;
mod three_mf;
mod triangulate;
pub mod write;
mod zip_set;

pub use detect::read_model;
pub use error::ReadError;
pub use limits::Limits;
pub use model::{FileKind, LeftOut, ModelFile, RawMesh, RawPart};
