//! How programs ask: a page for people.

use askama::Template;

use crate::who::Head;

/// The page.
#[derive(Template)]
#[template(path = "api.html")]
pub(crate) struct ApiPage {
    pub(crate) head: Head,
    /// Of this site, as it was asked for.
    pub(crate) address: String,
    pub(crate) signed_in: bool,
    /// Address and what it is for.
    pub(crate) rows: Vec<(String, &'static str)>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_page_for_people_renders_from_its_samples() {
        for signed_in in [true, false] {
            let page = ApiPage {
                head: head(),
                address: "http://localhost:8717".to_owned(),
                signed_in,
                rows: vec![(AWKWARD.to_owned(), "What for")],
            };
            sound(&page.render().unwrap());
        }
    }
}
