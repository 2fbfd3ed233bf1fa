//! HTTP and pages: the whole walk in the browser.
//!
//! The server listens on loopback only, since there are no accounts yet; who somebody looks as is
//! their own choice. Every page is a typed context with samples, works without script and asks
//! nothing of any other host. Use cases live in the workshop; here are words, forms and drawings.

mod assets;
mod figures;
mod guard;
mod live;
mod pages;
mod routes;
mod site;
mod upload;
mod who;
mod words;

pub use site::{ServeError, Site, bind, router, serve};
