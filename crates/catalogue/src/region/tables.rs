//! Parts of a region file as tables: comma-separated values as RFC 4180 has them, in UTF-8, the first
//! row with the names of the columns.
//!
//! A cell that a spreadsheet would take for a formula begins with an apostrophe in the file, and
//! loses it when it is read again. Plain numbers are left as they are.

mod review;
mod rows;
#[cfg(test)]
mod tests;

use csv::{Terminator, WriterBuilder};

pub(super) use review::faults;
pub use review::{CellChange, Change, Fault, Line, Review, TableError, review};

use super::RegionFile;

/// A table of the region file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Table {
    /// Schools, by code.
    Schools,
    /// Teams, by name.
    Teams,
    /// Hosts with their hours, by the code of their school.
    Hours,
    /// Printers, by name.
    Printers,
}

impl Table {
    /// All of them, each before those that name what is in it.
    pub const ALL: [Self; 4] = [Self::Schools, Self::Teams, Self::Hours, Self::Printers];

    /// Its name, in addresses and of its file.
    ///
    /// ```
    /// use partpledge_catalogue::region::Table;
    /// assert!(Table::ALL.iter().all(|table| Table::named(table.name()) == Some(*table)));
    /// ```
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Schools => "schools",
            Self::Teams => "teams",
            Self::Hours => "hours",
            Self::Printers => "printers",
        }
    }

    /// The table of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|table| table.name() == name)
    }

    /// Names of its columns; a row is known by its first cell.
    #[must_use]
    pub fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Schools => &["code", "name", "x_km", "y_km"],
            Self::Teams => &["name", "school"],
            Self::Hours => &[
                "school",
                "bench",
                "hours",
                "boxing_min",
                "starts_a_window",
                "no_show",
                "student_run",
                "adult_for",
                "spares_on",
            ],
            Self::Printers => &[
                "name",
                "host",
                "class",
                "materials",
                "unattended_permission",
                "start_failure",
                "failures_per_hour",
                "time_sigma",
                "stays",
                "battery_area",
                "agent_address",
                "agent_device",
                "at_home",
            ],
        }
    }
}

/// A table of the region as a file, in the order of the region file; line ends are CRLF.
///
/// ```
/// use partpledge_catalogue::region::{RegionFile, Table, to_csv};
/// # let text = r#"
/// # name = "Fenmarch"
/// # league = "Fenmarch League"
/// # zone = "Europe/Stockholm"
/// # currency = "EUR"
/// # schools = [{ code = "alder", name = "=Alder, old", x_km = -1.5, y_km = 0.0 }]
/// # teams = []
/// # hosts = []
/// # printers = []"#;
/// let file = RegionFile::parse(text, &partpledge_catalogue::Catalogue::built_in()).unwrap();
/// let csv = String::from_utf8(to_csv(&file, Table::Schools)).unwrap();
/// assert_eq!(csv, "code,name,x_km,y_km\r\nalder,\"'=Alder, old\",-1.5,0\r\n");
/// ```
#[must_use]
pub fn to_csv(file: &RegionFile, table: Table) -> Vec<u8> {
    as_csv(table.columns(), rows::of(file, table))
}

/// Rows under their columns as CSV with a header (RFC 4180), with cells that no spreadsheet takes for a
/// formula. Every row has as many cells as there are columns.
///
/// ```
/// let rows = vec![vec!["=Alder".to_owned(), "-1.5".to_owned()]];
/// let csv = partpledge_catalogue::region::as_csv(&["name", "x_km"], rows);
/// assert_eq!(csv, b"name,x_km\r\n'=Alder,-1.5\r\n");
/// ```
#[must_use]
pub fn as_csv<S: AsRef<str>>(columns: &[&str], rows: Vec<Vec<S>>) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    // Memory takes whatever comes, and every row has the cells of the first.
    let _ = writer.write_record(columns);
    for row in rows {
        let _ = writer.write_record(row.iter().map(|cell| harmless(cell.as_ref())));
    }
    writer.into_inner().unwrap_or_default()
}

/// What a spreadsheet may take for the beginning of a formula (common practice, no source); and the
/// apostrophe itself, so that reading it back is without doubt.
const STARTS: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\''];

/// The cell so that no spreadsheet takes it for a formula.
fn harmless(cell: &str) -> String {
    let number = cell.parse::<f64>().is_ok_and(f64::is_finite) && !cell.starts_with('+');
    if cell.starts_with(STARTS) && !number {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}

/// The cell as it was before [`harmless`].
fn as_meant(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(STARTS) => rest,
        _ => cell,
    }
}
