//! Boxes on their way to a team: where they are, how they go next, what they missed, who has them.

use partpledge_planning::journey;
use partpledge_planning_model::{Departure, LegKind, SiteIx, Windows};
use partpledge_records::{KeptPlate, Note, NoteKind, PledgeKind, RunStep, State, StepKind};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_words::{Said, say};

use crate::books::Books;
use crate::plate_room::printer_of;
use crate::review::codes;
use crate::session::Session;

codes! {
    /// Why a box was handed over without its code.
    NoCode:
    /// The team has none to tell: it was closed a moment ago, with no network, or before boxes had codes.
    NotYet = "no-code-yet", "boxes-no-code-yet";
    /// They were there and did not know it.
    Forgotten = "without-code", "boxes-without-code";
    /// A teacher or the desk took it.
    TakenForThem = "taken-for-them", "boxes-taken-for-them";
}

codes! {
    /// Why a box did not go.
    Hitch:
    /// No courier.
    NoCourier = "no-courier", "boxes-no-courier";
    /// It was not ready.
    NotReady = "not-ready", "boxes-not-ready";
    /// It was forgotten, or there was no room.
    LeftBehind = "left-behind", "boxes-left-behind";
    /// Nobody picked it up.
    NobodyCame = "nobody-came", "boxes-nobody-came";
}

impl Hitch {
    /// The same inside a sentence.
    pub(crate) fn clause(self) -> Said {
        match self {
            Self::NoCourier => say("why-clause-no-courier"),
            Self::NotReady => say("why-clause-not-ready"),
            Self::LeftBehind => say("why-clause-left-behind"),
            Self::NobodyCame => say("why-clause-nobody-came"),
        }
    }
}

/// How it is known that a team has its box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// By the box's code.
    Code,
    /// Whoever handed it over says so.
    Without(NoCode),
    /// The team says so.
    Team,
}

/// How a step says that the team itself said it.
const BY_TEAM: &str = "team";

impl Proof {
    /// As a step keeps it.
    #[must_use]
    pub fn as_reason(self) -> Option<String> {
        match self {
            Self::Code => None,
            Self::Without(why) => Some(why.code().to_owned()),
            Self::Team => Some(BY_TEAM.to_owned()),
        }
    }

    /// What a hand-over's step says.
    #[must_use]
    pub fn read(step: &RunStep) -> Self {
        match step.reason.as_deref() {
            None => Self::Code,
            Some(BY_TEAM) => Self::Team,
            Some(code) => Self::Without(NoCode::parse(code).unwrap_or(NoCode::Forgotten)),
        }
    }
}

/// A leg that a box did not go with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissedLeg {
    /// Number of the share that is in the box.
    pub share: u64,
    /// When it should have left.
    pub leaves: Minute,
    /// It can go from then on.
    pub from: Minute,
    /// When it should be there now, as far as calendars go.
    pub arrives: Option<Minute>,
    /// Whether that is later than promised.
    pub late: bool,
    /// Why.
    pub why: Hitch,
    /// Whether it was to be given over the counter: no round was missed then.
    pub counter: bool,
    /// When it was told.
    pub at: EventMs,
}

impl MissedLeg {
    /// What a note keeps besides the reason.
    pub(crate) fn hints(&self) -> Vec<String> {
        let mut out = vec![
            format!("plate: {}", self.share),
            format!("leaves: {}", self.leaves.0),
            format!("from: {}", self.from.0),
        ];
        out.extend(self.arrives.map(|at| format!("arrives: {}", at.0)));
        out.extend(self.late.then(|| "promise: late".to_owned()));
        out.extend(self.counter.then(|| "leg: counter".to_owned()));
        out
    }

    /// Reads what `MissedLeg::hints` wrote; `None` for any other note.
    #[must_use]
    pub fn read(note: &Note) -> Option<Self> {
        if note.said.kind != NoteKind::LegMissed {
            return None;
        }
        let hint = |name: &str| {
            let mut hints = note.said.hints.iter();
            hints.find_map(|hint| hint.strip_prefix(name))
        };
        let minute = |name: &str| hint(name)?.parse().ok().map(Minute);
        Some(Self {
            share: hint("plate: ")?.parse().ok()?,
            leaves: minute("leaves: ")?,
            from: minute("from: ")?,
            arrives: minute("arrives: "),
            late: hint("promise: late").is_some(),
            counter: hint("leg: counter").is_some(),
            why: Hitch::parse(&note.said.reason)?,
            at: note.at,
        })
    }
}

