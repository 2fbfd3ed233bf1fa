//! Boxes: a bench's or the region's that are still to be handed over, and a team's own with their
//! codes.

use askama::Template;
use partpledge_planning_model::LegKind;
use partpledge_records::{KeptPlate, ListedRequest, PledgeKind, State, StepKind};
use partpledge_units::local::Zone;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::bench::UNDO_MS;
use partpledge_workshop::boxes::{
    BoxLine, Hitch, MissedLeg, NoCode, Proof, Stop, box_of, handed_boxes, missed_rounds, open_boxes,
};
use partpledge_workshop::doubts::{Doubt, WRONG_FOR_MS, made_again, may_be_said, open_doubt};
use partpledge_workshop::{Actor, Books, Role, Session, place_says, wrong_unit};

use crate::pages::recalls::{Question, is_made_again, question, scrap_says};
use crate::who::Head;
use crate::words;

/// A box that is still to be handed over.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a form of its own on the page"
)]
pub(crate) struct BoxRow {
    /// Number of what is in it.
    pub(crate) plate: u64,
    pub(crate) time: String,
    pub(crate) title: String,
    pub(crate) text: String,
    pub(crate) missed: Option<String>,
    /// What somebody says is wrong with it, until that is decided.
    pub(crate) doubt: Option<String>,
    /// What can be said to be wrong with it, as a link; empty for nothing.
    pub(crate) may_doubt: String,
    /// Whether somebody has it already.
    pub(crate) handed: bool,
    /// What its tick sends: `hand`, `leave` while it has to leave first, or nothing.
    pub(crate) act: &'static str,
    /// Whether copies in it were recalled and are to be checked.
    pub(crate) recalled: bool,
    /// What is asked about them.
    pub(crate) question: Question,
    /// What becomes of those that are not good.
    pub(crate) scrap: String,
    /// Whether whoever looks can have each of them looked at.
    pub(crate) one_by_one: bool,
    /// Whether each must be measured before it is good: the whole box can't be called so.
    pub(crate) measures: bool,
    /// Whether the hand-over can still be taken back.
    pub(crate) undo: bool,
    /// What is wrong with the form that was sent, if something is.
    pub(crate) wrong: Option<String>,
    /// Code of the bench whose deed it is.
    pub(crate) code: String,
    /// When its next leg leaves; minutes of planning.
    pub(crate) leaves: i64,
    /// Why it may not have gone; empty for who may not say so.
    pub(crate) misses: Vec<(&'static str, String)>,
    pub(crate) day_iso: &'static str,
    /// Which page its forms lead back to.
    pub(crate) from: &'static str,
    pub(crate) key: String,
}

/// Boxes under a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct BoxList {
    pub(crate) title: String,
    pub(crate) empty: String,
    pub(crate) rows: Vec<BoxRow>,
}

/// Boxes of a bench, or of the region.
#[derive(Template)]
#[template(path = "boxes.html")]
pub(crate) struct BoxesPage {
    pub(crate) head: Head,
    pub(crate) self_url: String,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// The bench; empty for the region's.
    pub(crate) code: String,
    pub(crate) lists: Vec<BoxList>,
    /// Rounds that did not come lately, each in a sentence.
    pub(crate) rounds: Vec<String>,
    /// What is wrong with the form that was sent: its plate and what.
    pub(crate) wrong: Option<(u64, String)>,
    /// At a bench that students run: who could hand boxes over; nothing when somebody there may.
    pub(crate) ask: String,
    /// Whether somebody there may judge copies that were recalled.
    pub(crate) may_check: bool,
    pub(crate) now_ms: i64,
    pub(crate) zone: String,
}

/// A box as its team sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TeamBox {
    pub(crate) plate: u64,
    pub(crate) copies: String,
    /// Only for the team.
    pub(crate) code: Option<String>,
    pub(crate) says: Vec<String>,
    /// What the team can say to be wrong with it, as a link; empty for nothing.
    pub(crate) may_doubt: String,
}

