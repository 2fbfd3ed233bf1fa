//! One binary for all tests of the crate: linking many takes longer than running them.

mod jigsaw;
mod layouts;
mod packing;

mod support {
    pub(crate) mod verify;
}
