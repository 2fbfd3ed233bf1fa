//! What a host's bench reads and does.

use std::collections::BTreeMap;

use axum::body::Body;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use partpledge_planning_model::Window;
use partpledge_records::{KeptPlate, PlateState};
use partpledge_units::local::{Zone, parse_date, parse_rfc3339};
use partpledge_units::time::Minute;
use partpledge_workshop::bench::{Act, Good, Shown, Told, act};
use partpledge_workshop::boxes::{Hitch, NoCode, open_boxes};
use partpledge_workshop::hub::{Doing, Hub, Subject};
use partpledge_workshop::plate_room::{laid_plate, printer_of};
use partpledge_workshop::programs::program_for_plate;
use partpledge_workshop::run_sheet::{Beside, Job, JobKind, JobState, RunSheet, line, run_sheet};
use partpledge_workshop::{Actor, Books, Role, Session};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::boxes::{BoxOut, stop};
use super::call::{Answer, Call, done, fresh, page_of};
use super::doubts::doubt;
use super::machines::PrinterSaysOut;
use super::measured::{CopyIn, CriticalDimensionOut, dimensions_out, inspected, settled};
use super::out::{DoneOut, Paging, at};
use super::problem::Problem;
use crate::routes::boxes::goes_to;

/// When people are there.
#[derive(Serialize, ToSchema)]
#[schema(as = Window)]
pub(crate) struct WindowOut {
    #[schema(format = DateTime)]
    from: String,
    #[schema(format = DateTime)]
    until: String,
}

impl WindowOut {
    pub(crate) fn new(zone: &Zone, window: Window) -> Self {
        Self {
            from: at(zone, window.from),
            until: at(zone, window.until),
        }
    }
}

/// What another request has on a plate.
#[derive(Serialize, ToSchema)]
#[schema(as = Beside)]
struct BesideOut {
    /// Number of its share, by which its good copies are counted.
    share: u64,
    part: String,
    team: String,
    copies: usize,
    /// Their numbers within the request.
    copy_numbers: Vec<i64>,
    /// Sizes that must be right, measured on each copy.
    critical_dimensions: Vec<CriticalDimensionOut>,
    #[schema(format = DateTime)]
    promised: Option<String>,
}

/// One line of the run sheet.
#[derive(Serialize, ToSchema)]
#[schema(as = Job)]
struct JobOut {
    /// `load`, `look`, `stop`, `clear`, `box` or `hand-over`. `stop` has no deed of its own: people leave then,
    /// and nobody has permitted the printer to run alone; what was stopped is told with `fail`.
    kind: &'static str,
    /// When: as it was done, or as it is planned.
    #[schema(format = DateTime)]
    at: String,
    /// `done`, `failed`, `ready` or `waits`.
    state: &'static str,
    /// Why it failed.
    reason: Option<String>,
    /// What keeps its box where it is: `taken-down` or `recalled`.
    stopped: Option<&'static str>,
    plate: u64,
    /// Number under which the request's share of the plate is kept; its box goes by this.
    share: u64,
    label: String,
    part: String,
    team: String,
    /// Number of the request.
    request: i64,
    material: String,
    sheet: String,
    copies: usize,
    /// Their numbers within the request.
    copy_numbers: Vec<i64>,
    /// Sizes that must be right. With one, for whichever request on the plate, a plate comes off the bed
    /// by `inspect`, not by `off`.
    critical_dimensions: Vec<CriticalDimensionOut>,
    mass_g: Option<f64>,
    printer: String,
    /// Where its box goes.
    to: String,
    #[schema(format = DateTime)]
    promised: Option<String>,
    nozzle_c: f64,
    bed_c: f64,
    /// What else lies on the plate.
    others: Vec<BesideOut>,
    /// At a bench that students run: who could do it, or that an adult is asked; left out when
    /// somebody there may.
    #[serde(skip_serializing_if = "Option::is_none")]
    ask: Option<String>,
}

