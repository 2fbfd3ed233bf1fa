//! A table held against the region as it is: what would be added, changed, taken out, or is wrong.

use std::borrow::Cow;
use std::collections::BTreeMap;

use csv::ReaderBuilder;
use partpledge_words::say;

use super::rows::{self, Cells, Row};
use super::{Table, as_meant};
use crate::Catalogue;
use crate::region::{RegionFile, RegionFileError};

/// Largest file, bytes, and most rows in it: a region has some hundreds.
const MOST_BYTES: usize = 256 * 1024;
const MOST_ROWS: usize = 2_000;

/// Why a file was not read at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// Too large or too long.
    #[error("{}", say!("catalogue-too-large"))]
    TooLarge,
    /// Not UTF-8.
    #[error("{}", say!("catalogue-not-utf8"))]
    NotUtf8,
    /// The first row is another one.
    #[error("{}", say!("catalogue-other-columns", columns = columns))]
    OtherColumns {
        /// The columns, with commas.
        columns: String,
    },
    /// A line that is not as RFC 4180 has it.
    #[error("{}", say!("catalogue-broken", line = line))]
    Broken {
        /// Its number.
        line: u64,
    },
}

/// Something wrong with a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The column.
    pub column: &'static str,
    /// What to do about it.
    pub what_to_do: String,
}

/// A cell that would be another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellChange {
    /// The column, or field.
    pub column: Cow<'static, str>,
    /// As it is.
    pub was: String,
    /// As it would be.
    pub is: String,
}

/// What a line comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// It is like this already.
    Same,
    /// It would be new, with these cells.
    Added(Vec<CellChange>),
    /// These cells would be others.
    Changed(Vec<CellChange>),
    /// It is not in the file and would be taken out.
    Removed,
    /// It can't be taken.
    Wrong(Vec<Fault>),
}

/// A line, or what the file leaves out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its number in the file; `None` for what is not in it.
    pub number: Option<u64>,
    /// What it is about: its first cell.
    pub key: String,
    /// What it comes to.
    pub change: Change,
}

/// A table held against the region.
#[derive(Clone, Debug, PartialEq)]
pub struct Review {
    /// Every line, and then what would be taken out.
    pub lines: Vec<Line>,
    /// What is wrong with the region as it would be, where that is no single line's doing.
    pub whole: Vec<String>,
    /// The region as it would be; `None` when anything is wrong.
    pub file: Option<RegionFile>,
}

impl Review {
    /// Whether every line is like this already.
    #[must_use]
    pub fn changes_nothing(&self) -> bool {
        self.lines.iter().all(|line| line.change == Change::Same)
    }
}

/// Holds a table against the region; `removes` takes out what is not in it.
///
/// # Errors
/// [`TableError`] when the file can't be read as this table. What is wrong with single lines is in
/// the review.
pub fn review(
    file: &RegionFile,
    table: Table,
    (bytes, removes): (&[u8], bool),
    catalogue: &Catalogue,
) -> Result<Review, TableError> {
    let read = read(table, bytes)?;
    let mut next = file.clone();
    let old: BTreeMap<String, Row> = (rows::of(file, table).into_iter())
        .map(|row| (row[0].clone(), row))
        .collect();
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    let mut lines = Vec::new();
    for (number, row) in read {
        // White space around a name is none of it, unless the region's own has it.
        let key = row.first().cloned().unwrap_or_default();
        let key = if old.contains_key(&key) {
            key
        } else {
            key.trim().to_owned()
        };
        let before = seen.insert(key.clone(), number);
        let change = match before {
            _ if row.len() != table.columns().len() => wrong(table, cells_missing(table, &row)),
            Some(first) => wrong(table, say!("catalogue-line-has-it", line = first)),
            None => one(&mut next, table, (&row, old.get(&key)), catalogue),
        };
        lines.push(Line {
            number: Some(number),
            key: key.trim().to_owned(),
            change,
        });
    }
    if removes {
        let gone: Vec<&String> = old.keys().filter(|key| !seen.contains_key(*key)).collect();
        take_out(&mut next, table, &gone);
        let removed = |key: &&String| Line {
            number: None,
            key: (*key).clone(),
            change: Change::Removed,
        };
        lines.extend(gone.iter().map(removed));
    }
    let wrong = |line: &Line| matches!(line.change, Change::Wrong(_));
    let mut whole = Vec::new();
    let fine = !lines.iter().any(wrong);
    if fine && let Err(error) = next.check(catalogue) {
        whole.push(what_to_do(&error));
    }
    let fine = fine && whole.is_empty();
    Ok(Review {
        lines,
        whole,
        file: fine.then_some(next),
    })
}

/// Rows with the numbers of their lines; cells as they were meant.
fn read(table: Table, bytes: &[u8]) -> Result<Vec<(u64, Row)>, TableError> {
    if bytes.len() > MOST_BYTES {
        return Err(TableError::TooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|_| TableError::NotUtf8)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut out = Vec::new();
    let mut lines = LineNumbers::of(text);
    for (i, record) in reader.records().enumerate() {
        let record = record.map_err(|error| TableError::Broken {
            line: error.position().map_or(0, csv::Position::line),
        })?;
        if i == 0 {
            let columns = table.columns();
            if !record.iter().map(str::trim).eq(columns.iter().copied()) {
                let columns = columns.join(",");
                return Err(TableError::OtherColumns { columns });
            }
            continue;
        }
        // A spreadsheet may leave empty rows at the end.
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let begins = record.position().map_or(0, csv::Position::byte);
        let line = lines.upto(begins);
        out.push((
            line,
            record.iter().map(|c| as_meant(c).to_owned()).collect(),
        ));
        if out.len() > MOST_ROWS {
            return Err(TableError::TooLarge);
        }
    }
    if out.is_empty() && text.trim().is_empty() {
        let columns = table.columns().join(",");
        return Err(TableError::OtherColumns { columns });
    }
    Ok(out)
}

/// Numbers of lines by where records begin: the reader takes the second half of CRLF for the next line.
struct LineNumbers<'a> {
    text: &'a [u8],
    upto: usize,
    line: u64,
}

