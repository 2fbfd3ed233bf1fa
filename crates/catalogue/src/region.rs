//! The region file: schools, teams, hosts with their hours, printers, couriers, events.
//!
//! Hours are weekly rules on the school's own clock; closures and events carry dates. Turning
//! them into minutes of UTC is the workshop's work.

mod review;

use serde::Deserialize;

pub use review::{Limits, ReviewMode};

/// Why a region file was refused; the rejected value is inside.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RegionFileError {
    /// Not TOML, or not of this form.
    #[error("the region file can't be read: {0}")]
    BadFile(String),
    /// Two things share a name.
    #[error("'{0}' is there twice")]
    Twice(String),
    /// Something names a school, host or class that is not there.
    #[error("{who} names '{what}', which is not there")]
    Unknown {
        /// Who names it.
        who: String,
        /// The name.
        what: String,
    },
    /// Hours that can't be read, or end before they start.
    #[error("'{0}' is not like 'mon-fri 08:15-17:30'")]
    BadHours(String),
    /// A chance, rate or spread out of its range.
    #[error("{who}: {what} is out of range")]
    OutOfRange {
        /// Which printer or bench.
        who: String,
        /// Which number.
        what: &'static str,
    },
    /// A printer takes a material that its class does not.
    #[error("{printer} is of class {class}, which does not take {material}")]
    NotTaken {
        /// Printer's name.
        printer: String,
        /// Class code.
        class: String,
        /// Material code.
        material: String,
    },
}

/// A region, as its coordinator writes it down.
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
    pub schools: Vec<School>,
    /// Teams.
    pub teams: Vec<Team>,
    /// Schools that print for others.
    pub hosts: Vec<Host>,
    /// Printers.
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
}

/// The middle of the schools' grid on the globe, WGS 84.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Origin {
    /// North of the equator, degrees.
    pub lat_deg: f64,
    /// East of Greenwich, degrees.
    pub lon_deg: f64,
}

/// Mean radius of the Earth, km: (2a + b) / 3 of GRS 80 (Moritz 1980, from memory).
const EARTH_RADIUS_KM: f64 = 6_371.008_8;

impl Origin {
    /// Longitude and latitude, in that order, of a place so far east and north of the middle.
    ///
    /// # Units
    /// km in, degrees out.
    /// # Source
    /// Equirectangular projection with its standard parallel through the middle, turned round
    /// (Snyder 1987, USGS Professional Paper 1395, chapter 12, from memory). At 50 km from a
    /// middle at 45 degrees it is off by less than 0.5 km (derived here).
    ///
    /// ```
    /// let origin = partpledge_catalogue::region::Origin { lat_deg: 60.0, lon_deg: 10.0 };
    /// let [lon, lat] = origin.lon_lat_deg(55.6, 111.195);
    /// assert!((lon - 11.0).abs() < 1e-3 && (lat - 61.0).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn lon_lat_deg(&self, x_km: f64, y_km: f64) -> [f64; 2] {
        let one_deg_km = EARTH_RADIUS_KM.to_radians();
        let narrower = self.lat_deg.to_radians().cos();
        [
            self.lon_deg + x_km / (one_deg_km * narrower),
            self.lat_deg + y_km / one_deg_km,
        ]
    }

    fn check(&self) -> Result<(), RegionFileError> {
        let fits = self.lat_deg.abs() <= 85.0 && self.lon_deg.abs() <= 180.0;
        let (who, what) = ("origin".to_owned(), "lat_deg or lon_deg");
        fits.then_some(())
            .ok_or(RegionFileError::OutOfRange { who, what })
    }
}

/// Days without staffed hours.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Team {
    /// Its name.
    pub name: String,
    /// Code of its school.
    pub school: String,
}

/// A school that prints for others.
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
}

/// A printer.
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
    /// Chance that a plate is lost in its first layers.
    pub start_failure: f64,
    /// Further losses an hour.
    pub failures_per_hour: f64,
    /// Spread of real over estimated time.
    pub time_sigma: f64,
    /// For a printer that travels: where it is on which days, in order. On other days it is on its way.
    #[serde(default)]
    pub stays: Vec<StayEntry>,
}

