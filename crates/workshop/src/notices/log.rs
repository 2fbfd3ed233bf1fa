//! What an event of the log means to whom.

use partpledge_planning::{Ground, watched_until};
use partpledge_records::{
    Event, KeptClosure, KeptPlate, ListedRequest, PledgeKind, State, StepKind, StoredCopy,
};
use partpledge_units::ids::{PersonId, RequestId};
use partpledge_units::time::{EventMs, Minute};

use super::{News, Says, To, account};
use crate::bench::PEOPLE_LEAVE;
use crate::books::{Books, Promised, began};
use crate::boxes;
use crate::doubts::{Doubt, open_doubt};
use crate::happened::Happened;
use crate::plate_room::printer_of;
use crate::recalls::{Fate, Which, of_request};
use crate::sending::spares::spare_at;
use crate::session::Session;

/// All that is to be told of an event. What was taken back or overtaken by now is left out.
pub(super) fn news(session: &Session, books: &Books, event: &Event) -> Vec<News> {
    let happened = Happened::read(event);
    let mut out = Vec::new();
    if let Some((who, until)) = stands_in(event) {
        for (to, you) in [
            (To::OtherCoordinators(who), false),
            (To::Coordinator(who), true),
        ] {
            out.push(News {
                to,
                at: event.received_at,
                link: "/region".to_owned(),
                says: Says::StandsIn { until, you },
                by: Some(event.actor.clone()),
            });
        }
    }
    out.extend(account::news(event));
    out.extend(to_stop(session, books, (event, &happened)));
    out.extend(closed(session, event));
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
        for (code, says) in for_benches(session, books, listed, event) {
            let link = format!("/run-sheets/{code}/boxes");
            add(To::Bench(code), link, says);
        }
        if let Some(says) = checked(listed, event) {
            add(To::Coordinators, "/recalls".to_owned(), says);
        }
        if let Some(says) = for_coordinator(books, listed, (event, &happened)) {
            add(To::Coordinators, format!("/review/{number}"), says);
        }
    }
    out
}

/// A closure that holds: told to each bench that it closes, once, however many schools it is of.
fn closed(session: &Session, event: &Event) -> Vec<News> {
    let mut open = session.closures.iter();
    let same = |kept: &&KeptClosure| kept.at == event.received_at;
    let kept = open.find(same).filter(|_| event.kind == "region.closed");
    let Some(kept) = kept else {
        return Vec::new();
    };
    let file = &session.terrain.file;
    let (closure, hosts) = (&kept.closure, file.hosts.iter());
    let shut = hosts.filter(|host| closure.schools.contains(&host.school));
    let with_printers =
        shut.filter(|host| file.printers.iter().any(|entry| entry.host == host.school));
    with_printers
        .filter_map(|host| {
            Some(News {
                to: To::Bench(host.school.clone()),
                at: event.received_at,
                link: format!("/run-sheets/{}", host.school),
                says: Says::Closed {
                    school: file.school(&host.school)?.name.clone(),
                    from: closure.from,
                    until: closure.until,
                    reason: closure.reason.clone(),
                },
                by: Some(event.actor.clone()),
            })
        })
        .collect()
}

/// A run that somebody else had stopped: its bench does it, while people are there.
fn to_stop(
    session: &Session,
    books: &Books,
    (event, happened): (&Event, &Happened),
) -> Option<News> {
    let reason = event.text("reason").filter(|_| event.kind == "run.failed");
    let kept = books.plate(happened.plate?)?;
    let failed = books.step(kept.on().0, StepKind::Failed)?;
    let code = host_code(session, books, kept)?;
    // Whoever works at the bench has stopped it themselves.
    let role = event.actor.split('/').next();
    let there = role.and_then(|role| role.strip_prefix("host:")) == Some(code.as_str());
    let gone = left(session, books, kept)
        .is_some_and(|until| until <= Minute::at_or_before(event.received_at));
    let says = Says::StopNow {
        plate: kept.on().0,
        printer: failed.printer.clone(),
    };
    let told = reason.as_deref() == Some(PEOPLE_LEAVE) && !there && !gone;
    told.then(|| News {
        link: format!("/run-sheets/{code}"),
        to: To::Bench(code),
        at: event.received_at,
        says,
        by: Some(event.actor.clone()),
    })
}

/// When people leave who were beside the run of a plate, on a printer that may not run alone.
fn left(session: &Session, books: &Books, kept: &KeptPlate) -> Option<Minute> {
    let started = books.step(kept.plate.seq.0, StepKind::Started)?;
    let printer = session.terrain.printer_of(&started.printer)?;
    let ground = Ground::new(&session.terrain.region);
    watched_until(&ground, printer, began(&kept.plate, started.at))
}

