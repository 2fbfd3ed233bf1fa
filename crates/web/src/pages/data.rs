//! The region's tables: downloads, and what a table would change, line by line, before it is done.

use askama::Template;
use partpledge_records::RegionFileEntry;
use partpledge_words::{said, say};
use partpledge_workshop::region_data::{Change, Line, Proposal, Table};
use partpledge_workshop::{Books, Session, class_says};

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
    pub(crate) label: String,
    pub(crate) rows: usize,
    /// Each column with what stands in it.
    pub(crate) columns: Vec<(&'static str, String)>,
    pub(crate) chosen: bool,
}

/// A line that is not as it is already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct LineRow {
    /// `Line 7`, or nothing for what the file leaves out.
    pub(crate) at: String,
    pub(crate) key: String,
    pub(crate) what: String,
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
    pub(crate) notice: Option<String>,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) sheet: Option<Sheet>,
    pub(crate) tables: Vec<TableLink>,
    pub(crate) removes: bool,
    /// When and what was changed, newest first.
    pub(crate) history: Vec<(String, String)>,
}

/// What a table is called.
fn label(table: Table) -> String {
    match table {
        Table::Schools => say!("data-schools"),
        Table::Teams => say!("data-teams"),
        Table::Hours => say!("data-hours"),
        Table::Printers => say!("data-printers"),
    }
}

/// The columns of a table, each with what stands in it, in plain words.
fn columns(table: Table) -> Vec<(&'static str, String)> {
    let each = table.columns().iter();
    each.map(|column| (*column, says(table, column))).collect()
}

