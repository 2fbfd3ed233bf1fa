//! Replays the fuzz corpus of motion programs, and checks what timing them promises.
//!
//! The files are those of `dev/fuzz/corpus/retime`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../../dev/fuzz/src/corpus.rs"]
mod files;
#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../../dev/fuzz/src/retime_promise.rs"]
pub(crate) mod retime_promise;

#[test]
fn every_program_of_the_corpus_keeps_the_promises() {
    let codes = files::replayed("retime", 15, |bytes| {
        Some(retime_promise::retime_and_check(bytes))
    });
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
