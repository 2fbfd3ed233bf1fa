//! The invented demo region and its generated parts.
