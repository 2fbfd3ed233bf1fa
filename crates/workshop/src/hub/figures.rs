//! A hub's own figures over a week, and what moved them since the week before.

use jiff::Span;
use jiff::civil::{Date, Time};
use partpledge_catalogue::region::RegionFile;
use partpledge_hubs::figures::time_through_min;
use partpledge_hubs::moved::{OfPace, OfWork, of_cycle, of_share, of_takt, of_work};
use partpledge_hubs::{Change, Pace, Share, Stay, Work};
use partpledge_planning_model::{Window, Windows};
use partpledge_records::{KeptPlate, PlateState, PledgeKind, RunStep, StepKind};
use partpledge_units::local::parse_date;
use partpledge_units::time::Minute;

use super::Hub;
use super::causes::{Cause, Happened};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::plate_room::printer_of;
use crate::session::Session;
use crate::terrain::Terrain;

/// A hub's week.
#[derive(Clone, Debug, PartialEq)]
pub struct HubWeek {
    /// From the Monday's first minute.
    pub from: Minute,
    /// Until the Sunday's last, or now.
    pub until: Minute,
    /// Requests handed over complete by the promised time, of those promised for this week.
    pub on_time: Share<Cause>,
    /// Copies that were good at their first printing, of those whose first printing ended.
    pub first_pass: Share<Cause>,
    /// Staffed minutes, plates asked and plates done.
    pub pace: Pace<String>,
    /// Copies between start and hand-over, on average.
    pub work: Work,
    /// Minutes from start to hand-over of a copy, on average; `None` when none was handed over.
    pub through_min: Option<f64>,
}

/// A week and the one before, with what moved each figure.
#[derive(Clone, Debug, PartialEq)]
pub struct HubFigures {
    /// Monday of the week.
    pub monday: Date,
    /// Whether the week is still going on: then both are counted as far as it has come.
    pub so_far: bool,
    /// The week.
    pub now: HubWeek,
    /// The one before.
    pub before: HubWeek,
    /// What moved on time in full; `None` when either week has none.
    pub on_time: Option<Change<Cause>>,
    /// What moved first-pass yield.
    pub first_pass: Option<Change<Cause>>,
    /// What moved the takt, min.
    pub takt: Option<Change<OfPace<String>>>,
    /// What moved the cycle, min.
    pub cycle: Option<Change<OfPace<String>>>,
    /// What moved the work in progress, copies.
    pub work: Change<OfWork>,
}

/// The figures of the week that a day is in.
///
/// # Errors
/// [`WorkshopError::NotAllowed`], [`WorkshopError::NotYours`] as [`Hub::of`];
/// [`WorkshopError::OutOfRange`] for a week that is still to come; [`WorkshopError::Store`].
pub async fn figures(
    session: &Session,
    actor: &Actor,
    books: &Books,
    (code, day): (&str, Date),
) -> Result<HubFigures, WorkshopError> {
    Hub::of(session, actor, code).await?;
    let zone = &session.terrain.zone;
    let back = i64::from(day.weekday().to_monday_zero_offset());
    let shifted = |days: i64| day.saturating_add(Span::new().days(days));
    let begins = |days: i64| zone.minute(shifted(days - back), Time::midnight());
    let (from, ends, last) = (begins(0), begins(7), begins(-7));
    let now = session.minute();
    if from > now {
        let (what, range) = ("the week", "one that has begun");
        return Err(WorkshopError::OutOfRange { what, range });
    }
    let until = ends.min(now);
    let so_far = until < ends;
    // As far as this week has come, by its own clock.
    let upto = if so_far { last + (until - from) } else { from };
    let (store, region) = session.writable()?;
    let look = Look {
        session,
        books,
        code,
        happened: Happened::read(store, region).await?,
    };
    let hours = hours(session, code, [(last, from), (from, ends)]).await?;
    let before = look.week((last, upto), &hours[0])?;
    let now = look.week((from, until), &hours[1])?;
    Ok(HubFigures {
        monday: shifted(-back),
        so_far,
        on_time: of_share(&before.on_time, &now.on_time),
        first_pass: of_share(&before.first_pass, &now.first_pass),
        takt: of_takt(&before.pace, &now.pace),
        cycle: of_cycle(&before.pace, &now.pace),
        work: of_work(&before.work, &now.work),
        now,
        before,
    })
}

