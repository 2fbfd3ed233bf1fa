//! A team's parts: what needs it, what is on the way, what came.

use std::collections::BTreeMap;

use askama::Template;
use partpledge_records::{ListedRequest, PledgeKind, State};
use partpledge_units::ids::RequestId;
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::sending::spares::{SparesBench, benches, spare_at};
use partpledge_workshop::{Books, Session, place_says};

use crate::figures::{Mini, Stroke, tally};
use crate::pages::part::detail;
use crate::pages::review::nobody_decided;
use crate::pages::spares::hours;
use crate::pages::ticket;
use crate::who::Head;
use crate::words;

/// A part in the list.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    pub(crate) number: i64,
    pub(crate) name: String,
    pub(crate) detail: String,
    pub(crate) when: String,
    pub(crate) in_ten: i64,
    pub(crate) strokes: Vec<Stroke>,
    /// The chance that was promised, where it is less by now.
    pub(crate) less_than: Option<i64>,
    pub(crate) mini: Option<Mini>,
    pub(crate) stop: String,
    /// What a state asks or says: glyph, words, text.
    pub(crate) state: Option<(&'static str, String)>,
    pub(crate) text: String,
}

/// All parts of a team.
#[derive(Template)]
#[template(path = "parts.html")]
pub(crate) struct PartsPage {
    pub(crate) head: Head,
    pub(crate) team: String,
    pub(crate) lead: String,
    /// Where spares are printed today, in sentences.
    pub(crate) spares: Vec<String>,
    pub(crate) needs: Vec<Line>,
    /// Parts that the coordinator looks at.
    pub(crate) looked_at: Vec<Line>,
    pub(crate) coming: Vec<Line>,
    /// Promised and not made: promises that we broke, in a place of their own.
    pub(crate) not_made: Vec<Line>,
    pub(crate) came: Vec<Line>,
    pub(crate) withdrawn: Vec<Line>,
}

fn minute(ms: EventMs) -> Minute {
    Minute::at_or_before(ms)
}

impl PartsPage {
    /// The list of a team.
    pub(crate) fn new(
        head: Head,
        session: &Session,
        books: &Books,
        outcomes: &BTreeMap<RequestId, Outcome>,
        team: &str,
    ) -> Self {
        let mut page = Self {
            head,
            team: team.to_owned(),
            lead: String::new(),
            spares: benches(session)
                .iter()
                .map(|bench| printed_at(session, bench))
                .collect(),
            needs: Vec::new(),
            looked_at: Vec::new(),
            coming: Vec::new(),
            not_made: Vec::new(),
            came: Vec::new(),
            withdrawn: Vec::new(),
        };
        let mut next: Option<(Minute, String)> = None;
        let own = books.requests.iter().filter(|r| r.request.team == team);
        for listed in own {
            let outcome = outcomes.get(&listed.request.id);
            let promised = books.pledge_of(listed.request.id);
            let ended = promised.and_then(|promised| promised.end.as_ref().map(|end| end.kind));
            let line = line(session, books, listed, outcome);
            match (listed.request.state, promised, ended) {
                (State::HeldForReview, _, _) => page.looked_at.push(line),
                (State::Withdrawn, _, Some(PledgeKind::Broken)) => page.not_made.push(line),
                (_, _, Some(PledgeKind::Kept | PledgeKind::Broken)) => page.came.push(line),
                (State::Withdrawn | State::Recalled, _, _) | (_, _, Some(_)) => {
                    page.withdrawn.push(line);
                }
                (_, Some(promised), None) => {
                    // Of what is at risk the promise is no more what comes next.
                    let late = outcome.filter(|outcome| outcome.at_risk());
                    let late = late.and_then(|outcome| outcome.likely);
                    let arrival = late.unwrap_or(promised.pledge.arrival);
                    if next.as_ref().is_none_or(|(at, _)| arrival < *at) {
                        next = Some((arrival, listed.part.clone()));
                    }
                    page.coming.push(line);
                }
                _ => page.needs.push(line),
            }
        }
        page.not_made.reverse();
        page.came.reverse();
        page.withdrawn.reverse();
        page.lead = lead(session, &page, next.as_ref());
        page
    }
}

/// `Spares are printed today at the Valley qualifier: ...`
fn printed_at(session: &Session, bench: &SparesBench) -> String {
    let (meeting, at) = (&bench.meeting, &bench.at);
    let open = hours(session, bench);
    say!(
        "parts-spares-today",
        meeting = meeting,
        at = at,
        bench = bench.bench,
        open = open
    )
}

