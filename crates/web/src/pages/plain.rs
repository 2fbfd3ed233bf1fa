//! Pages of words: start, how it works, trouble, a question before something is done.

use askama::Template;

use super::people::Choice;
use crate::who::Head;

/// Ways in.
#[derive(Template)]
#[template(path = "start.html")]
pub(crate) struct StartPage {
    pub(crate) head: Head,
    /// What was just done.
    pub(crate) notice: Option<String>,
    pub(crate) region: String,
    /// Whom one may try the demo as; only where it is the demo.
    pub(crate) demo: Option<Demo>,
}

/// Whom one may try the demo as.
#[derive(Clone, Debug)]
pub(crate) struct Demo {
    pub(crate) teams: Vec<Choice>,
    pub(crate) hosts: Vec<Choice>,
}

/// How a pledge is worked out.
#[derive(Template)]
#[template(path = "how.html")]
pub(crate) struct HowPage {
    pub(crate) head: Head,
    pub(crate) worlds: u64,
    pub(crate) prepare: String,
}

/// A page that says what went wrong.
#[derive(Template)]
#[template(path = "trouble.html")]
pub(crate) struct TroublePage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) what_to_do: String,
    pub(crate) home: &'static str,
}

/// A question before something that can't be undone.
#[derive(Template)]
#[template(path = "sure.html")]
pub(crate) struct SurePage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) action: String,
    pub(crate) button: String,
    pub(crate) back: String,
    pub(crate) back_text: String,
    pub(crate) key: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn pages_of_words_render_from_their_samples() {
        let choice = || Choice {
            value: "Newt Works".to_owned(),
            text: AWKWARD.to_owned(),
        };
        let demo = || Demo {
            teams: vec![choice()],
            hosts: vec![choice()],
        };
        for demo in [None, Some(demo())] {
            let tries = demo.is_some();
            let start = StartPage {
                notice: None,
                head: head(),
                region: "Ambrel Valley".to_owned(),
                demo,
            };
            let start = start.render().unwrap();
            sound(&start);
            assert_eq!(start.contains("/try-as"), tries);
        }
        let how = HowPage {
            head: head(),
            worlds: 400,
            prepare: "30 min".to_owned(),
        };
        let how = how.render().unwrap();
        sound(&how);
        assert!(how.contains("400") && how.contains("30 min"));
        let trouble = TroublePage {
            head: head(),
            title: AWKWARD.to_owned(),
            what_to_do: AWKWARD.to_owned(),
            home: "/parts",
        };
        sound(&trouble.render().unwrap());
        let sure = SurePage {
            head: head(),
            title: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            action: "/parts/1/withdraw".to_owned(),
            button: "Yes, withdraw it".to_owned(),
            back: "/parts/1".to_owned(),
            back_text: "No, keep it".to_owned(),
            key: "k".to_owned(),
        };
        sound(&sure.render().unwrap());
    }
}
