//! HTTP and pages.
