//! Motion programs timed again, whole and in pieces, on two classes.
#![no_main]

use libfuzzer_sys::fuzz_target;
use partpledge_fuzz::retime_promise::retime_and_check;

fuzz_target!(|bytes: &[u8]| {
    let _ = retime_and_check(bytes);
});
