//! Messages that stand in databases by their names: no name is ever changed, and none needs more than was kept.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use super::{Message, Wrong, after_brackets, house, quoted, read, sources};

/// Where text is made at once of a message that a table names: nothing of it is kept.
const TEXT_AT_ONCE: &[&str] = &[
    "crates/catalogue/src/says.rs",
    "crates/printability/src/lessons.rs",
    "crates/printability/src/sources.rs",
    "crates/web/src/hooks.rs",
    "crates/web/src/words.rs",
];

const HEAD: &str = "\
# Messages that code makes as data, and what goes into each: they may stand in a database anywhere.
# None is renamed or taken out, and none may need more than it was kept with: what is to say more is a new message.
# What no code says any more has a - before it: it is only there for what was stored.
# New ones: PARTPLEDGE_KEEP_MESSAGES=1 cargo test kept (in crates/words).
";

fn path() -> PathBuf {
    house().join("crates/words/kept.txt")
}

/// A line of the list.
#[derive(Default)]
pub(super) struct Kept {
    /// What goes into the message.
    names: BTreeSet<String>,
    /// Marked as one that no code says any more.
    pub(super) unsaid: bool,
}

/// The list, as it is committed.
pub(super) fn list(wrong: &mut Wrong) -> BTreeMap<String, Kept> {
    let text = fs::read_to_string(path()).unwrap_or_default();
    let mut list = BTreeMap::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let bare = line.strip_prefix("- ");
        let mut words = bare.unwrap_or(line).split_whitespace().map(str::to_owned);
        let Some(id) = words.next() else { continue };
        let kept = Kept {
            names: words.collect(),
            unsaid: bare.is_some(),
        };
        if list.insert(id.clone(), kept).is_some() {
            wrong.add(format!("kept.txt: {id} stands twice"));
        }
    }
    list
}

fn write(list: &BTreeMap<String, Kept>) {
    let mut text = HEAD.to_owned();
    for (id, kept) in list {
        text.push_str(if kept.unsaid { "- " } else { "" });
        text.push_str(id);
        for name in &kept.names {
            let _ = write!(text, " {name}");
        }
        text.push('\n');
    }
    fs::write(path(), text).expect("a list that can be written");
}

/// What stands before the tests of a file: before a module for tests alone that is written out there. One that
/// is only named (`mod tests;`), or another thing for tests, is no end.
fn made(text: &str) -> &str {
    const MARK: &str = "#[cfg(test)]";
    let tests = text.match_indices(MARK).find(|(at, _)| {
        let mut rest = text[at + MARK.len()..].trim_start();
        while let Some(attribute) = rest.strip_prefix("#[") {
            rest = after_brackets(attribute).trim_start();
        }
        let line = rest.lines().next().unwrap_or_default();
        let mut words = line.split_whitespace();
        words.any(|word| word == "mod") && line.ends_with('{')
    });
    tests.map_or(text, |(at, _)| &text[..at])
}

#[test]
fn a_file_ends_where_its_tests_are_written_out() {
    let named = "#[cfg(test)]\nmod tests;\nuse std::fmt;\n";
    let written = "#[cfg(test)]\n#[expect(dead_code, reason = \"[x\")]\npub(crate) mod tests {\n";
    let thing = "#[cfg(test)]\nfn sample() {}\n";
    assert_eq!(
        made(&format!(
            "{named}{thing}fn a() {{}}\n{written}fn b() {{}}\n}}"
        )),
        format!("{named}{thing}fn a() {{}}\n"),
    );
}

/// Whether it is a call in code, and not a definition, a doc's example or another `say`.
fn is_call(text: &str, at: usize) -> bool {
    let line = text[..at].rsplit('\n').next().unwrap_or_default();
    let other = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
    !line.trim_start().starts_with("//")
        && !line.ends_with("fn ")
        && !line.ends_with(other)
        && !line.ends_with("output::")
}

/// What follows on the values given; `text` is behind the first bracket.
fn after_values(text: &str) -> &str {
    let mut rest = after_brackets(text).trim_start();
    while let Some(more) = rest.strip_prefix(".with(") {
        rest = after_brackets(more).trim_start();
    }
    rest
}

/// Messages that the code makes as data: with `said!`, or with `say` where no text is made of it at once.
fn as_data(english: &BTreeMap<String, Message>, wrong: &mut Wrong) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (path, text) in sources(&["words"]) {
        let of_code =
            path.extension().is_some_and(|end| end == "rs") && !path.ends_with("tests.rs");
        let (text, path) = (made(&text), path.display().to_string());
        if !of_code || path.starts_with("crates/cli/") {
            continue;
        }
        for (opening, is_macro) in [("said!(", true), ("say(", false)] {
            for (at, _) in text.match_indices(opening) {
                let rest = &text[at + opening.len()..];
                if !is_call(text, at)
                    || (!is_macro && after_values(rest).starts_with(".to_string()"))
                {
                    continue;
                }
                let inside = &rest[..rest.len() - after_brackets(rest).len()];
                if let Some((id, _)) = quoted(inside) {
                    found.insert(id.to_owned());
                } else if inside.starts_with("match ") {
                    let names = inside.split('"').filter(|one| english.contains_key(*one));
                    found.extend(names.map(str::to_owned));
                } else if !TEXT_AT_ONCE.contains(&path.as_str()) && !inside.starts_with('$') {
                    let line = text[..at].lines().count();
                    wrong.add(format!("{path}:{line}: which message is it? say({inside}"));
                }
            }
        }
    }
    found.retain(|id| english.contains_key(id));
    assert!(found.len() > 200, "the code was not found");
    found
}

#[test]
fn what_is_kept_as_data_can_be_said_for_good() {
    let mut wrong = Wrong::default();
    let tongues = ["en", "de"].map(|tongue| (tongue, read(tongue, &mut wrong)));
    let english = &tongues[0].1;
    let made = as_data(english, &mut wrong);
    let mut list = list(&mut wrong);
    if std::env::var_os("PARTPLEDGE_KEEP_MESSAGES").is_some() {
        for id in &made {
            let names = english.get(id).map(|one| one.variables.clone());
            list.entry(id.clone()).or_insert(Kept {
                names: names.unwrap_or_default(),
                unsaid: false,
            });
        }
        write(&list);
    }
    for id in made.iter().filter(|id| !list.contains_key(*id)) {
        wrong.add(format!(
            "{id} is not in kept.txt; PARTPLEDGE_KEEP_MESSAGES=1 adds what is new"
        ));
    }
    for (id, Kept { names, .. }) in &list {
        for (tongue, messages) in &tongues {
            let Some(message) = messages.get(id) else {
                wrong.add(format!(
                    "{tongue}: there is no {id} any more, but it is kept"
                ));
                continue;
            };
            for name in message.variables.difference(names) {
                wrong.add(format!(
                    "{tongue}: {id} needs {name}, which was not kept with it; make a new message"
                ));
            }
        }
    }
    wrong.none();
}
