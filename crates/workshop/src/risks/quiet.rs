//! Hosts that something was due at and that have not ticked it: where several promises wait for that,
//! it is said once, with the host first.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_planning_model::PrinterIx;
use partpledge_units::time::Minute;

use super::{Cause, Risk};
use crate::books::Books;
use crate::session::Session;

/// Fewer promises at risk than this are told by themselves.
const SEVERAL: usize = 2;

/// A host that has not ticked what was due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quiet {
    /// Its school's code.
    pub host: String,
    /// Its name.
    pub name: String,
    /// Plates that were due there.
    pub plates: BTreeSet<u64>,
    /// When the first of them was.
    pub since: Minute,
    /// Positions of the risks of which that is the cause, in their order.
    pub risks: Vec<usize>,
}

/// Hosts that several of these promises wait for, those with the most first; of as many, who was due first.
#[must_use]
pub fn quiet(session: &Session, books: &Books, risks: &[Risk<'_>]) -> Vec<Quiet> {
    let mut found: BTreeMap<String, Quiet> = BTreeMap::new();
    for (i, risk) in risks.iter().enumerate() {
        let Some((plate, printer, since)) = due(session, books, risk) else {
            continue;
        };
        let name = session.terrain.host_at(printer, since);
        let Some(code) = session.terrain.host_code_at(printer, since) else {
            continue;
        };
        let at = found.entry(code.to_owned()).or_insert_with(|| Quiet {
            host: code.to_owned(),
            name: name.to_owned(),
            plates: BTreeSet::new(),
            since,
            risks: Vec::new(),
        });
        at.plates.insert(plate);
        at.since = at.since.min(since);
        at.risks.push(i);
    }
    let several = found.into_values().filter(|at| at.risks.len() >= SEVERAL);
    let mut all: Vec<Quiet> = several.collect();
    all.sort_by(|a, b| (b.risks.len().cmp(&a.risks.len())).then(a.since.cmp(&b.since)));
    all
}

/// The plate that nobody has ticked, where it was due and when; `None` for any other cause.
fn due(session: &Session, books: &Books, risk: &Risk<'_>) -> Option<(u64, PrinterIx, Minute)> {
    let named = |printer: &str| session.terrain.printer_of(printer);
    match risk.cause.as_ref()? {
        Cause::NotStarted { plate, since } => {
            let planned = &risk.promised.document.plates;
            let place = |seq: u64| books.plate(seq).and_then(|kept| books.place(kept));
            // Where it is now, or where it was when its place was given up.
            let here = place(*plate).filter(|place| place.start == *since);
            let was = || {
                let mut promised = planned.iter();
                let one = promised.find(|one| one.plate == *plate && one.start_min == since.0)?;
                named(&one.printer)
            };
            let printer = here.map(|place| place.printer).or_else(was)?;
            Some((*plate, printer, *since))
        }
        Cause::NotOff {
            plate,
            printer,
            since,
        }
        | Cause::NotTold {
            plate,
            printer,
            since,
        } => Some((*plate, named(printer)?, *since)),
        _ => None,
    }
}
