//! Replays the fuzz corpora of the readers, and checks what every reader promises.
//!
//! The files are those of `dev/fuzz/corpus`: seeds of our own, and what fuzzing found.

#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../../dev/fuzz/src/corpus.rs"]
mod files;
#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../../dev/fuzz/src/pack.rs"]
mod pack;
#[expect(unreachable_pub, reason = "public for the fuzz targets")]
#[path = "../../../../dev/fuzz/src/read_promise.rs"]
mod read_promise;

use std::collections::BTreeMap;

use files::replayed;
use partpledge_formats::{ModelFile, ReadError};
use read_promise::read_and_check;

/// Reads every file of a target the way its fuzz target does: "read", or the code of the refusal.
fn replay(
    target: &str,
    read: impl Fn(&[u8]) -> Option<Result<ModelFile, ReadError>>,
) -> BTreeMap<String, &'static str> {
    let codes = replayed(target, 9, |bytes| {
        Some(read(bytes)?.map_or_else(|error| error.code(), |_| "read"))
    });
    let count = |code: &str| codes.values().filter(|&&found| found == code).count();
    assert!(
        count("read") >= 1 && count("read") < codes.len(),
        "a corpus holds both sound and faulty files: {codes:?}"
    );
    codes
}

fn assert_codes(found: &BTreeMap<String, &'static str>, expected: &[(&str, &str)]) {
    for (name, code) in expected {
        assert_eq!(found.get(*name), Some(code), "{name}");
    }
}

#[test]
fn every_stl_of_the_corpus_keeps_the_promises() {
    let found = replay("stl", |bytes| Some(read_and_check(bytes, "x.stl")));
    assert_codes(
        &found,
        &[
            ("binary-solid-header", "read"),
            ("binary-trailing", "read"),
            ("binary-count-zero", "read"),
            ("binary-count-large", "truncated"),
            ("binary-count-small", "wrong-count"),
            ("binary-cut", "truncated"),
            ("ascii-no-end", "truncated"),
            ("ascii-comma", "bad-line"),
            ("ascii-nan", "not-finite"),
        ],
    );
}

#[test]
fn every_obj_of_the_corpus_keeps_the_promises() {
    let found = replay("obj", |bytes| Some(read_and_check(bytes, "x.obj")));
    assert_codes(
        &found,
        &[
            ("concave", "read"),
            ("huge-index", "bad-index"),
            ("free-form", "free-form"),
            ("far", "coordinate-out-of-range"),
        ],
    );
}

#[test]
fn every_3mf_of_the_corpus_keeps_the_promises() {
    let found = replay("three_mf", |text| {
        Some(read_and_check(&pack::package(text)?, "x.3mf"))
    });
    assert_codes(
        &found,
        &[
            ("far", "read"),
            ("rels", "read"),
            ("mirror", "read"),
            ("empty-build", "empty-build"),
            ("needs", "needs-extension"),
            ("cycle", "too-deep"),
            ("doctype", "xml-entities"),
        ],
    );
}

#[test]
fn every_zip_of_the_corpus_keeps_the_promises() {
    let found = replay("zip", |bytes| Some(read_and_check(bytes, "x.zip")));
    assert_codes(
        &found,
        &[
            ("stored", "read"),
            ("deflated", "read"),
            ("unnamed", "read"),
            ("nested", "nested-archive"),
            ("outside", "path-outside-archive"),
        ],
    );
}

#[test]
fn any_bytes_of_the_corpus_under_any_name_keep_the_promises() {
    let found = replay("read_model", |bytes| {
        let end = bytes.iter().position(|&b| b == b'\n');
        let (name, rest) = bytes.split_at(end.unwrap_or(bytes.len()));
        let rest = rest.get(1..).unwrap_or_default();
        Some(read_and_check(rest, &String::from_utf8_lossy(name)))
    });
    assert_codes(
        &found,
        &[
            ("step", "cad-file"),
            ("iges", "cad-file"),
            ("dxf", "cad-file"),
            ("svg", "cad-file"),
            ("pdf", "other-file"),
            ("glb", "other-mesh-format"),
            ("gltf", "other-mesh-format"),
            ("ply", "other-mesh-format"),
            ("amf", "other-mesh-format"),
        ],
    );
}
