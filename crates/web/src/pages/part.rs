//! The page of a request: verdict, ticket, findings on a drawing, what else is possible.

use askama::Template;
use partpledge_records::stored::{PledgeDocument, PledgedAlternative, PledgedLeg};
use partpledge_records::{ListedRequest, PledgeKind, State};
use partpledge_units::ids::VersionId;
use partpledge_units::length::LengthUnit;
use partpledge_units::time::Minute;
use partpledge_words::{decimal, say};
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::sending::may_choose;
use partpledge_workshop::sending::spares::{benches, may_spare};
use partpledge_workshop::spent::{Ended, Length, Runs};
use partpledge_workshop::wrong_unit::{Choice, Found, PaidBy, found};
use partpledge_workshop::{Actor, Books, Session, caution_says, place_says};

use super::sizes::{Sizes, sizes};
use crate::pages::boxes::{TeamBox, team_boxes};
use crate::pages::judgement::Judgement;
use crate::pages::recalls::question;
use crate::pages::review::{stated, told};
use crate::pages::takes::{Takes, Took};
use crate::pages::ticket::{Stage, Ticket, stage, ticket};
use crate::pages::verdict::verdict;
use crate::who::Head;
use crate::words;

/// A choice that was offered, in a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Other {
    pub(crate) what: String,
    pub(crate) when: String,
    pub(crate) in_ten: i64,
}

/// A plate of the request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PlateRow {
    pub(crate) plate: u64,
    pub(crate) copies: usize,
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) from: String,
    pub(crate) until: String,
    pub(crate) state: String,
}

/// An earlier or later request of the same part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Version {
    pub(crate) number: i64,
    pub(crate) n: usize,
    pub(crate) sent: String,
    pub(crate) what: String,
    /// What it did to the findings of the version before.
    pub(crate) fixed: Option<String>,
    pub(crate) here: bool,
}

