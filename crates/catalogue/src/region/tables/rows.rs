//! Rows of a table as texts, and texts read as the things of a region file.

use partpledge_units::local::{parse_clock, parse_date};
use partpledge_words::say;

use super::Table;
use super::review::Fault;
use crate::Catalogue;
use crate::region::{
    AdultFor, AgentEntry, Host, PrinterEntry, RegionFile, School, StayEntry, Team, parse_hours,
};

/// Between several things in one cell.
const BETWEEN: &str = "; ";
/// What holds is said so; what does not is an empty cell.
const YES: &str = "yes";
/// A list that is there and has nothing in it.
const NOTHING: &str = "nothing";
/// Longest name, characters.
const LONGEST: usize = 100;
/// Farthest school from the region's middle, km: the Earth is no larger.
const FARTHEST_KM: f64 = 20_100.0;

/// A row's cells, in the order of the columns.
pub(super) type Row = Vec<String>;

/// Every row of a table.
pub(super) fn of(file: &RegionFile, table: Table) -> Vec<Row> {
    match table {
        Table::Schools => file.schools.iter().map(school_row).collect(),
        Table::Teams => file.teams.iter().map(team_row).collect(),
        Table::Hours => file.hosts.iter().map(host_row).collect(),
        Table::Printers => file.printers.iter().map(printer_row).collect(),
    }
}

fn school_row(school: &School) -> Row {
    let (x, y) = (school.x_km.to_string(), school.y_km.to_string());
    vec![school.code.clone(), school.name.clone(), x, y]
}

fn team_row(team: &Team) -> Row {
    vec![team.name.clone(), team.school.clone()]
}

fn host_row(host: &Host) -> Row {
    let starts = host.starts_a_window.map(|starts| starts.to_string());
    let adult_for = host.adult_for.as_ref().map(|said| match said.as_slice() {
        [] => NOTHING.to_owned(),
        said => said
            .iter()
            .map(|one| one.as_str())
            .collect::<Vec<_>>()
            .join(BETWEEN),
    });
    vec![
        host.school.clone(),
        host.bench.clone(),
        host.hours.join(BETWEEN),
        host.boxing_min.to_string(),
        starts.unwrap_or_default(),
        host.no_show.to_string(),
        yes(host.student_run),
        adult_for.unwrap_or_default(),
        host.spares_on.clone().unwrap_or_default(),
    ]
}

fn printer_row(printer: &PrinterEntry) -> Row {
    let stay = |stay: &StayEntry| format!("{} {} {}", stay.host, stay.from, stay.to);
    let stays: Vec<String> = printer.stays.iter().map(stay).collect();
    let agent = printer.agent.as_ref();
    vec![
        printer.name.clone(),
        printer.host.clone(),
        printer.class.clone(),
        printer.materials.join(BETWEEN),
        printer.unattended_permission.clone().unwrap_or_default(),
        printer.start_failure.to_string(),
        printer.failures_per_hour.to_string(),
        printer.time_sigma.to_string(),
        stays.join(BETWEEN),
        yes(printer.battery_area),
        agent.map_or_else(String::new, |agent| agent.address.clone()),
        agent.map_or_else(String::new, |agent| agent.device.clone()),
        printer.at_home.clone().unwrap_or_default(),
    ]
}

fn yes(is: bool) -> String {
    if is { YES } else { "" }.to_owned()
}

/// A row that is read, and what was wrong with its cells.
pub(super) struct Cells<'a> {
    pub(super) row: &'a [String],
    columns: &'static [&'static str],
    pub(super) faults: Vec<Fault>,
}

impl<'a> Cells<'a> {
    pub(super) fn new(table: Table, row: &'a [String]) -> Self {
        Self {
            row,
            columns: table.columns(),
            faults: Vec::new(),
        }
    }

    pub(super) fn bad(&mut self, at: usize, what_to_do: String) {
        self.faults.push(Fault {
            column: self.columns[at],
            what_to_do,
        });
    }

