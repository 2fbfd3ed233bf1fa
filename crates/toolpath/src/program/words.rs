//! One line of a motion program taken apart into words: a letter and a number.

/// Most characters of a number; more is no number.
const LONGEST_NUMBER: usize = 40;
/// Greatest number that a word may carry.
const GREATEST: f64 = 1e8;

/// A letter (upper case) with its number, if it has one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Word {
    pub(crate) letter: u8,
    pub(crate) value: Option<f64>,
}

/// What else a line told.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Reading {
    /// Name of what stands where a word was expected; reading ended there.
    pub(crate) stranger: Option<String>,
    /// Whether the checksum is right, if there is one.
    pub(crate) checksum: Option<bool>,
    /// Begins with the sign for blocks that an operator may have skipped.
    pub(crate) skippable: bool,
}

/// Takes a line apart. Upper or lower case, with or without blanks.
///
/// Comments stand in parentheses or behind a semicolon. Behind `*` stands the checksum: all bytes
/// before it, exclusive-or (common practice, no source).
pub(crate) fn read(line: &[u8], words: &mut Vec<Word>) -> Reading {
    words.clear();
    let mut told = Reading::default();
    // A token is what stands between blanks: a stranger takes its whole token with it.
    let (mut token, mut words_before) = (0, 0);
    let mut at = 0;
    while let Some(&byte) = line.get(at) {
        match byte {
            b';' => break,
            b'(' => {
                let end = line[at..].iter().position(|&b| b == b')');
                at = end.map_or(line.len(), |end| at + end + 1);
                (token, words_before) = (at, words.len());
            }
            b'*' => {
                let sum = line[..at].iter().fold(0_u8, |sum, byte| sum ^ byte);
                let given = number(line, at + 1).map(|(value, _)| value);
                told.checksum = Some(given.is_some_and(|v| (v - f64::from(sum)).abs() < 0.5));
                break;
            }
            b'%' if words.is_empty() => break,
            b'/' if words.is_empty() && !told.skippable => {
                told.skippable = true;
                at += 1;
                token = at;
            }
            _ if byte.is_ascii_whitespace() => {
                at += 1;
                (token, words_before) = (at, words.len());
            }
            _ => match word(line, at) {
                Some((word, after)) => {
                    words.push(word);
                    at = after;
                }
                None => {
                    words.truncate(words_before);
                    told.stranger = Some(name(&line[token..]));
                    break;
                }
            },
        }
    }
    told
}

/// A word at that place, and where it ends.
fn word(line: &[u8], at: usize) -> Option<(Word, usize)> {
    let letter = line[at].to_ascii_uppercase();
    if !letter.is_ascii_uppercase() {
        return None;
    }
    let blank = |byte: &u8| matches!(byte, b' ' | b'\t');
    let blanks = line[at + 1..].iter().take_while(|byte| blank(byte)).count();
    if let Some((value, after)) = number(line, at + 1 + blanks) {
        let value = Some(value);
        return Some((Word { letter, value }, after));
    }
    // A letter alone is a word too, but not the beginning of a name.
    let next = line.get(at + 1).copied().unwrap_or(b' ');
    let ends = next.is_ascii_whitespace() || matches!(next, b';' | b'(' | b'*');
    let value = None;
    ends.then_some((Word { letter, value }, at + 1))
}

/// A number without exponent (`E` is an axis) at that place, and where it ends.
fn number(line: &[u8], at: usize) -> Option<(f64, usize)> {
    let rest = line.get(at..)?;
    let signed = usize::from(rest.first().is_some_and(|b| matches!(b, b'+' | b'-')));
    let mut points = 0;
    let body = rest[signed..].iter().take_while(|byte| {
        points += u32::from(**byte == b'.');
        byte.is_ascii_digit() || (**byte == b'.' && points == 1)
    });
    let length = signed + body.count();
    if length > LONGEST_NUMBER {
        return None;
    }
    let text = std::str::from_utf8(&rest[..length]).ok()?;
    let value: f64 = text.parse().ok()?;
    (value.abs() <= GREATEST).then_some((value, at + length))
}

/// A short name of plain letters for something that is no word.
fn name(token: &[u8]) -> String {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | b'.');
    let taken = token.iter().take_while(|byte| plain(byte)).take(24);
    let name: String = taken
        .map(|byte| char::from(byte.to_ascii_uppercase()))
        .collect();
    if name.is_empty() {
        "(other text)".to_owned()
    } else {
        name
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(line: &str) -> (String, Reading) {
        let mut words = Vec::new();
        let told = read(line.as_bytes(), &mut words);
        let texts = words.iter().map(|w| {
            let letter = char::from(w.letter);
            w.value
                .map_or(format!("{letter}?"), |v| format!("{letter}{v}"))
        });
        (texts.collect::<Vec<_>>().join(" "), told)
    }

    #[test]
    fn blanks_case_comments_and_missing_zeros_do_not_matter() {
        for line in [
            "G01 X1.5 Y-.25 E3. F1200",
            "g1x1.5y-.25e3f1200",
            "G1(to the seam)X1.5 Y-0.25 E+3 F1200 ; X9",
            "\tG 01 X 1.50 Y -.25 E 3 F 1200 (end",
        ] {
            assert_eq!(
                of(line),
                ("G1 X1.5 Y-0.25 E3 F1200".to_owned(), Reading::default())
            );
        }
        assert_eq!(of("; G1 X1").0, "");
        assert_eq!(of("%").0, "");
        assert_eq!(of("G92 E").0, "G92 E?");
    }

    #[test]
    fn checksums_are_held_against_the_bytes_before_them() {
        let line = "N3 G1 X1 ";
        let sum = line.bytes().fold(0_u8, |sum, byte| sum ^ byte);
        assert_eq!(of(&format!("{line}*{sum}")).1.checksum, Some(true));
        assert_eq!(of(&format!("{line}*{}", sum ^ 1)).1.checksum, Some(false));
        assert_eq!(of("G1 X1 *").1.checksum, Some(false));
    }

    #[test]
    fn names_are_no_words() {
        let told = |line| of(line).1.stranger.unwrap();
        assert_eq!(told("SET_LIGHT X=1"), "SET_LIGHT");
        assert_eq!(told("g1_START"), "G1_START");
        assert_eq!(told("=5"), "(other text)");
        assert_eq!(of("M117 Hello"), ("M117".to_owned(), of("x Hello").1));
        assert_eq!(told("X1.2.3"), "X1.2.3");
        assert_eq!(told("X999999999999"), "X999999999999");
    }
}
