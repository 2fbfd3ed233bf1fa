//! A region file made into planning's words: weekly hours become minutes of UTC.

mod desks;
mod shut;
mod spares;

use jiff::civil::{Date, Time};
use jiff::{Span, ToSpan};
use partpledge_catalogue::region::{
    Closure, Courier, Host, LeagueEvent, PrinterEntry, RelayEntry, StayEntry, parse_days,
    parse_hours,
};
use partpledge_catalogue::{Catalogue, RegionFile};
use partpledge_planning_model::{
    Departure, Leg, LegKind, Place, PlaceIx, Printer, PrinterIx, Region, Relay, Site, SiteIx, Stay,
    Window, Windows,
};
use partpledge_quality::Learned;
use partpledge_records::{Names, Outage, SiteClosure};
use partpledge_units::cast::ceil_i64;
use partpledge_units::local::{Zone, parse_clock, parse_date};
use partpledge_units::time::{Minute, Minutes};

use crate::error::WorkshopError;

pub(crate) use self::desks::one_of_two;
pub use self::desks::{place_said, place_says};

/// How far ahead calendars are made, in days.
pub const HORIZON_DAYS: i64 = 42;
/// Longest calendar made, in days.
const MOST_DAYS: i64 = 800;
/// Minutes in a day of 24 hours.
const DAY_MIN: i64 = 24 * 60;
/// A box at the host's own school is handed over the counter at every such step.
const COUNTER_STEP: Minutes = Minutes(15);

/// A region, ready to plan on.
#[derive(Clone, Debug)]
pub struct Terrain {
    /// The file it was made from.
    pub file: RegionFile,
    /// Its zone.
    pub zone: Zone,
    /// Planning's words.
    pub region: Region,
    /// Code of each printer's class, in order of printer.
    pub classes: Vec<String>,
    /// What finished runs have taught of its printers.
    pub learned: Learned,
    /// Schools closed for a while, as they were taken out of the calendars.
    pub closures: Vec<SiteClosure>,
    /// Names of printers that would leave the region, while a change is looked at.
    pub leaving: Vec<String>,
}

impl Terrain {
    /// The region as seen from `now`: calendars from the day before until [`HORIZON_DAYS`] later.
    ///
    /// # Errors
    /// [`WorkshopError::RegionFile`] or [`WorkshopError::Time`] for a file that is not in order.
    pub fn new(
        file: RegionFile,
        catalogue: &Catalogue,
        now: Minute,
    ) -> Result<Self, WorkshopError> {
        let horizon = now + Minutes(HORIZON_DAYS * DAY_MIN);
        Self::covering(file, catalogue, now, horizon)
    }

    /// The region with calendars from the day before `from` until a few days after `until`.
    ///
    /// # Errors
    /// As [`Terrain::new`].
    pub fn covering(
        file: RegionFile,
        catalogue: &Catalogue,
        from: Minute,
        until: Minute,
    ) -> Result<Self, WorkshopError> {
        let zone = Zone::named(&file.zone)?;
        // Not needed here, but a day that can't be read must not go unnoticed until it matters.
        file.season_ends.as_deref().map(parse_date).transpose()?;
        let days = Days::between(&file, &zone, from, until)?;
        let sites = sites(&file, &zone, &days)?;
        let printers = printers(&file, catalogue, &zone)?;
        let places = file
            .schools
            .iter()
            .map(|school| Place {
                name: desks::desk_of(&school.name, file.spares_bench(&school.code).is_some()),
            })
            .collect();
        let legs = legs(&file, &zone, &days, &sites)?;
        let relays = relays(&file, &zone, &days)?;
        let horizon = Some(until);
        let classes = file
            .printers
            .iter()
            .map(|printer| printer.class.clone())
            .collect();
        let region = Region {
            sites,
            printers,
            places,
            legs,
            relays,
            horizon,
        };
        Ok(Self {
            file,
            zone,
            region,
            classes,
            learned: Learned::default(),
            closures: Vec::new(),
            leaving: Vec::new(),
        })
    }

