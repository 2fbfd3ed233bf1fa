//! A host's day at the bench: what to load, look at, clear, box and hand over, in order of time.

use std::collections::BTreeMap;

use jiff::civil::Date;
use partpledge_planning::journey;
use partpledge_planning_model::{Assignment, Departure, LegKind, SiteIx, Window};
use partpledge_records::stored::StoredEstimate;
use partpledge_records::{KeptLook, KeptPlate, ListedRequest, PlateState, State, StepKind};
use partpledge_units::time::{Minute, Minutes};

use crate::bench::by_machine;
use crate::books::Books;
use crate::boxes;
use crate::error::WorkshopError;
use crate::hub::{Doing, Hub};
use crate::learning::{Takes, takes};
use crate::machines::{Standing, State as MachineState, standings};
use crate::measuring::CriticalDimension;
use crate::plate_room::printer_of;
use crate::session::Session;
use crate::spools::advice::{SpoolAdvice, Wanted, advise};
use crate::spools::clashes::clashes_at;

mod night;
mod uses;

pub use night::{OverNight, StopBy};
use night::{over, stop_by};
pub use uses::PrinterUse;
use uses::uses;

/// The first layer is looked at this long after the start. Common practice, no source.
const LOOK_AFTER: Minutes = Minutes(15);

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum JobKind {
    /// Load the printer and start the plate.
    Load,
    /// Look at the first layer.
    Look,
    /// Stop the printer if it still runs: people leave, and nobody has permitted it to run alone.
    Stop,
    /// Take the plate off, look at the copies.
    Clear,
    /// Put the copies in their box.
    Box,
    /// Give the box to the courier, or over the counter.
    HandOver,
}

/// Where a job stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum JobState {
    /// Done then.
    Done(Minute),
    /// Failed then, for that reason.
    Failed(Minute, String),
    /// Can be done now.
    Ready,
    /// Something else comes first.
    Waits,
}

/// One line of the run sheet.
#[derive(Clone, Debug)]
pub struct Job {
    /// What.
    pub kind: JobKind,
    /// When: as it was done, or as it is planned.
    pub at: Minute,
    /// Where it stands.
    pub state: JobState,
    /// About which plate.
    pub plate: PlateLine,
}

/// A start that a printer told of, and nobody else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ByItself {
    /// People may take it back as long as nothing was built on it.
    Free,
    /// Only when an adult has looked at it, after the first ten minutes.
    ToLook,
}

/// A plate as the bench needs it.
#[derive(Clone, Debug)]
pub struct PlateLine {
    /// Number of the plate that is printed.
    pub seq: u64,
    /// Number under which this request's share of it is kept: the same, unless it joined another's.
    /// Its box goes by this.
    pub share: u64,
    /// What else lies on the plate; told with the first that lies on it.
    pub others: Vec<Beside>,
    /// What it carries.
    pub label: String,
    /// Part's name.
    pub part: String,
    /// Team.
    pub team: String,
    /// Number of the request.
    pub request: i64,
    /// Material code.
    pub material: String,
    /// Name of the process sheet.
    pub sheet: String,
    /// Copies on it.
    pub copies: usize,
    /// Their numbers within the request.
    pub numbers: Vec<i64>,
    /// Sizes that must be right, measured on each copy.
    pub dimensions: Vec<CriticalDimension>,
    /// Those that are being reworked, or are still to be measured.
    pub held: usize,
    /// Filament it takes, g; `None` when no estimate was kept.
    pub mass_g: Option<f64>,
    /// Printer.
    pub printer: String,
    /// Host's name.
    pub host: String,
    /// How long it takes there, or took.
    pub takes: Option<Takes>,
    /// Its place in the plan, real times for what runs.
    pub place: Option<Assignment>,
    /// What has become of it.
    pub state: PlateState,
    /// Where its box goes.
    pub to: String,
    /// How its box travels next, if it does.
    pub leg: Option<(LegKind, Departure)>,
    /// Whether the team has its box.
    pub handed: bool,
    /// What keeps its box, or what would go in it, where it is.
    pub stopped: Option<boxes::Stop>,
    /// Copies that the team does not have, that were recalled and are to be checked.
    pub recalled: usize,
    /// Whether its promise has ended.
    pub ended: bool,
    /// Hand-over promised.
    pub promised: Option<Minute>,
    /// Nozzle and bed, °C.
    pub heat_c: (f64, f64),
    /// The paper by which the printer may run with nobody there.
    pub permission: Option<String>,
    /// When it must be stopped, for a run that may go on when people leave and that nobody has permitted to run
    /// alone.
    pub stop_by: Option<StopBy>,
    /// How its printer stands by its own word, on a sheet, if that is about this plate.
    pub says: Option<MachineState>,
    /// What becomes of its start that was told by the printer, and by nobody.
    pub starts_itself: Option<ByItself>,
}

