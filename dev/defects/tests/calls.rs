//! The program answers a wrong call, and `cargo test` builds it as it builds all else.

use std::process::Command;

#[test]
fn a_wrong_call_ends_with_what_is_wrong() {
    let program = Command::new(env!("CARGO_BIN_EXE_partpledge-defects"))
        .args(["no-such-thing", "--nor-this"])
        .output()
        .expect("cargo has built it");
    assert!(!program.status.success());
    let said = String::from_utf8_lossy(&program.stderr);
    assert!(said.contains("--nor-this wants a value"), "{said}");
}
