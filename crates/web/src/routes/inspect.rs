//! Copies looked at one by one: the page, and what its forms say.

use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use partpledge_records::KeptPlate;
use partpledge_units::ids::RequestId;
use partpledge_units::micrometre::Micrometres;
use partpledge_words::say;
use partpledge_workshop::bench::{Act, Each, Found, Settled};
use partpledge_workshop::measuring::{
    EachMeasured, Fault, Lack, Reading, Readings, WHY_NOT, why_nots,
};
use partpledge_workshop::{Books, Session};

use super::bench::{Fields, With, date, field, must_work, plate_at};
use super::queued::Refused;
use super::{Trouble, key, looked, not_here, page};
use crate::guard::by_itself;
use crate::pages::inspect::{Again, FAULTS, InspectPage, forms, name, outside, size_name};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /run-sheets/{code}/inspect?plate=N`.
pub(crate) async fn page_of(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(with): Query<With>,
    headers: HeaderMap,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, with.plate)).await?;
    let at = (code.as_str(), with.day.as_str());
    let made = made((&session, &books), &visitor, at, (&kept, None));
    match made {
        Some(made) => Ok(page(&made)),
        // A tablet that gathers what a day without a network takes: it was done with meanwhile.
        None if by_itself(&headers) => Ok(StatusCode::NO_CONTENT.into_response()),
        None => Err(not_here(&site, &say!("inspect-none"))),
    }
}

/// The page; none for a plate of which nothing is to be looked at.
fn made(
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    (code, day): (&str, &str),
    (kept, again): (&KeptPlate, Option<&Again<'_>>),
) -> Option<InspectPage> {
    let mut keys = key;
    let (held, forms) = forms(books, kept, &mut keys, again);
    let asked = forms.iter().filter(|form| !form.unmeasured);
    let mut copies = asked.flat_map(|form| &form.copies);
    let measures = copies.any(|copy| !copy.sizes.is_empty());
    (!forms.is_empty()).then(|| InspectPage {
        head: Head::new(session, visitor, ""),
        day_iso: date(session, day).to_string(),
        code: code.to_owned(),
        plate: kept.on().0,
        label: super::plates::label(books, kept),
        held,
        forms,
        reasons: FAULTS.to_vec(),
        measures,
        why_not: why_nots(),
        wrong: again.map_or_else(Vec::new, |again| again.wrong.to_vec()),
    })
}

/// What is wrong with a form about copies, by the name of the field.
pub(crate) type Wrong = Vec<(String, String)>;

/// Why copies can't be called good, by field. What was held or recalled is asked for by itself, and is good
/// or scrap.
pub(crate) fn wrong_of(faults: &[Fault], held: bool) -> Wrong {
    let one = |fault: &Fault| {
        let Fault { copy, what, .. } = fault;
        let text = match &fault.lack {
            Lack::Outside(by) if held => {
                let by = outside(by);
                say!(
                    "inspect-outside-held",
                    copy = copy,
                    what = what,
                    outside = by
                )
            }
            Lack::Outside(by) => {
                let by = outside(by);
                say!("inspect-outside", copy = copy, what = what, outside = by)
            }
            Lack::WasOutside(by) => {
                let by = outside(by);
                say!(
                    "inspect-outside-before",
                    copy = copy,
                    what = what,
                    outside = by
                )
            }
            Lack::NotMeasured => say!("inspect-not-measured", copy = copy, what = what),
        };
        (size_name(fault.share, fault.copy, fault.n), text)
    };
    faults.iter().map(one).collect()
}

/// The form again, with what was typed and what is wrong with it.
pub(crate) fn asked_again(
    site: &Site,
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    (code, kept): (&str, &KeptPlate),
    (fields, wrong): (&Fields, &Wrong),
) -> Refused {
    let again = Again {
        typed: &|name| field(fields, name).trim().to_owned(),
        wrong,
    };
    let at = (code, field(fields, "day"));
    let Some(made) = made((session, books), visitor, at, (kept, Some(&again))) else {
        return not_here(site, &say!("inspect-none")).into();
    };
    let texts: Vec<&str> = wrong.iter().map(|(_, text)| text.as_str()).collect();
    let page = (StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response();
    Refused::with_page(texts.join(" "), page)
}

/// What was read off a copy.
fn readings(
    books: &Books,
    (request, share, number): (RequestId, u64, i64),
    fields: &Fields,
    wrong: &mut Wrong,
) -> Readings {
    let mut out = Readings::new();
    for (n, one) in (1..).zip(books.dimensions(request)) {
        let name = size_name(share, number, n);
        let text = field(fields, &name).trim();
        let not = field(fields, &format!("not-{name}"));
        let read = Micrometres::parse_mm(text).filter(|size| size.0 > 0);
        match read {
            Some(size) => {
                out.insert(n, Reading::Value(size));
            }
            None if !text.is_empty() => {
                let what = &one.what;
                let says = say!(
                    "inspect-not-a-size",
                    copy = number,
                    what = what,
                    text = text
                );
                wrong.push((name, says));
            }
            None if WHY_NOT.contains(&not) => {
                out.insert(n, Reading::NotMeasured(not.to_owned()));
            }
            None => {}
        }
    }
    out
}

/// Whether a form off the bed tells copy by copy.
pub(crate) fn copy_by_copy(fields: &Fields) -> bool {
    fields.iter().any(|(name, _)| name.starts_with("copy-"))
}

/// What was found of each copy on a plate. What the form does not tell the workshop asks for.
///
/// # Errors
/// Sizes that can't be read.
pub(crate) fn inspected(books: &Books, kept: &KeptPlate, fields: &Fields) -> Result<Act, Wrong> {
    let (mut each, mut measured) = (Each::new(), EachMeasured::new());
    let mut wrong = Wrong::new();
    for row in books.company(kept) {
        let share = row.plate.seq.0;
        for copy in books.copies_on(row) {
            let told = found(fields, &name(share, copy.number));
            each.extend(told.map(|found| ((share, copy.number), found)));
            let whose = (row.request, share, copy.number);
            let readings = readings(books, whose, fields, &mut wrong);
            if !readings.is_empty() {
                measured.insert((share, copy.number), readings);
            }
        }
    }
    if wrong.is_empty() {
        Ok(Act::Inspect { each, measured })
    } else {
        Err(wrong)
    }
}

/// A copy that was held, and what has become of it.
///
/// # Errors
/// Sizes that can't be read.
pub(crate) fn settled(
    books: &Books,
    kept: &KeptPlate,
    fields: &Fields,
) -> Result<Option<Act>, Wrong> {
    let share = kept.plate.seq.0;
    let copy = field(fields, "copy").parse().ok();
    let found = copy.and_then(|copy| Some((copy, found(fields, &name(share, copy))?)));
    let Some((copy, found)) = found else {
        return Ok(None);
    };
    let mut wrong = Wrong::new();
    let measured = readings(books, (kept.request, share, copy), fields, &mut wrong);
    let about = field(fields, "about").to_owned();
    if wrong.is_empty() {
        Ok(Some(Act::Settle(Settled {
            copy,
            found,
            about,
            measured,
        })))
    } else {
        Err(wrong)
    }
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