fn job_out(zone: &Zone, (job, ask): (Job, Option<String>)) -> JobOut {
    let plate = job.plate;
    let (state, reason) = match job.state {
        JobState::Done(_) => ("done", None),
        JobState::Failed(_, reason) => ("failed", Some(reason)),
        JobState::Ready => ("ready", None),
        JobState::Waits => ("waits", None),
    };
    let beside = |other: Beside| BesideOut {
        share: other.share,
        part: other.part,
        team: other.team,
        copies: other.copies,
        copy_numbers: other.numbers,
        critical_dimensions: dimensions_out(&other.dimensions),
        promised: other.promised.map(|promised| at(zone, promised)),
    };
    JobOut {
        kind: match job.kind {
            JobKind::Load => "load",
            JobKind::Look => "look",
            JobKind::Stop => "stop",
            JobKind::Clear => "clear",
            JobKind::Box => "box",
            JobKind::HandOver => "hand-over",
        },
        at: at(zone, job.at),
        state,
        reason,
        stopped: plate.stopped.map(stop),
        plate: plate.seq,
        share: plate.share,
        label: plate.label,
        part: plate.part,
        team: plate.team,
        request: plate.request,
        material: plate.material,
        sheet: plate.sheet,
        copies: plate.copies,
        copy_numbers: plate.numbers,
        critical_dimensions: dimensions_out(&plate.dimensions),
        mass_g: plate.mass_g,
        printer: plate.printer,
        to: plate.to,
        promised: plate.promised.map(|promised| at(zone, promised)),
        nozzle_c: plate.heat_c.0,
        bed_c: plate.heat_c.1,
        others: plate.others.into_iter().map(beside).collect(),
        ask,
    }
}

/// A host's day.
#[derive(Serialize, ToSchema)]
#[schema(as = RunSheet)]
pub(crate) struct RunSheetOut {
    schema: u32,
    host: String,
    #[schema(format = Date)]
    day: String,
    /// When people are there that day.
    staffed: Vec<WindowOut>,
    /// When people are there next after that day.
    next: Option<WindowOut>,
    jobs: Vec<JobOut>,
    printers: Vec<String>,
    /// What those of them say of themselves that have an agent, now.
    printers_say: Vec<PrinterSaysOut>,
}

impl RunSheetOut {
    fn new(session: &Session, sheet: RunSheet, hub: Option<&Hub>) -> Self {
        let zone = &session.terrain.zone;
        let ask = |job: &Job| {
            let open = matches!(job.state, JobState::Ready | JobState::Waits);
            let subject = Subject {
                printer: &job.plate.printer,
                material: &job.plate.material,
                place: job.plate.place.as_ref(),
                ahead: true,
            };
            let what = (Doing::of_job(job.kind), &subject);
            let ask = hub.filter(|_| open)?.asks(session, what, session.now)?;
            Some(ask.words())
        };
        let asks: Vec<Option<String>> = sheet.jobs.iter().map(ask).collect();
        let windows = sheet.staffed.iter();
        let says = sheet.machines.iter();
        let says = says.map(|one| PrinterSaysOut::new(session, one));
        Self {
            schema: 1,
            host: sheet.host,
            day: sheet.date.to_string(),
            staffed: windows.map(|w| WindowOut::new(zone, *w)).collect(),
            next: sheet.next.map(|window| WindowOut::new(zone, window)),
            jobs: (sheet.jobs.into_iter().zip(asks))
                .map(|job| job_out(zone, job))
                .collect(),
            printers: sheet.printers,
            printers_say: says.collect(),
        }
    }
}

/// Which day.
#[derive(Deserialize)]
struct Day {
    day: Option<String>,
}

/// Whether the bench of the address is one's own.
fn at_bench(call: &Call) -> Result<String, Problem> {
    let code = call.name("code").to_owned();
    match call.actor().role() {
        Role::Host(own) if *own != code => Err(Problem::not_for_role()),
        _ => Ok(code),
    }
}

fn known_host(session: &Session, code: &str) -> Result<(), Problem> {
    let mut hosts = session.terrain.file.hosts.iter();
    let known = hosts.any(|host| host.school == code);
    known.then_some(()).ok_or_else(Problem::not_there)
}