/// What another request has on a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// Number of its share.
    pub share: u64,
    /// Part's name.
    pub part: String,
    /// Team.
    pub team: String,
    /// Copies.
    pub copies: usize,
    /// Their numbers within the request.
    pub numbers: Vec<i64>,
    /// Sizes that must be right, measured on each copy.
    pub dimensions: Vec<CriticalDimension>,
    /// Filament they take, g.
    pub mass_g: Option<f64>,
    /// Hand-over promised.
    pub promised: Option<Minute>,
}

impl PlateLine {
    /// Takes what its printer says of it, and whether an adult has still to look at its start.
    fn hear(&mut self, machines: &[Standing], looks: &[KeptLook]) {
        // A printer that moves is to be left alone, whatever moves it.
        let moves = |one: &Standing| {
            matches!(
                one.state,
                MachineState::Runs { .. } | MachineState::Halted { .. }
            )
        };
        let its = |one: &&Standing| {
            one.printer == self.printer && (one.plate() == Some(self.seq) || moves(one))
        };
        self.says = machines.iter().find(its).map(|one| one.state.clone());
        let start = |look: &KeptLook| look.deed == Doing::Start.as_str() && look.plate == self.seq;
        if self.starts_itself.is_some() && looks.iter().any(start) {
            self.starts_itself = Some(ByItself::ToLook);
        }
    }

    /// Whether something on it has critical dimensions: it comes off one by one then.
    #[must_use]
    pub fn to_measure(&self) -> bool {
        let mut others = self.others.iter();
        !self.dimensions.is_empty() || others.any(|other| !other.dimensions.is_empty())
    }

    /// Filament of the whole plate, g; `None` when an estimate is missing.
    #[must_use]
    pub fn whole_g(&self) -> Option<f64> {
        let others = self.others.iter().map(|other| other.mass_g);
        std::iter::once(self.mass_g).chain(others).sum()
    }
}

/// A host's day.
#[derive(Clone, Debug)]
pub struct RunSheet {
    /// Host's name.
    pub host: String,
    /// The day.
    pub date: Date,
    /// When people are there that day.
    pub staffed: Vec<Window>,
    /// When people are there next after that day.
    pub next: Option<Window>,
    /// Jobs, in order of time.
    pub jobs: Vec<Job>,
    /// Printers of the host.
    pub printers: Vec<String>,
    /// Whether each of them can be used.
    pub uses: Vec<PrinterUse>,
    /// Which spool to load for each plate that waits, where somebody counts them.
    pub spools: BTreeMap<u64, SpoolAdvice>,
    /// How those of them stand that say so themselves.
    pub machines: Vec<Standing>,
    /// What is on each printer when the last people leave.
    pub night: Vec<(String, Option<OverNight>)>,
}

/// Position of a host by its school's code.
///
/// # Errors
/// [`WorkshopError::Unknown`].
pub fn host(session: &Session, code: &str) -> Result<SiteIx, WorkshopError> {
    let hosts = &session.terrain.file.hosts;
    let found = hosts.iter().position(|host| host.school == code);
    found.map(SiteIx).ok_or_else(|| WorkshopError::Unknown {
        what: "host",
        name: code.to_owned(),
        known: hosts
            .iter()
            .map(|host| host.school.as_str())
            .collect::<Vec<_>>()
            .join(", "),
    })
}