/// With the codes that may stand there, where those are the program's own.
fn with_codes(
    session: &Session,
    table: Table,
    mut columns: Vec<(&'static str, String)>,
) -> Vec<(&'static str, String)> {
    let catalogue = &session.catalogue;
    for (column, says) in &mut columns {
        let codes: Vec<String> = match (table, *column) {
            (Table::Printers, "class") => {
                let all = catalogue.classes.iter();
                all.map(|one| format!("{} ({})", one.code, class_says(&one.name)))
                    .collect()
            }
            (Table::Printers, "materials") => {
                let all = catalogue.materials.iter();
                all.map(|one| one.code.clone()).collect()
            }
            _ => continue,
        };
        let codes = say!("data-codes", codes = codes.join(", "));
        *says = format!("{says} {codes}");
    }
    columns
}

/// What stands in a column. Nothing for one that there is not.
fn says(table: Table, column: &str) -> String {
    match (table, column) {
        (Table::Schools, "code") => say!("data-school-code"),
        (Table::Schools, "name") => say!("data-school-name"),
        (Table::Schools, "x_km") => say!("data-school-x"),
        (Table::Schools, "y_km") => say!("data-school-y"),
        (Table::Teams, "name") => say!("data-team-name"),
        (Table::Teams, "school") => say!("data-team-school"),
        (Table::Hours, "school") => say!("data-host-school"),
        (Table::Hours, "bench") => say!("data-host-bench"),
        (Table::Hours, "hours") => say!("data-host-hours"),
        (Table::Hours, "boxing_min") => say!("data-host-boxing"),
        (Table::Hours, "starts_a_window") => say!("data-host-starts"),
        (Table::Hours, "no_show") => say!("data-host-no-show"),
        (Table::Hours, "student_run") => say!("data-host-student-run"),
        (Table::Hours, "adult_for") => say!("data-host-adult-for"),
        (Table::Hours, "spares_on") => say!("data-host-spares-on"),
        (Table::Printers, _) => of_printers(column),
        _ => String::new(),
    }
}

/// The same of the table of printers.
fn of_printers(column: &str) -> String {
    match column {
        "name" => say!("data-printer-name"),
        "host" => say!("data-printer-host"),
        "class" => say!("data-printer-class"),
        "materials" => say!("data-printer-materials"),
        "unattended_permission" => say!("data-printer-unattended"),
        "start_failure" => say!("data-printer-start-failure"),
        "failures_per_hour" => say!("data-printer-failures"),
        "time_sigma" => say!("data-printer-sigma"),
        "stays" => say!("data-printer-stays"),
        "battery_area" => say!("data-printer-battery"),
        "agent_address" => say!("data-printer-agent"),
        "agent_device" => say!("data-printer-device"),
        "at_home" => say!("data-printer-at-home"),
        _ => String::new(),
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
            columns: with_codes(session, table, columns(table)),
            chosen: false,
        };
        let zone = &session.terrain.zone;
        let entry = |one: &RegionFileEntry| {
            let at = partpledge_units::time::Minute::at_or_before(one.at);
            (zone.short(at), words::capital(&one.reason.to_string()))
        };
        Self {
            head,
            title: say!("data-title"),
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
        Change::Added(_) => (say!("data-new"), Vec::new()),
        Change::Removed => (say!("data-taken-out"), vec![say!("data-not-in-file")]),
        Change::Changed(cells) => {
            let cell = |cell: &partpledge_workshop::region_data::CellChange| {
                let said = |text: &str| match text {
                    "" => said!("data-nothing"),
                    text => said!("data-quoted", text = text),
                };
                say!(
                    "data-becomes",
                    column = cell.column.to_string(),
                    was = said(&cell.was),
                    is = said(&cell.is)
                )
            };
            (say!("data-changed"), cells.iter().map(cell).collect())
        }
        Change::Wrong(faults) => {
            let fault = |fault: &partpledge_workshop::region_data::Fault| {
                format!("{}: {}", fault.column, fault.what_to_do)
            };
            (say!("data-wrong"), faults.iter().map(fault).collect())
        }
    };
    Some(LineRow {
        at: line
            .number
            .map_or_else(String::new, |n| say!("data-line", n = n)),
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
        verdict: verdict(proposal),
        same: proposal.review.lines.len() - lines.len(),
        lines,
        whole: proposal.review.whole.clone(),
        refused: proposal.refused.clone(),
        shifts: answer.map_or_else(Vec::new, |then| shifts(session, books, now, then)),
        moves: answer.map_or_else(Vec::new, |then| moves(session, books, then)),
        fields,
    }
}

fn verdict(proposal: &Proposal) -> String {
    let lines = &proposal.review.lines;
    let of = |is: fn(&Change) -> bool| lines.iter().filter(|line| is(&line.change)).count();
    let wrong = of(|change| matches!(change, Change::Wrong(_)));
    if proposal.review.changes_nothing() {
        return say!("data-all-like-this");
    }
    if wrong > 0 {
        let count = say!("numbers-spelled", n = wrong);
        return say!("data-lines-wrong", count = count, n = wrong);
    }
    if !proposal.review.whole.is_empty() || !proposal.refused.is_empty() {
        return say!("data-needed");
    }
    let new = of(|change| matches!(change, Change::Added(_)));
    let changed = of(|change| matches!(change, Change::Changed(_)));
    let taken_out = of(|change| matches!(change, Change::Removed));
    let counts = [
        (new, said!("data-many-new", n = new)),
        (changed, said!("data-many-changed", n = changed)),
        (taken_out, said!("data-many-taken-out", n = taken_out)),
    ];
    let counts = counts.iter().filter(|(n, _)| *n > 0);
    let counts: Vec<String> = counts.map(|(_, said)| said.to_string()).collect();
    say!("data-can-be-done", counts = counts.join(", "))
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
            what: "changed".to_owned(),
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
                notice: Some("It was changed.".to_owned()),
                wrong: vec![Wrong {
                    field: "file",
                    text: AWKWARD.to_owned(),
                }],
                sheet,
                tables: vec![TableLink {
                    name: "teams",
                    label: "Teams".to_owned(),
                    rows: 2,
                    columns: columns(Table::Teams),
                    chosen: true,
                }],
                removes: true,
                history: vec![(AWKWARD.to_owned(), AWKWARD.to_owned())],
            };
            let made = page.render().unwrap();
            sound(&made);
            let told = "<b translate=\"no\">school</b>: The code of the school";
            assert!(made.contains(told));
            assert_eq!(made.contains("action=\"/region/data/do\""), can);
        }
    }
}
