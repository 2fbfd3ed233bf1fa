//! The answer to a team, in a sentence, and what comes after it.

use partpledge_records::{NoteKind, PledgeKind, State};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;
use partpledge_workshop::books::Promised;
use partpledge_workshop::review::Reason;
use partpledge_workshop::risks::{Outcome, cause, no_word};

use crate::figures::part::Kind;
use crate::pages::judgement::Found;
use crate::pages::part::Parts;
use crate::pages::parts::spares_at;
use crate::pages::region::because;
use crate::pages::review::{last, why};
use crate::pages::ticket::{Stage, stage};
use crate::words;

/// Heading and lead.
type Words = (String, String);

/// The answer, as the page's heading, and what comes after it.
pub(crate) fn verdict(at: &Parts<'_>) -> Words {
    let request = &at.listed.request;
    if at.books.taken_down(request) {
        return taken_down(at);
    }
    match (at.books.pledge_of(request.id), request.state) {
        (_, State::HeldForReview) => held(at),
        (_, State::Refused) => refused(at),
        (_, State::NeedsChange) => needs_change(&at.judgement.found),
        (None, State::Withdrawn) => called_back(at),
        (None, _) => unpledged(at),
        (Some(promised), _) => match &promised.end {
            Some(end) => ended(at, promised, (end.kind, end.recorded_at)),
            None if at.outcome.as_ref().is_some_and(Outcome::at_risk) => at_risk(at, promised),
            None => holds(at),
        },
    }
}

/// Nothing of what was guessed: that is for the reviewer, who may see that it is wrong.
fn held(at: &Parts<'_>) -> Words {
    let lead = match last(at.books, at.listed, NoteKind::Appealed) {
        Some(_) => say!("part-held-appealed"),
        None => {
            let rule = &at.session.terrain.file.undecided;
            say!("part-held-answer", n = rule.close_after_days)
        }
    };
    (say!("part-held"), lead)
}

fn refused(at: &Parts<'_>) -> Words {
    let note = last(at.books, at.listed, NoteKind::Refused);
    let why = note.as_ref().map(why).unwrap_or_default();
    let reason = note.and_then(|note| Reason::parse(&note.said.reason));
    let what_to_do = reason.map(Reason::what_to_do).unwrap_or_default();
    if reason == Some(Reason::Undecided) {
        return undecided(at);
    }
    if at.books.may_appeal(at.listed.request.id) {
        let lead = say!("part-refused-lead", why = why, todo = what_to_do);
        return (say!("part-refused"), lead);
    }
    let lead = say!("part-refused-twice-lead", why = why, todo = what_to_do);
    (say!("part-refused-for-good"), lead)
}

/// Nobody decided, or nobody looked a second time at what was refused before.
fn undecided(at: &Parts<'_>) -> Words {
    let notes = at.books.notes(at.listed.request.id).iter().rev();
    let mut decided = notes.filter(|note| {
        note.said.kind == NoteKind::Refused && note.said.reason != Reason::Undecided.code()
    });
    if let Some(first) = decided.next() {
        let lead = say!("part-first-answer-stands", why = why(first));
        return (say!("part-refused-for-good"), lead);
    }
    let what_to_do = Reason::Undecided.what_to_do();
    let lead = if at.books.may_appeal(at.listed.request.id) {
        say!("part-undecided-appeal", todo = what_to_do)
    } else {
        say!("part-undecided-lead", todo = what_to_do)
    };
    (say!("part-undecided"), lead)
}

fn taken_down(at: &Parts<'_>) -> Words {
    let note = last(at.books, at.listed, NoteKind::TakenDown);
    let why = note.as_ref().map(why).unwrap_or_default();
    let lead = say!("part-taken-down-lead", why = why);
    (say!("part-taken-down"), lead)
}

fn needs_change(found: &[Found]) -> Words {
    let why = found.first().map(|worst| worst.why.clone());
    let why = why.unwrap_or_else(|| say!("part-cant-be-printed"));
    (say!("part-needs-change"), why)
}

fn unpledged(at: &Parts<'_>) -> Words {
    let lead = match &at.offer {
        Some(Err((why, what))) => format!("{why}. {what}"),
        _ => say!("part-offer-stands"),
    };
    (say!("part-no-day-yet"), lead)
}

