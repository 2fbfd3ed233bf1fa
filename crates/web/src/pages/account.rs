//! One's own account: roles, browsers, password, what is kept.

use askama::Template;

use super::entry::wrong_with;
use super::send::Wrong;
use crate::who::Head;

/// A role that is held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RoleRow {
    pub(crate) value: String,
    pub(crate) text: String,
    pub(crate) worn: bool,
}

/// A browser that is signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct SignInRow {
    pub(crate) id: String,
    pub(crate) text: String,
    pub(crate) here: bool,
}

/// The page.
#[derive(Template)]
#[template(path = "account.html")]
pub(crate) struct AccountPage {
    pub(crate) head: Head,
    pub(crate) said: Option<String>,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) adult: bool,
    pub(crate) name: String,
    pub(crate) email: Option<String>,
    pub(crate) roles: Vec<RoleRow>,
    pub(crate) sign_ins: Vec<SignInRow>,
    pub(crate) lasts: &'static str,
    pub(crate) password_hint: &'static str,
    pub(crate) kept: &'static str,
}

impl AccountPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_account_of_an_adult_and_of_a_student_render_from_their_samples() {
        for adult in [true, false] {
            let row = |here| SignInRow {
                id: "1".to_owned(),
                text: AWKWARD.to_owned(),
                here,
            };
            let role = |worn| RoleRow {
                value: AWKWARD.to_owned(),
                text: AWKWARD.to_owned(),
                worn,
            };
            let page = AccountPage {
                head: head(),
                said: Some(AWKWARD.to_owned()),
                wrong: vec![Wrong {
                    field: "new",
                    text: AWKWARD.to_owned(),
                }],
                adult,
                name: AWKWARD.to_owned(),
                email: adult.then(|| AWKWARD.to_owned()),
                roles: vec![role(true), role(false)],
                sign_ins: vec![row(true), row(false)],
                lasts: "",
                password_hint: "",
                kept: "",
            };
            let page = page.render().unwrap();
            sound(&page);
            assert_eq!(page.contains("Another password"), adult);
        }
    }
}