/// `One part needs a change from you. Three are on the way. The next to arrive is ...`
fn lead(session: &Session, page: &PartsPage, next: Option<&(Minute, String)>) -> String {
    let mut out = Vec::new();
    let spelled = words::spelled::<usize>;
    if !page.needs.is_empty() {
        let n = page.needs.len();
        out.push(say!("parts-lead-needs", n = n, count = spelled(n)));
    }
    if !page.looked_at.is_empty() {
        let n = page.looked_at.len();
        out.push(say!("parts-lead-looked-at", n = n, count = spelled(n)));
    }
    if !page.coming.is_empty() {
        let n = page.coming.len();
        out.push(say!("parts-lead-coming", n = n, count = spelled(n)));
    }
    if let Some((at, part)) = next {
        let by = words::by(&session.terrain.zone, *at, session.minute());
        out.push(say!("parts-lead-next", part = part, by = by));
    }
    if out.is_empty() {
        return say!("parts-lead-none");
    }
    out.join(" ")
}

/// At which stop of its journey it is, in words and as a line.
fn on_its_way(session: &Session, books: &Books, listed: &ListedRequest) -> (String, Option<Mini>) {
    let (mini, stop) = ticket::short(session, books, listed);
    let says = say!(
        "parts-stop",
        n = ticket::stage(books, listed).stop(),
        most = ticket::STOPS,
        stop = stop
    );
    (says, Some(mini))
}

fn line(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    outcome: Option<&Outcome>,
) -> Line {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let request = &listed.request;
    let sent = minute(request.asked_at);
    let mut out = Line {
        number: request.number,
        name: listed.part.clone(),
        detail: say!(
            "parts-detail",
            number = words::number(&session.terrain.file.name, request.number),
            detail = detail(listed),
            day = words::day(zone, sent, now),
            time = zone.clock(sent)
        ),
        when: String::new(),
        in_ten: 0,
        strokes: Vec::new(),
        less_than: None,
        mini: None,
        stop: String::new(),
        state: None,
        text: String::new(),
    };
    let promised = books.pledge_of(request.id);
    let Some(promised) = promised.filter(|_| request.state != State::Recalled) else {
        (out.state, out.text) = unpledged(books, listed);
        if request.state == State::Withdrawn {
            out.text = withdrawn(session, books, listed);
        }
        return out;
    };
    let arrival = promised.pledge.arrival;
    let (day, time) = (zone.day(arrival), zone.clock(arrival));
    let by = say!("dates-by", day = day, time = time);
    match promised
        .end
        .as_ref()
        .map(|end| (end.kind, minute(end.recorded_at)))
    {
        Some((PledgeKind::Broken, _)) if request.state == State::Withdrawn => {
            out.state = Some(("broken", say!("parts-broken")));
            out.text = not_printed(session, listed, &by);
        }
        Some((kind @ (PledgeKind::Kept | PledgeKind::Broken), came)) => {
            out.when = say!(
                "parts-came-on",
                day = words::day(zone, came, now),
                time = zone.clock(came)
            );
            let late = (kind == PledgeKind::Broken).then(|| words::length(came - arrival));
            (out.state, out.text) = kept(&by, late.as_deref());
        }
        Some((PledgeKind::Superseded, _)) => {
            out.state = Some(("withdrawn", say!("parts-replaced")));
            let says = replaced(session, books, listed);
            out.text = says.unwrap_or_else(|| say!("parts-replaced-text"));
        }
        Some(_) => {
            out.state = Some(("withdrawn", say!("parts-withdrawn")));
            out.text = withdrawn(session, books, listed);
        }
        None => {
            let by = words::by(zone, arrival, now);
            let place = place_says(&promised.pledge.place);
            out.when = format!("{}, {place}", words::capital(&by));
            (out.stop, out.mini) = on_its_way(session, books, listed);
            coming(session, &mut out, outcome, promised.pledge.probability);
        }
    }
    out
}

/// That it was promised and not printed, and of a spare why.
fn not_printed(session: &Session, listed: &ListedRequest, by: &str) -> String {
    match spares_at(session, listed) {
        Some(bench) => say!("parts-spare-not-printed", by = by, bench = bench),
        None => say!("parts-not-printed", by = by),
    }
}

/// The school at whose bench a spare was to be printed, of a spare.
pub(crate) fn spares_at<'a>(session: &'a Session, listed: &ListedRequest) -> Option<&'a str> {
    let host = spare_at(session, listed)?;
    let school = session.terrain.file.school(&host.school)?;
    Some(school.name.as_str())
}

/// What is said of a part that was called back: by hand, or by what was sent in its place.
fn withdrawn(session: &Session, books: &Books, listed: &ListedRequest) -> String {
    replaced(session, books, listed).unwrap_or_else(|| say!("parts-withdrawn-text"))
}

