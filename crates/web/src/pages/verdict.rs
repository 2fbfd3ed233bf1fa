//! The answer to a team, in a sentence, and what comes after it.

use partpledge_records::{NoteKind, PledgeKind, State};
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::books::Promised;
use partpledge_workshop::review::Reason;
use partpledge_workshop::risks::Outcome;

use crate::figures::part::Kind;
use crate::pages::judgement::Found;
use crate::pages::part::Parts;
use crate::pages::review::{last, why};
use crate::pages::ticket::{Stage, stage};
use crate::words;

/// Heading and lead.
type Words = (String, String);

fn said(title: &str, lead: impl Into<String>) -> Words {
    (title.to_owned(), lead.into())
}

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
        (None, State::Withdrawn) => said("You called this part back.", ""),
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
        Some(_) => "You asked for a second look. The coordinator decides; that decision is final.",
        None => {
            "The region’s coordinator looks at some parts before anything is promised. It is no bad \
             sign. You see the answer here, within a day on school days, and the promise with it."
        }
    };
    said("We look at this part before we promise anything.", lead)
}

fn refused(at: &Parts<'_>) -> Words {
    let note = last(at.books, at.listed, NoteKind::Refused);
    let why = note.as_ref().map(why).unwrap_or_default();
    let reason = note.and_then(|note| Reason::parse(&note.said.reason));
    let what_to_do = reason.map_or("", Reason::what_to_do);
    if reason == Some(Reason::Undecided) {
        return undecided(at);
    }
    if at.books.may_appeal(at.listed.request.id) {
        let lead = format!(
            "The coordinator decided: {why} {what_to_do} You may ask for a second look once."
        );
        return said("No, we don’t print this part as it is.", lead);
    }
    let lead = format!("The coordinator looked twice: {why} {what_to_do} This decision is final.");
    said("No, we don’t print this part.", lead)
}

/// Nobody decided, or nobody looked a second time at what was refused before.
fn undecided(at: &Parts<'_>) -> Words {
    let notes = at.books.notes(at.listed.request.id).iter().rev();
    let mut decided = notes.filter(|note| {
        note.said.kind == NoteKind::Refused && note.said.reason != Reason::Undecided.code()
    });
    if let Some(first) = decided.next() {
        let lead = format!(
            "Nobody looked a second time, so the first answer stands: {} Talk with your mentor.",
            why(first)
        );
        return said("No, we don’t print this part.", lead);
    }
    let what_to_do = Reason::Undecided.what_to_do();
    let second = if at.books.may_appeal(at.listed.request.id) {
        " Or ask for a second look, once."
    } else {
        ""
    };
    let lead = format!("We are sorry: that is not your fault. {what_to_do}{second}");
    said("No promise: nobody decided about this part in time.", lead)
}

fn taken_down(at: &Parts<'_>) -> Words {
    let note = last(at.books, at.listed, NoteKind::TakenDown);
    let why = note.as_ref().map(why).unwrap_or_default();
    let lead = format!(
        "The coordinator decided: {why} Its files are shown to nobody else now, and nothing more of \
         it is made. Ask the coordinator if you think that is wrong."
    );
    said("This part was taken down.", lead)
}

fn needs_change(found: &[Found]) -> Words {
    let why = "Something in it can’t be printed.";
    let why = found.first().map_or(why, |worst| worst.why.as_str());
    said("Not yet. This part needs a change.", why)
}

fn unpledged(at: &Parts<'_>) -> Words {
    let lead = match &at.offer {
        Some(Err((why, what))) => format!("{why}. {what}"),
        _ => "Nothing is promised yet: the offer below stands until you take it or somebody else \
              takes its place in the plan."
            .to_owned(),
    };
    said("Yes, we can print this part. No day is promised yet.", lead)
}

fn ended(at: &Parts<'_>, promised: &Promised, (kind, when): (PledgeKind, EventMs)) -> Words {
    let (zone, now) = (&at.session.terrain.zone, at.session.minute());
    let arrival = promised.pledge.arrival;
    let came = Minute(when.0.div_euclid(60_000));
    match kind {
        PledgeKind::Kept => {
            let day = words::day(zone, came, now);
            said(
                "The promise was kept.",
                format!("It came {day} at {}.", zone.clock(came)),
            )
        }
        PledgeKind::Broken if at.listed.request.state == State::Withdrawn => {
            let (day, by) = (zone.day(arrival), zone.clock(arrival));
            let lead = format!("We promised {day} by {by} and did not print it. We are sorry.");
            said("We broke this promise.", lead)
        }
        PledgeKind::Broken => {
            let (day, late) = (zone.day(arrival), words::length(came - arrival));
            let by = zone.clock(arrival);
            let lead = format!("We promised {day} by {by} and it came {late} late. We are sorry.");
            said("We broke this promise.", lead)
        }
        PledgeKind::Superseded => said("Another request took the place of this one.", ""),
        PledgeKind::Withdrawn | PledgeKind::Given => said("You called this part back.", ""),
    }
}

fn at_risk(at: &Parts<'_>, promised: &Promised) -> Words {
    let (zone, now) = (&at.session.terrain.zone, at.session.minute());
    if promised.pledge.arrival < now {
        let boxed = stage(at.books, at.listed) == Stage::Boxed;
        let lead = if boxed {
            "Its time has passed and nobody has told us that you hold it. If you do, say so below."
        } else {
            "Its time has passed. The coordinator sees it too and looks for a way."
        };
        return said("We may have broken this promise.", lead);
    }
    let likely = at.outcome.as_ref().and_then(|outcome| outcome.likely);
    let when = likely.map_or_else(
        || "As things stand we can’t say when it comes.".to_owned(),
        |likely| format!("As things stand it comes {}.", words::by(zone, likely, now)),
    );
    let lead = format!("{when} The coordinator sees it too and looks for a way.");
    said("This promise is at risk.", lead)
}

fn holds(at: &Parts<'_>) -> Words {
    let title = match stage(at.books, at.listed) {
        Stage::Pledged => "Yes, we can print this part.",
        Stage::Printing => "Your part is being printed.",
        Stage::Checked => "Your part is printed and checked.",
        Stage::Boxed => "Your part is in its box.",
        Stage::HandedOver => "You have your part.",
    };
    said(title, findings_in_words(&at.judgement.found))
}

/// `Of four findings, one is worth changing; the pledge holds either way.`
fn findings_in_words(found: &[Found]) -> String {
    let worth = found.iter().filter(|f| f.kind == Kind::Worth).count();
    match (found.len(), worth) {
        (0, _) => "We found nothing to change.".to_owned(),
        (all, 0) => {
            let notes = words::spelled(all, "note", "notes");
            format!("We have {notes} for you; nothing has to change.")
        }
        (1, _) => "One thing is worth changing; the pledge holds either way.".to_owned(),
        (all, worth) if all == worth => {
            let findings = words::spelled(all, "finding is", "findings are");
            format!(
                "{} worth changing; the pledge holds either way.",
                words::capital(&findings)
            )
        }
        (all, worth) => {
            let findings = words::spelled(all, "finding", "findings");
            let are = words::spelled(worth, "is", "are");
            format!("Of {findings}, {are} worth changing; the pledge holds either way.")
        }
    }
}
