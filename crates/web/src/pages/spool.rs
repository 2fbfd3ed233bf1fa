//! One spool: what is left, what was done with it, what can be done now, and its label.

use askama::Template;
use partpledge_stock::{Correction, Deed, State, Step};
use partpledge_units::cast::{int_f64, round_i64};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::{Said, say};
use partpledge_workshop::Session;
use partpledge_workshop::spools::ordering::SpoolLine;

use crate::figures::qr::Qr;
use crate::pages::load_step::drying;
use crate::pages::spools::{dryness, weight, where_it_is};
use crate::who::Head;
use crate::words;

/// A spool.
#[derive(Template)]
#[template(path = "spool.html")]
pub(crate) struct SpoolPage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) code: String,
    pub(crate) host: String,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) facts: Vec<(String, String)>,
    /// How to dry it, for one that should be dried.
    pub(crate) damp: Option<String>,
    pub(crate) material: String,
    pub(crate) colour: String,
    pub(crate) received: String,
    /// What can be done with it, as forms say it; nothing with one that is used up.
    pub(crate) acts: Vec<&'static str>,
    /// Printers that it can be put on.
    pub(crate) printers: Vec<String>,
    /// Code and name of the other hosts.
    pub(crate) others: Vec<(String, String)>,
    pub(crate) tare: String,
    pub(crate) grams: String,
    /// Whether the scale was said to be without the reel.
    pub(crate) no_reel: bool,
    /// Whether it is asked if there is more on it than when it was new.
    pub(crate) asks_sure: bool,
    /// What was done with it and what scales said, the latest first.
    pub(crate) history: Vec<(String, String)>,
    pub(crate) qr: Option<Qr>,
    pub(crate) wrong: Option<String>,
    /// One for each form.
    pub(crate) keys: Vec<String>,
}

/// What the page of a spool is made of.
pub(crate) struct OneSpool<'a> {
    pub(crate) line: &'a SpoolLine,
    pub(crate) steps: Vec<&'a Step>,
    /// Number of the plate, when, and filament taken, mg.
    pub(crate) uses: Vec<(u64, EventMs, i64)>,
    pub(crate) printers: Vec<String>,
    pub(crate) address: String,
    /// What was typed, and what is wrong with it.
    pub(crate) wrong: Option<Mistake>,
}

/// A form about a spool that could not be taken.
#[derive(Clone, Debug, Default)]
pub(crate) struct Mistake {
    pub(crate) grams: String,
    pub(crate) tare: String,
    pub(crate) no_reel: bool,
    pub(crate) asks_sure: bool,
    pub(crate) text: String,
}

/// Forms of the page.
const FORMS: usize = 8;

impl SpoolPage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        made_of: &OneSpool<'_>,
        keys: &mut dyn FnMut() -> String,
    ) -> Self {
        let line = made_of.line;
        let account = &line.account;
        let roll = &account.spool.roll;
        let file = &session.terrain.file;
        let name = |code: &str| {
            file.school(code)
                .map_or_else(|| code.to_owned(), |s| s.name.clone())
        };
        let others = file.hosts.iter().filter(|host| host.school != account.host);
        let what = format!("{} {}", roll.colour, roll.material)
            .trim()
            .to_owned();
        let day = |at: Option<EventMs>| at.map_or_else(|| "–".to_owned(), |at| day(session, at));
        let wrong = made_of.wrong.clone();
        let typed = wrong.clone().unwrap_or_default();
        let known = account
            .tare_g
            .map_or_else(String::new, |grams| grams.to_string());
        Self {
            head,
            number: account.spool.number,
            code: account.host.clone(),
            host: name(&account.host),
            title: say!(
                "spools-one-is",
                number = account.spool.number,
                weight = weight(account.left_g()),
                what = what
            ),
            lead: words::capital(&where_it_is(line)) + ".",
            facts: vec![
                (say!("spools-when-new"), weight(int_f64(roll.net_g))),
                (say!("spools-opened"), day(account.opened_at)),
                (say!("spools-dried"), day(account.dried_at)),
                (say!("spools-is-it-dry"), dryness(session, line)),
            ],
            damp: line.damp.then(|| drying(session, &roll.material)),
            material: roll.material.clone(),
            colour: roll.colour.clone(),
            received: day(Some(roll.received_at)),
            acts: acts(&account.state),
            printers: made_of.printers.clone(),
            others: others
                .map(|host| (host.school.clone(), name(&host.school)))
                .collect(),
            tare: if typed.tare.is_empty() {
                known
            } else {
                typed.tare
            },
            grams: typed.grams,
            no_reel: typed.no_reel,
            asks_sure: typed.asks_sure,
            history: history(session, made_of),
            qr: crate::figures::qr::qr(&made_of.address),
            wrong: wrong.map(|wrong| wrong.text),
            keys: (0..FORMS).map(|_| keys()).collect(),
        }
    }
}

impl SpoolPage {
    /// What the page is called.
    fn name(&self) -> Said {
        crate::say("spools-one-title")
            .with("number", self.number)
            .with("host", &self.host)
    }

    /// Whether that can be done with it.
    fn may(&self, act: &str) -> bool {
        self.acts.contains(&act)
    }
}

