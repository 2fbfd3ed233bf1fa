//! One thing wrong or risky in a part, said so that a student can mend it.

use partpledge_words::Said;

/// How much a finding matters. The order is the order of showing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// It cannot be printed like this.
    Blocking,
    /// It can be printed, but may well go wrong.
    Warning,
    /// Good to know.
    Note,
}

impl Severity {
    /// The word that the outside sees: `blocking`, `warning` or `note`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Blocking => "blocking",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// One finding: where, how much, the limit, and what to do about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Stable name, such as `open-edges`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Where, in the part's own mm; `None` when it concerns the whole part.
    pub place_mm: Option<[f64; 3]>,
    /// What was measured, in `unit`; `None` when nothing was.
    pub measured: Option<f64>,
    /// The limit it was held against, in `unit`; `None` when there is none.
    pub limit: Option<f64>,
    /// Unit of `measured` and `limit`; empty when there are no numbers.
    pub unit: &'static str,
    /// What is the matter and why it matters, with the number.
    pub why: Said,
    /// What to do about it.
    pub what_to_do: Said,
    /// Where the rule comes from.
    pub source: &'static str,
}
