//! All open promises, least sure first.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_words::say;
use partpledge_workshop::books::Promised;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::{Books, Session, place_says};

use crate::figures::{Stroke, tally};
use crate::pages::ticket;
use crate::site::Outcomes;
use crate::who::Head;
use crate::words;

/// An open promise.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Promise {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) label: String,
    pub(crate) promised: String,
    pub(crate) place: String,
    pub(crate) in_ten: i64,
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) risk: bool,
    pub(crate) likely: String,
    pub(crate) stop: String,
}

/// The list.
#[derive(Template)]
#[template(path = "promises.html")]
pub(crate) struct PromisesPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// What stands in the field for searching: nothing.
    pub(crate) search: String,
    pub(crate) rows: Vec<Promise>,
}

impl PromisesPage {
    /// All open promises.
    pub(crate) fn new(
        head: Head,
        (session, books): (&Session, &Books),
        outcomes: &Outcomes,
    ) -> Self {
        let open = books.open_pledges().into_iter();
        let mut found: Vec<(f64, Promise)> = open
            .map(|(listed, promised)| {
                let outcome = outcomes.get(&listed.request.id);
                let chance = outcome.map_or(promised.pledge.probability, |o| o.chance);
                let row = row((session, books), (listed, promised), outcome, chance);
                (chance, row)
            })
            .collect();
        // Open pledges come by hand-over; a stable sort keeps that among the equally sure.
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        let rows: Vec<Promise> = found.into_iter().map(|(_, row)| row).collect();
        let risks = rows.iter().filter(|row| row.risk).count();
        Self {
            head,
            title: title(rows.len()),
            lead: lead(rows.len(), risks),
            search: String::new(),
            rows,
        }
    }
}

/// `41 promises are open, least sure first.`
fn title(all: usize) -> String {
    match all {
        0 => say!("promises-none"),
        n => say!("promises-open", n = n, count = words::spelled(n)),
    }
}

fn lead(found: usize, risks: usize) -> String {
    match (found, risks) {
        (0, _) => String::new(),
        (_, 0) => say!("promises-no-risk"),
        (_, n) => say!("promises-risks", n = n, count = words::spelled(n)),
    }
}

fn row(
    (session, books): (&Session, &Books),
    (listed, promised): (&ListedRequest, &Promised),
    outcome: Option<&Outcome>,
    chance: f64,
) -> Promise {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let in_ten = words::about_in_ten(chance);
    let (_, stop) = ticket::short(session, books, listed);
    let likely = outcome.and_then(|outcome| outcome.likely);
    Promise {
        number: listed.request.number,
        who: say!(
            "common-team-part",
            whose = words::whose(&listed.request.team),
            part = listed.part
        ),
        label: words::number(&session.terrain.file.name, listed.request.number),
        promised: words::capital(&words::by(zone, promised.pledge.arrival, now)),
        place: place_says(&promised.pledge.place),
        in_ten,
        strokes: tally(in_ten),
        risk: outcome.is_some_and(Outcome::at_risk),
        likely: likely.map_or_else(
            || say!("promises-cannot-say"),
            |at| words::by(zone, at, now),
        ),
        stop: words::capital(&stop),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_list_renders_empty_and_full() {
        let row = |risk| Promise {
            number: 7,
            who: AWKWARD.to_owned(),
            label: "AV-0007".to_owned(),
            promised: "Thursday 11 March by 15:40".to_owned(),
            place: AWKWARD.to_owned(),
            in_ten: 6,
            strokes: tally(6),
            risk,
            likely: AWKWARD.to_owned(),
            stop: AWKWARD.to_owned(),
        };
        for rows in [Vec::new(), vec![row(true), row(false)]] {
            let full = !rows.is_empty();
            let page = PromisesPage {
                head: head(),
                title: title(rows.len()),
                lead: lead(rows.len(), 1),
                search: String::new(),
                rows,
            };
            let made = page.render().unwrap();
            sound(&made);
            assert_eq!(made.contains("At risk"), full, "a state is a word too");
        }
    }

    #[test]
    fn headings_count_in_words() {
        assert_eq!(title(3), "Three promises are open, the least sure first.");
        assert_eq!(
            lead(9, 2),
            "Two of them are at risk: less than 85 of 100 plays of the plan keep it."
        );
    }
}
