//! The pledge ticket: when and where, how sure, and how far the part has come.

use partpledge_planning_model::{LegKind, Window};
use partpledge_records::{ListedRequest, PlateState, PledgeKind, State, StepKind};
use partpledge_units::local::Zone;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::books::Promised;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::{Books, Session, place_says};

use crate::figures::{Mini, Stroke, mini, tally};
use crate::words;

/// Stops of a journey.
pub(crate) const STOPS: usize = 7;

/// How far a part has come, counted in stops from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stage {
    Pledged = 3,
    Printing = 4,
    Checked = 5,
    Boxed = 6,
    HandedOver = 7,
}

impl Stage {
    pub(crate) fn stop(self) -> usize {
        self as usize
    }
}

/// Where all copies of a request have at least come.
pub(crate) fn stage(books: &Books, listed: &ListedRequest) -> Stage {
    // What was called back for good is not waited for, unless it is all there was.
    let all = books.copies(listed.request.id);
    let left: Vec<State> = (all.iter().map(|copy| copy.state))
        .filter(|state| !matches!(state, State::Recalled | State::Withdrawn))
        .collect();
    let states = left.iter().copied();
    let any = |wanted: &[State]| left.iter().any(|state| wanted.contains(state));
    let least = states
        .map(|state| match state {
            State::HandedOver => Stage::HandedOver,
            State::Boxed => Stage::Boxed,
            State::Inspected => Stage::Checked,
            State::Running | State::OnAPlate | State::Rework => Stage::Printing,
            _ => Stage::Pledged,
        })
        .min()
        .unwrap_or(Stage::Pledged);
    let begun = any(&[
        State::Running,
        State::OnAPlate,
        State::Rework,
        State::Inspected,
        State::Boxed,
    ]);
    if begun {
        least.max(Stage::Printing)
    } else {
        least
    }
}

/// A stop or a night of the journey line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Stop {
    /// `done`, `here`, `next`, `never` or `night`.
    pub(crate) kind: &'static str,
    pub(crate) end: bool,
    pub(crate) name: String,
    pub(crate) time: String,
}

/// The ticket.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ticket {
    /// `given`, `risk`, `kept`, `broken` or `withdrawn`: the glyph and the shape.
    pub(crate) state: &'static str,
    pub(crate) says: String,
    pub(crate) number: String,
    pub(crate) given: String,
    pub(crate) day: String,
    pub(crate) clock: String,
    pub(crate) place: String,
    pub(crate) picture: String,
    pub(crate) in_ten: i64,
    pub(crate) odds: String,
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) journey: Vec<Stop>,
    /// Why it comes then, for what is not made yet.
    pub(crate) why: Vec<String>,
}

/// The ticket of a request.
pub(crate) fn ticket(
    session: &Session,
    books: &Books,
    (listed, promised): (&ListedRequest, &Promised),
    outcome: Option<&Outcome>,
) -> Ticket {
    let zone = &session.terrain.zone;
    let pledge = &promised.pledge;
    let asked = Minute::at_or_before(pledge.recorded_at);
    let at_risk = outcome.is_some_and(Outcome::at_risk);
    let (state, says) = match promised.end.as_ref().map(|end| end.kind) {
        Some(PledgeKind::Kept) => ("kept", say!("pledge-kept")),
        Some(PledgeKind::Broken) => ("broken", say!("pledge-broken")),
        Some(PledgeKind::Withdrawn) => ("withdrawn", say!("pledge-withdrawn")),
        Some(PledgeKind::Superseded) => ("withdrawn", say!("pledge-replaced")),
        Some(PledgeKind::Given) | None if at_risk => ("risk", say!("pledge-at-risk")),
        Some(PledgeKind::Given) | None => ("given", say!("pledge-given")),
    };
    let given_ten = words::in_ten(pledge.probability);
    let (in_ten, odds) = match outcome.filter(|_| at_risk) {
        Some(now) => {
            let ten = words::about_in_ten(now.chance);
            let odds = match now.likely {
                Some(at) => say!(
                    "pledge-was-odds-comes",
                    n = given_ten,
                    by = words::by(zone, at, session.minute())
                ),
                None => say!("pledge-was-odds", n = given_ten),
            };
            (ten, odds)
        }
        None => (given_ten, odds(state, given_ten)),
    };
    Ticket {
        state,
        says,
        number: words::number(&session.terrain.file.name, listed.request.number),
        given: format!("{}, {}", zone.day(asked), zone.clock(asked)),
        day: zone.day(pledge.arrival),
        clock: zone.clock(pledge.arrival),
        place: place_says(&pledge.place),
        picture: format!("/parts/{}/picture.png", listed.request.number),
        in_ten,
        odds: with_sizes(books, listed, state, odds),
        strokes: tally(in_ten),
        journey: journey(session, books, listed, promised),
        why: Vec::new(),
    }
}

