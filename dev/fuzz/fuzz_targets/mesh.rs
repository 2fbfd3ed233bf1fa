//! What was read goes on through welding, facts and repair.
#![no_main]

use libfuzzer_sys::fuzz_target;
use partpledge_fuzz::mesh_promise::weld_and_check;
use partpledge_fuzz::read_promise::read_and_check;

fuzz_target!(|bytes: &[u8]| {
    let Ok(file) = read_and_check(bytes, "x.obj") else {
        return;
    };
    for part in &file.parts {
        weld_and_check(&part.mesh);
    }
});
