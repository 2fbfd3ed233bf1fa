//! The committed files of a fuzz target, for the stable tests that replay them. Only `std`: it is taken in
//! through `#[path]`.

use std::collections::BTreeMap;
use std::path::Path;

/// Goes through every file of a target, in the order of their names; `check` may make nothing of one.
///
/// # Panics
/// When `target` has fewer than `least` files, or one that can't be read; when `check` does.
pub fn replayed<T>(
    target: &str,
    least: usize,
    check: impl Fn(&[u8]) -> Option<T>,
) -> BTreeMap<String, T> {
    let house = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let folder = house.join("dev/fuzz/corpus").join(target);
    let entries = std::fs::read_dir(folder).expect("the corpus is in the checkout");
    let mut files = BTreeMap::new();
    for entry in entries {
        let entry = entry.expect("the folder can be listed");
        let bytes = std::fs::read(entry.path()).expect("the file can be read");
        files.insert(entry.file_name().to_string_lossy().into_owned(), bytes);
    }
    assert!(
        files.len() >= least,
        "the corpus of {target} has gone missing"
    );
    let mut found = BTreeMap::new();
    for (name, bytes) in files {
        // Shown only if a promise is broken.
        println!("{target}/{name}");
        if let Some(one) = check(&bytes) {
            found.insert(name, one);
        }
    }
    found
}
