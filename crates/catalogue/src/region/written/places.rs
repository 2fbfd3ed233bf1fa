//! In which line of a region file something stands.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Something in a region file: `zone`, or of the third of `schools` its `x_km`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::region) struct At<'a> {
    /// The list or the table of tables that it is in: `schools`, `prices.machine`.
    pub(in crate::region) list: &'a str,
    /// Which of the list, from 0.
    pub(in crate::region) n: Option<usize>,
    /// Which field.
    pub(in crate::region) field: &'a str,
}

impl<'a> At<'a> {
    pub(in crate::region) fn top(field: &'a str) -> Self {
        Self {
            field,
            ..Self::default()
        }
    }

    pub(in crate::region) fn of(list: &'a str, n: usize, field: &'a str) -> Self {
        Self {
            list,
            n: Some(n),
            field,
        }
    }

    /// `schools.x_km`, for people.
    pub(in crate::region) fn named(self) -> String {
        let both = [self.list, self.field];
        let said: Vec<&str> = both.into_iter().filter(|one| !one.is_empty()).collect();
        said.join(".")
    }
}

/// A region file whose lines are known.
pub(in crate::region) struct Places<'t> {
    text: &'t str,
    root: Spanned<DeTable<'t>>,
}

impl<'t> Places<'t> {
    /// Nothing for a text that is no TOML.
    pub(in crate::region) fn of(text: &'t str) -> Option<Self> {
        let root = DeTable::parse(text).ok()?;
        Some(Self { text, root })
    }

    /// The line of something, from 1; of what it would be in, where it is not there.
    pub(in crate::region) fn line(&self, at: At<'_>) -> usize {
        line_at(self.text, self.begins(at).unwrap_or(0))
    }

    fn begins(&self, at: At<'_>) -> Option<usize> {
        let mut found = None;
        let mut table = self.root.get_ref();
        for name in at.list.split('.').filter(|name| !name.is_empty()) {
            let Some((key, value)) = table.get_key_value(name) else {
                return found;
            };
            found = Some(key.span().start);
            match value.get_ref() {
                DeValue::Table(inner) => table = inner,
                DeValue::Array(all) => {
                    let one = all.get(at.n.unwrap_or(0))?;
                    found = Some(one.span().start);
                    table = one.get_ref().as_table()?;
                }
                _ => return found,
            }
        }
        match table.get_key_value(at.field) {
            Some((key, _)) => Some(key.span().start),
            None => found,
        }
    }
}

/// The line that a byte is in, from 1.
pub(in crate::region) fn line_at(text: &str, byte: usize) -> usize {
    let before = text.as_bytes().iter().take(byte);
    1 + before.filter(|byte| **byte == b'\n').count()
}