    /// Takes printers out of use; those that have left the region are passed over. A machine that goes to a
    /// meeting is out of use there as well.
    pub fn take_out(&mut self, outages: &[Outage]) {
        for printer in &mut self.region.printers {
            let machine = self.file.machine_of(&printer.name);
            let its = |o: &&Outage| self.file.machine_of(&o.printer) == machine;
            let own = outages.iter().filter(its);
            let windows = own.map(|outage| Window {
                from: outage.from,
                until: outage.until,
            });
            let away = spares::away(&self.file, &self.zone, &printer.name);
            printer.out_of_use = Windows::joined(windows.chain(away).collect());
        }
    }

    /// The printer of that name.
    #[must_use]
    pub fn printer_of(&self, name: &str) -> Option<PrinterIx> {
        let found = self.region.printers.iter().position(|p| p.name == name);
        found.map(PrinterIx)
    }

    /// The same of one that must be there.
    ///
    /// # Errors
    /// [`WorkshopError::Unknown`] with the names of those that are.
    pub(crate) fn must_know(&self, printer: &str) -> Result<PrinterIx, WorkshopError> {
        self.printer_of(printer).ok_or_else(|| {
            let printers = self.region.printers.iter();
            let known: Vec<&str> = printers.map(|printer| printer.name.as_str()).collect();
            WorkshopError::Unknown {
                what: "printer",
                name: printer.to_owned(),
                known: known.join(", "),
            }
        })
    }

    /// Whether two names are of one machine: it may be at a meeting under another.
    #[must_use]
    pub fn is_same_machine(&self, one: &str, other: &str) -> bool {
        self.file.machine_of(one) == self.file.machine_of(other)
    }

    /// Names of printers and places, as the store keeps them.
    #[must_use]
    pub fn names(&self) -> Names {
        Names {
            printers: self
                .region
                .printers
                .iter()
                .map(|printer| printer.name.clone())
                .collect(),
            places: self
                .region
                .places
                .iter()
                .map(|place| place.name.clone())
                .collect(),
            leaving: self.leaving.clone(),
        }
    }

    /// The place where a team's boxes are handed over.
    ///
    /// # Errors
    /// [`WorkshopError::Unknown`] for a team that is not in the region.
    pub fn place_of(&self, team: &str) -> Result<PlaceIx, WorkshopError> {
        let found = self.file.teams.iter().find(|known| known.name == team);
        let school =
            found.and_then(|team| self.file.schools.iter().position(|s| s.code == team.school));
        school.map(PlaceIx).ok_or_else(|| WorkshopError::Unknown {
            what: "team",
            name: team.to_owned(),
            known: self
                .file
                .teams
                .iter()
                .map(|t| t.name.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        })
    }

    /// The name of the host that a printer stands at at that time: it may travel.
    #[must_use]
    pub fn host_at(&self, printer: PrinterIx, at: Minute) -> &str {
        &self.region.sites[self.region.printers[printer.0].site_at(at).0].name
    }

    /// The code of its school.
    #[must_use]
    pub fn host_code_at(&self, printer: PrinterIx, at: Minute) -> Option<&str> {
        let name = self.host_at(printer, at);
        let mut schools = self.file.schools.iter();
        let school = schools.find(|school| school.name == name)?;
        Some(&school.code)
    }
}

impl Terrain {
    /// When each courier round collects and delivers, by name, between two times.
    ///
    /// # Errors
    /// [`WorkshopError::Time`] for a day or clock time of the region file that can't be read.
    pub fn rounds(
        &self,
        from: Minute,
        until: Minute,
    ) -> Result<Vec<(String, Departure)>, WorkshopError> {
        let days = Days::between(&self.file, &self.zone, from, until)?;
        let mut out = Vec::new();
        for courier in &self.file.couriers {
            let departures = round(courier, &self.zone, &days)?.into_iter();
            let within = departures.filter(|d| from <= d.leaves && d.leaves < until);
            out.extend(within.map(|departure| (courier.name.clone(), departure)));
        }
        Ok(out)
    }

