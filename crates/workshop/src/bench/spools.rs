//! What people do with spools, each deed done once, on disk, and planned with.

use partpledge_planning_model::Plan;
use partpledge_records::{Happening, Payload, Said, StockChange};
use partpledge_stock::{Account, Deed, Delivery, DeliveryEnd, Reading, Roll, State, Step};
use partpledge_units::cast::int_f64;
use partpledge_units::ids::IdSource;
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::{said, say};

use super::draft::{Draft, and_moved};
use super::told::done_at;
use super::{Done, TRIES, known, write};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::hub::may_load;
use crate::session::Session;

/// Most spools received or promised at once.
pub const MOST_SPOOLS: i64 = 100;
/// Least and most filament on a spool, g; reels of a tenth and of ten kilograms are sold. Common
/// practice, no source.
const NET_G: std::ops::RangeInclusive<i64> = 50..=12_000;
/// Most that an empty reel weighs, g. Common practice, no source.
const REEL_G: std::ops::RangeInclusive<i64> = 0..=2_000;
/// So much more than when it was new may be on a spool, of 100: makers wind on a little more than the
/// label says. Common practice, no source.
const MORE_PERCENT: i64 = 10;
/// Longest text about a spool.
const LONGEST: usize = 80;

/// Something that people do with spools.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SpoolAct {
    /// So many alike came; with them a delivery that was promised, by number.
    Receive {
        /// What each is.
        roll: Roll,
        /// How many.
        spools: i64,
        /// The delivery.
        delivery: Option<i64>,
    },
    /// So many will come.
    Promise(Delivery),
    /// A delivery will not come.
    CallOff(i64),
    /// Something is done with the spool of that number.
    Do(i64, Deed),
    /// The spool of that number was weighed.
    Weigh {
        /// Its number.
        spool: i64,
        /// What the scale showed, g.
        grams: i64,
        /// Whether the reel was on it.
        with_reel: bool,
        /// What the empty reel weighs, g, if somebody says so now.
        tare_g: Option<i64>,
        /// Whether whoever weighed it has said that there is more on it than when it was new.
        sure: bool,
    },
}

/// A deed with spools, done now.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for another bench's; [`WorkshopError::SpoolRefused`] for what can't
/// be done with it, [`WorkshopError::OutOfRange`], [`WorkshopError::Unknown`]; as
/// [`act`](super::act) otherwise.
pub async fn act_on_spools(
    session: &Session,
    actor: &Actor,
    what: &SpoolAct,
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    act_on_spools_at(session, actor, what, key, None).await
}

/// A deed with spools, done at `told`, as a tablet without a network kept it; `None` for now.
///
/// # Errors
/// As [`act_on_spools`]; [`WorkshopError::WrongTime`].
pub async fn act_on_spools_at(
    session: &Session,
    actor: &Actor,
    what: &SpoolAct,
    key: Option<&str>,
    told: Option<EventMs>,
) -> Result<Done, WorkshopError> {
    for _ in 0..TRIES {
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let session = session.at(session.now).await?;
        actor.must_keep_spools_of(&whose(&session, what)?)?;
        let books = Books::open(&session).await?;
        let at = done_at(told, session.now)?;
        let mut to_look = None;
        if let SpoolAct::Do(spool, Deed::Loaded(printer)) = what {
            let material = account(&session, *spool)?.spool.roll.material;
            let about = (*spool, material.as_str());
            to_look = may_load(&session, actor, about, (printer, at)).await?;
        }
        let change = change(&session, what, at)?;
        let mut draft = Draft::new(&session, actor, &books, key);
        draft.deed.occurred_at = at;
        let (mut happening, done) = draft.spools(what, change)?;
        happening.to_look = to_look;
        if let Some(done) = write(&session, &happening, done).await? {
            return Ok(done);
        }
    }
    Err(WorkshopError::Contended(TRIES))
}

/// The host whose spools a deed is about.
fn whose(session: &Session, what: &SpoolAct) -> Result<String, WorkshopError> {
    match what {
        SpoolAct::Receive { roll, .. } => Ok(roll.host.clone()),
        SpoolAct::Promise(delivery) => Ok(delivery.host.clone()),
        SpoolAct::CallOff(number) => {
            let mut all = session.spools.ledger.deliveries.iter();
            let found = all.find(|delivery| delivery.number == *number);
            found
                .map(|delivery| delivery.host.clone())
                .ok_or_else(not_open)
        }
        SpoolAct::Do(spool, _) | SpoolAct::Weigh { spool, .. } => {
            Ok(account(session, *spool)?.host)
        }
    }
}

fn refused(why: String, what_to_do: String) -> WorkshopError {
    WorkshopError::SpoolRefused { why, what_to_do }
}

