//! Why a command stopped: a headline, details, and what to do about it.

use std::fmt;

/// One reason to stop. The headline is one line; the rest is for the person who has to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Failure {
    pub(crate) headline: String,
    pub(crate) details: Vec<String>,
    pub(crate) what_to_do: Option<String>,
    pub(crate) exit_code: u8,
}

impl Failure {
    /// Something that was asked for did not hold (exit code 1).
    pub(crate) fn new(headline: impl Into<String>) -> Self {
        Self {
            headline: headline.into(),
            details: Vec::new(),
            what_to_do: None,
            exit_code: 1,
        }
    }

    /// The command line itself was wrong (exit code 2).
    pub(crate) fn wrong_call(headline: impl Into<String>) -> Self {
        Self {
            exit_code: 2,
            ..Self::new(headline)
        }
    }

    /// A file or folder could not be read or written.
    pub(crate) fn io(doing: &str, path: &std::path::Path, error: &std::io::Error) -> Self {
        Self::new(format!("{doing} {}: {error}", path.display()))
    }

    pub(crate) fn advise(mut self, what_to_do: impl Into<String>) -> Self {
        self.what_to_do = Some(what_to_do.into());
        self
    }

    pub(crate) fn detail(mut self, line: impl Into<String>) -> Self {
        self.details.push(line.into());
        self
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "xtask: {}", self.headline)?;
        for line in &self.details {
            write!(f, "\n  {line}")?;
        }
        match &self.what_to_do {
            Some(text) => write!(f, "\n  What to do: {text}"),
            None => Ok(()),
        }
    }
}
