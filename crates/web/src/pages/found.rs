//! What one search finds: parts in any state, and plates, boxes, printers, spools, teams and schools.

mod things;

use askama::Template;
use partpledge_records::{ListedRequest, PledgeKind, State};
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::{Books, Session, place_says};

use crate::pages::{parts, ticket};
use crate::site::Outcomes;
use crate::who::{Head, escape};
use crate::words;

pub(crate) use things::Thing;
use things::things;

/// Most parts on one page.
const A_PAGE: usize = 50;
/// Most other things that are listed.
const MOST_THINGS: usize = 50;

/// A part that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FoundPart {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) label: String,
    /// Glyph and words of its state.
    pub(crate) state: (&'static str, String),
    /// When it came, is to come, or was sent.
    pub(crate) when: String,
    pub(crate) place: String,
}

/// What was found, one page of it.
#[derive(Template)]
#[template(path = "found.html")]
pub(crate) struct FoundPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    /// What was searched for.
    pub(crate) search: String,
    pub(crate) things: Vec<Thing>,
    /// How many things more there are than are listed.
    pub(crate) more_things: usize,
    pub(crate) rows: Vec<FoundPart>,
    /// `Page 2 of 3`, if there is more than one.
    pub(crate) which: String,
    pub(crate) before: Option<String>,
    pub(crate) next: Option<String>,
    pub(crate) self_url: String,
}

/// Words that are searched for, each of which must be found.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Wanted(Vec<String>);

impl Wanted {
    fn new(search: &str) -> Self {
        let words = search.split_whitespace();
        Self(words.map(|word| numeral(&word.to_lowercase())).collect())
    }

    /// Whether something has all the words: as a part of its names, or as the whole of one of its numbers.
    fn are_in(&self, names: &str, numbers: &[String]) -> bool {
        let names = names.to_lowercase();
        let found = |word: &String| numbers.contains(word) || names.contains(word.as_str());
        !self.0.is_empty() && self.0.iter().all(found)
    }

    /// The same for what has a number and little else: one word must be that number.
    fn number_it(&self, names: &str, numbers: &[String]) -> bool {
        self.0.iter().any(|word| numbers.contains(word)) && self.are_in(names, numbers)
    }
}

/// `7` for `007`: a number without its noughts in front.
fn numeral(word: &str) -> String {
    match word.parse::<u64>() {
        Ok(number) => number.to_string(),
        Err(_) => word.to_owned(),
    }
}

impl FoundPage {
    /// The `page`th fifty of what `search` finds; the last ones if there are not so many.
    pub(crate) fn new(
        head: Head,
        (session, books): (&Session, &Books),
        outcomes: &Outcomes,
        (search, page): (&str, usize),
    ) -> Self {
        let wanted = Wanted::new(search);
        let mut things = things(session, books, &wanted);
        let found = parts_found(session, books, &wanted);
        let title = title((found.len(), things.len()), search);
        let more_things = things.len().saturating_sub(MOST_THINGS);
        things.truncate(MOST_THINGS);
        let (page, pages) = paged(found.len(), page);
        let shown = found.iter().skip((page - 1) * A_PAGE).take(A_PAGE);
        let rows = shown.map(|listed| row(session, books, outcomes, listed));
        let url = |page: usize| match page {
            1 => format!("/promises?q={}", escape(search)),
            n => format!("/promises?q={}&page={n}", escape(search)),
        };
        Self {
            head,
            title,
            search: search.to_owned(),
            things,
            more_things,
            rows: rows.collect(),
            which: if pages > 1 {
                say!("promises-page", page = page, pages = pages)
            } else {
                String::new()
            },
            before: (page > 1).then(|| url(page - 1)),
            next: (page < pages).then(|| url(page + 1)),
            self_url: url(page),
        }
    }
}

/// `Three parts for “newt”.`; what is no part is counted where no part was found.
fn title((parts, things): (usize, usize), search: &str) -> String {
    match (parts, things) {
        (0, 1..) => say!(
            "promises-found-things",
            n = things,
            count = words::spelled(things),
            search = search
        ),
        _ => say!(
            "promises-found",
            n = parts,
            count = words::spelled(parts),
            search = search
        ),
    }
}

/// Which page is shown of how many, of so many parts.
fn paged(found: usize, page: usize) -> (usize, usize) {
    let pages = found.div_ceil(A_PAGE).max(1);
    (page.clamp(1, pages), pages)
}

/// Parts in any state: the one of that number first, then the last sent.
fn parts_found<'b>(session: &Session, books: &'b Books, wanted: &Wanted) -> Vec<&'b ListedRequest> {
    let file = &session.terrain.file;
    let found = books.requests.iter().rev().filter(|listed| {
        let request = &listed.request;
        let team = file.teams.iter().find(|team| team.name == request.team);
        let school = team.and_then(|team| file.school(&team.school));
        let school = school.map_or("", |school| school.name.as_str());
        let promised = books.pledge_of(request.id);
        let place = promised.map_or_else(String::new, |p| place_says(&p.pledge.place));
        let label = words::number(&file.name, request.number).to_lowercase();
        let names = format!("{} {} {school} {place}", request.team, listed.part);
        wanted.are_in(&names, &[request.number.to_string(), label])
    });
    let mut found: Vec<&ListedRequest> = found.collect();
    let named = |listed: &&ListedRequest| {
        let number = listed.request.number;
        let label = words::number(&file.name, number).to_lowercase();
        wanted.0.contains(&number.to_string()) || wanted.0.contains(&label)
    };
    found.sort_by_key(|listed| !named(listed));
    found
}

