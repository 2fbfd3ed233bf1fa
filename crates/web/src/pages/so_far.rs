//! The season so far, on one sheet: what was handed over, how fast, what it took.

use askama::Template;
use partpledge_words::dates::month_of;
use partpledge_words::{decimal, say};
use partpledge_workshop::Session;
use partpledge_workshop::so_far::{SoFar, Tally};
use partpledge_workshop::taking::money_in_words;

use crate::who::Head;
use crate::words;

/// Of fewer parts than these it is said how fast all came; common practice, no source.
const FEW: usize = 10;

/// A month, a material or a school.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) name: String,
    pub(crate) parts: usize,
    pub(crate) copies: usize,
    pub(crate) kept: usize,
    pub(crate) broken: usize,
    pub(crate) over: usize,
    pub(crate) runs: usize,
    pub(crate) failed: usize,
    /// Machine time.
    pub(crate) time: String,
    pub(crate) grams: String,
    pub(crate) cost: String,
}

/// A table of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Table {
    pub(crate) title: String,
    pub(crate) what: String,
    pub(crate) label: String,
    /// Whether it has columns for promises.
    pub(crate) promises: bool,
    pub(crate) rows: Vec<Row>,
}

/// A team's share.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TeamShare {
    pub(crate) team: String,
    pub(crate) copies: usize,
    pub(crate) percent: String,
}

/// The page.
#[derive(Template)]
#[template(path = "so_far.html")]
pub(crate) struct SoFarPage {
    pub(crate) head: Head,
    /// The region, and since when it counts.
    pub(crate) of: String,
    pub(crate) title: String,
    /// How fast, in a sentence; empty before anything came.
    pub(crate) lead: String,
    /// What it is, and how much.
    pub(crate) facts: Vec<(String, String)>,
    /// What is to be known about the money.
    pub(crate) cautions: Vec<String>,
    pub(crate) tables: Vec<Table>,
    pub(crate) teams: Vec<TeamShare>,
}

impl SoFarPage {
    pub(crate) fn new(head: Head, session: &Session, made: &SoFar) -> Self {
        let months = made
            .months
            .iter()
            .map(|(date, tally)| (month_of(*date), tally));
        let named = |list: &[(String, Tally)]| -> Vec<Row> {
            let all = list.iter();
            all.map(|(name, tally)| row(session, name.clone(), tally))
                .collect()
        };
        let table = |title: String, what: String, rows: Vec<Row>| Table {
            label: say!("sofar-table", title = title),
            title,
            what,
            promises: true,
            rows,
        };
        let months = months
            .map(|(name, tally)| row(session, name, tally))
            .collect();
        let tables = vec![
            table(say!("sofar-by-month"), say!("sofar-month"), months),
            table(
                say!("sofar-by-material"),
                say!("sofar-material"),
                named(&made.materials),
            ),
            Table {
                promises: false,
                ..table(
                    say!("sofar-by-school"),
                    say!("sofar-school"),
                    named(&made.schools),
                )
            },
        ];
        Self {
            head,
            of: of(session, made),
            title: title(&made.all),
            lead: lead(made),
            facts: facts(session, made),
            cautions: cautions(session, made),
            tables: tables.into_iter().filter(|t| !t.rows.is_empty()).collect(),
            teams: teams(made),
        }
    }
}

/// `Ambrel Valley: this season so far. Counted is everything on record since Thursday 7 January 2027.`
fn of(session: &Session, made: &SoFar) -> String {
    let region = &session.terrain.file.name;
    match made.since {
        Some(since) => {
            let day = session.terrain.zone.long_day(since);
            say!("sofar-of-since", region = region, day = day)
        }
        None => say!("sofar-of", region = region),
    }
}

