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

/// A program's token that works.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TokenRow {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) text: String,
}

/// A passkey.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PasskeyRow {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) text: String,
}

/// Something that can be had by e-mail.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct MailRow {
    pub(crate) value: &'static str,
    pub(crate) text: String,
    pub(crate) chosen: bool,
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
    pub(crate) tokens: Vec<TokenRow>,
    /// The oldest first; of people with an e-mail address alone.
    pub(crate) passkeys: Vec<PasskeyRow>,
    /// Whether one can be added at this address.
    pub(crate) passkeys_here: bool,
    /// What can be had by e-mail, for adults.
    pub(crate) mail: Vec<MailRow>,
    /// Whether the server sends any.
    pub(crate) mail_on: bool,
    pub(crate) lasts: String,
    pub(crate) password_hint: String,
    pub(crate) kept: String,
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
                tokens: vec![TokenRow {
                    id: "1".to_owned(),
                    name: AWKWARD.to_owned(),
                    text: AWKWARD.to_owned(),
                }],
                passkeys: vec![PasskeyRow {
                    id: "1".to_owned(),
                    name: AWKWARD.to_owned(),
                    text: AWKWARD.to_owned(),
                }],
                passkeys_here: true,
                mail: vec![MailRow {
                    value: "digest",
                    text: "One message".to_owned(),
                    chosen: true,
                }],
                mail_on: false,
                lasts: String::new(),
                password_hint: String::new(),
                kept: String::new(),
            };
            let page = page.render().unwrap();
            sound(&page);
            assert_eq!(page.contains("Another password"), adult);
            assert_eq!(page.contains("/account/passkeys/1/remove"), adult);
            let hidden = "data-passkey=\"/account/passkeys/ask\" data-passkey-make hidden>";
            assert_eq!(page.contains(hidden), adult, "a script shows it");
            assert_eq!(
                page.contains("What we send you"),
                adult,
                "students get none"
            );
        }
    }
}