/// The run sheet of a host for a day.
///
/// # Errors
/// [`WorkshopError::Unknown`] for a host that is not there, [`WorkshopError::Store`].
pub async fn run_sheet(
    session: &Session,
    books: &Books,
    code: &str,
    date: Date,
) -> Result<RunSheet, WorkshopError> {
    let site = host(session, code)?;
    let terrain = &session.terrain;
    let zone = &terrain.zone;
    let here = &terrain.region.sites[site.0];
    let on_day = |window: &&Window| zone.date(window.from) == date;
    let staffed: Vec<Window> = here
        .staffed
        .as_slice()
        .iter()
        .filter(on_day)
        .copied()
        .collect();
    let after = |window: &&Window| zone.date(window.from) > date;
    let next = here.staffed.as_slice().iter().find(after).copied();
    let mut jobs = Vec::new();
    let mut machines = standings(session, books).await?;
    let hub = Hub::open(session, code).await?;
    let looks = hub.map_or_else(Vec::new, |hub| hub.book.to_look);
    for kept in &books.floor.kept {
        let Some(mut line) = line(session, books, kept).await? else {
            continue;
        };
        line.hear(&machines, &looks);
        if line.host == here.name {
            let first = books
                .company(kept)
                .first()
                .is_some_and(|row| row.plate.seq == kept.plate.seq);
            jobs.extend(jobs_of(books, &line, first));
        }
    }
    let today = zone.date(session.minute());
    // What is still to be done from days before is to be done today.
    jobs.retain(|job| {
        let day = zone.date(job.at);
        let open = matches!(job.state, JobState::Ready);
        day == date || (open && date == today && day < date)
    });
    jobs.sort_by_key(|job| (job.at, job.plate.seq, job.kind));
    // Printers travel between days, not within them.
    let middle = staffed
        .first()
        .map_or(session.minute(), |window| window.from);
    let printers = terrain.region.printers.iter();
    let printers: Vec<String> = printers
        .filter(|printer| printer.site_at(middle) == site)
        .map(|printer| printer.name.clone())
        .collect();
    let leave = staffed.last().map(|window| window.until);
    let over_night = |name: &String| {
        let plate = leave.and_then(|at| over(session, books, name, at));
        (name.clone(), plate)
    };
    let night = printers.iter().map(over_night).collect();
    let spools = spools(session, books, code, &jobs);
    let uses = uses(session, books, (&printers, date)).await?;
    machines.retain(|one| printers.contains(&one.printer));
    Ok(RunSheet {
        machines,
        spools,
        host: here.name.clone(),
        date,
        staffed,
        next,
        jobs,
        printers,
        uses,
        night,
    })
}

/// Which spool to load for each plate that waits, and for which no spool is there by the plan.
fn spools(
    session: &Session,
    books: &Books,
    code: &str,
    jobs: &[Job],
) -> BTreeMap<u64, SpoolAdvice> {
    let mut spools = advise(session, code, &wanted(jobs));
    for (plate, clash) in clashes_at(session, books, code) {
        if let Some(advice) = spools.get_mut(&plate) {
            advice.clash = Some(clash);
        }
    }
    spools
}

/// Plates that wait to be loaded, in order of time, each with the filament that is known of it.
fn wanted(jobs: &[Job]) -> Vec<Wanted<'_>> {
    let loads = jobs
        .iter()
        .filter(|job| job.kind == JobKind::Load && job.state == JobState::Ready);
    let wanted = loads.filter_map(|job| {
        Some(Wanted {
            plate: job.plate.seq,
            material: &job.plate.material,
            printer: &job.plate.printer,
            plate_g: job.plate.whole_g()?,
        })
    });
    wanted.collect()
}

/// A plate as the bench needs it; `None` for one that has no printer or was called back.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn line(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Result<Option<PlateLine>, WorkshopError> {
    let Some(printer) = printer_of(session, books, kept) else {
        return Ok(None);
    };
    let (Some(ix), Some(listed)) = (
        session.terrain.printer_of(&printer),
        books.request(kept.request),
    ) else {
        return Ok(None);
    };
    if kept.state == PlateState::Withdrawn {
        return Ok(None);
    }
    let terrain = &session.terrain;
    let (process, _) = crate::estimating::Process::of_request(&session.catalogue, &listed.request)?;
    let class = &terrain.classes[ix.0];
    let copies = copies(books, kept);
    let one_g = mass_of_one(session, listed, class).await?;
    let others = others(session, books, kept, class).await?;
    let place = books.place(kept).copied();
    let begins = place.map_or(session.minute(), |place| place.start);
    let site = terrain.region.printers[ix.0].site_at(begins);
    let ready = ready(books, kept, place.as_ref());
    let leg = ready.and_then(|ready| next_leg(session, site, kept, ready));
    let entry = terrain.file.printers.iter().find(|p| p.name == printer);
    Ok(Some(PlateLine {
        seq: kept.on().0,
        share: kept.plate.seq.0,
        others,
        label: kept.plate.label.clone(),
        part: listed.part.clone(),
        team: listed.request.team.clone(),
        request: listed.request.number,
        material: kept.plate.material.clone(),
        sheet: process.sheet.name.clone(),
        copies,
        numbers: numbers(books, kept),
        dimensions: books.dimensions(kept.request).to_vec(),
        held: books.held(kept).count(),
        mass_g: one_g.map(|one| one * copies as f64),
        host: terrain.host_at(ix, begins).to_owned(),
        takes: takes(session, books, kept, ix),
        place,
        state: kept.state,
        to: terrain.region.places[kept.plate.to.0].name.clone(),
        leg,
        handed: books.step(kept.plate.seq.0, StepKind::HandedOver).is_some(),
        stopped: boxes::stopped(books, kept),
        recalled: (books.recalled_on(kept))
            .filter(|copy| copy.state != State::HandedOver)
            .count(),
        ended: ended(books, kept),
        promised: (kept.plate.promise)
            .filter(|_| !ended(books, kept))
            .map(|promise| promise.arrival),
        heat_c: (process.material.nozzle_c, process.material.bed_c),
        permission: entry.and_then(|entry| entry.unattended_permission.clone()),
        stop_by: stop_by(session, books, kept),
        says: None,
        starts_itself: books
            .step(kept.plate.seq.0, StepKind::Started)
            .and_then(|step| by_machine(step).then_some(ByItself::Free)),
        printer,
    }))
}