/// The page of a request.
#[derive(Template)]
#[template(path = "part.html")]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a button of its own on the page"
)]
pub(crate) struct PartPage {
    pub(crate) head: Head,
    pub(crate) self_url: String,
    pub(crate) number: i64,
    pub(crate) title: String,
    pub(crate) name: String,
    pub(crate) version: usize,
    pub(crate) detail: String,
    pub(crate) lead: String,
    pub(crate) ticket: Option<Ticket>,
    /// Boxes that the team does not have yet.
    pub(crate) boxes: Vec<TeamBox>,
    /// What could be promised, for a part that has no pledge yet.
    pub(crate) offer: Option<String>,
    pub(crate) may_change: bool,
    pub(crate) may_withdraw: bool,
    pub(crate) may_choose: bool,
    /// Whether a meeting's bench prints spares today, and this part may be one.
    pub(crate) may_spare: bool,
    pub(crate) may_say_it_came: bool,
    pub(crate) may_appeal: bool,
    pub(crate) may_ask_again: bool,
    /// What asking again means: there is one on its way, or not.
    pub(crate) again_says: String,
    /// Whether its files are not for whoever looks.
    pub(crate) hidden: bool,
    /// Whether whoever looks decides about it.
    pub(crate) coordinates: bool,
    /// What was said and decided about it.
    pub(crate) told: Vec<String>,
    pub(crate) stated: String,
    pub(crate) judgement: Judgement,
    pub(crate) since: Option<String>,
    pub(crate) plates: Vec<PlateRow>,
    pub(crate) legs: Vec<String>,
    pub(crate) reasons: Vec<String>,
    pub(crate) others: Vec<Other>,
    pub(crate) others_note: String,
    pub(crate) history: Vec<Version>,
    pub(crate) cautions: Vec<String>,
    /// What one copy of each part takes.
    pub(crate) takes: Vec<Takes>,
    /// What they really took, once the team has them all.
    pub(crate) took: Option<Took>,
    /// Sizes that must be right, and what was measured.
    pub(crate) sizes: Option<Sizes>,
    /// Recalled copies that the team has, in sentences; empty for none.
    pub(crate) recalled: Vec<String>,
    /// What they are to be checked for, by its code.
    pub(crate) recall_about: &'static str,
    /// Whether whoever looks can say what was found of them.
    pub(crate) may_check: bool,
    /// Sizes in which it may have been meant, when it came out in another: unit and words.
    pub(crate) resize: Vec<(&'static str, String)>,
    /// Whose share the wrong one stands in.
    pub(crate) resize_pays: String,
    /// That it came out in the wrong unit, and under which number it is made again.
    pub(crate) resized: Option<(i64, String)>,
    pub(crate) key: String,
}

/// What the page of a request is made of.
pub(crate) struct Parts<'a> {
    pub(crate) session: &'a Session,
    pub(crate) books: &'a Books,
    pub(crate) listed: &'a ListedRequest,
    pub(crate) outcome: Option<Outcome>,
    pub(crate) judgement: Judgement,
    /// What one copy of each part takes; empty for a part that can't be printed.
    pub(crate) takes: Vec<Takes>,
    /// What all copies really took, once the team has them.
    pub(crate) took: Option<Took>,
    /// What runs for it took, as far as they have ended.
    pub(crate) runs: &'a Runs,
    /// What could be promised now, or why nothing can; only asked without a pledge.
    pub(crate) offer: Option<Result<PledgeDocument, (String, String)>>,
    /// What could be had if nothing can be promised for it as it is.
    pub(crate) instead: Vec<PledgedAlternative>,
    /// What has changed since the version before, in a sentence.
    pub(crate) since: Option<String>,
    /// What each version did to the findings of the one before it.
    pub(crate) fixed: Vec<(VersionId, String)>,
    /// Why what is not made yet comes when it comes.
    pub(crate) why: Vec<String>,
    pub(crate) own: bool,
    pub(crate) actor: Actor,
    /// Whether its files are not for whoever looks: it was taken down.
    pub(crate) hidden: bool,
    /// Whether the region is theirs.
    pub(crate) coordinates: bool,
    /// Units in which it may have been meant, when it is made already.
    pub(crate) resize: Vec<Choice>,
    pub(crate) key: String,
}

impl PartPage {
    pub(crate) fn new(head: Head, at: Parts<'_>) -> Self {
        let (session, books, listed) = (at.session, at.books, at.listed);
        let request = &listed.request;
        let promised = books.pledge_of(request.id);
        let ended = promised.is_some_and(|promised| promised.end.is_some());
        let history = history(session, books, listed, &at.fixed);
        let version = history.iter().find(|v| v.here).map_or(1, |v| v.n);
        let over = matches!(request.state, State::Withdrawn | State::Recalled);
        let down = books.taken_down(request);
        let open = !ended && !over && !down;
        let end = promised.and_then(|promised| promised.end.as_ref());
        let unmade = request.state == State::Withdrawn
            && end.is_some_and(|end| end.kind == PledgeKind::Broken);
        let (title, lead) = verdict(&at);
        let pledged = promised.filter(|_| open).map(|p| &p.document);
        let (others, others_note) = others(&at, pledged);
        let boxed = promised.is_some() && stage(books, listed) == Stage::Boxed;
        let there = !books.may_be_held(request.id).is_empty();
        let (recalled, recall_about) = recalled(books, listed);
        let material = session.catalogue.material(&request.material);
        Self {
            self_url: format!("/parts/{}", request.number),
            number: request.number,
            title,
            lead,
            name: listed.part.clone(),
            version,
            detail: detail(listed),
            ticket: promised.filter(|_| !at.hidden).map(|promised| Ticket {
                why: at.why.clone(),
                ..ticket(session, books, (listed, promised), at.outcome.as_ref())
            }),
            boxes: team_boxes(session, books, listed, &at.actor),
            offer: offered(session, &at),
            may_change: at.own && open,
            may_choose: at.own && may_choose(books, listed),
            may_spare: at.own && may_spare(books, listed) && !benches(session).is_empty(),
            may_withdraw: at.own && books.may_withdraw(request.id),
            may_say_it_came: at.own && open && boxed && there,
            may_appeal: at.own && books.may_appeal(request.id) && !down,
            may_ask_again: at.own && !down && (request.state == State::Pledged || unmade),
            again_says: again(&at, open),
            hidden: at.hidden,
            coordinates: at.coordinates,
            told: told(session, books, listed, at.coordinates),
            stated: stated(books, listed),
            plates: plates(session, books, listed, at.runs),
            legs: promised.map_or_else(Vec::new, |p| legs(session, &p.document)),
            reasons: promised.map_or_else(Vec::new, |p| reasons(&p.document)),
            others,
            others_note,
            history,
            cautions: material.map_or_else(Vec::new, |m| cautions(&m.cautions)),
            judgement: at.judgement,
            takes: at.takes,
            took: at.took,
            sizes: Some(sizes(books, request.id))
                .filter(|sizes| !sizes.named.is_empty() && !at.hidden),
            recalled,
            recall_about,
            may_check: at.own && !books.recalled_with_team(request.id).is_empty(),
            resize: (at.resize.iter().filter(|_| at.own)).map(resize).collect(),
            resize_pays: pays(session.terrain.file.wrong_unit_is_paid_by),
            resized: found(books, request.id).map(|found| (found.again, resized(&found))),
            since: at.since,
            key: at.key,
            head,
        }
    }
}