fn within(
    what: &'static str,
    range: &'static str,
    number: i64,
    of: &std::ops::RangeInclusive<i64>,
) -> Result<(), WorkshopError> {
    let ok = of.contains(&number);
    ok.then_some(())
        .ok_or(WorkshopError::OutOfRange { what, range })
}

/// What a deed changes.
fn change(session: &Session, what: &SpoolAct, at: EventMs) -> Result<StockChange, WorkshopError> {
    let ledger = &session.spools.ledger;
    let seen = ledger.entry;
    let none = StockChange {
        seen,
        ..StockChange::default()
    };
    Ok(match what {
        SpoolAct::Receive {
            roll,
            spools,
            delivery,
        } => {
            what_is_it(session, &roll.host, &roll.material, (*spools, roll.net_g))?;
            within(
                "the empty reel",
                "from 0 to 2000 g",
                roll.tare_g.unwrap_or(0),
                &REEL_G,
            )?;
            short_text(&[&roll.colour, &roll.donor])?;
            let mut received = Vec::new();
            received.resize(usize::try_from(*spools).unwrap_or(0), roll.clone());
            let ended = delivery.map(|number| (open_delivery(session, number), number));
            let ended = ended.map(|(open, number)| open.map(|()| (number, DeliveryEnd::Arrived)));
            StockChange {
                received,
                ended: ended.transpose()?.into_iter().collect(),
                ..none
            }
        }
        SpoolAct::Promise(delivery) => {
            let amount = (delivery.spools, delivery.net_g);
            what_is_it(session, &delivery.host, &delivery.material, amount)?;
            short_text(&[&delivery.donor])?;
            if delivery.due <= session.minute() {
                let (what, range) = ("the day of the delivery", "still to come");
                return Err(WorkshopError::OutOfRange { what, range });
            }
            StockChange {
                promised: vec![delivery.clone()],
                ..none
            }
        }
        SpoolAct::CallOff(number) => {
            open_delivery(session, *number)?;
            StockChange {
                ended: vec![(*number, DeliveryEnd::CalledOff)],
                ..none
            }
        }
        SpoolAct::Do(number, deed) => done_with((session, at), *number, deed, none)?,
        SpoolAct::Weigh {
            spool,
            grams,
            with_reel,
            tare_g,
            sure,
        } => {
            let account = account(session, *spool)?;
            let shown = (*grams, *with_reel, *tare_g);
            let read = weighed((session, at), &account, shown, *sure)?;
            StockChange {
                readings: vec![read],
                ..none
            }
        }
    })
}

fn what_is_it(
    session: &Session,
    host: &str,
    material: &str,
    (spools, net_g): (i64, i64),
) -> Result<(), WorkshopError> {
    crate::run_sheet::host(session, host)?;
    let materials = &session.catalogue.materials;
    if session.catalogue.material(material).is_none() {
        let known: Vec<&str> = materials.iter().map(|m| m.code.as_str()).collect();
        return Err(WorkshopError::Unknown {
            what: "material",
            name: material.to_owned(),
            known: known.join(", "),
        });
    }
    within(
        "the number of spools",
        "from 1 to 100",
        spools,
        &(1..=MOST_SPOOLS),
    )?;
    within(
        "the filament on a spool",
        "from 50 to 12000 g",
        net_g,
        &NET_G,
    )
}

fn short_text(texts: &[&str]) -> Result<(), WorkshopError> {
    let long = texts.iter().any(|text| text.chars().count() > LONGEST);
    let (what, range) = ("the text", "at most 80 letters long");
    if long {
        Err(WorkshopError::OutOfRange { what, range })
    } else {
        Ok(())
    }
}

fn not_open() -> WorkshopError {
    refused(
        say!("bench-delivery-not-open"),
        say!("bench-delivery-not-open-do"),
    )
}

fn open_delivery(session: &Session, number: i64) -> Result<(), WorkshopError> {
    let mut all = session.spools.ledger.deliveries.iter();
    let open = all.any(|delivery| delivery.number == number && delivery.end.is_none());
    open.then_some(()).ok_or_else(not_open)
}

fn account(session: &Session, number: i64) -> Result<Account, WorkshopError> {
    let all = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let found = all
        .into_iter()
        .find(|account| account.spool.number == number);
    found.ok_or_else(|| {
        refused(
            say!("bench-spool-none", spool = number),
            say!("bench-spool-none-do"),
        )
    })
}

