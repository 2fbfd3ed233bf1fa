//! The page of other ways to have a part sooner.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_records::stored::{Change, PledgedAlternative};
use partpledge_units::time::Minute;
use partpledge_workshop::Session;
use partpledge_workshop::sending::Choices;

use crate::pages::part::detail;
use crate::who::Head;
use crate::words;

/// What a team should know before it takes another plastic.
pub(crate) const OTHER_PLASTIC: &str = "Another plastic bends, breaks and feels different. Ask your mentor whether it will do for this part.";

/// A way that could be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Way {
    pub(crate) what: String,
    pub(crate) when: String,
    pub(crate) in_ten: i64,
    /// What the team should know before it takes it.
    pub(crate) mind: &'static str,
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
    pub(crate) then: &'static str,
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
            (Some(at), Some(chance)) => {
                let by = words::by(zone, at, session.minute());
                let sure = words::in_ten(chance);
                format!("{part}, {what}. As it is you have it {by}, {sure} in 10.")
            }
            _ => format!("{part}, {what}. As it was sent, no day can be promised for it."),
        };
        let kind = match choices.arrival {
            Some(_) => "quicker",
            None => "other",
        };
        let title = match choices.others.len() {
            0 => format!("There is no {kind} way just now"),
            1 => format!("There is one {kind} way"),
            n => format!("There are {n} {kind} ways"),
        };
        let ways = choices.others.iter().enumerate();
        let ways = ways.filter_map(|(i, other)| way(session, other, &format!("{key}-{i}")));
        Self {
            number: listed.request.number,
            title,
            lead: as_it_is,
            then: if choices.promised {
                "Choosing one ends the promise that you have now, once the new one is given."
            } else {
                "Choosing one gives you its promise."
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
            OTHER_PLASTIC,
            format!("Take it in {code}"),
        ),
        Change::FewerFirst { first, by_min } => (
            "fewer-first",
            first.to_string(),
            *by_min,
            "The other copies become a part of their own on your list. Their day is promised after that of the first ones, and may differ from what stands here.",
            format!("Take {} first", words::copies(i64::from(*first))),
        ),
        Change::Fetch(school) => (
            "fetch",
            school.clone(),
            other.arrival_min,
            "Somebody of your team must go there while the school is open, with the code of the box.",
            "We will fetch it".to_owned(),
        ),
    };
    Some(Way {
        what: words::capital(&other.what),
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
            mind: "Ask.",
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
                then: "Choosing one gives you its promise.",
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
