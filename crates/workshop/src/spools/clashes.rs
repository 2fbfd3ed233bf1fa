//! Plates of one host that are planned on the same spool at the same time. Plans add up what is on a shelf
//! and know no spools; this says what they don't see, and moves nothing.

use std::collections::BTreeMap;

use partpledge_catalogue::Costs;
use partpledge_costing::spool_check;
use partpledge_planning_model::PrinterIx;
use partpledge_records::StepKind;
use partpledge_stock::{Account, State};
use partpledge_units::cast::int_f64;
use partpledge_units::time::Minute;

use super::{MG, is_expected, taken_mg, told_at};
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
    /// Number of the spool; `None` for one that is promised and not here yet.
    pub spool: Option<i64>,
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
struct Reel {
    /// `None` for one that is promised.
    number: Option<i64>,
    left_mg: i64,
    /// Until when a plate has it, and which on which printer.
    busy: Option<(Minute, u64, PrinterIx)>,
    /// On which printer it is, by the last plate or as told.
    on: Option<PrinterIx>,
}

impl Reel {
    /// Who has it when a plate is to be started on another printer.
    fn busy_for(&self, turn: &Turn<'_>) -> Option<(u64, PrinterIx)> {
        let held = self.busy.filter(|(until, ..)| *until > turn.start);
        let held = held.map(|(_, plate, printer)| (plate, printer));
        held.filter(|(_, printer)| *printer != turn.printer)
    }

    fn given_to(&mut self, turn: &Turn<'_>) {
        self.busy = Some((turn.end, turn.plate, turn.printer));
        self.on = Some(turn.printer);
    }
}

/// What a host has of a material, and what is promised to it, while the plan is gone through.
struct Shelf<'a> {
    costs: &'a Costs,
    reels: Vec<Reel>,
    /// Spools that are promised, one by one: from when, and with how many grams.
    coming: Vec<(Minute, i64)>,
}

impl Shelf<'_> {
    /// Whether so much on a spool is enough for a plate.
    fn suffices(&self, left_mg: i64, turn: &Turn<'_>) -> bool {
        let left = int_f64(left_mg.max(0)) / MG;
        spool_check(left, int_f64(turn.grams), self.costs).suffices()
    }

    /// A plate that runs: what it takes is off the account already.
    fn runs(&mut self, turn: &Turn<'_>) {
        let on_it = |reel: &&mut Reel| reel.on == Some(turn.printer);
        if let Some(reel) = self.reels.iter_mut().find(on_it) {
            reel.given_to(turn);
        }
    }

    /// Gives a plate its spool, if there is one then.
    fn gives(&mut self, turn: &Turn<'_>) -> bool {
        let takes = taken_mg(int_f64(turn.grams), &self.costs.rates);
        let all = 0..self.reels.len();
        let free = all.filter(|&i| {
            let reel = &self.reels[i];
            self.suffices(reel.left_mg, turn) && reel.busy_for(turn).is_none()
        });
        let order = |&i: &usize| {
            (
                self.reels[i].on != Some(turn.printer),
                self.reels[i].left_mg,
            )
        };
        let best = free.min_by_key(order).or_else(|| self.arrived(turn));
        if let Some(reel) = best.map(|i| &mut self.reels[i]) {
            reel.left_mg -= takes;
            reel.given_to(turn);
        }
        best.is_some()
    }

    /// Puts the first promised spool on the shelf that has come by then and has enough.
    fn arrived(&mut self, turn: &Turn<'_>) -> Option<usize> {
        let mut coming = self.coming.iter();
        let at = coming.position(|(due, net_g)| {
            *due <= turn.start && self.suffices(net_g.saturating_mul(1_000), turn)
        })?;
        let (_, net_g) = self.coming.remove(at);
        self.reels.push(Reel {
            number: None,
            left_mg: net_g.saturating_mul(1_000),
            busy: None,
            on: None,
        });
        Some(self.reels.len() - 1)
    }

    /// The spool that would do, its plate and the printer of that; `None` when none has enough on it.
    fn held(&self, turn: &Turn<'_>) -> Option<(Option<i64>, u64, PrinterIx)> {
        let mut enough = (self.reels.iter()).filter(|reel| self.suffices(reel.left_mg, turn));
        enough.find_map(|reel| {
            let (plate, printer) = reel.busy_for(turn)?;
            Some((reel.number, plate, printer))
        })
    }
}

/// All plates that go without a spool, host by host, each in order of start.
///
/// A plate gets, of the spools that have enough on them and that no other plate has at the time, the one on
/// its printer, else the emptiest. A spool on a printer that stands still can be taken off. What is promised
/// for a day before the start counts as a spool that is there, and stays there for the plates after it.
#[must_use]
pub fn clashes(session: &Session, books: &Books) -> Vec<Clash> {
    let accounts = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let sites = 0..session.terrain.file.hosts.len();
    let each = sites.flat_map(|site| at_host(session, books, &accounts, site));
    each.collect()
}

/// The clashes of a host, by plate.
#[must_use]
pub fn clashes_at(session: &Session, books: &Books, host: &str) -> BTreeMap<u64, Clash> {
    let mut hosts = session.terrain.file.hosts.iter();
    let Some(site) = hosts.position(|one| one.school == host) else {
        return BTreeMap::new();
    };
    let accounts = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let own = at_host(session, books, &accounts, site).into_iter();
    own.map(|clash| (clash.plate, clash)).collect()
}

