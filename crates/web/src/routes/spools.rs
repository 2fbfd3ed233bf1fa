//! Spools: shelves of every host, of one host, one spool, and what people do with them.

use axum::extract::{Form, Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_stock::{Account, Deed, Delivery, Roll};
use partpledge_units::local::parse_date;
use partpledge_words::say;
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools, counted_from, more_than_new};
use partpledge_workshop::run_sheet::host as site_of;
use partpledge_workshop::spools::clashes::{clashes, clashes_at};
use partpledge_workshop::spools::ordering::{coming, lines, shelves};
use partpledge_workshop::{Books, Role, Session, WorkshopError};

use super::bench::{Fields, field, may_work, must_work, not_yours};
use super::{Trouble, failed, is_key, key, looked, not_here, page, sent_before};
use crate::pages::spool::{Mistake, OneSpool, SpoolPage};
use crate::pages::spools::{AllSpoolsPage, HostSpools, SpoolsPage, Typed};
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

const HERE: &str = "/spools";

/// `GET /spools`.
pub(crate) async fn all(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    if let Role::Host(code) = visitor.role() {
        return Ok(Redirect::to(&format!("/spools/{code}")).into_response());
    }
    let (session, books) = looked(&site).await?;
    let head = Head::new(&session, &visitor, HERE);
    Ok(page(&AllSpoolsPage::new(
        head,
        &session,
        &shelves(&session, &books),
        &clashes(&session, &books),
    )))
}

/// `GET /spools/{code}`.
pub(crate) async fn host(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    let typed = Typed {
        spools: "1".to_owned(),
        net_g: "1000".to_owned(),
        ..Typed::default()
    };
    let made = host_page((&session, &books), &visitor, &code, (typed, None));
    Ok(page(&made.map_err(|error| failed(&site, &error))?))
}

