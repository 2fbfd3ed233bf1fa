//! What finished runs teach, put where quotes, plans and forecasts find it.
//!
//! The region file's numbers are what is believed of a printer before any run. Promises and slots
//! stay as they were decided; how long a plate is *likely* to take follows what is known now.

use std::collections::BTreeMap;
use std::fmt;

use partpledge_catalogue::Catalogue;
use partpledge_catalogue::region::PrinterEntry;
use partpledge_planning_model::{Plate, Printer, PrinterIx};
use partpledge_quality::counting::EARLIEST_END_SHARE;
use partpledge_quality::losses::{Rates, lost, scaled};
use partpledge_quality::{Known, PrinterPrior, Run, learn, stats::ONE_IN_TEN};
use partpledge_records::{FinishedRun, Floor, KeptPlate, PlateState, StepKind};
use partpledge_units::cast::{ceil_i64, round_i64};
use partpledge_units::time::{EventMs, Minute, Minutes};

use crate::books::Books;
use crate::machines::PlateSays;
use crate::programs::counts;
use crate::session::Session;
use crate::terrain::Terrain;

/// Length of a run where none is known, h. Common practice, no source.
const USUAL_RUN_H: f64 = 4.0;

/// How long a plate takes on a printer, as far as is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// One run in ten is shorter.
    pub low: Minutes,
    /// Half are longer; rounded up, as all that a plan keeps time for.
    pub middle: Minutes,
    /// The same to the nearest minute, for forecasts: they round each run that they throw up themselves.
    pub likely: Minutes,
    /// Nine in ten are shorter; what the printer is kept for.
    pub high: Minutes,
}

impl Band {
    fn of([low, middle, high]: [f64; 3], worked_out: Minutes) -> Self {
        let minutes = |factor: f64| worked_out.0 as f64 * factor;
        let whole = |minutes: Option<i64>| Minutes(minutes.unwrap_or(worked_out.0).max(1));
        // A whole number times exactly one must not be rounded up by a last digit.
        let times = |factor: f64| whole(ceil_i64(minutes(factor) - 1e-9));
        let likely = whole(round_i64(minutes(middle)));
        let middle = times(middle);
        Self {
            low: times(low).min(middle),
            middle,
            likely,
            high: times(high).max(middle),
        }
    }
}

impl fmt::Display for Band {
    /// `4 h 10, 9 in 10 under 4 h 40`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, 9 in 10 under {}", self.middle, self.high)
    }
}

impl Terrain {
    /// Takes what finished runs teach in place of the region file's numbers.
    pub fn learn_from(&mut self, runs: &[FinishedRun]) {
        // What a machine did at a meeting it did itself, whatever it was called there.
        let itself = |run: &FinishedRun| FinishedRun {
            printer: self.file.machine_of(&run.printer).to_owned(),
            ..run.clone()
        };
        let runs: Vec<FinishedRun> = runs.iter().map(itself).collect();
        let hours = usual_hours(&runs);
        let hours_of = |name: &str| hours.get(name).copied().unwrap_or(USUAL_RUN_H);
        let own = self.file.printers.iter();
        let priors: Vec<PrinterPrior> = own
            .filter(|entry| entry.at_home.is_none())
            .map(|entry| prior(entry, hours_of(&entry.name)))
            .collect();
        let runs: Vec<Run> = runs.iter().map(to_run).collect();
        self.learned = learn(&priors, &runs);
        for (printer, entry) in self.region.printers.iter_mut().zip(&self.file.printers) {
            // Without runs the file's numbers are taken to the last digit.
            printer.time_sigma = entry.time_sigma;
            printer.start_failure = entry.start_failure;
            printer.failures_per_hour = entry.failures_per_hour;
            let machine = self.file.machine_of(&printer.name);
            let known = self.learned.printer(machine);
            if let Some(known) = known.filter(|_| !runs.is_empty()) {
                believe(printer, entry, known, hours_of(machine));
            }
        }
    }

    /// How long something worked out at that many minutes takes on a printer.
    #[must_use]
    pub fn band(&self, printer: PrinterIx, sheet: &str, worked_out: Minutes) -> Band {
        Band::of(self.factors(printer, sheet), worked_out)
    }

    /// What a time worked out is multiplied with: low, middle, high.
    fn factors(&self, printer: PrinterIx, sheet: &str) -> [f64; 3] {
        let printer = &self.region.printers[printer.0];
        match self
            .learned
            .next(self.file.machine_of(&printer.name), sheet)
        {
            Some(next) => [0.1, 0.5, 0.9].map(|p| next.quantile(p)),
            None => [-ONE_IN_TEN, 0.0, ONE_IN_TEN].map(|z| (z * printer.time_sigma).exp()),
        }
    }