/// Days that a travelling printer spends at a host's.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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

/// Days of the week, Monday 0 to Sunday 6, and clock times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeeklyHours {
    /// Days, Monday 0.
    pub days: Vec<u8>,
    /// Opening, `08:15`.
    pub opens: String,
    /// Closing, `17:30`.
    pub closes: String,
}

const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Reads `mon-fri` or `sat` as days, Monday 0.
///
/// # Errors
/// [`RegionFileError::BadHours`].
pub fn parse_days(text: &str) -> Result<Vec<u8>, RegionFileError> {
    let day = |name: &str| {
        DAYS.iter()
            .position(|d| *d == name)
            .and_then(|i| u8::try_from(i).ok())
    };
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    match (day(first), day(last)) {
        (Some(a), Some(b)) if a <= b => Ok((a..=b).collect()),
        _ => Err(RegionFileError::BadHours(text.to_owned())),
    }
}

/// Reads `mon-fri 08:15-17:30`.
///
/// # Errors
/// [`RegionFileError::BadHours`].
///
/// ```
/// let hours = partpledge_catalogue::region::parse_hours("sat 09:00-13:00").unwrap();
/// assert_eq!((hours.days, hours.opens.as_str()), (vec![5], "09:00"));
/// assert!(partpledge_catalogue::region::parse_hours("whenever").is_err());
/// ```
pub fn parse_hours(text: &str) -> Result<WeeklyHours, RegionFileError> {
    let bad = || RegionFileError::BadHours(text.to_owned());
    let (days, times) = text.split_once(' ').ok_or_else(bad)?;
    let (opens, closes) = times.split_once('-').ok_or_else(bad)?;
    let clock = |t: &str| t.len() == 5 && t.as_bytes()[2] == b':';
    if !clock(opens) || !clock(closes) || opens >= closes {
        return Err(bad());
    }
    Ok(WeeklyHours {
        days: parse_days(days)?,
        opens: opens.to_owned(),
        closes: closes.to_owned(),
    })
}

impl RegionFile {
    /// Reads and checks a region file against the built-in printer classes.
    ///
    /// # Errors
    /// [`RegionFileError`], the first rule that is broken.
    pub fn parse(text: &str, catalogue: &crate::Catalogue) -> Result<Self, RegionFileError> {
        let file: Self =
            toml::from_str(text).map_err(|e| RegionFileError::BadFile(e.to_string()))?;
        file.check_names()?;
        file.origin.as_ref().map_or(Ok(()), Origin::check)?;
        file.printers
            .iter()
            .try_for_each(|printer| file.check_printer(printer, catalogue))?;
        file.check_chances()?;
        file.check_review()?;
        for host in &file.hosts {
            if !(0..=24 * 60).contains(&host.boxing_min) {
                return Err(RegionFileError::OutOfRange {
                    who: host.bench.clone(),
                    what: "boxing_min",
                });
            }
            if host.starts_a_window == Some(0) {
                return Err(RegionFileError::OutOfRange {
                    who: host.bench.clone(),
                    what: "starts_a_window",
                });
            }
            host.hours
                .iter()
                .try_for_each(|hours| parse_hours(hours).map(|_| ()))?;
        }
        file.couriers
            .iter()
            .try_for_each(|courier| parse_days(&courier.days).map(|_| ()))?;
        file.relays
            .iter()
            .try_for_each(|relay| parse_days(&relay.days).map(|_| ()))?;
        Ok(file)
    }

    /// The school with that code.
    #[must_use]
    pub fn school(&self, code: &str) -> Option<&School> {
        self.schools.iter().find(|school| school.code == code)
    }

