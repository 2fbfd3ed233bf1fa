//! Where rules come from, in the tongue of whoever reads. The English that stands in a finding is what
//! is stored and what programs read; names of standards and papers stay as they are.

use partpledge_words::{Tongue, say};

const SOURCES: &[&str] = &[
    "findings-source-here",
    "findings-source-practice",
    "findings-source-closed",
    "findings-source-holes",
    "findings-source-united",
    "findings-source-signs",
    "findings-source-box",
    "findings-source-layers",
    "findings-source-floor",
    "findings-source-two-mm",
    "findings-source-ten-mm",
    "findings-source-pins",
    "findings-source-text",
    "findings-source-wall",
    "findings-source-gap",
    "findings-source-core",
    "findings-source-shut-in",
    "findings-source-warp",
    "findings-source-balance",
    "findings-source-slender",
    "findings-source-overhang",
];

/// Where a rule comes from, as [`Finding::source`](crate::Finding::source) has it, in the tongue being
/// spoken. What another release wrote is said as it stands.
///
/// ```
/// use partpledge_printability::source_says;
/// use partpledge_words::{Tongue, within};
/// let german = within(Tongue::German, || source_says("derived here"));
/// assert_eq!(german, "hier hergeleitet");
/// ```
#[must_use]
pub fn source_says(source: &str) -> String {
    let mut all = SOURCES.iter().map(|id| say(id));
    let found = all.find(|said| said.in_tongue(Tongue::English) == source);
    found.map_or_else(|| source.to_owned(), |said| said.to_string())
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::fs;
    use std::path::{Path, PathBuf};

    use partpledge_words::within;

    use super::*;

    /// The files of this crate in which findings are made.
    fn files() -> Vec<PathBuf> {
        let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
        let mut files = Vec::new();
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else if !path.ends_with("tests.rs") && !path.ends_with("sources.rs") {
                    files.push(path);
                }
            }
        }
        files
    }

    /// The text of the literal that `code` begins with, lines that go on joined as the compiler does.
    fn literal(code: &str) -> Option<String> {
        let mut chars = code.strip_prefix('"')?.chars().peekable();
        let mut text = String::new();
        loop {
            match chars.next()? {
                '"' => return Some(text),
                '\\' if chars.next_if_eq(&'\n').is_some() => {
                    while chars.next_if(|c| c.is_whitespace()).is_some() {}
                }
                '\\' => text.push(chars.next()?),
                other => text.push(other),
            }
        }
    }

    /// Every text behind `source:` in the code, written there or as a constant of the same file.
    fn written() -> BTreeSet<String> {
        let mut found = BTreeSet::new();
        for path in files() {
            let code = fs::read_to_string(&path).unwrap();
            for rest in code.split(" source: ").skip(1) {
                let name: String = rest
                    .chars()
                    .take_while(|c| c.is_ascii_uppercase() || *c == '_')
                    .collect();
                let constant = format!("const {name}: &str = ");
                let text = match rest.chars().next() {
                    Some('"') => literal(rest),
                    // `UnitSource::File` and types are no constants.
                    _ if rest[name.len()..].starts_with(',') && !name.is_empty() => {
                        let at = code.split_once(&constant);
                        at.and_then(|(_, rest)| literal(rest))
                    }
                    _ => continue,
                };
                found.insert(text.unwrap_or_else(|| panic!("{}: {name}", path.display())));
            }
        }
        found
    }

    #[test]
    fn every_source_has_a_message_with_exactly_that_english_and_every_message_a_source() {
        let mut written = written();
        assert!(written.len() >= 15, "the files were read: {written:?}");
        for id in SOURCES {
            let english = say(id).in_tongue(Tongue::English);
            assert!(written.remove(&english), "no finding has {id}: {english}");
            let german = within(Tongue::German, || source_says(&english));
            assert_ne!(german, english);
        }
        assert!(written.is_empty(), "no message is: {written:#?}");
    }

    #[test]
    fn what_is_not_known_is_said_as_it_stands() {
        let older = "5 mm: measured by hand";
        assert_eq!(within(Tongue::German, || source_says(older)), older);
    }
}
