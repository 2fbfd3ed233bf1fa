//! Copies looked at one by one: good, to be reworked, or scrap. Scrap is made again with the promise
//! that it had; what is reworked is held until it is good or scrap.

use std::collections::BTreeMap;

use partpledge_records::{Happening, KeptPlate, Measured, Said, State, StoreError, StoredCopy};
use partpledge_words::said;

use super::draft::{Draft, and_moved};
use super::ended::Counted;
use super::{Done, Good};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::measuring::{EachMeasured, Lack, Readings};
use crate::recalls::DRIFTED;

/// What somebody found who looked at one copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// It can go in its box.
    Good,
    /// It is held until it is good or scrap; why, in a few words.
    Rework(String),
    /// It is made again; why, in a few words.
    Scrap(String),
}

/// A copy that was held or recalled is good or scrap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settled {
    /// Its number within the request.
    pub copy: i64,
    /// Which of the two.
    pub found: Found,
    /// Of a recalled copy, what it was checked for: the code of what was asked, empty for what was
    /// asked first.
    pub about: String,
    /// What was measured of it now.
    pub measured: Readings,
}

/// Copies by the number of their share and their own within the request.
pub type Each = BTreeMap<(u64, i64), Found>;

/// How copies were counted when they came off the bed.
pub(super) enum Count<'a> {
    /// So many are good; which, nobody asked.
    Number(&'a Good),
    /// One by one, with what was measured.
    Each(&'a Each, &'a EachMeasured),
}

/// The copies of a share: good, lost, held.
type Sorted<'a> = (
    Vec<&'a StoredCopy>,
    Vec<&'a StoredCopy>,
    Vec<&'a StoredCopy>,
);

/// The copies of a share as they were found, each told.
pub(super) fn sorted<'a>(
    copies: Vec<&'a StoredCopy>,
    share: u64,
    each: &Each,
) -> Result<Sorted<'a>, WorkshopError> {
    let (mut fine, mut lost, mut held) = (Vec::new(), Vec::new(), Vec::new());
    for copy in copies {
        match each.get(&(share, copy.number)) {
            Some(Found::Good) => fine.push(copy),
            Some(Found::Rework(_)) => held.push(copy),
            Some(Found::Scrap(_)) => lost.push(copy),
            None => {
                let (what, range) = ("every copy", "good, to be reworked or scrap");
                return Err(WorkshopError::OutOfRange { what, range });
            }
        }
    }
    Ok((fine, lost, held))
}

/// What was wrong with which copy of which share, for the log: `31-2 scrap: Stringy or rough`.
pub(super) fn reasons(each: &Each) -> Vec<String> {
    let one = |((share, number), found): (&(u64, i64), &Found)| match found {
        Found::Good => None,
        Found::Rework(why) => Some(format!("{share}-{number} to be reworked: {why}")),
        Found::Scrap(why) => Some(format!("{share}-{number} scrap: {why}")),
    };
    each.iter().filter_map(one).collect()
}

impl Books {
    /// What was measured on the copies of a plate, once all that were called good may be.
    pub(super) fn measured_on(
        &self,
        kept: &KeptPlate,
        count: &Count<'_>,
    ) -> Result<Vec<Measured>, WorkshopError> {
        let Count::Each(each, measured) = count else {
            return Ok(Vec::new());
        };
        let (mut faults, mut out) = (Vec::new(), Vec::new());
        let none = Readings::new();
        for row in self.company(kept) {
            for copy in self.copies_on(row) {
                let which = (row.plate.seq.0, copy.number);
                let readings = measured.get(&which).unwrap_or(&none);
                if each.get(&which) == Some(&Found::Good) {
                    faults.extend(self.faults((row.request, which.0), copy, readings));
                }
                out.extend(self.to_write((row.request, copy), readings)?);
            }
        }
        if faults.is_empty() {
            Ok(out)
        } else {
            Err(WorkshopError::NotGood { faults })
        }
    }