/// Cautions of a material in the reader's tongue.
fn cautions(cautions: &[String]) -> Vec<String> {
    cautions.iter().map(|text| caution_says(text)).collect()
}

/// What was recalled of the copies that a team has, and what to do about it: in sentences, and what the
/// answer is about.
fn recalled(books: &Books, listed: &ListedRequest) -> (Vec<String>, &'static str) {
    let with = books.recalled_with_team(listed.request.id);
    let asked = question(books, listed.request.id, &with);
    if asked.about.is_empty() {
        return (Vec::new(), "");
    }
    let count = words::spelled(with.len());
    let mut says = vec![say!("part-recalled-copies", n = with.len(), count = count)];
    says.extend(asked.why);
    says.push(if asked.measure {
        say!("part-recalled-measure")
    } else {
        say!("part-recalled-look")
    });
    (says, asked.about)
}

/// `Inches: 63.5 × 38.1 × 6.4 mm`.
fn resize(choice: &Choice) -> (&'static str, String) {
    let [x, y, z] = choice.size_mm;
    let name = match choice.unit {
        LengthUnit::Millimetre => say!("part-millimetres"),
        LengthUnit::Centimetre => say!("part-centimetres"),
        LengthUnit::Inch => say!("part-inches"),
        other => other.symbol().to_owned(),
    };
    let text = say!(
        "part-resize",
        unit = name,
        x = decimal(x, 1),
        y = decimal(y, 1),
        z = decimal(z, 1)
    );
    (choice.unit.symbol(), text)
}

fn pays(rule: PaidBy) -> String {
    match rule {
        PaidBy::Team => say!("part-resize-team-pays"),
        PaidBy::Region => say!("part-resize-region-pays"),
    }
}

fn resized(found: &Found) -> String {
    let (was, unit) = (&found.was, &found.unit);
    match found.paid_by {
        PaidBy::Team => say!("part-resized-team-pays", was = was, unit = unit),
        PaidBy::Region => say!("part-resized-region-pays", was = was, unit = unit),
    }
}

/// `2 copies in PETG`.
pub(crate) fn detail(listed: &ListedRequest) -> String {
    say!(
        "part-copies-in",
        n = listed.request.copies,
        material = listed.request.material
    )
}

fn offered(session: &Session, at: &Parts<'_>) -> Option<String> {
    let offer = at.offer.as_ref()?.as_ref().ok()?;
    let zone = &session.terrain.zone;
    let by = words::by(zone, Minute(offer.arrival_min), session.minute());
    Some(say!(
        "part-offer",
        by = words::capital(&by),
        place = place_says(&offer.place),
        n = words::in_ten(offer.probability)
    ))
}

