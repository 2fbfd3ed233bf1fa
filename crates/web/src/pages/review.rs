//! The coordinator's queue, a request looked at, and short forms in which something is said.

use askama::Template;
use partpledge_records::{ListedRequest, Note, NoteKind, State};
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::boxes::{Hitch, MissedLeg};
use partpledge_workshop::doubts::{Doubt, open_doubts};
use partpledge_workshop::review::{Claim, Decline, Reason, Statement, guess};
use partpledge_workshop::{Books, Session};

use crate::pages::part::detail;
use crate::pages::recalls::{RecallRow, open_rows};
use crate::pages::send::Wrong;
use crate::who::Head;
use crate::words;

/// A request in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) detail: String,
    pub(crate) why: String,
}

/// A list with its heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct List {
    pub(crate) title: String,
    pub(crate) empty: String,
    pub(crate) rows: Vec<Row>,
}

/// The queue.
#[derive(Template)]
#[template(path = "review.html")]
pub(crate) struct ReviewPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) lists: Vec<List>,
    /// Recalls of which something is still to be checked.
    pub(crate) recalls: Vec<RecallRow>,
}

/// `Three parts wait for your review.`, or what else does.
fn heading(parts: usize, recalls: usize) -> String {
    let spelled = words::spelled::<usize>;
    match (parts, recalls) {
        (0, 0) => say!("review-nothing-waits"),
        (0, n) => say!("review-recalls-wait", n = n, count = spelled(n)),
        (n, _) => say!("review-waits", n = n, count = spelled(n)),
    }
}

/// A request with what a reviewer must know.
#[derive(Template)]
#[template(path = "review_one.html")]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a button of its own on the page"
)]
pub(crate) struct OnePage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// Address of a picture, what it shows, what stands under it.
    pub(crate) drawn: Vec<(String, String, String)>,
    pub(crate) facts: Vec<(String, String)>,
    pub(crate) guessed: Vec<String>,
    pub(crate) reports: Vec<String>,
    /// Boxes of it that somebody says something is wrong with.
    pub(crate) boxes: Vec<BoxAsk>,
    pub(crate) told: Vec<String>,
    pub(crate) held: bool,
    /// Whether the decision is the second one.
    pub(crate) last: bool,
    pub(crate) may_hold: bool,
    pub(crate) down: bool,
    /// Plates that run already and boxes that are closed, in sentences.
    pub(crate) runs: String,
    /// Requests with the same file, in sentences.
    pub(crate) same_file: String,
    /// The last note on it, so that a decision is on what was shown.
    pub(crate) seen: i64,
    pub(crate) reasons: Vec<(&'static str, String)>,
    pub(crate) words: String,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) key: String,
}

impl OnePage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        let found = self.wrong.iter().find(|wrong| wrong.field == field);
        found.map(|wrong| wrong.text.as_str())
    }
}

/// A box that waits for a decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct BoxAsk {
    pub(crate) plate: u64,
    /// The entry by which it was said.
    pub(crate) said: i64,
    pub(crate) says: String,
    /// What follows for the promise if it is made again.
    pub(crate) then: String,
    pub(crate) key: String,
}

/// A form in which something is said.
#[derive(Template)]
#[template(path = "say.html")]
pub(crate) struct SayPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) action: String,
    pub(crate) hidden: Vec<(&'static str, String)>,
    /// The number of a part, where that is asked for.
    pub(crate) number: Option<String>,
    pub(crate) ask: String,
    pub(crate) picks: Vec<(&'static str, String)>,
    pub(crate) picked: String,
    /// Empty where no words are asked for.
    pub(crate) words_label: String,
    pub(crate) words: String,
    pub(crate) button: String,
    pub(crate) back: String,
    pub(crate) back_text: String,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) key: String,
}

impl SayPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        let found = self.wrong.iter().find(|wrong| wrong.field == field);
        found.map(|wrong| wrong.text.as_str())
    }
}

/// Reasons as forms have them.
pub(crate) fn reasons() -> Vec<(&'static str, String)> {
    let all = Reason::choices();
    all.map(|reason| (reason.code(), reason.says())).collect()
}

/// Reasons of a host as forms have them.
pub(crate) fn declines() -> Vec<(&'static str, String)> {
    let all = Decline::ALL.iter();
    all.map(|reason| (reason.code(), reason.says())).collect()
}