fn ended(at: &Parts<'_>, promised: &Promised, (kind, when): (PledgeKind, EventMs)) -> Words {
    let (zone, now) = (&at.session.terrain.zone, at.session.minute());
    let arrival = promised.pledge.arrival;
    let came = Minute::at_or_before(when);
    let (day, time) = (zone.day(arrival), zone.clock(arrival));
    match kind {
        PledgeKind::Kept => {
            let day = words::day(zone, came, now);
            let lead = say!("part-kept-lead", day = day, time = zone.clock(came));
            (say!("part-kept"), lead)
        }
        PledgeKind::Broken if at.listed.request.state == State::Withdrawn => {
            let lead = match spares_at(at.session, at.listed) {
                Some(bench) => say!(
                    "part-spare-not-printed-lead",
                    day = day,
                    time = time,
                    bench = bench
                ),
                None => say!("part-not-printed-lead", day = day, time = time),
            };
            (say!("part-broken"), lead)
        }
        PledgeKind::Broken => {
            let late = words::length(came - arrival);
            let lead = say!("part-late-lead", day = day, time = time, late = late);
            (say!("part-broken"), lead)
        }
        PledgeKind::Superseded if at.books.in_place_of(at.listed.request.id).is_none() => {
            (say!("part-replaced"), String::new())
        }
        PledgeKind::Superseded | PledgeKind::Withdrawn | PledgeKind::Given => called_back(at),
    }
}

/// By the team, or by the version that took its place.
fn called_back(at: &Parts<'_>) -> Words {
    let next = at.books.in_place_of(at.listed.request.id);
    let title = match next {
        Some(next) => {
            let name = &at.session.terrain.file.name;
            say!(
                "part-newer-sent",
                number = words::number(name, next.request.number)
            )
        }
        None => say!("part-you-called-back"),
    };
    (title, String::new())
}

fn at_risk(at: &Parts<'_>, promised: &Promised) -> Words {
    let (zone, now) = (&at.session.terrain.zone, at.session.minute());
    let arrival = promised.pledge.arrival;
    if no_word(at.session, at.books, at.listed).is_some() {
        return (say!("part-may-be-broken"), say!("part-past-boxed"));
    }
    let why = cause(at.session, at.books, at.listed);
    let because = why.map(|why| because(at.session, &why));
    let chance = at.outcome.as_ref().map_or(0.0, |outcome| outcome.chance);
    let likely = at.outcome.as_ref().and_then(|outcome| outcome.likely);
    let by = likely.map(|likely| words::by(zone, likely, now));
    let late = arrival < now || words::about_in_ten(chance) == 0;
    let title = match (&by, late) {
        (Some(_), true) => say!("part-will-be-late"),
        (None, _) if arrival < now => say!("part-may-be-broken"),
        _ => say!("part-at-risk"),
    };
    let promised = words::by(zone, arrival, now);
    let lead = match (by, because) {
        (Some(by), Some(because)) if late => say!(
            "part-late-because",
            by = by,
            promised = promised,
            because = because
        ),
        (Some(by), None) if late => say!("part-late-comes", by = by, promised = promised),
        (Some(by), Some(because)) => say!("part-at-risk-because", by = by, because = because),
        (Some(by), None) => say!("part-at-risk-comes", by = by),
        (None, Some(because)) => say!("part-at-risk-unknown-because", because = because),
        (None, None) => say!("part-at-risk-unknown"),
    };
    (title, lead)
}

fn holds(at: &Parts<'_>) -> Words {
    let title = match stage(at.books, at.listed) {
        Stage::Pledged => say!("part-can-be-printed"),
        Stage::Printing => say!("part-being-printed"),
        Stage::Checked => say!("part-checked"),
        Stage::Boxed => say!("part-in-its-box"),
        Stage::HandedOver => say!("part-you-have-it"),
    };
    let found = findings_in_words(&at.judgement.found);
    let lead = unmet(at).map_or_else(|| found.clone(), |unmet| format!("{unmet} {found}"));
    (title, lead)
}

/// What is said of a day that the team named and the promise does not meet.
fn unmet(at: &Parts<'_>) -> Option<String> {
    let need = at.listed.request.need_by?;
    let promised = at.books.pledge_of(at.listed.request.id)?;
    let (zone, now) = (&at.session.terrain.zone, at.session.minute());
    let need = Minute::at_or_after(need);
    let arrival = promised.pledge.arrival;
    (arrival > need).then(|| {
        say!(
            "part-not-by-need",
            need = words::by(zone, need, now),
            by = words::by(zone, arrival, now)
        )
    })
}

/// `Of four findings, one is worth changing; the pledge holds either way.`
fn findings_in_words(found: &[Found]) -> String {
    let spelled = |n: usize| say!("numbers-spelled", n = n);
    let worth = found.iter().filter(|f| f.kind == Kind::Worth).count();
    match (found.len(), worth) {
        (0, _) => say!("part-found-nothing"),
        (all, 0) => say!("part-found-notes", n = all, count = spelled(all)),
        (1, _) => say!("part-found-one-worth"),
        (all, worth) if all == worth => {
            say!(
                "part-found-all-worth",
                count = words::capital(&spelled(all))
            )
        }
        (all, worth) => say!(
            "part-found-some-worth",
            all = spelled(all),
            n = worth,
            count = spelled(worth)
        ),
    }
}
