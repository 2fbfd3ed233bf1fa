//! The files of each tongue against each other, against the code that says their messages, and what is kept of them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{fmt, fs};

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use fluent_syntax::parser;

use partpledge_words::AREAS;

mod kept;

fn house() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// What a message says, as far as the tests look.
#[derive(Debug, Default)]
struct Message {
    area: &'static str,
    variables: BTreeSet<String>,
    /// All its text, of all plurals.
    text: String,
}

/// What is wrong, all of it at once.
#[derive(Default)]
struct Wrong(Vec<String>);

impl Wrong {
    fn add(&mut self, what: impl fmt::Display) {
        self.0.push(what.to_string());
    }

    #[track_caller]
    fn none(self) {
        assert!(
            self.0.is_empty(),
            "\n{}\n{} in all",
            self.0.join("\n"),
            self.0.len()
        );
    }
}

fn read(tongue: &str, wrong: &mut Wrong) -> BTreeMap<String, Message> {
    let mut all = BTreeMap::new();
    for area in AREAS {
        let path = house()
            .join("crates/words")
            .join(tongue)
            .join(format!("{area}.ftl"));
        let text = fs::read_to_string(&path).expect("a file that can be read");
        let file = parser::parse(text).unwrap_or_else(|(file, errors)| {
            for error in errors {
                wrong.add(format!("{tongue}/{area}.ftl: {error:?}"));
            }
            file
        });
        for entry in file.body {
            match entry {
                Entry::Message(message) => {
                    let id = message.id.name;
                    let mut found = Message {
                        area,
                        ..Message::default()
                    };
                    match &message.value {
                        Some(value) => pattern(value, &mut found),
                        None => wrong.add(format!("{tongue}/{area}.ftl: {id} says nothing")),
                    }
                    if !message.attributes.is_empty() {
                        wrong.add(format!("{tongue}/{area}.ftl: {id} has attributes"));
                    }
                    if !id.starts_with(&format!("{area}-")) {
                        wrong.add(format!(
                            "{tongue}/{area}.ftl: {id} does not begin with {area}-"
                        ));
                    }
                    if all.insert(id.clone(), found).is_some() {
                        wrong.add(format!("{tongue}/{area}.ftl: {id} stands twice"));
                    }
                }
                Entry::Term(term) => {
                    wrong.add(format!("{tongue}/{area}.ftl: term {}", term.id.name));
                }
                Entry::Junk { content } => {
                    wrong.add(format!("{tongue}/{area}.ftl can't be read: {content}"));
                }
                _ => {}
            }
        }
    }
    all
}

fn pattern(from: &Pattern<String>, to: &mut Message) {
    for element in &from.elements {
        match element {
            PatternElement::TextElement { value } => to.text.push_str(value),
            PatternElement::Placeable { expression } => match expression {
                Expression::Inline(one) => inline(one, to),
                Expression::Select { selector, variants } => {
                    inline(selector, to);
                    for variant in variants {
                        pattern(&variant.value, to);
                    }
                }
            },
        }
    }
}

fn inline(one: &InlineExpression<String>, to: &mut Message) {
    match one {
        InlineExpression::VariableReference { id } => {
            to.variables.insert(id.name.clone());
        }
        InlineExpression::StringLiteral { value } => to.text.push_str(value),
        InlineExpression::Placeable { expression } => {
            if let Expression::Inline(one) = expression.as_ref() {
                inline(one, to);
            }
        }
        _ => {}
    }
}

/// Tags of a text, in order of the alphabet.
fn tags(text: &str) -> BTreeSet<&str> {
    text.split('<')
        .skip(1)
        .filter_map(|rest| rest.split('>').next())
        .collect()
}

#[test]
fn both_tongues_say_the_same_messages_with_the_same_things_in_them() {
    let mut wrong = Wrong::default();
    let (english, german) = (read("en", &mut wrong), read("de", &mut wrong));
    for (id, one) in &english {
        let Some(other) = german.get(id) else {
            wrong.add(format!("de/{}.ftl: {id} is missing", one.area));
            continue;
        };
        if one.area != other.area {
            wrong.add(format!("{id} stands in {} and {}", one.area, other.area));
        }
        if one.variables != other.variables {
            wrong.add(format!(
                "{id}: {:?}, in German {:?}",
                one.variables, other.variables
            ));
        }
        if tags(&one.text) != tags(&other.text) {
            wrong.add(format!("{id}: not the same markup in German"));
        }
        if one.text.contains('<') && !id.ends_with("-html") {
            wrong.add(format!("{id} has markup; call it {id}-html"));
        }
    }
    for (id, other) in &german {
        if !english.contains_key(id) {
            wrong.add(format!("en/{}.ftl: {id} is missing", other.area));
        }
    }
    wrong.none();
}