    fn check_names(&self) -> Result<(), RegionFileError> {
        let mut names: Vec<&str> = self
            .printers
            .iter()
            .map(|printer| printer.name.as_str())
            .collect();
        names.extend(self.teams.iter().map(|team| team.name.as_str()));
        names.extend(self.schools.iter().map(|school| school.code.as_str()));
        once(names)?;
        // One host a school: printers and couriers name a host by its school.
        once(self.hosts.iter().map(|host| host.school.as_str()).collect())?;
        let teams = self.teams.iter().map(|team| (&team.name, &team.school));
        let hosts = self.hosts.iter().map(|host| (&host.bench, &host.school));
        for (who, school) in teams.chain(hosts) {
            if self.school(school).is_none() {
                return Err(RegionFileError::Unknown {
                    who: who.clone(),
                    what: school.clone(),
                });
            }
        }
        let rounds = self.couriers.iter();
        let rounds = rounds.flat_map(|round| round.schools.iter().map(|code| (&round.name, code)));
        let begins = self.relays.iter().map(|relay| (&relay.name, &relay.from));
        let ends = self.relays.iter().map(|relay| (&relay.name, &relay.to));
        for (who, code) in rounds.chain(begins).chain(ends) {
            if self.school(code).is_none() {
                return Err(RegionFileError::Unknown {
                    who: who.clone(),
                    what: code.clone(),
                });
            }
        }
        for courier in &self.couriers {
            if let Some(host) = courier.hosts.iter().find(|code| !self.hosts_at(code)) {
                return Err(RegionFileError::Unknown {
                    who: courier.name.clone(),
                    what: host.clone(),
                });
            }
        }
        Ok(())
    }

    /// Chances of people and rounds that do not come.
    fn check_chances(&self) -> Result<(), RegionFileError> {
        let hosts = self.hosts.iter().map(|h| (&h.bench, "no_show", h.no_show));
        let rounds = self.couriers.iter().map(|c| (&c.name, "missed", c.missed));
        let events = self.events.iter().map(|e| (&e.name, "missed", e.missed));
        let relays = self.relays.iter().map(|r| (&r.name, "missed", r.missed));
        for (who, what, chance) in hosts.chain(rounds).chain(events).chain(relays) {
            if !(0.0..=0.5).contains(&chance) {
                return Err(RegionFileError::OutOfRange {
                    who: who.clone(),
                    what,
                });
            }
        }
        let long = |relay: &&RelayEntry| !(0..=1_440).contains(&relay.handling_min);
        if let Some(relay) = self.relays.iter().find(long) {
            return Err(RegionFileError::OutOfRange {
                who: relay.name.clone(),
                what: "handling_min",
            });
        }
        Ok(())
    }

    fn hosts_at(&self, school: &str) -> bool {
        self.hosts.iter().any(|host| host.school == school)
    }

    fn check_printer(
        &self,
        printer: &PrinterEntry,
        catalogue: &crate::Catalogue,
    ) -> Result<(), RegionFileError> {
        let unknown = |what: &str| RegionFileError::Unknown {
            who: printer.name.clone(),
            what: what.to_owned(),
        };
        if !self.hosts_at(&printer.host) {
            return Err(unknown(&printer.host));
        }
        let class = catalogue
            .class(&printer.class)
            .ok_or_else(|| unknown(&printer.class))?;
        if let Some(stay) = printer.stays.iter().find(|stay| !self.hosts_at(&stay.host)) {
            return Err(unknown(&stay.host));
        }
        // Dates are written so that they sort as text.
        let in_order = printer.stays.is_sorted_by(|a, b| a.to < b.from)
            && printer.stays.iter().all(|stay| stay.from <= stay.to);
        if !in_order {
            return Err(RegionFileError::OutOfRange {
                who: printer.name.clone(),
                what: "stays",
            });
        }
        if let Some(material) = printer.materials.iter().find(|code| !class.takes(code)) {
            return Err(RegionFileError::NotTaken {
                printer: printer.name.clone(),
                class: printer.class.clone(),
                material: material.clone(),
            });
        }
        let ranges = [
            ("start_failure", printer.start_failure, 0.0..=0.9),
            ("failures_per_hour", printer.failures_per_hour, 0.0..=1.0),
            ("time_sigma", printer.time_sigma, 0.0..=0.5),
        ];
        for (what, value, range) in ranges {
            if !range.contains(&value) {
                return Err(RegionFileError::OutOfRange {
                    who: printer.name.clone(),
                    what,
                });
            }
        }
        Ok(())
    }
}

