//! A region file as somebody wrote it: everything that is wrong with it, each with its line.
//!
//! What the tables of a region check cell by cell is checked here by the same code.

mod places;
mod rest;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use partpledge_words::say;

use super::tables::{Table, faults};
use super::{RegionFile, RegionFileError};
use crate::Catalogue;

pub(super) use places::{At, Places};

/// Something wrong in a region file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Wrong {
    /// The line, from 1.
    pub line: usize,
    /// The field, `schools.x_km`; empty where it is none.
    pub field: String,
    /// What to do about it.
    pub what_to_do: String,
}

/// Reads a region file that somebody wrote.
///
/// # Errors
/// All that is wrong with it, in the order of its lines; only the first thing where it is no TOML or
/// has not the fields of a region file.
///
/// ```
/// use partpledge_catalogue::{Catalogue, region};
/// let text = region::sample("2027-03-09").replace("x_km = 4.0", "x_km = 99999.0");
/// let wrong = region::written(&text, &Catalogue::built_in()).unwrap_err();
/// assert_eq!((wrong.len(), wrong[0].field.as_str()), (1, "schools.x_km"));
/// assert_eq!(text.lines().nth(wrong[0].line - 1), Some("x_km = 99999.0"));
/// ```
pub fn written(text: &str, catalogue: &Catalogue) -> Result<RegionFile, Vec<Wrong>> {
    // What editors put before a text is no part of it.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let unread = |error: &toml::de::Error| {
        vec![Wrong {
            line: places::line_at(text, error.span().map_or(0, |span| span.start)),
            field: String::new(),
            what_to_do: say!("catalogue-file-unread", why = error.message()),
        }]
    };
    let file: RegionFile = toml::from_str(text).map_err(|error| unread(&error))?;
    let Some(places) = Places::of(text) else {
        return Err(Vec::new());
    };
    let mut found = Found {
        places: &places,
        wrong: Vec::new(),
    };
    rows(&file, catalogue, &mut found);
    names(&file, &mut found);
    rest::top(&file, &mut found);
    rest::days(&file, &mut found);
    rest::ways(&file, &mut found);
    rest::prices(&file, catalogue, &mut found);
    let mut wrong = found.wrong;
    if wrong.is_empty()
        && let Err(error) = file.check(catalogue)
    {
        wrong.push(of_whole(&file, &error, &places));
    }
    wrong.sort();
    wrong.dedup();
    if wrong.is_empty() {
        Ok(file)
    } else {
        Err(wrong)
    }
}

/// The line of a field at the top of a region file, from 1; 1 where it is not there.
#[must_use]
pub fn line_of(text: &str, field: &str) -> usize {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    Places::of(text).map_or(1, |places| places.line(At::top(field)))
}

/// What is wrong, as it is found.
struct Found<'p, 't> {
    places: &'p Places<'t>,
    wrong: Vec<Wrong>,
}

impl Found<'_, '_> {
    fn is(&mut self, at: At<'_>, what_to_do: String) {
        self.wrong.push(Wrong {
            line: self.places.line(at),
            field: at.named(),
            what_to_do,
        });
    }

    fn unless(&mut self, fine: bool, at: At<'_>, what_to_do: impl FnOnce() -> String) {
        if !fine {
            self.is(at, what_to_do());
        }
    }
}

/// The list of a region file that a table is of.
pub(super) fn list_of(table: Table) -> &'static str {
    match table {
        Table::Schools => "schools",
        Table::Teams => "teams",
        Table::Hours => "hosts",
        Table::Printers => "printers",
    }
}

/// What the tables of these rows would find wrong with them.
fn rows(file: &RegionFile, catalogue: &Catalogue, found: &mut Found<'_, '_>) {
    for table in Table::ALL {
        for (n, fault) in faults(file, table, catalogue) {
            let field = match fault.column {
                "agent_address" | "agent_device" => "agent",
                column => column,
            };
            found.is(At::of(list_of(table), n, field), fault.what_to_do);
        }
    }
}

/// Names and codes of which each stands once.
fn names(file: &RegionFile, found: &mut Found<'_, '_>) {
    fn each<'a>(
        list: &'static str,
        field: &'static str,
        names: impl Iterator<Item = &'a String>,
    ) -> Vec<(At<'static>, &'a str)> {
        let named = names.enumerate();
        named
            .map(|(n, name)| (At::of(list, n, field), name.as_str()))
            .collect()
    }
    let schools = file.schools.iter();
    let things = [
        each("schools", "code", schools.clone().map(|s| &s.code)),
        each("teams", "name", file.teams.iter().map(|t| &t.name)),
        each("printers", "name", file.printers.iter().map(|p| &p.name)),
    ];
    once(things.concat(), found);
    once(each("schools", "name", schools.map(|s| &s.name)), found);
    let hosts = file.hosts.iter().map(|h| &h.school);
    once(each("hosts", "school", hosts), found);
    let ways = [
        each("couriers", "name", file.couriers.iter().map(|c| &c.name)),
        each("relays", "name", file.relays.iter().map(|r| &r.name)),
    ];
    once(ways.concat(), found);
}

fn once(all: Vec<(At<'_>, &str)>, found: &mut Found<'_, '_>) {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for (at, name) in all {
        let line = found.places.line(at);
        let first = *seen.entry(name).or_insert(line);
        found.unless(first == line, at, || {
            say!("catalogue-line-has-name", name = name, line = first)
        });
    }
}

/// A rule of the whole that is broken, where it is said.
fn of_whole(file: &RegionFile, error: &RegionFileError, places: &Places<'_>) -> Wrong {
    let (who, what) = match error {
        RegionFileError::Unknown { who, what } => (who.as_str(), what.as_str()),
        RegionFileError::OutOfRange { who, what } => (who.as_str(), *what),
        RegionFileError::NotTaken { printer, .. } => (printer.as_str(), "materials"),
        RegionFileError::Twice(_)
        | RegionFileError::BadFile(_)
        | RegionFileError::BadHours(_)
        | RegionFileError::Prices(_) => ("", ""),
    };
    // `spares_on at a school with teams` is of the field `spares_on`.
    let field = what.split([' ', ',']).next().unwrap_or_default();
    let host = file.hosts.iter().position(|host| host.bench == who);
    let printer = file.printers.iter().position(|printer| printer.name == who);
    let at = match (host, printer) {
        (Some(n), _) => At::of("hosts", n, field),
        (None, Some(n)) => At::of("printers", n, field),
        (None, None) => At {
            list: who,
            n: None,
            field,
        },
    };
    Wrong {
        line: places.line(at),
        field: at.named(),
        what_to_do: format!("{error}."),
    }
}