    /// The same of one copy. One that was recalled need not be measured anew unless its printer drifted.
    fn measured_of(
        &self,
        kept: &KeptPlate,
        copy: &StoredCopy,
        (settled, recalled_for): (&Settled, Option<&str>),
    ) -> Result<Vec<Measured>, WorkshopError> {
        let may_miss = recalled_for.is_some_and(|why| why != DRIFTED);
        let mut faults = match settled.found {
            Found::Good => {
                let share = kept.plate.seq.0;
                self.faults((kept.request, share), copy, &settled.measured)
            }
            _ => Vec::new(),
        };
        faults.retain(|fault| fault.lack != Lack::NotMeasured || !may_miss);
        if faults.is_empty() {
            self.to_write((kept.request, copy), &settled.measured)
        } else {
            Err(WorkshopError::NotGood { faults })
        }
    }

    /// Copies of a share that are being reworked.
    pub fn held<'a>(&'a self, kept: &'a KeptPlate) -> impl Iterator<Item = &'a StoredCopy> {
        let copies = self.copies_on(kept);
        copies.filter(|copy| copy.state == State::Rework)
    }
}

impl Draft<'_> {
    /// A copy that was held or recalled is good, or is made again.
    pub(super) async fn settled(
        &self,
        kept: &KeptPlate,
        settled: &Settled,
    ) -> Result<(Happening, Done), WorkshopError> {
        let (number, found) = (settled.copy, &settled.found);
        let mut recalled = self.books.recalled_on(kept);
        let this = |copy: &&StoredCopy| copy.number == number && copy.state != State::HandedOver;
        if let Some(copy) = recalled.find(this) {
            return self.recalled_settled(kept, copy, settled).await;
        }
        let copy = self.books.held(kept).find(|copy| copy.number == number);
        let copy = copy.ok_or_else(|| StoreError::NoSuch {
            what: "copy that is held",
            id: number.to_string(),
        })?;
        let measured = self.books.measured_of(kept, copy, (settled, None))?;
        let mut payload = Self::payload(kept.plate.seq);
        payload.push((
            "copy",
            Said::Numbers(number.try_into().into_iter().collect()),
        ));
        let why = match found {
            Found::Good => {
                let happening = Happening {
                    copies: vec![(copy.id, State::Inspected)],
                    measured,
                    ..self.event("copy.reworked", payload)
                };
                return Ok((happening, Done::default()));
            }
            Found::Rework(_) => {
                let (what, range) = ("a copy that is held", "good or scrap");
                return Err(WorkshopError::OutOfRange { what, range });
            }
            Found::Scrap(why) => why,
        };
        payload.push(("reason", Said::Text(why.clone())));
        let lost = Counted {
            kept: kept.clone(),
            fine: Vec::new(),
            lost: vec![copy],
            held: Vec::new(),
        };
        let ends = self.ends_unmade(&lost);
        let reprints = self.reprints(&[lost]).await?;
        let mut plates = self.books.floor.plates.clone();
        plates.extend(reprints.iter().map(|reprint| reprint.plate.clone()));
        let replanned = self.replanned(&plates, &self.books.running())?;
        let done = Done::of(&replanned);
        let why = said!("promises-plan-scrap", plate = kept.plate.seq.0);
        let happening = Happening {
            copies: self.scrapped(kept.request, copy.id).collect(),
            measured,
            ends: ends.into_iter().collect(),
            reprints,
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..self.event("copy.scrapped", payload)
        };
        Ok((happening, done))
    }

    /// The same of one that was recalled.
    async fn recalled_settled(
        &self,
        kept: &KeptPlate,
        copy: &StoredCopy,
        settled: &Settled,
    ) -> Result<(Happening, Done), WorkshopError> {
        let which = [(kept.plate.seq.0, copy.number)];
        let good = match settled.found {
            Found::Good => true,
            Found::Scrap(_) => false,
            Found::Rework(_) => {
                let (what, range) = ("a copy that was recalled", "good or scrap");
                return Err(WorkshopError::OutOfRange { what, range });
            }
        };
        let first = self.books.asked_first(kept.request, &which);
        let first = first.map_or("", |first| first.target.code());
        let about = settled.about.as_str();
        let asked = if about.is_empty() { first } else { about };
        let measured = self.books.measured_of(kept, copy, (settled, Some(asked)))?;
        let (happening, done) = self.checked(kept.request, &which, (about, good)).await?;
        let happening = Happening {
            measured,
            ..happening
        };
        Ok((happening, done))
    }
}