/// What the sender stated, or that nobody asked.
pub(crate) fn stated(books: &Books, listed: &ListedRequest) -> String {
    let notes = books.notes(listed.request.id).iter();
    let mut said = notes.filter_map(Statement::read);
    said.next()
        .map_or_else(|| say!("review-not-asked"), |said| said.says())
}

/// Who noted something: the role, never the person.
fn by(session: &Session, role: &str) -> String {
    match role.split_once(':') {
        Some((_, code)) => {
            let school = session.terrain.file.school(code);
            school.map_or_else(|| say!("review-by-host"), |school| school.name.clone())
        }
        None => match role {
            "team" => say!("review-by-team"),
            "mentor" => say!("review-by-mentor"),
            "local" => say!("review-by-local"),
            "clock" => say!("review-by-server"),
            _ => say!("review-by-coordinator"),
        },
    }
}

/// A reason in words, with what was added to it.
pub(crate) fn why(note: &Note) -> String {
    let reason = Reason::parse(&note.said.reason).map(Reason::says);
    let reason = reason.or_else(|| Decline::parse(&note.said.reason).map(Decline::says));
    let reason = reason.or_else(|| Claim::parse(&note.said.reason).map(Claim::says));
    let reason = reason.or_else(|| Hitch::parse(&note.said.reason).map(Hitch::says));
    let reason = reason.or_else(|| Doubt::parse(&note.said.reason).map(Doubt::says));
    match (reason, note.said.words.as_str()) {
        (reason, "") => reason.unwrap_or_default(),
        (None, words) => say!("review-words", words = words),
        (Some(reason), words) => say!("review-reason-words", reason = reason, words = words),
    }
}

/// What somebody did about a request, without a full stop.
fn did(note: &Note, who: &str) -> String {
    match note.said.kind {
        NoteKind::Stated => say!("review-did-stated", who = who),
        NoteKind::Held if note.said.reason == "person" => {
            say!("review-did-held-by-hand", who = who)
        }
        NoteKind::Held => say!("review-did-held", who = who),
        NoteKind::Passed => say!("review-did-passed", who = who),
        NoteKind::Refused => say!("review-did-refused", who = who),
        NoteKind::Appealed => say!("review-did-appealed", who = who),
        NoteKind::Reported if note.said.reason == "mine" => {
            say!("review-did-reported-mine", who = who)
        }
        NoteKind::Reported => say!("review-did-reported", who = who),
        NoteKind::KeptUp => say!("review-did-kept-up", who = who),
        NoteKind::TakenDown => say!("review-did-taken-down", who = who),
        NoteKind::Declined => say!("review-did-declined", who = who),
        NoteKind::OverLimit => say!("review-did-over-limit", who = who),
        NoteKind::LegMissed => say!("review-did-leg-missed", who = who),
        NoteKind::BoxDoubted => say!("review-did-box-doubted", who = who),
        NoteKind::BoxAgain => say!("review-did-box-again", who = who),
        NoteKind::BoxRight => say!("review-did-box-right", who = who),
        NoteKind::Recalled => say!("review-did-recalled", who = who),
        NoteKind::RecallGood => say!("review-did-recall-good", who = who),
        NoteKind::RecallBad => say!("review-did-recall-bad", who = who),
        NoteKind::RecallLifted => say!("review-did-recall-lifted", who = who),
        NoteKind::WrongUnit => say!("review-did-wrong-unit", who = who),
    }
}

/// A note in a sentence.
pub(crate) fn note_says(session: &Session, note: &Note) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = Minute::at_or_before(note.at);
    let (day, time) = (words::day(zone, at, now), zone.clock(at));
    let did = did(note, &words::capital(&by(session, &note.role)));
    let why = why(note);
    if why.is_empty() {
        say!("review-note", did = did, day = day, time = time)
    } else {
        say!(
            "review-note-why",
            did = did,
            day = day,
            time = time,
            why = why
        )
    }
}

