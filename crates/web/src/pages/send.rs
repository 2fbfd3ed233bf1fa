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
    pub(crate) units: Vec<(&'static str, &'static str)>,
    /// Why the team may have it made, as forms have it and in words.
    pub(crate) claims: Vec<(&'static str, &'static str)>,
    /// Whether a mentor may give a reason to go beyond the region's limits.
    pub(crate) asks_reason: bool,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) key: String,
}

impl SendPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        let found = self.wrong.iter().find(|wrong| wrong.field == field);
        found.map(|wrong| wrong.text.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

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
            units: vec![("", "Work it out"), ("mm", "Millimetres")],
            claims: vec![("own", "We drew it ourselves."), ("licence", AWKWARD)],
            asks_reason: false,
            wrong: Vec::new(),
            key: "k".to_owned(),
        };
        let fresh = page.render().unwrap();
        sound(&fresh);
        assert!(!fresh.contains("There is a problem"));
        page.again = Some((7, AWKWARD.to_owned()));
        page.typed.name = AWKWARD.to_owned();
        page.typed.claim_words = AWKWARD.to_owned();
        page.asks_reason = true;
        page.wrong = [
            "file",
            "name",
            "copies",
            "material",
            "need_by",
            "unit",
            "claim",
            "claim_words",
            "over_limit",
        ]
        .map(|field| Wrong {
            field,
            text: AWKWARD.to_owned(),
        })
        .to_vec();
        let wrong = page.render().unwrap();
        sound(&wrong);
        for field in [
            "file",
            "copies",
            "need_by",
            "claim",
            "claim_words",
            "over_limit",
        ] {
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
