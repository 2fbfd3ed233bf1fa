//! Pages as structs that bring their own samples.

pub(crate) mod account;
pub(crate) mod api;
pub(crate) mod bench;
pub(crate) mod box_label;
pub(crate) mod boxes;
pub(crate) mod closed;
pub(crate) mod data;
pub(crate) mod entry;
pub(crate) mod found;
pub(crate) mod hub;
pub(crate) mod inspect;
pub(crate) mod judgement;
pub(crate) mod layer;
pub(crate) mod load_step;
pub(crate) mod machines;
pub(crate) mod notices;
pub(crate) mod otherwise;
pub(crate) mod outbox;
pub(crate) mod part;
pub(crate) mod parts;
pub(crate) mod people;
pub(crate) mod plain;
pub(crate) mod plate;
pub(crate) mod printers;
pub(crate) mod program;
pub(crate) mod promises;
pub(crate) mod recalls;
pub(crate) mod region;
pub(crate) mod review;
pub(crate) mod season_days;
pub(crate) mod send;
pub(crate) mod shares;
pub(crate) mod sizes;
pub(crate) mod so_far;
pub(crate) mod spares;
pub(crate) mod spool;
pub(crate) mod spools;
pub(crate) mod takes;
pub(crate) mod ticket;
pub(crate) mod told;
pub(crate) mod turn;
pub(crate) mod unit_ask;
mod verdict;
pub(crate) mod ways;
pub(crate) mod what_if;

macro_rules! glyphs {
    ($($name:literal),+ $(,)?) => {
        /// A glyph of the look, to be written into a page as it is: it takes the text's ink.
        pub(crate) fn glyph(name: &str) -> &'static str {
            match name {
                $($name => include_str!(concat!("../glyphs/", $name, ".svg")),)+
                _ => "",
            }
        }

        #[cfg(test)]
        const GLYPHS: &[&str] = &[$($name),+];
    };
}

glyphs![
    "box",
    "broken",
    "clear",
    "given",
    "hand",
    "kept",
    "load",
    "look",
    "measure",
    "night",
    "offline",
    "pen",
    "risk",
    "send",
    "stop",
    "withdrawn",
];

#[cfg(test)]
pub(crate) mod samples {
    use crate::who::{Files, Head, NavItem, NoticesItem};

    /// A head for samples.
    pub(crate) fn head() -> Head {
        Head {
            place: "Ambrel Valley, Tidewheel League".to_owned(),
            nav: vec![NavItem {
                href: "/parts".to_owned(),
                text: "Your parts".to_owned(),
                here: true,
                waiting: 2,
            }],
            notices: Some(NoticesItem {
                many: 3,
                here: false,
            }),
            looks_as: "You are Otter, student of Newt Works.".to_owned(),
            signed_in: Some(true),
            made: "Tuesday 9 March 2027, 16:52".to_owned(),
            live: Some(7),
            files: Files::embedded(),
        }
    }

    /// What no name may do to a page.
    pub(crate) const AWKWARD: &str = "<script>alert(1)</script> & a \"very\" long name indeed";

    /// A page that is well formed as far as a test can tell without a browser.
    pub(crate) fn sound(page: &str) {
        assert!(page.starts_with("<!doctype html>"), "{page}");
        assert!(!page.contains("<script>alert"), "names are escaped");
        assert!(
            !page.contains("style=\""),
            "the policy allows no inline style"
        );
        assert_eq!(page.matches("<h1").count(), 1, "one heading says it all");
        for tag in [
            "section", "ul", "ol", "table", "form", "svg", "dl", "div", "figure", "p",
        ] {
            let opened = page.matches(&format!("<{tag}>")).count()
                + page.matches(&format!("<{tag} ")).count();
            let closed = page.matches(&format!("</{tag}>")).count();
            assert_eq!(opened, closed, "<{tag}> is closed as often as opened");
        }
    }

    #[test]
    fn every_glyph_is_a_drawing_for_eyes_only() {
        for name in super::GLYPHS {
            let glyph = super::glyph(name);
            assert!(
                glyph.contains("<svg") && glyph.contains("aria-hidden"),
                "{name}"
            );
        }
        assert_eq!(super::glyph("no such glyph"), "");
    }
}