/// The last leg that a box missed, if it has missed any.
#[must_use]
pub fn missed(books: &Books, kept: &KeptPlate) -> Option<MissedLeg> {
    let notes = books.notes(kept.request).iter().rev();
    let mut legs = notes.filter_map(MissedLeg::read);
    legs.find(|leg| leg.share == kept.plate.seq.0)
}

/// From when on a box can go, if it is closed.
#[must_use]
pub fn may_go(books: &Books, kept: &KeptPlate) -> Option<Minute> {
    let boxed = books.step(kept.plate.seq.0, StepKind::Boxed)?;
    let boxed = Minute::at_or_after(boxed.at);
    let missed = missed(books, kept).map(|leg| leg.from);
    Some(missed.map_or(boxed, |from| from.max(boxed)))
}

/// The host at which a plate was printed.
fn site_of(session: &Session, books: &Books, kept: &KeptPlate) -> Option<SiteIx> {
    let printer = printer_of(session, books, kept)?;
    let printer = session.terrain.printer_of(&printer)?;
    let started = books.step(kept.plate.seq.0, StepKind::Started);
    let at = started.map_or(session.minute(), |step| Minute::at_or_after(step.at));
    Some(session.terrain.region.printers[printer.0].site_at(at))
}

/// How a box goes that can go from then on: its next leg, and when it is there.
#[must_use]
pub fn goes(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    from: Minute,
) -> Option<(LegKind, Departure, Minute)> {
    let site = site_of(session, books, kept)?;
    let rides = journey(&session.terrain.region, (site, kept.plate.to), from);
    let (first, last) = (rides.first()?, rides.last()?);
    Some((first.kind, first.departure, last.departure.arrives))
}