/// Who stands in for the coordinator, and until when, if that is what an event says.
fn stands_in(event: &Event) -> Option<(PersonId, Minute)> {
    if event.kind != "person.stands-in" {
        return None;
    }
    let who = event.text("person")?.parse().ok()?;
    let until = EventMs(event.text("until")?.parse().ok()?);
    Some((who, Minute::at_or_after(until)))
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
        "request.refused" if event.actor == "clock" => Says::NotDecided {
            part,
            again: !books.may_appeal(id),
        },
        "request.refused" => Says::Refused { part },
        "request.taken-down" => Says::TakenDown { part },
        // What another took the place of goes on under that.
        // Nor is what was to take the place of another that goes on.
        "spare.not-made" => Says::SpareNotMade {
            part,
            all: listed.request.state == State::Withdrawn,
            at: session
                .terrain
                .file
                .school(&spare_at(session, listed)?.school)?
                .name
                .clone(),
        },
        "request.withdrawn" if !replaced(books, listed) && !tried_instead(books, listed) => {
            Says::CalledBack { part }
        }
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
        _ => return of_a_box(session, books, listed, (event, happened)),
    })
}

/// What the team is told of its boxes.
fn of_a_box(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    (event, happened): (&Event, &Happened),
) -> Option<Says> {
    let part = listed.part.clone();
    let id = listed.request.id;
    let promised = books.pledge_of(id);
    Some(match event.kind.as_str() {
        "box.packed" => ready(session, books, listed, happened.plate?)?,
        "box.left" => {
            books.step(happened.plate?, StepKind::Left)?;
            let place = promised?.document.place.clone();
            Says::Left { part, place }
        }
        "box.missed-leg" => {
            let leg = boxes::missed(books, books.plate(happened.plate?)?)?;
            let place = promised?.document.place.clone();
            let (why, arrives) = (leg.why, leg.arrives);
            Says::NotGone {
                part,
                why,
                arrives,
                place,
            }
        }
        // What came out in the wrong unit is not made again: it has a request of its own.
        "box.made-again" if event.numbers("reprints").is_empty() => return None,
        "box.made-again" => Says::MadeAgain {
            part,
            why: Doubt::parse(&event.text("reason")?)?,
        },
        "box.all-right" => Says::BoxRight {
            part,
            why: Doubt::parse(&event.text("reason")?)?,
        },
        "step.taken-back" if unhanded(books, event, happened) => Says::NotHandedOver { part },
        "box.handed-over" if !is_last(books, id, happened.plate?)? => Says::SomeHandedOver { part },
        "request.handed-over" if !has_all(books, id) => {
            let mut copies = books.copies(id).iter();
            copies.find(|copy| copy.state == State::HandedOver)?;
            Says::SomeHandedOver { part }
        }
        "box.handed-over" | "request.handed-over" => {
            // A promise that ended before is not broken once more by what came after it.
            let end = promised.and_then(|promised| promised.end.as_ref());
            let end = end.filter(|end| end.recorded_at == event.received_at);
            let late = end.is_some_and(|end| end.kind == PledgeKind::Broken);
            Says::HandedOver { part, late }
        }
        _ => return of_recall(books, id, (event, part)),
    })
}

/// What a team is told of recalled copies, as they stand by now: all may have been checked since.
fn of_recall(books: &Books, id: RequestId, (event, part): (&Event, String)) -> Option<Says> {
    let open = open_recalls(books, id);
    let with = open.iter().filter(|(_, fate)| *fate == Fate::WithTeam);
    let have = with.count();
    match event.kind.as_str() {
        "recall.opened" if !open.is_empty() => Some(Says::Recalled {
            part,
            have,
            held: open.len() - have,
        }),
        "recall.lifted" if open.is_empty() => Some(Says::RecallLifted { part }),
        // What the team itself has said it knows; and good is what is good for every recall.
        "recall.checked" if !said_by_team(event) && !asked_still(&open, event) => {
            Some(Says::RecallChecked {
                part,
                good: event.text("found").as_deref() == Some("good"),
            })
        }
        _ => None,
    }
}

/// Whether something checked and good for one recall is still to be checked for another.
fn asked_still(open: &[(Which, Fate)], event: &Event) -> bool {
    let good = event.text("found").as_deref() == Some("good");
    let shares = event.numbers("plates");
    let here = |(share, _): Which| shares.contains(&share);
    let mut open = open.iter();
    good && open.any(|(which, fate)| *fate != Fate::WithTeam && here(*which))
}

/// Whether somebody of a team did it.
fn said_by_team(event: &Event) -> bool {
    let role = event.actor.split('/').next();
    matches!(role, Some("team" | "mentor"))
}

/// Recalled copies of a request that wait to be checked.
fn open_recalls(books: &Books, id: RequestId) -> Vec<(Which, Fate)> {
    let all = of_request(books, id).into_iter();
    let mut open: Vec<_> = all.flat_map(|one| one.copies).collect();
    open.retain(|(_, fate)| fate.open());
    open.sort_unstable();
    open.dedup();
    open
}