/// What was said and decided, for the team or for the coordinator: who reported something and which
/// host does not want to make it is not the team's.
pub(crate) fn told(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    coordinator: bool,
) -> Vec<String> {
    let for_all = |note: &&Note| {
        let kind = note.said.kind;
        coordinator
            || !matches!(
                kind,
                NoteKind::Reported | NoteKind::KeptUp | NoteKind::Declined
            )
    };
    let notes = books.notes(listed.request.id).iter().filter(for_all);
    // A round that did not come is one, however many boxes of it waited there.
    let mut rounds: Vec<(Minute, Hitch)> = Vec::new();
    let first = |note: &&Note| match MissedLeg::read(note) {
        Some(leg) if rounds.contains(&(leg.leaves, leg.why)) => false,
        Some(leg) => {
            rounds.push((leg.leaves, leg.why));
            true
        }
        None => true,
    };
    let notes = notes.filter(first);
    notes.map(|note| note_says(session, note)).collect()
}

/// The last note of a kind.
pub(crate) fn last(books: &Books, listed: &ListedRequest, kind: NoteKind) -> Option<Note> {
    let notes = books.notes(listed.request.id).iter();
    notes.rev().find(|note| note.said.kind == kind).cloned()
}

/// Whether it was refused only because nobody decided: no word about the part.
pub(crate) fn nobody_decided(books: &Books, listed: &ListedRequest) -> bool {
    let notes = books.notes(listed.request.id).iter();
    let mut refused = notes.filter(|note| note.said.kind == NoteKind::Refused);
    listed.request.state == State::Refused
        && refused.all(|note| note.said.reason == Reason::Undecided.code())
}

/// Why a request was held, in sentences.
pub(crate) fn guessed(books: &Books, listed: &ListedRequest) -> Vec<String> {
    let Some(note) = last(books, listed, NoteKind::Held) else {
        return Vec::new();
    };
    match note.said.reason.as_str() {
        "all" => vec![say!("review-guess-all")],
        "person" => vec![say!("review-guess-person")],
        _ => note
            .said
            .hints
            .iter()
            .map(|hint| guess::says(hint))
            .collect(),
    }
}

fn row(listed: &ListedRequest, why: String) -> Row {
    Row {
        number: listed.request.number,
        who: format!("{}, {}", words::capital(&listed.part), listed.request.team),
        detail: detail(listed),
        why,
    }
}

/// Boxes that somebody says are lost or wrong.
fn boxes(books: &Books) -> Vec<Row> {
    let doubted = open_doubts(books).into_iter().filter_map(|doubt| {
        let listed = books.request(doubt.request)?;
        let why = say!(
            "review-box-why",
            share = doubt.share,
            why = doubt.why.says()
        );
        Some(row(listed, why))
    });
    doubted.collect()
}

