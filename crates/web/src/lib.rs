//! HTTP and pages. For now one thing to read: the region's pledges, each as its ticket.
//!
//! The server listens on loopback only, since there are no accounts yet. Every page is a typed
//! context with samples, works without script and asks nothing of any other host.

mod assets;
mod pages;
mod site;

pub use site::{ServeError, Site, bind, router, serve};
