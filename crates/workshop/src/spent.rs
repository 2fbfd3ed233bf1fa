//! What runs that ended took: time, plastic, money; of a plate that several requests shared, each one's
//! share.
//!
//! A bed is cleared when somebody comes: where nobody was there when a run ended, it took no longer than
//! what had been expected of it, as far as anybody can say. What was told at another moment than it
//! happened, and teaches nothing for that ([`partpledge_quality::counting`]), counts as was expected.

use std::collections::BTreeMap;

use partpledge_costing::Job;
use partpledge_planning_model::PrinterIx;
use partpledge_quality::counting::BELIEVED;
use partpledge_quality::ticks;
use partpledge_records::{FinishedRun, KeptPlate, PlateState, RunStep, StepKind};
use partpledge_units::cast::{int_f64, round_i64};
use partpledge_units::ids::RequestId;
use partpledge_units::money::Money;
use partpledge_units::time::{EventMs, Minute, Minutes};

use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::Process;
use crate::learning::sheet_of;
use crate::programs::counts;
use crate::session::Session;
use crate::taking::priced;
use crate::terrain::Terrain;

/// Milliseconds in a minute.
const MINUTE_MS: i64 = 60_000;

/// How it is known how long a run printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Length {
    /// Somebody, or a machine, saw its end.
    Told,
    /// Nobody did: it may have been shorter.
    AtMost,
    /// Its start or end was noted at another moment: it is what was expected.
    Expected,
}

/// A run that has ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Ended {
    /// Number of the plate.
    pub plate: u64,
    /// Material code.
    pub material: String,
    /// Name of the school where it ran; empty when its printer has left the region.
    pub school: String,
    /// When it was started, as told.
    pub started_at: EventMs,
    /// When it was taken off the bed, or failed, as told.
    pub ended_at: EventMs,
    /// How long it printed.
    pub length: Minutes,
    /// How that is known.
    pub known: Length,
    /// Whether it failed, or nothing of it was good.
    pub failed: bool,
    /// Filament that it took for its parts, g; of a failed one by the time that it ran. Without purge.
    pub grams: f64,
    /// What it cost, least and greatest; `None` without a price, or when its printer has left the region.
    pub cost: Option<[Money; 2]>,
    /// Each request's share of it by filament, together 1.
    pub shares: Vec<(RequestId, f64)>,
}

/// What all runs for a request took, its share of each.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spent {
    /// Runs.
    pub runs: usize,
    /// Those that failed, or of which nothing was good.
    pub failed: usize,
    /// Printing.
    pub length: Minutes,
    /// Filament, g.
    pub grams: f64,
    /// Money, least and greatest; `None` when something has no price.
    pub cost: Option<[Money; 2]>,
    /// Whether the end of each was seen, and told when it came.
    pub seen: bool,
    /// Whether the start or end of one was noted at another moment.
    pub misnoted: bool,
    /// Whether others had something on one of its plates.
    pub shared: bool,
}

/// All runs of a region that ended, looked up by plate and by request.
#[derive(Clone, Debug)]
pub struct Runs {
    ended: Vec<Ended>,
    by_plate: BTreeMap<u64, usize>,
    by_request: BTreeMap<RequestId, Vec<usize>>,
}

impl Runs {
    /// Reads them.
    ///
    /// # Errors
    /// [`WorkshopError::Store`], [`WorkshopError::Unknown`] for a process that is no more in the catalogue.
    pub async fn open(session: &Session, books: &Books) -> Result<Self, WorkshopError> {
        Self::of_plates(session, books, books.floor.kept.iter()).await
    }

    /// Those of one request.
    ///
    /// # Errors
    /// As [`Runs::open`].
    pub async fn of_request(
        session: &Session,
        books: &Books,
        request: RequestId,
    ) -> Result<Self, WorkshopError> {
        Self::of_plates(session, books, books.plates_of(request)).await
    }

