//! Copies looked at one by one: the page, and what its forms say.

use axum::extract::{Path, Query, State};
use axum::response::Response;
use partpledge_records::KeptPlate;
use partpledge_workshop::Books;
use partpledge_workshop::bench::{Act, Each, Found};

use super::bench::{Fields, With, date, field, may_work, not_yours, plate_at};
use super::{Trouble, key, looked, not_here, page};
use crate::pages::inspect::{FAULTS, InspectPage, forms, name};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /run-sheets/{code}/inspect?plate=N`.
pub(crate) async fn page_of(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(with): Query<With>,
) -> Result<Response, Trouble> {
    if !may_work(&visitor, &code) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, with.plate)).await?;
    let mut keys = key;
    let (held, forms) = forms(&books, &kept, &mut keys);
    if forms.is_empty() {
        return Err(not_here(
            &site,
            "No copy of that plate is held or recalled.",
        ));
    }
    Ok(page(&InspectPage {
        head: Head::new(&session, &visitor, ""),
        day_iso: date(&session, &with.day).to_string(),
        code,
        plate: kept.on().0,
        label: books.whole(&kept).unwrap_or(&kept.plate).label.clone(),
        held,
        forms,
        reasons: FAULTS.to_vec(),
    }))
}

/// Whether a form off the bed tells copy by copy.
pub(crate) fn copy_by_copy(fields: &Fields) -> bool {
    fields.iter().any(|(name, _)| name.starts_with("copy-"))
}

/// What was found of each copy on a plate. What the form does not tell the workshop asks for.
pub(crate) fn inspected(books: &Books, kept: &KeptPlate, fields: &Fields) -> Act {
    let mut each = Each::new();
    for row in books.company(kept) {
        let share = row.plate.seq.0;
        for copy in books.copies_on(row) {
            let told = found(fields, &name(share, copy.number));
            each.extend(told.map(|found| ((share, copy.number), found)));
        }
    }
    Act::Inspect { each }
}

/// A copy that was held, and what has become of it.
pub(crate) fn settled(share: u64, fields: &Fields) -> Option<Act> {
    let copy = field(fields, "copy").parse().ok()?;
    let found = found(fields, &name(share, copy))?;
    let about = field(fields, "about").to_owned();
    Some(Act::Settle { copy, found, about })
}

fn found(fields: &Fields, name: &str) -> Option<Found> {
    let told = field(fields, &format!("why-{name}"));
    let known = FAULTS.iter().find(|fault| **fault == told);
    let why = (*known.unwrap_or(&"Something else")).to_owned();
    match field(fields, name) {
        "good" => Some(Found::Good),
        "rework" => Some(Found::Rework(why)),
        "scrap" => Some(Found::Scrap(why)),
        _ => None,
    }
}