/// With what the chance leaves out, while it counts: copies that come out with other sizes than asked for.
fn with_sizes(books: &Books, listed: &ListedRequest, state: &str, odds: String) -> String {
    let mut sizes = books.dimensions(listed.request.id).iter();
    let tight = sizes.any(|one| one.tighter_than().is_some());
    if tight && matches!(state, "given" | "risk") {
        return format!("{odds} {}", say!("pledge-odds-without-sizes"));
    }
    odds
}

/// How sure it was: what that means while it is open, and what became of it.
fn odds(state: &str, n: i64) -> String {
    match state {
        "given" => {
            let count = words::spelled(n);
            say!("pledge-odds", count = count)
        }
        "kept" => say!("pledge-odds-kept", n = n),
        "broken" => say!("pledge-odds-broken", n = n),
        _ => say!("pledge-was-odds", n = n),
    }
}

/// When each stop was or should be reached.
struct Times {
    start: Option<Minute>,
    end: Option<Minute>,
    checked: Option<Minute>,
    boxed: Option<Minute>,
}

impl Times {
    /// `15:58 to 16:53`.
    fn printing(&self, zone: &Zone, now: Minute) -> String {
        let (Some(start), Some(end)) = (self.start, self.end) else {
            return String::new();
        };
        let until = if zone.date(start) == zone.date(end) {
            zone.clock(end)
        } else {
            words::time(zone, end, now)
        };
        say!(
            "pledge-from-to",
            from = words::time(zone, start, now),
            until = until
        )
    }
}

fn times(books: &Books, listed: &ListedRequest) -> Times {
    let done = |seq: u64, kind| {
        books
            .step(seq, kind)
            .map(|step| Minute::at_or_before(step.at))
    };
    let plates = books.plates_of(listed.request.id);
    let plates = plates.filter(|kept| matches!(kept.state, PlateState::Open | PlateState::Off));
    let mut out = Times {
        start: None,
        end: None,
        checked: None,
        boxed: None,
    };
    for kept in plates {
        let seq = kept.plate.seq.0;
        let place = books.place(kept);
        let off = done(seq, StepKind::Off);
        let start = done(seq, StepKind::Started).or(place.map(|p| p.start));
        let end = off.or(place.map(|p| p.end));
        let checked = off.or(place.map(|p| p.cleared));
        let boxed = done(seq, StepKind::Boxed)
            .or(off)
            .or(place.map(|p| p.ready));
        out.start = [out.start, start].into_iter().flatten().min();
        out.end = out.end.max(end);
        out.checked = out.checked.max(checked);
        out.boxed = out.boxed.max(boxed);
    }
    out
}

/// `Thu by 15:40`.
fn weekday_by(zone: &Zone, at: Minute) -> String {
    let day = zone.weekday(at);
    say!("pledge-weekday-by", day = day, time = zone.clock(at))
}

fn journey(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    promised: &Promised,
) -> Vec<Stop> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = |ms: partpledge_units::time::EventMs| Minute::at_or_before(ms);
    let asked = at(listed.request.asked_at);
    let given = at(promised.pledge.recorded_at);
    let times = times(books, listed);
    let here = stage(books, listed).stop();
    let over = promised.end.is_some();
    // What was recalled after its promise ended may be made again.
    let never = over && books.nothing_left(listed.request.id, |_| false);
    let came = books.came(listed.request.id).map(at);
    let short = |minute: Option<Minute>| minute.map(|m| words::time(zone, m, now));
    let text = |minute| short(minute).unwrap_or_default();
    let printing = times.printing(zone, now);
    let last = came.map_or_else(
        || weekday_by(zone, promised.pledge.arrival),
        |came| text(Some(came)),
    );
    let stops: [(String, Option<Minute>, String); STOPS] = [
        (say!("pledge-stop-read"), Some(asked), text(Some(asked))),
        (say!("pledge-stop-judged"), Some(asked), text(Some(asked))),
        (say!("pledge-stop-pledged"), Some(given), text(Some(given))),
        (say!("pledge-stop-printing"), times.start, printing),
        (
            say!("pledge-stop-checked"),
            times.checked,
            text(times.checked),
        ),
        (say!("pledge-stop-boxed"), times.boxed, text(times.boxed)),
        (
            say!("pledge-stop-handed-over"),
            Some(promised.pledge.arrival),
            last,
        ),
    ];
    let staffed = staffed_at_host(session, books, listed);
    let mut out = Vec::new();
    let mut before: Option<Minute> = None;
    for (i, (name, minute, time)) in stops.into_iter().enumerate() {
        let stop = i + 1;
        let kind = kind_of(stop, here, (over, never));
        if kind == "next"
            && !over
            && let (Some(from), Some(to)) = (before.map(|b| b.max(now)), minute)
            && let Some(opens) = night(zone, staffed, from, to)
        {
            out.push(Stop {
                kind: "night",
                end: false,
                name: String::new(),
                time: say!("pledge-until", time = words::time(zone, opens, now)),
            });
        }
        // The end of the printing is where the next night may begin.
        before = if stop == Stage::Printing.stop() {
            times.end
        } else {
            minute
        }
        .or(before);
        out.push(Stop {
            kind,
            end: stop == STOPS,
            name,
            time,
        });
    }
    out
}

