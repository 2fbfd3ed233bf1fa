//! The coordinator's queue, a request looked at, and short forms in which something is said.

use askama::Template;
use partpledge_records::{ListedRequest, Note, NoteKind, State};
use partpledge_units::time::Minute;
use partpledge_workshop::boxes::{Hitch, MissedLeg};
use partpledge_workshop::doubts::{Doubt, open_doubts};
use partpledge_workshop::review::{Claim, Decline, Reason, Statement, guess};
use partpledge_workshop::{Books, Session};

use crate::pages::part::detail;
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
    pub(crate) title: &'static str,
    pub(crate) empty: &'static str,
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
    pub(crate) facts: Vec<(&'static str, String)>,
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
    pub(crate) reasons: Vec<(&'static str, &'static str)>,
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
    pub(crate) then: &'static str,
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
    pub(crate) ask: &'static str,
    pub(crate) picks: Vec<(&'static str, &'static str)>,
    pub(crate) picked: String,
    /// Empty where no words are asked for.
    pub(crate) words_label: &'static str,
    pub(crate) words: String,
    pub(crate) button: &'static str,
    pub(crate) back: String,
    pub(crate) back_text: &'static str,
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
pub(crate) fn reasons() -> Vec<(&'static str, &'static str)> {
    let all = Reason::choices();
    all.map(|reason| (reason.code(), reason.says())).collect()
}

/// Reasons of a host as forms have them.
pub(crate) fn declines() -> Vec<(&'static str, &'static str)> {
    let all = Decline::ALL.iter();
    all.map(|reason| (reason.code(), reason.says())).collect()
}

/// What the sender stated, or that nobody asked.
pub(crate) fn stated(books: &Books, listed: &ListedRequest) -> String {
    let notes = books.notes(listed.request.id).iter();
    let mut said = notes.filter_map(Statement::read);
    said.next()
        .map_or_else(|| "Not asked.".to_owned(), |said| said.says())
}

/// Who noted something: the role, never the person.
fn by(session: &Session, role: &str) -> String {
    match role.split_once(':') {
        Some((_, code)) => {
            let school = session.terrain.file.school(code);
            school.map_or_else(|| "a host".to_owned(), |school| school.name.clone())
        }
        None => match role {
            "team" => "a student of the team",
            "mentor" => "the team’s mentor",
            "local" => "somebody at the server",
            "clock" => "the server",
            _ => "the coordinator",
        }
        .to_owned(),
    }
}

/// A reason in words, with what was added to it.
pub(crate) fn why(note: &Note) -> String {
    let reason = Reason::parse(&note.said.reason).map(Reason::says);
    let reason = reason.or_else(|| Decline::parse(&note.said.reason).map(Decline::says));
    let reason = reason.or_else(|| Claim::parse(&note.said.reason).map(Claim::says));
    let reason = reason.or_else(|| Hitch::parse(&note.said.reason).map(Hitch::says));
    let reason = reason.or_else(|| Doubt::parse(&note.said.reason).map(Doubt::says));
    let words = match note.said.words.as_str() {
        "" => String::new(),
        words => format!("“{words}”"),
    };
    [reason.unwrap_or_default(), &words]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// A note in a sentence.
pub(crate) fn note_says(session: &Session, note: &Note) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = Minute(note.at.0.div_euclid(60_000));
    let what = match note.said.kind {
        NoteKind::Stated => "sent it and stated",
        NoteKind::Held if note.said.reason == "person" => "held it for review",
        NoteKind::Held => "sent it, and it was held for review",
        NoteKind::Passed => "let it through",
        NoteKind::Refused => "refused it",
        NoteKind::Appealed => "asked for a second look",
        NoteKind::Reported if note.said.reason == "mine" => "said: this is mine",
        NoteKind::Reported => "said that it should not be here",
        NoteKind::KeptUp => "looked at a report and left it",
        NoteKind::TakenDown => "took it down",
        NoteKind::Declined => "does not make a plate of it",
        NoteKind::OverLimit => "asked for more than the limit",
        NoteKind::LegMissed => "said that its box did not go",
        NoteKind::BoxDoubted => "said that something is wrong with a box",
        NoteKind::BoxAgain => "had what was in a box made again",
        NoteKind::BoxRight => "said that a box was found, or is right",
        NoteKind::Recalled => "recalled copies of it",
        NoteKind::RecallGood => "checked recalled copies: they are good",
        NoteKind::RecallBad => "checked recalled copies: they are not good",
        NoteKind::RecallLifted => "lifted a recall",
        NoteKind::WrongUnit => "said that it came out in the wrong unit",
    };
    let when = format!("{} at {}", words::day(zone, at, now), zone.clock(at));
    let who = words::capital(&by(session, &note.role));
    let why = why(note);
    let end = if why.is_empty() { "." } else { ": " };
    format!("{who} {what}, {when}{end}{why}")
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

/// Why a request was held, in sentences.
pub(crate) fn guessed(books: &Books, listed: &ListedRequest) -> Vec<String> {
    let Some(note) = last(books, listed, NoteKind::Held) else {
        return Vec::new();
    };
    match note.said.reason.as_str() {
        "all" => vec!["The region looks at every request of this team.".to_owned()],
        "person" => vec!["It was held by hand.".to_owned()],
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
        let why = format!("Box {}. {}", doubt.share, doubt.why.says());
        Some(row(listed, why))
    });
    doubted.collect()
}

impl ReviewPage {
    /// What waits, what was reported, what was decided lately.
    pub(crate) fn new(head: Head, books: &Books) -> Self {
        let all = || books.requests.iter();
        let held = all().filter(|listed| listed.request.state == State::HeldForReview);
        let held: Vec<Row> = held
            .map(|listed| {
                let appealed = last(books, listed, NoteKind::Appealed);
                let why = appealed.map_or_else(
                    || guessed(books, listed).join(" "),
                    |appeal| format!("The team has appealed: {}", why(&appeal)),
                );
                row(listed, why)
            })
            .collect();
        let reported = all().filter_map(|listed| {
            let reports = books.open_reports(listed.request.id);
            let last = reports.last()?;
            Some(row(listed, format!("Reported. {}", why(last))))
        });
        let reported: Vec<Row> = reported.collect();
        let boxes = boxes(books);
        let decided = all().rev().filter_map(|listed| {
            let says = match listed.request.state {
                _ if books.taken_down(&listed.request) => "Taken down.",
                State::Refused if books.may_appeal(listed.request.id) => "Refused.",
                State::Refused => "Refused for good.",
                _ => return None,
            };
            Some(row(listed, says.to_owned()))
        });
        let decided = decided.take(20).collect();
        let waiting = held.len() + reported.len() + boxes.len();
        let title = match waiting {
            0 => "Nothing waits for your review.".to_owned(),
            n => format!(
                "{} for your review.",
                words::capital(&words::spelled(n, "part waits", "parts wait"))
            ),
        };
        Self {
            head,
            title,
            lead:
                "A program only guesses; you decide. Nothing is promised for a part before that, \
                   and the team waits, so answer within a day."
                    .to_owned(),
            lists: vec![
                List {
                    title: "Held",
                    empty: "No part is held.",
                    rows: held,
                },
                List {
                    title: "Reported",
                    empty: "Nobody has reported a part.",
                    rows: reported,
                },
                List {
                    title: "Boxes",
                    empty: "Nobody says that a box is lost or wrong.",
                    rows: boxes,
                },
                List {
                    title: "Decided lately",
                    empty: "Nothing was refused or taken down.",
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
            title: "Held",
            empty: "No part is held.",
            rows,
        };
        for rows in [Vec::new(), vec![row.clone(), row]] {
            let page = ReviewPage {
                head: head(),
                title: AWKWARD.to_owned(),
                lead: String::new(),
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
            facts: vec![("Team", AWKWARD.to_owned())],
            guessed: vec![AWKWARD.to_owned()],
            reports: vec![AWKWARD.to_owned()],
            boxes: vec![BoxAsk {
                plate: 214,
                said: 7,
                says: AWKWARD.to_owned(),
                then: "",
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
                ask: "Why?",
                picks: reasons(),
                picked: "unclear".to_owned(),
                words_label: "In your words",
                words: AWKWARD.to_owned(),
                button: "Send",
                back: "/parts".to_owned(),
                back_text: "Back",
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
