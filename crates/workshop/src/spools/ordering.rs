//! The shelves of every host by material: what is there, what comes, what to order.

use partpledge_stock::{Account, Advice, Delivery, Demand, Prices, State, reorder};
use partpledge_units::cast::{int_f64, round_usize};
use partpledge_units::time::{EventMs, Minutes};

use super::{is_damp, is_expected, told_at};
use crate::books::Books;
use crate::session::Session;

/// Most weeks that are looked back. Common practice, no source.
const WEEKS: usize = 8;
const WEEK_MS: i64 = 7 * 24 * 3_600_000;
const DAY_MIN: f64 = 1_440.0;

/// A spool as people look at it.
#[derive(Clone, Debug, PartialEq)]
pub struct SpoolLine {
    /// How it stands once what runs has ended.
    pub account: Account,
    /// Whether it should be dried before it is printed.
    pub damp: bool,
    /// The plate that runs from it, and what that takes, g.
    pub feeds: Option<(u64, f64)>,
}

/// A material at a host.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelf {
    /// Code of the host's school.
    pub host: String,
    /// Its name.
    pub host_name: String,
    /// Material code.
    pub material: String,
    /// Left on all spools there, g.
    pub here_g: f64,
    /// Promised and still to come, g.
    pub coming_g: f64,
    /// What the plan's plates take that nobody has started, g.
    pub planned_g: f64,
    /// What a spool of it usually holds, g.
    pub spool_g: i64,
    /// Whether to order; `None` when nothing says that it is needed.
    pub advice: Option<Advice>,
}

impl Shelf {
    /// Days' worth of shortness for sorting: what is there and comes, as a share of the point at
    /// which to order; larger is better.
    #[must_use]
    pub fn cover(&self) -> f64 {
        let point = self.advice.map_or(0.0, |advice| advice.point_g);
        (self.here_g + self.coming_g) / point.max(1.0)
    }
}

/// Every spool that is at a host, those that count first, in order of material and number.
#[must_use]
pub fn lines(session: &Session, host: &str) -> Vec<SpoolLine> {
    let (spools, rates) = (&session.spools, &session.costs.rates);
    let running = spools.running_uses(&session.terrain, rates);
    let of = |account: Account| {
        let number = account.spool.number;
        let on_one = matches!(account.state, State::Loaded(_));
        let mut of_it = running.iter().filter(|taken| taken.spool == number);
        let feeds = of_it.next_back().filter(|_| on_one);
        SpoolLine {
            damp: is_damp(session, &account),
            feeds: feeds.map(|taken| (taken.plate, int_f64(taken.used_mg) / 1_000.0)),
            account,
        }
    };
    let all = spools.accounts(&session.terrain, rates).into_iter();
    let mut out: Vec<SpoolLine> = all.filter(|a| a.host == host).map(of).collect();
    out.sort_by_key(|line| {
        let spool = &line.account.spool;
        let gone = !line.account.state.counts();
        (gone, spool.roll.material.clone(), spool.number)
    });
    out
}

/// Deliveries to a host that have not ended, the next first.
#[must_use]
pub fn coming<'s>(session: &'s Session, host: &str) -> Vec<&'s Delivery> {
    let all = session.spools.ledger.deliveries.iter();
    let mut open: Vec<&Delivery> = all.filter(|d| d.host == host && d.end.is_none()).collect();
    open.sort_by_key(|delivery| (delivery.due, delivery.number));
    open
}

/// Every material that somebody has told of, host by host; the shortest first.
#[must_use]
pub fn shelves(session: &Session, books: &Books) -> Vec<Shelf> {
    let accounts = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let mut out = Vec::new();
    for (site, host) in session.terrain.file.hosts.iter().enumerate() {
        for material in told_at(&accounts, &host.school) {
            let place = (site, host.school.as_str(), material.as_str());
            out.push(shelf(session, books, &accounts, place));
        }
    }
    out.sort_by(|a, b| a.cover().total_cmp(&b.cover()));
    out
}

fn shelf(
    session: &Session,
    books: &Books,
    accounts: &[Account],
    (site, host, material): (usize, &str, &str),
) -> Shelf {
    let own = |a: &&Account| a.host == host && a.spool.roll.material == material;
    let here_g = accounts.iter().filter(own).map(Account::left_g).sum();
    let ahead = coming(session, host).into_iter();
    let ahead = ahead.filter(|d| d.material == material && is_expected(d, session.minute()));
    let coming_g = ahead.map(|d| int_f64(d.spools * d.net_g)).sum();
    let latest = accounts.iter().rfind(|a| a.spool.roll.material == material);
    let spool_g = latest.map_or(1_000, |account| account.spool.roll.net_g);
    let demand = demand(session, books, accounts, (site, host, material));
    let stock = &session.costs.rates.stock;
    let prices = Prices {
        short_per_kg: f64::from(stock.short_per_kg),
        over_per_kg: f64::from(stock.over_per_kg),
        lead_days: stock.lead_days,
        review_days: stock.review_days,
    };
    Shelf {
        host: host.to_owned(),
        host_name: session.terrain.region.sites[site].name.clone(),
        material: material.to_owned(),
        here_g,
        coming_g,
        planned_g: demand.planned_g,
        spool_g,
        advice: reorder(&demand, &prices, here_g + coming_g, spool_g),
    }
}

/// What the plan takes, and what runs took in the last weeks since the material is counted there.
fn demand(
    session: &Session,
    books: &Books,
    accounts: &[Account],
    (site, host, material): (usize, &str, &str),
) -> Demand {
    let region = &session.terrain.region;
    let purge = 1.0 + session.costs.rates.purge_share;
    let (mut planned_g, mut last) = (0.0, Minutes(0));
    for plate in books
        .floor
        .plates
        .iter()
        .filter(|plate| plate.material == material)
    {
        let place = books.floor.plan.of(plate.seq).filter(|place| !place.frozen);
        let here = place.filter(|p| region.printers[p.printer.0].site_at(p.start).0 == site);
        if let Some(place) = here {
            planned_g += int_f64(plate.grams) * purge;
            last = last.max(place.start - session.minute());
        }
    }
    let own: Vec<&Account> = (accounts.iter())
        .filter(|a| a.host == host && a.spool.roll.material == material)
        .collect();
    let first = own
        .iter()
        .map(|account| account.spool.roll.received_at)
        .min();
    let since = first.map_or(0, |first| session.now.0 - first.0);
    let weeks = round_usize((int_f64(since) / int_f64(WEEK_MS)).floor());
    let weeks = weeks.unwrap_or(0).clamp(1, WEEKS);
    let mut weekly_g = vec![0.0; weeks];
    for taken in &session.spools.ledger.uses {
        let ago = week_of(session.now, taken.until);
        let counts = own
            .iter()
            .any(|account| account.spool.number == taken.spool);
        if let Some(week) = ago.and_then(|ago| weekly_g.get_mut(ago)).filter(|_| counts) {
            *week += int_f64(taken.used_mg) / 1_000.0;
        }
    }
    Demand {
        planned_g,
        planned_days: int_f64(last.0) / DAY_MIN,
        weekly_g,
    }
}

/// How many whole weeks ago something was.
fn week_of(now: EventMs, at: EventMs) -> Option<usize> {
    usize::try_from((now.0 - at.0).div_euclid(WEEK_MS)).ok()
}
