//! What a program reads and says of a bench that students run.
//!
//! What adults say there takes their password, and is said on the page alone.

use axum::http::StatusCode;
use partpledge_hubs::moved::{OfPace, OfWork};
use partpledge_hubs::{Change, Share};
use partpledge_units::ids::CrewId;
use partpledge_units::local::{parse_date, rfc3339_utc};
use partpledge_units::time::EventMs;
use partpledge_workshop::hub::{Cause, Hub, HubWeek, figures, jobs_of, say_present};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done, fresh};
use super::out::{DoneOut, at};
use super::problem::Problem;

/// A sign-off that holds.
#[derive(Serialize, ToSchema)]
#[schema(as = SignOff)]
struct SignOut {
    /// `load`, `start`, `clear`, `inspect`, `pack` or `plan`.
    task: &'static str,
    /// Code of the class of printers; none for `pack` and `plan`.
    class: Option<String>,
    #[schema(format = DateTime)]
    until: String,
}

/// Somebody of the crew.
#[derive(Serialize, ToSchema)]
#[schema(as = CrewMember)]
struct MemberOut {
    id: String,
    nickname: String,
    /// Whether they are said to be at the bench now.
    here: bool,
    may: Vec<SignOut>,
}

/// A job of the day.
#[derive(Serialize, ToSchema)]
#[schema(as = DayJob)]
struct TurnOut {
    /// `operator`, `inspector`, `packer` or `planner`.
    job: &'static str,
    /// Who of the crew; none when nobody is signed off.
    member: Option<String>,
    /// Who stands in while they are not there.
    stands_in: Option<String>,
}

/// A bench that students run.
#[derive(Serialize, ToSchema)]
#[schema(as = Hub)]
pub(crate) struct HubOut {
    schema: u32,
    host: String,
    /// What the site asks for an adult for: `unattended`, `hot-material`, `battery-area`.
    adult_for: Vec<&'static str>,
    /// Until when an adult said that they are there.
    #[schema(format = DateTime)]
    adult_until: Option<String>,
    /// Whether anybody has said who is there now.
    told: bool,
    crew: Vec<MemberOut>,
    jobs: Vec<TurnOut>,
    /// How many deeds an adult has to look at.
    to_look: usize,
}

/// `GET /api/v1/hubs/{code}`.
pub(crate) async fn one(call: Call) -> Answer {
    let (session, _) = call.looked().await?;
    let hub = Hub::of(&session, &call.actor(), call.name("code")).await?;
    let (now, zone) = (session.now, &session.terrain.zone);
    let jobs = jobs_of(&session, &hub, zone.date(session.minute()));
    let present = hub.present(now);
    let holds = hub.standing(now);
    let crew = hub.crew().map(|one| {
        let own = holds.iter().filter(|said| said.member == one.id);
        let may = own.map(|said| SignOut {
            task: said.task.as_str(),
            class: Some(said.class.clone()).filter(|class| !class.is_empty()),
            until: rfc3339_utc(said.until.unwrap_or(now)),
        });
        MemberOut {
            id: one.id.to_string(),
            nickname: one.name.clone(),
            here: present.crew.contains(&one.id),
            may: may.collect(),
        }
    });
    let turns = jobs.turns.iter().map(|turn| TurnOut {
        job: turn.job.as_str(),
        member: turn.member.map(|id| id.to_string()),
        stands_in: turn.instead.map(|id| id.to_string()),
    });
    let out = HubOut {
        schema: 1,
        host: hub.name.clone(),
        adult_for: hub.adult_for.iter().map(|one| one.as_str()).collect(),
        adult_until: hub.adult_until(now).map(rfc3339_utc),
        told: present.told,
        crew: crew.collect(),
        jobs: turns.collect(),
        to_look: hub.book.to_look.len(),
    };
    Ok(fresh(call.headers(), &out))
}

/// Who of the crew is at the bench now, in place of what was said before.
#[derive(Deserialize, ToSchema)]
#[schema(as = Present)]
#[serde(deny_unknown_fields)]
pub(crate) struct PresentIn {
    /// Ids of the crew; empty when nobody of it is there.
    #[schema(max_items = 200)]
    crew: Vec<String>,
    /// When that was; now when not said. Not more than two days ago.
    #[schema(format = DateTime)]
    occurred_at: Option<String>,
}

/// `POST /api/v1/hubs/{code}/present`.
pub(crate) async fn present(call: Call) -> Answer {
    let (key, actor, code) = (call.key()?, call.actor(), call.name("code").to_owned());
    let (session, _) = call.looked().await?;
    let told: PresentIn = call.json().await?;
    let bad = |_| Problem::bad("crew", "ids of the bench’s crew");
    let crew = told.crew.iter().map(|id| id.parse().map_err(bad));
    let crew: Vec<CrewId> = crew.collect::<Result<_, Problem>>()?;
    let at = told.occurred_at.as_deref().map(|text| {
        let bad = |_| Problem::bad("occurred_at", "a time like 2027-03-09T16:52:00+01:00");
        partpledge_units::local::parse_rfc3339(text).map_err(bad)
    });
    let at: Option<EventMs> = at.transpose()?;
    let before = say_present(&session, &actor, (&code, &crew), (Some(&key), at)).await?;
    let out = DoneOut {
        schema: 1,
        before,
        moved: Vec::new(),
        late: Vec::new(),
    };
    Ok(done(StatusCode::OK, &out))
}

