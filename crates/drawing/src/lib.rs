//! A mesh as a picture in clay, and where its points fall on it.
//!
//! [`draw()`] gives a still picture in flat clay tones with ink lines on a clear ground, seen
//! from far away; [`Drawing::place`] and [`Drawing::hidden`] say where the numbers of a list of
//! findings go on it, and [`best_view()`] from which side most of them are seen. [`lighter()`] makes a
//! copy of a large mesh that a school laptop can turn.

mod best;
mod drawing;
mod ink;
mod lighter;
mod projection;
mod samples;
mod shade;
#[cfg(test)]
mod shapes;
#[cfg(test)]
mod tests;
mod tones;

pub use best::best_view;
pub use drawing::{Drawing, draw, draw_close};
pub use lighter::{Lighter, lighter};
pub use projection::{Canvas, Projection, View};
