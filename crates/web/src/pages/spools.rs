//! Spools: of one host, with what to order and why; and of all hosts, short shelves first.

use askama::Template;
use partpledge_stock::{Delivery, State};
use partpledge_units::time::Minute;
use partpledge_words::{Said, decimal, say};
use partpledge_workshop::spools::clashes::{Clash, clashes};
use partpledge_workshop::spools::ordering::{Shelf, SpoolLine, shelves};
use partpledge_workshop::{Books, Session};

use crate::pages::region::ShortHost;
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
    pub(crate) dry: String,
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
    /// Plates that go without a spool, in sentences.
    pub(crate) clashes: Vec<String>,
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
    /// Plates that go without a spool, in sentences, with the code and the name of their host.
    pub(crate) clashes: Vec<(String, String, String)>,
    /// Code and name of every host.
    pub(crate) hosts: Vec<(String, String)>,
}

/// What a host's page is made of.
pub(crate) struct HostSpools<'a> {
    pub(crate) code: &'a str,
    pub(crate) host: String,
    pub(crate) shelves: Vec<Shelf>,
    pub(crate) clashes: Vec<Clash>,
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
            title: match (title(&made_of.shelves, spools.len()), made_of.clashes.len()) {
                (title, 0) => title,
                // What is to be ordered stands below; this comes first.
                (_, n) => without_spool(n),
            },
            clashes: made_of
                .clashes
                .iter()
                .map(|one| clash(session, one))
                .collect(),
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

    /// What the page is called.
    fn name(&self) -> Said {
        crate::say("spools-host-title").with("host", &self.host)
    }

    /// What is wrong with a form.
    fn wrong_with(&self, form: &str) -> Option<&str> {
        let wrong = self.wrong.as_ref().filter(|(about, _)| *about == form);
        wrong.map(|(_, text)| text.as_str())
    }
}

impl AllSpoolsPage {
    pub(crate) fn new(head: Head, session: &Session, shelves: &[Shelf], clashes: &[Clash]) -> Self {
        let file = &session.terrain.file;
        let hosts = file.hosts.iter().map(|host| {
            let school = file.school(&host.school);
            let name = school.map_or_else(String::new, |school| school.name.clone());
            (host.school.clone(), name)
        });
        let short = shelves.iter().filter(|shelf| orders(shelf) > 0).count();
        Self {
            head,
            clashes: clashes.iter().map(|one| of_host(session, one)).collect(),
            title: match (shelves.len(), short, clashes.len()) {
                (0, ..) => say!("spools-nobody-told"),
                (_, 0, 0) => say!("spools-all-enough"),
                (_, 0, n) => without_spool(n),
                (_, n, _) => say!("spools-to-fill", n = n, count = words::spelled(n)),
            },
            shelves: shelves.iter().map(shelf).collect(),
            hosts: hosts.collect(),
        }
    }
}

/// `Two plates have no spool when they are to be started.`
fn without_spool(n: usize) -> String {
    say!("spools-without-title", n = n, count = words::spelled(n))
}

/// A plate that goes without a spool, in a sentence.
fn clash(session: &Session, one: &Clash) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let time = words::time(zone, one.start, now);
    let Some(held) = &one.held else {
        return say!(
            "spools-lack",
            material = one.material,
            plate = one.plate,
            printer = one.printer,
            time = time
        );
    };
    match held.spool {
        Some(spool) => say!(
            "spools-clash",
            spool = spool,
            first = held.plate,
            holder = held.printer,
            second = one.plate,
            printer = one.printer,
            time = time,
            material = one.material
        ),
        None => say!(
            "spools-clash-promised",
            first = held.plate,
            holder = held.printer,
            second = one.plate,
            printer = one.printer,
            time = time,
            material = one.material
        ),
    }
}

fn of_host(session: &Session, one: &Clash) -> (String, String, String) {
    let school = session.terrain.file.school(&one.host);
    let name = school.map_or_else(|| one.host.clone(), |school| school.name.clone());
    (one.host.clone(), name, clash(session, one))
}

/// Hosts that are short of spools, for the coordinator's first page: what to order, which plates go
/// without.
pub(crate) fn short_hosts(session: &Session, books: &Books) -> Vec<ShortHost> {
    let (shelves, clashes) = (shelves(session, books), clashes(session, books));
    let mut out = Vec::new();
    for host in &session.terrain.file.hosts {
        let own = shelves.iter().filter(|shelf| shelf.host == host.school);
        let own: Vec<&Shelf> = own.filter(|shelf| orders(shelf) > 0).collect();
        let mut says: Vec<String> = Vec::new();
        if !own.is_empty() {
            says.push(to_order(&own));
        }
        let without = clashes.iter().filter(|one| one.host == host.school);
        says.extend(without.map(|one| clash(session, one)));
        if !says.is_empty() {
            let school = session.terrain.file.school(&host.school);
            out.push(ShortHost {
                code: host.school.clone(),
                name: school.map_or_else(String::new, |school| school.name.clone()),
                says: says.join(" "),
            });
        }
    }
    out
}