/// `GET /api/v1/run-sheets/{code}`.
pub(crate) async fn sheet(call: Call) -> Answer {
    let code = at_bench(&call)?;
    let asked: Day = call.query()?;
    let (session, books) = call.looked().await?;
    known_host(&session, &code)?;
    let zone = &session.terrain.zone;
    let date = match asked.day.as_deref() {
        None => zone.date(session.minute()),
        Some(text) => parse_date(text).map_err(|_| Problem::bad("day", "a day like 2027-03-11"))?,
    };
    let sheet = run_sheet(&session, &books, &code, date).await?;
    // A coordinator is an adult by themselves.
    let hub = match call.actor().role() {
        Role::Coordinator => None,
        _ => Hub::open(&session, &code).await?,
    };
    let out = RunSheetOut::new(&session, sheet, hub.as_ref());
    Ok(fresh(call.headers(), &out))
}

/// Something that was done at the bench.
#[derive(Deserialize, ToSchema)]
#[schema(as = Deed)]
#[serde(deny_unknown_fields)]
pub(crate) struct DeedIn {
    deed: DeedKind,
    /// Number of the plate; for `box` and all that comes after it, of the share.
    plate: u64,
    /// Good copies, for `off` and `fail`.
    good: Option<u32>,
    /// Good copies of the other shares of the plate, by number of share.
    #[serde(default)]
    good_of: BTreeMap<String, u32>,
    /// Every copy on the plate for `inspect`, the one copy for `settle`.
    #[serde(default)]
    copies: Vec<CopyIn>,
    /// Why, for `fail` and `put-out`.
    #[schema(min_length = 1, max_length = 200)]
    reason: Option<String>,
    /// Until when the printer can't be used, for `fail` and `put-out`.
    #[schema(format = DateTime)]
    out_until: Option<String>,
    /// The box's code as the team told it, for `hand-over`.
    #[schema(max_length = 20)]
    code: Option<String>,
    /// For `hand-over` without a code: `no-code-yet`, `without-code` or `taken-for-them`; for `miss-leg`:
    /// `no-courier`, `not-ready`, `left-behind` or `nobody-came`; for `doubt-box`: `box-gone`,
    /// `box-never-came` or `wrong-parts`.
    why: Option<String>,
    /// When the leg left that the box missed, as its `leaves` had it; needed for `miss-leg`, so that
    /// said twice it counts once.
    #[schema(format = DateTime)]
    leaves: Option<String>,
    /// For `recall-good`, `recall-bad` and a recalled copy of `settle`, what the copies were checked for: `printer-drifted` or
    /// `file-replaced`, as the box's `recalled_for` has it. Without it, what was asked first.
    about: Option<String>,
    /// When it was done; now when not said. Not more than two days ago.
    #[schema(format = DateTime)]
    occurred_at: Option<String>,
}

/// What is done at a bench.
#[derive(Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
enum DeedKind {
    /// The plate runs.
    Start,
    /// The first layer looks good.
    Look,
    /// Off the bed, counted.
    Off,
    /// Off the bed, every copy looked at, and measured where it has critical dimensions.
    Inspect,
    /// A copy that was held is good or scrap; `plate` is its share. The same of a copy that was recalled.
    Settle,
    /// It failed.
    Fail,
    /// The printer can't be used; the plate goes elsewhere.
    PutOut,
    /// The copies are in their box.
    Box,
    /// The box has left.
    Leave,
    /// The team has its box.
    HandOver,
    /// The box did not go.
    MissLeg,
    /// The box is lost, or has the wrong parts in it; the coordinator decides.
    DoubtBox,
    /// Recalled copies of the share that its team does not have were checked: all are good. The bench that
    /// made them tells by `settle` what was measured of each, if they have critical dimensions and their
    /// printer drifted.
    RecallGood,
    /// The same: none is good, and they are made again.
    RecallBad,
}

