//! A part that was made in the wrong unit: 25.4 or 10 times too large or too small.
//!
//! A file of triangles says no unit, and a wrong guess shows only when somebody holds the part. It is
//! made again from the same file in the right unit; the region's file says whose share it stands in.

use partpledge_records::stored::facts_from_text;
use partpledge_records::{
    ListedRequest, NewNote, Note, NoteKind, State, StepKind, StoreError, StoredRequest, Version,
};
use partpledge_units::ids::RequestId;
use partpledge_units::length::LengthUnit;

use crate::actor::Actor;
use crate::bench;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::sending::{OnRecord, Received, Sent, not_down, send};
use crate::session::Session;

pub use partpledge_catalogue::region::PaidBy;

/// Factors by which a wrong unit makes a part too large or too small: inches for millimetres,
/// centimetres for millimetres. What people mix up; common practice, no source.
const FACTORS: [f64; 2] = [25.4, 10.0];
/// Parts smaller or larger than this are not offered, mm: nobody means them.
const LIKELY_MM: [f64; 2] = [1.0, 1_000.0];

/// What a part would measure in another unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// The unit.
    pub unit: LengthUnit,
    /// Width, depth and height then, mm.
    pub size_mm: [f64; 3],
}

/// What was noted of a request that was made in the wrong unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Symbol of the unit that it was made in.
    pub was: String,
    /// Symbol of the right one.
    pub unit: String,
    /// Number of the request by which it is made again.
    pub again: i64,
    /// How its promise stood: `open`, `kept`, `broken`, `withdrawn`, `superseded` or `none`.
    pub promise: String,
    /// In whose share it stands, by the region's rule of that day.
    pub paid_by: PaidBy,
}

fn hint<'n>(note: &'n Note, name: &str) -> Option<&'n str> {
    let mut hints = note.said.hints.iter();
    hints.find_map(|hint| hint.strip_prefix(name))
}

/// What was noted of a request, if it was made in the wrong unit.
#[must_use]
pub fn found(books: &Books, request: RequestId) -> Option<Found> {
    let mut notes = books.notes(request).iter();
    let note = notes.find(|note| note.said.kind == NoteKind::WrongUnit)?;
    let text = |name: &str| hint(note, name).map(str::to_owned);
    Some(Found {
        was: text("was: ")?,
        unit: text("unit: ")?,
        again: hint(note, "again: ")?.parse().ok()?,
        promise: text("promise: ")?,
        paid_by: match hint(note, "paid-by: ") {
            Some("region") => PaidBy::Region,
            _ => PaidBy::Team,
        },
    })
}

/// Whether copies of a request are there to be held in a hand, and nobody has said yet that they are in
/// the wrong unit.
#[must_use]
pub fn may_be_found(books: &Books, listed: &ListedRequest) -> bool {
    let made = |state| matches!(state, State::Inspected | State::Boxed | State::HandedOver);
    let mut copies = books.copies(listed.request.id).iter();
    copies.any(|copy| made(copy.state))
        && !books.taken_down(&listed.request)
        && found(books, listed.request.id).is_none()
}

/// The units in which a file may have been meant: those that make it 25.4 or 10 times larger or smaller,
/// of a size that somebody may mean. None for a file that says its unit itself.
///
/// # Errors
/// [`WorkshopError::Store`] for facts that can't be read.
pub fn plausible(version: &Version) -> Result<Vec<Choice>, WorkshopError> {
    let used = LengthUnit::ALL.into_iter();
    let mut used = used.filter(|unit| unit.symbol() == version.unit);
    let (Some(used), true) = (used.next(), version.unit_source != "file") else {
        return Ok(Vec::new());
    };
    let facts = facts_from_text(&version.facts)?;
    let size_mm = facts.iter().fold([0.0_f64; 3], |all, part| {
        std::array::from_fn(|k| all[k].max(part.size_mm[k]))
    });
    Ok(others(used, size_mm))
}

fn others(used: LengthUnit, size_mm: [f64; 3]) -> Vec<Choice> {
    let all = LengthUnit::ALL.into_iter();
    let choice = |unit: LengthUnit| {
        let factor = unit.mm() / used.mm();
        let mixed_up = |known: &f64| {
            let times = if factor > 1.0 { factor } else { 1.0 / factor };
            (times - known).abs() < 1e-6
        };
        let size_mm = size_mm.map(|side| side * factor);
        let longest = size_mm.iter().copied().fold(0.0, f64::max);
        let likely = (LIKELY_MM[0]..=LIKELY_MM[1]).contains(&longest);
        (FACTORS.iter().any(mixed_up) && likely).then_some(Choice { unit, size_mm })
    };
    all.filter_map(choice).collect()
}

/// The choices for a request, if it can be found to be in the wrong unit.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn choices(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
) -> Result<Vec<Choice>, WorkshopError> {
    if !may_be_found(books, listed) {
        return Ok(Vec::new());
    }
    let (store, region) = session.writable()?;
    let version = store.version(region, listed.request.version).await?;
    version.map_or_else(|| Ok(Vec::new()), |version| plausible(&version))
}