fn host_page(
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    code: &str,
    (typed, wrong): (Typed, Option<(&'static str, String)>),
) -> Result<SpoolsPage, WorkshopError> {
    let place = site_of(session, code)?;
    let own = shelves(session, books).into_iter();
    let made_of = HostSpools {
        code,
        host: session.terrain.region.sites[place.0].name.clone(),
        shelves: own.filter(|shelf| shelf.host == code).collect(),
        clashes: clashes_at(session, books, code).into_values().collect(),
        lines: lines(session, code),
        coming: coming(session, code),
        donors: visitor.coordinates(),
        typed,
        wrong,
    };
    Ok(SpoolsPage::new(
        Head::new(session, visitor, HERE),
        session,
        made_of,
        &mut key,
    ))
}

/// A spool that somebody may work with.
fn account(
    site: &Site,
    session: &Session,
    visitor: &Visitor,
    number: &str,
) -> Result<Account, Trouble> {
    let none = || not_here(site, &say!("spools-no-such"));
    let number: i64 = number.parse().map_err(|_| none())?;
    let all = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let found = all
        .into_iter()
        .find(|account| account.spool.number == number);
    let found = found.ok_or_else(none)?;
    must_work(site, visitor, &found.host)?;
    Ok(found)
}

/// `GET /spool/{number}`.
pub(crate) async fn one(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Trouble> {
    let session = site
        .session()
        .await
        .map_err(|error| failed(&site, &error))?;
    let account = account(&site, &session, &visitor, &number)?;
    Ok(page(&spool_page(
        &site,
        &session,
        &visitor,
        &account,
        (&headers, None),
    )?))
}

fn spool_page(
    site: &Site,
    session: &Session,
    visitor: &Visitor,
    account: &Account,
    (headers, wrong): (&HeaderMap, Option<Mistake>),
) -> Result<SpoolPage, Trouble> {
    let number = account.spool.number;
    let none = || not_here(site, &say!("spools-no-such"));
    let line = lines(session, &account.host).into_iter();
    let line = line
        .into_iter()
        .find(|line| line.account.spool.number == number)
        .ok_or_else(none)?;
    let place = site_of(session, &account.host).map_err(|error| failed(site, &error))?;
    let printers = session.terrain.region.printers.iter().filter(|printer| {
        let takes = printer.materials.contains(&account.spool.roll.material);
        takes && printer.site_at(session.minute()) == place
    });
    let ledger = &session.spools.ledger;
    let own = |spool: i64| spool == number;
    let uses = ledger.uses.iter().filter(|taken| own(taken.spool));
    let made_of = OneSpool {
        line: &line,
        steps: ledger.steps.iter().filter(|step| own(step.spool)).collect(),
        uses: uses
            .map(|taken| (taken.plate, taken.until, taken.used_mg))
            .collect(),
        printers: printers.map(|printer| printer.name.clone()).collect(),
        address: site.link(headers, &format!("/spool/{number}")),
        wrong,
    };
    Ok(SpoolPage::new(
        Head::new(session, visitor, HERE),
        session,
        &made_of,
        &mut key,
    ))
}

/// `POST /spools/{code}/do`.
pub(crate) async fn act(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(told): Form<Fields>,
) -> Result<Response, Trouble> {
    let key = field(&told, "key").to_owned();
    if !may_work(&visitor, &code) || !is_key(&key) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let spool = field(&told, "spool");
    // Pressed twice, a spool that was moved is at another bench by now.
    let moved = field(&told, "act") == "move";
    if moved && sent_before(&site, &session, &key).await? {
        return Ok(Redirect::to(&format!("/spools/{code}")).into_response());
    }
    let known = if spool.is_empty() {
        None
    } else {
        Some(account(&site, &session, &visitor, spool)?)
    };
    let donors = visitor.coordinates();
    let Some(what) = deed(&session, &code, &told, donors) else {
        return Err(not_here(&site, &say!("spools-no-such-deed")));
    };
    let done = match what {
        Err(error) => Err(error),
        Ok(what) => do_it(&site, &visitor, what, key).await,
    };
    match (done, known) {
        (Ok(()), Some(account)) if !moved => {
            let to = format!("/spool/{}", account.spool.number);
            Ok(Redirect::to(&to).into_response())
        }
        (Ok(()), _) => Ok(Redirect::to(&format!("/spools/{code}")).into_response()),
        (Err(error), Some(account)) if is_told(&error) => {
            let with = (&headers, Some(mistake(&told, &account, &error)));
            let made = spool_page(&site, &session, &visitor, &account, with)?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response())
        }
        (Err(error), None) if is_told(&error) => {
            let form = if field(&told, "act") == "promise" {
                "promise"
            } else {
                "receive"
            };
            let with = (typed(&told), Some((form, says(&error))));
            let made = host_page((&session, &books), &visitor, &code, with);
            let made = made.map_err(|error| failed(&site, &error))?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response())
        }
        (Err(error), _) => Err(failed(&site, &error)),
    }
}

async fn do_it(
    site: &Site,
    visitor: &Visitor,
    what: SpoolAct,
    key: String,
) -> Result<(), WorkshopError> {
    let (session, actor) = (site.session().await?, visitor.actor());
    let done = site.heavy(async move { act_on_spools(&session, &actor, &what, Some(&key)).await });
    done.await.map(|_| ())
}

/// Whether whoever typed it can put it right.
fn is_told(error: &WorkshopError) -> bool {
    matches!(
        error,
        WorkshopError::SpoolRefused { .. }
            | WorkshopError::OutOfRange { .. }
            | WorkshopError::Unknown { .. }
    )
}

fn says(error: &WorkshopError) -> String {
    format!(
        "{}. {}",
        words::capital(&error.to_string()),
        error.what_to_do()
    )
}

/// What was typed about a spool, and what is wrong with it.
fn mistake(told: &Fields, account: &Account, error: &WorkshopError) -> Mistake {
    let tare = maybe(told, "tare_g").or(account.tare_g);
    let no_reel = field(told, "reel") == "no";
    let reel = if no_reel { 0 } else { tare.unwrap_or(0) };
    let weighs = field(told, "act") == "weigh";
    Mistake {
        grams: field(told, "grams").to_owned(),
        tare: field(told, "tare_g").to_owned(),
        no_reel,
        asks_sure: weighs && more_than_new(account, (number(told, "grams"), reel)),
        text: says(error),
    }
}

fn typed(told: &Fields) -> Typed {
    let text = |name: &str| field(told, name).to_owned();
    Typed {
        material: text("material"),
        colour: text("colour"),
        spools: text("spools"),
        net_g: text("net_g"),
        tare_g: text("tare_g"),
        donor: text("donor"),
        due: text("due"),
    }
}

/// A whole number that was typed; out of every range when it is none.
fn number(told: &Fields, name: &str) -> i64 {
    field(told, name).trim().parse().unwrap_or(-1)
}

/// A number that may be left out.
fn maybe(told: &Fields, name: &str) -> Option<i64> {
    let empty = field(told, name).trim().is_empty();
    (!empty).then(|| number(told, name))
}

/// What a form asks for; `None` for one that is not ours.
fn deed(
    session: &Session,
    code: &str,
    told: &Fields,
    donors: bool,
) -> Option<Result<SpoolAct, WorkshopError>> {
    let text = |name: &str| field(told, name).trim().to_owned();
    let spool = number(told, "spool");
    let donor = if donors { text("donor") } else { String::new() };
    let done = |deed| Some(Ok(SpoolAct::Do(spool, deed)));
    match field(told, "act") {
        "receive" => Some(Ok(SpoolAct::Receive {
            roll: Roll {
                host: code.to_owned(),
                material: text("material"),
                colour: text("colour"),
                net_g: number(told, "net_g"),
                tare_g: maybe(told, "tare_g"),
                donor,
                received_at: session.now,
            },
            spools: number(told, "spools"),
            delivery: None,
        })),
        "arrive" => Some(arrived(session, code, number(told, "delivery"))),
        "promise" => Some(promised(session, code, told, donor)),
        "call-off" => Some(Ok(SpoolAct::CallOff(number(told, "delivery")))),
        "weigh" => Some(Ok(SpoolAct::Weigh {
            spool,
            grams: number(told, "grams"),
            with_reel: field(told, "reel") != "no",
            tare_g: maybe(told, "tare_g"),
            sure: field(told, "sure") == "yes",
        })),
        "open" => done(Deed::Opened),
        "load" => done(Deed::Loaded(text("printer"))),
        "take-off" => done(Deed::TakenOff),
        "dry" => done(Deed::Dried),
        "empty" => done(Deed::Emptied),
        "give-away" => done(Deed::GivenAway(text("to"))),
        "move" => done(Deed::Moved(text("host"))),
        _ => None,
    }
}

/// What was promised is here: so many spools, as they were promised.
fn arrived(session: &Session, code: &str, number: i64) -> Result<SpoolAct, WorkshopError> {
    // One that has arrived already is looked up too: the same form sent again is one deed.
    let mut all = session.spools.ledger.deliveries.iter();
    let found = all.find(|delivery| delivery.number == number && delivery.host == code);
    let delivery = found.ok_or_else(|| WorkshopError::SpoolRefused {
        why: say!("spools-no-delivery"),
        what_to_do: say!("spools-reload"),
    })?;
    Ok(SpoolAct::Receive {
        roll: Roll {
            host: code.to_owned(),
            material: delivery.material.clone(),
            colour: String::new(),
            net_g: delivery.net_g,
            tare_g: None,
            donor: delivery.donor.clone(),
            received_at: session.now,
        },
        spools: delivery.spools,
        delivery: Some(number),
    })
}

fn promised(
    session: &Session,
    code: &str,
    told: &Fields,
    donor: String,
) -> Result<SpoolAct, WorkshopError> {
    let day = parse_date(field(told, "due")).map_err(|_| WorkshopError::OutOfRange {
        what: "the day of the delivery",
        range: "a day like 2027-03-12",
    })?;
    Ok(SpoolAct::Promise(Delivery {
        number: 0,
        host: code.to_owned(),
        material: field(told, "material").to_owned(),
        spools: number(told, "spools"),
        net_g: number(told, "net_g"),
        due: counted_from(session, day),
        donor,
        end: None,
    }))
}