/// A reason as it is kept.
pub(crate) fn few_words(text: &str) -> Result<String, Problem> {
    let text = text.trim();
    let fits = (1..=200).contains(&text.chars().count());
    let plain = !text.chars().any(char::is_control);
    let fits = (fits && plain).then(|| text.to_owned());
    fits.ok_or_else(|| Problem::bad("reason", "a few words, 200 letters at most"))
}

impl DeedIn {
    fn good(&self) -> Result<Good, Problem> {
        let bad = || Problem::bad("good_of", "numbers of shares with their good copies");
        let one = |(share, good): (&String, &u32)| Ok((share.parse().map_err(|_| bad())?, *good));
        Ok(Good {
            first: self
                .good
                .ok_or_else(|| Problem::bad("good", "the number of good copies"))?,
            others: self
                .good_of
                .iter()
                .map(one)
                .collect::<Result<_, Problem>>()?,
        })
    }

    fn reason(&self) -> Result<String, Problem> {
        few_words(self.reason.as_deref().unwrap_or_default())
    }

    fn out_until(&self, now: Minute) -> Result<Option<Minute>, Problem> {
        let read = |text: &String| super::asking::time("out_until", text, now);
        self.out_until.as_ref().map(read).transpose()
    }

    fn shown(&self) -> Result<Shown, Problem> {
        let code = self.code.as_deref().map(str::trim);
        if let Some(code) = code.filter(|code| !code.is_empty()) {
            return Ok(Shown::Code(code.to_owned()));
        }
        let why = self.why.as_deref().and_then(NoCode::parse);
        let bad = || {
            Problem::bad(
                "why",
                "no-code-yet, without-code or taken-for-them, if there is no code",
            )
        };
        Ok(Shown::Nothing(why.ok_or_else(bad)?))
    }

    fn miss(&self) -> Result<Act, Problem> {
        let why = self.why.as_deref().and_then(Hitch::parse);
        let range = "no-courier, not-ready, left-behind or nobody-came";
        let why = why.ok_or_else(|| Problem::bad("why", range))?;
        let leaves = self
            .leaves
            .as_deref()
            .and_then(|text| parse_rfc3339(text).ok());
        let bad = || {
            Problem::bad(
                "leaves",
                "when the leg left, as the box’s own leaves has it",
            )
        };
        let leaves = leaves.map(Minute::at_or_after).ok_or_else(bad)?;
        Ok(Act::MissLeg { leaves, why })
    }

    fn check(&self, good: bool) -> Act {
        let about = self.about.clone().unwrap_or_default();
        Act::Check { about, good }
    }

    fn act(&self, now: Minute) -> Result<Act, Problem> {
        let until = self.out_until(now)?;
        Ok(match self.deed {
            DeedKind::Start => Act::Start,
            DeedKind::Look => Act::Look,
            DeedKind::Off => Act::TakeOff { good: self.good()? },
            DeedKind::Inspect => inspected(self.plate, &self.copies)?,
            DeedKind::Settle => {
                let about = self.about.as_deref().unwrap_or_default();
                settled(self.plate, &self.copies, about)?
            }
            DeedKind::Fail => Act::Fail {
                reason: self.reason()?,
                good: self.good()?,
                out_until: until,
            },
            DeedKind::PutOut => Act::PutOut {
                reason: self.reason()?,
                until: until.ok_or_else(|| Problem::bad("out_until", "a time still to come"))?,
            },
            DeedKind::Box => Act::Box,
            DeedKind::Leave => Act::Leave,
            DeedKind::HandOver => Act::HandOver(self.shown()?),
            DeedKind::MissLeg => self.miss()?,
            DeedKind::RecallGood => self.check(true),
            DeedKind::RecallBad => self.check(false),
            DeedKind::DoubtBox => Act::Doubt(doubt(self.why.as_deref().unwrap_or_default())?),
        })
    }
}