    /// That of a plate, or of the one that it joined, if it has ended.
    ///
    /// # Errors
    /// As [`Runs::open`].
    pub async fn of_one(
        session: &Session,
        books: &Books,
        kept: &KeptPlate,
    ) -> Result<Option<Ended>, WorkshopError> {
        let runs = Self::of_plates(session, books, std::iter::once(kept)).await?;
        Ok(runs.of_plate(kept).cloned())
    }

    /// Of these plates only; what lies together was one run.
    async fn of_plates<'b>(
        session: &Session,
        books: &'b Books,
        plates: impl Iterator<Item = &'b KeptPlate>,
    ) -> Result<Self, WorkshopError> {
        let (store, region) = session.writable()?;
        let finished = store.finished_runs(region).await?.into_iter();
        let finished: BTreeMap<u64, FinishedRun> = finished.map(|run| (run.plate, run)).collect();
        let firsts = plates.filter_map(|kept| books.company(kept).first().copied());
        let firsts: BTreeMap<u64, &KeptPlate> = firsts.map(|kept| (kept.on().0, kept)).collect();
        let mut ended = Vec::new();
        for (plate, kept) in firsts {
            ended.extend(one((session, books), kept, finished.get(&plate))?);
        }
        let mut by_request: BTreeMap<RequestId, Vec<usize>> = BTreeMap::new();
        let by_plate = ended.iter().enumerate();
        let by_plate = by_plate.map(|(i, run)| (run.plate, i)).collect();
        for (i, run) in ended.iter().enumerate() {
            for (request, _) in &run.shares {
                by_request.entry(*request).or_default().push(i);
            }
        }
        Ok(Self {
            ended,
            by_plate,
            by_request,
        })
    }

    /// All of them, in order of plate.
    #[must_use]
    pub fn all(&self) -> &[Ended] {
        &self.ended
    }

    /// The run of a plate, or of the one that it joined.
    #[must_use]
    pub fn of_plate(&self, kept: &KeptPlate) -> Option<&Ended> {
        self.by_plate.get(&kept.on().0).map(|&i| &self.ended[i])
    }

    /// What a request took; `None` when nothing of it has been printed.
    #[must_use]
    pub fn of(&self, request: RequestId) -> Option<Spent> {
        let own = self.by_request.get(&request)?.iter();
        let runs: Vec<&Ended> = own.map(|&i| &self.ended[i]).collect();
        let share = |run: &Ended| {
            let mut shares = run.shares.iter();
            let own = shares.find(|(id, _)| *id == request);
            own.map_or(0.0, |(_, share)| *share)
        };
        let minutes = runs.iter().map(|run| int_f64(run.length.0) * share(run));
        let grams = runs.iter().map(|run| run.grams * share(run));
        Some(Spent {
            runs: runs.len(),
            failed: runs.iter().filter(|run| run.failed).count(),
            length: Minutes(round_i64(minutes.sum::<f64>().round()).unwrap_or(0)),
            grams: grams.sum(),
            cost: summed(runs.iter().map(|run| (run.cost, share(run)))),
            seen: runs.iter().all(|run| run.known == Length::Told),
            misnoted: runs.iter().any(|run| run.known == Length::Expected),
            shared: runs.iter().any(|run| run.shares.len() > 1),
        })
    }

    /// How long plates of a request printed that came off the bed and of which copies are left: a share by
    /// filament of those that several requests shared.
    pub(crate) fn printed(&self, books: &Books, request: RequestId) -> Minutes {
        let length = |kept: &KeptPlate| {
            let has_copies = books.copies_on(kept).next().is_some();
            (kept.state == PlateState::Off && has_copies).then_some(())?;
            let run = self.of_plate(kept)?;
            let rows = books.company(kept);
            let all: i64 = rows.iter().map(|row| row.plate.grams).sum();
            Some(match all {
                0 => run.length.0,
                all => run.length.0 * kept.plate.grams / all,
            })
        };
        Minutes(books.plates_of(request).filter_map(length).sum())
    }
}

