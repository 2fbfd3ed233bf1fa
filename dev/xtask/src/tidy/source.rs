//! A Rust file taken apart just far enough: which lines hold code, which are tests, which texts
//! stand in string literals.

use std::iter::Peekable;
use std::str::Chars;

/// A string literal and the line it begins on (1-based).
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Literal {
    pub(crate) line: usize,
    pub(crate) text: String,
}

/// What [`Source::scan`] sees in a file.
#[derive(Debug, Default)]
pub(crate) struct Source {
    /// The file's code with comments left out and literals emptied, line by line.
    bare: Vec<String>,
    literals: Vec<Literal>,
    /// For each line: does it belong to an item under `#[cfg(test)]`?
    test: Vec<bool>,
}

impl Source {
    pub(crate) fn scan(text: &str) -> Self {
        let mut scanner = Scanner {
            chars: text.chars().peekable(),
            source: Self::default(),
        };
        scanner.source.bare.push(String::new());
        scanner.file();
        let mut source = scanner.source;
        source.test = test_lines(&source.bare);
        source
    }

    /// Lines with code, tests not counted.
    pub(crate) fn code_lines(&self) -> usize {
        self.bare
            .iter()
            .zip(&self.test)
            .filter(|(bare, test)| !bare.trim().is_empty() && !**test)
            .count()
    }

    /// String literals outside tests.
    pub(crate) fn literals(&self) -> impl Iterator<Item = &Literal> {
        self.literals
            .iter()
            .filter(|literal| !self.test.get(literal.line - 1).is_some_and(|test| *test))
    }
}

struct Scanner<'a> {
    chars: Peekable<Chars<'a>>,
    source: Source,
}

impl Scanner<'_> {
    /// The next character, with line breaks counted.
    fn bump(&mut self) -> Option<char> {
        let c = self.chars.next()?;
        if c == '\n' {
            self.source.bare.push(String::new());
        }
        Some(c)
    }

    fn keep(&mut self, c: char) {
        if c != '\n' {
            self.source
                .bare
                .last_mut()
                .expect("a first line is pushed before scanning")
                .push(c);
        }
    }

    fn file(&mut self) {
        // The identifier just read, to tell the r of r"..." from the end of a name.
        let mut word = String::new();
        while let Some(c) = self.bump() {
            match c {
                '/' if self.chars.peek() == Some(&'/') => self.line_comment(),
                '/' if self.chars.peek() == Some(&'*') => self.block_comment(),
                '"' => self.literal(&word),
                '\'' => self.quote(),
                '#' if matches!(word.as_str(), "r" | "br" | "cr") => self.raw_after_hash(),
                _ => self.keep(c),
            }
            if c.is_alphanumeric() || c == '_' {
                word.push(c);
            } else {
                word.clear();
            }
        }
    }

    fn line_comment(&mut self) {
        while self.chars.peek().is_some_and(|c| *c != '\n') {
            self.bump();
        }
    }

    fn block_comment(&mut self) {
        let mut depth = 0_usize;
        let mut before = '/';
        while let Some(c) = self.bump() {
            match (before, c) {
                ('/', '*') => depth += 1,
                ('*', '/') => depth -= 1,
                _ => {
                    before = c;
                    continue;
                }
            }
            if depth == 0 {
                return;
            }
            // `*/` and `/*` are two characters each; neither half counts twice.
            before = ' ';
        }
    }

    fn literal(&mut self, prefix: &str) {
        if matches!(prefix, "r" | "br" | "cr") {
            self.raw(0);
        } else {
            self.escaped();
        }
    }

    fn escaped(&mut self) {
        let line = self.source.bare.len();
        let mut text = String::new();
        self.keep('"');
        while let Some(c) = self.bump() {
            match c {
                '"' => break,
                // What follows a backslash can't end the literal; its meaning does not matter here.
                '\\' => {
                    if let Some(c) = self.bump() {
                        self.inside(c, &mut text);
                    }
                }
                _ => self.inside(c, &mut text),
            }
        }
        self.keep('"');
        self.source.literals.push(Literal { line, text });
    }

    /// One more character of a literal; a literal of many lines is as many lines of code.
    fn inside(&mut self, c: char, text: &mut String) {
        if c == '\n' {
            self.keep('"');
        }
        text.push(c);
    }

    /// After `r#`: a raw literal, or a raw identifier such as `r#type`.
    fn raw_after_hash(&mut self) {
        let mut hashes = 1;
        while self.chars.peek() == Some(&'#') {
            self.bump();
            hashes += 1;
        }
        if self.chars.peek() == Some(&'"') {
            self.bump();
            self.raw(hashes);
        }
    }

    fn raw(&mut self, hashes: usize) {
        let line = self.source.bare.len();
        let end = format!("\"{}", "#".repeat(hashes));
        let mut text = String::new();
        self.keep('"');
        while let Some(c) = self.bump() {
            self.inside(c, &mut text);
            if text.ends_with(&end) {
                text.truncate(text.len() - end.len());
                break;
            }
        }
        self.keep('"');
        self.source.literals.push(Literal { line, text });
    }

    /// After a single quote: a character literal or a lifetime.
    fn quote(&mut self) {
        self.keep('\'');
        match self.chars.peek() {
            Some('\\') => {
                self.bump();
                self.bump();
                while self.bump().is_some_and(|c| c != '\'') {}
            }
            Some(_) => {
                let mut ahead = self.chars.clone();
                ahead.next();
                if ahead.next() == Some('\'') {
                    self.bump();
                    self.bump();
                }
            }
            None => {}
        }
    }
}