/// So many lost for one cause.
#[derive(Serialize, ToSchema)]
#[schema(as = Loss)]
struct LossOut {
    /// `failed`, `not-good`, `not-started`, `printer-out`, `closed`, `missed-leg`, `slow` or
    /// `not-known`.
    cause: &'static str,
    /// In words.
    says: String,
    many: u32,
}

/// So many good of so many.
#[derive(Serialize, ToSchema)]
#[schema(as = HubShare)]
struct ShareOut {
    good: u32,
    of: u32,
    lost: Vec<LossOut>,
}

impl ShareOut {
    fn new(share: &Share<Cause>) -> Self {
        let lost = share.lost.iter().map(|(cause, many)| LossOut {
            cause: cause.code(),
            says: cause.words(),
            many: *many,
        });
        Self {
            good: share.good,
            of: share.of(),
            lost: lost.collect(),
        }
    }
}

/// A hub's figures over a stretch of time.
#[derive(Serialize, ToSchema)]
#[schema(as = HubWeek)]
struct WeekOut {
    #[schema(format = DateTime)]
    from: String,
    #[schema(format = DateTime)]
    until: String,
    /// Requests handed over whole by the promised time, of those promised for then.
    on_time_in_full: ShareOut,
    /// Copies good at their first printing, of those whose first printing ended.
    first_pass: ShareOut,
    staffed_min: i64,
    plates_asked: u32,
    plates_done: u32,
    /// Staffed minutes for each plate asked.
    takt_min: Option<f64>,
    /// Staffed minutes for each plate done.
    cycle_min: Option<f64>,
    /// Copies between start and hand-over, on average.
    in_progress: f64,
    /// Minutes from start to hand-over of a copy, on average.
    through_min: Option<f64>,
}

/// What moved a figure, and by how much.
#[derive(Serialize, ToSchema)]
#[schema(as = MovedBy)]
struct PartOut {
    /// In words.
    by: String,
    /// In the figure’s own unit; the parts add up to the change.
    much: f64,
}

/// A change since the week before.
#[derive(Serialize, ToSchema)]
#[schema(as = HubChange)]
struct ChangeOut {
    from: f64,
    to: f64,
    parts: Vec<PartOut>,
}

/// A hub's figures of a week, the week before, and what moved them.
#[derive(Serialize, ToSchema)]
#[schema(as = HubFigures)]
pub(crate) struct FiguresOut {
    schema: u32,
    /// Monday of the week.
    #[schema(format = Date)]
    week: String,
    /// Whether it is going on; then both are counted as far as it has come.
    so_far: bool,
    now: WeekOut,
    before: WeekOut,
    on_time_in_full: Option<ChangeOut>,
    first_pass: Option<ChangeOut>,
    takt: Option<ChangeOut>,
    cycle: Option<ChangeOut>,
    in_progress: ChangeOut,
}

fn change<C>(change: &Change<C>, says: impl Fn(&C) -> String) -> ChangeOut {
    let parts = change.parts.iter().map(|part| PartOut {
        by: says(&part.by),
        much: part.much,
    });
    ChangeOut {
        from: change.from,
        to: change.to,
        parts: parts.collect(),
    }
}

fn of_pace(by: &OfPace<String>) -> String {
    match by {
        OfPace::Hours => "weekly hours".to_owned(),
        OfPace::Closed(reason) => format!("closed: {reason}"),
        OfPace::Plates => "plates".to_owned(),
    }
}

fn of_work(by: OfWork) -> String {
    let word = match by {
        OfWork::Printing => "printing",
        OfWork::Checking => "checking",
        OfWork::Waiting => "waiting",
    };
    word.to_owned()
}

/// Which week.
#[derive(Deserialize)]
struct Week {
    week: Option<String>,
}

/// `GET /api/v1/hubs/{code}/figures`.
pub(crate) async fn week(call: Call) -> Answer {
    let asked: Week = call.query()?;
    let (session, books) = call.looked().await?;
    let zone = &session.terrain.zone;
    let day = match asked.week.as_deref() {
        None => zone.date(session.minute()),
        Some(text) => {
            parse_date(text).map_err(|_| Problem::bad("week", "a day like 2027-03-11"))?
        }
    };
    let about = (call.name("code"), day);
    let found = figures(&session, &call.actor(), &books, about).await?;
    let out = |week: &HubWeek| WeekOut {
        from: at(zone, week.from),
        until: at(zone, week.until),
        on_time_in_full: ShareOut::new(&week.on_time),
        first_pass: ShareOut::new(&week.first_pass),
        staffed_min: week.pace.staffed_min(),
        plates_asked: week.pace.asked,
        plates_done: week.pace.done,
        takt_min: week.pace.takt_min(),
        cycle_min: week.pace.cycle_min(),
        in_progress: week.work.all(),
        through_min: week.through_min,
    };
    let out = FiguresOut {
        schema: 1,
        week: found.monday.to_string(),
        so_far: found.so_far,
        now: out(&found.now),
        before: out(&found.before),
        on_time_in_full: found.on_time.as_ref().map(|of| change(of, Cause::words)),
        first_pass: found.first_pass.as_ref().map(|of| change(of, Cause::words)),
        takt: found.takt.as_ref().map(|of| change(of, of_pace)),
        cycle: found.cycle.as_ref().map(|of| change(of, of_pace)),
        in_progress: change(&found.work, |by| of_work(*by)),
    };
    Ok(fresh(call.headers(), &out))
}
