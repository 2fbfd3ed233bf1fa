//! Benches at a meeting, where spares are printed on the day.

use partpledge_units::local::parse_date;

use super::{Host, PrinterEntry, RegionFile, RegionFileError, parse_hours};

impl Host {
    /// Whether it prints spares at a meeting, and nothing else.
    #[must_use]
    pub fn prints_spares(&self) -> bool {
        self.spares_on.is_some()
    }
}

impl RegionFile {
    /// The bench at that school, if it prints spares at a meeting.
    #[must_use]
    pub fn spares_bench(&self, school: &str) -> Option<&Host> {
        let mut hosts = self.hosts.iter();
        hosts.find(|host| host.school == school && host.prints_spares())
    }

    /// The name that a printer has at its own school: the same machine may be at a meeting under another.
    #[must_use]
    pub fn machine_of<'a>(&'a self, printer: &'a str) -> &'a str {
        let mut printers = self.printers.iter();
        let there = printers.find(|entry| entry.name == printer);
        there
            .and_then(|entry| entry.at_home.as_deref())
            .unwrap_or(printer)
    }

    /// The day on which a printer is away from its own school at a meeting, and so can't be used there.
    #[must_use]
    pub fn away_on(&self, printer: &str) -> Vec<&str> {
        let there = self.printers.iter();
        let there = there.filter(|entry| entry.at_home.as_deref() == Some(printer));
        there
            .filter_map(|entry| self.spares_bench(&entry.host)?.spares_on.as_deref())
            .collect()
    }

    /// A bench for spares is at a place of its own, on the day of a meeting, at hours of that day.
    pub(super) fn check_spares(&self) -> Result<(), RegionFileError> {
        for host in self.hosts.iter().filter(|host| host.prints_spares()) {
            self.check_bench(host)?;
        }
        self.printers
            .iter()
            .try_for_each(|printer| self.check_home(printer))
    }