/// Refuses a name that comes twice.
fn once(mut names: Vec<&str>) -> Result<(), RegionFileError> {
    names.sort_unstable();
    match names.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => Err(RegionFileError::Twice(pair[0].to_owned())),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Catalogue;

    const GOOD: &str = r#"
name = "Fenmarch"
league = "Fenmarch League"
zone = "Europe/Stockholm"
currency = "EUR"
schools = [{ code = "alder", name = "Alder School", x_km = 0.0, y_km = 0.0 }]
teams = [{ name = "Alder Axles", school = "alder" }]
hosts = [{ school = "alder", bench = "room 1", hours = ["mon-fri 08:15-17:30"], boxing_min = 10 }]
couriers = [{ name = "round", days = "mon-fri", collects = "15:30", delivers = "08:30", rounds_later = 1, hosts = ["alder"] }]
[[printers]]
name = "Wren"
host = "alder"
class = "standard"
materials = ["PLA"]
start_failure = 0.04
failures_per_hour = 0.01
time_sigma = 0.06
"#;

    fn with(old: &str, new: &str) -> Result<RegionFile, RegionFileError> {
        assert!(GOOD.contains(old), "{old}");
        RegionFile::parse(&GOOD.replace(old, new), &Catalogue::built_in())
    }

    #[test]
    fn a_region_says_what_it_looks_at_and_how_much_a_team_may_ask_for() {
        let file = with("EUR", "EUR").unwrap();
        assert_eq!(file.review, ReviewMode::Guessed, "unless it says so");
        assert!(file.limits.mentors_may_exceed && file.limits.open_requests >= 20);
        let say = |text: &str| with("currency = \"EUR\"", &format!("currency = \"EUR\"\n{text}"));
        let all =
            say("review = \"all\"\ntrusted_teams = [\"Alder Axles\"]\nlimits = { copies = 5 }");
        let all = all.unwrap();
        assert_eq!((all.review, all.limits.copies), (ReviewMode::All, 5));
        assert_eq!(all.limits.open_grams, Limits::default().open_grams);
        assert!(matches!(
            say("trusted_teams = [\"Elm Elks\"]"),
            Err(RegionFileError::Unknown { what, .. }) if what == "Elm Elks"
        ));
        assert!(matches!(
            say("limits = { open_grams = 0 }"),
            Err(RegionFileError::OutOfRange {
                what: "open_grams",
                ..
            })
        ));
        assert!(matches!(
            say("review = \"some\""),
            Err(RegionFileError::BadFile(_))
        ));
    }

    #[test]
    fn a_relay_joins_schools_that_are_there() {
        let relay = |to: &str, more: &str| {
            let text = format!(
                "currency = \"EUR\"\nrelays = [{{ name = \"ferry\", from = \"alder\", to = \"{to}\", days = \"mon-fri\", leaves = \"16:10\", arrives = \"16:40\"{more} }}]"
            );
            with("currency = \"EUR\"", &text)
        };
        assert_eq!(relay("alder", "").unwrap().relays[0].handling_min, 15);
        assert!(matches!(
            relay("birch", ""),
            Err(RegionFileError::Unknown { .. })
        ));
        let never = relay("alder", ", handling_min = -1");
        assert!(matches!(never, Err(RegionFileError::OutOfRange { .. })));
        let delivers = with(
            "hosts = [\"alder\"] }]",
            "hosts = [\"alder\"], schools = [\"birch\"] }]",
        );
        assert!(matches!(delivers, Err(RegionFileError::Unknown { .. })));
    }

    #[test]
    fn a_region_in_order_is_read_and_nothing_runs_alone_unless_a_paper_says_so() {
        let region = with("Fenmarch", "Fenmarch").unwrap();
        assert_eq!(region.school("alder").unwrap().name, "Alder School");
        assert_eq!(region.printers[0].unattended_permission, None);
    }

    #[test]
    fn each_broken_rule_is_named_with_what_breaks_it() {
        let unknown = |who: &str, what: &str| {
            Err(RegionFileError::Unknown {
                who: who.to_owned(),
                what: what.to_owned(),
            })
        };
        let cases = [
            (
                with("host = \"alder\"", "host = \"elm\""),
                unknown("Wren", "elm"),
            ),
            (
                with("class = \"standard\"", "class = \"vast\""),
                unknown("Wren", "vast"),
            ),
            (
                with("hosts = [\"alder\"]", "hosts = [\"elm\"]"),
                unknown("round", "elm"),
            ),
            (
                with("Axles\", school = \"alder\"", "Axles\", school = \"elm\""),
                unknown("Alder Axles", "elm"),
            ),
        ];
        for (got, want) in cases {
            assert_eq!(got, want);
        }
        let out = |what| move |e: &RegionFileError| matches!(e, RegionFileError::OutOfRange { what: w, .. } if *w == what);
        assert!(out("start_failure")(
            &with("start_failure = 0.04", "start_failure = 4.0").unwrap_err()
        ));
        assert!(out("failures_per_hour")(
            &with("failures_per_hour = 0.01", "failures_per_hour = nan").unwrap_err()
        ));
        assert!(out("no_show")(
            &with("boxing_min = 10", "boxing_min = 10, no_show = 0.6").unwrap_err()
        ));
        assert!(out("missed")(
            &with("rounds_later = 1", "rounds_later = 1, missed = nan").unwrap_err()
        ));
        assert!(out("boxing_min")(
            &with("boxing_min = 10", "boxing_min = -1").unwrap_err()
        ));
        assert_eq!(
            with("mon-fri 08", "fri-mon 08"),
            Err(RegionFileError::BadHours("fri-mon".to_owned()))
        );
        assert!(matches!(
            with("[\"PLA\"]", "[\"ASA\"]"),
            Err(RegionFileError::NotTaken { .. })
        ));
        assert!(matches!(
            with("currency", "coins"),
            Err(RegionFileError::BadFile(_))
        ));
        let twice = with(
            "teams = [",
            "teams = [{ name = \"Wren\", school = \"alder\" }, ",
        );
        assert_eq!(twice, Err(RegionFileError::Twice("Wren".to_owned())));
    }

    #[test]
    fn hands_and_stays_are_read_and_must_be_in_order() {
        let printer =
            |stays: &str| with("time_sigma = 0.06", &format!("time_sigma = 0.06\n{stays}"));
        let stay = |host: &str, from: &str, to: &str| {
            format!("[[printers.stays]]\nhost = \"{host}\"\nfrom = \"{from}\"\nto = \"{to}\"\n")
        };
        let two =
            stay("alder", "2027-02-01", "2027-02-05") + &stay("alder", "2027-02-08", "2027-02-12");
        assert_eq!(printer(&two).unwrap().printers[0].stays.len(), 2);
        let overlap =
            stay("alder", "2027-02-01", "2027-02-05") + &stay("alder", "2027-02-05", "2027-02-12");
        let out_of_range = |who: &str, what| {
            Err(RegionFileError::OutOfRange {
                who: who.to_owned(),
                what,
            })
        };
        assert_eq!(printer(&overlap), out_of_range("Wren", "stays"));
        let backward = stay("alder", "2027-02-05", "2027-02-01");
        assert_eq!(printer(&backward), out_of_range("Wren", "stays"));
        let nowhere = printer(&stay("elm", "2027-02-01", "2027-02-05"));
        assert!(matches!(nowhere, Err(RegionFileError::Unknown { what, .. }) if what == "elm"));
        let hands = |n: u32| {
            with(
                "boxing_min = 10",
                &format!("boxing_min = 10, starts_a_window = {n}"),
            )
        };
        assert_eq!(hands(3).unwrap().hosts[0].starts_a_window, Some(3));
        assert_eq!(hands(0), out_of_range("room 1", "starts_a_window"));
    }
}
