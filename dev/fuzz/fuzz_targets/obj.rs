//! OBJ.
#![no_main]

use libfuzzer_sys::fuzz_target;
use partpledge_fuzz::read_promise::read_and_check;

fuzz_target!(|bytes: &[u8]| {
    let _ = read_and_check(bytes, "x.obj");
});