impl<'a> LineNumbers<'a> {
    fn of(text: &'a str) -> Self {
        Self {
            text: text.as_bytes(),
            upto: 0,
            line: 1,
        }
    }

    /// The line that the record beginning there, or after empty lines there, stands in. Records come
    /// in order.
    fn upto(&mut self, begins: u64) -> u64 {
        let begins = usize::try_from(begins).unwrap_or(usize::MAX);
        while let Some(byte) = self.text.get(self.upto)
            && (self.upto < begins || matches!(byte, b'\r' | b'\n'))
        {
            self.line += u64::from(*byte == b'\n');
            self.upto += 1;
        }
        self.line
    }
}

fn cells_missing(table: Table, row: &Row) -> String {
    let (has, must) = (row.len(), table.columns().len());
    say!("catalogue-cells", has = has, must = must)
}

fn wrong(table: Table, what_to_do: String) -> Change {
    Change::Wrong(vec![Fault {
        column: table.columns()[0],
        what_to_do,
    }])
}

/// Takes one row into the region, if it is in order; what that comes to.
fn one(
    next: &mut RegionFile,
    table: Table,
    (row, old): (&Row, Option<&Row>),
    catalogue: &Catalogue,
) -> Change {
    if old == Some(row) {
        return Change::Same;
    }
    let mut cells = Cells::new(table, row);
    match table {
        Table::Schools => {
            let school = rows::school(&mut cells);
            let mut others = next.schools.iter();
            if others.any(|one| one.code != school.code && one.name == school.name) {
                cells.bad(1, say!("catalogue-other-school"));
            }
            put(&mut next.schools, school, |s| &s.code);
        }
        Table::Teams => {
            let team = rows::team(&mut cells, next);
            put(&mut next.teams, team, |t| &t.name);
        }
        Table::Hours => {
            let code = row[0].trim();
            let old = next.hosts.iter().find(|host| host.school == code).cloned();
            let host = rows::host(&mut cells, next, old.as_ref());
            put(&mut next.hosts, host, |h| &h.school);
        }
        Table::Printers => {
            let printer = rows::printer(&mut cells, next, catalogue);
            put(&mut next.printers, printer, |p| &p.name);
        }
    }
    if !cells.faults.is_empty() {
        return Change::Wrong(cells.faults);
    }
    let now = rows::of(next, table);
    let now = now.iter().find(|now| now[0] == row[0].trim());
    let cells = |old: Option<&Row>, now: &Row| -> Vec<CellChange> {
        let pairs = table.columns().iter().zip(now).enumerate();
        let cells = pairs.map(|(n, (column, is))| CellChange {
            column: Cow::Borrowed(*column),
            was: old.and_then(|old| old.get(n)).cloned().unwrap_or_default(),
            is: is.clone(),
        });
        cells.filter(|cell| cell.was != cell.is).collect()
    };
    match (old, now) {
        (None, now) => Change::Added(now.map(|now| cells(None, now)).unwrap_or_default()),
        (Some(_), None) => Change::Added(Vec::new()),
        (Some(old), Some(now)) => match cells(Some(old), now) {
            none if none.is_empty() => Change::Same,
            some => Change::Changed(some),
        },
    }
}

/// What is wrong with the rows of a region that was not made of tables: which row, from 0, and what.
pub(in crate::region) fn faults(
    file: &RegionFile,
    table: Table,
    catalogue: &Catalogue,
) -> Vec<(usize, Fault)> {
    let mut out = Vec::new();
    for (n, row) in rows::of(file, table).iter().enumerate() {
        let mut cells = Cells::new(table, row);
        match table {
            Table::Schools => {
                rows::school(&mut cells);
            }
            Table::Teams => {
                rows::team(&mut cells, file);
            }
            Table::Hours => {
                rows::host(&mut cells, file, None);
            }
            Table::Printers => {
                rows::printer(&mut cells, file, catalogue);
            }
        }
        out.extend(cells.faults.into_iter().map(|fault| (n, fault)));
    }
    out
}

/// Puts a thing in the place of the one of its name, or at the end.
fn put<T>(all: &mut Vec<T>, new: T, name: impl Fn(&T) -> &String) {
    match all.iter().position(|old| name(old) == name(&new)) {
        Some(at) => all[at] = new,
        None => all.push(new),
    }
}

fn take_out(next: &mut RegionFile, table: Table, gone: &[&String]) {
    let stays = |key: &String| !gone.contains(&key);
    match table {
        Table::Schools => next.schools.retain(|school| stays(&school.code)),
        Table::Teams => {
            next.teams.retain(|team| stays(&team.name));
            next.trusted_teams.retain(stays);
        }
        Table::Hours => next.hosts.retain(|host| stays(&host.school)),
        Table::Printers => next.printers.retain(|printer| stays(&printer.name)),
    }
}

/// What to do about a region that would not be in order.
fn what_to_do(error: &RegionFileError) -> String {
    match error {
        RegionFileError::Unknown { who, what } => {
            say!("catalogue-needs", who = who, what = what)
        }
        RegionFileError::Twice(name) => say!("catalogue-would-be-twice", name = name),
        other => format!("{other}."),
    }
}
