//! ASCII STL, word by word: line ends mean nothing but the end of a solid's name.

use partpledge_words::said;

use super::Corners;
use crate::detect::find_word;
use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile};
use crate::points::point;

/// Bytes that the shortest facet takes: it bounds the memory taken ahead of reading.
const LEAST_FACET_BYTES: usize = 80;

/// Whether the text is an STL: it begins with "solid" or a facet, and a facet, a vertex or the
/// end of a solid follows early on.
pub(crate) fn is_ascii(body: &[u8]) -> bool {
    let head = &body[..body.len().min(65_536)];
    let starts =
        |word: &[u8]| head.len() >= word.len() && head[..word.len()].eq_ignore_ascii_case(word);
    starts(b"facet")
        || starts(b"solid")
            && [&b"facet"[..], b"vertex", b"endsolid"]
                .iter()
                .any(|word| find_word(head, word))
}

/// Reads an ASCII STL; several solids in one file become shells of one part.
///
/// A solid that is opened and never ended is refused: the rest of the file is missing, and the
/// facets that are there might even be closed.
pub(crate) fn read_ascii(
    bytes: &[u8],
    file_name: &str,
    limits: &Limits,
) -> Result<ModelFile, ReadError> {
    let mut corners = Corners::new(limits, bytes.len() / (3 * LEAST_FACET_BYTES));
    let mut words = Words {
        bytes,
        at: 0,
        line: 1,
    };
    let (mut in_facet, mut solid_open, mut ended) = (0_usize, false, false);
    while let Some(word) = words.next() {
        let line = words.line;
        let is = |name: &[u8]| word.eq_ignore_ascii_case(name);
        if is(b"vertex") {
            if in_facet == 3 {
                let what = said!("errors-read-facet-many");
                return Err(ReadError::BadLine { line, what });
            }
            in_facet += 1;
            let p = point(&mut words, line)?;
            corners.push(p, || said!("errors-read-at-line", line = line))?;
        } else if is(b"endloop") || is(b"endfacet") || is(b"facet") {
            if in_facet % 3 != 0 {
                let what = said!("errors-read-facet-few", n = in_facet);
                return Err(ReadError::BadLine { line, what });
            }
            in_facet = 0;
        } else if is(b"solid") || is(b"endsolid") {
            solid_open = is(b"solid");
            ended = !solid_open;
            words.skip_name();
        } else if ended && is_no_text(word) {
            let what = said!("errors-read-line-no-text", line = line);
            return Err(ReadError::MoreBehind { what });
        }
    }
    if in_facet % 3 != 0 {
        let what = said!("errors-read-last-facet", n = in_facet);
        return Err(ReadError::Truncated { what });
    }
    if solid_open {
        let what = said!("errors-read-no-endsolid");
        return Err(ReadError::Truncated { what });
    }
    corners.finish(FileKind::StlAscii, file_name)
}

/// Bytes that no text has: what follows a solid may be words, but not another file.
fn is_no_text(word: &[u8]) -> bool {
    std::str::from_utf8(word).map_or(true, |text| text.chars().any(char::is_control))
}

/// Words between blanks, with the line that the last one is on.
struct Words<'a> {
    bytes: &'a [u8],
    at: usize,
    line: usize,
}

impl Words<'_> {
    fn skip_blanks(&mut self) {
        while let Some(&b) = self.bytes.get(self.at) {
            if !b.is_ascii_whitespace() && b != 0 {
                break;
            }
            // CR LF is one line end, and so is either alone.
            let pair = b == b'\r' && self.bytes.get(self.at + 1) == Some(&b'\n');
            self.line += usize::from((b == b'\n' || b == b'\r') && !pair);
            self.at += 1;
        }
    }

    /// Goes to the end of the line, or to a facet if the whole file is one line.
    fn skip_name(&mut self) {
        const FACET: &[u8] = b" facet normal ";
        while let Some(&b) = self.bytes.get(self.at) {
            let facet = b == b' '
                && self
                    .bytes
                    .get(self.at..self.at + FACET.len())
                    .is_some_and(|word| word.eq_ignore_ascii_case(FACET));
            if b == b'\n' || b == b'\r' || facet {
                break;
            }
            self.at += 1;
        }
    }
}

impl<'a> Iterator for Words<'a> {
    type Item = &'a [u8];

    fn next(&mut self) -> Option<&'a [u8]> {
        self.skip_blanks();
        let rest = &self.bytes[self.at..];
        let end = rest
            .iter()
            .position(u8::is_ascii_whitespace)
            .unwrap_or(rest.len());
        self.at += end;
        (end > 0).then(|| &rest[..end])
    }
}