/// `Order 2 spools of PETG.`
fn to_order(short: &[&Shelf]) -> String {
    let each = short.iter().map(|shelf| {
        say!(
            "spools-many-of",
            n = orders(shelf),
            material = shelf.material
        )
    });
    let each: Vec<String> = each.collect();
    let names: Vec<&str> = each.iter().map(String::as_str).collect();
    say!("spools-order-what", what = crate::pages::bench::and(&names))
}

fn orders(shelf: &Shelf) -> i64 {
    shelf.advice.map_or(0, |advice| advice.spools)
}

/// The answer first.
fn title(shelves: &[Shelf], spools: usize) -> String {
    let short: Vec<&Shelf> = shelves.iter().filter(|shelf| orders(shelf) > 0).collect();
    match (short.as_slice(), spools) {
        ([], 0) => say!("spools-none-counted"),
        ([], _) => say!("spools-enough-here"),
        (some, _) => to_order(some),
    }
}

/// Grams, from a kilogram on in kilograms: `640 g`, `2.4 kg`.
pub(crate) fn weight(grams: f64) -> String {
    if grams < 999.5 {
        format!("{} g", decimal(grams.max(0.0).floor(), 0))
    } else {
        format!("{} kg", decimal(grams / 1_000.0, 1))
    }
}

fn shelf(shelf: &Shelf) -> ShelfRow {
    let (here, coming) = (weight(shelf.here_g), weight(shelf.coming_g));
    let short = orders(shelf) > 0;
    let says = match (shelf.advice, shelf.coming_g > 0.0) {
        (None, _) => say!("spools-not-needed"),
        (Some(advice), false) if short => say!(
            "spools-order-says",
            n = advice.spools,
            here = here,
            expected = weight(advice.expected_g),
            planned = weight(shelf.planned_g),
            point = weight(advice.point_g)
        ),
        (Some(advice), true) if short => say!(
            "spools-order-says-coming",
            n = advice.spools,
            here = here,
            coming = coming,
            expected = weight(advice.expected_g),
            planned = weight(shelf.planned_g),
            point = weight(advice.point_g)
        ),
        (Some(advice), false) => {
            let point = weight(advice.point_g);
            say!("spools-enough-says", here = here, point = point)
        }
        (Some(advice), true) => say!(
            "spools-enough-says-coming",
            here = here,
            coming = coming,
            point = weight(advice.point_g)
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
        State::Sealed => say!("spools-in-its-bag"),
        State::Open => say!("spools-open"),
        State::Loaded(printer) => say!("spools-on-printer", printer = printer),
        State::Empty => say!("spools-used-up"),
        State::GivenAway => say!("spools-given-away"),
    };
    match line.feeds {
        Some((plate, grams)) => say!(
            "spools-feeds",
            place = state,
            plate = plate,
            weight = weight(grams)
        ),
        None => state,
    }
}

/// Whether a spool is dry, in a few words.
pub(crate) fn dryness(session: &Session, line: &SpoolLine) -> String {
    let material = &line.account.spool.roll.material;
    let minds = partpledge_workshop::spools::damp_after_days(&session.catalogue, material);
    match (line.damp, line.account.opened_at, minds) {
        (true, _, _) => say!("spools-dry-it-first"),
        (false, None, _) => say!("spools-in-its-bag"),
        (false, Some(_), None) => say!("spools-does-not-mind"),
        (false, Some(_), Some(_)) => say!("spools-is-dry"),
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
    let each = weight(partpledge_units::cast::int_f64(one.net_g));
    // It is counted on from the morning after the day that was promised.
    let day = words::day(zone, Minute(one.due.0 - 1), now);
    let (n, material, donor) = (one.spools, &one.material, &one.donor);
    match (one.due < now, donor.is_empty()) {
        (false, true) => say!(
            "spools-comes",
            n = n,
            material = material,
            each = each,
            day = day
        ),
        (false, false) => say!(
            "spools-comes-from",
            n = n,
            material = material,
            each = each,
            donor = donor,
            day = day
        ),
        (true, true) => say!(
            "spools-should-have-come",
            n = n,
            material = material,
            each = each,
            day = day
        ),
        (true, false) => say!(
            "spools-should-have-come-from",
            n = n,
            material = material,
            each = each,
            donor = donor,
            day = day
        ),
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
            dry: "dry it first".to_owned(),
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
            clashes: vec![AWKWARD.to_owned(); many],
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
                clashes: vec![
                    (
                        "brindlemoor".to_owned(),
                        AWKWARD.to_owned(),
                        AWKWARD.to_owned()
                    );
                    many
                ],
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
