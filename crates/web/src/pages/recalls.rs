//! Recalls: what is to be recalled, what that would do, what is open, and each one request by request.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_units::ids::RequestId;
use partpledge_units::local::Zone;
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::recalls::{
    Affected, Fate, OfRequest, Recall, Target, Which, of_request, printers, recalls,
};
use partpledge_workshop::{Books, Session, wrong_unit};

use super::entry::wrong_with;
use crate::pages::send::Wrong;
use crate::who::Head;
use crate::words;

/// The forms as they were typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    pub(crate) printer: String,
    pub(crate) from_day: String,
    pub(crate) from_clock: String,
    pub(crate) until_day: String,
    pub(crate) until_clock: String,
    pub(crate) number: String,
}

/// A request with what is recalled of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) says: String,
}

/// What a recall would do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Shown {
    pub(crate) verdict: String,
    pub(crate) then: Vec<String>,
    pub(crate) rows: Vec<Row>,
    /// What the button sends.
    pub(crate) fields: Vec<(&'static str, String)>,
}

/// A recall in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RecallRow {
    pub(crate) entry: i64,
    pub(crate) what: String,
    pub(crate) counts: String,
}

/// The page.
#[derive(Template)]
#[template(path = "recalls.html")]
pub(crate) struct RecallsPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) shown: Option<Shown>,
    pub(crate) open: Vec<RecallRow>,
    pub(crate) over: Vec<RecallRow>,
    pub(crate) printers: Vec<String>,
    pub(crate) typed: Typed,
}

impl RecallsPage {
    /// The page with nothing shown yet.
    pub(crate) fn new(head: Head, session: &Session, books: &Books, typed: Typed) -> Self {
        let all = recalls(books);
        let (open, over): (Vec<&Recall>, Vec<&Recall>) = all.iter().partition(|one| one.open());
        let rows = |list: Vec<&Recall>| list.into_iter().map(|one| row(session, one)).collect();
        Self {
            head,
            title: "Recall copies".to_owned(),
            lead: "When a printer has drifted, or an old file was printed. You see which copies \
                   it is about before anything is done."
                .to_owned(),
            wrong: Vec::new(),
            shown: None,
            open: rows(open),
            over: rows(over),
            printers: printers(session, books),
            typed,
        }
    }

    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

/// One recall.
#[derive(Template)]
#[template(path = "recall.html")]
pub(crate) struct RecallPage {
    pub(crate) head: Head,
    pub(crate) entry: i64,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) rows: Vec<Row>,
    pub(crate) open: bool,
    pub(crate) key: String,
}

impl RecallPage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        books: &Books,
        recall: &Recall,
        key: String,
    ) -> Self {
        let rows = recall.requests.iter().filter_map(|one| {
            let listed = books.request(one.request)?;
            Some(request_row(listed, &one.copies))
        });
        let open = recall.open();
        let title = match (open, recall.lifted) {
            (true, _) if recall.count(Fate::open) == 0 => {
                "Nothing can be checked yet: it is still being made.".to_owned()
            }
            (true, _) => {
                let many = recall.count(Fate::open);
                let waits = words::spelled(many, "copy waits", "copies wait");
                format!("{} to be checked.", words::capital(&waits))
            }
            (false, Some(_)) => "This recall was lifted.".to_owned(),
            (false, None) => "Nothing is left to be checked.".to_owned(),
        };
        Self {
            entry: recall.entry,
            title,
            lead: format!(
                "{} Recalled {}.",
                what(session, &recall.target),
                when(session, recall.at)
            ),
            rows: rows.collect(),
            open,
            key,
            head,
        }
    }
}

fn when(session: &Session, at: EventMs) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = Minute(at.0.div_euclid(60_000));
    format!("{} at {}", words::day(zone, at, now), zone.clock(at))
}

fn full(zone: &Zone, at: EventMs) -> String {
    let at = Minute(at.0.div_euclid(60_000));
    format!("{}, {}", zone.day(at), zone.clock(at))
}

/// What was recalled, in a sentence.
pub(crate) fn what(session: &Session, target: &Target) -> String {
    let zone = &session.terrain.zone;
    match target {
        Target::Printer { name, from, until } => format!(
            "Made on {name} from {} until {}.",
            full(zone, *from),
            full(zone, *until)
        ),
        Target::Version { number, newer } => {
            format!("Made of the file of part {number}, which part {newer} has replaced.")
        }
    }
}

