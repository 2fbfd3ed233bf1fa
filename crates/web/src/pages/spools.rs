//! Spools: of one host, with what to order and why; and of all hosts, short shelves first.

use askama::Template;
use partpledge_stock::{Delivery, State};
use partpledge_units::time::Minute;
use partpledge_workshop::Session;
use partpledge_workshop::spools::ordering::{Shelf, SpoolLine};

use crate::who::Head;
use crate::words;

/// A material on a shelf, with what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ShelfRow {
    pub(crate) host: String,
    pub(crate) code: String,
    pub(crate) material: String,
    pub(crate) here: String,
    pub(crate) coming: String,
    /// What to order, and why, in a sentence.
    pub(crate) says: String,
    pub(crate) short: bool,
}

/// A spool in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct SpoolRow {
    pub(crate) number: i64,
    pub(crate) what: String,
    pub(crate) left: String,
    pub(crate) state: String,
    pub(crate) dry: &'static str,
    pub(crate) damp: bool,
}

/// A delivery that was promised.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DeliveryRow {
    pub(crate) number: i64,
    pub(crate) says: String,
    pub(crate) late: bool,
    pub(crate) key: String,
}

/// What was typed into the forms, so that it is not lost.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    pub(crate) material: String,
    pub(crate) colour: String,
    pub(crate) spools: String,
    pub(crate) net_g: String,
    pub(crate) tare_g: String,
    pub(crate) donor: String,
    pub(crate) due: String,
}

/// The spools of a host.
#[derive(Template)]
#[template(path = "spools.html")]
pub(crate) struct SpoolsPage {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) host: String,
    pub(crate) title: String,
    pub(crate) shelves: Vec<ShelfRow>,
    pub(crate) spools: Vec<SpoolRow>,
    /// How many are used up or given away, and not listed.
    pub(crate) gone: usize,
    pub(crate) deliveries: Vec<DeliveryRow>,
    pub(crate) materials: Vec<String>,
    /// Whether a sponsor may be noted: that is for the coordinator.
    pub(crate) donors: bool,
    pub(crate) least_day: String,
    pub(crate) typed: Typed,
    /// What is wrong, and the form that it is about.
    pub(crate) wrong: Option<(&'static str, String)>,
    pub(crate) keys: [String; 2],
}

/// Every host's shelves, for the coordinator.
#[derive(Template)]
#[template(path = "all_spools.html")]
pub(crate) struct AllSpoolsPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) shelves: Vec<ShelfRow>,
    /// Code and name of every host.
    pub(crate) hosts: Vec<(String, String)>,
}

/// What a host's page is made of.
pub(crate) struct HostSpools<'a> {
    pub(crate) code: &'a str,
    pub(crate) host: String,
    pub(crate) shelves: Vec<Shelf>,
    pub(crate) lines: Vec<SpoolLine>,
    pub(crate) coming: Vec<&'a Delivery>,
    pub(crate) donors: bool,
    pub(crate) typed: Typed,
    pub(crate) wrong: Option<(&'static str, String)>,
}

impl SpoolsPage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        made_of: HostSpools<'_>,
        keys: &mut dyn FnMut() -> String,
    ) -> Self {
        let (zone, now) = (&session.terrain.zone, session.minute());
        let all = made_of.lines.len();
        let lines = made_of.lines.iter();
        let lines = lines.filter(|line| line.account.state.counts());
        let spools: Vec<SpoolRow> = lines.map(|line| row(session, line)).collect();
        let shelves: Vec<ShelfRow> = made_of.shelves.iter().map(shelf).collect();
        let materials = session.catalogue.materials.iter();
        let delivery = |one: &&Delivery| DeliveryRow {
            number: one.number,
            says: coming(session, one),
            late: one.due < now,
            key: keys(),
        };
        Self {
            head,
            code: made_of.code.to_owned(),
            title: title(&made_of.shelves, spools.len()),
            host: made_of.host,
            shelves,
            gone: all - spools.len(),
            spools,
            deliveries: made_of.coming.iter().map(delivery).collect(),
            materials: materials.map(|material| material.code.clone()).collect(),
            donors: made_of.donors,
            least_day: zone.date(now).to_string(),
            typed: made_of.typed,
            wrong: made_of.wrong,
            keys: [keys(), keys()],
        }
    }

    /// What is wrong with a form.
    fn wrong_with(&self, form: &str) -> Option<&str> {
        let wrong = self.wrong.as_ref().filter(|(about, _)| *about == form);
        wrong.map(|(_, text)| text.as_str())
    }
}