/// `Twelve parts were handed over this season; promises kept: 11 of 12.`
fn title(all: &Tally) -> String {
    let ended = all.due();
    let count = words::spelled(all.parts);
    match (all.parts, ended) {
        (0, _) if all.copies > 0 => say!("sofar-no-whole-part"),
        (0, 0) => say!("sofar-nothing-yet"),
        (0, ended) => say!("sofar-title-none", kept = all.kept, ended = ended),
        (n, ended) => say!(
            "sofar-title",
            n = n,
            count = count,
            kept = all.kept,
            ended = ended
        ),
    }
}

/// How fast parts came. Of fewer than ten each is as good as known, and a share of them would be a guess.
fn lead(made: &SoFar) -> String {
    if let Some((first, last)) = made.all_within.filter(|_| made.waits < FEW) {
        let n = made.waits;
        let (from, to) = (words::length(first), words::length(last));
        let count = words::say("numbers-spelled").with("n", n);
        return match n {
            1 => say!("sofar-lead-one", time = to),
            _ if from == to => say!("sofar-lead-few-alike", count = count, time = to),
            _ => say!("sofar-lead-few", count = count, from = from, to = to),
        };
    }
    match (made.half_within, made.nine_in_ten_within) {
        (Some(half), Some(most)) => say!(
            "sofar-lead",
            half = words::length(half),
            most = words::length(most)
        ),
        _ => say!("sofar-lead-nothing"),
    }
}

/// `1 part, 2 copies`.
fn parts_and_copies(parts: usize, copies: usize) -> String {
    let copies = say!("numbers-copies", n = copies);
    say!("sofar-parts-copies", n = parts, copies = copies)
}

fn facts(session: &Session, made: &SoFar) -> Vec<(String, String)> {
    let all = &made.all;
    vec![
        (
            say!("sofar-handed-over"),
            parts_and_copies(all.parts, all.copies),
        ),
        (
            say!("sofar-promises"),
            say!(
                "sofar-kept-broken",
                kept = all.kept,
                broken = all.broken,
                over = all.over
            ),
        ),
        (
            say!("sofar-prints"),
            say!("sofar-of-them-failed", n = all.runs, failed = all.failed),
        ),
        (say!("sofar-machine-time"), all.printing.to_string()),
        (
            say!("sofar-plastic"),
            say!("part-grams", g = decimal(all.grams, 0)),
        ),
        (say!("sofar-cost"), money(session, all)),
    ]
}

fn money(session: &Session, tally: &Tally) -> String {
    let costs = &session.costs;
    money_in_words(tally.cost(costs.currency), costs)
}

fn cautions(session: &Session, made: &SoFar) -> Vec<String> {
    let mut out = Vec::new();
    if session.costs.are_examples {
        out.push(say!("sofar-prices-are-examples"));
    }
    if made.all.unpriced > 0 {
        out.push(say!("sofar-unpriced", n = made.all.unpriced));
    }
    if made.wrong_unit > 0 {
        out.push(say!("sofar-wrong-unit", n = made.wrong_unit));
    }
    out
}

fn row(session: &Session, name: String, tally: &Tally) -> Row {
    Row {
        name,
        parts: tally.parts,
        copies: tally.copies,
        kept: tally.kept,
        broken: tally.broken,
        over: tally.over,
        runs: tally.runs,
        failed: tally.failed,
        time: tally.printing.to_string(),
        grams: decimal(tally.grams, 0).to_string(),
        cost: money(session, tally),
    }
}

fn teams(made: &SoFar) -> Vec<TeamShare> {
    let all: usize = made.teams.iter().map(|(_, copies)| copies).sum();
    let share = |(team, copies): &(String, usize)| TeamShare {
        team: team.clone(),
        copies: *copies,
        percent: decimal(100.0 * *copies as f64 / all.max(1) as f64, 0).to_string(),
    };
    made.teams.iter().map(share).collect()
}