fn at_host(session: &Session, books: &Books, accounts: &[Account], site: usize) -> Vec<Clash> {
    let host = session.terrain.file.hosts[site].school.as_str();
    let turns = turns(session, books, site);
    let mut out = Vec::new();
    for material in told_at(accounts, host) {
        let mut own: Vec<&Turn<'_>> = turns.iter().filter(|t| t.material == material).collect();
        own.sort_by_key(|turn| (!turn.runs, turn.start, turn.plate));
        out.extend(of_shelf(session, accounts, (host, &material), &own));
    }
    out
}

/// What runs or is planned at a host.
fn turns<'a>(session: &Session, books: &'a Books, site: usize) -> Vec<Turn<'a>> {
    let region = &session.terrain.region;
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
            runs: books.step(plate.seq.0, StepKind::Started).is_some(),
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
    let here =
        |a: &&Account| a.host == host && a.spool.roll.material == material && a.state.counts();
    let own = accounts.iter().filter(here);
    let mut shelf = Shelf {
        costs: &session.costs,
        reels: own.map(|account| reel(session, account)).collect(),
        coming: deliveries(session, host, material),
    };
    let named = |printer: PrinterIx| session.terrain.region.printers[printer.0].name.clone();
    let mut out = Vec::new();
    for turn in turns {
        if turn.runs {
            shelf.runs(turn);
        } else if !shelf.gives(turn) {
            let held = shelf.held(turn).map(|(spool, plate, printer)| Holder {
                spool,
                plate,
                printer: named(printer),
            });
            out.push(Clash {
                host: host.to_owned(),
                material: material.to_owned(),
                plate: turn.plate,
                printer: named(turn.printer),
                start: turn.start,
                held,
            });
        }
    }
    out
}

fn reel(session: &Session, account: &Account) -> Reel {
    Reel {
        number: Some(account.spool.number),
        left_mg: account.left_mg,
        busy: None,
        on: match &account.state {
            State::Loaded(name) => session.terrain.printer_of(name),
            _ => None,
        },
    }
}

/// Spools that are promised to a host, one by one: from when, and with how many grams.
fn deliveries(session: &Session, host: &str, material: &str) -> Vec<(Minute, i64)> {
    let all = session.spools.ledger.deliveries.iter();
    let own = all.filter(|one| {
        one.host == host && one.material == material && is_expected(one, session.minute())
    });
    let each = own.flat_map(|one| {
        let many = usize::try_from(one.spools).unwrap_or(0);
        std::iter::repeat_n((one.due, one.net_g), many)
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plate of 150 g on a printer, from one hour to another.
    fn turn(plate: u64, printer: usize, [start, end]: [i64; 2]) -> Turn<'static> {
        Turn {
            plate,
            material: "PETG",
            grams: 150,
            printer: PrinterIx(printer),
            start: Minute(60 * start),
            end: Minute(60 * end),
            runs: false,
        }
    }

    fn promised(costs: &Costs, net_g: i64, spools: usize) -> Shelf<'_> {
        Shelf {
            costs,
            reels: Vec::new(),
            coming: vec![(Minute(0), net_g); spools],
        }
    }

    #[test]
    fn a_promised_spool_serves_one_plate_after_another_until_it_is_empty() {
        let costs = Costs::built_in();
        let mut shelf = promised(&costs, 1_000, 1);
        // 157.5 g each with purge; 20 g stay on the reel.
        for n in 1..=6 {
            let hour = i64::try_from(n).unwrap();
            assert!(shelf.gives(&turn(n, 0, [hour, hour + 1])), "{n}");
        }
        let last = turn(7, 0, [7, 8]);
        assert!(!shelf.gives(&last));
        assert_eq!(shelf.held(&last), None, "nobody has it: it is used up");
    }

    #[test]
    fn two_printers_can_not_have_the_promised_spool_at_one_time() {
        let costs = Costs::built_in();
        let mut shelf = promised(&costs, 1_000, 1);
        assert!(shelf.gives(&turn(1, 0, [1, 4])));
        let beside = turn(2, 1, [2, 5]);
        assert!(!shelf.gives(&beside));
        assert_eq!(shelf.held(&beside), Some((None, 1, PrinterIx(0))));
        assert!(shelf.gives(&turn(3, 1, [4, 5])), "it is free by then");
        let mut two = promised(&costs, 1_000, 2);
        assert!(two.gives(&turn(1, 0, [1, 4])) && two.gives(&beside));
    }

    #[test]
    fn what_comes_after_the_start_or_is_too_little_helps_nobody() {
        let costs = Costs::built_in();
        let mut late = Shelf {
            coming: vec![(Minute(61), 1_000)],
            ..promised(&costs, 0, 0)
        };
        assert!(!late.gives(&turn(1, 0, [1, 2])) && late.gives(&turn(2, 0, [2, 3])));
        let ends = Reel {
            number: Some(1),
            left_mg: 100_000,
            busy: None,
            on: None,
        };
        let mut short = promised(&costs, 100, 1);
        short.reels.push(ends);
        let plate = turn(1, 0, [1, 2]);
        assert!(!short.gives(&plate), "only their ends add up");
        assert_eq!(short.held(&plate), None);
    }
}