/// A hub's hours in each stretch by the week alone, without any closure: as the region file had them at
/// its end.
async fn hours(
    session: &Session,
    code: &str,
    stretches: [Stretch; 2],
) -> Result<[Windows; 2], WorkshopError> {
    let (store, region) = session.writable()?;
    let documents = store.region_documents(region).await?;
    let changed = store.region_files(region).await?;
    let of = |(from, until): Stretch| -> Result<Windows, WorkshopError> {
        // Who asks for older changes than are listed gets the file before the first of those.
        let stood = changed.iter().find(|one| one.at < until.to_ms());
        let first = changed.last().map_or(0, |one| one.revision - 1);
        let revision = stood.map_or(first, |one| one.revision);
        let back = usize::try_from(revision).ok();
        let document = back.and_then(|back| documents.iter().rev().nth(back));
        let mut file = match document.filter(|_| revision != session.file_revision) {
            Some(text) => RegionFile::parse(text, &session.catalogue)?,
            None => session.terrain.file.clone(),
        };
        file.closures.clear();
        file.hosts.iter_mut().for_each(|host| host.closures.clear());
        let Some(site) = file.hosts.iter().position(|host| host.school == code) else {
            return Ok(Windows::default());
        };
        let terrain = Terrain::covering(file, &session.catalogue, from, until)?;
        Ok(terrain.region.sites[site].staffed.clone())
    };
    let [before, now] = stretches.map(of);
    Ok([before?, now?])
}

/// What a week is read off.
struct Look<'a> {
    session: &'a Session,
    books: &'a Books,
    code: &'a str,
    happened: Happened,
}

/// A run of this bench that ended, good or not.
struct Ending<'a> {
    /// The row that speaks for the plate.
    kept: &'a KeptPlate,
    /// Why it failed, if it did.
    failed: Option<&'a RunStep>,
    /// Copies of everybody on it.
    copies: u32,
    /// Those of them that were good.
    good: u32,
}

type Stretch = (Minute, Minute);

fn within((from, until): Stretch, at: Minute) -> bool {
    from <= at && at < until
}

fn length(windows: &Windows) -> i64 {
    let each = windows.as_slice().iter();
    each.map(|window| window.until.0 - window.from.0).sum()
}