/// How a box goes on: from its bench, or with the departure that it went with, if it has left.
#[must_use]
pub fn on_its_way(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Option<(LegKind, Departure, Minute)> {
    let from = may_go(books, kept)?;
    let went = went_with(session, books, kept).unwrap_or(from);
    goes(session, books, kept, went.max(from))
}

/// How a box would go from now on whose departure has left without a word of it.
fn next(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Option<(LegKind, Departure, Minute)> {
    let (now, left) = (
        session.minute(),
        books.step(kept.plate.seq.0, StepKind::Left),
    );
    let (kind, departure, _) = goes(session, books, kept, may_go(books, kept)?)?;
    let gone = left.is_none() && kind != LegKind::Counter && departure.leaves < now;
    goes(session, books, kept, now).filter(|_| gone)
}

/// Departures that are looked at for the one that a box went with.
const MOST_DEPARTURES: usize = 64;

/// When the departure left that took a box which has left: the one nearest to when it was ticked as
/// gone, since people tick a little before it or after. `None` for a box that has not left.
#[must_use]
pub(crate) fn went_with(session: &Session, books: &Books, kept: &KeptPlate) -> Option<Minute> {
    let left = books.step(kept.plate.seq.0, StepKind::Left)?;
    let left = Minute::at_or_after(left.at);
    let mut from = Minute::at_or_after(books.step(kept.plate.seq.0, StepKind::Boxed)?.at);
    let mut nearest: Option<Minute> = None;
    for _ in 0..MOST_DEPARTURES {
        let Some((_, departure, _)) = goes(session, books, kept, from) else {
            break;
        };
        let apart = |at: Minute| (at.0 - left.0).abs();
        if nearest.is_none_or(|known| apart(departure.leaves) < apart(known)) {
            nearest = Some(departure.leaves);
        }
        if departure.leaves >= left {
            break;
        }
        from = Minute(departure.leaves.0 + 1);
    }
    nearest
}

/// Whether a box can be handed over as far as its way goes: it has left its host, or is given over the
/// counter there. One that nothing takes along is fetched there too.
#[must_use]
pub fn may_be_handed(session: &Session, books: &Books, kept: &KeptPlate) -> bool {
    if books.step(kept.plate.seq.0, StepKind::Left).is_some() {
        return true;
    }
    let next = may_go(books, kept).and_then(|from| goes(session, books, kept, from));
    next.is_none_or(|(kind, ..)| kind == LegKind::Counter)
}

/// So long after it should be there a box counts as there although nobody has said so. Common practice,
/// no source.
const WORD_WITHIN: Minutes = Minutes(30);

/// Whether somebody should have said by now that a box is there.
pub(crate) fn no_word_since(arrives: Minute, now: Minute) -> bool {
    arrives + WORD_WITHIN <= now
}

/// Whether the team may well hold a box, and nobody has said so: it has left and should be there, or is
/// given over the counter.
pub(crate) fn may_be_there(session: &Session, books: &Books, kept: &KeptPlate) -> bool {
    if books.step(kept.plate.seq.0, StepKind::Left).is_none() {
        return may_be_handed(session, books, kept);
    }
    let way = on_its_way(session, books, kept);
    way.is_none_or(|(.., arrives)| arrives <= session.minute())
}

/// What keeps a box where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The part in it was taken down.
    Down,
    /// Copies in it were called back and nobody has checked them yet.
    Recalled,
}

/// What keeps a box where it is, if anything.
#[must_use]
pub fn stopped(books: &Books, kept: &KeptPlate) -> Option<Stop> {
    let listed = books.request(kept.request)?;
    if books.taken_down(&listed.request) {
        return Some(Stop::Down);
    }
    let held = books.recalled_on(kept).next().is_some();
    held.then_some(Stop::Recalled)
}

/// From when on a box can go again that was not taken by a departure, as told at `now`: after both;
/// over the counter, when the bench opens the next time.
pub(crate) fn after(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    (kind, departure, now): (LegKind, Departure, Minute),
) -> Minute {
    let late = departure.leaves.max(now);
    if kind != LegKind::Counter {
        // Told late, others may have gone since: they did not take it either.
        return Minute(departure.leaves.0 + 1).max(now);
    }
    let site = site_of(session, books, kept);
    let hours = site.map(|site| &session.terrain.region.sites[site.0].staffed);
    let mut windows = hours.into_iter().flat_map(Windows::as_slice);
    let here = windows.find(|window| window.from <= late && late <= window.until);
    Minute(here.map_or(late, |window| window.until).0 + 1)
}

/// A closed box.
#[derive(Clone, Debug)]
pub struct BoxLine {
    /// Number of the share of a plate that is in it: the box goes by this.
    pub share: u64,
    /// Number of the request.
    pub request: i64,
    /// Part's name.
    pub part: String,
    /// Team.
    pub team: String,
    /// Copies in it; none when all have been called no good since.
    pub copies: usize,
    /// Copies that its plate was made for.
    pub made: usize,
    /// Code of the host's school.
    pub host: String,
    /// Host's name.
    pub host_name: String,
    /// Code of the school that it goes to.
    pub goes_to: String,
    /// The place that it goes to.
    pub place: String,
    /// When it was closed.
    pub boxed: Minute,
    /// When it left, if it has.
    pub left: Option<Minute>,
    /// When the team had it, and how that is known.
    pub handed: Option<(Minute, Proof)>,
    /// How it goes next, and when it should be there.
    pub goes: Option<(LegKind, Departure, Minute)>,
    /// How it would go from now on, where the departure that should have taken it has left and nobody has said
    /// that it went.
    pub next: Option<(LegKind, Departure, Minute)>,
    /// The last leg that it missed.
    pub missed: Option<MissedLeg>,
    /// Hand-over promised.
    pub promised: Option<Minute>,
    /// How that promise ended, if it has.
    pub ended: Option<PledgeKind>,
    /// What keeps it where it is.
    pub stopped: Option<Stop>,
    /// Whether it can be handed over as far as its way goes.
    pub may_be_handed: bool,
}

/// A box; `None` when it is not closed.
#[must_use]
pub fn box_of(session: &Session, books: &Books, kept: &KeptPlate) -> Option<BoxLine> {
    let share = kept.plate.seq.0;
    let at = |kind| {
        let step = books.step(share, kind)?;
        Some((Minute::at_or_before(step.at), step))
    };
    let (boxed, _) = at(StepKind::Boxed)?;
    let listed = books.request(kept.request)?;
    let file = &session.terrain.file;
    let host = &file.hosts[site_of(session, books, kept)?.0].school;
    let promised = books.pledge_of(kept.request);
    Some(BoxLine {
        share,
        request: listed.request.number,
        part: listed.part.clone(),
        team: listed.request.team.clone(),
        copies: books.copies_on(kept).count(),
        made: usize::try_from(kept.plate.copies).unwrap_or(0),
        host_name: file
            .school(host)
            .map_or_else(String::new, |s| s.name.clone()),
        host: host.clone(),
        goes_to: file.schools[kept.plate.to.0].code.clone(),
        place: session.terrain.region.places[kept.plate.to.0].name.clone(),
        boxed,
        left: at(StepKind::Left).map(|(at, _)| at),
        handed: at(StepKind::HandedOver).map(|(at, step)| (at, Proof::read(step))),
        next: next(session, books, kept),
        goes: on_its_way(session, books, kept),
        missed: missed(books, kept),
        promised: promised.map(|promised| promised.pledge.arrival),
        ended: promised.and_then(|promised| promised.end.as_ref().map(|end| end.kind)),
        stopped: stopped(books, kept),
        may_be_handed: may_be_handed(session, books, kept),
    })
}

/// The boxes that were handed over within so many ms before now, the last first: at a school, made there
/// or going there, or all.
#[must_use]
pub fn handed_boxes(
    session: &Session,
    books: &Books,
    school: Option<&str>,
    within_ms: i64,
) -> Vec<BoxLine> {
    let since = session.now.0 - within_ms;
    let lately = |kept: &&KeptPlate| {
        let step = books.step(kept.plate.seq.0, StepKind::HandedOver);
        step.is_some_and(|step| step.at.0 >= since)
    };
    let kept = books.floor.kept.iter().filter(lately);
    let lines = kept.filter_map(|kept| box_of(session, books, kept));
    let here = |line: &BoxLine| school.is_none_or(|code| line.host == code || line.goes_to == code);
    let mut out: Vec<BoxLine> = lines.filter(here).collect();
    out.sort_by_key(|line| std::cmp::Reverse((line.handed.map(|(at, _)| at), line.share)));
    out
}

/// The boxes that wait or are on their way, those that were closed first before others: at a school,
/// made there or going there, or all.
#[must_use]
pub fn open_boxes(session: &Session, books: &Books, school: Option<&str>) -> Vec<BoxLine> {
    let in_box = |kept: &&KeptPlate| {
        let mut copies = books.copies_on(kept);
        copies.any(|copy| copy.state == State::Boxed)
    };
    let kept = books.floor.kept.iter().filter(in_box);
    let lines = kept.filter_map(|kept| box_of(session, books, kept));
    let here = |line: &BoxLine| school.is_none_or(|code| line.host == code || line.goes_to == code);
    let mut out: Vec<BoxLine> = lines
        .filter(|line| line.handed.is_none() && here(line))
        .collect();
    out.sort_by_key(|line| (line.boxed, line.share));
    out
}

/// A round that did not come. It counts once, however many boxes waited for it and however many people
/// said so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissedRound {
    /// Code of the host's school.
    pub host: String,
    /// When it should have left.
    pub leaves: Minute,
    /// Boxes that did not go with it, by the number of what is in them.
    pub boxes: Vec<u64>,
}