    fn cell(&self, at: usize) -> &'a str {
        self.row[at].trim()
    }

    fn name(&mut self, at: usize) -> String {
        let cell = self.cell(at);
        let plain = !cell.chars().any(char::is_control);
        if cell.is_empty() || cell.chars().count() > LONGEST || !plain {
            self.bad(at, say!("catalogue-write-name"));
        }
        cell.to_owned()
    }

    fn number(&mut self, at: usize, (from, to): (f64, f64)) -> f64 {
        let read = self.cell(at).parse::<f64>().ok();
        let read = read.filter(|number| (from..=to).contains(number));
        read.unwrap_or_else(|| {
            // As it is to be written, in every tongue.
            let (from, to) = (from.to_string(), to.to_string());
            self.bad(at, say!("catalogue-write-number", from = from, to = to));
            0.0
        })
    }

    fn yes(&mut self, at: usize) -> bool {
        let cell = self.cell(at);
        if !matches!(cell, "" | YES) {
            self.bad(at, say!("catalogue-write-yes", word = YES));
        }
        cell == YES
    }

    fn list(&self, at: usize) -> Vec<String> {
        let parts = self.cell(at).split(';').map(str::trim);
        let parts = parts.filter(|part| !part.is_empty());
        parts.map(str::to_owned).collect()
    }
}

pub(super) fn school(cells: &mut Cells<'_>) -> School {
    let code = cells.cell(0).to_owned();
    let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if code.is_empty() || code.len() > 40 || !code.chars().all(letter) {
        cells.bad(0, say!("catalogue-write-code"));
    }
    let around = (-FARTHEST_KM, FARTHEST_KM);
    School {
        code,
        name: cells.name(1),
        x_km: cells.number(2, around),
        y_km: cells.number(3, around),
    }
}

pub(super) fn team(cells: &mut Cells<'_>, file: &RegionFile) -> Team {
    let name = cells.name(0);
    let school = cells.cell(1).to_owned();
    if file.school(&school).is_none() {
        cells.bad(1, say!("catalogue-write-school"));
    }
    Team { name, school }
}

/// `old` is the host as it is, whose own closures stay.
pub(super) fn host(cells: &mut Cells<'_>, file: &RegionFile, old: Option<&Host>) -> Host {
    let school = cells.cell(0).to_owned();
    if file.school(&school).is_none() {
        cells.bad(0, say!("catalogue-write-school"));
    }
    let bench = cells.name(1);
    let hours = cells.list(2);
    let fine = |text: &String| {
        let read = parse_hours(text);
        read.is_ok_and(|h| parse_clock(&h.opens).is_ok() && parse_clock(&h.closes).is_ok())
    };
    if hours.is_empty() || !hours.iter().all(fine) {
        cells.bad(2, say!("catalogue-write-hours"));
    }
    let boxing_min = cells.cell(3).parse::<i64>().unwrap_or(-1);
    if !(0..=24 * 60).contains(&boxing_min) {
        cells.bad(3, say!("catalogue-write-minutes"));
    }
    let starts_a_window = match cells.cell(4) {
        "" => None,
        text => {
            let starts = text.parse::<u32>().ok().filter(|starts| *starts > 0);
            if starts.is_none() {
                cells.bad(4, say!("catalogue-write-whole"));
            }
            starts
        }
    };
    let student_run = cells.yes(6);
    Host {
        school,
        bench,
        hours,
        boxing_min,
        closures: old.map(|host| host.closures.clone()).unwrap_or_default(),
        starts_a_window,
        no_show: cells.number(5, (0.0, 0.5)),
        student_run,
        adult_for: adult_for(cells, student_run),
        spares_on: spares_on(cells, file),
    }
}

/// The day of a meeting, for a bench that is there on that day only.
fn spares_on(cells: &mut Cells<'_>, file: &RegionFile) -> Option<String> {
    let day = Some(cells.cell(8)).filter(|day| !day.is_empty())?;
    if !file.events.iter().any(|event| event.date == day) {
        cells.bad(8, say!("catalogue-write-meeting"));
    }
    Some(day.to_owned())
}

