//! The region's tables: downloads, and what a table would change, line by line, before it is done.

use askama::Template;
use partpledge_records::RegionFileEntry;
use partpledge_workshop::region_data::{Change, Line, Proposal, Table};
use partpledge_workshop::{Books, Session};

use super::entry::wrong_with;
use super::send::Wrong;
use super::what_if::{Shift, moves, shifts};
use crate::site::Outcomes;
use crate::who::Head;
use crate::words;

/// A table to take out or put in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TableLink {
    pub(crate) name: &'static str,
    pub(crate) label: &'static str,
    pub(crate) rows: usize,
    /// Each column with what stands in it.
    pub(crate) columns: Vec<(&'static str, &'static str)>,
    pub(crate) chosen: bool,
}

/// A line that is not as it is already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct LineRow {
    /// `Line 7`, or nothing for what the file leaves out.
    pub(crate) at: String,
    pub(crate) key: String,
    pub(crate) what: &'static str,
    pub(crate) says: Vec<String>,
}

/// What a table would do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Sheet {
    pub(crate) verdict: String,
    pub(crate) lines: Vec<LineRow>,
    /// How many lines are like this already.
    pub(crate) same: usize,
    pub(crate) whole: Vec<String>,
    pub(crate) refused: Vec<(String, String)>,
    pub(crate) shifts: Vec<Shift>,
    pub(crate) moves: Vec<String>,
    /// What the button sends; without them there is no button.
    pub(crate) fields: Vec<(&'static str, String)>,
}

/// The page.
#[derive(Template)]
#[template(path = "data.html")]
pub(crate) struct DataPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) notice: Option<&'static str>,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) sheet: Option<Sheet>,
    pub(crate) tables: Vec<TableLink>,
    pub(crate) removes: bool,
    /// When and what was changed, newest first.
    pub(crate) history: Vec<(String, String)>,
}

/// What a table is called.
fn label(table: Table) -> &'static str {
    match table {
        Table::Schools => "Schools",
        Table::Teams => "Teams",
        Table::Hours => "Hosts and their hours",
        Table::Printers => "Printers",
    }
}

/// The columns of a table, each with what stands in it, in plain words.
fn columns(table: Table) -> Vec<(&'static str, &'static str)> {
    let each = table.columns().iter();
    each.map(|column| (*column, says(table, column))).collect()
}

/// What stands in a column. Nothing for one that there is not.
fn says(table: Table, column: &str) -> &'static str {
    match (table, column) {
        (Table::Schools, "code") => {
            "A short word for the school, such as oak-hill. Other tables name the school by it."
        }
        (Table::Schools, "name") => "The name that everybody reads.",
        (Table::Schools, "x_km") => {
            "How far east of the middle of the region, in km. West has a minus."
        }
        (Table::Schools, "y_km") => "How far north of the middle, in km. South has a minus.",
        (Table::Teams, "name") => "The team’s name. A new name makes a new team.",
        (Table::Teams, "school") => "The code of the school where the team gets its boxes.",
        (Table::Hours, "school") => "The code of the school that prints.",
        (Table::Hours, "bench") => "Where in the school the printers stand.",
        (Table::Hours, "hours") => {
            "When somebody is at the bench, such as mon-fri 08:15-17:30; sat 09:00-13:00."
        }
        (Table::Hours, "boxing_min") => {
            "Minutes from a plate that is off the bed to its closed box."
        }
        (Table::Hours, "starts_a_window") => {
            "Most plates that its people start from opening to closing. Empty: as many as fit."
        }
        (Table::Hours, "no_show") => {
            "How often nobody comes though the hours say so: 0.05 is 5 times in 100."
        }
        (Table::Hours, "student_run") => {
            "The word yes if students run this bench with adults responsible. Empty: no."
        }
        (Table::Hours, "adult_for") => {
            "What students there ask an adult for: unattended, hot-material, battery-area. Empty: all \
             of these; nothing: none."
        }
        (Table::Hours, "spares_on") => {
            "The day of a meeting, like 2027-03-13, for a bench that prints spares there. Empty: it prints all \
             season."
        }
        (Table::Printers, _) => of_printers(column),
        _ => "",
    }
}