/// Why copies were recalled, for their team.
pub(crate) fn because(target: &Target, many: usize) -> String {
    let (was, are) = match many {
        1 => ("it was", "It is"),
        _ => ("they were", "They are"),
    };
    match target {
        Target::Printer { name, .. } => {
            format!("The printer {name} was not right when {was} made.")
        }
        Target::Version { newer, .. } => {
            format!("{are} of an older file; part {newer} has the newer one.")
        }
    }
}

/// How a bench looks at copies of a printer that drifted. Common practice, no source.
pub(crate) const MEASURE: &str =
    "Look closely: measure what must fit, look for gaps between the layers, bend it a little.";

/// What becomes of copies that are not good: whether they are made again.
pub(crate) fn scrap_says(again: bool) -> &'static str {
    if again {
        "What is not good is made again, with the promise that it had if that is still open."
    } else {
        "What is not good is not made again."
    }
}

/// Whether what is not good of a request is made again: not what was taken down, or has the wrong size.
pub(crate) fn is_made_again(books: &Books, request: RequestId) -> bool {
    let listed = books.request(request);
    listed.is_some_and(|listed| !books.taken_down(&listed.request))
        && wrong_unit::found(books, request).is_none()
}

/// What is asked about recalled copies.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Question {
    /// What the next answer is about, by its code; empty when nothing is asked.
    pub(crate) about: &'static str,
    /// Why they were recalled, each reason a sentence, the one that is asked about first.
    pub(crate) why: Vec<String>,
    /// Whether measuring them answers it.
    pub(crate) measure: bool,
    /// Whether the file of one was replaced: then it is not made again.
    pub(crate) replaced: bool,
}

/// What is asked about those of these copies that nobody has checked yet.
pub(crate) fn question(books: &Books, request: RequestId, copies: &[Which]) -> Question {
    let all = of_request(books, request);
    let waits = |one: &OfRequest| one.waits(copies).count();
    let open: Vec<&OfRequest> = all.iter().filter(|one| waits(one) > 0).collect();
    let Some(first) = open.first() else {
        return Question::default();
    };
    let about = first.target.code();
    let printer = |one: &OfRequest| matches!(one.target, Target::Printer { .. });
    let (measure, replaced) = (printer(first), !open.iter().all(|one| printer(one)));
    let (same, others): (Vec<&OfRequest>, Vec<&OfRequest>) =
        open.into_iter().partition(|one| one.target.code() == about);
    let mut why: Vec<String> = Vec::new();
    for one in same.iter().chain(&others) {
        let says = because(&one.target, waits(one));
        why.extend((!why.contains(&says)).then_some(says));
    }
    if !others.is_empty() {
        why.push("Answer for the first reason now. The next is asked after it.".to_owned());
    }
    Question {
        about,
        why,
        measure,
        replaced,
    }
}

/// `2 in a box, 1 with the team`: how many copies stand where.
pub(crate) fn counts(copies: &[(Which, Fate)]) -> String {
    let says = [
        (Fate::AtHost, "at the host"),
        (Fate::InBox, "in a box"),
        (Fate::OnTheWay, "on the way"),
        (Fate::WithTeam, "with the team"),
        (Fate::BeingMade, "still being made"),
        (Fate::Good, "checked and good"),
        (Fate::Bad, "checked and not good"),
        (Fate::Lifted, "need not be checked"),
        (Fate::Gone, "scrap, lost or made again"),
    ];
    let each = says.iter().filter_map(|(fate, says)| {
        let many = copies.iter().filter(|(_, one)| one == fate).count();
        (many > 0).then(|| format!("{many} {says}"))
    });
    each.collect::<Vec<_>>().join(", ")
}

fn request_row(listed: &ListedRequest, copies: &[(Which, Fate)]) -> Row {
    Row {
        number: listed.request.number,
        who: words::of(&listed.request.team, &listed.part),
        says: counts(copies),
    }
}

/// A recall in a list.
pub(crate) fn row(session: &Session, recall: &Recall) -> RecallRow {
    let all = recall.requests.iter().flat_map(|one| &one.copies);
    let all: Vec<(Which, Fate)> = all.copied().collect();
    let copies = words::copies(i64::try_from(all.len()).unwrap_or(i64::MAX));
    RecallRow {
        entry: recall.entry,
        what: what(session, &recall.target),
        counts: format!("{copies}: {}.", counts(&all)),
    }
}

/// Recalls of which something is still to be checked.
pub(crate) fn open_rows(session: &Session, books: &Books) -> Vec<RecallRow> {
    let all = recalls(books).into_iter();
    let open = all.filter(Recall::open);
    open.map(|one| row(session, &one)).collect()
}

