//! Filament on the shelves: as it is on record, and as plans ask for it.

pub mod advice;
pub mod clashes;
pub mod ordering;

use std::collections::{BTreeMap, BTreeSet};

use partpledge_catalogue::Catalogue;
use partpledge_catalogue::costs::Rates;
use partpledge_planning_model::Stock;
use partpledge_records::RunningPlate;
use partpledge_stock::{Account, Delivery, Ledger, Run, State, Use, usable_g, uses_of};
use partpledge_units::cast::{int_f64, round_i64};
use partpledge_units::time::{EventMs, Minute, Minutes};

use crate::programs::by_program;
use crate::session::Session;
use crate::terrain::Terrain;

/// On the shelf from before any calendar.
const ALWAYS: Minute = Minute(0);
/// A delivery that is later than this is counted on no more: nobody may have been there yet to note
/// that it is here. Common practice, no source.
const LATE: Minutes = Minutes(1_440);
/// Milligrams in a gram.
const MG: f64 = 1_000.0;

/// Spools as they are on record, with the plates that run from them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spools {
    /// Everything told of them.
    pub ledger: Ledger,
    /// Plates that run.
    pub running: Vec<RunningPlate>,
}

/// What so many grams of parts take from a spool, purge included, mg.
pub(crate) fn taken_mg(parts_g: f64, rates: &Rates) -> i64 {
    round_i64((parts_g * MG * (1.0 + rates.purge_share)).round()).unwrap_or(i64::MAX / 4)
}

impl Spools {
    /// How every spool stands once what runs has ended, in order of number.
    #[must_use]
    pub fn accounts(&self, terrain: &Terrain, rates: &Rates) -> Vec<Account> {
        self.ledger.accounts(&self.running_uses(terrain, rates))
    }

    /// What plates that run will have taken, from each spool as it will be written when they end: by
    /// its share of the time that they are likely to run, and by their host's own program if that
    /// counts on their printer.
    #[must_use]
    pub fn running_uses(&self, terrain: &Terrain, rates: &Rates) -> Vec<Use> {
        let over = |plate: u64| self.ledger.uses.iter().any(|taken| taken.plate == plate);
        let running = self.running.iter().filter(|run| !over(run.plate.seq.0));
        let of = |run: &RunningPlate| {
            let printer = terrain.printer_of(&run.printer);
            let class = printer.and_then(|printer| terrain.classes.get(printer.0));
            let program = run.program.as_ref();
            let program = program.filter(|program| Some(&program.class) == class);
            let makings = &run.plate.makings;
            let timed = program.map(|program| by_program(terrain, makings, program));
            let mut makings = timed.as_ref().unwrap_or(makings).iter();
            let making = makings.find(|making| Some(making.printer) == printer);
            let takes = making.map_or(Minutes(1), |making| making.likely.max(Minutes(1)));
            let grams = program.map_or(int_f64(run.grams), |program| program.mass_g);
            let fed = Run {
                plate: run.plate.seq.0,
                material: &run.plate.material,
                printer: &run.printer,
                from: run.started_at,
                until: EventMs(run.started_at.0 + takes.0 * 60_000),
            };
            uses_of(&self.ledger, &fed, taken_mg(grams, rates))
        };
        running.flat_map(of).collect()
    }
}

/// Filament for parts that a site has of each material somebody has told of, with deliveries that
/// are still to come.
fn stock_of(
    host: &str,
    (accounts, deliveries): (&[Account], &[Delivery]),
    rates: &Rates,
    now: Minute,
) -> Vec<Stock> {
    let usable = |left_mg: i64| usable_g(left_mg, rates.spool_margin_g, rates.purge_share);
    let mut shelf: BTreeMap<&str, f64> = BTreeMap::new();
    for account in accounts {
        // What was told of once stays told of: an empty shelf is short.
        if account.host == host || account.spool.roll.host == host {
            let here = account.host == host && account.state.counts();
            let grams = if here { usable(account.left_mg) } else { 0.0 };
            *shelf.entry(&account.spool.roll.material).or_default() += grams;
        }
    }
    let one = |(&material, grams): (&&str, &f64)| Stock {
        material: material.to_owned(),
        from: ALWAYS,
        grams: round_i64(grams.floor()).unwrap_or(0),
    };
    let mut out: Vec<Stock> = shelf.iter().map(one).collect();
    let open = deliveries
        .iter()
        .filter(|d| d.host == host && is_expected(d, now));
    let ahead = open.filter(|d| shelf.contains_key(d.material.as_str()));
    out.extend(ahead.map(|delivery| Stock {
        material: delivery.material.clone(),
        from: delivery.due,
        grams: delivery.spools * round_i64(usable(delivery.net_g * 1_000).floor()).unwrap_or(0),
    }));
    out
}

impl Terrain {
    /// Tells planning what lies on every shelf, what comes, and what is on every printer.
    pub(crate) fn stocked(&mut self, spools: &Spools, rates: &Rates, now: Minute) {
        let accounts = spools.accounts(self, rates);
        let told = (accounts.as_slice(), spools.ledger.deliveries.as_slice());
        for (site, host) in self.region.sites.iter_mut().zip(&self.file.hosts) {
            site.stock = stock_of(&host.school, told, rates, now);
        }
        for printer in &mut self.region.printers {
            let on_it = accounts.iter().find(
                |account| matches!(&account.state, State::Loaded(name) if *name == printer.name),
            );
            printer.loaded = on_it.map(|account| account.spool.roll.material.clone());
        }
    }

    /// The same shelves and printers as on other ground that was made from the same file.
    pub(crate) fn stocked_like(&mut self, other: &Self) {
        let sites = self.region.sites.iter_mut().zip(&other.region.sites);
        sites.for_each(|(site, like)| site.stock.clone_from(&like.stock));
        let printers = self.region.printers.iter_mut().zip(&other.region.printers);
        printers.for_each(|(printer, like)| printer.loaded.clone_from(&like.loaded));
    }
}

/// Whether a delivery can still be counted on.
#[must_use]
pub fn is_expected(delivery: &Delivery, now: Minute) -> bool {
    delivery.end.is_none() && delivery.due + LATE >= now
}

/// Days after which an open spool of a material is damp; `None` when it does not mind.
#[must_use]
pub fn damp_after_days(catalogue: &Catalogue, material: &str) -> Option<f64> {
    catalogue.material(material)?.drying.damp_after_days
}

/// Whether a spool should be dried before it is printed.
#[must_use]
pub fn is_damp(session: &Session, account: &Account) -> bool {
    let days = damp_after_days(&session.catalogue, &account.spool.roll.material);
    account.is_damp(days, session.now)
}

/// Materials that somebody has told of at a host: only these can be short.
#[must_use]
pub fn told_at(accounts: &[Account], host: &str) -> BTreeSet<String> {
    let here = |account: &&Account| account.host == host || account.spool.roll.host == host;
    let told = accounts.iter().filter(here);
    told.map(|account| account.spool.roll.material.clone())
        .collect()
}
