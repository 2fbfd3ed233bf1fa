//! Rules on the text of single files.

use super::source::Source;

/// Most code lines in a file; docs, blank lines and tests are not counted.
const MOST_LINES: usize = 600;
/// From here on a file is worth a second look at its shape.
const LOOK_AGAIN_LINES: usize = 400;
/// Files that may be longer, each with its reason.
const LONGER: &[(&str, &str)] = &[];
/// Whole words that no text of ours may use of a part or a machine, in any case.
const NEVER: [&str; 4] = ["approved", "certified", "fireproof", "safe"];
/// Texts of crates where such a word stands for another reason: file, word, reason.
const NEVER_BUT: &[(&str, &str, &str)] = &[];

/// What a Rust file breaks.
pub(super) fn rust_rules(name: &str, text: &str) -> Vec<String> {
    let mut broken = Vec::new();
    if !text.starts_with("//!") {
        broken.push(format!("{name} does not begin with //!"));
    }
    if name.ends_with("/mod.rs") {
        broken.push(format!("{name}: use foo.rs beside foo/, not mod.rs"));
    }
    if is_test_file(name) {
        return broken;
    }
    let source = Source::scan(text);
    let lines = source.code_lines();
    if lines > MOST_LINES && !LONGER.iter().any(|(file, _)| *file == name) {
        broken.push(format!(
            "{name} has {lines} code lines; the limit is {MOST_LINES}"
        ));
    }
    broken.extend(never_said(name, &source));
    broken
}

/// A word about a file that is getting long, but may be.
pub(super) fn long_file_note(name: &str, text: &str) -> Option<String> {
    if is_test_file(name) {
        return None;
    }
    let lines = Source::scan(text).code_lines();
    (lines > LOOK_AGAIN_LINES && lines <= MOST_LINES)
        .then(|| format!("{name} has {lines} code lines; look again at its shape"))
}

fn is_test_file(name: &str) -> bool {
    name.contains("/tests/") || name.ends_with("/tests.rs")
}

/// What the string literals of a crate promise; tests name the words that must not come out, and
/// what stands in `dev/` reaches no user.
fn never_said(name: &str, source: &Source) -> Vec<String> {
    if !name.starts_with("crates/") {
        return Vec::new();
    }
    let mut broken = Vec::new();
    for literal in source.literals() {
        let small = literal.text.to_lowercase();
        for said in small.split(|c: char| !c.is_alphanumeric()) {
            let excused = || {
                NEVER_BUT
                    .iter()
                    .any(|(file, word, _)| *file == name && *word == said)
            };
            if NEVER.contains(&said) && !excused() {
                broken.push(format!("{name}:{}: we never say '{said}'", literal.line));
            }
        }
    }
    broken
}

/// Host names of package registries, put together here so that this file does not name one.
pub(super) fn host_names(name: &str, text: &str) -> Vec<String> {
    if name.ends_with("Cargo.lock") || name.ends_with("package-lock.json") {
        return Vec::new();
    }
    let needles = [
        ["crates", "io"].join("."),
        ["pypi", "org"].join("."),
        ["pythonhosted", "org"].join("."),
        ["npmjs", "org"].join("."),
        ["npmjs", "com"].join("."),
        ["deb.debian", "org"].join("."),
    ];
    let found = text.lines().enumerate().filter_map(|(i, line)| {
        let needle = needles
            .iter()
            .find(|needle| line.contains(needle.as_str()))?;
        Some(format!(
            "{name}:{} names a registry's host ({} letters)",
            i + 1,
            needle.len()
        ))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_without_its_first_line_or_with_too_many_is_named() {
        assert_eq!(
            rust_rules("a/b.rs", "//! Fine.\nfn f() {}\n"),
            Vec::<String>::new()
        );
        assert_eq!(rust_rules("a/b.rs", "fn f() {}\n").len(), 1);
        assert_eq!(rust_rules("a/mod.rs", "//! x\n").len(), 1);
        let long = format!("//! Long.\n{}", "let a = 1;\n".repeat(601));
        assert_eq!(rust_rules("a/b.rs", &long).len(), 1);
        let tested = format!(
            "//! Long.\nfn f() {{}}\n#[cfg(test)]\nmod tests {{\n{}}}\n",
            "let a = 1;\n".repeat(900)
        );
        assert_eq!(rust_rules("a/b.rs", &tested), Vec::<String>::new());
    }

    #[test]
    fn code_below_a_test_module_counts() {
        let text = format!(
            "//! Long.\n#[cfg(test)]\nmod tests;\n{}",
            "let a = 1;\n".repeat(601)
        );
        assert_eq!(rust_rules("a/b.rs", &text).len(), 1);
    }

    #[test]
    fn four_hundred_lines_earn_a_note() {
        let long = |lines: usize| format!("//! Long.\n{}", "let a = 1;\n".repeat(lines));
        assert_eq!(long_file_note("a/b.rs", &long(400)), None);
        assert!(long_file_note("a/b.rs", &long(401)).is_some());
    }

    #[test]
    fn words_that_promise_too_much_are_found_in_texts_of_crates() {
        let said = |name: &str, text: &str| rust_rules(name, text).len();
        let (here, there) = ("crates/a/src/b.rs", "dev/a/src/b.rs");
        assert_eq!(said(here, "//! x\nlet s = \"Approved part\";\n"), 1);
        assert_eq!(said(here, "//! x\nlet s = \"It is\nSAFE.\";\n"), 1);
        assert_eq!(said(here, "//! x\nlet s = \"safety, unsafe\";\n"), 0);
        assert_eq!(said(here, "//! x\n// approved\nlet safe = 1;\n"), 0);
        assert_eq!(said(there, "//! x\nlet s = \"approved\";\n"), 0);
    }

    #[test]
    fn a_registry_host_is_found_but_not_in_a_lock_file() {
        let line = format!("see https://{}.{}/x", "crates", "io");
        assert_eq!(host_names("README.md", &line).len(), 1);
        assert_eq!(host_names("Cargo.lock", &line).len(), 0);
        assert_eq!(host_names("dev/x/Cargo.lock", &line).len(), 0);
    }
}
