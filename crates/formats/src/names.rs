//! Names for people, from file names and object names: short, printable, no folders.

use std::collections::BTreeSet;

use crate::model::RawPart;

/// Longest name kept, in characters.
const LONGEST: usize = 80;

/// The last part of a path without its ending, cleaned.
pub(crate) fn stem(path: &str) -> String {
    let last = path.rsplit(['/', '\\']).next().unwrap_or(path);
    clean(
        last.rsplit_once('.')
            .map_or(last, |(stem, _)| if stem.is_empty() { last } else { stem }),
    )
}

/// Trimmed, without characters that can't be seen or turn the text round, not too long.
pub(crate) fn clean(name: &str) -> String {
    let kept: String = name
        .trim()
        .chars()
        .filter(|&c| is_plain(c))
        .take(LONGEST)
        .collect();
    kept.trim().to_owned()
}

/// Neither a control character, nor one that changes the direction of writing, nor one that
/// XML 1.0 forbids.
fn is_plain(c: char) -> bool {
    !c.is_control()
        && !matches!(
            c,
            '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fffe}'
                | '\u{ffff}'
        )
}

/// The ending of a path in small letters, without the dot.
pub(crate) fn ending(path: &str) -> String {
    let last = path.rsplit(['/', '\\']).next().unwrap_or(path);
    last.rsplit_once('.')
        .map(|(_, end)| end.to_ascii_lowercase())
        .unwrap_or_default()
}

/// Gives parts of one name a number: `arm`, `arm (2)`, `arm (3)`.
pub(crate) fn tell_apart(parts: &mut [RawPart]) {
    let mut taken: BTreeSet<String> = parts.iter().map(|part| part.name.clone()).collect();
    let mut seen = BTreeSet::new();
    let mut next = std::collections::BTreeMap::<String, usize>::new();
    for part in parts {
        if seen.insert(part.name.clone()) {
            continue;
        }
        let number = next.entry(part.name.clone()).or_insert(2);
        let name = loop {
            let name = format!("{} ({number})", part.name);
            *number += 1;
            if taken.insert(name.clone()) {
                break name;
            }
        };
        seen.insert(name.clone());
        part.name = name;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::RawMesh;

    #[test]
    fn a_name_is_the_last_step_of_the_path_without_its_ending() {
        assert_eq!(stem("parts/arm\\Float arm.v2.stl"), "Float arm.v2");
        assert_eq!(stem(".hidden"), ".hidden");
        assert_eq!(ending("X.3MF"), "3mf");
        assert_eq!(ending("v1.2/x"), "");
    }

    #[test]
    fn names_lose_what_can_not_be_seen_and_keep_a_sane_length() {
        assert_eq!(clean(" a\u{7}b\n"), "ab");
        assert_eq!(clean("arm\u{202e}lts.exe"), "armlts.exe");
        assert_eq!(clean("\u{1b}[2J hub "), "[2J hub");
        assert_eq!(clean(&"å".repeat(500)).chars().count(), LONGEST);
    }

    #[test]
    fn parts_of_one_name_are_told_apart() {
        let part = |name: &str| RawPart {
            name: name.to_owned(),
            mesh: RawMesh::default(),
        };
        let mut parts = ["arm", "arm (2)", "arm", "hub", "arm"].map(part);
        tell_apart(&mut parts);
        let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
        assert_eq!(names, ["arm", "arm (2)", "arm (3)", "hub", "arm (4)"]);
    }
}
