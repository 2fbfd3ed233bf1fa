//! A team's parts: what needs it, what is on the way, what came.

use std::collections::BTreeMap;

use askama::Template;
use partpledge_records::{ListedRequest, PledgeKind, State};
use partpledge_units::ids::RequestId;
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::sending::spares::{SparesBench, benches};
use partpledge_workshop::{Books, Session};

use crate::figures::{Mini, Stroke, tally};
use crate::pages::part::detail;
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
    pub(crate) odds: String,
    pub(crate) mini: Option<Mini>,
    pub(crate) stop: String,
    /// What a state asks or says: glyph, words, text.
    pub(crate) state: Option<(&'static str, &'static str)>,
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
    pub(crate) came: Vec<Line>,
    pub(crate) withdrawn: Vec<Line>,
}

fn minute(ms: EventMs) -> Minute {
    Minute(ms.0.div_euclid(60_000))
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
                (State::Withdrawn, _, Some(PledgeKind::Broken)) => page.withdrawn.push(line),
                (_, _, Some(PledgeKind::Kept | PledgeKind::Broken)) => page.came.push(line),
                (State::Withdrawn | State::Recalled, _, _) | (_, _, Some(_)) => {
                    page.withdrawn.push(line);
                }
                (_, Some(promised), None) => {
                    let arrival = promised.pledge.arrival;
                    if next.as_ref().is_none_or(|(at, _)| arrival < *at) {
                        next = Some((arrival, listed.part.clone()));
                    }
                    page.coming.push(line);
                }
                _ => page.needs.push(line),
            }
        }
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
    format!(
        "Spares are printed today at the {meeting}: {at}, {}. {open} Open the part that you need.",
        bench.bench
    )
}

/// `One part needs a change from you. Three are on the way. The next to arrive is ...`
fn lead(session: &Session, page: &PartsPage, next: Option<&(Minute, String)>) -> String {
    let mut out = Vec::new();
    if !page.needs.is_empty() {
        let many = words::spelled(page.needs.len(), "part needs", "parts need");
        out.push(format!("{} something from you.", words::capital(&many)));
    }
    if !page.looked_at.is_empty() {
        let many = words::spelled(page.looked_at.len(), "part is", "parts are");
        out.push(format!("{} looked at first.", words::capital(&many)));
    }
    if !page.coming.is_empty() {
        let many = words::spelled(page.coming.len(), "part is", "parts are");
        out.push(format!("{} on the way.", words::capital(&many)));
    }
    if let Some((at, part)) = next {
        let by = words::by(&session.terrain.zone, *at, session.minute());
        out.push(format!("The next to arrive is the {part}, {by}."));
    }
    if out.is_empty() {
        return "Nothing is on the way. Send a part, and its promise will be here in a minute."
            .to_owned();
    }
    out.join(" ")
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
        detail: format!(
            "No. {}, {}, sent {} {}",
            words::number(&session.terrain.file.name, request.number),
            detail(listed),
            words::day(zone, sent, now),
            zone.clock(sent)
        ),
        when: String::new(),
        in_ten: 0,
        strokes: Vec::new(),
        odds: String::new(),
        mini: None,
        stop: String::new(),
        state: None,
        text: String::new(),
    };
    let promised = books.pledge_of(request.id);
    let Some(promised) = promised.filter(|_| request.state != State::Recalled) else {
        (out.state, out.text) = unpledged(request.state);
        return out;
    };
    let arrival = promised.pledge.arrival;
    let by = format!("{} by {}", zone.day(arrival), zone.clock(arrival));
    match promised
        .end
        .as_ref()
        .map(|end| (end.kind, minute(end.recorded_at)))
    {
        Some((PledgeKind::Broken, _)) if request.state == State::Withdrawn => {
            out.state = Some(("broken", "Pledge broken"));
            out.text = format!("We promised {by} and did not print it. We are sorry.");
        }
        Some((kind @ (PledgeKind::Kept | PledgeKind::Broken), came)) => {
            out.when = format!("Came {}, {}", words::day(zone, came, now), zone.clock(came));
            let late = (kind == PledgeKind::Broken).then(|| words::length(came - arrival));
            (out.state, out.text) = kept(&by, late.as_deref());
        }
        Some((PledgeKind::Superseded, _)) => {
            out.state = Some(("withdrawn", "Replaced"));
            "Another one took its place.".clone_into(&mut out.text);
        }
        Some(_) => {
            out.state = Some(("withdrawn", "Withdrawn"));
            "You called it back. You can send it again.".clone_into(&mut out.text);
        }
        None => {
            let by = words::by(zone, arrival, now);
            out.when = format!("{}, {}", words::capital(&by), promised.pledge.place);
            let (mini, stop) = ticket::short(session, books, listed);
            out.stop = format!(
                "Stop {} of {}: {stop}",
                ticket::stage(books, listed).stop(),
                ticket::STOPS
            );
            out.mini = Some(mini);
            coming(session, &mut out, outcome, promised.pledge.probability);
        }
    }
    out
}