impl ReviewPage {
    /// What waits, what was reported, what was decided lately.
    pub(crate) fn new(head: Head, session: &Session, books: &Books) -> Self {
        let all = || books.requests.iter();
        let held = all().filter(|listed| listed.request.state == State::HeldForReview);
        let held: Vec<Row> = held
            .map(|listed| {
                let appealed = last(books, listed, NoteKind::Appealed);
                let why = appealed.map_or_else(
                    || guessed(books, listed).join(" "),
                    |appeal| say!("review-appealed", why = why(&appeal)),
                );
                row(listed, why)
            })
            .collect();
        let reported = all().filter_map(|listed| {
            let reports = books.open_reports(listed.request.id);
            let last = reports.last()?;
            Some(row(listed, say!("review-reported", why = why(last))))
        });
        let reported: Vec<Row> = reported.collect();
        let boxes = boxes(books);
        let decided = all().rev().filter_map(|listed| {
            let says = match listed.request.state {
                _ if books.taken_down(&listed.request) => say!("review-taken-down"),
                State::Refused if nobody_decided(books, listed) => say!("review-undecided"),
                State::Refused if books.may_appeal(listed.request.id) => say!("review-refused"),
                State::Refused => say!("review-refused-for-good"),
                _ => return None,
            };
            Some(row(listed, says))
        });
        let decided = decided.take(20).collect();
        let waiting = held.len() + reported.len() + boxes.len();
        let recalls = open_rows(session, books);
        Self {
            head,
            title: heading(waiting, recalls.len()),
            lead: say!("review-lead"),
            recalls,
            lists: vec![
                List {
                    title: say!("review-held-title"),
                    empty: say!("review-held-none"),
                    rows: held,
                },
                List {
                    title: say!("review-reported-title"),
                    empty: say!("review-reported-none"),
                    rows: reported,
                },
                List {
                    title: say!("review-boxes-title"),
                    empty: say!("review-boxes-none"),
                    rows: boxes,
                },
                List {
                    title: say!("review-decided-title"),
                    empty: say!("review-decided-none"),
                    rows: decided,
                },
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn wrong(field: &'static str) -> Vec<Wrong> {
        vec![Wrong {
            field,
            text: AWKWARD.to_owned(),
        }]
    }

    #[test]
    fn the_queue_renders_empty_and_full() {
        let row = Row {
            number: 7,
            who: AWKWARD.to_owned(),
            detail: AWKWARD.to_owned(),
            why: AWKWARD.to_owned(),
        };
        let list = |rows| List {
            title: "Held".to_owned(),
            empty: "No part is held.".to_owned(),
            rows,
        };
        for rows in [Vec::new(), vec![row.clone(), row]] {
            let page = ReviewPage {
                head: head(),
                title: AWKWARD.to_owned(),
                lead: String::new(),
                recalls: rows
                    .iter()
                    .map(|_| RecallRow {
                        entry: 9,
                        what: AWKWARD.to_owned(),
                        counts: AWKWARD.to_owned(),
                    })
                    .collect(),
                lists: vec![list(rows)],
            };
            sound(&page.render().unwrap());
        }
    }

    #[test]
    fn a_request_under_review_shows_only_what_can_be_done() {
        let mut page = OnePage {
            head: head(),
            number: 7,
            title: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            drawn: vec![(
                "/parts/7/part-1.png".to_owned(),
                AWKWARD.to_owned(),
                AWKWARD.to_owned(),
            )],
            facts: vec![("Team".to_owned(), AWKWARD.to_owned())],
            guessed: vec![AWKWARD.to_owned()],
            reports: vec![AWKWARD.to_owned()],
            boxes: vec![BoxAsk {
                plate: 214,
                said: 7,
                says: AWKWARD.to_owned(),
                then: String::new(),
                key: "k".to_owned(),
            }],
            told: vec![AWKWARD.to_owned()],
            held: true,
            last: true,
            may_hold: true,
            down: false,
            runs: AWKWARD.to_owned(),
            same_file: AWKWARD.to_owned(),
            seen: 7,
            reasons: reasons(),
            words: AWKWARD.to_owned(),
            wrong: wrong("refuse"),
            key: "k".to_owned(),
        };
        let full = page.render().unwrap();
        sound(&full);
        assert!(full.contains("href=\"#refuse\"") && full.contains("id=\"refuse\""));
        page.wrong = wrong("down");
        let full = page.render().unwrap();
        assert!(full.contains("href=\"#down\"") && full.contains("id=\"down\""));
        let bare = OnePage {
            drawn: Vec::new(),
            guessed: Vec::new(),
            reports: Vec::new(),
            boxes: Vec::new(),
            told: Vec::new(),
            held: false,
            may_hold: false,
            down: true,
            wrong: Vec::new(),
            ..page
        };
        let bare = bare.render().unwrap();
        sound(&bare);
        let main = bare.split("<footer").next().unwrap();
        assert!(
            !main.contains("<button"),
            "nothing to press that is not possible"
        );
    }

    #[test]
    fn a_form_to_say_something_links_to_what_is_wrong() {
        for field in ["number", "reason", "words"] {
            let page = SayPage {
                head: head(),
                title: AWKWARD.to_owned(),
                lead: AWKWARD.to_owned(),
                action: "/report".to_owned(),
                hidden: vec![("plate", "7".to_owned())],
                number: Some(AWKWARD.to_owned()),
                ask: "Why?".to_owned(),
                picks: reasons(),
                picked: "unclear".to_owned(),
                words_label: "In your words".to_owned(),
                words: AWKWARD.to_owned(),
                button: "Send".to_owned(),
                back: "/parts".to_owned(),
                back_text: "Back".to_owned(),
                wrong: wrong(field),
                key: "k".to_owned(),
            };
            let page = page.render().unwrap();
            sound(&page);
            assert!(page.contains(&format!("href=\"#{field}\"")), "{field}");
            assert!(page.contains(&format!("id=\"{field}\"")), "{field}");
            assert_eq!(page.matches(" checked").count(), 1);
        }
    }
}