/// The rounds that did not come within so many ms before now, the last first: at a school, or at all.
#[must_use]
pub fn missed_rounds(
    session: &Session,
    books: &Books,
    school: Option<&str>,
    within_ms: i64,
) -> Vec<MissedRound> {
    let since = Minute((session.now.0 - within_ms).div_euclid(60_000));
    let mut out: Vec<MissedRound> = Vec::new();
    for kept in &books.floor.kept {
        let share = kept.plate.seq.0;
        let notes = books.notes(kept.request).iter();
        let legs = notes.filter_map(MissedLeg::read);
        let its = legs.filter(|leg| leg.share == share && leg.why == Hitch::NoCourier);
        for leg in its.filter(|leg| !leg.counter && leg.leaves >= since) {
            let Some(site) = site_of(session, books, kept) else {
                continue;
            };
            let host = &session.terrain.file.hosts[site.0].school;
            if school.is_some_and(|code| code != host) {
                continue;
            }
            let same = |one: &&mut MissedRound| one.host == *host && one.leaves == leg.leaves;
            match out.iter_mut().find(same) {
                Some(known) if known.boxes.contains(&share) => {}
                Some(known) => known.boxes.push(share),
                None => out.push(MissedRound {
                    host: host.clone(),
                    leaves: leg.leaves,
                    boxes: vec![share],
                }),
            }
        }
    }
    out.sort_by_key(|round| std::cmp::Reverse((round.leaves, round.host.clone())));
    out
}
