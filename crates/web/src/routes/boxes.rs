//! Boxes that are to be handed over: a bench's, and the region's.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use partpledge_records::KeptPlate;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::bench::{Act, Shown};
use partpledge_workshop::boxes::{Hitch, NoCode};
use partpledge_workshop::hub::{Doing, Subject};
use partpledge_workshop::run_sheet::host;
use partpledge_workshop::{Books, Session};

use super::bench::{Fields, at_work, field, must_work, run_page};
use super::queued::Refused;
use super::{Trouble, failed, key, looked, page, trouble};
use crate::pages::boxes::BoxesPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /run-sheets/{code}/boxes`.
pub(crate) async fn of_bench(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    host(&session, &code).map_err(|error| failed(&site, &error))?;
    let head = Head::new(&session, &visitor, "").live(books.entry);
    let whose = (&visitor.actor(), Some(code.as_str()));
    let mut made = BoxesPage::new(head, &session, &books, whose, &mut key.clone());
    at_hub(&site, &session, &visitor, (&code, &mut made)).await?;
    Ok(page(&made))
}

/// At a bench that students run: who could do what nobody there may.
async fn at_hub(
    site: &Site,
    session: &Session,
    visitor: &Visitor,
    (code, made): (&str, &mut BoxesPage),
) -> Result<(), Trouble> {
    if let Some((hub, true)) = at_work(site, session, visitor, code).await? {
        let asks = |doing| {
            let ask = hub.asks(session, (doing, &Subject::default()), session.now);
            ask.map(|ask| ask.words()).unwrap_or_default()
        };
        made.ask = asks(Doing::Pack);
        made.may_check = asks(Doing::Settle).is_empty();
    }
    Ok(())
}

/// `GET /boxes`.
pub(crate) async fn all(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let head = Head::new(&session, &visitor, "").live(books.entry);
    let whose = (&visitor.actor(), None);
    Ok(page(&BoxesPage::new(
        head,
        &session,
        &books,
        whose,
        &mut key.clone(),
    )))
}

/// Whether what is in a box goes to that school.
pub(crate) fn goes_to(session: &Session, kept: &KeptPlate, code: &str) -> bool {
    let schools = &session.terrain.file.schools;
    let to = schools.get(kept.plate.to.0);
    to.is_some_and(|school| school.code == code)
}

/// The deed of a form about a box.
pub(crate) fn deed(site: &Site, act: &str, fields: &Fields) -> Result<Act, Trouble> {
    if act == "missed" {
        let why = Hitch::parse(field(fields, "why")).unwrap_or(Hitch::LeftBehind);
        let leaves = field(fields, "leaves").parse().map(Minute);
        let leaves = leaves.map_err(|_| {
            let (title, what_to_do) = (say!("boxes-which-way"), say!("boxes-reload"));
            trouble(site, StatusCode::UNPROCESSABLE_ENTITY, &title, &what_to_do)
        })?;
        return Ok(Act::MissLeg { leaves, why });
    }
    if let Some(good) = act.strip_prefix("checked-") {
        let good = good == "good";
        let about = field(fields, "about").to_owned();
        return Ok(Act::Check { about, good });
    }
    let code = field(fields, "code").trim();
    if !code.is_empty() {
        return Ok(Act::HandOver(Shown::Code(code.to_owned())));
    }
    let why = NoCode::parse(field(fields, "without"));
    let why = why.ok_or_else(|| {
        let (title, what_to_do) = (not_said(), say!("boxes-go-back"));
        trouble(site, StatusCode::UNPROCESSABLE_ENTITY, &title, &what_to_do)
    })?;
    Ok(Act::HandOver(Shown::Nothing(why)))
}

/// What is said of a hand-over with neither a code nor a reason.
fn not_said() -> String {
    say!("boxes-unsaid")
}

/// Whether a form hands a box over and says neither its code nor why there is none.
pub(crate) fn unsaid(fields: &Fields) -> bool {
    let hands = field(fields, "act") == "hand";
    hands && field(fields, "code").trim().is_empty() && field(fields, "without").is_empty()
}

/// The page that such a form came from, with what is missing.
pub(crate) async fn asked_again(
    site: &Site,
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    (code, plate, fields): (&str, u64, &Fields),
) -> Refused {
    let made = match field(fields, "from") {
        from @ ("boxes" | "all") => {
            let head = Head::new(session, visitor, "");
            let whose = (&visitor.actor(), Some(code).filter(|_| from == "boxes"));
            let mut made = BoxesPage::new(head, session, books, whose, &mut key.clone());
            made.ask_again(plate, &not_said());
            if from == "boxes"
                && let Err(trouble) = at_hub(site, session, visitor, (code, &mut made)).await
            {
                return trouble.into();
            }
            page(&made)
        }
        _ => match run_page(
            site,
            (session, books),
            visitor,
            (code, field(fields, "day")),
        )
        .await
        {
            Ok(mut made) => {
                made.ask_again(plate, &not_said());
                page(&made)
            }
            Err(trouble) => return trouble.into(),
        },
    };
    let again = (StatusCode::UNPROCESSABLE_ENTITY, made).into_response();
    Refused::with_page(not_said(), again)
}

/// Where a form about a box leads back to, if not to the run sheet.
pub(crate) fn back(code: &str, fields: &Fields) -> Option<String> {
    match field(fields, "from") {
        "boxes" => Some(format!("/run-sheets/{code}/boxes")),
        "all" => Some("/boxes".to_owned()),
        _ => None,
    }
}