/// Shares of amounts, added up and rounded once; `None` when one of them is not known.
fn summed(parts: impl Iterator<Item = (Option<[Money; 2]>, f64)>) -> Option<[Money; 2]> {
    let mut sum: Option<([f64; 2], [Money; 2])> = None;
    for (cost, share) in parts {
        let cost = cost?;
        let own = cost.map(|money| int_f64(money.minor) * share);
        let (before, _) = sum.unwrap_or(([0.0; 2], cost));
        sum = Some(([before[0] + own[0], before[1] + own[1]], cost));
    }
    let ([low, high], [like, _]) = sum?;
    let round = |minor| Money::rounded(minor, like.currency).ok();
    Some([round(low)?, round(high)?])
}

/// The run of a plate and of all that lies on it, if it has ended.
fn one(
    (session, books): (&Session, &Books),
    kept: &KeptPlate,
    finished: Option<&FinishedRun>,
) -> Result<Option<Ended>, WorkshopError> {
    let seq = kept.plate.seq.0;
    let end = books.step(seq, StepKind::Off);
    let end = end.or_else(|| books.step(seq, StepKind::Failed));
    let Some((started, ended)) = books.step(seq, StepKind::Started).zip(end) else {
        return Ok(None);
    };
    let terrain = &session.terrain;
    let printer = terrain.printer_of(&started.printer);
    let expected = printer.and_then(|printer| {
        let mut makings = kept.plate.makings.iter();
        makings.find(|making| making.printer == printer)
    });
    // Of a printer that has left the region the run itself still says what was expected of it.
    let most = expected.map(|making| making.nominal);
    let most = most.or_else(|| finished.map(|run| Minutes(run.worked_out_min)));
    // Of what failed copies may be good, and then it is off the bed too.
    let whole = books.step(seq, StepKind::Failed).is_none();
    let (told, seen) = length(session, (started, ended), finished, kept);
    let worked_out = finished.map(|run| Minutes(run.worked_out_min));
    let worked_out = worked_out.or_else(|| expected.map(|making| making.worked_out));
    let by_itself = finished.is_some_and(|run| run.by_itself);
    let misnoted = !by_itself
        && worked_out.is_some_and(|worked_out| {
            let sheet = sheet_of(&session.catalogue, kept);
            misnoted(
                terrain,
                (&started.printer, sheet),
                (worked_out, told),
                whole,
            )
        });
    let (length, known) = match most {
        Some(most) if seen && misnoted => (most, Length::Expected),
        Some(most) if !seen => (told.min(most), Length::AtMost),
        _ if seen => (told, Length::Told),
        _ => (told, Length::AtMost),
    };
    let rows = books.company(kept);
    let laid: i64 = rows.iter().map(|row| row.plate.grams).sum();
    let program = books.floor.program_of(kept.on().0);
    let program = program
        .filter(|_| printer.is_some_and(|at| counts(terrain, &books.floor, kept.on().0, at)));
    let ran = match (whole, most) {
        (false, Some(most)) => int_f64(length.0) / int_f64(most.0.max(1)),
        _ => 1.0,
    };
    let grams = program.map_or(int_f64(laid), |program| program.mass_g) * ran.clamp(0.0, 1.0);
    let share = |row: &&KeptPlate| match laid {
        0 => 1.0 / rows.len().max(1) as f64,
        all => int_f64(row.plate.grams) / int_f64(all),
    };
    let shares = rows.iter().map(|row| (row.request, share(row))).collect();
    let cost = match printer {
        Some(at) => cost((session, books), kept, at, (length, grams))?,
        None => None,
    };
    Ok(Some(Ended {
        plate: kept.on().0,
        material: kept.plate.material.clone(),
        school: printer.map_or_else(String::new, |at| {
            let start = Minute::at_or_before(started.at);
            terrain.host_at(at, start).to_owned()
        }),
        started_at: started.at,
        ended_at: ended.at,
        length,
        known,
        failed: !whole || kept.state == PlateState::Lost || ended.good == Some(0),
        grams,
        cost,
        shares,
    }))
}

