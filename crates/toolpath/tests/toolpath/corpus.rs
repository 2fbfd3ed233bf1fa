//! Replays the fuzz corpus of motion programs, and checks what timing them promises.
//!
//! The files are those of `dev/fuzz/corpus/retime`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../../dev/fuzz/src/retime_promise.rs"]
pub(crate) mod retime_promise;

use std::collections::BTreeMap;
use std::path::Path;

#[test]
fn every_program_of_the_corpus_keeps_the_promises() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../dev/fuzz/corpus/retime");
    let entries = std::fs::read_dir(folder).expect("the corpus is in the checkout");
    let codes: BTreeMap<String, &'static str> = entries
        .map(|entry| {
            let entry = entry.expect("the folder can be listed");
            let name = entry.file_name().to_string_lossy().into_owned();
            // Shown only if a promise is broken.
            println!("{name}");
            let bytes = std::fs::read(entry.path()).expect("the file can be read");
            (name, retime_promise::retime_and_check(&bytes))
        })
        .collect();
    assert!(codes.len() >= 15, "the corpus has gone missing");
    for (name, code) in [
        ("square", "timed"),
        ("packed", "timed"),
        ("numbered", "timed"),
        ("strange", "timed"),
        ("other-ends", "timed"),
        ("huge-numbers", "timed"),
        ("inverse", "feed-mode"),
        ("no-motion", "no-motion"),
        ("binary", "binary-program"),
    ] {
        assert_eq!(codes.get(name), Some(&code), "{name}");
    }
}