/// Files in which messages are said, by their path in the house; `also` are folders that are passed by otherwise.
fn sources(also: &[&str]) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    let mut folders = vec![house().join("crates")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder that can be read") {
            let path = entry.expect("an entry of a folder").path();
            let name = path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            if path.is_dir() {
                let passed_by = ["node_modules", "dist", "tests", "words", "target"];
                if !passed_by.contains(&name.as_str()) || also.contains(&name.as_str()) {
                    folders.push(path);
                }
            } else if [".rs", ".html", ".svg", ".ts"]
                .iter()
                .any(|end| name.ends_with(end))
            {
                let text = fs::read_to_string(&path).expect("a file that can be read");
                let path = path.strip_prefix(house()).unwrap_or(&path).to_owned();
                found.push((path, text));
            }
        }
    }
    assert!(found.len() > 300, "the house was not found");
    found
}

/// The rest after a quoted name, and the name.
fn quoted(text: &str) -> Option<(&str, &str)> {
    let (name, rest) = text.trim_start().strip_prefix('"')?.split_once('"')?;
    Some((name, rest))
}

/// The rest after what stands in brackets; `text` is behind the first bracket.
fn after_brackets(text: &str) -> &str {
    let (mut depth, mut in_text, mut escaped) = (1, false, false);
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if in_text => escaped = true,
            '"' => in_text = !in_text,
            '(' | '[' | '{' if !in_text => depth += 1,
            ')' | ']' | '}' if !in_text => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return &text[at + c.len_utf8()..];
        }
    }
    ""
}

/// Names given in `say!("id", name = value, ...)`; `text` is behind the id.
fn named(text: &str) -> BTreeSet<String> {
    let whole = &text[..text.len() - after_brackets(text).len()];
    let (mut depth, mut in_text, mut start) = (0, false, None);
    let mut found = BTreeSet::new();
    for (at, c) in whole.char_indices() {
        match c {
            '"' => in_text = !in_text,
            '(' | '[' | '{' if !in_text => depth += 1,
            ')' | ']' | '}' if !in_text => depth -= 1,
            ',' if !in_text && depth == 0 => start = Some(at + 1),
            '=' if !in_text && depth == 0 => {
                if let Some(from) = start.take() {
                    found.insert(whole[from..at].trim().to_owned());
                }
            }
            _ => {}
        }
    }
    found
}

/// Names given in `.with("name", value)`, one after another; `text` is behind the id.
fn chained(text: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut rest = text.trim_start().strip_prefix(')').unwrap_or_default();
    while let Some(more) = rest.trim_start().strip_prefix(".with(") {
        let Some((name, _)) = quoted(more) else { break };
        found.insert(name.to_owned());
        rest = after_brackets(more);
    }
    found
}

#[test]
fn the_code_says_messages_that_there_are_and_all_of_them() {
    let mut wrong = Wrong::default();
    let english = read("en", &mut wrong);
    let mut said = BTreeSet::new();
    for (path, text) in sources(&[]) {
        let path = path.display().to_string();
        for (opening, by_name) in [
            ("say!(", true),
            ("said!(", true),
            ("say(", false),
            ("mark(", false),
        ] {
            for (at, _) in text.match_indices(opening) {
                let before = text[..at].chars().next_back();
                if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
                    continue;
                }
                let Some((id, rest)) = quoted(&text[at + opening.len()..]) else {
                    continue;
                };
                let shaped = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
                if opening == "say(" && !(id.contains('-') && id.chars().all(shaped)) {
                    continue;
                }
                let Some(message) = english.get(id) else {
                    wrong.add(format!("{path}: there is no message {id}"));
                    continue;
                };
                let given = if by_name { named(rest) } else { chained(rest) };
                if given != message.variables {
                    wrong.add(format!(
                        "{path}: {id} takes {:?} and gets {given:?}",
                        message.variables
                    ));
                }
            }
        }
        for piece in text.split('"') {
            if english.contains_key(piece) {
                said.insert(piece.to_owned());
            }
        }
    }
    let kept = kept::list(&mut wrong);
    for (id, message) in &english {
        let unsaid = kept.get(id).map(|kept| kept.unsaid);
        match (said.contains(id), unsaid) {
            (false, None) => wrong.add(format!("en/{}.ftl: nobody says {id}", message.area)),
            (false, Some(false)) => wrong.add(format!(
                "kept.txt: nobody says {id} any more: mark it with a - before it, or say it"
            )),
            (true, Some(true)) => {
                wrong.add(format!("kept.txt: {id} is said: it has no - before it"));
            }
            _ => {}
        }
    }
    wrong.none();
}

/// What is the same word in both tongues.
const SAME: &[&str] = &["Code", "Crew", "Passkeys", "Region", "Takt"];

#[test]
fn german_is_not_english() {
    let mut wrong = Wrong::default();
    let (english, german) = (read("en", &mut wrong), read("de", &mut wrong));
    for (id, one) in &english {
        let letters = one.text.chars().filter(|c| c.is_alphabetic()).count();
        let same = german.get(id).is_some_and(|other| other.text == one.text);
        if same && letters > 3 && !id.ends_with("-html") && !SAME.contains(&one.text.trim()) {
            wrong.add(format!("{id} is the same in German: {}", one.text));
        }
    }
    wrong.none();
}
