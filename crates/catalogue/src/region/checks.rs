//! A region file read, and checked against itself and the printer classes.

use super::{
    AgentEntry, Origin, PrinterEntry, RegionFile, RegionFileError, RelayEntry, School, parse_days,
    parse_hours,
};

use crate::Costs;
use partpledge_units::local::parse_clock;

impl RegionFile {
    /// Reads and checks a region file against the built-in printer classes.
    ///
    /// # Errors
    /// [`RegionFileError`], the first rule that is broken.
    pub fn parse(text: &str, catalogue: &crate::Catalogue) -> Result<Self, RegionFileError> {
        let file: Self =
            toml::from_str(text).map_err(|e| RegionFileError::BadFile(e.to_string()))?;
        file.check(catalogue)?;
        Ok(file)
    }

    /// The file as text, to be read again with [`RegionFile::parse`]. Comments are gone.
    ///
    /// # Errors
    /// [`RegionFileError::BadFile`] for what TOML can't hold.
    pub fn to_toml(&self) -> Result<String, RegionFileError> {
        toml::to_string(self).map_err(|e| RegionFileError::BadFile(e.to_string()))
    }

    /// Checks a region file against itself and the printer classes.
    ///
    /// # Errors
    /// [`RegionFileError`], the first rule that is broken.
    pub fn check(&self, catalogue: &crate::Catalogue) -> Result<(), RegionFileError> {
        let file = self;
        file.check_names()?;
        file.origin.as_ref().map_or(Ok(()), Origin::check)?;
        file.printers
            .iter()
            .try_for_each(|printer| file.check_printer(printer, catalogue))?;
        file.check_chances()?;
        file.check_review()?;
        file.check_hubs()?;
        file.check_spares()?;
        Costs::of(file, catalogue).map_err(|error| RegionFileError::Prices(error.to_string()))?;
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
        file.relays.iter().try_for_each(check_relay)
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
        if let Some(what) = printer.agent.as_ref().and_then(AgentEntry::fault) {
            return Err(RegionFileError::OutOfRange {
                who: printer.name.clone(),
                what,
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

fn check_relay(relay: &RelayEntry) -> Result<(), RegionFileError> {
    parse_days(&relay.days)?;
    let wrong = |what: &'static str| RegionFileError::OutOfRange {
        who: relay.name.clone(),
        what,
    };
    let leaves = parse_clock(&relay.leaves).map_err(|_| wrong("leaves"))?;
    let arrives = parse_clock(&relay.arrives).map_err(|_| wrong("arrives"))?;
    // Each of its departures would be left out.
    if leaves >= arrives {
        return Err(wrong("arrives"));
    }
    Ok(())
}