fn row(session: &Session, books: &Books, outcomes: &Outcomes, listed: &ListedRequest) -> FoundPart {
    let request = &listed.request;
    let promised = books.pledge_of(request.id);
    let open = promised.is_some_and(|promised| promised.end.is_none());
    let at_risk = outcomes.get(&request.id).is_some_and(Outcome::at_risk);
    let state = state(books, listed, at_risk);
    let place = if open && state.0 != "withdrawn" {
        words::capital(&ticket::short(session, books, listed).1)
    } else {
        promised.map_or_else(String::new, |p| place_says(&p.pledge.place))
    };
    FoundPart {
        number: request.number,
        who: say!(
            "common-team-part",
            whose = words::whose(&request.team),
            part = listed.part
        ),
        label: words::number(&session.terrain.file.name, request.number),
        state,
        when: when(session, books, listed),
        place,
    }
}

/// How a part stands: glyph and words.
fn state(books: &Books, listed: &ListedRequest, at_risk: bool) -> (&'static str, String) {
    let request = &listed.request;
    if books.taken_down(request) || request.state == State::Recalled {
        return ("withdrawn", say!("parts-taken-down"));
    }
    let Some(promised) = books.pledge_of(request.id) else {
        return match request.state {
            State::Withdrawn => ("withdrawn", withdrawn(books, listed)),
            _ => parts::without_promise(books, listed),
        };
    };
    match promised.end.as_ref().map(|end| end.kind) {
        Some(PledgeKind::Kept) => ("kept", say!("parts-kept")),
        Some(PledgeKind::Broken) => ("broken", say!("parts-broken")),
        Some(PledgeKind::Superseded) => ("withdrawn", say!("parts-replaced")),
        Some(_) => ("withdrawn", withdrawn(books, listed)),
        None if at_risk => ("risk", say!("parts-at-risk")),
        None => ("given", say!("promises-given")),
    }
}

fn withdrawn(books: &Books, listed: &ListedRequest) -> String {
    match books.in_place_of(listed.request.id) {
        Some(_) => say!("parts-replaced"),
        None => say!("parts-withdrawn"),
    }
}

/// When it came, is to come by, or was sent: whichever is known last.
fn when(session: &Session, books: &Books, listed: &ListedRequest) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    if let Some(came) = books.came(listed.request.id).map(Minute::at_or_before) {
        let (day, time) = (words::day(zone, came, now), zone.clock(came));
        return say!("parts-came-on", day = day, time = time);
    }
    let promised = books.pledge_of(listed.request.id);
    if let Some(promised) = promised.filter(|promised| promised.end.is_none()) {
        let by = words::by(zone, promised.pledge.arrival, now);
        return say!("promises-promised-by", by = by);
    }
    let sent = Minute::at_or_before(listed.request.asked_at);
    let (day, time) = (words::day(zone, sent, now), zone.clock(sent));
    say!("promises-sent", day = day, time = time)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn what_was_found_renders_empty_and_with_more_than_a_page() {
        let row = FoundPart {
            number: 7,
            who: AWKWARD.to_owned(),
            label: "AV-0007".to_owned(),
            state: ("broken", "Pledge broken".to_owned()),
            when: "Came Thursday 11 March, 15:40".to_owned(),
            place: AWKWARD.to_owned(),
        };
        let thing = Thing {
            href: "/plates/7".to_owned(),
            name: "Plate 7".to_owned(),
            says: AWKWARD.to_owned(),
        };
        for (rows, things) in [
            (vec![], vec![]),
            (vec![], vec![thing.clone()]),
            (vec![row], vec![thing]),
        ] {
            let full = !rows.is_empty();
            let nothing = !full && things.is_empty();
            let page = FoundPage {
                head: head(),
                title: "One part for “7”.".to_owned(),
                search: AWKWARD.to_owned(),
                things,
                more_things: 3,
                rows,
                which: "Page 2 of 3".to_owned(),
                before: Some("/promises?q=7".to_owned()),
                next: full.then(|| "/promises?q=7&page=3".to_owned()),
                self_url: "/promises?q=7&page=2".to_owned(),
            };
            let made = page.render().unwrap();
            sound(&made);
            assert_eq!(made.contains("Pledge broken"), full, "a state is a word");
            assert_eq!(made.contains("class=\"empty\""), nothing);
            assert_eq!(made.contains(">Parts</h2>"), full || nothing);
            assert_eq!(made.contains(">What was found</h2>"), !full && !nothing);
        }
    }

    #[test]
    fn the_heading_counts_other_things_where_there_is_no_part() {
        assert_eq!(title((0, 0), "x"), "No parts for “x”.");
        assert_eq!(title((0, 1), "s-1"), "One thing for “s-1”.");
        assert_eq!(title((0, 2), "teal"), "Two things for “teal”.");
        assert_eq!(title((1, 3), "newt"), "One part for “newt”.");
    }

    #[test]
    fn pages_hold_fifty_and_none_is_past_the_last() {
        for (found, page, shown) in [
            (0, 1, (1, 1)),
            (50, 2, (1, 1)),
            (51, 2, (2, 2)),
            (2_500, 99, (50, 50)),
            (2_500, 0, (1, 50)),
        ] {
            assert_eq!(paged(found, page), shown, "{found} {page}");
        }
    }

    #[test]
    fn every_word_must_be_found_and_a_number_as_a_whole() {
        let numbers = ["7".to_owned(), "av-0007".to_owned()];
        let finds = |search: &str| Wanted::new(search).are_in("Newt Works cable clip", &numbers);
        for yes in ["7", "007", "AV-0007", "newt CLIP", "clip 7"] {
            assert!(finds(yes), "{yes}");
        }
        for no in ["", "17", "70", "newt bracket", "AV-00070"] {
            assert!(!finds(no), "{no}");
        }
        assert!(!Wanted::new("clip").number_it("clip", &numbers));
        assert!(Wanted::new("clip 7").number_it("clip", &numbers));
    }
}
