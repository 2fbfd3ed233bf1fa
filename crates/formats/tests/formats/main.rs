//! One binary for all tests of the crate: linking many takes longer than running them.

mod corpus;
mod hostile;
mod obj;
mod round_trip;
mod sets;
mod stl;
mod strange;
mod three_mf;

mod support {
    pub(crate) mod packs;
}