/// Whether the promise of a request has ended: it is not shown as open any more.
fn ended(books: &Books, kept: &KeptPlate) -> bool {
    let promised = books.pledge_of(kept.request);
    promised.is_some_and(|promised| promised.end.is_some())
}

/// Copies on it; those it was made for when they have gone elsewhere since.
fn copies(books: &Books, kept: &KeptPlate) -> usize {
    match books.copies_on(kept).count() {
        0 => usize::try_from(kept.plate.copies).unwrap_or(0),
        on_it => on_it,
    }
}

/// Numbers of the copies on it.
fn numbers(books: &Books, kept: &KeptPlate) -> Vec<i64> {
    books.copies_on(kept).map(|copy| copy.number).collect()
}

/// What others have on a plate, told with the first that lies on it.
async fn others(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    class: &str,
) -> Result<Vec<Beside>, WorkshopError> {
    let company = books.company(kept);
    let mut out = Vec::new();
    let Some((first, others)) = company.split_first() else {
        return Ok(out);
    };
    if first.plate.seq != kept.plate.seq {
        return Ok(out);
    }
    for row in others {
        let Some(listed) = books.request(row.request) else {
            continue;
        };
        let copies = copies(books, row);
        let one_g = mass_of_one(session, listed, class).await?;
        out.push(Beside {
            share: row.plate.seq.0,
            part: listed.part.clone(),
            team: listed.request.team.clone(),
            copies,
            numbers: numbers(books, row),
            dimensions: books.dimensions(row.request).to_vec(),
            mass_g: one_g.map(|one| one * copies as f64),
            promised: (row.plate.promise)
                .filter(|_| !ended(books, row))
                .map(|promise| promise.arrival),
        });
    }
    Ok(out)
}

/// When a plate's box can leave, as far as is known.
fn ready(books: &Books, kept: &KeptPlate, place: Option<&Assignment>) -> Option<Minute> {
    let at = |kind| {
        let step = books.step(kept.plate.seq.0, kind)?;
        Some(Minute::at_or_after(step.at))
    };
    boxes::may_go(books, kept)
        .or_else(|| at(StepKind::Off))
        .or_else(|| place.map(|place| place.ready))
}

/// The departure that takes a plate's box, on its own way or the first part of it.
fn next_leg(
    session: &Session,
    site: SiteIx,
    kept: &KeptPlate,
    ready: Minute,
) -> Option<(LegKind, Departure)> {
    let region = &session.terrain.region;
    let rides = journey(region, (site, kept.plate.to), ready);
    rides.first().map(|ride| (ride.kind, ride.departure))
}

/// Filament of one copy, g: the mean over the parts of its file.
async fn mass_of_one(
    session: &Session,
    listed: &ListedRequest,
    class: &str,
) -> Result<Option<f64>, WorkshopError> {
    let (store, region) = session.writable()?;
    let (process, _) = crate::estimating::Process::of_request(&session.catalogue, &listed.request)?;
    let kept = store.estimates_of(region, listed.request.version).await?;
    let mut masses = Vec::new();
    for (key, text) in kept {
        if key.class == class && key.sheet == process.key() {
            masses.push(StoredEstimate::from_text(&text)?.mass_g);
        }
    }
    let many = masses.len();
    Ok((many > 0).then(|| masses.iter().sum::<f64>() / many as f64))
}

/// Whether all that came off the bed has become scrap since: there is nothing to box.
fn nothing_left(books: &Books, share: u64) -> bool {
    let gone =
        |kept: &KeptPlate| kept.state == PlateState::Off && books.copies_on(kept).count() == 0;
    books.plate(share).is_some_and(gone)
}

/// Where a job stands that is not done.
fn after(first: bool) -> JobState {
    if first {
        JobState::Ready
    } else {
        JobState::Waits
    }
}