    fn check_bench(&self, host: &Host) -> Result<(), RegionFileError> {
        let wrong = |what: &'static str| RegionFileError::OutOfRange {
            who: host.bench.clone(),
            what,
        };
        let on = host.spares_on.as_deref().unwrap_or_default();
        let meets = self.events.iter().any(|event| event.date == on);
        let day = parse_date(on).ok().filter(|_| meets);
        let Some(day) = day else {
            return Err(wrong("spares_on, which is not the day of a meeting"));
        };
        let weekday = u8::try_from(day.weekday().to_monday_zero_offset()).unwrap_or(0);
        let opens = |text: &String| parse_hours(text).is_ok_and(|h| h.days.contains(&weekday));
        if !host.hours.iter().any(opens) {
            return Err(wrong("hours, which are not on the day of spares_on"));
        }
        // Its place is the bench itself: nobody's parts are brought there on other days.
        if self.teams.iter().any(|team| team.school == host.school) {
            return Err(wrong("spares_on at a school with teams"));
        }
        let travels = self.printers.iter().flat_map(|printer| &printer.stays);
        if travels.map(|stay| &stay.host).any(|at| *at == host.school) {
            return Err(wrong("spares_on where a printer stays"));
        }
        let mut own = self
            .printers
            .iter()
            .filter(|printer| printer.host == host.school);
        if own.any(|printer| !printer.stays.is_empty()) {
            return Err(wrong("spares_on with a printer that travels"));
        }
        // No team is at home there, so no mentor would hear of what waits for an adult.
        if host.student_run {
            return Err(wrong("spares_on at a bench that students run"));
        }
        Ok(())
    }

    fn check_home(&self, printer: &PrinterEntry) -> Result<(), RegionFileError> {
        let Some(home) = &printer.at_home else {
            return Ok(());
        };
        let wrong = |what: &'static str| RegionFileError::OutOfRange {
            who: printer.name.clone(),
            what,
        };
        if self.spares_bench(&printer.host).is_none() {
            return Err(wrong("at_home, which only a printer at a meeting has"));
        }
        let Some(own) = self.printers.iter().find(|own| own.name == *home) else {
            return Err(RegionFileError::Unknown {
                who: printer.name.clone(),
                what: home.clone(),
            });
        };
        if self.spares_bench(&own.host).is_some() {
            return Err(wrong("at_home, which is at a meeting too"));
        }
        // One machine would be heard twice.
        if printer.agent.is_some() && own.agent.is_some() {
            return Err(wrong("agent, which the printer at home has"));
        }
        if own.class != printer.class {
            return Err(wrong("at_home, which is of another class"));
        }
        let on = |entry: &PrinterEntry| self.spares_bench(&entry.host)?.spares_on.clone();
        let others = self
            .printers
            .iter()
            .filter(|other| other.at_home == printer.at_home && on(other) == on(printer));
        if others.count() > 1 {
            return Err(wrong("at_home, which is at two benches on one day"));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Catalogue;
    use crate::region::{Change, Line, Table, review, to_csv};

    const FILE: &str = r#"
name = "x"
league = "l"
zone = "Europe/Stockholm"
currency = "EUR"
teams = [{ name = "Alder Axles", school = "alder" }]
schools = [{ code = "alder", name = "Alder", x_km = 0.0, y_km = 0.0 }, { code = "hall", name = "Hall", x_km = 1.0, y_km = 0.0 }]
hosts = [
  { school = "alder", bench = "room 1", hours = ["mon-fri 08:15-17:30"], boxing_min = 15 },
  { school = "hall", bench = "spares", hours = ["sat 08:00-17:00"], boxing_min = 0, spares_on = "2027-03-13" },
]
events = [{ name = "Qualifier", date = "2027-03-13", boxes_by = "16:00", hands_over = "09:00" }]
[[printers]]
name = "Wren"
host = "alder"
class = "standard"
materials = ["PLA"]
start_failure = 0.0
failures_per_hour = 0.0
time_sigma = 0.05
[[printers]]
name = "Wren at the hall"
host = "hall"
class = "standard"
materials = ["PLA"]
start_failure = 0.0
failures_per_hour = 0.0
time_sigma = 0.05
at_home = "Wren"
"#;

    fn with(old: &str, new: &str) -> Result<RegionFile, RegionFileError> {
        assert!(FILE.contains(old), "{old}");
        RegionFile::parse(&FILE.replace(old, new), &Catalogue::built_in())
    }

    #[test]
    fn a_bench_at_a_meeting_has_its_day_and_takes_printers_from_home() {
        let file = with("x", "x").unwrap();
        assert!(file.spares_bench("hall").is_some() && file.spares_bench("alder").is_none());
        assert_eq!(file.away_on("Wren"), ["2027-03-13"]);
        assert!(file.away_on("Wren at the hall").is_empty());
        let back = RegionFile::parse(&file.to_toml().unwrap(), &Catalogue::built_in());
        assert_eq!(back.unwrap(), file);
    }

    #[test]
    fn tables_take_such_a_bench_out_and_in() {
        let (file, catalogue) = (with("x", "x").unwrap(), Catalogue::built_in());
        let mut made = RegionFile {
            hosts: Vec::new(),
            printers: Vec::new(),
            ..file.clone()
        };
        for table in [Table::Hours, Table::Printers] {
            let csv = to_csv(&file, table);
            made = review(&made, table, (&csv, true), &catalogue)
                .unwrap()
                .file
                .unwrap();
        }
        assert_eq!(made, file);
        let csv = String::from_utf8(to_csv(&file, Table::Hours)).unwrap();
        let csv = csv.replace("2027-03-13", "2027-03-15");
        let read = review(&made, Table::Hours, (csv.as_bytes(), false), &catalogue).unwrap();
        let wrong = |line: &Line| matches!(&line.change, Change::Wrong(faults) if faults[0].column == "spares_on");
        assert!(read.lines.iter().any(wrong), "{:?}", read.lines);
    }

    #[test]
    fn what_would_be_no_bench_at_a_meeting_is_refused() {
        let refused = [
            (
                "date = \"2027-03-13\"",
                "date = \"2027-03-14\"",
                "spares_on",
            ),
            ("sat 08:00-17:00", "sun 08:00-17:00", "hours"),
            ("school = \"alder\" }]", "school = \"hall\" }]", "teams"),
            (
                "spares_on =",
                "student_run = true, spares_on =",
                "students run",
            ),
            (
                "at_home = \"Wren\"",
                "at_home = \"Wren at the hall\"",
                "meeting too",
            ),
            (
                ", spares_on = \"2027-03-13\"",
                "",
                "only a printer at a meeting",
            ),
        ];
        for (old, new, says) in refused {
            let refused = with(old, new).unwrap_err();
            let RegionFileError::OutOfRange { what, .. } = &refused else {
                panic!("{new}: {refused:?}");
            };
            assert!(what.contains(says), "{new}: {what}");
        }
        assert!(matches!(
            with("at_home = \"Wren\"", "at_home = \"Rail\""),
            Err(RegionFileError::Unknown { what, .. }) if what == "Rail"
        ));
    }

    #[test]
    fn a_file_without_such_benches_has_not_a_word_of_them() {
        let plain = with(", spares_on = \"2027-03-13\"", "").err().map(|_| {
            FILE.replace(", spares_on = \"2027-03-13\"", "")
                .replace("at_home = \"Wren\"", "")
        });
        let plain = RegionFile::parse(&plain.unwrap(), &Catalogue::built_in()).unwrap();
        let text = plain.to_toml().unwrap();
        assert!(!text.contains("spares_on") && !text.contains("at_home"));
    }
}