impl AllSpoolsPage {
    pub(crate) fn new(head: Head, session: &Session, shelves: &[Shelf]) -> Self {
        let file = &session.terrain.file;
        let hosts = file.hosts.iter().map(|host| {
            let school = file.school(&host.school);
            let name = school.map_or_else(String::new, |school| school.name.clone());
            (host.school.clone(), name)
        });
        let short = shelves.iter().filter(|shelf| orders(shelf) > 0).count();
        Self {
            head,
            title: match (shelves.len(), short) {
                (0, _) => "Nobody has told of any spool yet.".to_owned(),
                (_, 0) => "Every shelf that is counted has enough.".to_owned(),
                (_, n) => format!(
                    "{} to fill.",
                    words::capital(&words::spelled(n, "shelf is", "shelves are"))
                ),
            },
            shelves: shelves.iter().map(shelf).collect(),
            hosts: hosts.collect(),
        }
    }
}

fn orders(shelf: &Shelf) -> i64 {
    shelf.advice.map_or(0, |advice| advice.spools)
}

/// The answer first.
fn title(shelves: &[Shelf], spools: usize) -> String {
    let short = shelves.iter().filter(|shelf| orders(shelf) > 0);
    let short: Vec<String> = short
        .map(|shelf| {
            format!(
                "{} of {}",
                words::many(orders(shelf), "spool", "spools"),
                shelf.material
            )
        })
        .collect();
    match (short.as_slice(), spools) {
        ([], 0) => "No spools are counted here yet.".to_owned(),
        ([], _) => "There is enough on the shelf.".to_owned(),
        (some, _) => {
            let names: Vec<&str> = some.iter().map(String::as_str).collect();
            format!("Order {}.", crate::pages::bench::and(&names))
        }
    }
}

/// Grams, from a kilogram on in kilograms: `640 g`, `2.4 kg`.
pub(crate) fn weight(grams: f64) -> String {
    if grams < 999.5 {
        format!("{:.0} g", grams.max(0.0).floor())
    } else {
        format!("{:.1} kg", grams / 1_000.0)
    }
}

fn shelf(shelf: &Shelf) -> ShelfRow {
    let (here, coming) = (weight(shelf.here_g), weight(shelf.coming_g));
    let there = if shelf.coming_g > 0.0 {
        format!("{here} are here and {coming} come")
    } else {
        format!("{here} are here")
    };
    let short = orders(shelf) > 0;
    let says = match shelf.advice {
        None => "Nothing says that it is needed: no plate waits for it, and no run has used any."
            .to_owned(),
        Some(advice) if short => format!(
            "Order {}: {there}; {} are likely to be needed until an order comes ({} by the plan), and \
             with less than {} we would run short too often.",
            words::many(advice.spools, "spool", "spools"),
            weight(advice.expected_g),
            weight(shelf.planned_g),
            weight(advice.point_g),
        ),
        Some(advice) => format!(
            "Enough: {there}; order when it is less than {}.",
            weight(advice.point_g)
        ),
    };
    ShelfRow {
        host: shelf.host_name.clone(),
        code: shelf.host.clone(),
        material: shelf.material.clone(),
        here,
        coming: if shelf.coming_g > 0.0 {
            coming
        } else {
            "–".to_owned()
        },
        says,
        short,
    }
}

/// `on Teal, feeds plate 7`.
pub(crate) fn where_it_is(line: &SpoolLine) -> String {
    let state = match &line.account.state {
        State::Sealed => "in its bag".to_owned(),
        State::Open => "open, on the shelf".to_owned(),
        State::Loaded(printer) => format!("on {printer}"),
        State::Empty => "used up".to_owned(),
        State::GivenAway => "given away".to_owned(),
    };
    match line.feeds {
        Some((plate, grams)) => format!("{state}, plate {plate} takes {}", weight(grams)),
        None => state,
    }
}

/// Whether a spool is dry, in a few words.
pub(crate) fn dryness(session: &Session, line: &SpoolLine) -> &'static str {
    let material = &line.account.spool.roll.material;
    let minds = partpledge_workshop::spools::damp_after_days(&session.catalogue, material);
    match (line.damp, line.account.opened_at, minds) {
        (true, _, _) => "dry it first",
        (false, None, _) => "in its bag",
        (false, Some(_), None) => "does not mind",
        (false, Some(_), Some(_)) => "dry",
    }
}

fn row(session: &Session, line: &SpoolLine) -> SpoolRow {
    let roll = &line.account.spool.roll;
    SpoolRow {
        number: line.account.spool.number,
        what: format!("{} {}", roll.colour, roll.material)
            .trim()
            .to_owned(),
        left: weight(line.account.left_g()),
        state: where_it_is(line),
        dry: dryness(session, line),
        damp: line.damp,
    }
}