/// What a recall would do.
pub(crate) fn shown(
    found: &Affected<'_>,
    target: &Target,
    fields: Vec<(&'static str, String)>,
) -> Shown {
    let all = found.iter().flat_map(|(_, copies)| copies);
    let all: Vec<(Which, Fate)> = all.copied().collect();
    let many = words::spelled(all.len(), "copy", "copies");
    let parts = words::spelled(found.len(), "part", "parts");
    let count = |is: Fate| all.iter().filter(|(_, fate)| *fate == is).count();
    let (with, making, mut then) = (count(Fate::WithTeam), count(Fate::BeingMade), Vec::new());
    if with + making < all.len() {
        then.push(
            "Those that no team has yet stay where they are: their boxes don’t leave, and the \
             bench checks each copy."
                .to_owned(),
        );
    }
    if with > 0 {
        then.push(
            "Teams that have some are told not to use them until somebody has checked them. They \
             say what they found."
                .to_owned(),
        );
    }
    then.push(match making {
        0 => "What comes off the bed later, and is of this too, is recalled then.".to_owned(),
        _ => {
            "Those still being made are checked once they are off the bed and good. What comes off \
              later, and is of this too, is recalled then."
                .to_owned()
        }
    });
    then.push(match target {
        Target::Printer { .. } => "What is not good is made again, with the promise that it had \
                                   if that is still open."
            .to_owned(),
        Target::Version { newer, .. } => format!(
            "What is not good is not made again of the old file: part {newer} has the newer one."
        ),
    });
    Shown {
        verdict: format!(
            "{} of {parts} would be recalled: {}.",
            words::capital(&many),
            counts(&all)
        ),
        then,
        rows: (found.iter())
            .map(|(listed, copies)| request_row(listed, copies))
            .collect(),
        fields,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn line() -> RecallRow {
        RecallRow {
            entry: 7,
            what: AWKWARD.to_owned(),
            counts: AWKWARD.to_owned(),
        }
    }

    fn request() -> Row {
        Row {
            number: 7,
            who: AWKWARD.to_owned(),
            says: AWKWARD.to_owned(),
        }
    }

    fn page(shown: Option<Shown>, wrong: &[&'static str]) -> RecallsPage {
        let wrong = wrong.iter().map(|field| Wrong {
            field,
            text: AWKWARD.to_owned(),
        });
        RecallsPage {
            head: head(),
            title: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            wrong: wrong.collect(),
            open: shown.iter().map(|_| line()).collect(),
            over: shown.iter().map(|_| line()).collect(),
            shown,
            printers: vec!["Heron".to_owned(), AWKWARD.to_owned()],
            typed: Typed {
                printer: "Heron".to_owned(),
                ..Typed::default()
            },
        }
    }

    #[test]
    fn recalls_are_asked_for_shown_and_listed() {
        let fields = [
            "printer",
            "from_day",
            "from_clock",
            "until_day",
            "until_clock",
            "number",
        ];
        let bare = page(None, &fields).render().unwrap();
        sound(&bare);
        assert!(bare.contains("No recall is open."));
        for field in fields {
            assert!(bare.contains(&format!("href=\"#{field}\"")), "{field}");
            assert!(bare.contains(&format!("id=\"{field}\"")), "{field}");
        }
        let shown = Shown {
            verdict: AWKWARD.to_owned(),
            then: vec![AWKWARD.to_owned()],
            rows: vec![request()],
            fields: vec![("ask", "printer".to_owned()), ("key", "k".to_owned())],
        };
        let full = page(Some(shown), &[]).render().unwrap();
        sound(&full);
        assert!(full.contains("Recall these copies") && full.contains("/recalls/7"));
    }

    #[test]
    fn an_open_recall_can_be_lifted_and_one_that_is_over_can_not() {
        for open in [true, false] {
            let page = RecallPage {
                head: head(),
                entry: 7,
                title: AWKWARD.to_owned(),
                lead: AWKWARD.to_owned(),
                rows: vec![request()],
                open,
                key: "k".to_owned(),
            };
            let page = page.render().unwrap();
            sound(&page);
            assert_eq!(page.contains("/recalls/7/lift"), open);
        }
    }

    #[test]
    fn copies_are_counted_by_where_they_are() {
        let copies = [
            ((17, 1), Fate::InBox),
            ((17, 2), Fate::InBox),
            ((17, 3), Fate::WithTeam),
            ((17, 4), Fate::BeingMade),
            ((17, 5), Fate::Bad),
        ];
        let says = "2 in a box, 1 with the team, 1 still being made, 1 checked and not good";
        assert_eq!(counts(&copies), says);
    }
}