/// What a stop is, where the part has come to `here`: its promise may be over, and nothing to come any more.
fn kind_of(stop: usize, here: usize, (over, never): (bool, bool)) -> &'static str {
    match stop.cmp(&here) {
        std::cmp::Ordering::Less => "done",
        std::cmp::Ordering::Equal if here == STOPS || never => "done",
        std::cmp::Ordering::Equal if !over => "here",
        std::cmp::Ordering::Greater if never => "never",
        _ => "next",
    }
}

/// The hours of the host whose plate comes last.
fn staffed_at_host<'a>(
    session: &'a Session,
    books: &Books,
    listed: &ListedRequest,
) -> &'a [Window] {
    let places = books.plates_of(listed.request.id);
    let places = places.filter_map(|kept| books.place(kept));
    let last = places.max_by_key(|place| (place.arrives, place.plate));
    last.map_or(&[], |place| {
        let site = session.terrain.region.printers[place.printer.0].site_at(place.start);
        session.terrain.region.sites[site.0].staffed.as_slice()
    })
}

/// If it gets night between two moments: when people are there again.
fn night(zone: &Zone, staffed: &[Window], from: Minute, to: Minute) -> Option<Minute> {
    if zone.date(from) >= zone.date(to) {
        return None;
    }
    let mut opening = staffed.iter().map(|window| window.from);
    opening.find(|opens| zone.date(*opens) == zone.date(to))
}

/// The short line in lists, with its words: `printing on Heron, at Alder Lane`.
pub(crate) fn short(session: &Session, books: &Books, listed: &ListedRequest) -> (Mini, String) {
    let stage = stage(books, listed);
    let says = match stage {
        Stage::Pledged => say!("pledge-stage-pledged"),
        Stage::Printing => {
            running_on(session, books, listed).unwrap_or_else(|| say!("pledge-stage-printing"))
        }
        Stage::Checked => say!("pledge-stage-checked"),
        Stage::Boxed => boxed(session, books, listed),
        Stage::HandedOver => say!("pledge-stage-handed-over"),
    };
    (mini(stage.stop(), STOPS), says)
}

fn running_on(session: &Session, books: &Books, listed: &ListedRequest) -> Option<String> {
    let plates = books.plates_of(listed.request.id);
    let mut running = plates.filter(|kept| books.runs(kept));
    running.next().map(|kept| {
        let printer = partpledge_workshop::plate_room::printer_of(session, books, kept);
        let printer = printer.unwrap_or_default();
        let host = session.terrain.printer_of(&printer);
        let host = host.map_or("", |ix| session.terrain.host_at(ix, session.minute()));
        say!("pledge-stage-printing-on", printer = printer, host = host)
    })
}

fn boxed(session: &Session, books: &Books, listed: &ListedRequest) -> String {
    let plates = books.plates_of(listed.request.id);
    let mut steps = plates.filter_map(|kept| books.step(kept.plate.seq.0, StepKind::Left));
    match steps.next() {
        Some(step) => {
            let at = Minute::at_or_before(step.at);
            let since = words::time(&session.terrain.zone, at, session.minute());
            say!("pledge-stage-on-its-way", since = since)
        }
        None => say!("pledge-stage-waits"),
    }
}

/// How a box travels, in words.
pub(crate) fn leg(kind: LegKind) -> String {
    match kind {
        LegKind::Counter => say!("pledge-leg-counter"),
        LegKind::Courier => say!("pledge-leg-courier"),
        LegKind::Meeting => say!("pledge-leg-meeting"),
    }
}