/// Marks the lines of every item that stands under `#[cfg(test)]`.
fn test_lines(bare: &[String]) -> Vec<bool> {
    let mut test = vec![false; bare.len()];
    let mut line = 0;
    while line < bare.len() {
        if !bare[line].contains("#[cfg(test)]") {
            line += 1;
            continue;
        }
        let end = item_end(bare, line);
        test[line..=end].fill(true);
        line = end + 1;
    }
    test
}

/// The line on which the item that begins at `start` ends: its closing brace, or a semicolon.
fn item_end(bare: &[String], start: usize) -> usize {
    let mut depth = 0_usize;
    for (index, text) in bare.iter().enumerate().skip(start) {
        for c in text.chars() {
            match c {
                '{' => depth += 1,
                '}' if depth <= 1 => return index,
                '}' => depth -= 1,
                ';' if depth == 0 => return index,
                _ => {}
            }
        }
    }
    bare.len() - 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(source: &str) -> Vec<String> {
        Source::scan(source)
            .literals()
            .map(|literal| literal.text.clone())
            .collect()
    }

    #[test]
    fn blank_lines_and_comments_are_no_code() {
        let source =
            "//! doc\n\n/// more\nfn a() {} // tail\n/* a\n /* nested */ b\n*/\nfn b() {}\n";
        assert_eq!(Source::scan(source).code_lines(), 2);
    }

    #[test]
    fn a_test_module_is_not_counted_and_its_texts_are_not_read() {
        let source =
            "fn a() {}\n#[cfg(test)]\nmod tests {\n fn t() { let x = \"safe }\"; }\n}\nfn b() {}\n";
        assert_eq!(Source::scan(source).code_lines(), 2);
        assert!(texts(source).is_empty());
    }

    #[test]
    fn a_test_module_in_its_own_file_ends_at_the_semicolon() {
        assert_eq!(
            Source::scan("#[cfg(test)]\nmod tests;\nfn a() {}\n").code_lines(),
            1
        );
    }

    #[test]
    fn literals_of_every_kind_are_read() {
        let source =
            r##"fn a() { b("one \" //two", r"three", r#"fo"ur"#, b"five", '"', 'x', "six"); }"##;
        assert_eq!(
            texts(source),
            ["one \" //two", "three", "fo\"ur", "five", "six"]
        );
    }

    #[test]
    fn lifetimes_escapes_and_raw_names_do_not_open_a_literal() {
        let source = "fn a<'a>(r#type: &'a str, c: char) { m('\\'', '\\u{1F}', \"in\"); }";
        assert_eq!(texts(source), ["in"]);
    }

    #[test]
    fn a_literal_knows_the_line_it_begins_on() {
        let source = Source::scan("fn a() {\n  b(\"x\n\");\n c(\"z\")\n}");
        let lines: Vec<usize> = source.literals().map(|literal| literal.line).collect();
        assert_eq!(lines, [2, 4]);
        assert_eq!(source.code_lines(), 5);
    }

    #[test]
    fn a_slash_that_closes_a_comment_does_not_open_another() {
        assert_eq!(Source::scan("/**/ fn a() {}\nfn b() {}").code_lines(), 2);
        assert_eq!(Source::scan("/* x */* 2;\nfn b() {}").code_lines(), 2);
    }
}