/// What is said of what came, `late` if it did.
fn kept(by: &str, late: Option<&str>) -> (Option<(&'static str, &'static str)>, String) {
    match late {
        None => (Some(("kept", "Pledge kept")), format!("Promised {by}.")),
        Some(late) => (
            Some(("broken", "Pledge broken")),
            format!("We promised {by} and it came {late} late. We are sorry."),
        ),
    }
}

fn coming(session: &Session, out: &mut Line, outcome: Option<&Outcome>, given: f64) {
    let risky = outcome.filter(|outcome| outcome.at_risk());
    out.in_ten = risky.map_or(words::in_ten(given), |now| words::about_in_ten(now.chance));
    out.strokes = tally(out.in_ten);
    if let Some(now) = risky {
        out.odds = format!(
            ", less sure than the {} in 10 promised",
            words::in_ten(given)
        );
        out.state = Some(("risk", "At risk"));
        out.text = now.likely.map_or_else(
            || "As things stand we can’t say when it comes.".to_owned(),
            |at| {
                let by = words::by(&session.terrain.zone, at, session.minute());
                format!("As things stand it comes {by}.")
            },
        );
    }
}

fn unpledged(state: State) -> (Option<(&'static str, &'static str)>, String) {
    match state {
        State::NeedsChange => (
            Some(("pen", "Needs a change")),
            "It can’t be printed as it is. See where, and how to mend it.".to_owned(),
        ),
        State::HeldForReview => (
            Some(("look", "Looked at first")),
            "The coordinator looks at it before anything is promised.".to_owned(),
        ),
        State::Refused => (
            Some(("pen", "Refused")),
            "We don’t print it as it is. See why, and what you can do.".to_owned(),
        ),
        State::Recalled => (
            Some(("withdrawn", "Taken down")),
            "The coordinator took it down. See why.".to_owned(),
        ),
        State::Withdrawn => (
            Some(("withdrawn", "Withdrawn")),
            "You called it back. You can send it again.".to_owned(),
        ),
        _ => (
            Some(("pen", "Not promised yet")),
            "It can be printed, but no day is promised. See what is possible.".to_owned(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::mini;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn sample(state: Option<(&'static str, &'static str)>) -> Line {
        Line {
            number: 7,
            name: AWKWARD.to_owned(),
            detail: AWKWARD.to_owned(),
            when: "Today by 15:40".to_owned(),
            in_ten: 8,
            strokes: tally(8),
            odds: AWKWARD.to_owned(),
            mini: Some(mini(4, ticket::STOPS)),
            stop: AWKWARD.to_owned(),
            state,
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
        page.withdrawn = vec![sample(Some(("withdrawn", "Withdrawn")))];
        let full = page.render().unwrap();
        sound(&full);
        for words in ["Needs a change", "At risk", "Pledge kept", "Pledge broken"] {
            assert!(
                full.contains(words),
                "a state is a glyph and a word: {words}"
            );
        }
        assert!(!full.contains("class=\"empty\""));
    }
}
