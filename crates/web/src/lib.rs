//! HTTP and pages: the whole walk in the browser.
//!
//! The server listens on loopback only; a server in front of it may do TLS for other machines.
//! What an address answers to whom is the workshop's table. Every page is a typed context with samples, works without script and asks
//! nothing of any other host. Use cases live in the workshop; here are words, forms and drawings.

mod api;
mod assets;
mod calendar;
mod figures;
mod guard;
mod hooks;
mod live;
mod machines;
mod mail;
mod outgoing;
mod pages;
mod routes;
mod site;
mod upload;
mod who;
mod words;

pub(crate) use words::{mark, say};

pub use mail::{MailError, Mailer};
pub use site::{Front, ServeError, Site, bind, router, serve};