/// What took its place, if something did.
fn replaced(session: &Session, books: &Books, listed: &ListedRequest) -> Option<String> {
    let next = books.in_place_of(listed.request.id)?;
    let number = words::number(&session.terrain.file.name, next.request.number);
    Some(say!("parts-newer-sent", number = number))
}

/// What is said of what came, `late` if it did.
fn kept(by: &str, late: Option<&str>) -> (Option<(&'static str, String)>, String) {
    match late {
        None => (
            Some(("kept", say!("parts-kept"))),
            say!("parts-kept-text", by = by),
        ),
        Some(late) => (
            Some(("broken", say!("parts-broken"))),
            say!("parts-came-late", by = by, late = late),
        ),
    }
}

fn coming(session: &Session, out: &mut Line, outcome: Option<&Outcome>, given: f64) {
    let risky = outcome.filter(|outcome| outcome.at_risk());
    out.in_ten = risky.map_or(words::in_ten(given), |now| words::about_in_ten(now.chance));
    out.strokes = tally(out.in_ten);
    if let Some(now) = risky {
        out.less_than = Some(words::in_ten(given));
        out.state = Some(("risk", say!("parts-at-risk")));
        out.text = now.likely.map_or_else(
            || say!("parts-comes-unknown"),
            |at| {
                let by = words::by(&session.terrain.zone, at, session.minute());
                say!("parts-comes-by", by = by)
            },
        );
    }
}

/// How a part without a promise stands: glyph and words.
pub(crate) fn without_promise(books: &Books, listed: &ListedRequest) -> (&'static str, String) {
    unpledged(books, listed)
        .0
        .unwrap_or_else(|| ("pen", say!("parts-not-promised")))
}

fn unpledged(books: &Books, listed: &ListedRequest) -> (Option<(&'static str, String)>, String) {
    match listed.request.state {
        State::NeedsChange => (
            Some(("pen", say!("parts-needs-change"))),
            say!("parts-needs-change-text"),
        ),
        State::HeldForReview => (Some(("look", say!("parts-held"))), say!("parts-held-text")),
        State::Refused if nobody_decided(books, listed) => (
            Some(("pen", say!("parts-undecided"))),
            say!("parts-undecided-text"),
        ),
        State::Refused => (
            Some(("pen", say!("parts-refused"))),
            say!("parts-refused-text"),
        ),
        State::Recalled => (
            Some(("withdrawn", say!("parts-taken-down"))),
            say!("parts-taken-down-text"),
        ),
        State::Withdrawn => (
            Some(("withdrawn", say!("parts-withdrawn"))),
            say!("parts-withdrawn-text"),
        ),
        _ => (
            Some(("pen", say!("parts-not-promised"))),
            say!("parts-not-promised-text"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::mini;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn sample(state: Option<(&'static str, &str)>) -> Line {
        Line {
            number: 7,
            name: AWKWARD.to_owned(),
            detail: AWKWARD.to_owned(),
            when: "Today by 15:40".to_owned(),
            in_ten: 8,
            strokes: tally(8),
            less_than: state.map(|_| 9),
            mini: Some(mini(4, ticket::STOPS)),
            stop: AWKWARD.to_owned(),
            state: state.map(|(glyph, words)| (glyph, words.to_owned())),
            text: AWKWARD.to_owned(),
        }
    }

    #[test]
    fn the_list_renders_empty_and_with_every_state() {
        let mut page = PartsPage {
            head: head(),
            team: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            spares: vec![AWKWARD.to_owned()],
            needs: Vec::new(),
            looked_at: Vec::new(),
            coming: Vec::new(),
            not_made: Vec::new(),
            came: Vec::new(),
            withdrawn: Vec::new(),
        };
        let empty = page.render().unwrap();
        sound(&empty);
        assert_eq!(
            empty.matches("class=\"empty\"").count(),
            3,
            "each list says that it is empty"
        );
        page.needs = vec![sample(Some(("pen", "Needs a change")))];
        page.looked_at = vec![sample(Some(("look", "Looked at first")))];
        page.coming = vec![sample(None), sample(Some(("risk", "At risk")))];
        page.came = vec![
            sample(Some(("kept", "Pledge kept"))),
            sample(Some(("broken", "Pledge broken"))),
        ];
        assert!(!empty.contains("Promised and not made"));
        page.not_made = vec![sample(Some(("broken", "Pledge broken")))];
        page.withdrawn = vec![sample(Some(("withdrawn", "Withdrawn")))];
        let full = page.render().unwrap();
        sound(&full);
        assert!(full.contains("Promised and not made"));
        for words in ["Needs a change", "At risk", "Pledge kept", "Pledge broken"] {
            assert!(
                full.contains(words),
                "a state is a glyph and a word: {words}"
            );
        }
        assert!(!full.contains("class=\"empty\""));
    }
}