/// The jobs that a plate makes. It is printed once, with the `first` that lies on it; each request has
/// a box of its own.
fn jobs_of(books: &Books, line: &PlateLine, first: bool) -> Vec<Job> {
    let seq = line.share;
    let step = |kind| books.step(seq, kind);
    // As people read it; what is planned reckons with the minute after.
    let done = |kind| step(kind).map(|step| Minute::at_or_before(step.at));
    let mut out = Vec::new();
    let mut push = |kind, at: Option<Minute>, state| {
        let own_box = matches!(kind, JobKind::Box | JobKind::HandOver);
        if let Some(at) = at.filter(|_| first || own_box) {
            out.push(Job {
                kind,
                at,
                state,
                plate: line.clone(),
            });
        }
    };
    let place = line.place.as_ref();
    let started = done(StepKind::Started);
    let start = started.or(place.map(|place| place.start));
    push(
        JobKind::Load,
        start,
        started.map_or(JobState::Ready, JobState::Done),
    );
    let failed = step(StepKind::Failed).map(|step| {
        let reason = step.reason.clone().unwrap_or_default();
        JobState::Failed(Minute::at_or_before(step.at), reason)
    });
    let looked = done(StepKind::Looked);
    let off = done(StepKind::Off);
    if failed.is_none() && (looked.is_some() || off.is_none()) {
        let at = looked.or(start.map(|start| start + LOOK_AFTER));
        let state = looked.map_or(after(started.is_some()), JobState::Done);
        push(JobKind::Look, at, state);
    }
    let runs = started.is_some() && off.is_none() && failed.is_none();
    push(
        JobKind::Stop,
        line.stop_by.filter(|_| runs).map(|stop| stop.at),
        JobState::Ready,
    );
    let failed_at = done(StepKind::Failed);
    let cleared = off.or(failed_at).or(place.map(|place| place.cleared));
    let state = failed.or(off.map(JobState::Done));
    push(
        JobKind::Clear,
        cleared,
        state.unwrap_or(after(started.is_some())),
    );
    box_jobs(books, line, &mut push);
    out
}

/// The jobs with a plate's box: fill it, hand it over.
fn box_jobs(
    books: &Books,
    line: &PlateLine,
    push: &mut impl FnMut(JobKind, Option<Minute>, JobState),
) {
    let seq = line.share;
    let done = |kind| {
        let step = books.step(seq, kind);
        step.map(|step| Minute::at_or_before(step.at))
    };
    let off = done(StepKind::Off);
    let place = line.place.as_ref();
    let boxed = done(StepKind::Boxed);
    let free = line.stopped.is_none();
    // Over the counter, the box is gone when the team has it.
    let counter = matches!(line.leg, Some((LegKind::Counter, _)));
    let left = done(StepKind::Left).filter(|_| !counter);
    let left = left.or(done(StepKind::HandedOver));
    if line.state == PlateState::Lost || nothing_left(books, seq) {
        // Nothing is left to be done; what was done stays on the day's sheet.
        for (kind, at) in [(JobKind::Box, boxed), (JobKind::HandOver, left)] {
            if let Some(at) = at {
                push(kind, Some(at), JobState::Done(at));
            }
        }
        return;
    }
    let boxing = boxed.or(off).or(place.map(|place| place.ready));
    push(
        JobKind::Box,
        boxing,
        boxed.map_or(
            after(off.is_some() && line.held == 0 && free),
            JobState::Done,
        ),
    );
    let leaves = line.leg.map(|(_, departure)| departure.leaves);
    // Over the counter there is no departure to wait for.
    let waits_for = left.or(leaves).map(|at| at.max(boxed.unwrap_or(at)));
    push(
        JobKind::HandOver,
        waits_for,
        left.map_or(after(boxed.is_some() && free), JobState::Done),
    );
}

impl RunSheet {
    /// Position of the job to do now: the first that can be done.
    #[must_use]
    pub fn now(&self) -> Option<usize> {
        self.jobs
            .iter()
            .position(|job| job.state == JobState::Ready)
    }

    /// What each material needs that is still to be loaded on this sheet, g; `None` when an
    /// estimate is missing.
    #[must_use]
    pub fn plastic_g(&self) -> BTreeMap<String, Option<f64>> {
        let mut out = BTreeMap::new();
        for job in &self.jobs {
            if job.kind == JobKind::Load && job.state == JobState::Ready {
                let sum = out.entry(job.plate.material.clone()).or_insert(Some(0.0));
                *sum = sum.zip(job.plate.whole_g()).map(|(a, b): (f64, f64)| a + b);
            }
        }
        out
    }
}
