//! Recalls: what is to be recalled, what that would do, what is open, and each one request by request.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_units::ids::RequestId;
use partpledge_units::local::Zone;
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;
use partpledge_workshop::recalls::{
    Affected, Fate, OfRequest, Recall, Target, Which, of_request, printers, recalls,
};
use partpledge_workshop::{Books, Session, wrong_unit};

use super::bench::until_says;
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
    /// Whether the printer goes out of use with it, `yes` or `no`, and until when.
    pub(crate) out: String,
    pub(crate) out_day: String,
    pub(crate) out_clock: String,
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
            title: say!("recalls-title"),
            lead: say!("recalls-lead"),
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
            (true, _) if recall.count(Fate::open) == 0 => say!("recalls-still-made"),
            (true, _) => {
                let many = recall.count(Fate::open);
                let count = words::capital(&spelled(many));
                say!("recalls-waits", n = many, count = count)
            }
            (false, Some(_)) => say!("recalls-was-lifted"),
            (false, None) => say!("recalls-nothing-left"),
        };
        let (zone, now) = (&session.terrain.zone, session.minute());
        let at = Minute::at_or_before(recall.at);
        Self {
            entry: recall.entry,
            title,
            lead: say!(
                "recalls-recalled",
                what = what(session, &recall.target),
                day = words::day(zone, at, now),
                time = zone.clock(at)
            ),
            rows: rows.collect(),
            open,
            key,
            head,
        }
    }
}

fn spelled(n: usize) -> String {
    say("numbers-spelled").with("n", n).to_string()
}

fn full(zone: &Zone, at: EventMs) -> String {
    let at = Minute::at_or_before(at);
    say!(
        "recalls-day-time",
        day = zone.day(at),
        time = zone.clock(at)
    )
}

/// What was recalled, in a sentence.
pub(crate) fn what(session: &Session, target: &Target) -> String {
    let zone = &session.terrain.zone;
    match target {
        Target::Printer { name, from, until } => say!(
            "recalls-made-on",
            printer = name,
            from = full(zone, *from),
            until = full(zone, *until)
        ),
        Target::Version { number, newer } => {
            say!("recalls-made-of", number = number, newer = newer)
        }
    }
}

/// Why copies were recalled, for their team.
pub(crate) fn because(target: &Target, many: usize) -> String {
    match target {
        Target::Printer { name, .. } => {
            say!("recalls-because-printer", n = many, printer = name)
        }
        Target::Version { newer, .. } => say!("recalls-because-file", n = many, newer = newer),
    }
}

/// How a bench looks at copies of a printer that drifted. Common practice, no source.
pub(crate) fn measure() -> String {
    say!("recalls-measure")
}

