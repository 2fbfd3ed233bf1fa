//! Outlines and a bed in; layouts out.
