//! Pages as structs that bring their own samples.

use askama::Template;
use partpledge_records::Pledge;
use partpledge_records::stored::PledgeDocument;
use partpledge_units::cast::round_i64;
use partpledge_units::local::Zone;
use partpledge_units::time::Minute;

/// What the head of every page says.
#[derive(Clone, Debug)]
pub(crate) struct Head {
    pub(crate) region: String,
    pub(crate) league: String,
}

/// All pledges of the region.
#[derive(Template)]
#[template(path = "pledges.html")]
pub(crate) struct PledgesPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) open: Vec<Line>,
    pub(crate) past: Vec<Line>,
}

/// One pledge in a list.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub(crate) number: i64,
    pub(crate) part: String,
    pub(crate) detail: String,
    pub(crate) when: String,
    pub(crate) place: String,
    pub(crate) in_ten: i64,
}

/// One pledge as its ticket.
#[derive(Template)]
#[template(path = "pledge.html")]
pub(crate) struct PledgePage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) number: i64,
    pub(crate) given: String,
    pub(crate) day: String,
    pub(crate) clock: String,
    pub(crate) place: String,
    pub(crate) in_ten: i64,
    pub(crate) percent: String,
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) plates: Vec<PlateRow>,
    pub(crate) legs: Vec<String>,
    pub(crate) reasons: Vec<String>,
    pub(crate) others: Vec<String>,
}

/// One of the ten strokes of a chance, from the bottom up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stroke {
    pub(crate) y: i64,
    pub(crate) inked: bool,
}

/// A plate in the ticket's table.
#[derive(Clone, Debug)]
pub(crate) struct PlateRow {
    pub(crate) plate: u64,
    pub(crate) copies: u32,
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) from: String,
    pub(crate) until: String,
}

/// A page that says what went wrong.
#[derive(Template)]
#[template(path = "trouble.html")]
pub(crate) struct TroublePage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) what_to_do: String,
}

/// Times in ten, rounded down: never more hope than there is.
fn in_ten(probability: f64) -> i64 {
    round_i64((probability * 10.0 + 1e-9).floor()).unwrap_or(0)
}

/// `1 copy in PETG`, `3 copies in PLA`.
fn copies(document: &PledgeDocument) -> String {
    let word = if document.copies == 1 {
        "copy"
    } else {
        "copies"
    };
    format!("{} {word} in {}", document.copies, document.material)
}

fn strokes(in_ten: i64) -> Vec<Stroke> {
    (0..10)
        .map(|i| Stroke {
            y: 76 - 8 * i,
            inked: i < in_ten,
        })
        .collect()
}

impl PledgesPage {
    pub(crate) fn new(
        head: Head,
        zone: &Zone,
        pledges: &[(Pledge, PledgeDocument)],
        now: Minute,
    ) -> Self {
        let line = |(pledge, document): &(Pledge, PledgeDocument)| Line {
            number: pledge.plan_revision,
            part: document.part.clone(),
            detail: format!("{}, for {}", copies(document), document.team),
            when: format!(
                "{} by {}",
                zone.day(pledge.arrival),
                zone.clock(pledge.arrival)
            ),
            place: pledge.place.clone(),
            in_ten: in_ten(pledge.probability),
        };
        let mut sorted: Vec<&(Pledge, PledgeDocument)> = pledges.iter().collect();
        sorted.sort_by_key(|(pledge, _)| (pledge.arrival, pledge.plan_revision));
        let (past, open): (Vec<_>, Vec<_>) = sorted.into_iter().partition(|(p, _)| p.arrival < now);
        let title = match open.len() {
            0 => "No pledge is open.".to_owned(),
            1 => "One pledge is open.".to_owned(),
            n => format!("{n} pledges are open."),
        };
        let lead = open.first().map_or_else(
            || "Send a part from the command line, and it will be here.".to_owned(),
            |(pledge, document)| {
                format!(
                    "The next to arrive is {}, {} by {}.",
                    document.part,
                    zone.day(pledge.arrival),
                    zone.clock(pledge.arrival)
                )
            },
        );
        Self {
            head,
            title,
            lead,
            open: open.into_iter().map(line).collect(),
            past: past.into_iter().map(line).collect(),
        }
    }
}