fn plates(session: &Session, books: &Books, listed: &ListedRequest, runs: &Runs) -> Vec<PlateRow> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let row = |kept: &partpledge_records::KeptPlate| {
        let printer = partpledge_workshop::plate_room::printer_of(session, books, kept)?;
        let ix = session.terrain.printer_of(&printer)?;
        // What was called back is on no plate any more: the others' times are not its own.
        let on_it = kept.state != partpledge_records::PlateState::Withdrawn;
        let place = books.place(kept).filter(|_| on_it);
        let time = |minute: Option<Minute>| {
            minute.map_or_else(|| "–".to_owned(), |m| words::time(zone, m, now))
        };
        let ran = runs.of_plate(kept).filter(|_| on_it);
        let begun = ran.map(|run| Minute::at_or_before(run.started_at));
        let over = ran.map(|run| Minute::at_or_before(run.ended_at));
        let state = match (kept.state, books.runs(kept)) {
            (partpledge_records::PlateState::Open, true) => say!("part-plate-runs"),
            (partpledge_records::PlateState::Open, false) => say!("part-plate-planned"),
            (partpledge_records::PlateState::Off, _) => say!("part-plate-off"),
            (partpledge_records::PlateState::Lost, _) => say!("part-plate-failed"),
            (partpledge_records::PlateState::Withdrawn, _) => say!("part-plate-withdrawn"),
        };
        let copies = books.copies_on(kept).count();
        let many = usize::try_from(kept.plate.copies).unwrap_or(0);
        Some(PlateRow {
            plate: kept.on().0,
            copies: if copies == 0 { many } else { copies },
            host: session
                .terrain
                .host_at(ix, begun.or(place.map(|p| p.start)).unwrap_or(now))
                .to_owned(),
            printer,
            from: time(begun.or(place.map(|p| p.start))),
            until: time(over.or(place.map(|p| p.end))),
            state: ran.map_or(state.clone(), |run| took(&state, run)),
        })
    };
    books.plates_of(listed.request.id).filter_map(row).collect()
}

/// `off the bed, took 1 h 10`, or at most so long where nobody saw its end.
fn took(state: &str, run: &Ended) -> String {
    let time = run.length.to_string();
    match run.known {
        Length::Told => say!("part-plate-took", state = state, time = time),
        Length::AtMost => say!("part-plate-took-at-most", state = state, time = time),
        Length::Expected => say!("part-plate-took-expected", state = state, time = time),
    }
}

