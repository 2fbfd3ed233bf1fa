//! A mesh in; the build orientations worth showing out.
