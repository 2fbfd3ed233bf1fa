//! What is no part: plates, boxes, printers, spools, teams and schools, each with its page.

use partpledge_records::{KeptPlate, PlateState, StepKind};
use partpledge_words::say;
use partpledge_workshop::plate_room::printer_of;
use partpledge_workshop::{Books, Session};

use super::Wanted;
use crate::who::team_path;

/// Something with a page of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Thing {
    pub(crate) href: String,
    pub(crate) name: String,
    /// What it is, in few words.
    pub(crate) says: String,
}

/// All else that is found.
pub(super) fn things(session: &Session, books: &Books, wanted: &Wanted) -> Vec<Thing> {
    let mut out = plates(session, books, wanted);
    out.extend(spools(session, wanted));
    out.extend(printers(session, wanted));
    out.extend(teams_and_schools(session, wanted));
    out
}

/// Plates by number, and the boxes of the same numbers.
fn plates(session: &Session, books: &Books, wanted: &Wanted) -> Vec<Thing> {
    let (plate, boxed) = (say!("promises-kind-plate"), say!("promises-kind-box"));
    let mut out = Vec::new();
    let there = |kept: &&KeptPlate| kept.state != PlateState::Withdrawn;
    for kept in books.floor.kept.iter().filter(there) {
        let (seq, on) = (kept.plate.seq.0, kept.on().0);
        let label = &kept.plate.label;
        // Once for all that lies on it; it keeps its number when what was first on it is called back.
        let first = books.company(kept).first().map(|row| row.plate.seq.0) == Some(seq);
        if first && wanted.number_it(&format!("{plate} {label}"), &[on.to_string()]) {
            let printer = printer_of(session, books, kept);
            out.push(Thing {
                href: format!("/plates/{on}"),
                name: say!("promises-plate", n = on),
                says: printer.map_or_else(
                    || label.clone(),
                    |printer| say!("promises-plate-on", label = label, printer = printer),
                ),
            });
        }
        let closed = books.step(seq, StepKind::Boxed).is_some();
        if closed && wanted.number_it(&format!("{boxed} {label}"), &[seq.to_string()]) {
            out.push(Thing {
                href: format!("/boxes/{seq}"),
                name: say!("promises-box", n = seq),
                says: label.clone(),
            });
        }
    }
    out
}

fn spools(session: &Session, wanted: &Wanted) -> Vec<Thing> {
    let kind = say!("promises-kind-spool");
    let all = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let found = all.into_iter().filter(|account| {
        let number = account.spool.number;
        let roll = &account.spool.roll;
        let names = format!("{kind} {} {}", roll.colour, roll.material);
        wanted.number_it(&names, &[number.to_string(), format!("s-{number}")])
    });
    let thing = |account: partpledge_stock::Account| Thing {
        href: format!("/spool/{}", account.spool.number),
        name: say!("promises-spool", n = account.spool.number),
        says: say!(
            "promises-spool-at",
            what = format!(
                "{} {}",
                account.spool.roll.colour, account.spool.roll.material
            )
            .trim(),
            host = school(session, &account.host)
        ),
    };
    found.map(thing).collect()
}

fn school(session: &Session, code: &str) -> String {
    let school = session.terrain.file.school(code);
    school.map_or_else(|| code.to_owned(), |school| school.name.clone())
}

/// Printers by name: where each is now has its sheet.
fn printers(session: &Session, wanted: &Wanted) -> Vec<Thing> {
    let file = &session.terrain.file;
    let region = &session.terrain.region;
    let all = file.printers.iter().zip(&region.printers);
    let found = all
        .filter(|(entry, _)| entry.at_home.is_none() && wanted.are_in(&entry.name, &[]))
        .map(|(entry, printer)| {
            let site = printer.site_at(session.minute());
            let host = file.hosts.get(site.0);
            let code = host.map_or("", |host| host.school.as_str());
            Thing {
                href: format!("/run-sheets/{code}"),
                name: entry.name.clone(),
                says: say!("promises-printer-at", host = school(session, code)),
            }
        });
    found.collect()
}

/// Teams lead to their people, schools that print to their sheet.
fn teams_and_schools(session: &Session, wanted: &Wanted) -> Vec<Thing> {
    let file = &session.terrain.file;
    let teams = file.teams.iter();
    let teams = teams.filter(|team| wanted.are_in(&team.name, &[]));
    let mut out: Vec<Thing> = teams
        .map(|team| Thing {
            href: team_path(&team.name),
            name: team.name.clone(),
            says: say!("promises-team-of", school = school(session, &team.school)),
        })
        .collect();
    for host in &file.hosts {
        let name = school(session, &host.school);
        if wanted.are_in(&name, &[]) {
            out.push(Thing {
                href: format!("/run-sheets/{}", host.school),
                name,
                says: say!("promises-host-sheet"),
            });
        }
    }
    out
}
