//! The page of other ways to have a part sooner.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_records::stored::{Change, PledgedAlternative};
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::sending::Choices;

use crate::pages::part::detail;
use crate::who::Head;
use crate::words;

/// What a team should know before it takes another plastic.
pub(crate) fn other_plastic() -> String {
    say!("part-other-plastic")
}

/// A way that could be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Way {
    pub(crate) what: String,
    pub(crate) when: String,
    pub(crate) in_ten: i64,
    /// What the team should know before it takes it.
    pub(crate) mind: String,
    pub(crate) button: String,
    pub(crate) kind: &'static str,
    pub(crate) value: String,
    pub(crate) by: i64,
    pub(crate) key: String,
}

/// The page of other ways.
#[derive(Template)]
#[template(path = "otherwise.html")]
pub(crate) struct OtherwisePage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// What choosing does to what there is.
    pub(crate) then: String,
    pub(crate) ways: Vec<Way>,
}

impl OtherwisePage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        listed: &ListedRequest,
        choices: &Choices,
        key: &str,
    ) -> Self {
        let zone = &session.terrain.zone;
        let part = words::capital(&listed.part);
        let what = detail(listed);
        let as_it_is = match (choices.arrival, choices.probability) {
            (Some(at), Some(chance)) => say!(
                "part-as-it-is",
                part = part,
                what = what,
                by = words::by(zone, at, session.minute()),
                n = words::in_ten(chance)
            ),
            (Some(at), None) => say!(
                "part-as-things-stand",
                part = part,
                what = what,
                by = words::by(zone, at, session.minute())
            ),
            _ => say!("part-as-it-is-none", part = part, what = what),
        };
        let n = choices.others.len();
        let title = match choices.arrival {
            Some(_) => say!("part-quicker-ways", n = n),
            None => say!("part-other-ways", n = n),
        };
        let ways = choices.others.iter().enumerate();
        let ways = ways.filter_map(|(i, other)| way(session, other, &format!("{key}-{i}")));
        Self {
            number: listed.request.number,
            title,
            lead: as_it_is,
            then: if choices.promised {
                say!("part-choosing-ends")
            } else {
                say!("part-choosing-gives")
            },
            ways: ways.collect(),
            head,
        }
    }
}

fn way(session: &Session, other: &PledgedAlternative, key: &str) -> Option<Way> {
    let zone = &session.terrain.zone;
    let at = Minute(other.arrival_min);
    let (kind, value, by, mind, button) = match other.change.as_ref()? {
        Change::Material(code) => (
            "material",
            code.clone(),
            other.arrival_min,
            other_plastic(),
            say!("part-take-in", material = code),
        ),
        Change::FewerFirst { first, by_min } => (
            "fewer-first",
            first.to_string(),
            *by_min,
            say!("part-fewer-first-mind"),
            say!("part-take-first", n = *first),
        ),
        Change::Fetch(school) => (
            "fetch",
            school.clone(),
            other.arrival_min,
            say!("part-fetch-mind"),
            say!("part-fetch"),
        ),
    };
    Some(Way {
        what: words::capital(&other.what.to_string()),
        when: format!("{}, {}", zone.day(at), zone.clock(at)),
        in_ten: words::in_ten(other.probability),
        mind,
        button,
        kind,
        value,
        by,
        key: key.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn other_ways_render_from_a_sample_and_from_none() {
        let way = Way {
            what: AWKWARD.to_owned(),
            when: "Thursday 11 March, 15:40".to_owned(),
            in_ten: 9,
            mind: "Ask.".to_owned(),
            button: "Take it in PETG".to_owned(),
            kind: "material",
            value: AWKWARD.to_owned(),
            by: 1,
            key: "0123-4567".to_owned(),
        };
        for ways in [vec![way], Vec::new()] {
            let none = ways.is_empty();
            let made = OtherwisePage {
                head: head(),
                number: 7,
                title: "There is one quicker way".to_owned(),
                lead: "As it is.".to_owned(),
                then: "Choosing one gives you its promise.".to_owned(),
                ways,
            };
            let made = made.render().unwrap();
            sound(&made);
            assert_eq!(
                made.contains("<form method=\"post\" action=\"/parts/7/otherwise\""),
                !none
            );
        }
    }
}