    /// When each relay leaves and arrives, by name, between two times.
    ///
    /// # Errors
    /// As [`Terrain::rounds`].
    pub fn relayed(
        &self,
        from: Minute,
        until: Minute,
    ) -> Result<Vec<(String, Departure)>, WorkshopError> {
        let days = Days::between(&self.file, &self.zone, from, until)?;
        let mut out = Vec::new();
        for (entry, relay) in (self.file.relays.iter()).zip(relays(&self.file, &self.zone, &days)?)
        {
            let within =
                (relay.departures.into_iter()).filter(|d| from <= d.leaves && d.leaves < until);
            out.extend(within.map(|departure| (entry.name.clone(), departure)));
        }
        Ok(out)
    }

    /// When each meeting of the league hands boxes over, by name.
    ///
    /// # Errors
    /// As [`Terrain::rounds`].
    pub fn meets(&self) -> Result<Vec<(String, Minute)>, WorkshopError> {
        let one = |event: &LeagueEvent| {
            let at = (parse_date(&event.date)?, parse_clock(&event.hands_over)?);
            Ok((event.name.clone(), self.zone.minute(at.0, at.1)))
        };
        self.file.events.iter().map(one).collect()
    }
}

impl Terrain {
    /// The place of the meeting at which boxes are handed over at that very minute, if there is one.
    #[must_use]
    pub fn meeting_place(&self, at: Minute) -> Option<String> {
        let meets = self.meets().ok()?;
        let here = meets.iter().find(|(_, hands_over)| *hands_over == at);
        here.map(|(name, _)| desks::meeting_of(name))
    }
}

/// The days of the calendar, region-wide closures taken out.
struct Days {
    open: Vec<Date>,
    all: Vec<Date>,
}

impl Days {
    fn between(
        file: &RegionFile,
        zone: &Zone,
        from: Minute,
        until: Minute,
    ) -> Result<Self, WorkshopError> {
        let first = zone.date(from - Minutes(DAY_MIN));
        let count = ((until - from).0 / DAY_MIN).clamp(0, MOST_DAYS) + 4;
        let step = |n: i64| -> Date { first.checked_add(Span::new().days(n)).unwrap_or(first) };
        let all: Vec<Date> = (0..count).map(step).collect();
        let mut shut = Vec::new();
        for closure in &file.closures {
            shut.push((parse_date(&closure.from)?, parse_date(&closure.to)?));
        }
        let closed = |date: &Date| shut.iter().any(|(from, to)| from <= date && date <= to);
        Ok(Self {
            open: all.iter().copied().filter(|date| !closed(date)).collect(),
            all,
        })
    }

    /// Open days that are among these days of the week, Monday 0.
    fn on<'a>(&'a self, weekdays: &'a [u8]) -> impl Iterator<Item = Date> + 'a {
        self.open.iter().copied().filter(|date| {
            u8::try_from(date.weekday().to_monday_zero_offset())
                .is_ok_and(|day| weekdays.contains(&day))
        })
    }

    /// Days among these of the week on which a host's people are there, Monday 0. A meeting is held whether
    /// schools are open or not.
    fn at(&self, host: &Host, weekdays: &[u8]) -> Result<Vec<Date>, WorkshopError> {
        let Some(day) = &host.spares_on else {
            return Ok(self.on(weekdays).collect());
        };
        let day = parse_date(day)?;
        let weekday = u8::try_from(day.weekday().to_monday_zero_offset());
        let open = weekday.is_ok_and(|weekday| weekdays.contains(&weekday));
        Ok(self
            .all
            .iter()
            .copied()
            .filter(|date| open && *date == day)
            .collect())
    }

