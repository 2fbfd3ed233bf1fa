//! A mesh cut into closed outlines at given heights.