/// What an adult is asked for: an empty cell leaves it unsaid, which is all of it.
fn adult_for(cells: &mut Cells<'_>, student_run: bool) -> Option<Vec<AdultFor>> {
    let text = cells.cell(7);
    if text.is_empty() {
        return None;
    }
    if !student_run {
        cells.bad(7, say!("catalogue-leave-empty"));
    }
    if text == NOTHING {
        return Some(Vec::new());
    }
    let all: Option<Vec<AdultFor>> = cells
        .list(7)
        .iter()
        .map(|word| AdultFor::parse(word))
        .collect();
    if all.is_none() {
        let words = AdultFor::ALL.map(AdultFor::as_str).join("; ");
        let says = say!("catalogue-write-some-of", words = words, nothing = NOTHING);
        cells.bad(7, says);
    }
    all
}

pub(super) fn printer(
    cells: &mut Cells<'_>,
    file: &RegionFile,
    catalogue: &Catalogue,
) -> PrinterEntry {
    let is_host = |code: &str| file.hosts.iter().any(|host| host.school == code);
    let name = cells.name(0);
    let host = cells.cell(1).to_owned();
    if !is_host(&host) {
        cells.bad(1, say!("catalogue-write-host"));
    }
    let class = cells.cell(2).to_owned();
    let known = catalogue.class(&class);
    if known.is_none() {
        let classes: Vec<&str> = catalogue.classes.iter().map(|c| c.code.as_str()).collect();
        let words = classes.join(", ");
        cells.bad(2, say!("catalogue-write-one-of", words = words));
    }
    let materials = cells.list(3);
    let not_taken = |code: &&String| known.is_some_and(|class| !class.takes(code));
    if let Some(code) = materials.iter().find(not_taken) {
        cells.bad(3, say!("catalogue-class-takes-not", material = code));
    } else if materials.is_empty() {
        cells.bad(3, say!("catalogue-write-plastics"));
    }
    let permission = cells.cell(4);
    if permission.chars().count() > 2 * LONGEST || permission.chars().any(char::is_control) {
        cells.bad(4, say!("catalogue-write-paper"));
    }
    PrinterEntry {
        name,
        host,
        class,
        materials,
        unattended_permission: Some(permission.to_owned()).filter(|text| !text.is_empty()),
        start_failure: cells.number(5, (0.0, 0.9)),
        failures_per_hour: cells.number(6, (0.0, 1.0)),
        time_sigma: cells.number(7, (0.0, 0.5)),
        stays: stays(cells, is_host),
        battery_area: cells.yes(9),
        agent: agent(cells),
        at_home: Some(cells.cell(12))
            .filter(|home| !home.is_empty())
            .map(str::to_owned),
    }
}

/// Both cells, or neither.
fn agent(cells: &mut Cells<'_>) -> Option<AgentEntry> {
    let agent = AgentEntry {
        address: cells.cell(10).to_owned(),
        device: cells.cell(11).to_owned(),
    };
    if agent.address.is_empty() && agent.device.is_empty() {
        return None;
    }
    match agent.fault() {
        Some("agent address") => cells.bad(10, say!("catalogue-write-address")),
        Some(_) => cells.bad(11, say!("catalogue-write-device")),
        None => {}
    }
    Some(agent)
}

fn stays(cells: &mut Cells<'_>, is_host: impl Fn(&str) -> bool) -> Vec<StayEntry> {
    let read = |text: &String| {
        let words: Vec<&str> = text.split_whitespace().collect();
        let [host, from, to] = words[..] else {
            return None;
        };
        let days = parse_date(from).ok()? <= parse_date(to).ok()?;
        (days && is_host(host)).then(|| StayEntry {
            host: host.to_owned(),
            from: from.to_owned(),
            to: to.to_owned(),
        })
    };
    let all: Option<Vec<StayEntry>> = cells.list(8).iter().map(read).collect();
    // Dates are written so that they sort as text.
    let in_order = |stays: &Vec<StayEntry>| stays.is_sorted_by(|a, b| a.to < b.from);
    all.filter(in_order).unwrap_or_else(|| {
        cells.bad(8, say!("catalogue-write-stays"));
        Vec::new()
    })
}