impl Look<'_> {
    fn week(&self, stretch: Stretch, hours: &Windows) -> Result<HubWeek, WorkshopError> {
        let stays = self.stays();
        Ok(HubWeek {
            from: stretch.0,
            until: stretch.1,
            on_time: self.on_time(stretch),
            first_pass: self.first_pass(stretch),
            pace: self.pace(stretch, hours)?,
            work: Work::over(&stays, stretch),
            through_min: time_through_min(&stays, stretch),
        })
    }

    /// When a plate was begun, or is planned to be.
    fn begins(&self, kept: &KeptPlate) -> Option<Minute> {
        let started = self.books.step(kept.plate.seq.0, StepKind::Started);
        let started = started.map(|step| Minute::at_or_after(step.at));
        started.or_else(|| self.books.place(kept).map(|place| place.start))
    }

    /// Whether a plate is, or was, this bench's.
    fn is_ours(&self, kept: &KeptPlate) -> bool {
        let terrain = &self.session.terrain;
        let printer = printer_of(self.session, self.books, kept);
        let printer = printer.and_then(|name| terrain.printer_of(&name));
        let school = terrain.file.school(self.code);
        let at = printer.zip(self.begins(kept)).zip(school);
        kept.state != PlateState::Withdrawn
            && at.is_some_and(|((printer, begins), school)| {
                terrain.host_at(printer, begins) == school.name
            })
    }

    fn on_time(&self, stretch: Stretch) -> Share<Cause> {
        let mut share = Share::default();
        for listed in &self.books.requests {
            let request = listed.request.id;
            let Some(promised) = self.books.pledge_of(request) else {
                continue;
            };
            let ours = self.books.plates_of(request).any(|kept| self.is_ours(kept));
            if !ours || !within(stretch, promised.pledge.arrival) {
                continue;
            }
            match promised.end.as_ref().map(|end| end.kind) {
                Some(PledgeKind::Withdrawn | PledgeKind::Superseded) => {}
                Some(PledgeKind::Kept) => share.good += 1,
                Some(PledgeKind::Broken | PledgeKind::Given) | None => {
                    let about = (self.code, request, promised);
                    share.lose(self.happened.cause(self.session, self.books, about), 1);
                }
            }
        }
        share
    }

    /// Every plate that is this bench's, by the row that speaks for it: whoever was called back is not
    /// on it any more, and the others are.
    fn plates(&self) -> impl Iterator<Item = &KeptPlate> {
        let printed = self.books.floor.kept.iter();
        let printed = printed.filter(|kept| kept.joins.is_none());
        let speaks = printed.map(move |kept| self.books.speaks_for(kept));
        speaks.filter(move |kept| self.is_ours(kept))
    }

    /// Runs that ended, of whatever plate: what was learned of them is less, and not asked here.
    fn ended(&self, stretch: Stretch) -> impl Iterator<Item = Ending<'_>> {
        let ended = self.plates().filter_map(move |kept| {
            let step = |kind| self.books.step(kept.plate.seq.0, kind);
            let failed = step(StepKind::Failed);
            let end = failed.or(step(StepKind::Off))?;
            let all = self.books.company(kept);
            let copies: u32 = all.iter().map(|row| row.plate.copies).sum();
            Some((
                Minute::at_or_after(end.at),
                Ending {
                    kept,
                    failed,
                    copies,
                    good: end.good.unwrap_or(0).min(copies),
                },
            ))
        });
        let own = ended.filter(move |(at, _)| within(stretch, *at));
        own.map(|(_, ending)| ending)
    }

    fn first_pass(&self, stretch: Stretch) -> Share<Cause> {
        let mut share = Share::default();
        for run in self.ended(stretch) {
            let seq = run.kept.on().0;
            if self.happened.again.binary_search(&seq).is_ok() {
                continue;
            }
            share.good += run.good;
            let reason = run.failed.and_then(|step| step.reason.clone());
            let cause = reason.map_or(Cause::NotGood, Cause::Failed);
            share.lose(cause, run.copies - run.good);
        }
        share
    }

    fn pace(&self, stretch: Stretch, hours: &Windows) -> Result<Pace<String>, WorkshopError> {
        let (from, until) = stretch;
        let all = Windows::joined(vec![Window { from, until }]);
        let outside = hours.without(&all);
        let mut open = hours.without(&outside);
        let mut pace = Pace {
            hours_min: length(&open),
            ..Pace::default()
        };
        for (reason, window) in self.closures()? {
            let left = open.without(&Windows::joined(vec![window]));
            let took = length(&open) - length(&left);
            if took > 0 {
                *pace.closed_min.entry(reason).or_default() += took;
            }
            open = left;
        }
        let asked = self.plates();
        let asked = asked.filter(|kept| within(stretch, kept.plate.release));
        pace.asked = many(asked.count());
        pace.done = many(self.ended(stretch).count());
        Ok(pace)
    }

    /// Closures of this bench: of the region, its own, and those told since.
    fn closures(&self) -> Result<Vec<(String, Window)>, WorkshopError> {
        let file = &self.session.terrain.file;
        let own = file.hub(self.code).map_or(&[][..], |host| &host.closures);
        let zone = &self.session.terrain.zone;
        let mut out = Vec::new();
        for closure in file.closures.iter().chain(own) {
            let (first, last) = (parse_date(&closure.from)?, parse_date(&closure.to)?);
            let after = last.saturating_add(Span::new().days(1));
            let window = Window {
                from: zone.minute(first, Time::midnight()),
                until: zone.minute(after, Time::midnight()),
            };
            out.push((closure.reason.clone(), window));
        }
        for closure in self.session.closures.iter().map(|kept| &kept.closure) {
            if closure.schools.iter().any(|school| school == self.code) {
                let (from, until) = (closure.from, closure.until);
                out.push((closure.reason.clone(), Window { from, until }));
            }
        }
        Ok(out)
    }

    /// Every share of a plate that this bench has started.
    fn stays(&self) -> Vec<Stay> {
        let started = self
            .books
            .floor
            .kept
            .iter()
            .filter(|kept| self.is_ours(kept));
        started.flat_map(|kept| self.stays_of(kept)).collect()
    }

    /// What is good of a share goes on to its team; what was lost is gone when it came off.
    fn stays_of(&self, kept: &KeptPlate) -> Vec<Stay> {
        let step = |kind| {
            let step = self.books.step(kept.plate.seq.0, kind)?;
            Some(Minute::at_or_after(step.at))
        };
        let Some(start) = step(StepKind::Started) else {
            return Vec::new();
        };
        let off = step(StepKind::Off).or(step(StepKind::Failed));
        let there = many(self.books.copies_on(kept).count()).min(kept.plate.copies);
        // What was begun after its promise had ended is handed over by its own step alone.
        let came = self.books.came(kept.request).map(Minute::at_or_after);
        let came = came.filter(|came| *came >= start);
        let good = Stay {
            copies: there,
            start,
            off,
            boxed: step(StepKind::Boxed),
            gone: step(StepKind::HandedOver).or(came),
        };
        let lost = Stay {
            copies: kept.plate.copies - there,
            boxed: off,
            gone: off,
            ..good
        };
        [good, lost]
            .into_iter()
            .filter(|stay| stay.copies > 0)
            .collect()
    }
}

fn many(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}