impl PledgePage {
    pub(crate) fn new(head: Head, zone: &Zone, pledge: &Pledge, document: &PledgeDocument) -> Self {
        let short = |minute: i64| zone.short(Minute(minute));
        let ten = in_ten(pledge.probability);
        let plates = document.plates.iter().map(|p| PlateRow {
            plate: p.plate,
            copies: p.copies,
            printer: p.printer.clone(),
            host: p.host.clone(),
            from: short(p.start_min),
            until: short(p.end_min),
        });
        let legs = document.legs.iter().map(|leg| {
            let how = match leg.kind.as_str() {
                "counter" => "Over the counter at",
                "courier" => "Courier round from",
                _ => "To the meeting from",
            };
            format!(
                "{how} {}, {}; there {}.",
                leg.from,
                short(leg.leaves_min),
                short(leg.arrives_min)
            )
        });
        let others = document.alternatives.iter().map(|other| {
            format!(
                "{}: {}, {} in 10.",
                other.what,
                short(other.arrival_min),
                in_ten(other.probability)
            )
        });
        Self {
            head,
            title: format!("{} is promised.", document.part),
            lead: format!("{}, for {}.", copies(document), document.team),
            number: pledge.plan_revision,
            given: short(document.asked_min),
            day: zone.day(pledge.arrival),
            clock: zone.clock(pledge.arrival),
            place: pledge.place.clone(),
            in_ten: ten,
            percent: format!("{:.1}", pledge.probability * 100.0),
            strokes: strokes(ten),
            plates: plates.collect(),
            legs: legs.collect(),
            reasons: document.reasons.clone(),
            others: others.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use partpledge_records::stored::{PledgedAlternative, PledgedLeg, PledgedPlate};
    use partpledge_units::ids::{IdSource, PledgeId, RequestId};
    use partpledge_units::time::EventMs;

    use super::*;

    fn head() -> Head {
        Head {
            region: "Ambrel Valley".to_owned(),
            league: "Tidewheel League".to_owned(),
        }
    }

    fn sample(probability: f64, part: &str) -> (Pledge, PledgeDocument) {
        let mut ids = IdSource::seeded(1);
        let at = EventMs(1_804_600_000_000);
        let arrival = Minute(30_080_080);
        let document = PledgeDocument {
            schema: 1,
            team: "Newt Works".to_owned(),
            part: part.to_owned(),
            copies: 2,
            material: "PETG".to_owned(),
            arrival_min: arrival.0,
            probability,
            nominal_min: arrival.0 - 100,
            place: "Brindlemoor School, front desk".to_owned(),
            plates: vec![PledgedPlate {
                plate: 7,
                host: "Dunmarrow Technical".to_owned(),
                printer: "Curlew".to_owned(),
                copies: 2,
                start_min: arrival.0 - 900,
                end_min: arrival.0 - 600,
                arrives_min: arrival.0,
            }],
            legs: vec![PledgedLeg {
                kind: "courier".to_owned(),
                from: "Dunmarrow Technical".to_owned(),
                to: "Brindlemoor School, front desk".to_owned(),
                leaves_min: arrival.0 - 300,
                arrives_min: arrival.0,
            }],
            reasons: vec!["The box waits for the round.".to_owned()],
            alternatives: vec![PledgedAlternative {
                what: "on 2 plates".to_owned(),
                arrival_min: arrival.0 + 60,
                probability: 0.95,
            }],
            asked_min: arrival.0 - 1_000,
            expires_min: arrival.0 - 940,
            plan_revision: 4,
        };
        let pledge = Pledge {
            id: PledgeId::fresh(&mut ids, at),
            request: RequestId::fresh(&mut ids, at),
            arrival,
            place: document.place.clone(),
            probability,
            plan_revision: 4,
            recorded_at: at,
            document: String::new(),
        };
        (pledge, document)
    }

    #[test]
    fn every_page_renders_from_its_samples_awkward_ones_included() {
        let zone = Zone::named("Europe/Stockholm").unwrap();
        let awkward = sample(
            0.999,
            "<script>alert(1)</script> a very long name of a part indeed",
        );
        let (pledge, document) = sample(0.925, "float-arm-bracket");
        let page = PledgePage::new(head(), &zone, &pledge, &document)
            .render()
            .unwrap();
        assert!(
            page.contains("9&nbsp;in&nbsp;10") && page.contains("Curlew") && page.contains("No. 4")
        );
        let odd = PledgePage::new(head(), &zone, &awkward.0, &awkward.1)
            .render()
            .unwrap();
        assert!(!odd.contains("<script>"), "names are escaped");
        assert!(
            odd.contains("9&nbsp;in&nbsp;10"),
            "999 in 1000 is not ten in ten"
        );
        let list = |pledges: &[(Pledge, PledgeDocument)], now| {
            PledgesPage::new(head(), &zone, pledges, now)
                .render()
                .unwrap()
        };
        let one = list(&[(pledge.clone(), document.clone())], Minute(0));
        assert!(one.contains("One pledge is open.") && one.contains("/pledges/4"));
        let over = list(&[(pledge, document)], Minute(99_999_999));
        assert!(over.contains("No pledge is open.") && over.contains("/pledges/4"));
        let trouble = TroublePage {
            head: head(),
            title: "There is no pledge 12.".to_owned(),
            what_to_do: "Look in the list.".to_owned(),
        };
        assert!(trouble.render().unwrap().contains("There is no pledge 12."));
    }
}