/// What becomes of copies that are not good: whether they are made again.
pub(crate) fn scrap_says(again: bool) -> String {
    if again {
        say!("recalls-made-again")
    } else {
        say!("recalls-not-made-again")
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
        why.push(say!("recalls-first-now"));
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
    let all = [
        Fate::AtHost,
        Fate::InBox,
        Fate::OnTheWay,
        Fate::WithTeam,
        Fate::BeingMade,
        Fate::Good,
        Fate::Bad,
        Fate::Lifted,
        Fate::Gone,
    ];
    let each = all.into_iter().filter_map(|fate| {
        let many = copies.iter().filter(|(_, one)| *one == fate).count();
        (many > 0).then(|| so_many(fate, many))
    });
    each.collect::<Vec<_>>().join(", ")
}

/// `2 in a box`.
fn so_many(fate: Fate, n: usize) -> String {
    match fate {
        Fate::AtHost => say!("recalls-at-host", n = n),
        Fate::InBox => say!("recalls-in-box", n = n),
        Fate::OnTheWay => say!("recalls-on-the-way", n = n),
        Fate::WithTeam => say!("recalls-with-team", n = n),
        Fate::BeingMade => say!("recalls-being-made", n = n),
        Fate::Good => say!("recalls-good", n = n),
        Fate::Bad => say!("recalls-bad", n = n),
        Fate::Lifted => say!("recalls-need-not", n = n),
        Fate::Gone => say!("recalls-gone", n = n),
    }
}

fn request_row(listed: &ListedRequest, copies: &[(Which, Fate)]) -> Row {
    Row {
        number: listed.request.number,
        who: say!(
            "common-team-part",
            whose = words::whose(&listed.request.team),
            part = listed.part
        ),
        says: counts(copies),
    }
}

/// A recall in a list.
pub(crate) fn row(session: &Session, recall: &Recall) -> RecallRow {
    let all = recall.requests.iter().flat_map(|one| &one.copies);
    let all: Vec<(Which, Fate)> = all.copied().collect();
    RecallRow {
        entry: recall.entry,
        what: what(session, &recall.target),
        counts: say!("recalls-counts", n = all.len(), counts = counts(&all)),
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
    session: &Session,
    found: &Affected<'_>,
    (target, out_until): (&Target, Option<Minute>),
    fields: Vec<(&'static str, String)>,
) -> Shown {
    let all = found.iter().flat_map(|(_, copies)| copies);
    let all: Vec<(Which, Fate)> = all.copied().collect();
    let copies = say!(
        "recalls-copies",
        n = all.len(),
        count = words::capital(&spelled(all.len()))
    );
    let count = |is: Fate| all.iter().filter(|(_, fate)| *fate == is).count();
    let (with, making, mut then) = (count(Fate::WithTeam), count(Fate::BeingMade), Vec::new());
    if with + making < all.len() {
        then.push(say!("recalls-stay"));
    }
    if with > 0 {
        then.push(say!("recalls-teams-told"));
    }
    then.push(match making {
        0 => say!("recalls-later"),
        _ => say!("recalls-making-and-later"),
    });
    then.push(match target {
        Target::Printer { .. } => say!("recalls-made-again"),
        Target::Version { newer, .. } => say!("recalls-not-of-old-file", newer = newer),
    });
    // One that has left the region neither goes out of use nor prints on.
    let stands_here = |name: &str| session.terrain.printer_of(name).is_some();
    if let Target::Printer { name, until, .. } = target
        && stands_here(name)
    {
        then.push(match out_until {
            Some(back) => say!(
                "recalls-goes-out",
                printer = name,
                until = until_says(session, back)
            ),
            None => say!(
                "recalls-prints-on",
                printer = name,
                until = full(&session.terrain.zone, *until)
            ),
        });
    }
    Shown {
        verdict: say!(
            "recalls-verdict",
            copies = copies,
            n = found.len(),
            count = spelled(found.len()),
            counts = counts(&all)
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
                out: "yes".to_owned(),
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
            "out",
            "out_day",
            "number",
        ];
        let bare = page(None, &fields).render().unwrap();
        sound(&bare);
        assert!(bare.contains("No recall is open."));
        assert!(
            bare.contains(r#"value="yes" id="out" checked"#),
            "a drifted printer stops, unless somebody says otherwise"
        );
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

    #[tokio::test]
    async fn a_printer_that_left_the_region_neither_goes_out_of_use_nor_prints_on() {
        let dir = tempfile::tempdir().unwrap();
        let now = partpledge_units::local::parse_rfc3339("2027-03-09T10:02:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let data = dir.path().join("data");
        let session = Session::open(&data, region, now).await.unwrap();
        let then = |name: &str, out: Option<Minute>| {
            let target = Target::Printer {
                name: name.to_owned(),
                from: now,
                until: now,
            };
            shown(&session, &Vec::new(), (&target, out), Vec::new()).then
        };
        let until = Some(session.minute() + partpledge_units::time::Minutes(600));
        for out in [None, until] {
            assert!(then("Heron", out).iter().any(|says| says.contains("Heron")));
            assert!(!then("Kite", out).iter().any(|says| says.contains("Kite")));
        }
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