/// What can be said to be wrong with a box, as a link; empty for nothing, or while that waits to be
/// decided.
fn doubts(session: &Session, books: &Books, kept: &KeptPlate) -> String {
    if open_doubt(books, kept).is_some() {
        return String::new();
    }
    match may_be_said(books, kept, session.now).first() {
        None => String::new(),
        Some(Doubt::WrongParts) => say!("boxes-other-parts"),
        Some(Doubt::Gone | Doubt::NeverCame) => say!("boxes-lost"),
    }
}

/// Why a box went without its code, as forms have it.
pub(crate) fn no_codes() -> Vec<(&'static str, String)> {
    let all = NoCode::ALL.iter();
    all.map(|why| (why.code(), why.says())).collect()
}

/// Why a box may not have gone, as forms have it: those that fit its way first.
pub(crate) fn hitches(kind: LegKind) -> Vec<(&'static str, String)> {
    let counter = kind == LegKind::Counter;
    let fits = |why: &&Hitch| (**why == Hitch::NobodyCame) == counter;
    let all = Hitch::ALL.iter().filter(fits);
    let ready = counter.then_some(Hitch::NotReady);
    let all = all.copied().chain(ready);
    all.map(|why| (why.code(), why.says())).collect()
}

fn when(zone: &Zone, at: Minute, now: Minute) -> String {
    words::time(zone, at, now)
}

/// When a box did not go, and why: `today at 15:30: the courier did not come`.
pub(crate) fn missed_says(zone: &Zone, now: Minute, leg: &MissedLeg) -> String {
    let (day, time) = (words::day(zone, leg.leaves, now), zone.clock(leg.leaves));
    match leg.why {
        Hitch::NoCourier => say!("boxes-missed-no-courier", day = day, time = time),
        Hitch::NotReady => say!("boxes-missed-not-ready", day = day, time = time),
        Hitch::LeftBehind => say!("boxes-missed-left-behind", day = day, time = time),
        Hitch::NobodyCame => say!("boxes-missed-nobody-came", day = day, time = time),
    }
}

/// What keeps a box where it is, in words for whoever has it.
pub(crate) fn stop_says(line: &BoxLine) -> Option<String> {
    Some(match (line.stopped?, line.left) {
        (Stop::Down, None) => say!("boxes-down-here", host = line.host_name),
        (Stop::Down, Some(_)) => say!("boxes-down"),
        (Stop::Recalled, None) => say!("boxes-recalled-here", host = line.host_name),
        (Stop::Recalled, Some(_)) => say!("boxes-recalled"),
    })
}

/// What was promised, and how that ended, if it has.
fn promised_says(session: &Session, line: &BoxLine) -> Option<String> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let by = words::by(zone, line.promised?, now);
    Some(match line.ended {
        None | Some(PledgeKind::Given) => say!("boxes-promised", by = by),
        Some(PledgeKind::Kept) => say!("boxes-kept", by = by),
        Some(PledgeKind::Broken) => say!("boxes-broken", by = by),
        Some(PledgeKind::Withdrawn) => say!("boxes-called-back", by = by),
        Some(PledgeKind::Superseded) => say!("boxes-superseded", by = by),
    })
}

/// Where a box is and how it goes on.
pub(crate) fn way(session: &Session, line: &BoxLine) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let (host, place) = (&line.host_name, place_says(&line.place));
    match (line.left, line.goes) {
        (None, Some((_, departure, _))) if line.next.is_some() => {
            should_have_left(session, (line, departure.leaves))
        }
        (None, Some((kind, departure, arrives))) => {
            let (leaves, arrives) = (when(zone, departure.leaves, now), when(zone, arrives, now));
            match kind {
                LegKind::Counter if departure.leaves > now => {
                    say!("boxes-counter-from", host = host, at = leaves)
                }
                LegKind::Counter => say!("boxes-counter", host = host),
                LegKind::Courier => say!(
                    "boxes-courier",
                    host = host,
                    leaves = leaves,
                    place = place,
                    arrives = arrives
                ),
                LegKind::Meeting => say!(
                    "boxes-meeting",
                    host = host,
                    leaves = leaves,
                    place = place,
                    arrives = arrives
                ),
            }
        }
        (None, None) => say!("boxes-no-way", host = host, place = place),
        (Some(left), Some((kind, _, arrives))) if kind != LegKind::Counter => say!(
            "boxes-left-arrives",
            host = host,
            left = when(zone, left, now),
            place = place,
            arrives = when(zone, arrives, now)
        ),
        (Some(left), _) => say!("boxes-left-host", host = host, left = when(zone, left, now)),
    }
}

