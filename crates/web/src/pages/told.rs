//! Which other programs are told what happens.

use askama::Template;

use super::entry::wrong_with;
use super::send::Wrong;
use crate::who::Head;

/// An address that is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ToldRow {
    pub(crate) id: String,
    pub(crate) address: String,
    /// Of what.
    pub(crate) kinds: String,
    /// What the last tries came to.
    pub(crate) tries: Vec<String>,
}

/// The page.
#[derive(Template)]
#[template(path = "told.html")]
pub(crate) struct ToldPage {
    pub(crate) head: Head,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) rows: Vec<ToldRow>,
    /// Kinds with their words.
    pub(crate) kinds: Vec<(&'static str, &'static str)>,
    /// The address as typed.
    pub(crate) typed: String,
}

impl ToldPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn who_is_told_renders_from_its_samples() {
        let row = ToldRow {
            id: "1".to_owned(),
            address: AWKWARD.to_owned(),
            kinds: AWKWARD.to_owned(),
            tries: vec![AWKWARD.to_owned()],
        };
        for rows in [Vec::new(), vec![row]] {
            let page = ToldPage {
                head: head(),
                wrong: vec![Wrong {
                    field: "address",
                    text: AWKWARD.to_owned(),
                }],
                rows,
                kinds: vec![("run.off", "a plate is off the bed")],
                typed: AWKWARD.to_owned(),
            };
            sound(&page.render().unwrap());
        }
    }
}
