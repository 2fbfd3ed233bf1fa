//! Whether a host's printers can be used, as its sheet says it.

use jiff::ToSpan;
use jiff::civil::{Date, Time};
use partpledge_records::{Event, Outage, StepKind, ToldOfUse};
use partpledge_units::time::{EventMs, Minute};

use crate::bench::undone_of;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::recalls::{Target, recalls};
use crate::session::Session;

/// Whether a printer can be used on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrinterUse {
    /// Its name.
    pub printer: String,
    /// Of what keeps it out of use on that day, today from now on, what lasts longest.
    pub out: Option<Outage>,
    /// The deeds by which it can't be used now, each with its entry in the log.
    pub deeds: Vec<(i64, Event)>,
    /// What was said last of it and can be taken back, `out` or `back`, with its entry in the log.
    pub undo: Option<(i64, &'static str)>,
    /// The plate that runs on it.
    pub plate: Option<u64>,
    /// When what it had made was recalled last, as long as nothing has come off its bed since.
    pub drifted: Option<EventMs>,
}

impl PrinterUse {
    /// Whether it is out of use at that moment.
    #[must_use]
    pub fn is_out_at(&self, at: Minute) -> bool {
        self.out
            .as_ref()
            .is_some_and(|out| out.from <= at && at < out.until)
    }
}

/// How the printers of that name can be used on a day.
pub(super) async fn uses(
    session: &Session,
    books: &Books,
    (printers, date): (&[String], Date),
) -> Result<Vec<PrinterUse>, WorkshopError> {
    let (store, region) = session.writable()?;
    let (zone, now) = (&session.terrain.zone, session.minute());
    let next = date.checked_add(1.day()).unwrap_or(date);
    let begins = zone.minute(date, Time::midnight()).max(now);
    let ends = zone.minute(next, Time::midnight());
    let running = books.running();
    let terrain = &session.terrain;
    let machines = printers.iter().map(|name| terrain.file.machine_of(name));
    let machines: Vec<&str> = machines.collect();
    let told = store.told_of_each(region, &machines, now).await?;
    let one = |(name, told): (&String, ToldOfUse)| {
        let all = session.outages.iter();
        let own = all.filter(|one| terrain.is_same_machine(&one.printer, name));
        let on_day = own.filter(|one| one.from < ends && begins < one.until);
        let undo = |(entry, event): &(i64, Event)| Some((*entry, undone_of(session, event)?));
        PrinterUse {
            printer: name.clone(),
            out: on_day.max_by_key(|one| one.until).cloned(),
            undo: told.last.as_ref().and_then(undo),
            deeds: told.out,
            drifted: drifted(session, books, name),
            plate: (running.iter().find(|(_, _, on)| on == name)).map(|(seq, ..)| seq.0),
        }
    };
    Ok(printers.iter().zip(told).map(one).collect())
}

/// When what a printer had made was recalled last, unless it was lifted or something has come off its bed
/// since.
fn drifted(session: &Session, books: &Books, printer: &str) -> Option<EventMs> {
    let terrain = &session.terrain;
    let all = recalls(books).into_iter();
    let own = all.filter(|one| match &one.target {
        Target::Printer { name, .. } => terrain.is_same_machine(name, printer),
        Target::Version { .. } => false,
    });
    let last = own
        .filter(|one| one.lifted.is_none())
        .map(|one| one.at)
        .max()?;
    let mut steps = books.floor.steps.iter();
    let made = steps.any(|step| {
        let off = step.kind == StepKind::Off && last < step.at;
        let its = || terrain.is_same_machine(&step.printer, printer);
        off && its()
            && books
                .step(step.plate, StepKind::Started)
                .is_some_and(|begun| last < begun.at)
    });
    (!made).then_some(last)
}
