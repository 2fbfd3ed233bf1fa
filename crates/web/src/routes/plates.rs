//! Plates: the list, a plate's sheet, its 3MF.

use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use partpledge_records::{KeptPlate, PlateState};
use partpledge_words::say;
use partpledge_workshop::plate_room::{LaidPlate, laid_plate, printer_of};
use partpledge_workshop::run_sheet::{PlateLine, line};
use partpledge_workshop::spent::Runs;
use partpledge_workshop::why;
use partpledge_workshop::{Books, Role, Session, WorkshopError};

use super::{Trouble, failed, key, looked, not_here, page};
use crate::figures::plan::plan;
use crate::pages::plate::{PlateLineRow, PlatePage, PlatesPage, Sheet};
use crate::pages::program::ProgramPart;
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

/// `GET /plates`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let host = match visitor.role() {
        Role::Host(code) => session.terrain.file.school(code).map(|s| s.name.clone()),
        _ => None,
    };
    let mut rows: Vec<(i64, PlateLineRow)> = Vec::new();
    let open = books
        .floor
        .kept
        .iter()
        .filter(|kept| kept.state == PlateState::Open);
    // What joined a plate is told with it.
    let told = |kept: &&KeptPlate| {
        let first = books.company(kept).first().map(|row| row.plate.seq);
        first == Some(kept.plate.seq)
    };
    for kept in open.filter(told) {
        rows.extend(row(&session, &books, kept, host.as_deref()));
    }
    rows.sort_by_key(|(start, row)| (*start, row.seq));
    let n = rows.len();
    let count = words::spelled(n);
    let title = say!("plates-list-title", n = n, count = count);
    Ok(page(&PlatesPage {
        head: Head::new(&session, &visitor, "/plates"),
        title,
        rows: rows.into_iter().map(|(_, row)| row).collect(),
    }))
}

fn row(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    host: Option<&str>,
) -> Option<(i64, PlateLineRow)> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let place = books.place(kept);
    let printer = printer_of(session, books, kept);
    let at = printer
        .as_deref()
        .and_then(|name| session.terrain.printer_of(name));
    let begins = place.map_or(now, |place| place.start);
    let at_host = at.map_or("", |ix| session.terrain.host_at(ix, begins));
    if host.is_some_and(|host| host != at_host) {
        return None;
    }
    let time = |at: Option<_>| at.map_or_else(|| "–".to_owned(), |at| words::time(zone, at, now));
    let label = label(books, kept);
    let row = PlateLineRow {
        seq: kept.on().0,
        what: format!("{label}, {}", kept.plate.material),
        printer: printer.map_or_else(
            || say!("plates-no-place-yet"),
            |printer| format!("{printer}, {at_host}"),
        ),
        from: time(place.map(|p| p.start)),
        until: time(place.map(|p| p.end)),
        state: match (books.runs(kept), place) {
            (true, _) => say!("plates-state-running"),
            (false, Some(_)) => say!("plates-state-planned"),
            (false, None) => say!("plates-no-place-yet"),
        },
    };
    Some((place.map_or(i64::MAX, |p| p.start.0), row))
}

/// What lies on a plate, request by request.
pub(crate) fn label(books: &Books, kept: &KeptPlate) -> String {
    let rows = books.company(kept).into_iter();
    let rows = rows.filter(|row| row.state == PlateState::Open);
    let labels = rows.map(|row| row.plate.label.clone());
    let all = labels.reduce(|before, last| say!("common-and", before = before, last = last));
    all.unwrap_or_else(|| kept.plate.label.clone())
}

