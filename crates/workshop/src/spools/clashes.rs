//! Plates of one host that are planned on the same spool at the same time. Plans add up what is on a shelf
//! and know no spools; this says what they don't see, and moves nothing.

use std::collections::BTreeMap;

use partpledge_costing::spool_check;
use partpledge_planning_model::PrinterIx;
use partpledge_stock::{Account, State};
use partpledge_units::cast::int_f64;
use partpledge_units::time::Minute;

use super::{is_expected, taken_mg, told_at};
use crate::books::Books;
use crate::session::Session;

/// A plate for which no spool is there when it is to be started.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// Code of the host's school.
    pub host: String,
    /// Material code.
    pub material: String,
    /// Number of the plate that goes without.
    pub plate: u64,
    /// Name of its printer.
    pub printer: String,
    /// When it is to be started.
    pub start: Minute,
    /// The spool that would do and who has it then; `None` when no spool has enough on it by itself.
    pub held: Option<Holder>,
}

/// Who has a spool at a time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holder {
    /// Number of the spool.
    pub spool: i64,
    /// Number of the plate that is printed from it then.
    pub plate: u64,
    /// Name of that plate's printer.
    pub printer: String,
}

/// A plate that runs or is planned.
struct Turn<'a> {
    plate: u64,
    material: &'a str,
    grams: i64,
    printer: PrinterIx,
    start: Minute,
    end: Minute,
    runs: bool,
}

/// A spool while the plan is gone through.
struct Reel<'a> {
    account: &'a Account,
    left_mg: i64,
    /// Until when a plate has it, and which on which printer.
    busy: Option<(Minute, u64, PrinterIx)>,
    /// On which printer it is, by the last plate or as told.
    on: Option<PrinterIx>,
}

/// All plates that go without a spool, host by host, each in order of start.
///
/// A plate gets, of the spools that have enough on them and that no other plate has at the time, the one on
/// its printer, else the emptiest. A spool on a printer that stands still can be taken off. What is promised
/// for a day before the start counts as a spool that is there.
#[must_use]
pub fn clashes(session: &Session, books: &Books) -> Vec<Clash> {
    let accounts = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let mut out = Vec::new();
    for (site, host) in session.terrain.file.hosts.iter().enumerate() {
        let turns = turns(session, books, site);
        for material in told_at(&accounts, &host.school) {
            let mut own: Vec<&Turn<'_>> = turns.iter().filter(|t| t.material == material).collect();
            own.sort_by_key(|turn| (!turn.runs, turn.start, turn.plate));
            let place = (host.school.as_str(), material.as_str());
            out.extend(of_shelf(session, &accounts, place, &own));
        }
    }
    out
}

/// The clashes of a host, by plate.
#[must_use]
pub fn clashes_at(session: &Session, books: &Books, host: &str) -> BTreeMap<u64, Clash> {
    let all = clashes(session, books).into_iter();
    all.filter(|clash| clash.host == host)
        .map(|clash| (clash.plate, clash))
        .collect()
}

/// What runs or is planned at a host.
fn turns<'a>(session: &Session, books: &'a Books, site: usize) -> Vec<Turn<'a>> {
    let region = &session.terrain.region;
    let runs: BTreeMap<u64, Minute> = books
        .running()
        .into_iter()
        .map(|(plate, start, _)| (plate.0, start))
        .collect();
    let open = books.floor.plates.iter();
    let turn = |plate: &'a partpledge_planning_model::Plate| {
        let place = books.floor.plan.of(plate.seq)?;
        let here = region.printers[place.printer.0].site_at(place.start).0 == site;
        here.then(|| Turn {
            plate: plate.seq.0,
            material: &plate.material,
            grams: plate.grams,
            printer: place.printer,
            start: place.start,
            // What runs longer than was thought has its spool as long as it runs.
            end: place.end,
            runs: runs.contains_key(&plate.seq.0),
        })
    };
    open.filter_map(turn).collect()
}

fn of_shelf(
    session: &Session,
    accounts: &[Account],
    (host, material): (&str, &str),
    turns: &[&Turn<'_>],
) -> Vec<Clash> {
    let terrain = &session.terrain;
    let of = |account| reel(session, account);
    let here =
        |a: &&Account| a.host == host && a.spool.roll.material == material && a.state.counts();
    let mut reels: Vec<Reel<'_>> = accounts.iter().filter(here).map(of).collect();
    let mut coming = deliveries(session, host, material);
    let mut out = Vec::new();
    for turn in turns {
        if turn.runs {
            // What it takes is off the account already.
            let its = reels.iter_mut().find(|reel| reel.on == Some(turn.printer));
            if let Some(reel) = its {
                reel.busy = Some((turn.end, turn.plate, turn.printer));
            }
            continue;
        }
        let grams = int_f64(turn.grams);
        let left = |reel: &Reel<'_>| int_f64(reel.left_mg.max(0)) / 1_000.0;
        let enough = |reel: &Reel<'_>| spool_check(left(reel), grams, &session.costs).suffices();
        let busy = |reel: &Reel<'_>| {
            let held = reel.busy.filter(|(until, ..)| *until > turn.start);
            held.filter(|(_, _, printer)| *printer != turn.printer)
        };
        let free = reels
            .iter_mut()
            .filter(|reel| enough(reel) && busy(reel).is_none());
        let best = free.min_by_key(|reel| (reel.on != Some(turn.printer), reel.left_mg));
        if let Some(reel) = best {
            reel.left_mg -= taken_mg(grams, &session.costs.rates);
            reel.busy = Some((turn.end, turn.plate, turn.printer));
            reel.on = Some(turn.printer);
            continue;
        }
        if let Some(at) = coming.iter().position(|(due, net_g)| {
            *due <= turn.start && spool_check(*net_g, grams, &session.costs).suffices()
        }) {
            coming.remove(at);
            continue;
        }
        let held = reels.iter().filter(|reel| enough(reel)).find_map(|reel| {
            let (_, plate, printer) = busy(reel)?;
            Some(Holder {
                spool: reel.account.spool.number,
                plate,
                printer: terrain.region.printers[printer.0].name.clone(),
            })
        });
        out.push(Clash {
            host: host.to_owned(),
            material: material.to_owned(),
            plate: turn.plate,
            printer: terrain.region.printers[turn.printer.0].name.clone(),
            start: turn.start,
            held,
        });
    }
    out
}

fn reel<'a>(session: &Session, account: &'a Account) -> Reel<'a> {
    Reel {
        account,
        left_mg: account.left_mg,
        busy: None,
        on: match &account.state {
            State::Loaded(name) => session.terrain.printer_of(name),
            _ => None,
        },
    }
}

/// Spools that are promised to a host, one by one: from when, and with how many grams.
fn deliveries(session: &Session, host: &str, material: &str) -> Vec<(Minute, f64)> {
    let all = session.spools.ledger.deliveries.iter();
    let own = all.filter(|one| {
        one.host == host && one.material == material && is_expected(one, session.minute())
    });
    let each = own.flat_map(|one| {
        let many = usize::try_from(one.spools).unwrap_or(0);
        std::iter::repeat_n((one.due, int_f64(one.net_g)), many)
    });
    each.collect()
}
