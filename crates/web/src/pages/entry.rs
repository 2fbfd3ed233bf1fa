//! Pages to come in by, codes and links that are shown once, and pages before somebody leaves.

use askama::Template;
use partpledge_words::say;

use super::send::Wrong;
use crate::who::Head;

/// A field of a form to come in by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Field {
    pub(crate) name: &'static str,
    pub(crate) label: String,
    pub(crate) hint: String,
    /// `text`, `email` or `password`.
    pub(crate) kind: &'static str,
    /// What was typed; never of a password.
    pub(crate) value: String,
    /// What browsers may fill in.
    pub(crate) fills: &'static str,
    /// Whether it is a code.
    pub(crate) capitals: bool,
}

impl Field {
    pub(crate) fn text(name: &'static str, label: &str, hint: &str, value: &str) -> Self {
        Self {
            name,
            label: label.to_owned(),
            hint: hint.to_owned(),
            kind: "text",
            value: value.to_owned(),
            fills: "off",
            capitals: false,
        }
    }

    pub(crate) fn code(name: &'static str, label: &str, hint: &str, value: &str) -> Self {
        Self {
            capitals: true,
            ..Self::text(name, label, hint, value)
        }
    }

    pub(crate) fn email(hint: &str, value: &str) -> Self {
        Self {
            kind: "email",
            fills: "username",
            ..Self::text("email", &say!("entry-email"), hint, value)
        }
    }

    pub(crate) fn password(label: &str, hint: &str, fills: &'static str) -> Self {
        Self {
            kind: "password",
            fills,
            ..Self::text("password", label, hint, "")
        }
    }
}

/// Another way in: `You have no code? Ask your mentor.`
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Also {
    pub(crate) before: String,
    pub(crate) href: &'static str,
    pub(crate) text: String,
}

/// A form to come in by.
#[derive(Template)]
#[template(path = "entry.html")]
pub(crate) struct EntryPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: Vec<String>,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) action: String,
    pub(crate) fields: Vec<Field>,
    /// Empty for a page without a form.
    pub(crate) button: String,
    /// Whether a passkey will do as well.
    pub(crate) passkey: bool,
    pub(crate) also: Vec<Also>,
}

impl EntryPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

/// What is wrong with a field.
pub(crate) fn wrong_with<'a>(wrong: &'a [Wrong], field: &str) -> Option<&'a str> {
    let mut found = wrong.iter().filter(|one| one.field == field);
    found.next().map(|one| one.text.as_str())
}

/// A code or link, shown once.
#[derive(Template)]
#[template(path = "shown.html")]
pub(crate) struct ShownPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) label: String,
    pub(crate) value: String,
    pub(crate) is_link: bool,
    pub(crate) notes: Vec<String>,
    pub(crate) next: String,
    pub(crate) next_text: String,
}

/// What goes and what stays when somebody is erased.
#[derive(Template)]
#[template(path = "farewell.html")]
pub(crate) struct FarewellPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) wrong: Option<String>,
    pub(crate) goes: Vec<String>,
    pub(crate) stays: Vec<String>,
    pub(crate) export: String,
    pub(crate) action: String,
    pub(crate) button: String,
    pub(crate) back: String,
    pub(crate) back_text: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn a_form_keeps_what_was_typed_but_no_password_and_names_what_is_wrong() {
        let page = EntryPage {
            head: head(),
            title: AWKWARD.to_owned(),
            lead: vec![AWKWARD.to_owned()],
            wrong: vec![Wrong {
                field: "email",
                text: AWKWARD.to_owned(),
            }],
            action: "/sign-in".to_owned(),
            fields: vec![
                Field::email(AWKWARD, AWKWARD),
                Field::password("Password", "", "current-password"),
                Field::code("code", "Code", "", "KMTR"),
            ],
            button: "Sign in".to_owned(),
            passkey: true,
            also: vec![Also {
                before: "A student?".to_owned(),
                href: "/join",
                text: "Join".to_owned(),
            }],
        };
        let page = page.render().unwrap();
        sound(&page);
        for text in [
            "<a href=\"#email\">",
            "value=\"&#60;script",
            "type=\"password\" value=\"\"",
            "aria-invalid=\"true\"",
            "autocapitalize=\"characters\"",
            // Only a script can ask a device: without one the way is not there.
            "data-passkey=\"/sign-in/passkey/ask\" hidden>",
        ] {
            assert!(page.contains(text), "{text}");
        }
    }

    #[test]
    fn a_code_shown_once_and_a_page_before_leaving_render_from_their_samples() {
        for is_link in [false, true] {
            let page = ShownPage {
                head: head(),
                title: AWKWARD.to_owned(),
                lead: AWKWARD.to_owned(),
                label: "Your own code".to_owned(),
                value: "KMTRC-7WQXF-DHJPN".to_owned(),
                is_link,
                notes: vec![AWKWARD.to_owned()],
                next: "/parts".to_owned(),
                next_text: "To your parts".to_owned(),
            };
            sound(&page.render().unwrap());
        }
        let page = FarewellPage {
            head: head(),
            title: AWKWARD.to_owned(),
            wrong: Some(AWKWARD.to_owned()),
            goes: vec![AWKWARD.to_owned()],
            stays: vec![AWKWARD.to_owned()],
            export: "/account/export.json".to_owned(),
            action: "/account/leave".to_owned(),
            button: "Erase me".to_owned(),
            back: "/account".to_owned(),
            back_text: "Stay".to_owned(),
        };
        sound(&page.render().unwrap());
    }
}