    /// Whether people had been there, without a break, since before a run could have ended when
    /// its end was noted. Otherwise it may have ended unseen, any time before.
    #[must_use]
    pub fn end_seen(
        &self,
        printer: PrinterIx,
        (start, worked_out): (Minute, Minutes),
        noted: Minute,
    ) -> bool {
        let shortest = ceil_i64(worked_out.0 as f64 * EARLIEST_END_SHARE).unwrap_or(0);
        let could_end = start + Minutes(shortest);
        let site = &self.region.sites[self.region.printers[printer.0].site_at(start).0];
        let mut windows = site.staffed.as_slice().iter();
        windows.any(|there| there.from <= could_end && (there.from..=there.until).contains(&noted))
    }
}

/// Mean length of each printer's runs as worked out, h.
fn usual_hours(runs: &[FinishedRun]) -> BTreeMap<&str, f64> {
    let mut sums: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    for run in runs {
        let (minutes, many) = sums.entry(&run.printer).or_default();
        *minutes += run.worked_out_min as f64;
        *many += 1.0;
    }
    let mean = |(name, (minutes, many))| (name, minutes / many / 60.0);
    sums.into_iter().map(mean).collect()
}

/// The chances of loss that the region file gives.
fn believed(entry: &PrinterEntry) -> Rates {
    Rates {
        start: entry.start_failure,
        an_hour: entry.failures_per_hour,
    }
}

fn prior(entry: &PrinterEntry, hours: f64) -> PrinterPrior {
    PrinterPrior {
        name: entry.name.clone(),
        class: entry.class.clone(),
        noise: entry.time_sigma,
        yield_mean: 1.0 - lost(believed(entry), hours),
    }
}

fn to_run(run: &FinishedRun) -> Run {
    Run {
        printer: run.printer.clone(),
        sheet: run.sheet.clone(),
        worked_out_min: run.worked_out_min as f64,
        took_min: (run.ended_at.0 - run.started_at.0) as f64 / 60_000.0,
        witnessed: run.witnessed,
        ticked: !run.by_itself,
        whole: run.whole,
        by_program: run.by_program,
        copies: run.copies,
        good: run.good,
    }
}

fn believe(printer: &mut Printer, entry: &PrinterEntry, known: &Known, hours: f64) {
    printer.time_sigma = known.usual().map_or(entry.time_sigma, |next| next.sigma());
    (printer.start_failure, printer.failures_per_hour) = rates(entry, known, hours);
}

/// Chance of losing the first layers, and losses an hour after them: the file's, both taken as many
/// times as makes its usual run come out good as often as was learned, of it and of the others.
fn rates(entry: &PrinterEntry, known: &Known, hours: f64) -> (f64, f64) {
    scaled(believed(entry), hours, 1.0 - known.first_pass.mean())
}

/// Code of the sheet that a plate is made with: its request's, else the plain one of its material.
pub(crate) fn sheet_of<'a>(catalogue: &'a Catalogue, kept: &'a KeptPlate) -> &'a str {
    let plain = || catalogue.plain_sheet(&kept.plate.material);
    match &kept.sheet {
        Some(code) => code,
        None => plain().map_or("", |sheet| sheet.code.as_str()),
    }
}

/// The floor with every plate as likely to last as is known now.
pub(crate) fn as_known(session: &Session, mut floor: Floor) -> Floor {
    let sheets: BTreeMap<_, String> = (floor.kept.iter())
        .map(|kept| {
            (
                kept.plate.seq,
                sheet_of(&session.catalogue, kept).to_owned(),
            )
        })
        .collect();
    let terrain = &session.terrain;
    // A season has far more plates than there are printers and sheets, and quantiles are dear.
    let mut known: BTreeMap<&str, Vec<Option<[f64; 3]>>> = BTreeMap::new();
    let kept = floor.kept.iter_mut().map(|kept| &mut kept.plate);
    for plate in kept.chain(&mut floor.plates).chain(&mut floor.past) {
        let sheet = sheets.get(&plate.seq).map_or("", String::as_str);
        let factors = known
            .entry(sheet)
            .or_insert_with(|| vec![None; terrain.region.printers.len()]);
        for making in &mut plate.makings {
            let factors = &mut factors[making.printer.0];
            let factors = factors.get_or_insert_with(|| terrain.factors(making.printer, sheet));
            making.likely = Band::of(*factors, making.worked_out).likely;
        }
    }
    floor
}

