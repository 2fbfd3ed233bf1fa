//! Pages of words: start, how it works, trouble, a question before something is done.

use askama::Template;

use crate::who::Head;

/// Choosing who to look as.
#[derive(Template)]
#[template(path = "start.html")]
pub(crate) struct StartPage {
    pub(crate) head: Head,
    pub(crate) region: String,
    pub(crate) teams: Vec<Choice>,
    pub(crate) hosts: Vec<Choice>,
}

/// Somebody to look as.
#[derive(Clone, Debug)]
pub(crate) struct Choice {
    pub(crate) value: String,
    pub(crate) text: String,
    pub(crate) chosen: bool,
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
    pub(crate) button: &'static str,
    pub(crate) back: String,
    pub(crate) back_text: &'static str,
    pub(crate) key: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn pages_of_words_render_from_their_samples() {
        let choice = |value: &str| Choice {
            value: value.to_owned(),
            text: AWKWARD.to_owned(),
            chosen: true,
        };
        let start = StartPage {
            head: head(),
            region: "Ambrel Valley".to_owned(),
            teams: vec![choice("team:Newt Works")],
            hosts: vec![choice("host:brindlemoor")],
        };
        sound(&start.render().unwrap());
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
            button: "Yes, withdraw it",
            back: "/parts/1".to_owned(),
            back_text: "No, keep it",
            key: "k".to_owned(),
        };
        sound(&sure.render().unwrap());
    }
}
