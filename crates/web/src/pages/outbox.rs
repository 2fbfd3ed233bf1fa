//! The coordinator's page of messages that go out by e-mail, or would.

use askama::Template;

use crate::who::Head;

/// A message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct MessageRow {
    pub(crate) id: String,
    pub(crate) to: String,
    pub(crate) address: String,
    /// Which kind of message, and when it was made.
    pub(crate) made: String,
    pub(crate) state: String,
    /// Why the last try failed.
    pub(crate) why: Option<String>,
    pub(crate) subject: String,
    pub(crate) body: String,
    pub(crate) given_up: bool,
}

/// The page.
#[derive(Template)]
#[template(path = "outbox.html")]
pub(crate) struct OutboxPage {
    pub(crate) head: Head,
    /// Whether there is a mail server.
    pub(crate) on: bool,
    pub(crate) rows: Vec<MessageRow>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_outbox_renders_from_its_samples_empty_and_full_on_and_off() {
        for (on, many) in [(false, 0), (false, 2), (true, 2)] {
            let row = MessageRow {
                id: "1".to_owned(),
                to: AWKWARD.to_owned(),
                address: AWKWARD.to_owned(),
                made: AWKWARD.to_owned(),
                state: AWKWARD.to_owned(),
                why: Some(AWKWARD.to_owned()),
                subject: AWKWARD.to_owned(),
                body: AWKWARD.to_owned(),
                given_up: true,
            };
            let page = OutboxPage {
                head: head(),
                on,
                rows: vec![row; many],
            };
            let page = page.render().unwrap();
            sound(&page);
            assert_eq!(page.contains("E-mail is off"), !on);
            assert_eq!(page.contains("/outbox/1/again"), on, "when there is a way");
        }
    }
}
