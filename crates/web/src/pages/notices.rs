//! One's own notices.

use askama::Template;

use crate::who::Head;

/// A notice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct NoticeRow {
    pub(crate) text: String,
    /// The page that it leads to.
    pub(crate) href: String,
    pub(crate) when: String,
    /// Whether it was not seen yet.
    pub(crate) new: bool,
}

/// Notices in another of one's roles.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ElseRow {
    pub(crate) role: String,
    /// How many were not seen.
    pub(crate) many: usize,
}

/// The page.
#[derive(Template)]
#[template(path = "notices.html")]
pub(crate) struct NoticesPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    /// Number of the last notice shown.
    pub(crate) upto: i64,
    pub(crate) any_new: bool,
    pub(crate) rows: Vec<NoticeRow>,
    pub(crate) elsewhere: Vec<ElseRow>,
    /// How many newer ones are not shown yet: they come when these were seen.
    pub(crate) newer: usize,
    /// How many older ones are not shown.
    pub(crate) more: usize,
    pub(crate) kept_days: i64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn notices_render_from_their_samples_empty_and_full() {
        for many in [0, 2] {
            let row = NoticeRow {
                text: AWKWARD.to_owned(),
                href: "/parts/1".to_owned(),
                when: AWKWARD.to_owned(),
                new: true,
            };
            let elsewhere = ElseRow {
                role: AWKWARD.to_owned(),
                many,
            };
            let page = NoticesPage {
                head: head(),
                title: AWKWARD.to_owned(),
                upto: 7,
                any_new: many > 0,
                rows: vec![row; many],
                elsewhere: vec![elsewhere; many],
                newer: many,
                more: many,
                kept_days: 60,
            };
            let page = page.render().unwrap();
            sound(&page);
            assert_eq!(page.contains("I have seen them"), many > 0);
            assert_eq!(page.contains("2 newer ones"), many > 0);
            assert!(page.contains("3<span class=\"hush\"> new"), "in the head");
        }
    }
}