/// A team says that what was printed is in the wrong unit, and which is right: the same file is asked
/// for in that unit, with a promise of its own if one can be given. What is still planned of the wrong
/// one leaves the plan. Said twice, it is one request.
///
/// # Errors
/// [`WorkshopError::NotYours`] for another team's; [`WorkshopError::NotMadeYet`] when nothing of it is
/// there; [`WorkshopError::OutOfRange`] for a unit that it can't have been meant in; as [`send`].
pub async fn made_again(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    unit: LengthUnit,
) -> Result<Received, WorkshopError> {
    actor.must_be_of(&listed.request.team)?;
    let request = &listed.request;
    let key = &key(request.id);
    let books = Books::open(session).await?;
    let (store, region) = session.writable()?;
    let before = store.request_of_key(region, key).await?;
    if let Some(again) = &before {
        // The first time may have broken off before this; whatever unit is said now.
        note_down(session, actor, (&books, listed), again).await?;
    } else {
        let version = store.version(region, request.version).await?;
        not_down(&books, &request.team, &listed.blob)?;
        if !may_be_found(&books, listed) {
            let number = request.number;
            return Err(WorkshopError::NotMadeYet { number });
        }
        let known = version.as_ref().map(plausible).transpose()?;
        let known = known.unwrap_or_default();
        if !known.iter().any(|choice| choice.unit == unit) {
            let (what, range) = ("the unit", "one of those on the part’s page");
            return Err(WorkshopError::OutOfRange { what, range });
        }
    }
    let record = OnRecord::open(session, &books, listed).await?;
    let sent = Sent {
        unit: Some(unit),
        replaces: Some(listed),
        ..record.sent(key)
    };
    let received = Box::pin(send(session, actor, &sent))
        .await
        .map_err(|error| match error {
            // Somebody of the team has said another unit.
            WorkshopError::Store(StoreError::KeyReused(_)) => {
                let number = request.number;
                WorkshopError::NotMadeYet { number }
            }
            error => error,
        })?;
    note_down(session, actor, (&books, listed), &received.request).await?;
    Ok(received)
}

/// One key for all of the team: a part is found to be in the wrong unit once, whoever says so first.
fn key(request: RequestId) -> String {
    format!("wrong-unit-{request}")
}

/// Notes which request takes the place of one in the wrong unit, and in which it is.
async fn note_down(
    session: &Session,
    actor: &Actor,
    (books, listed): (&Books, &ListedRequest),
    again: &StoredRequest,
) -> Result<(), WorkshopError> {
    let request = &listed.request;
    let (store, region) = session.writable()?;
    let was = store.version(region, request.version).await?;
    let is = store.version(region, again.version).await?;
    let unit = |version: Option<Version>| version.map_or_else(String::new, |version| version.unit);
    let promised = books.pledge_of(request.id);
    let promise = match promised.map(|promised| promised.end.as_ref()) {
        None => "none",
        Some(None) => "open",
        Some(Some(end)) => end.kind.as_str(),
    };
    let paid_by = session.terrain.file.wrong_unit_is_paid_by;
    let note = NewNote {
        hints: vec![
            format!("was: {}", unit(was)),
            format!("unit: {}", unit(is)),
            format!("again: {}", again.number),
            format!("promise: {promise}"),
            format!("paid-by: {}", paid_by.word()),
        ],
        ..NewNote::new(NoteKind::WrongUnit, "", "")
    };
    let own = format!("{}-u", key(request.id));
    bench::made_in_wrong_unit(session, actor, request.id, &note, Some(&own)).await
}

/// Notes what broke off after a part was asked for in the right unit and before that was noted, such as
/// when the server was ended. How many it was.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the clock; as [`made_again`].
pub async fn catch_up(session: &Session, actor: &Actor) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let books = Books::open(session).await?;
    let (store, region) = session.writable()?;
    let mut many = 0;
    for new in &books.requests {
        let old = new.request.replaces.and_then(|old| books.request(old));
        // Made already, from the same file, and nothing is said of it: only then the store is asked.
        let started = |id| {
            let mut plates = books.plates_of(id);
            plates.any(|kept| books.step(kept.plate.seq.0, StepKind::Started).is_some())
        };
        let old = old.filter(|old| {
            let id = old.request.id;
            old.blob == new.blob && started(id) && found(&books, id).is_none()
        });
        let Some(old) = old else {
            continue;
        };
        let again = store.request_of_key(region, &key(old.request.id)).await?;
        if let Some(again) = again.filter(|again| again.id == new.request.id) {
            note_down(session, actor, (&books, old), &again).await?;
            many += 1;
        }
    }
    Ok(many)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn symbols(used: LengthUnit, longest: f64) -> Vec<&'static str> {
        let all = others(used, [longest, longest / 2.0, 1.0]);
        all.iter().map(|choice| choice.unit.symbol()).collect()
    }

    #[test]
    fn only_units_that_people_mix_up_and_sizes_that_they_may_mean_are_offered() {
        let mut from_mm = symbols(LengthUnit::Millimetre, 30.0);
        from_mm.sort_unstable();
        assert_eq!(from_mm, ["cm", "in"]);
        assert_eq!(symbols(LengthUnit::Inch, 762.0), ["mm"]);
        assert_eq!(symbols(LengthUnit::Centimetre, 300.0), ["mm"]);
        // 25.4 times larger than 60 mm is larger than anybody means.
        assert_eq!(symbols(LengthUnit::Millimetre, 60.0), ["cm"]);
        assert!(symbols(LengthUnit::Millimetre, 200.0).is_empty());
        let inch = others(LengthUnit::Inch, [25.4, 50.8, 12.7]);
        let size = inch[0].size_mm;
        assert!((size[0] - 1.0).abs() < 1e-9 && (size[1] - 2.0).abs() < 1e-9);
    }
}
