//! Numbers out of texts, and the checks that every coordinate passes.

use partpledge_words::{Said, said};

use crate::error::ReadError;
use crate::limits::Limits;

/// A decimal number. The many spellings of "not a number" and "infinite" give NaN, so that
/// [`check_point`] names the trouble.
pub(crate) fn number(word: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(word).ok()?;
    text.parse().ok().or_else(|| {
        let low = text.to_ascii_lowercase();
        ["nan", "#ind", "#inf"]
            .iter()
            .any(|odd| low.contains(odd))
            .then_some(f64::NAN)
    })
}

/// Three numbers from the words of a line.
pub(crate) fn point<'a>(
    words: &mut impl Iterator<Item = &'a [u8]>,
    line: usize,
) -> Result<[f64; 3], ReadError> {
    let mut p = [0.0; 3];
    for value in &mut p {
        let Some(word) = words.next() else {
            let what = said!("errors-read-few-numbers");
            return Err(ReadError::BadLine { line, what });
        };
        *value = number(word).ok_or_else(|| {
            let what = if word.contains(&b',') {
                said!("errors-read-comma", text = shown(word))
            } else {
                said!("errors-read-no-number", text = shown(word))
            };
            ReadError::BadLine { line, what }
        })?;
    }
    Ok(p)
}

/// Finite and within reach.
pub(crate) fn check_point(
    p: [f64; 3],
    limits: &Limits,
    place: &dyn Fn() -> Said,
) -> Result<(), ReadError> {
    if p.iter().any(|c| !c.is_finite()) {
        return Err(ReadError::NotFinite { place: place() });
    }
    let limit = limits.max_abs_coordinate;
    match p.iter().find(|c| c.abs() > limit) {
        Some(&value) => Err(ReadError::OutOfRange {
            place: place(),
            value,
            limit,
        }),
        None => Ok(()),
    }
}

/// Why XML can't be read, with what the library says as a detail.
pub(crate) fn xml_told(error: &impl std::fmt::Display) -> Said {
    said!("errors-read-told", why = told(error))
}

/// Why the directory of a zip can't be read, with what the library says as a detail.
pub(crate) fn zip_told(error: &impl std::fmt::Display) -> Said {
    said!("errors-read-told-of-zip", why = told(error))
}

/// What a library says about a file: it may quote the file, so it is shown as bytes of it are.
pub(crate) fn told(error: &impl std::fmt::Display) -> String {
    shown(error.to_string().as_bytes())
}

/// Bytes of a file as a message may show them: short, and nothing that drives a terminal.
pub(crate) fn shown(bytes: &[u8]) -> String {
    const LONGEST: usize = 100;
    let text = String::from_utf8_lossy(&bytes[..bytes.len().min(4 * LONGEST)]);
    let mut out: String = text
        .chars()
        .filter(|c| !c.is_control())
        .take(LONGEST)
        .collect();
    if out.len() < bytes.len() && out.chars().count() == LONGEST {
        out.push_str("...");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_every_spelling_are_read_and_words_are_not() {
        assert!(number(b"-1.5E+02").is_some_and(|x| (x + 150.0).abs() < 1e-12));
        for odd in [
            &b"nan"[..],
            b"-nan(ind)",
            b"1.#QNAN",
            b"-1.#IND",
            b"1.#INF00",
        ] {
            assert!(number(odd).is_some_and(f64::is_nan), "{}", shown(odd));
        }
        assert!(number(b"inf").is_some_and(f64::is_infinite));
        for word in [&b"1,5"[..], b"", b"0x10", b"one", b"\xff"] {
            assert_eq!(number(word), None, "{}", shown(word));
        }
    }

    #[test]
    fn what_a_message_shows_is_short_and_plain() {
        assert_eq!(shown(b"\x1b[31mred"), "[31mred");
        assert_eq!(shown(&[b'a'; 1000]), format!("{}...", "a".repeat(100)));
    }
}