/// Whether what people told of a run's time says that they noted it at another moment: learning doesn't
/// believe it, or it says next to nothing. What failed may have ended early, but not far too late.
fn misnoted(
    terrain: &Terrain,
    (printer, sheet): (&str, &str),
    (worked_out, told): (Minutes, Minutes),
    whole: bool,
) -> bool {
    let (worked_out, told) = (int_f64(worked_out.0), int_f64(told.0));
    let ratio = told / worked_out.max(1.0);
    if !whole {
        return ratio > *BELIEVED.end();
    }
    if !BELIEVED.contains(&ratio) {
        return true;
    }
    let next = terrain
        .learned
        .next(terrain.file.machine_of(printer), sheet);
    // In time is no sign of having come late.
    ratio > 1.0
        && next.is_some_and(|next| ticks::told(&next, worked_out, told).worth < ticks::LEAST_WORTH)
}

/// From start to end, as the machine or the people told, and whether the end was seen.
fn length(
    session: &Session,
    (started, ended): (&RunStep, &RunStep),
    finished: Option<&FinishedRun>,
    kept: &KeptPlate,
) -> (Minutes, bool) {
    let between = |from: EventMs, until: EventMs| Minutes(((until.0 - from.0) / MINUTE_MS).max(0));
    if let Some(run) = finished {
        return (between(run.started_at, run.ended_at), run.witnessed);
    }
    let terrain = &session.terrain;
    let seen = terrain.printer_of(&started.printer).is_some_and(|printer| {
        let mut makings = kept.plate.makings.iter();
        let making = makings.find(|making| making.printer == printer);
        let noted = Minute::at_or_after(ended.at);
        making.is_some_and(|making| {
            let begun = (Minute::at_or_after(started.at), making.worked_out);
            terrain.end_seen(printer, begun, noted)
        })
    });
    (between(started.at, ended.at), seen)
}

/// What a run of that length and mass cost.
fn cost(
    (session, books): (&Session, &Books),
    kept: &KeptPlate,
    printer: PrinterIx,
    (length, mass_g): (Minutes, f64),
) -> Result<Option<[Money; 2]>, WorkshopError> {
    let terrain = &session.terrain;
    let class = terrain.classes.get(printer.0);
    let class = class.and_then(|code| session.catalogue.class(code));
    let (Some(class), Some(listed)) = (class, books.request(kept.request)) else {
        return Ok(None);
    };
    let (process, _) = Process::of_request(&session.catalogue, &listed.request)?;
    let seconds = int_f64(length.0) * 60.0;
    let job = Job {
        mass_g,
        time_s: [seconds; 2],
        copies: 1,
    };
    match priced(&job, &process, class, &session.costs) {
        Ok((_, cost)) => Ok(Some(cost.total)),
        Err(WorkshopError::Cost(_)) => Ok(None),
        Err(error) => Err(error),
    }
}

#[cfg(test)]
mod tests {
    use partpledge_units::money::Currency;

    use super::*;

    #[test]
    fn shares_of_money_are_added_before_they_are_rounded() {
        let currency = Currency::parse("EUR").unwrap();
        let cents = |minor| Money { minor, currency };
        let run = Some([cents(1), cents(3)]);
        let thirds = [(run, 1.0 / 3.0), (run, 1.0 / 3.0), (run, 1.0 / 3.0)];
        assert_eq!(summed(thirds.into_iter()), Some([cents(1), cents(3)]));
        let unpriced = [(run, 1.0), (None, 1.0)];
        assert_eq!(summed(unpriced.into_iter()), None);
        assert_eq!(summed(std::iter::empty()), None);
    }
}