/// The same of the table of printers.
fn of_printers(column: &str) -> &'static str {
    match column {
        "name" => "The printer’s name. Each name stands once in the region.",
        "host" => "The code of the school where it stands.",
        "class" => "The code of its kind: the size of its bed and what it can do.",
        "materials" => "Codes of the plastics that it prints, such as PLA; PETG.",
        "unattended_permission" => {
            "Who allowed it to run with nobody there, and where that is written. Empty: it may not."
        }
        "start_failure" => "How often a print fails at its start: 0.02 is 2 in 100.",
        "failures_per_hour" => "How often a print fails in each hour after that: 0.01 is 1 in 100.",
        "time_sigma" => "How far times of prints are apart: 0.1 is about 10 in 100.",
        "stays" => {
            "When it stands at another school: code, first day, last day, such as \
             oak-hill 2027-03-08 2027-03-12."
        }
        "battery_area" => {
            "The word yes if it stands where batteries are kept or charged. Empty: no."
        }
        "agent_address" => {
            "Where its MTConnect agent answers, such as http://10.0.0.5:5000. Empty: it has none."
        }
        "agent_device" => "The name or uuid that the agent has for it. Empty if it has no agent.",
        "at_home" => {
            "For a printer at such a bench: its name at its own school, where it is away that day. Empty: none."
        }
        _ => "",
    }
}

impl DataPage {
    pub(crate) fn new(head: Head, session: &Session, changes: &[RegionFileEntry]) -> Self {
        let file = &session.terrain.file;
        let rows = |table| match table {
            Table::Schools => file.schools.len(),
            Table::Teams => file.teams.len(),
            Table::Hours => file.hosts.len(),
            Table::Printers => file.printers.len(),
        };
        let link = |table: Table| TableLink {
            name: table.name(),
            label: label(table),
            rows: rows(table),
            columns: columns(table),
            chosen: false,
        };
        let zone = &session.terrain.zone;
        let entry = |one: &RegionFileEntry| {
            let at = partpledge_units::time::Minute(one.at.0.div_euclid(60_000));
            (zone.short(at), words::capital(&one.reason))
        };
        Self {
            head,
            title: "The region’s tables".to_owned(),
            notice: None,
            wrong: Vec::new(),
            sheet: None,
            tables: Table::ALL.into_iter().map(link).collect(),
            removes: false,
            history: changes.iter().map(entry).collect(),
        }
    }