/// What can be done with a spool, as forms say it.
fn acts(state: &State) -> Vec<&'static str> {
    let always = ["weigh", "load", "dry", "empty", "move", "give-away"];
    let more = match state {
        State::Sealed => "open",
        State::Open => "",
        State::Loaded(_) => "take-off",
        State::Empty | State::GivenAway => return Vec::new(),
    };
    always.into_iter().chain([more]).collect()
}

fn day(session: &Session, at: EventMs) -> String {
    words::day(&session.terrain.zone, minute(at), session.minute())
}

fn minute(at: EventMs) -> Minute {
    Minute::at_or_before(at)
}

/// `the scale says 38 g less than reckoned`.
fn corrected(one: &Correction) -> String {
    let grams = round_i64((int_f64(one.difference_mg) / 1_000.0).round()).unwrap_or(0);
    match grams {
        0 => say!("spools-weighed-as-reckoned", net = one.net_g),
        n if n < 0 => say!("spools-weighed-less", net = one.net_g, grams = -n),
        n => say!("spools-weighed-more", net = one.net_g, grams = n),
    }
}

fn did(session: &Session, deed: &Deed) -> String {
    let school = |code: &str| {
        let school = session.terrain.file.school(code);
        school.map_or_else(|| code.to_owned(), |school| school.name.clone())
    };
    match deed {
        Deed::Moved(host) => say!("spools-moved", host = school(host)),
        Deed::Opened => say!("spools-opened"),
        Deed::Dried => say!("spools-dried"),
        Deed::TakenOff => say!("spools-taken-off"),
        Deed::Loaded(printer) => say!("spools-was-put-on", printer = printer),
        Deed::Emptied => say!("spools-was-used-up"),
        Deed::GivenAway(to) if to.is_empty() => say!("spools-was-given-away"),
        Deed::GivenAway(to) => say!("spools-was-given-to", to = to),
    }
}

fn history(session: &Session, made_of: &OneSpool<'_>) -> Vec<(String, String)> {
    let zone = &session.terrain.zone;
    let steps = made_of
        .steps
        .iter()
        .map(|step| (step.at, did(session, &step.deed)));
    let read = made_of.line.account.corrections.iter();
    let read = read.map(|one| (one.at, corrected(one)));
    let uses = made_of.uses.iter().map(|&(plate, at, mg)| {
        (
            at,
            say!(
                "spools-plate-took",
                plate = plate,
                weight = weight(int_f64(mg) / 1_000.0)
            ),
        )
    });
    let received = made_of.line.account.spool.roll.received_at;
    let mut all: Vec<(EventMs, String)> = steps.chain(read).chain(uses).collect();
    all.push((received, say!("spools-received")));
    all.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
    all.into_iter()
        .map(|(at, text)| (zone.short(minute(at)), text))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn page(state: &State, wrong: Option<&str>) -> SpoolPage {
        SpoolPage {
            head: head(),
            number: 17,
            code: "brindlemoor".to_owned(),
            host: AWKWARD.to_owned(),
            title: "S-17: 640 g of orange PETG".to_owned(),
            lead: AWKWARD.to_owned(),
            facts: vec![("Opened".to_owned(), "today".to_owned())],
            damp: state.counts().then(|| AWKWARD.to_owned()),
            material: "PETG".to_owned(),
            colour: AWKWARD.to_owned(),
            received: "today".to_owned(),
            acts: acts(state),
            printers: vec![AWKWARD.to_owned()],
            others: vec![("otterquay".to_owned(), AWKWARD.to_owned())],
            tare: "212".to_owned(),
            grams: AWKWARD.to_owned(),
            no_reel: false,
            asks_sure: wrong.is_some(),
            history: vec![("Tue 13:10".to_owned(), AWKWARD.to_owned())],
            qr: crate::figures::qr::qr("http://localhost:8717/spool/17"),
            wrong: wrong.map(str::to_owned),
            keys: (0..FORMS).map(|i| format!("key-{i}")).collect(),
        }
    }

    fn teal() -> State {
        State::Loaded("Teal".to_owned())
    }

    #[test]
    fn what_can_be_done_with_a_spool_is_offered_and_nothing_else() {
        let shelf = page(&State::Sealed, None).render().unwrap();
        sound(&shelf);
        assert!(shelf.contains("value=\"load\"") && !shelf.contains("value=\"take-off\""));
        assert!(shelf.contains("value=\"open\""));
        let on_it = page(&teal(), Some(AWKWARD)).render().unwrap();
        sound(&on_it);
        assert!(on_it.contains("value=\"take-off\"") && on_it.contains("There is a problem"));
        let gone = page(&State::Empty, None).render().unwrap();
        sound(&gone);
        assert!(!gone.contains("name=\"act\""), "what is used up stays so");
    }

    #[test]
    fn every_form_has_a_key_of_its_own() {
        let all = page(&teal(), None).render().unwrap();
        for i in 0..FORMS {
            assert!(all.matches(&format!("key-{i}\"")).count() <= 1, "form {i}");
        }
    }

    #[test]
    fn what_a_scale_says_is_told_against_what_was_reckoned() {
        let read = |difference_mg| {
            corrected(&Correction {
                at: EventMs(0),
                net_g: 602,
                difference_mg,
            })
        };
        assert_eq!(
            read(-38_000),
            "Weighed: 602 g of filament, 38 g less than reckoned"
        );
        assert_eq!(read(400), "Weighed: 602 g of filament, as reckoned");
        assert_eq!(
            read(2_600),
            "Weighed: 602 g of filament, 3 g more than reckoned"
        );
    }
}
