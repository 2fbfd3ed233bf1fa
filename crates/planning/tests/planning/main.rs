//! One binary for all tests of the crate: linking many takes longer than running them.

mod by_hand;
mod classical;
mod explain;
mod fast;
mod forecast;
mod join;
mod metamorphic;
mod sequence;
mod truth;
mod whole_model;

mod support {
    pub(crate) mod random;
}
