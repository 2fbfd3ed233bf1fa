//! What the fuzz targets share, and what the stable tests replay with: see `docs/fuzzing.md`.

pub mod agent_promise;
pub mod corpus;
pub mod mesh_promise;
pub mod pack;
pub mod read_promise;
pub mod retime_promise;