    /// With what was chosen in the form.
    pub(crate) fn chosen(mut self, table: Option<Table>, removes: bool) -> Self {
        let name = table.map(Table::name);
        for link in &mut self.tables {
            link.chosen = Some(link.name) == name;
        }
        self.removes = removes;
        self
    }

    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

fn row(line: &Line) -> Option<LineRow> {
    let (what, says) = match &line.change {
        Change::Same => return None,
        Change::Added => ("new", Vec::new()),
        Change::Removed => ("taken out", vec!["It is not in the file.".to_owned()]),
        Change::Changed(cells) => {
            let cell = |cell: &partpledge_workshop::region_data::CellChange| {
                let said = |text: &str| match text {
                    "" => "nothing".to_owned(),
                    text => format!("“{text}”"),
                };
                format!(
                    "{}: {} becomes {}",
                    cell.column,
                    said(&cell.was),
                    said(&cell.is)
                )
            };
            ("changed", cells.iter().map(cell).collect())
        }
        Change::Wrong(faults) => {
            let fault = |fault: &partpledge_workshop::region_data::Fault| {
                format!("{}: {}", fault.column, fault.what_to_do)
            };
            ("wrong", faults.iter().map(fault).collect())
        }
    };
    Some(LineRow {
        at: line
            .number
            .map_or_else(String::new, |n| format!("Line {n}")),
        key: line.key.clone(),
        what,
        says,
    })
}

/// What a table would do, for the page; `fields` are what the button would send.
pub(crate) fn sheet(
    (session, books): (&Session, &Books),
    now: &Outcomes,
    proposal: &Proposal,
    fields: Vec<(&'static str, String)>,
) -> Sheet {
    let lines: Vec<LineRow> = proposal.review.lines.iter().filter_map(row).collect();
    let answer = proposal.answer.as_ref();
    let fields = if proposal.can_be_done() {
        fields
    } else {
        Vec::new()
    };
    Sheet {
        verdict: verdict(proposal, &lines),
        same: proposal.review.lines.len() - lines.len(),
        lines,
        whole: proposal.review.whole.clone(),
        refused: proposal.refused.clone(),
        shifts: answer.map_or_else(Vec::new, |then| shifts(session, books, now, then)),
        moves: answer.map_or_else(Vec::new, |then| moves(session, books, then)),
        fields,
    }
}

fn verdict(proposal: &Proposal, lines: &[LineRow]) -> String {
    let of = |what: &str| lines.iter().filter(|line| line.what == what).count();
    let wrong = of("wrong");
    if proposal.review.changes_nothing() {
        return "Every line is like this already. There is nothing to do.".to_owned();
    }
    if wrong > 0 {
        let lines = words::spelled(wrong, "line is wrong", "lines are wrong");
        return format!("Not yet: {lines}.");
    }
    if !proposal.review.whole.is_empty() || !proposal.refused.is_empty() {
        return "Not like this: something is needed as it is.".to_owned();
    }
    let counts = [
        (of("new"), "new"),
        (of("changed"), "changed"),
        (of("taken out"), "taken out"),
    ];
    let said = counts.iter().filter(|(n, _)| *n > 0);
    let said: Vec<String> = said.map(|(n, what)| format!("{n} {what}")).collect();
    format!("This can be done: {}.", said.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn every_column_of_every_table_is_explained() {
        for table in Table::ALL {
            for (column, says) in columns(table) {
                let whole = says.ends_with('.') && says.len() > 20;
                assert!(whole, "{} {column}: {says}", table.name());
            }
        }
    }

    #[test]
    fn the_page_renders_empty_shown_and_wrong() {
        let row = LineRow {
            at: "Line 2".to_owned(),
            key: AWKWARD.to_owned(),
            what: "changed",
            says: vec![AWKWARD.to_owned()],
        };
        let sheet = |can: bool| Sheet {
            verdict: AWKWARD.to_owned(),
            lines: vec![row.clone()],
            same: 3,
            whole: vec![AWKWARD.to_owned()],
            refused: vec![(AWKWARD.to_owned(), AWKWARD.to_owned())],
            shifts: Vec::new(),
            moves: vec![AWKWARD.to_owned()],
            fields: if can {
                vec![("bytes", AWKWARD.to_owned())]
            } else {
                Vec::new()
            },
        };
        for sheet in [None, Some(sheet(true)), Some(sheet(false))] {
            let can = sheet.as_ref().is_some_and(|sheet| !sheet.fields.is_empty());
            let page = DataPage {
                head: head(),
                title: AWKWARD.to_owned(),
                notice: Some("It was changed."),
                wrong: vec![Wrong {
                    field: "file",
                    text: AWKWARD.to_owned(),
                }],
                sheet,
                tables: vec![TableLink {
                    name: "teams",
                    label: "Teams",
                    rows: 2,
                    columns: columns(Table::Teams),
                    chosen: true,
                }],
                removes: true,
                history: vec![(AWKWARD.to_owned(), AWKWARD.to_owned())],
            };
            let made = page.render().unwrap();
            sound(&made);
            assert!(made.contains("<b>school</b>: The code of the school"));
            assert_eq!(made.contains("action=\"/region/data/do\""), can);
        }
    }
}