/// What a deed with one spool changes, and what else comes with it: whatever was on a printer comes
/// off when another is put on it, and a spool that is used up weighs nothing.
fn done_with(
    (session, at): (&Session, EventMs),
    number: i64,
    deed: &Deed,
    none: StockChange,
) -> Result<StockChange, WorkshopError> {
    let account = account(session, number)?;
    if !account.state.counts() {
        let why = say!("bench-spool-gone", spool = number);
        return Err(refused(why, say!("bench-spool-gone-do")));
    }
    let step = |spool, deed| {
        let at = after_steps(session, spool, at);
        Step { spool, at, deed }
    };
    let off = || step(number, Deed::TakenOff);
    let mut steps = vec![step(number, deed.clone())];
    let mut readings = Vec::new();
    let loaded = matches!(account.state, State::Loaded(_));
    match deed {
        Deed::Loaded(printer) => {
            at_its_host(session, &account, printer)?;
            if account.state == State::Loaded(printer.clone()) {
                return Err(refused(
                    say!("bench-spool-there", spool = number, printer = printer),
                    say!("bench-spool-there-do"),
                ));
            }
            if loaded {
                steps.insert(0, off());
            }
            steps.extend(beside(session, number, printer).map(|n| step(n, Deed::TakenOff)));
        }
        Deed::TakenOff if !loaded => {
            return Err(refused(
                say!("bench-spool-nowhere", spool = number),
                say!("bench-spool-nowhere-do"),
            ));
        }
        Deed::Moved(host) => {
            crate::run_sheet::host(session, host)?;
            steps.extend(loaded.then(off));
        }
        Deed::GivenAway(to) => short_text(&[to])?,
        Deed::Emptied => readings.push(Reading {
            spool: number,
            at: after_readings(session, number, at),
            net_g: 0,
            gross_g: None,
        }),
        Deed::Opened | Deed::Dried | Deed::TakenOff => {}
    }
    Ok(StockChange {
        steps,
        readings,
        ..none
    })
}

/// When it was done, but after every step that was told of the spool: it could be done since the spool
/// stood as it did then. By a clock that stands or is behind, it would come before. A reading since
/// then moves nothing: what is told late was done before it.
fn after_steps(session: &Session, spool: i64, at: EventMs) -> EventMs {
    let steps = session.spools.ledger.steps.iter();
    let own = steps.filter(|step| step.spool == spool);
    after(own.map(|step| step.at).max(), at)
}

/// When it was weighed, but after every reading of the spool: of two by a clock that stands, the second
/// is the news.
fn after_readings(session: &Session, spool: i64, at: EventMs) -> EventMs {
    let readings = session.spools.ledger.readings.iter();
    let own = readings.filter(|read| read.spool == spool);
    after(own.map(|read| read.at).max(), at)
}

fn after(last: Option<EventMs>, at: EventMs) -> EventMs {
    last.map_or(at, |last| at.max(EventMs(last.0 + 1)))
}

/// Other spools on a printer.
fn beside(session: &Session, number: i64, printer: &str) -> impl Iterator<Item = i64> {
    let all = session.spools.ledger.accounts(&[]).into_iter();
    let on_it = State::Loaded(printer.to_owned());
    let others = all.filter(move |other| other.state == on_it && other.spool.number != number);
    others.map(|other| other.spool.number)
}

fn at_its_host(session: &Session, account: &Account, printer: &str) -> Result<(), WorkshopError> {
    let terrain = &session.terrain;
    let site = crate::run_sheet::host(session, &account.host)?;
    let found = terrain.printer_of(printer);
    let stands = found.map(|ix| terrain.region.printers[ix.0].site_at(session.minute()));
    if stands == Some(site) {
        return Ok(());
    }
    let why = say!(
        "bench-spool-elsewhere",
        printer = printer,
        spool = account.spool.number,
    );
    Err(refused(why, say!("bench-spool-elsewhere-do")))
}

/// Whether a scale shows more than was on a spool when it was new, with a reel of that weight on it, all in g.
/// What no spool weighs is no such thing, whatever was typed.
#[must_use]
pub fn more_than_new(account: &Account, (grams, reel_g): (i64, i64)) -> bool {
    let net_g = grams.saturating_sub(reel_g);
    let new_g = account.spool.roll.net_g;
    may_be_on(net_g) && net_g * 100 > new_g * (100 + MORE_PERCENT)
}

/// Whether so much filament may be on a spool, g.
fn may_be_on(net_g: i64) -> bool {
    (0..=*NET_G.end()).contains(&net_g)
}

