//! A mesh as a picture in clay, and where its points fall on it.
