//! Pieces of a file in, whole lines out, with bounded memory.

/// Longest line kept, bytes; what is longer is counted and passed over.
const LONGEST: usize = 64 * 1024;

/// A line that is not whole yet.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lines {
    begun: Vec<u8>,
    too_long: bool,
    /// Lines passed over because of their length.
    pub(crate) passed_over: u64,
}

impl Lines {
    /// Calls `each` for every line that ends in these bytes.
    pub(crate) fn feed<E>(
        &mut self,
        mut bytes: &[u8],
        mut each: impl FnMut(&[u8]) -> Result<(), E>,
    ) -> Result<(), E> {
        while let Some(end) = bytes.iter().position(|&b| b == b'\n' || b == b'\r') {
            let line = &bytes[..end];
            if self.begun.is_empty() && !self.too_long && end <= LONGEST {
                each(line)?;
            } else {
                self.keep(line);
                self.end(&mut each)?;
            }
            bytes = &bytes[end + 1..];
        }
        self.keep(bytes);
        Ok(())
    }

    /// Ends the line begun, if any.
    pub(crate) fn end<E>(&mut self, mut each: impl FnMut(&[u8]) -> Result<(), E>) -> Result<(), E> {
        if self.too_long {
            self.passed_over += 1;
        } else {
            each(&self.begun)?;
        }
        self.too_long = false;
        self.begun.clear();
        Ok(())
    }

    fn keep(&mut self, bytes: &[u8]) {
        if self.too_long || self.begun.len() + bytes.len() > LONGEST {
            self.too_long = true;
            self.begun.clear();
        } else {
            self.begun.extend_from_slice(bytes);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_the_same_however_the_file_is_cut() {
        let text = format!("G1 X1\r\n{}\n;x\nG1 X2", "y".repeat(LONGEST + 1));
        for piece in [1, 3, 1000, text.len()] {
            let (mut lines, mut seen) = (Lines::default(), Vec::new());
            let mut each = |line: &[u8]| -> Result<(), ()> {
                seen.push(String::from_utf8_lossy(line).into_owned());
                Ok(())
            };
            for bytes in text.as_bytes().chunks(piece) {
                lines.feed(bytes, &mut each).unwrap();
            }
            lines.end(&mut each).unwrap();
            seen.retain(|line| !line.is_empty());
            assert_eq!(seen, ["G1 X1", ";x", "G1 X2"], "in pieces of {piece}");
            assert_eq!(lines.passed_over, 1);
        }
    }
}
