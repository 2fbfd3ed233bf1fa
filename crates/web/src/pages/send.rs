//! The form to send a part.

use askama::Template;

use crate::who::Head;

/// A material to choose, by what the part must stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Plastic {
    pub(crate) code: String,
    pub(crate) says: String,
    pub(crate) chosen: bool,
}

/// What was typed, kept when something is wrong.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    pub(crate) name: String,
    pub(crate) copies: String,
    pub(crate) need_by: String,
    pub(crate) unit: String,
    pub(crate) claim: String,
    pub(crate) claim_words: String,
    pub(crate) over_limit: String,
    /// Sizes that must be right, five rows.
    pub(crate) sizes: Vec<SizeTyped>,
}

impl Typed {
    /// Whether a size was typed.
    fn has_sizes(&self) -> bool {
        self.sizes.iter().any(|one| !one.is_empty())
    }
}

/// A size that must be right, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct SizeTyped {
    pub(crate) what: String,
    pub(crate) size: String,
    /// The same deviation up and down.
    pub(crate) about: String,
    pub(crate) lower: String,
    pub(crate) upper: String,
}

impl SizeTyped {
    pub(crate) fn is_empty(&self) -> bool {
        let all = [
            &self.what,
            &self.size,
            &self.about,
            &self.lower,
            &self.upper,
        ];
        all.iter().all(|text| text.is_empty())
    }

    /// Whether lower and upper were given each by itself.
    fn own(&self) -> bool {
        !self.lower.is_empty() || !self.upper.is_empty()
    }
}

/// What is wrong with the form: which field, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Wrong {
    pub(crate) field: &'static str,
    pub(crate) text: String,
}

/// The form.
#[derive(Template)]
#[template(path = "send.html")]
pub(crate) struct SendPage {
    pub(crate) head: Head,
    /// The part that a changed file is sent for: number and name.
    pub(crate) again: Option<(i64, String)>,
    pub(crate) team: String,
    pub(crate) plastics: Vec<Plastic>,
    pub(crate) typed: Typed,
    pub(crate) least_day: String,
    pub(crate) units: Vec<(&'static str, String)>,
    /// Why the team may have it made, as forms have it and in words.
    pub(crate) claims: Vec<(&'static str, String)>,
    /// Whether a mentor may give a reason to go beyond the region's limits.
    pub(crate) asks_reason: bool,
    /// What prints usually hold at a few sizes, in sentences of one line.
    pub(crate) usual: String,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) key: String,
}

impl SendPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        let found = self.wrong.iter().find(|wrong| wrong.field == field);
        found.map(|wrong| wrong.text.as_str())
    }

    /// What is wrong with a field of a row of sizes.
    #[expect(
        clippy::trivially_copy_pass_by_ref,
        reason = "templates pass by reference"
    )]
    fn wrong_in(&self, field: &str, n: &usize) -> Option<&str> {
        self.wrong_with(&format!("{field}-{n}"))
    }

    /// Whether something of that row, or a later one, was typed.
    #[expect(
        clippy::trivially_copy_pass_by_ref,
        reason = "templates pass by reference"
    )]
    fn uses(&self, n: &usize) -> bool {
        let typed = self.typed.sizes.iter().skip(n - 1);
        typed.into_iter().any(|one| !one.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    /// Fields that can be wrong.
    const TYPED: [&str; 11] = [
        "file",
        "copies",
        "need_by",
        "claim",
        "claim_words",
        "over_limit",
        "what-1",
        "size-1",
        "about-1",
        "lower-1",
        "upper-1",
    ];

    #[test]
    fn the_form_renders_empty_and_with_everything_wrong() {
        let plastic = Plastic {
            code: "PETG".to_owned(),
            says: "Knocks and bending".to_owned(),
            chosen: true,
        };
        let mut page = SendPage {
            head: head(),
            again: None,
            team: "Newt Works".to_owned(),
            plastics: vec![plastic],
            typed: Typed::default(),
            least_day: "2027-03-09".to_owned(),
            units: vec![
                ("", "Work it out".to_owned()),
                ("mm", "Millimetres".to_owned()),
            ],
            claims: vec![
                ("own", "We drew it ourselves.".to_owned()),
                ("licence", AWKWARD.to_owned()),
            ],
            asks_reason: false,
            usual: "up to 10 mm ± 0.11 mm".to_owned(),
            wrong: Vec::new(),
            key: "k".to_owned(),
        };
        let fresh = page.render().unwrap();
        sound(&fresh);
        assert!(!fresh.contains("There is a problem"));
        page.again = Some((7, AWKWARD.to_owned()));
        page.typed.name = AWKWARD.to_owned();
        page.typed.claim_words = AWKWARD.to_owned();
        let size = SizeTyped {
            what: AWKWARD.to_owned(),
            lower: AWKWARD.to_owned(),
            ..SizeTyped::default()
        };
        page.typed.sizes = vec![size, SizeTyped::default()];
        page.asks_reason = true;
        let wrong = |field: &&'static str| Wrong {
            field,
            text: AWKWARD.to_owned(),
        };
        let fields = TYPED.iter().chain(&["name", "material", "unit"]);
        page.wrong = fields.map(wrong).collect();
        let wrong = page.render().unwrap();
        sound(&wrong);
        for field in TYPED {
            assert!(
                wrong.contains(&format!("href=\"#{field}\"")),
                "{field} is linked"
            );
            assert!(
                wrong.contains(&format!("id=\"{field}\"")),
                "{field} is there"
            );
        }
    }
}
