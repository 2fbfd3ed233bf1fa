//! Rules on the text of single files.

/// Most code lines in a file; docs, blank lines and tests are not counted.
const MOST_LINES: usize = 600;
/// Files that may be longer, each with its reason.
const LONGER: &[(&str, &str)] = &[];
/// Words that nothing we print may use of a part or a machine.
const NEVER: [&str; 3] = ["approved", "certified", "fireproof"];
/// Where such a word stands for another reason.
const NEVER_BUT: &[(&str, &str)] = &[("dev/xtask/", "names the words that are looked for")];

/// What a Rust file breaks.
pub(super) fn rust_rules(name: &str, text: &str) -> Vec<String> {
    let mut broken = Vec::new();
    if !text.starts_with("//!") {
        broken.push(format!("{name} does not begin with //!"));
    }
    if name.ends_with("/mod.rs") {
        broken.push(format!("{name}: use foo.rs beside foo/, not mod.rs"));
    }
    let lines = code_lines(name, text);
    if lines > MOST_LINES && !LONGER.iter().any(|(file, _)| *file == name) {
        broken.push(format!(
            "{name} has {lines} code lines; the limit is {MOST_LINES}"
        ));
    }
    broken.extend(never_said(name, text));
    broken
}

/// Lines of code, without docs, comments, blank lines and an inline test module at the end.
fn code_lines(name: &str, text: &str) -> usize {
    if name.contains("/tests/") || name.ends_with("/tests.rs") {
        return 0;
    }
    let body = text.split("\n#[cfg(test)]").next().unwrap_or(text);
    body.lines()
        .map(str::trim)
        .filter(|line| !line.is_empty() && !line.starts_with("//"))
        .count()
}

fn never_said(name: &str, text: &str) -> Vec<String> {
    // Tests name the words that must not come out.
    let test = name.contains("/tests/") || name.ends_with("/tests.rs");
    if test || NEVER_BUT.iter().any(|(path, _)| name.starts_with(path)) {
        return Vec::new();
    }
    let code = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"));
    code.filter_map(|(i, line)| {
        let small = line.to_lowercase();
        let word = NEVER.iter().find(|word| small.contains(**word))?;
        Some(format!("{name}:{}: we never say '{word}'", i + 1))
    })
    .collect()
}

/// Host names of package registries, put together here so that this file does not name one.
pub(super) fn host_names(name: &str, text: &str) -> Vec<String> {
    if name == "Cargo.lock" || name.ends_with("package-lock.json") {
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
            "//! Long.\nfn f() {{}}\n#[cfg(test)]\n{}",
            "let a = 1;\n".repeat(900)
        );
        assert_eq!(rust_rules("a/b.rs", &tested), Vec::<String>::new());
    }

    #[test]
    fn words_that_promise_too_much_are_found_outside_comments() {
        assert_eq!(
            rust_rules("a/b.rs", "//! x\nlet s = \"Approved part\";\n").len(),
            1
        );
        assert_eq!(
            rust_rules("a/b.rs", "//! x\n// never say approved\n").len(),
            0
        );
    }

    #[test]
    fn a_registry_host_is_found_but_not_in_a_lock_file() {
        let line = format!("see https://{}.{}/x", "crates", "io");
        assert_eq!(host_names("README.md", &line).len(), 1);
        assert_eq!(host_names("Cargo.lock", &line).len(), 0);
    }
}