/// A plate with everything its sheet needs.
async fn laid(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Result<(Option<PlateLine>, Result<LaidPlate, String>), WorkshopError> {
    let line = line(session, books, kept).await?;
    let laid = match laid_plate(session, books, kept).await {
        Ok(Some(laid)) => Ok(laid),
        Ok(None) => Err(say!("plates-no-printer")),
        Err(error @ WorkshopError::Store(_)) => return Err(error),
        Err(error) => Err(say!(
            "plates-no-layout",
            error = error.to_string(),
            what_to_do = error.what_to_do()
        )),
    };
    Ok((line, laid))
}

/// `GET /plates/{seq}`.
pub(crate) async fn sheet(
    State(site): State<Site>,
    visitor: Visitor,
    Path(seq): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Trouble> {
    sheet_with(&site, visitor, &seq, &headers, None).await
}

/// The sheet of a plate, with what was wrong with the program that was sent for it.
pub(crate) async fn sheet_with(
    site: &Site,
    visitor: Visitor,
    seq: &str,
    headers: &HeaderMap,
    wrong: Option<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(site).await?;
    let kept = found(site, &books, &visitor, seq)?;
    let program = works_there(&session, &books, &visitor, &kept)
        .then(|| ProgramPart::new((&session, &books), &visitor, &kept, (key(), wrong)));
    let address = site.link(headers, &format!("/plates/{}", kept.on().0));
    let made = site.heavy(async move {
        let (line, laid) = laid(&session, &books, &kept).await?;
        let Some(line) = line else { return Ok(None) };
        let parts = match &laid {
            Ok(laid) => (laid.items.iter())
                .map(|item| (item.part().name.clone(), item.share, item.copies))
                .collect(),
            Err(_) => vec![(line.part.clone(), line.share, line.copies)],
        };
        let sheet = Sheet {
            line: &line,
            plan: laid.map(|laid| plan(&laid)),
            parts,
            address,
            revision: books.floor.revision,
            program,
            why: why::of_plate(&session, &visitor.actor(), &books, kept.on()),
            ran: Runs::of_one(&session, &books, &kept).await?,
        };
        let head = Head::new(&session, &visitor, "/plates");
        Ok(Some(PlatePage::new(head, &session, sheet)))
    });
    let made = made.await.map_err(|error| failed(site, &error))?;
    let made = made.ok_or_else(|| not_here(site, &say!("plates-gone")))?;
    Ok(page(&made))
}

/// Whether somebody works at the printer of a plate, or runs the region.
pub(crate) fn works_there(
    session: &Session,
    books: &Books,
    visitor: &Visitor,
    kept: &KeptPlate,
) -> bool {
    visitor.actor().must_work_at(session, books, kept).is_ok()
}

pub(crate) fn found(
    site: &Site,
    books: &Books,
    visitor: &Visitor,
    seq: &str,
) -> Result<KeptPlate, Trouble> {
    let kept = seq.parse().ok().and_then(|seq| books.plate(seq));
    let seen = visitor.actor().must_see_plates().is_ok();
    let kept = kept.filter(|_| seen);
    let kept = kept.map(|kept| (*books.company(kept).first().unwrap_or(&kept)).clone());
    let kept = kept.ok_or_else(|| not_here(site, &say!("plates-no-such")))?;
    if books.carries_down(&kept) && !visitor.coordinates() {
        return Err(not_here(site, &say!("plates-carries-down")));
    }
    Ok(kept)
}

/// `GET /plates/{seq}/plate-{seq}.3mf`.
pub(crate) async fn three_mf(
    State(site): State<Site>,
    visitor: Visitor,
    Path((seq, file)): Path<(String, String)>,
) -> Result<Response, Trouble> {
    if file != format!("plate-{seq}.3mf") {
        return Err(not_here(&site, &say!("plates-no-such-file")));
    }
    let (session, books) = looked(&site).await?;
    let kept = found(&site, &books, &visitor, &seq)?;
    let made = site.heavy(async move {
        let (_, laid) = laid(&session, &books, &kept).await?;
        Ok(laid.map(|laid| laid.three_mf()))
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    let bytes = made.map_err(|why| not_here(&site, &why))?;
    let headers = [
        (header::CONTENT_TYPE, "model/3mf".to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{file}\""),
        ),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, Body::from(bytes)).into_response())
}