fn legs(session: &Session, document: &PledgeDocument) -> Vec<String> {
    let zone = &session.terrain.zone;
    let one = |found: &PledgedLeg| {
        let from = place_says(&found.from);
        let leaves = zone.short(Minute(found.leaves_min));
        let arrives = zone.short(Minute(found.arrives_min));
        match found.kind.as_str() {
            "counter" => say!("part-leg-counter", from = from),
            "courier" => say!(
                "part-leg-courier",
                from = from,
                leaves = leaves,
                arrives = arrives
            ),
            _ => say!(
                "part-leg-meeting",
                from = from,
                to = place_says(&found.to),
                leaves = leaves,
                arrives = arrives
            ),
        }
    };
    let mut out: Vec<String> = Vec::new();
    for text in document.legs.iter().map(one) {
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

/// Why the pledge is not earlier, as it was told when it was given.
fn reasons(document: &PledgeDocument) -> Vec<String> {
    document.reasons.iter().map(ToString::to_string).collect()
}

/// What else could be had, and of when that is: of the pledge if it is open, else of now.
fn others(at: &Parts<'_>, pledged: Option<&PledgeDocument>) -> (Vec<Other>, String) {
    let session = at.session;
    let offered = at.offer.as_ref().and_then(|offer| offer.as_ref().ok());
    match (pledged, offered) {
        (Some(pledged), _) => (
            each(session, &pledged.alternatives),
            say!("part-otherwise-then"),
        ),
        (None, Some(offered)) => (
            each(session, &offered.alternatives),
            say!("part-otherwise-now"),
        ),
        (None, None) => (each(session, &at.instead), say!("part-otherwise-instead")),
    }
}

fn each(session: &Session, alternatives: &[PledgedAlternative]) -> Vec<Other> {
    let zone = &session.terrain.zone;
    let one = |other: &PledgedAlternative| {
        let at = Minute(other.arrival_min);
        Other {
            what: other.what.to_string(),
            when: format!("{}, {}", zone.day(at), zone.clock(at)),
            in_ten: words::in_ten(other.probability),
        }
    };
    // Older promises name other printers too, which nobody can choose.
    let can_be_chosen = alternatives.iter().filter(|other| other.change.is_some());
    can_be_chosen.map(one).collect()
}

/// How far a request without a pledge has come.
fn in_words(state: State) -> String {
    match state {
        State::Received => say!("part-is-received"),
        State::HeldForReview => say!("part-is-held"),
        State::Refused => say!("part-is-refused"),
        State::NeedsChange => say!("part-is-to-change"),
        State::Ready => say!("part-is-ready"),
        State::Pledged => say!("part-was-pledged"),
        State::OnAPlate => say!("part-is-on-a-plate"),
        State::Running => say!("part-is-running"),
        State::Rework => say!("part-is-reworked"),
        State::Inspected => say!("part-is-inspected"),
        State::Boxed => say!("part-is-boxed"),
        State::HandedOver => say!("part-is-handed-over"),
        State::Withdrawn => say!("part-is-withdrawn"),
        State::Recalled => say!("part-is-recalled"),
        State::Lost => say!("part-is-lost"),
    }
}

/// What is said before somebody asks for the same again.
fn again(at: &Parts<'_>, open: bool) -> String {
    let promised = at.books.pledge_of(at.listed.request.id).filter(|_| open);
    let Some(promised) = promised else {
        return say!("part-again-ended");
    };
    let late = at.outcome.as_ref().filter(|outcome| outcome.at_risk());
    let comes = late.and_then(|outcome| outcome.likely);
    let comes = comes.unwrap_or(promised.pledge.arrival);
    let by = words::by(&at.session.terrain.zone, comes, at.session.minute());
    say!("part-again-coming", by = by)
}

/// Every request of the same part, oldest first.
fn history(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    fixed: &[(VersionId, String)],
) -> Vec<Version> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let same = books
        .requests
        .iter()
        .filter(|r| r.part_id == listed.part_id);
    let mut versions: Vec<VersionId> = Vec::new();
    same.map(|other| {
        let request = &other.request;
        let first = !versions.contains(&request.version);
        if first {
            versions.push(request.version);
        }
        let version = versions.iter().position(|v| *v == request.version);
        let sent = Minute::at_or_before(request.asked_at);
        let promised = books.pledge_of(request.id);
        let what = match promised.map(|p| p.end.as_ref().map(|end| end.kind)) {
            Some(None | Some(PledgeKind::Given)) => say!("part-was-pledged"),
            Some(Some(PledgeKind::Kept)) => say!("part-was-kept"),
            Some(Some(PledgeKind::Broken)) => say!("part-was-broken"),
            Some(Some(PledgeKind::Superseded)) => say!("part-was-replaced"),
            Some(Some(PledgeKind::Withdrawn)) => say!("part-was-called-back"),
            None => in_words(request.state),
        };
        Version {
            number: request.number,
            n: version.unwrap_or(0) + 1,
            sent: format!("{}, {}", words::day(zone, sent, now), zone.clock(sent)),
            what,
            fixed: fixed
                .iter()
                .find(|(version, _)| first && *version == request.version)
                .map(|(_, says)| says.clone()),
            here: request.id == listed.request.id,
        }
    })
    .collect()
}

#[cfg(test)]
mod tests;