/// `POST /api/v1/run-sheets/{code}/deeds`.
pub(crate) async fn deed(call: Call) -> Answer {
    let (code, key, actor) = (at_bench(&call)?, call.key()?, call.actor());
    let (session, books) = call.looked().await?;
    known_host(&session, &code)?;
    let site = call.site.clone();
    let told: DeedIn = call.json().await?;
    let plate = told.plate;
    let kept = books.plate(plate).ok_or_else(Problem::not_there)?;
    let kept = books.speaks_for(kept);
    let at = line(&session, &books, kept).await?.map(|line| line.host);
    let school = session.terrain.file.school(&code);
    let of_box = matches!(
        told.deed,
        DeedKind::HandOver | DeedKind::DoubtBox | DeedKind::RecallGood | DeedKind::RecallBad
    );
    let comes_here = of_box && goes_to(&session, kept, &code);
    if at.as_deref() != school.map(|school| school.name.as_str()) && !comes_here {
        return Err(Problem::not_there());
    }
    let what = told.act(session.minute())?;
    let when = match &told.occurred_at {
        None => session.now,
        Some(text) => {
            let bad = |_| Problem::bad("occurred_at", "a time like 2027-03-09T16:52:00+01:00");
            parse_rfc3339(text).map_err(bad)?
        }
    };
    let work = async move {
        let told = Told {
            key: Some(&key),
            done_at: Some(when),
            printer: None,
        };
        act(&session, &actor, plate, &what, told).await
    };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}

/// Boxes of a bench that are to be handed over.
#[derive(Serialize, ToSchema)]
#[schema(as = Boxes)]
pub(crate) struct BoxesOut {
    schema: u32,
    items: Vec<BoxOut>,
}