/// That its departure has left, with it or without: nobody has said so. And how it goes if it is still there.
fn should_have_left(session: &Session, (line, leaves): (&BoxLine, Minute)) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let (host, place) = (&line.host_name, place_says(&line.place));
    let leaves = when(zone, leaves, now);
    match line.next {
        Some((_, departure, arrives)) => say!(
            "boxes-should-have-left",
            host = host,
            leaves = leaves,
            next = when(zone, departure.leaves, now),
            place = place,
            arrives = when(zone, arrives, now)
        ),
        None => say!("boxes-no-way", host = host, place = place),
    }
}

/// A box that was lost or wrong, for its team: what becomes of what was in it.
fn remade(books: &Books, kept: &KeptPlate, why: Doubt) -> TeamBox {
    let (plate, why) = (kept.plate.seq.0, why.says());
    let (copies, says) = match wrong_unit::found(books, kept.request) {
        None => (
            say!("boxes-made-again"),
            say!("boxes-made-again-says", plate = plate, why = why),
        ),
        Some(_) => (
            say!("boxes-not-made-again"),
            say!("boxes-not-made-again-says", plate = plate, why = why),
        ),
    };
    TeamBox {
        plate,
        copies,
        code: None,
        says: vec![says],
        may_doubt: String::new(),
    }
}

/// The boxes of a request that its team does not have yet, that it got lately, or of which all is made
/// again.
pub(crate) fn team_boxes(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    actor: &Actor,
) -> Vec<TeamBox> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let plates = books.plates_of(listed.request.id);
    let mut copies = books.copies(listed.request.id).iter();
    let waits = copies.any(|copy| copy.state != State::HandedOver);
    let ours = actor.must_be_of(&listed.request.team).is_ok();
    let shown = plates.filter_map(|kept| {
        let line = box_of(session, books, kept)?;
        let since = session.now.0 - WRONG_FOR_MS;
        let handed = books.step(line.share, StepKind::HandedOver);
        // What was handed over stays on record, also when it turned out to be no good.
        let counts = line.copies > 0 || (handed.is_some() && made_again(books, kept).is_none());
        let told = handed.is_none_or(|step| step.at.0 >= since) && counts;
        let again = waits && made_again(books, kept).is_some();
        (told || again).then_some((kept, line))
    });
    let one = |(kept, line): (&KeptPlate, BoxLine)| {
        if let Some(why) = made_again(books, kept) {
            return remade(books, kept, why);
        }
        let mut says = vec![match (line.handed, line.stopped) {
            (Some((at, _)), _) => say!("boxes-had-since", at = when(zone, at, now)),
            (None, Some(Stop::Down)) => say!("boxes-team-down"),
            (None, Some(Stop::Recalled)) => say!("boxes-team-recalled"),
            (None, None) => way(session, &line),
        }];
        if let Some(doubt) = open_doubt(books, kept) {
            says.insert(0, say!("boxes-told-team", doubt = doubt.why.says()));
        }
        if line.copies == 0 {
            says.push(say!("boxes-counts-no-more"));
        }
        if let Some(leg) = line.missed.as_ref().filter(|_| line.handed.is_none()) {
            let missed = missed_says(zone, now, leg);
            let text = if line.ended.is_some() {
                say!("boxes-team-missed", missed = missed)
            } else if leg.late {
                say!("boxes-team-missed-late", missed = missed)
            } else {
                say!("boxes-team-missed-in-time", missed = missed)
            };
            says.insert(0, text);
        }
        TeamBox {
            plate: line.share,
            copies: words::copies(i64::try_from(told(&line)).unwrap_or(0)),
            code: (books.box_code(actor, kept))
                .filter(|_| line.handed.is_none())
                .map(str::to_owned),
            says,
            may_doubt: if ours {
                doubts(session, books, kept)
            } else {
                String::new()
            },
        }
    };
    shown.map(one).collect()
}