    fn closed(&self, zone: &Zone, closures: &[Closure]) -> Result<Windows, WorkshopError> {
        let mut out = Vec::new();
        for closure in closures {
            let (from, to) = (parse_date(&closure.from)?, parse_date(&closure.to)?);
            out.extend(
                self.all
                    .iter()
                    .filter(|date| from <= **date && **date <= to)
                    .map(|&date| {
                        let next = date.checked_add(1.day()).unwrap_or(date);
                        Window {
                            from: zone.minute(date, Time::midnight()),
                            until: zone.minute(next, Time::midnight()),
                        }
                    }),
            );
        }
        Ok(Windows::joined(out))
    }
}

fn sites(file: &RegionFile, zone: &Zone, days: &Days) -> Result<Vec<Site>, WorkshopError> {
    file.hosts
        .iter()
        .map(|host| {
            let mut open = Vec::new();
            for text in &host.hours {
                let hours = parse_hours(text)?;
                let (opens, closes) = (parse_clock(&hours.opens)?, parse_clock(&hours.closes)?);
                let here = days.at(host, &hours.days)?;
                open.extend(here.into_iter().map(|date| Window {
                    from: zone.minute(date, opens),
                    until: zone.minute(date, closes),
                }));
            }
            let shut = days.closed(zone, &host.closures)?;
            let school = file
                .school(&host.school)
                .map_or_else(String::new, |s| s.name.clone());
            Ok(Site {
                name: school,
                staffed: Windows::joined(open).without(&shut),
                boxing: Minutes(host.boxing_min),
                no_show: host.no_show,
                starts_a_window: host.starts_a_window,
                stock: Vec::new(),
            })
        })
        .collect::<Result<Vec<_>, WorkshopError>>()
}

fn printers(
    file: &RegionFile,
    catalogue: &Catalogue,
    zone: &Zone,
) -> Result<Vec<Printer>, WorkshopError> {
    let one = |printer: &PrinterEntry| {
        let class = catalogue.class(&printer.class);
        Ok(Printer {
            name: printer.name.clone(),
            site: site_of(file, &printer.host),
            bed_mm: class.map_or([0.0; 3], |class| class.bed_mm),
            materials: printer.materials.clone(),
            unattended: printer.unattended_permission.is_some(),
            out_of_use: Windows::joined(spares::away(file, zone, &printer.name)),
            start_failure: printer.start_failure,
            failures_per_hour: printer.failures_per_hour,
            time_sigma: printer.time_sigma,
            stays: stays(file, printer, zone)?,
            change: Minutes(class.map_or(0, |class| class.change_min)),
            loaded: None,
            watts: class
                .and_then(|class| ceil_i64(class.rated_power_w))
                .and_then(|watts| u32::try_from(watts).ok())
                .unwrap_or(0),
        })
    };
    file.printers.iter().map(one).collect()
}

/// Where a printer travels: from the first midnight of each stay to the one after its last day.
fn stays(
    file: &RegionFile,
    printer: &PrinterEntry,
    zone: &Zone,
) -> Result<Vec<Stay>, WorkshopError> {
    let stay = |stay: &StayEntry| {
        let (from, to) = (parse_date(&stay.from)?, parse_date(&stay.to)?);
        let after = to.checked_add(1.day()).unwrap_or(to);
        Ok(Stay {
            from: zone.minute(from, Time::midnight()),
            until: zone.minute(after, Time::midnight()),
            site: site_of(file, &stay.host),
        })
    };
    printer.stays.iter().map(stay).collect()
}

fn site_of(file: &RegionFile, host: &str) -> SiteIx {
    let found = file.hosts.iter().position(|h| h.school == host);
    SiteIx(found.unwrap_or(0))
}

fn legs(
    file: &RegionFile,
    zone: &Zone,
    days: &Days,
    sites: &[Site],
) -> Result<Vec<Leg>, WorkshopError> {
    let mut out = Vec::new();
    let rounds = file
        .couriers
        .iter()
        .map(|courier| Ok((courier, round(courier, zone, days)?)))
        .collect::<Result<Vec<_>, WorkshopError>>()?;
    let meetings = meetings(file, zone)?;
    for (h, host) in file.hosts.iter().enumerate() {
        for (p, school) in file.schools.iter().enumerate() {
            let leg = |kind, departures, missed| Leg {
                from: SiteIx(h),
                to: PlaceIx(p),
                kind,
                departures,
                missed,
            };
            if school.code == host.school {
                out.push(leg(LegKind::Counter, counter(&sites[h].staffed), 0.0));
                continue;
            }
            // Spares are handed over where they are printed, and nothing else is made there.
            if host.prints_spares() {
                continue;
            }
            for (courier, departures) in &rounds {
                let calls = |at: &[String], code| at.is_empty() || at.contains(code);
                if calls(&courier.hosts, &host.school) && calls(&courier.schools, &school.code) {
                    out.push(leg(LegKind::Courier, departures.clone(), courier.missed));
                }
            }
            for (departure, missed) in &meetings {
                out.push(leg(LegKind::Meeting, vec![*departure], *missed));
            }
        }
    }
    Ok(out)
}

/// From desk to desk, on their days.
fn relays(file: &RegionFile, zone: &Zone, days: &Days) -> Result<Vec<Relay>, WorkshopError> {
    let desk = |code: &String| {
        let found = file.schools.iter().position(|school| school.code == *code);
        PlaceIx(found.unwrap_or(0))
    };
    let one = |entry: &RelayEntry| {
        let weekdays = parse_days(&entry.days)?;
        let (leaves, arrives) = (parse_clock(&entry.leaves)?, parse_clock(&entry.arrives)?);
        let departures = days.on(&weekdays).map(|date| Departure {
            leaves: zone.minute(date, leaves),
            arrives: zone.minute(date, arrives),
        });
        Ok(Relay {
            from: desk(&entry.from),
            to: desk(&entry.to),
            kind: LegKind::Courier,
            handling: Minutes(entry.handling_min),
            departures: departures.filter(|d| d.leaves < d.arrives).collect(),
            missed: entry.missed,
        })
    };
    file.relays.iter().map(one).collect()
}

/// Over the counter: at every quarter of an hour while somebody is there, and at closing time.
fn counter(staffed: &Windows) -> Vec<Departure> {
    let mut out = Vec::new();
    for window in staffed.as_slice() {
        let mut at = window.from;
        while at < window.until {
            out.push(Departure {
                leaves: at,
                arrives: at,
            });
            at = at + COUNTER_STEP;
        }
        out.push(Departure {
            leaves: window.until,
            arrives: window.until,
        });
    }
    out
}

/// A round's departures: collected on one of its days, delivered that day or some rounds later.
fn round(courier: &Courier, zone: &Zone, days: &Days) -> Result<Vec<Departure>, WorkshopError> {
    let weekdays = parse_days(&courier.days)?;
    let (collects, delivers) = (
        parse_clock(&courier.collects)?,
        parse_clock(&courier.delivers)?,
    );
    let dates: Vec<Date> = days.on(&weekdays).collect();
    let later = courier.rounds_later as usize;
    let pairs = dates.iter().zip(dates.iter().skip(later));
    Ok(pairs
        .map(|(&leaves, &arrives)| Departure {
            leaves: zone.minute(leaves, collects),
            arrives: zone.minute(arrives, delivers),
        })
        .filter(|departure| departure.leaves <= departure.arrives)
        .collect())
}

/// Each meeting with the chance that a host's boxes are not brought along.
fn meetings(file: &RegionFile, zone: &Zone) -> Result<Vec<(Departure, f64)>, WorkshopError> {
    let mut out = Vec::new();
    for event in &file.events {
        let date = parse_date(&event.date)?;
        let before = date.checked_add(-1.day()).unwrap_or(date);
        let departure = Departure {
            leaves: zone.minute(before, parse_clock(&event.boxes_by)?),
            arrives: zone.minute(date, parse_clock(&event.hands_over)?),
        };
        out.push((departure, event.missed));
    }
    out.sort_by_key(|(departure, _)| *departure);
    Ok(out)
}
