//! What every reader promises about any bytes. A broken promise panics, with words.
//!
//! Shared by the fuzz targets and, through `#[path]`, by the stable tests that replay the corpus.

use std::collections::BTreeSet;

use partpledge_formats::{FileKind, Limits, ModelFile, RawMesh, ReadError, read_model, write};

/// Limits so small that a few kilobytes reach them.
#[must_use]
pub fn small_limits() -> Limits {
    Limits {
        max_bytes: 1_000_000,
        max_triangles: 3_000,
        max_entries: 40,
        max_inflated_bytes: 3_000_000,
        max_depth: 6,
        ..Limits::server()
    }
}

/// Reads the bytes and checks what comes of it.
///
/// # Panics
/// When the answer breaks a promise of `partpledge_formats::read_model`.
pub fn read_and_check(bytes: &[u8], name: &str) -> Result<ModelFile, ReadError> {
    let limits = small_limits();
    let found = read_model(bytes, name, &limits);
    match &found {
        Ok(file) => check_file(file, &limits),
        Err(error) => check_error(error),
    }
    found
}

fn check_file(file: &ModelFile, limits: &Limits) {
    assert!(!file.parts.is_empty(), "a file without parts");
    let may_declare = matches!(file.kind, FileKind::ThreeMf | FileKind::Zip);
    assert!(
        file.declared_unit.is_none() || may_declare,
        "a unit from nowhere"
    );
    assert!(
        file.kind != FileKind::ThreeMf || file.declared_unit.is_some(),
        "a 3MF has a unit"
    );
    let sum = |count: fn(&RawMesh) -> usize| -> u64 {
        file.parts.iter().map(|part| count(&part.mesh) as u64).sum()
    };
    assert!(
        sum(|mesh| mesh.triangles.len()) <= limits.max_triangles,
        "too many triangles"
    );
    assert!(
        sum(|mesh| mesh.vertices.len()) <= limits.max_vertices(),
        "too many corners"
    );
    for part in &file.parts {
        check_words(&part.name, 300);
        check_mesh(&part.mesh, limits);
    }
    let names: BTreeSet<&str> = file.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names.len(), file.parts.len(), "parts of one name");
    for out in &file.left_out {
        check_words(&out.name, 300);
        check_error(&out.why);
    }
}

fn check_mesh(mesh: &RawMesh, limits: &Limits) {
    assert!(!mesh.triangles.is_empty(), "a part without triangles");
    let vertices = mesh.vertices.len();
    let in_range = |&i: &u32| (i as usize) < vertices;
    assert!(
        mesh.triangles.iter().flatten().all(in_range),
        "an index out of range"
    );
    let within = |c: &f64| c.is_finite() && c.abs() <= limits.max_abs_coordinate;
    assert!(
        mesh.vertices.iter().flatten().all(within),
        "a coordinate out of reach"
    );
    // Written and read again, every number is the same.
    let again = read_model(&write::obj(mesh, "again"), "again.obj", &Limits::server());
    let again = again
        .expect("our own files can be read")
        .parts
        .remove(0)
        .mesh;
    let bits = |mesh: &RawMesh| -> Vec<[u64; 3]> {
        mesh.vertices
            .iter()
            .map(|p| p.map(|c| (c + 0.0).to_bits()))
            .collect()
    };
    assert_eq!(
        again.triangles, mesh.triangles,
        "triangles change on the way"
    );
    assert_eq!(bits(&again), bits(mesh), "numbers change on the way");
}

fn check_error(error: &ReadError) {
    check_words(&error.to_string(), 1_000);
    check_words(&error.what_to_do(), 1_000);
    assert!(error.what_to_do().ends_with('.'), "advice is a sentence");
    let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    assert!(
        !error.code().is_empty() && error.code().bytes().all(plain),
        "{}",
        error.code()
    );
}

/// Short, and nothing that drives a terminal.
fn check_words(text: &str, longest: usize) {
    assert!(text.chars().count() <= longest, "too long: {text}");
    assert!(
        !text.chars().any(char::is_control),
        "control characters: {text:?}"
    );
}
