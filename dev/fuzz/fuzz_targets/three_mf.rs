//! 3MF: the XML of its parts, packed by us so that checksums are always right.
#![no_main]

use libfuzzer_sys::fuzz_target;
use partpledge_fuzz::pack::package;
use partpledge_fuzz::read_promise::read_and_check;

fuzz_target!(|text: &[u8]| {
    if let Some(bytes) = package(text) {
        let _ = read_and_check(&bytes, "x.3mf");
    }
});