fn weighed(
    (session, at): (&Session, EventMs),
    account: &Account,
    (grams, with_reel, tare_g): (i64, bool, Option<i64>),
    sure: bool,
) -> Result<Reading, WorkshopError> {
    let spool = account.spool.number;
    let tare_g = tare_g.or(account.tare_g).filter(|_| with_reel);
    within(
        "the empty reel",
        "from 0 to 2000 g",
        tare_g.unwrap_or(0),
        &REEL_G,
    )?;
    let net_g = match (with_reel, tare_g) {
        (false, _) => grams,
        (true, Some(tare_g)) => grams.saturating_sub(tare_g),
        (true, None) => {
            let why = say!("bench-spool-reel", spool = spool);
            return Err(refused(why, say!("bench-spool-reel-do")));
        }
    };
    if net_g < 0 && grams >= 0 {
        let reel = tare_g.unwrap_or(0);
        let why = say!(
            "bench-spool-less-than-reel",
            g = grams,
            spool = spool,
            reel = reel
        );
        return Err(refused(why, say!("bench-spool-less-than-reel-do")));
    }
    if !may_be_on(net_g) {
        let why = say!("bench-spool-too-heavy", spool = spool, g = net_g);
        return Err(refused(why, say!("bench-spool-too-heavy-do")));
    }
    if !sure && more_than_new(account, (net_g, 0)) {
        let new = account.spool.roll.net_g;
        let why = say!(
            "bench-spool-more-than-new",
            g = net_g,
            spool = spool,
            new = new
        );
        return Err(refused(why, say!("bench-spool-more-than-new-do")));
    }
    Ok(Reading {
        spool,
        at: after_readings(session, spool, at),
        net_g,
        gross_g: with_reel.then_some(grams),
    })
}

/// What an entry of the log says of it: numbers only, and no sponsor's name.
fn said(session: &Session, what: &SpoolAct, change: &StockChange) -> (&'static str, Payload) {
    let ledger = change.made_in(session.spools.ledger.clone(), &mut IdSource::Os);
    let number = |n: i64| u64::try_from(n).unwrap_or(0);
    let spool = |n: i64| ("spool", Said::Numbers(vec![number(n)]));
    match what {
        SpoolAct::Receive { .. } => {
            let first = ledger.spools.len() - change.received.len();
            let new = ledger.spools[first..].iter().map(|s| number(s.number));
            (
                "spools.received",
                vec![("spools", Said::Numbers(new.collect()))],
            )
        }
        SpoolAct::Promise(delivery) => {
            let many = vec![number(delivery.spools)];
            ("spools.promised", vec![("spools", Said::Numbers(many))])
        }
        SpoolAct::CallOff(n) => (
            "spools.called-off",
            vec![("delivery", Said::Numbers(vec![number(*n)]))],
        ),
        SpoolAct::Do(n, deed) => (kind(deed), vec![spool(*n)]),
        SpoolAct::Weigh { spool: n, .. } => {
            let account = ledger
                .accounts(&[])
                .into_iter()
                .find(|a| a.spool.number == *n);
            let last = account.and_then(|account| account.corrections.last().copied());
            let mg = last.map_or(0, |last| last.difference_mg);
            let text = format!("{:.1}", int_f64(mg) / 1_000.0);
            (
                "spool.weighed",
                vec![spool(*n), ("difference_g", Said::Text(text))],
            )
        }
    }
}

fn kind(deed: &Deed) -> &'static str {
    match deed {
        Deed::Moved(_) => "spool.moved",
        Deed::Opened => "spool.opened",
        Deed::Dried => "spool.dried",
        Deed::TakenOff => "spool.taken-off",
        Deed::Loaded(_) => "spool.loaded",
        Deed::Emptied => "spool.emptied",
        Deed::GivenAway(_) => "spool.given-away",
    }
}

impl Draft<'_> {
    /// A deed with spools, and the plan that follows from what is there then.
    fn spools(
        &self,
        what: &SpoolAct,
        change: StockChange,
    ) -> Result<(Happening, Done), WorkshopError> {
        let (kind, payload) = said(self.session, what, &change);
        let (plan, done) = self.plan_after(&change)?;
        let happening = Happening {
            stock: change,
            plan: plan.map(|plan| (plan, and_moved(said!("promises-plan-spools"), &done))),
            ..self.event(kind, payload)
        };
        Ok((happening, done))
    }

    fn plan_after(&self, change: &StockChange) -> Result<(Option<Plan>, Done), WorkshopError> {
        let after = self.session.after(change, None);
        let replanned = self
            .seen(&after)
            .replanned(&self.books.floor.plates, &self.books.running())?;
        let done = Done::of(&replanned);
        let same = replanned.plan == self.books.floor.plan;
        Ok(((!same).then_some(replanned.plan), done))
    }
}

/// When a delivery that is promised for a day can be counted on: from the next morning, since a van
/// comes when it comes. Common practice, no source.
#[must_use]
pub fn counted_from(session: &Session, day: jiff::civil::Date) -> Minute {
    let next = day.tomorrow().unwrap_or(day);
    session
        .terrain
        .zone
        .minute(next, jiff::civil::Time::midnight())
}