/// Whether a hand-over was taken back, and the box was not handed over again since.
fn unhanded(books: &Books, event: &Event, happened: &Happened) -> bool {
    let handed = event.text("step").as_deref() == Some(StepKind::HandedOver.as_str());
    let again = happened
        .plate
        .map(|plate| books.step(plate, StepKind::HandedOver));
    handed && again.is_none_or(|step| step.is_none())
}

/// What benches are told: recalled copies that are still with them.
fn for_benches(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    event: &Event,
) -> Vec<(String, Says)> {
    if event.kind != "recall.opened" {
        return Vec::new();
    }
    let mut out: Vec<(String, usize, Vec<u64>)> = Vec::new();
    for ((share, _), fate) in open_recalls(books, listed.request.id) {
        let line = (books.plate(share)).filter(|_| fate < Fate::OnTheWay);
        let code = line.and_then(|kept| host_code(session, books, kept));
        let Some(code) = code else {
            continue;
        };
        match out.iter_mut().find(|(known, ..)| *known == code) {
            Some((_, copies, boxes)) => {
                *copies += 1;
                boxes.extend((!boxes.contains(&share)).then_some(share));
            }
            None => out.push((code, 1, vec![share])),
        }
    }
    let says = |(code, copies, boxes)| {
        let part = listed.part.clone();
        let says = Says::CheckRecalled {
            part,
            copies,
            boxes,
        };
        (code, says)
    };
    out.into_iter().map(says).collect()
}

fn checked(listed: &ListedRequest, event: &Event) -> Option<Says> {
    (event.kind == "recall.checked").then(|| Says::Checked {
        number: listed.request.number,
        part: listed.part.clone(),
        team: listed.request.team.clone(),
        good: event.text("found").as_deref() == Some("good"),
    })
}

/// That copies are in a box; `None` when they are not by now.
fn ready(session: &Session, books: &Books, listed: &ListedRequest, plate: u64) -> Option<Says> {
    let kept: &KeptPlate = books.plate(plate)?;
    let packed = books.step(kept.plate.seq.0, StepKind::Boxed)?;
    let printer = printer_of(session, books, kept)?;
    let promised = books.pledge_of(listed.request.id)?;
    let of = usize::try_from(listed.request.copies).unwrap_or_default();
    let all = books.copies(listed.request.id).iter();
    let here = books.copies_on(kept).filter(|copy| is_boxed(copy)).count();
    (here > 0).then_some(())?;
    Some(Says::Ready {
        part: listed.part.clone(),
        copies: here,
        of,
        all: all.filter(|copy| is_boxed(copy)).count() >= of,
        host: host_of(session, &printer, packed.at.0)?,
        place: promised.document.place.clone(),
        arrival: promised.end.is_none().then_some(promised.pledge.arrival),
    })
}

fn for_coordinator(
    books: &Books,
    listed: &ListedRequest,
    (event, happened): (&Event, &Happened),
) -> Option<Says> {
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
        // What was decided, or settled by a hand-over, by now waits for nobody.
        "box.doubted" => {
            let doubt = open_doubt(books, books.plate(happened.plate?)?)?;
            let (share, why) = (doubt.share, doubt.why);
            Says::BoxDoubted {
                share,
                part,
                team,
                why,
            }
        }
        _ => return None,
    })
}

fn says_state(event: &Event, state: State) -> bool {
    event.text("state").as_deref() == Some(state.as_str())
}

/// Whether the team has all its copies.
fn has_all(books: &Books, id: RequestId) -> bool {
    let mut copies = books.copies(id).iter();
    copies.all(|copy| copy.state == State::HandedOver)
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
    Some(has_all(books, id) && !later)
}

fn replaced(books: &Books, listed: &ListedRequest) -> bool {
    let id = Some(listed.request.id);
    books.requests.iter().any(|one| one.request.replaces == id)
}

/// Whether a request was never promised, and another that it was to replace still is.
fn tried_instead(books: &Books, listed: &ListedRequest) -> bool {
    let old = (listed.request.replaces).and_then(|old| books.pledge_of(old));
    books.pledge_of(listed.request.id).is_none() && old.is_some_and(|old| old.end.is_none())
}

fn is_boxed(copy: &StoredCopy) -> bool {
    matches!(copy.state, State::Boxed | State::HandedOver)
}

/// Code of the host where a plate was printed.
fn host_code(session: &Session, books: &Books, kept: &KeptPlate) -> Option<String> {
    let started = books.step(kept.plate.seq.0, StepKind::Started)?;
    let terrain = &session.terrain;
    let printer = terrain.printer_of(&started.printer)?;
    let at = partpledge_units::time::Minute::at_or_before(started.at);
    terrain.host_code_at(printer, at).map(str::to_owned)
}

/// Name of the host where a printer stood at that time, in ms.
fn host_of(session: &Session, printer: &str, at_ms: i64) -> Option<String> {
    let terrain = &session.terrain;
    let printer = terrain.printer_of(printer)?;
    let at = partpledge_units::time::Minute(at_ms.div_euclid(60_000));
    Some(terrain.host_at(printer, at).to_owned())
}