#[cfg(test)]
mod tests {
    use partpledge_units::time::Minutes;
    use partpledge_words::{Tongue, within};

    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn sample() -> SoFarPage {
        let row = Row {
            name: AWKWARD.to_owned(),
            parts: 2,
            copies: 5,
            kept: 2,
            broken: 1,
            over: 3,
            runs: 4,
            failed: 1,
            time: "7 h 30".to_owned(),
            grams: "212".to_owned(),
            cost: "3.20 to 3.65 EUR".to_owned(),
        };
        let table = |promises| Table {
            title: AWKWARD.to_owned(),
            what: "School".to_owned(),
            label: AWKWARD.to_owned(),
            promises,
            rows: vec![row.clone()],
        };
        SoFarPage {
            head: head(),
            of: AWKWARD.to_owned(),
            title: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            facts: vec![(AWKWARD.to_owned(), "212 g".to_owned())],
            cautions: vec![AWKWARD.to_owned()],
            tables: vec![table(true), table(false)],
            teams: vec![TeamShare {
                team: AWKWARD.to_owned(),
                copies: 5,
                percent: "100".to_owned(),
            }],
        }
    }

    #[test]
    fn the_season_renders_before_and_after_something_was_handed_over() {
        let full = sample().render().unwrap();
        sound(&full);
        assert_eq!(full.matches("<table").count(), 2);
        assert_eq!(full.matches(">Kept</th>").count(), 1, "not by school");
        assert_eq!(full.matches(">Broken</th>").count(), 1);
        assert_eq!(full.matches(">Over</th>").count(), 1);
        let empty = SoFarPage {
            tables: Vec::new(),
            teams: Vec::new(),
            cautions: Vec::new(),
            ..sample()
        };
        let empty = empty.render().unwrap();
        sound(&empty);
        assert!(!empty.contains("<table") && !empty.contains("Copies by team"));
    }

    #[test]
    fn counts_of_one_are_said_as_one() {
        assert_eq!(parts_and_copies(1, 2), "1 part, 2 copies");
        assert_eq!(parts_and_copies(2, 1), "2 parts, 1 copy");
        let german = within(Tongue::German, || parts_and_copies(1, 1));
        assert_eq!(german, "1 Teil, 1 Stück");
    }

    #[test]
    fn of_few_parts_it_is_said_plainly_how_fast_they_came() {
        let came = |waits, first, last| SoFar {
            waits,
            all_within: Some((Minutes(first), Minutes(last))),
            half_within: Some(Minutes(60)),
            nine_in_ten_within: Some(Minutes(last)),
            ..SoFar::default()
        };
        for (season, says) in [
            (came(1, 54, 54), "The one part so far came in 54 minutes."),
            (
                came(3, 40, 120),
                "The three parts so far came in 40 minutes to 2 hours.",
            ),
            (
                came(2, 54, 54),
                "The two parts so far came in 54 minutes each.",
            ),
            (
                came(10, 40, 120),
                "Half of the parts were there within 60 minutes of being sent, nine in ten within 2 hours.",
            ),
        ] {
            assert_eq!(lead(&season), says);
        }
        let nothing = lead(&SoFar::default());
        assert!(nothing.starts_with("How fast parts came stands here"));
    }

    #[test]
    fn the_heading_says_what_was_kept_of_what_ended() {
        let tally = Tally {
            parts: 2,
            kept: 2,
            broken: 1,
            ..Tally::default()
        };
        assert_eq!(
            title(&tally),
            "Two parts were handed over this season; promises kept: 2 of 3."
        );
        let over = Tally { over: 11, ..tally };
        assert_eq!(
            title(&over),
            "Two parts were handed over this season; promises kept: 2 of 14."
        );
        assert_eq!(
            title(&Tally::default()),
            "Nothing has been handed over yet this season."
        );
        let some = Tally {
            copies: 1,
            ..Tally::default()
        };
        assert_eq!(
            title(&some),
            "No part has been handed over whole yet this season."
        );
        assert_eq!(
            title(&Tally { parts: 0, ..tally }),
            "No part counts as handed over yet this season; promises kept: 2 of 3."
        );
    }
}
