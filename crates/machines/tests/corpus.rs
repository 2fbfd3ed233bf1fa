//! Replays the fuzz corpus of agents' answers, and checks what reading and watching promise.
//!
//! The files are those of `dev/fuzz/corpus/agent`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../dev/fuzz/src/agent_promise.rs"]
pub(crate) mod agent_promise;

use std::collections::BTreeMap;
use std::path::Path;

#[test]
fn every_answer_of_the_corpus_keeps_the_promises() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../dev/fuzz/corpus/agent");
    let entries = std::fs::read_dir(folder).expect("the corpus is in the checkout");
    let codes: BTreeMap<String, &'static str> = entries
        .map(|entry| {
            let entry = entry.expect("the folder can be listed");
            let name = entry.file_name().to_string_lossy().into_owned();
            // Shown only if a promise is broken.
            println!("{name}");
            let bytes = std::fs::read(entry.path()).expect("the file can be read");
            (name, agent_promise::hear_and_check(&bytes))
        })
        .collect();
    assert!(codes.len() >= 15, "the corpus has gone missing");
    for (name, code) in [
        ("print", "watched"),
        ("two-answers", "watched"),
        ("began-anew", "watched"),
        ("out-of-order", "watched"),
        ("largest", "watched"),
        ("doctype", "doctype"),
        ("only-refused", "out-of-range"),
    ] {
        assert_eq!(codes.get(name), Some(&code), "{name}");
    }
}
