//! Benches that students run.

use serde::{Deserialize, Serialize};

use super::{Host, RegionFile, RegionFileError};

/// What a site asks for an adult for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AdultFor {
    /// A run with nobody there, for some of its time.
    Unattended,
    /// A material that the catalogue calls hot.
    HotMaterial,
    /// A printer that stands where batteries are kept or charged.
    BatteryArea,
}

impl AdultFor {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Unattended, Self::HotMaterial, Self::BatteryArea];

    /// As it stands in files.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Unattended => "unattended",
            Self::HotMaterial => "hot-material",
            Self::BatteryArea => "battery-area",
        }
    }

    /// Read from its word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.as_str() == word)
    }
}

impl Host {
    /// What an adult is asked for at this bench: nothing where no students run it, all where its site
    /// has not said.
    #[must_use]
    pub fn asks_adult_for(&self) -> &[AdultFor] {
        match &self.adult_for {
            _ if !self.student_run => &[],
            Some(said) => said,
            None => &AdultFor::ALL,
        }
    }
}

impl RegionFile {
    /// The host at that school, if students run its bench.
    #[must_use]
    pub fn hub(&self, school: &str) -> Option<&Host> {
        let mut hosts = self.hosts.iter();
        hosts.find(|host| host.school == school && host.student_run)
    }

    /// What asks for an adult must be at a bench that students run, or it would say nothing.
    pub(super) fn check_hubs(&self) -> Result<(), RegionFileError> {
        let idle = |host: &&Host| host.adult_for.is_some() && !host.student_run;
        match self.hosts.iter().find(idle) {
            Some(host) => Err(RegionFileError::OutOfRange {
                who: host.bench.clone(),
                what: "adult_for without student_run",
            }),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Catalogue;

    const FILE: &str = r#"
name = "x"
league = "l"
zone = "Europe/Stockholm"
currency = "EUR"
teams = []
schools = [{ code = "a", name = "A", x_km = 0.0, y_km = 0.0 }]
[[hosts]]
school = "a"
bench = "b"
hours = ["mon-fri 08:15-17:30"]
boxing_min = 15
HUB
[[printers]]
name = "P"
host = "a"
class = "standard"
materials = ["PLA"]
start_failure = 0.0
failures_per_hour = 0.0
time_sigma = 0.05
BATTERY
"#;

    fn file(hub: &str, battery: &str) -> Result<RegionFile, RegionFileError> {
        let text = FILE.replace("HUB", hub).replace("BATTERY", battery);
        RegionFile::parse(&text, &Catalogue::built_in())
    }

    #[test]
    fn a_bench_asks_for_an_adult_only_where_students_run_it() {
        let plain = file("", "").unwrap();
        assert!(plain.hub("a").is_none() && plain.hosts[0].asks_adult_for().is_empty());
        let hub = file("student_run = true", "battery_area = true").unwrap();
        assert_eq!(hub.hub("a").unwrap().asks_adult_for(), AdultFor::ALL);
        assert!(hub.hub("b").is_none());
        let said = "student_run = true\nadult_for = [\"hot-material\", \"unattended\"]";
        let said = file(said, "").unwrap();
        let asks = [AdultFor::HotMaterial, AdultFor::Unattended];
        assert_eq!(said.hosts[0].asks_adult_for(), asks);
        let nothing = file("student_run = true\nadult_for = []", "").unwrap();
        assert!(nothing.hosts[0].asks_adult_for().is_empty());
        assert!(file("adult_for = []", "").is_err(), "it would say nothing");
        assert!(file("student_run = true\nadult_for = [\"magic\"]", "").is_err());
    }

    #[test]
    fn a_file_without_hubs_is_written_without_a_word_of_them_and_one_with_them_comes_back() {
        let plain = file("", "").unwrap().to_toml().unwrap();
        for word in ["student_run", "adult_for", "battery_area"] {
            assert!(!plain.contains(word), "{word}");
        }
        let hub = file("student_run = true\nadult_for = []", "battery_area = true").unwrap();
        let back = RegionFile::parse(&hub.to_toml().unwrap(), &Catalogue::built_in()).unwrap();
        assert_eq!(back, hub);
        assert!(back.printers[0].battery_area);
    }

    #[test]
    fn what_is_hot_is_hot_by_the_limits_that_the_data_file_names() {
        let materials = Catalogue::built_in().materials;
        for material in &materials {
            let hot = material.nozzle_c > 240.0 || material.bed_c > 90.0;
            assert_eq!(material.hot, hot, "{}", material.code);
        }
        assert!(materials.iter().any(|material| material.hot));
    }
}
