//! Quantities, ids, money, time, clock and seeded dice that every room shares.
//!
//! Nothing here knows a part, a printer or a plan. Bare numbers carry their unit as the last
//! part of their name (`length_mm`, `mass_g`); planned time and money are integers, so that
//! equality is exact.

pub mod cast;
pub mod chance;
pub mod dice;
pub mod ids;
pub mod length;
pub mod local;
pub mod micrometre;
pub mod money;
pub mod time;
pub mod tolerance;