/// Copies that a box is told with: those in it, or those that were.
fn told(line: &BoxLine) -> usize {
    match line.copies {
        0 => line.made,
        many => many,
    }
}

/// Whether its hand-over can still be taken back.
fn may_be_taken_back(session: &Session, line: &BoxLine) -> bool {
    line.handed.is_some_and(|(at, proof)| {
        let lately = session.now.0 - at.to_ms().0 <= UNDO_MS;
        lately && line.copies > 0 && line.ended.is_none() && proof != Proof::Team
    })
}

/// Where a box is, and what was promised of it.
fn says(session: &Session, line: &BoxLine) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    if let Some((at, _)) = line.handed {
        let handed = say!("boxes-handed-at", at = when(zone, at, now));
        return match line.copies {
            0 => format!("{handed} {}", say!("boxes-counts-no-more")),
            _ => handed,
        };
    }
    let way = stop_says(line).unwrap_or_else(|| way(session, line));
    match promised_says(session, line) {
        Some(promised) => format!("{way} {promised}"),
        None => way,
    }
}

fn row(
    (session, books): (&Session, &Books),
    actor: &Actor,
    line: &BoxLine,
    (from, key): (&'static str, String),
) -> BoxRow {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let may_say = match actor.role() {
        Role::Host(own) => *own == line.host,
        _ => true,
    };
    let at = line.left.unwrap_or(line.boxed);
    let kept = books.plate(line.share);
    let text = says(session, line);
    let asked = kept.map_or_else(Question::default, |kept| {
        let copies = books.recalled_on(kept);
        let copies: Vec<_> = copies.map(|copy| (copy.plate, copy.number)).collect();
        question(books, kept.request, &copies)
    });
    let again = kept.is_some_and(|kept| is_made_again(books, kept.request)) && !asked.replaced;
    let sized = kept.is_some_and(|kept| !books.dimensions(kept.request).is_empty());
    let free = line.handed.is_none() && line.stopped.is_none();
    let act = match (free, line.may_be_handed) {
        (true, true) => "hand",
        (true, false) if may_say => "leave",
        _ => "",
    };
    BoxRow {
        plate: line.share,
        time: zone.clock(line.handed.map_or(at, |(at, _)| at)),
        title: say!(
            "boxes-row",
            share = line.share,
            copies = told(line),
            part = line.part,
            team = line.team
        ),
        text,
        doubt: kept
            .and_then(|kept| open_doubt(books, kept))
            .map(|doubt| doubt.why.says()),
        may_doubt: kept.map_or_else(String::new, |kept| doubts(session, books, kept)),
        handed: line.handed.is_some(),
        act,
        recalled: line.handed.is_none()
            && line.stopped == Some(Stop::Recalled)
            && (may_say || line.left.is_some()),
        measures: may_say && asked.measure && sized,
        question: asked,
        scrap: scrap_says(again),
        one_by_one: may_say,
        undo: may_be_taken_back(session, line),
        wrong: None,
        missed: line
            .missed
            .as_ref()
            .filter(|_| line.handed.is_none())
            .map(|leg| missed_says(zone, now, leg)),
        // Where it goes, its own bench hands it over; else the bench that made it.
        code: match actor.role() {
            Role::Host(own) => own.clone(),
            _ => line.host.clone(),
        },
        leaves: line.goes.map_or(0, |(_, departure, _)| departure.leaves.0),
        misses: line
            .goes
            .filter(|_| may_say && free)
            .map_or_else(Vec::new, |(kind, ..)| hitches(kind)),
        day_iso: "",
        from,
        key,
    }
}

impl BoxesPage {
    /// The boxes of a bench, made there or going there; all for nobody's.
    pub(crate) fn new(
        head: Head,
        session: &Session,
        books: &Books,
        (actor, code): (&Actor, Option<&str>),
        keys: &mut dyn FnMut() -> String,
    ) -> Self {
        let from = if code.is_some() { "boxes" } else { "all" };
        let lines = open_boxes(session, books, code);
        let mut rows = |left: bool| -> Vec<BoxRow> {
            let own = lines.iter().filter(|line| line.left.is_some() == left);
            own.map(|line| row((session, books), actor, line, (from, keys())))
                .collect()
        };
        let (waiting, gone) = (rows(false), rows(true));
        let handed = handed_boxes(session, books, code, WRONG_FOR_MS);
        let handed = handed.iter();
        let handed = handed.map(|line| row((session, books), actor, line, (from, keys())));
        let lists = vec![
            BoxList {
                title: say!("boxes-waiting"),
                empty: say!("boxes-waiting-none"),
                rows: waiting,
            },
            BoxList {
                title: say!("boxes-on-way"),
                empty: say!("boxes-on-way-none"),
                rows: gone,
            },
            BoxList {
                title: say!("boxes-handed-lately"),
                empty: say!("boxes-handed-none"),
                rows: handed.collect(),
            },
        ];
        let n = lines.len();
        let count = words::spelled(n);
        Self {
            self_url: code.map_or("/boxes".to_owned(), |code| {
                format!("/run-sheets/{code}/boxes")
            }),
            title: say!("boxes-title", n = n, count = count),
            lead: say!("boxes-lead"),
            code: code.unwrap_or_default().to_owned(),
            lists,
            rounds: rounds(session, books, code),
            wrong: None,
            ask: String::new(),
            may_check: true,
            now_ms: session.now.0,
            zone: session.terrain.file.zone.clone(),
            head,
        }
    }

    /// With what is wrong with the form that was sent about a box.
    pub(crate) fn ask_again(&mut self, plate: u64, text: &str) {
        self.wrong = Some((plate, text.to_owned()));
        let rows = self.lists.iter_mut().flat_map(|list| &mut list.rows);
        for row in rows.filter(|row| row.plate == plate) {
            row.wrong = Some(text.to_owned());
        }
    }
}

/// Rounds that did not come within a week, each once.
fn rounds(session: &Session, books: &Books, code: Option<&str>) -> Vec<String> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let rounds = missed_rounds(session, books, code, WRONG_FOR_MS).into_iter();
    let says = |round: partpledge_workshop::boxes::MissedRound| {
        let school = session.terrain.file.school(&round.host);
        let host = school.map_or(round.host.as_str(), |school| &school.name);
        let n = round.boxes.len();
        say!(
            "boxes-round",
            host = words::capital(host),
            day = words::day(zone, round.leaves, now),
            time = zone.clock(round.leaves),
            n = n,
            count = say!("numbers-spelled", n = n)
        )
    };
    rounds.map(says).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn row(misses: Vec<(&'static str, String)>) -> BoxRow {
        BoxRow {
            plate: 214,
            time: "13:10".to_owned(),
            title: AWKWARD.to_owned(),
            text: AWKWARD.to_owned(),
            missed: Some(AWKWARD.to_owned()),
            doubt: Some(AWKWARD.to_owned()),
            may_doubt: "It is lost".to_owned(),
            handed: false,
            act: "hand",
            recalled: false,
            question: Question::default(),
            scrap: scrap_says(true),
            one_by_one: true,
            measures: false,
            undo: false,
            wrong: None,
            code: "brindlemoor".to_owned(),
            leaves: 30_000_000,
            misses,
            day_iso: "",
            from: "boxes",
            key: "k".to_owned(),
        }
    }

    fn page(code: &str, rows: Vec<BoxRow>) -> BoxesPage {
        BoxesPage {
            head: head(),
            self_url: "/boxes".to_owned(),
            title: AWKWARD.to_owned(),
            lead: String::new(),
            code: code.to_owned(),
            lists: vec![BoxList {
                title: "Waiting".to_owned(),
                empty: "No box waits.".to_owned(),
                rows,
            }],
            rounds: vec![AWKWARD.to_owned()],
            wrong: None,
            ask: String::new(),
            may_check: true,
            now_ms: 1_804_588_920_000,
            zone: "Europe/Stockholm".to_owned(),
        }
    }

    #[test]
    fn boxes_render_empty_and_with_all_that_can_be_said_of_them() {
        let empty = page("", Vec::new()).render().unwrap();
        sound(&empty);
        assert!(empty.contains("No box waits."));
        let full = page("brindlemoor", vec![row(hitches(LegKind::Courier))]);
        let full = full.render().unwrap();
        sound(&full);
        assert!(full.contains("name=\"code\"") && full.contains("value=\"no-courier\""));
        assert!(full.contains("data-queue"), "kept without a network");
        assert!(full.contains("href=\"/run-sheets/brindlemoor/box?plate=214\""));
        let handed = BoxRow {
            handed: true,
            act: "",
            may_doubt: String::new(),
            ..row(Vec::new())
        };
        let handed = page("brindlemoor", vec![handed]).render().unwrap();
        sound(&handed);
        assert!(!handed.contains("name=\"act\"") && !handed.contains("/box?plate="));
        let undone = BoxRow {
            handed: true,
            act: "",
            undo: true,
            ..row(Vec::new())
        };
        let undone = page("brindlemoor", vec![undone]).render().unwrap();
        sound(&undone);
        assert!(undone.contains("value=\"handed-over\""));
        let recalled = BoxRow {
            act: "",
            recalled: true,
            ..row(Vec::new())
        };
        let recalled = page("brindlemoor", vec![recalled]).render().unwrap();
        sound(&recalled);
        assert!(recalled.contains("value=\"checked-bad\""));
        assert!(recalled.contains("value=\"checked-good\""));
        assert!(!recalled.contains("value=\"hand\""));
        let measured = BoxRow {
            act: "",
            recalled: true,
            measures: true,
            ..row(Vec::new())
        };
        let measured = page("brindlemoor", vec![measured]).render().unwrap();
        sound(&measured);
        assert!(measured.contains("/run-sheets/brindlemoor/inspect?plate=214"));
        assert!(!measured.contains("value=\"checked-good\""));
        let leaves = BoxRow {
            act: "leave",
            ..row(Vec::new())
        };
        let leaves = page("brindlemoor", vec![leaves]).render().unwrap();
        sound(&leaves);
        assert!(leaves.contains("value=\"leave\"") && !leaves.contains("name=\"code\""));
        let mut wrong = page("brindlemoor", vec![row(Vec::new())]);
        wrong.ask_again(214, "Choose why.");
        let wrong = wrong.render().unwrap();
        sound(&wrong);
        assert!(wrong.contains("href=\"#without-214\"") && wrong.contains("id=\"without-214\""));
        assert!(wrong.contains(">Choose why</option>"));
        let other = page("", vec![row(Vec::new())]).render().unwrap();
        sound(&other);
        assert!(!other.contains("value=\"missed\"") && !other.contains("data-queue"));
    }

    #[test]
    fn reasons_fit_the_way_that_a_box_goes() {
        let codes = |kind| -> Vec<&str> { hitches(kind).iter().map(|(code, _)| *code).collect() };
        assert_eq!(codes(LegKind::Counter), ["nobody-came", "not-ready"]);
        assert_eq!(
            codes(LegKind::Courier),
            ["no-courier", "not-ready", "left-behind"]
        );
    }
}
