//! The page on which a team asks for spares at a meeting.

use askama::Template;
use partpledge_planning_model::Window;
use partpledge_records::ListedRequest;
use partpledge_records::stored::Change;
use partpledge_units::time::Minute;
use partpledge_words::{Said, say};
use partpledge_workshop::Session;
use partpledge_workshop::sending::spares::{SpareOffer, SparesBench, WhyNot};

use crate::pages::otherwise::other_plastic;
use crate::who::Head;
use crate::words;

/// Spares that could be had, as a form with one button.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Offered {
    pub(crate) what: String,
    pub(crate) when: String,
    pub(crate) in_ten: i64,
    /// What the team should know before it takes them.
    pub(crate) mind: String,
    pub(crate) button: String,
    /// Another plastic; empty for the part's own.
    pub(crate) material: String,
    pub(crate) by: i64,
    pub(crate) key: String,
}

/// A bench, with what could be had there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct AtBench {
    pub(crate) school: String,
    pub(crate) title: String,
    pub(crate) hours: String,
    /// Why nothing can be promised in the part's own plastic.
    pub(crate) not: Option<String>,
    pub(crate) offered: Vec<Offered>,
}

/// The page of spares.
#[derive(Template)]
#[template(path = "spares.html")]
pub(crate) struct SparesPage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) title: String,
    pub(crate) copies: u32,
    pub(crate) most: u32,
    pub(crate) benches: Vec<AtBench>,
}

impl SparesPage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        (listed, copies): (&ListedRequest, u32),
        found: &[SpareOffer],
        key: &str,
    ) -> Self {
        let zone = &session.terrain.zone;
        let bench = |(n, offer): (usize, &SpareOffer)| {
            let at = |minute: i64| zone.clock(Minute(minute));
            let mut offered = Vec::new();
            if let Ok(own) = &offer.own {
                offered.push(Offered {
                    what: say!("spares-of", n = copies, material = listed.request.material),
                    when: at(own.arrival_min),
                    in_ten: words::in_ten(own.probability),
                    mind: String::new(),
                    button: say!("spares-print", n = copies),
                    material: String::new(),
                    by: own.arrival_min,
                    key: format!("{key}-{n}"),
                });
            }
            offered.extend(offer.others.iter().enumerate().filter_map(|(i, other)| {
                let Some(Change::Material(code)) = &other.change else {
                    return None;
                };
                Some(Offered {
                    what: say!("spares-of", n = copies, material = code),
                    when: at(other.arrival_min),
                    in_ten: words::in_ten(other.probability),
                    mind: other_plastic(),
                    button: say!("spares-print-in", n = copies, material = code),
                    material: code.clone(),
                    by: other.arrival_min,
                    key: format!("{key}-{n}-{i}"),
                })
            }));
            AtBench {
                school: offer.bench.school.clone(),
                title: words::capital(&format!("{}, {}", offer.bench.at, offer.bench.bench)),
                hours: hours(session, &offer.bench),
                not: offer.own.as_ref().err().map(|why| {
                    let own = &listed.request.material;
                    match why {
                        WhyNot::NoPrinter => say!("spares-no-printer", material = own),
                        WhyNot::NoTime => {
                            let closes = zone.clock(offer.bench.closes());
                            say!("spares-no-time", material = own, closes = closes)
                        }
                    }
                }),
                offered,
            }
        };
        Self {
            number: listed.request.number,
            title: say!("spares-title", part = listed.part),
            copies,
            most: session.terrain.file.limits.copies,
            benches: found.iter().enumerate().map(bench).collect(),
            head,
        }
    }
}

/// `The bench is open today from 08:00 to 12:00 and from 13:00 to 17:00.`
pub(crate) fn hours(session: &Session, bench: &SparesBench) -> String {
    let zone = &session.terrain.zone;
    let one = |window: &Window| {
        let (from, until) = (zone.clock(window.from), zone.clock(window.until));
        partpledge_words::said!("spares-window", from = from, until = until)
    };
    let and = |before: Said, last: Said| {
        partpledge_words::said!("common-and", before = before, last = last)
    };
    let open = bench.open.iter().map(one).reduce(and);
    open.map_or_else(String::new, |hours| say!("spares-hours", hours = hours))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn spares_render_with_an_offer_with_another_plastic_and_with_none() {
        let offered = |material: &str, mind: &str| Offered {
            what: AWKWARD.to_owned(),
            when: "11:40".to_owned(),
            in_ten: 9,
            mind: mind.to_owned(),
            button: "Print 2 copies".to_owned(),
            material: material.to_owned(),
            by: 1,
            key: "0123-4567".to_owned(),
        };
        let bench = |not: Option<&str>, offered| AtBench {
            school: AWKWARD.to_owned(),
            title: AWKWARD.to_owned(),
            hours: "The bench is open today from 08:00 to 17:00.".to_owned(),
            not: not.map(str::to_owned),
            offered,
        };
        let made = SparesPage {
            head: head(),
            number: 7,
            title: "Spares of the arm".to_owned(),
            copies: 2,
            most: 100,
            benches: vec![
                bench(None, vec![offered("", "")]),
                bench(Some(AWKWARD), vec![offered("PETG", "Ask.")]),
                bench(Some(AWKWARD), Vec::new()),
            ],
        };
        let made = made.render().unwrap();
        sound(&made);
        let forms = "<form method=\"post\" action=\"/parts/7/spare\"";
        assert_eq!(made.matches(forms).count(), 2);
        assert!(made.contains("name=\"material\" value=\"PETG\""));
    }
}
