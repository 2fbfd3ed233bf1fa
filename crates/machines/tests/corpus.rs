//! Replays the fuzz corpus of agents' answers, and checks what reading and watching promise.
//!
//! The files are those of `dev/fuzz/corpus/agent`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../dev/fuzz/src/agent_promise.rs"]
pub(crate) mod agent_promise;
#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../dev/fuzz/src/corpus.rs"]
mod files;

#[test]
fn every_answer_of_the_corpus_keeps_the_promises() {
    let codes = files::replayed("agent", 15, |bytes| {
        Some(agent_promise::hear_and_check(bytes))
    });
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
