//! What an event of the log means to whom.

use partpledge_records::{Event, ListedRequest, PledgeKind, State, StepKind, StoredCopy};
use partpledge_units::ids::RequestId;

use super::{News, Says, To};
use crate::books::{Books, Promised};
use crate::happened::Happened;
use crate::plate_room::printer_of;
use crate::session::Session;

/// All that is to be told of an event. What was taken back or overtaken by now is left out.
pub(super) fn news(session: &Session, books: &Books, event: &Event) -> Vec<News> {
    let happened = Happened::read(event);
    let mut out = Vec::new();
    for id in happened.requests(books) {
        let Some(listed) = books.request(id) else {
            continue;
        };
        let number = listed.request.number;
        let mut add = |to: To, link: String, says: Says| {
            out.push(News {
                to,
                at: event.received_at,
                link,
                says,
                by: Some(event.actor.clone()),
            });
        };
        if let Some(says) = for_team(session, books, listed, (event, &happened)) {
            let team = To::Team(listed.request.team.clone());
            add(team, format!("/parts/{number}"), says);
        }
        if let Some(says) = for_coordinator(listed, event) {
            add(To::Coordinators, format!("/review/{number}"), says);
        }
    }
    out
}

fn for_team(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    (event, happened): (&Event, &Happened),
) -> Option<Says> {
    let part = listed.part.clone();
    let id = listed.request.id;
    let promised = books.pledge_of(id);
    Some(match event.kind.as_str() {
        "pledge.given" => {
            let Promised {
                pledge, document, ..
            } = promised?;
            Says::Promised {
                part,
                arrival: pledge.arrival,
                place: document.place.clone(),
            }
        }
        "request.received" if says_state(event, State::NeedsChange) => Says::NeedsChange { part },
        "request.received" if says_state(event, State::HeldForReview) => Says::Waits { part },
        "request.held" => Says::Waits { part },
        // What can be promised at once is told as promised.
        "request.passed" if promised.is_none() => Says::Passed { part },
        "request.refused" => Says::Refused { part },
        "request.taken-down" => Says::TakenDown { part },
        // What another took the place of goes on under that.
        "request.withdrawn" if !replaced(books, listed) => Says::CalledBack { part },
        "run.started" => {
            let kept = books.plate(happened.plate?)?;
            let started = |seq| books.step(seq, StepKind::Started);
            let this = started(kept.plate.seq.0)?;
            // Only the first plate of a request is news.
            let all = books.plates_of(id);
            let mut before = all.filter_map(|kept| started(kept.plate.seq.0));
            if before.any(|step| (step.at, step.plate) < (this.at, this.plate)) {
                return None;
            }
            Says::Printing {
                part,
                host: host_of(session, &this.printer, this.at.0)?,
                printer: this.printer.clone(),
            }
        }
        "box.packed" => {
            let kept = books.plate(happened.plate?)?;
            let packed = books.step(kept.plate.seq.0, StepKind::Boxed)?;
            let printer = printer_of(session, books, kept)?;
            let copies = books.copies(id).iter().filter(|copy| is_boxed(copy));
            let promised = promised?;
            Says::Ready {
                part,
                copies: copies.count(),
                of: usize::try_from(listed.request.copies).unwrap_or_default(),
                host: host_of(session, &printer, packed.at.0)?,
                place: promised.document.place.clone(),
                arrival: promised.pledge.arrival,
            }
        }
        "box.left" => {
            books.step(happened.plate?, StepKind::Left)?;
            let place = promised?.document.place.clone();
            Says::Left { part, place }
        }
        "box.handed-over" if !is_last(books, id, happened.plate?)? => Says::SomeHandedOver { part },
        "box.handed-over" | "request.handed-over" => {
            let end = promised.and_then(|promised| promised.end.as_ref());
            let late = end.is_some_and(|end| end.kind == PledgeKind::Broken);
            Says::HandedOver { part, late }
        }
        _ => return None,
    })
}

fn for_coordinator(listed: &ListedRequest, event: &Event) -> Option<Says> {
    let (number, part, team) = (
        listed.request.number,
        listed.part.clone(),
        listed.request.team.clone(),
    );
    let waits = listed.request.state == State::HeldForReview;
    Some(match event.kind.as_str() {
        "request.received" | "request.held" if waits => Says::Decide { number, part, team },
        "request.appealed" if waits => Says::Appealed { number, part, team },
        "request.reported" => Says::Reported { number, part, team },
        _ => return None,
    })
}

fn says_state(event: &Event, state: State) -> bool {
    event.text("state").as_deref() == Some(state.as_str())
}

/// Whether that share's box was the last that the team was handed; `None` when it was not handed
/// over by now.
fn is_last(books: &Books, id: RequestId, plate: u64) -> Option<bool> {
    let handed = |seq| books.step(seq, StepKind::HandedOver);
    let this = handed(plate)?;
    let mut all = books
        .plates_of(id)
        .filter_map(|kept| handed(kept.plate.seq.0));
    let later = all.any(|step| (step.at, step.plate) > (this.at, this.plate));
    let ended = books
        .pledge_of(id)
        .is_some_and(|promised| promised.end.is_some());
    Some(ended && !later)
}

fn replaced(books: &Books, listed: &ListedRequest) -> bool {
    let id = Some(listed.request.id);
    books.requests.iter().any(|one| one.request.replaces == id)
}

fn is_boxed(copy: &StoredCopy) -> bool {
    matches!(copy.state, State::Boxed | State::HandedOver)
}

/// Name of the host where a printer stood at that time, in ms.
fn host_of(session: &Session, printer: &str, at_ms: i64) -> Option<String> {
    let terrain = &session.terrain;
    let printer = terrain.printer_of(printer)?;
    let at = partpledge_units::time::Minute(at_ms.div_euclid(60_000));
    Some(terrain.host_at(printer, at).to_owned())
}
