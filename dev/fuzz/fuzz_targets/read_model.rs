//! Any bytes under any name: the first line is the name.
#![no_main]

use libfuzzer_sys::fuzz_target;
use partpledge_fuzz::read_promise::read_and_check;

fuzz_target!(|bytes: &[u8]| {
    let end = bytes
        .iter()
        .position(|&b| b == b'\n')
        .unwrap_or(bytes.len());
    let name = String::from_utf8_lossy(&bytes[..end]);
    let _ = read_and_check(bytes.get(end + 1..).unwrap_or_default(), &name);
});