/// `GET /api/v1/run-sheets/{code}/boxes`: made there, or going there. Without their codes.
pub(crate) async fn boxes(call: Call) -> Answer {
    let code = at_bench(&call)?;
    let (session, books) = call.looked().await?;
    known_host(&session, &code)?;
    let lines = open_boxes(&session, &books, Some(&code));
    let zone = &session.terrain.zone;
    let out = BoxesOut {
        schema: 1,
        items: (lines.iter())
            .map(|line| BoxOut::new(zone, line).with_doubt(&books))
            .collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// A plate.
#[derive(Serialize, ToSchema)]
#[schema(as = Plate)]
struct PlateOut {
    plate: u64,
    label: String,
    material: String,
    copies: u32,
    printer: Option<String>,
    host: Option<String>,
    #[schema(format = DateTime)]
    start: Option<String>,
    #[schema(format = DateTime)]
    end: Option<String>,
    /// `running`, `planned`, `no place yet`; later `off`, `lost` or `withdrawn`.
    state: &'static str,
}

/// Plates that are planned or run, in order of number.
#[derive(Serialize, ToSchema)]
#[schema(as = Plates)]
pub(crate) struct PlatesOut {
    schema: u32,
    items: Vec<PlateOut>,
    /// The cursor of what comes after; nothing at the end.
    next: Option<String>,
}

/// One plate.
#[derive(Serialize, ToSchema)]
#[schema(as = OnePlate)]
pub(crate) struct OnePlateOut {
    schema: u32,
    plate: PlateOut,
}

fn host_of(session: &Session, books: &Books, kept: &KeptPlate) -> Option<String> {
    let printer = session
        .terrain
        .printer_of(&printer_of(session, books, kept)?)?;
    let begins = books.place(kept).map_or(session.minute(), |p| p.start);
    Some(session.terrain.host_at(printer, begins).to_owned())
}

fn plate_out(session: &Session, books: &Books, kept: &KeptPlate) -> PlateOut {
    let zone = &session.terrain.zone;
    let place = books.place(kept);
    let whole = books.whole(kept).unwrap_or(&kept.plate);
    PlateOut {
        plate: kept.on().0,
        label: whole.label.clone(),
        material: whole.material.clone(),
        copies: whole.copies,
        printer: printer_of(session, books, kept),
        host: host_of(session, books, kept),
        start: place.map(|place| at(zone, place.start)),
        end: place.map(|place| at(zone, place.end)),
        state: match (kept.state, books.runs(kept), place) {
            (PlateState::Off, ..) => "off",
            (PlateState::Lost, ..) => "lost",
            (PlateState::Withdrawn, ..) => "withdrawn",
            (PlateState::Open, true, _) => "running",
            (PlateState::Open, false, Some(_)) => "planned",
            (PlateState::Open, false, None) => "no place yet",
        },
    }
}

/// `GET /api/v1/plates`: those of one's own bench; all of them for the coordinator.
pub(crate) async fn plates(call: Call) -> Answer {
    let paging: Paging = call.query()?;
    let (session, books) = call.looked().await?;
    let own = match call.actor().role() {
        Role::Host(code) => session.terrain.file.school(code).map(|s| s.name.clone()),
        _ => None,
    };
    // What joined a plate is told with it.
    let first = |kept: &KeptPlate| books.company(kept).first().map(|row| row.plate.seq);
    let told =
        |kept: &&KeptPlate| kept.state == PlateState::Open && first(kept) == Some(kept.plate.seq);
    let here = |kept: &&KeptPlate| own.is_none() || host_of(&session, &books, kept) == own;
    let kept = books.floor.kept.iter().filter(told).filter(here);
    let numbered = kept.map(|kept| (i64::try_from(kept.on().0).unwrap_or(i64::MAX), kept));
    let (items, next) = page_of(numbered, &paging)?;
    let items = items.into_iter();
    let out = PlatesOut {
        schema: 1,
        items: items
            .map(|kept| plate_out(&session, &books, kept))
            .collect(),
        next,
    };
    Ok(fresh(call.headers(), &out))
}

/// The plate of the address, as the first that lies on it.
fn found(call: &Call, books: &Books) -> Result<KeptPlate, Problem> {
    call.actor().must_see_plates()?;
    let kept = books.plate(call.number("seq")?);
    let kept = kept.ok_or_else(Problem::not_there)?;
    let company = books.company(kept);
    Ok((*company.first().unwrap_or(&kept)).clone())
}

/// The same for its files: while a part on it is taken down, they are for the coordinator alone.
fn with_files(call: &Call, books: &Books) -> Result<KeptPlate, Problem> {
    let kept = found(call, books)?;
    let coordinates = *call.actor().role() == Role::Coordinator;
    let hidden = books.carries_down(&kept) && !coordinates;
    (!hidden).then_some(kept).ok_or_else(Problem::not_there)
}

/// `GET /api/v1/plates/{seq}`.
pub(crate) async fn plate(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let kept = found(&call, &books)?;
    let out = OnePlateOut {
        schema: 1,
        plate: plate_out(&session, &books, &kept),
    };
    Ok(fresh(call.headers(), &out))
}

/// `GET /api/v1/plates/{seq}/plate.3mf`.
pub(crate) async fn three_mf(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let kept = with_files(&call, &books)?;
    let work = async move { laid_plate(&session, &books, &kept).await };
    let laid = call.site.heavy(Box::pin(work)).await?;
    let laid = laid.ok_or_else(Problem::not_there)?;
    let headers = [
        (header::CONTENT_TYPE, "model/3mf"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    Ok((headers, Body::from(laid.three_mf())).into_response())
}

/// What is sent with a program.
#[derive(ToSchema)]
#[schema(as = ProgramForm)]
#[expect(
    dead_code,
    reason = "only described here; the form is read part by part"
)]
pub(crate) struct ProgramForm {
    /// The program that the printer will run.
    #[schema(value_type = String, format = Binary)]
    file: Vec<u8>,
}

/// `POST /api/v1/plates/{seq}/program`.
pub(crate) async fn program(call: Call) -> Answer {
    let (key, actor): (String, Actor) = (call.key()?, call.actor());
    let (session, books) = call.looked().await?;
    let kept = with_files(&call, &books)?;
    actor.must_work_at(&session, &books, &kept)?;
    let site = call.site.clone();
    let _turn = site.turn_to_send(actor.person()).await;
    let (_, name, bytes) = call.form().await?;
    let seq = kept.on().0;
    let work =
        async move { program_for_plate(&session, &actor, seq, (&bytes, &name), Some(&key)).await };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
