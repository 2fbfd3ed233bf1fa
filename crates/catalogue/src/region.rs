//! The region file: schools, teams, hosts with their hours, printers, couriers, events.
//!
//! Hours are weekly rules on the school's own clock; closures and events carry dates. Turning
//! them into minutes of UTC is the workshop's work.

mod agent;
mod checks;
mod hours;
mod hub;
mod origin;
mod review;
mod sample;
mod spares;
mod tables;
#[cfg(test)]
mod tests;
mod whole;
mod written;

use partpledge_words::say;
use serde::{Deserialize, Serialize};

use crate::costs::Rates;
use crate::says::says;

pub use agent::{AgentEntry, is_agent_address};
pub use hours::{WeeklyHours, parse_days, parse_hours};
pub use hub::AdultFor;
pub use origin::Origin;
pub use review::{Limits, PaidBy, ReviewMode, Undecided};
pub use sample::sample;
pub use tables::{
    CellChange, Change, Fault, Line, Review, Table, TableError, as_csv, review, to_csv,
};
pub use whole::review_whole;
pub use written::{Wrong, line_of, written};

/// Why a region file was refused; the rejected value is inside.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RegionFileError {
    /// Not TOML, or not of this form.
    #[error("{}", bad_file(.0))]
    BadFile(String),
    /// Two things share a name.
    #[error("{}", twice(.0))]
    Twice(String),
    /// Something names a school, host or class that is not there.
    #[error("{}", say!("catalogue-unknown", who = who, what = what))]
    Unknown {
        /// Who names it.
        who: String,
        /// The name.
        what: String,
    },
    /// Hours that can't be read, or end before they start.
    #[error("{}", bad_hours(.0))]
    BadHours(String),
    /// A chance, rate or spread out of its range.
    #[error("{}", say!("catalogue-out-of-range", who = who, what = says(WHATS, what)))]
    OutOfRange {
        /// Which printer or bench.
        who: String,
        /// Which number, and what is wrong with it where its range does not say so.
        what: &'static str,
    },
    /// A printer takes a material that its class does not.
    #[error("{}", say!("catalogue-not-taken", printer = printer, class = class, material = material))]
    NotTaken {
        /// Printer's name.
        printer: String,
        /// Class code.
        class: String,
        /// Material code.
        material: String,
    },
    /// Prices that are not in order.
    #[error("{}", prices(.0))]
    Prices(String),
}

/// What is out of range and is more than the name of a field; those are the same in every tongue.
const WHATS: &[&str] = &[
    "catalogue-what-agent-address",
    "catalogue-what-agent-device",
    "catalogue-what-origin",
    "catalogue-what-adult-for",
    "catalogue-what-no-meeting",
    "catalogue-what-hours-not-on",
    "catalogue-what-with-teams",
    "catalogue-what-where-stays",
    "catalogue-what-travels",
    "catalogue-what-student-run",
    "catalogue-what-no-home",
    "catalogue-what-home-at-meeting",
    "catalogue-what-agent-twice",
    "catalogue-what-home-class",
    "catalogue-what-home-twice",
];

fn bad_file(why: &str) -> String {
    say!("catalogue-bad-file", why = why)
}

fn prices(why: &str) -> String {
    say!("catalogue-prices", why = why)
}

fn twice(name: &str) -> String {
    say!("catalogue-twice", name = name)
}

fn bad_hours(text: &str) -> String {
    say!("catalogue-bad-hours", text = text)
}

/// A region, as its coordinator writes it down.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct RegionFile {
    /// Its name.
    pub name: String,
    /// The league its teams play in.
    pub league: String,
    /// IANA time zone of all its schools.
    pub zone: String,
    /// ISO 4217 code.
    pub currency: String,
    /// Where on the globe the middle of the schools' grid is. Without it there is no map.
    #[serde(default)]
    pub origin: Option<Origin>,
    /// Days on which all schools are closed.
    #[serde(default)]
    pub closures: Vec<Closure>,
    /// Schools.
    #[serde(default)]
    pub schools: Vec<School>,
    /// Teams.
    #[serde(default)]
    pub teams: Vec<Team>,
    /// Schools that print for others.
    #[serde(default)]
    pub hosts: Vec<Host>,
    /// Printers.
    #[serde(default)]
    pub printers: Vec<PrinterEntry>,
    /// Courier rounds.
    #[serde(default)]
    pub couriers: Vec<Courier>,
    /// Ways from one school's desk to another's, for boxes that were left at the first.
    #[serde(default)]
    pub relays: Vec<RelayEntry>,
    /// Meetings of the league, where boxes are handed over too.
    #[serde(default)]
    pub events: Vec<LeagueEvent>,
    /// Last day of the season, `2027-06-12`: people of teams are erased some days after it.
    /// Without it nobody is erased unasked.
    #[serde(default)]
    pub season_ends: Option<String>,
    /// How many days after the season's end that is; 60 unless the file says otherwise.
    #[serde(default)]
    pub keep_people_days: Option<u16>,
    /// What the region looks at before it promises anything; what was guessed about unless said.
    #[serde(default)]
    pub review: ReviewMode,
    /// Teams whose requests pass by default where all others are looked at.
    #[serde(default)]
    pub trusted_teams: Vec<String>,
    /// How much a team may have open at a time.
    #[serde(default)]
    pub limits: Limits,
    /// What happens to what nobody decides on.
    #[serde(default)]
    pub undecided: Undecided,
    /// In whose share the time and plastic of a part stand that was made in the wrong unit; the team's
    /// unless the file says otherwise.
    #[serde(default)]
    pub wrong_unit_is_paid_by: PaidBy,
    /// The region's own prices, in minor units of its currency; the built-in examples without them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prices: Option<Box<Rates>>,
}

