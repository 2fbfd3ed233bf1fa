//! Names for people, from file names and object names: short, printable, no folders.

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

/// Trimmed, without control characters, not too long.
pub(crate) fn clean(name: &str) -> String {
    name.trim()
        .chars()
        .filter(|c| !c.is_control())
        .take(LONGEST)
        .collect()
}

/// The ending of a path in small letters, without the dot.
pub(crate) fn ending(path: &str) -> String {
    path.rsplit_once('.')
        .map(|(_, end)| end.to_ascii_lowercase())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_the_last_step_of_the_path_without_its_ending() {
        assert_eq!(stem("parts/arm\\Float arm.v2.stl"), "Float arm.v2");
        assert_eq!(stem(".hidden"), ".hidden");
        assert_eq!(clean(" a\u{7}b\n"), "ab");
        assert_eq!(ending("X.3MF"), "3mf");
    }
}