/// How long a plate takes, in one way for all who read it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// It waits or runs: its place in the plan was made for this.
    Kept {
        /// Half of such runs are longer, as it was known when the place was made.
        middle: Minutes,
        /// What is kept for it; nine in ten are shorter.
        kept: Minutes,
        /// What is known now, where that is another time by far.
        now: Option<Band>,
    },
    /// It has ended: from its start until it was off the bed.
    Took(Minutes),
}

/// What is known now is told from this difference on, as a share of the time and at least in minutes.
/// Common practice, no source.
const TOLD_FROM: (f64, i64) = (0.05, 5);

/// How long a plate takes on a printer, or took; `None` when it can't be made there, or nobody has said
/// when it began and ended.
#[must_use]
pub fn takes(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    printer: PrinterIx,
) -> Option<Takes> {
    let step = |kind| books.step(kept.plate.seq.0, kind);
    if let Some(end) = step(StepKind::Off).or_else(|| step(StepKind::Failed)) {
        let started = step(StepKind::Started)?;
        let minute = |at| Minute::at_or_before(at);
        return Some(Takes::Took(minute(end.at) - minute(started.at)));
    }
    // With all who have joined it.
    let plate = books.whole(kept).unwrap_or(&kept.plate);
    let making = plate.makings.iter().find(|m| m.printer == printer)?;
    let sheet = sheet_of(&session.catalogue, kept);
    let now = session.terrain.band(printer, sheet, making.worked_out);
    let off = (now.middle.0 - making.nominal.0).abs();
    let (share, least) = TOLD_FROM;
    let far = off > least && off as f64 > share * making.nominal.0 as f64;
    Some(Takes::Kept {
        middle: making.nominal,
        kept: making.reserved,
        now: far.then_some(now),
    })
}

/// A plate that is made up anew is expected and kept room for by what is known now.
pub(crate) fn expected_anew(terrain: &Terrain, plate: Plate, sheet: &str) -> Plate {
    let mut plate = plate;
    for making in &mut plate.makings {
        let band = terrain.band(making.printer, sheet, making.worked_out);
        (making.nominal, making.likely, making.reserved) = (band.middle, band.likely, band.high);
    }
    plate
}

/// The run of a plate that ended at `at`, as it is learned from: so many copies good, whole or not.
/// Nothing when its printer has left the region meanwhile.
pub(crate) fn ended_run(
    (session, books): (&Session, &Books),
    kept: &KeptPlate,
    (good, whole): (u32, bool),
    (at, said): (EventMs, PlateSays),
) -> Vec<FinishedRun> {
    let terrain = &session.terrain;
    let run = || {
        let started = books.step(kept.plate.seq.0, StepKind::Started)?;
        let printer = terrain.printer_of(&started.printer)?;
        let mut makings = kept.plate.makings.iter();
        let making = makings.find(|making| making.printer == printer)?;
        let begun = (Minute::at_or_after(started.at), making.worked_out);
        let by_program = counts(terrain, &books.floor, kept.on().0, printer);
        // Its time has copies in it that were not printed: it would teach that the printer is quick.
        (by_program || all_are_printed(books, kept)).then_some(())?;
        let by_itself = said.run(started.at, at);
        let noted = Minute::at_or_after(at);
        Some(FinishedRun {
            plate: kept.on().0,
            printer: started.printer.clone(),
            sheet: sheet_of(&session.catalogue, kept).to_owned(),
            worked_out_min: making.worked_out.0,
            started_at: by_itself.map_or(started.at, |run| run.began),
            ended_at: by_itself.map_or(at, |run| run.ended),
            copies: books.company(kept).iter().map(|row| row.plate.copies).sum(),
            good,
            whole,
            by_itself: by_itself.is_some(),
            witnessed: match by_itself {
                Some(run) => run.unbroken,
                None => terrain.end_seen(printer, begun, noted),
            },
            by_program,
        })
    };
    run().into_iter().collect()
}

/// Whether everybody whose copies are in the time of a plate is still on it: whoever joined last wrote
/// down the time with all who were there before.
fn all_are_printed(books: &Books, kept: &KeptPlate) -> bool {
    let rows = || books.floor.kept.iter().filter(|row| row.on() == kept.on());
    let gone = rows().find(|row| row.state == PlateState::Withdrawn);
    let last = rows().rfind(|row| row.state != PlateState::Withdrawn);
    match (gone, last) {
        (Some(gone), Some(last)) => gone.plate.seq > last.plate.seq,
        _ => true,
    }
}