fn coming(session: &Session, one: &Delivery) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let what = format!(
        "{} of {}, {} each",
        words::many(one.spools, "spool", "spools"),
        one.material,
        weight(partpledge_units::cast::int_f64(one.net_g))
    );
    let from = if one.donor.is_empty() {
        String::new()
    } else {
        format!(", from {}", one.donor)
    };
    // It is counted on from the morning after the day that was promised.
    let day = words::day(zone, Minute(one.due.0 - 1), now);
    if one.due < now {
        format!("{what}{from}: should have come {day}. Say whether it is here.")
    } else {
        format!("{what}{from}: comes {day}.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};
    use partpledge_stock::Advice;

    fn shelf_of(here_g: f64, advice: Option<Advice>) -> Shelf {
        Shelf {
            host: "brindlemoor".to_owned(),
            host_name: AWKWARD.to_owned(),
            material: "PETG".to_owned(),
            here_g,
            coming_g: 0.0,
            planned_g: 300.0,
            spool_g: 1_000,
            advice,
        }
    }

    fn advice(spools: i64) -> Advice {
        Advice {
            expected_g: 900.0,
            point_g: 1_240.0,
            up_to_g: 2_000.0,
            spools,
        }
    }

    #[test]
    fn what_to_order_and_why_is_one_sentence() {
        let short = shelf(&shelf_of(640.4, Some(advice(2))));
        assert!(short.short);
        assert_eq!(
            short.says,
            "Order 2 spools: 640 g are here; 900 g are likely to be needed until an order comes \
             (300 g by the plan), and with less than 1.2 kg we would run short too often."
        );
        assert!(!shelf(&shelf_of(3_000.0, Some(advice(0)))).short);
        assert!(shelf(&shelf_of(1.0, None)).says.starts_with("Nothing says"));
        assert_eq!(
            title(&[shelf_of(1.0, Some(advice(1)))], 3),
            "Order 1 spool of PETG."
        );
        assert_eq!(title(&[], 0), "No spools are counted here yet.");
    }

    fn page(full: bool, wrong: Option<(&'static str, String)>) -> SpoolsPage {
        let many = usize::from(full);
        let row = SpoolRow {
            number: 17,
            what: AWKWARD.to_owned(),
            left: "640 g".to_owned(),
            state: AWKWARD.to_owned(),
            dry: "dry it first",
            damp: true,
        };
        let delivery = DeliveryRow {
            number: 1,
            says: AWKWARD.to_owned(),
            late: true,
            key: "abcdefgh".to_owned(),
        };
        SpoolsPage {
            head: head(),
            code: "brindlemoor".to_owned(),
            host: AWKWARD.to_owned(),
            title: "Order 2 spools of PETG.".to_owned(),
            shelves: vec![shelf(&shelf_of(640.0, Some(advice(2)))); many],
            spools: vec![row; many],
            gone: many,
            deliveries: vec![delivery; many],
            materials: vec!["PLA".to_owned(), "PETG".to_owned()],
            donors: full,
            least_day: "2027-03-09".to_owned(),
            typed: Typed {
                colour: AWKWARD.to_owned(),
                material: "PETG".to_owned(),
                ..Typed::default()
            },
            wrong,
            keys: ["a".to_owned(), "b".to_owned()],
        }
    }

    #[test]
    fn the_page_of_a_host_renders_empty_full_and_with_what_is_wrong() {
        let empty = page(false, None).render().unwrap();
        sound(&empty);
        assert!(
            !empty.contains("name=\"donor\""),
            "a sponsor is the coordinator’s to note"
        );
        let full = page(true, None).render().unwrap();
        sound(&full);
        assert!(full.contains("S-17") && full.contains("dry it first"));
        assert!(full.contains("name=\"donor\""));
        let wrong = page(true, Some(("receive", AWKWARD.to_owned())))
            .render()
            .unwrap();
        sound(&wrong);
        assert!(wrong.contains("<title>Error: ") && wrong.contains("There is a problem"));
        assert!(
            wrong.contains("value=\"PETG\" selected"),
            "what was typed is still there"
        );
    }

    #[test]
    fn the_coordinators_page_renders_empty_and_full() {
        for many in [0, 1] {
            let page = AllSpoolsPage {
                head: head(),
                title: "One shelf is to fill.".to_owned(),
                shelves: vec![shelf(&shelf_of(640.0, Some(advice(2)))); many],
                hosts: vec![("brindlemoor".to_owned(), AWKWARD.to_owned())],
            };
            sound(&page.render().unwrap());
        }
    }

    #[test]
    fn weights_are_said_as_people_say_them() {
        let said = [0.0, -3.0, 640.9, 999.9, 2_449.0].map(weight);
        assert_eq!(said, ["0 g", "0 g", "640 g", "1.0 kg", "2.4 kg"]);
    }
}