/// Days without staffed hours.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Closure {
    /// First day, `2027-02-15`.
    pub from: String,
    /// Last day, included.
    pub to: String,
    /// Why.
    pub reason: String,
}

/// A school.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct School {
    /// Short code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// East of the region's middle, km.
    pub x_km: f64,
    /// North of it, km.
    pub y_km: f64,
}

/// A team.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Team {
    /// Its name.
    pub name: String,
    /// Code of its school.
    pub school: String,
}

/// A school that prints for others.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Host {
    /// Code of the school.
    pub school: String,
    /// Where in it the printers are.
    pub bench: String,
    /// When somebody is there: `mon-fri 08:15-17:30`.
    pub hours: Vec<String>,
    /// Staffed minutes from a cleared bed to a box that can leave.
    pub boxing_min: i64,
    /// Its own closures, besides the region's.
    #[serde(default)]
    pub closures: Vec<Closure>,
    /// Most plates that its people start between opening and closing; without it, as many as fit.
    #[serde(default)]
    pub starts_a_window: Option<u32>,
    /// Chance that nobody comes in one of its staffed windows; 0 unless the file says so.
    #[serde(default)]
    pub no_show: f64,
    /// Whether students run the bench, with adults responsible: see `docs/hubs.md`.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub student_run: bool,
    /// What an adult does or stands by at a bench that students run; all of it unless the file says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adult_for: Option<Vec<AdultFor>>,
    /// For a bench at a meeting of the league: the meeting's day, `2027-03-13`. It prints on that day only,
    /// only spares that teams ask for there, and hands them over itself: see `docs/spares.md`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spares_on: Option<String>,
}

/// A printer.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct PrinterEntry {
    /// Its name.
    pub name: String,
    /// Code of the host's school.
    pub host: String,
    /// Code of its class.
    pub class: String,
    /// Codes of the materials it is set up for.
    pub materials: Vec<String>,
    /// The paper by which the site's owner allows it to run with nobody there. Without one it may not.
    #[serde(default)]
    pub unattended_permission: Option<String>,
    /// Whether it stands where batteries are kept or charged.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub battery_area: bool,
    /// Chance that a plate is lost in its first layers.
    pub start_failure: f64,
    /// Further losses an hour.
    pub failures_per_hour: f64,
    /// Spread of real over estimated time.
    pub time_sigma: f64,
    /// For a printer that travels: where it is on which days, in order. On other days it is on its way.
    #[serde(default)]
    pub stays: Vec<StayEntry>,
    /// By which it says itself what it does, if it does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agent: Option<AgentEntry>,
    /// For a printer at a bench for spares: the name it has at its own school, where it can't be used on
    /// that day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_home: Option<String>,
}

/// Days that a travelling printer spends at a host's.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct StayEntry {
    /// Code of the host's school.
    pub host: String,
    /// First day, `2027-02-15`.
    pub from: String,
    /// Last day, included.
    pub to: String,
}

/// A round that takes boxes from hosts to schools.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Courier {
    /// Its name.
    pub name: String,
    /// On which days: `mon-fri`.
    pub days: String,
    /// Boxes ready by then are taken along, `15:30`.
    pub collects: String,
    /// They are at their schools by then, `08:30`.
    pub delivers: String,
    /// How many of its own days later.
    pub rounds_later: u32,
    /// Codes of the hosts it calls at; empty for all.
    #[serde(default)]
    pub hosts: Vec<String>,
    /// Codes of the schools that it delivers to; empty for all.
    #[serde(default)]
    pub schools: Vec<String>,
    /// Chance that a round does not call at a host; 0 unless the file says so.
    #[serde(default)]
    pub missed: f64,
}

/// Somebody who takes boxes from one school's desk to another's, such as a teacher who works at both.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct RelayEntry {
    /// What it is called.
    pub name: String,
    /// Code of the school where boxes wait for it.
    pub from: String,
    /// Code of the school that it takes them to.
    pub to: String,
    /// On which days: `tue`, `mon-fri`.
    pub days: String,
    /// It leaves then, `16:30`.
    pub leaves: String,
    /// Boxes are at the other desk by then, on the same day.
    pub arrives: String,
    /// Minutes that a box must have been at the desk before. A quarter of an hour unless the file says
    /// so: common practice, no source.
    #[serde(default = "quarter")]
    pub handling_min: i64,
    /// Chance that it does not take a box along; 0 unless the file says so.
    #[serde(default)]
    pub missed: f64,
}

fn quarter() -> i64 {
    15
}

/// A meeting of the league.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct LeagueEvent {
    /// Its name.
    pub name: String,
    /// Day, `2027-03-20`.
    pub date: String,
    /// Boxes ready by then on the day before are brought along.
    pub boxes_by: String,
    /// Teams have them by then.
    pub hands_over: String,
    /// Chance that a host's boxes are not brought along; 0 unless the file says so.
    #[serde(default)]
    pub missed: f64,
}
