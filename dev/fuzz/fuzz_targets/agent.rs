//! Answers of an MTConnect agent, one after another, and a machine watched by them.
#![no_main]

use libfuzzer_sys::fuzz_target;
use partpledge_fuzz::agent_promise::hear_and_check;

fuzz_target!(|bytes: &[u8]| {
    let _ = hear_and_check(bytes);
});
