//! One binary for all tests of the crate: linking many takes longer than running them.

mod access;
mod calibration;
mod choosing;
mod clashes;
mod closures;
mod floor;
mod giving;
mod handing;
mod hubs;
mod inspection;
mod late;
mod learning;
mod machines;
mod mail;
mod measuring;
mod notices;
mod people;
mod printers;
mod programs;
mod questions;
mod reading;
mod region_data;
mod replanning;
mod review;
mod sharing;
mod spares;
mod spools;
mod terrain;
mod undo;

mod support {
    pub(crate) mod busy;
    pub(crate) mod plates;
    pub(crate) mod valley;
}
