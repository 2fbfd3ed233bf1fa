//! An invented region as large as the tool is meant for: 12 hosts, 60 printers, 40 schools, 80 teams.

use std::fmt::Write;

/// Schools; the first [`HOSTS`] are hosts.
const SCHOOLS: usize = 40;
/// Hosts.
const HOSTS: usize = 12;
/// Printers at each host.
const PRINTERS: usize = 5;
/// Teams.
const TEAMS: usize = 80;

/// Hours of hosts, in turn.
const HOURS: [&str; 6] = [
    r#""mon-fri 08:15-17:30""#,
    r#""mon-fri 07:30-20:00", "sat 09:00-13:00""#,
    r#""mon-fri 12:00-16:00""#,
    r#""mon-fri 08:00-18:00""#,
    r#""mon-thu 08:00-16:00", "fri 08:00-14:00""#,
    r#""mon-fri 09:00-17:00""#,
];

/// Class, materials, chance of losing the first layers, losses an hour, spread; in turn.
const KINDS: [(&str, &str, f64, f64, f64); 7] = [
    ("standard", r#""PLA", "PETG", "TPU""#, 0.03, 0.006, 0.05),
    ("standard", r#""PLA", "PETG""#, 0.04, 0.008, 0.06),
    ("swift", r#""PLA", "PETG""#, 0.05, 0.010, 0.07),
    ("compact", r#""PLA""#, 0.035, 0.012, 0.055),
    ("roomy", r#""PLA", "PETG""#, 0.05, 0.008, 0.06),
    ("swift", r#""PLA", "PETG""#, 0.03, 0.007, 0.05),
    ("warm", r#""PETG", "ASA""#, 0.06, 0.010, 0.07),
];

/// The region file of the Wide Fens. Its chances and spreads are invented, as those of the Ambrel Valley.
///
/// ```
/// let text = partpledge_testbed::wide_fens();
/// let catalogue = partpledge_catalogue::Catalogue::built_in();
/// let file = partpledge_catalogue::RegionFile::parse(&text, &catalogue).expect("it is in order");
/// assert_eq!((file.hosts.len(), file.printers.len()), (12, 60));
/// ```
#[must_use]
pub fn wide_fens() -> String {
    let mut out = String::from(
        "name = \"Wide Fens\"\nleague = \"Fen League\"\nzone = \"Europe/Stockholm\"\ncurrency = \"EUR\"\n",
    );
    for (from, to, reason) in [
        ("2026-12-21", "2027-01-06", "winter holiday"),
        ("2027-02-22", "2027-02-26", "half-term week"),
    ] {
        put(
            &mut out,
            "closures",
            &[("from", from), ("to", to), ("reason", reason)],
        );
    }
    for i in 0..SCHOOLS {
        put(
            &mut out,
            "schools",
            &[("code", &code(i)), ("name", &format!("Fen School {i}"))],
        );
        // On a spiral: near ones first, none on top of another.
        let (turn, far_km) = (i as f64 * 2.4, 3.0 * (i as f64 + 1.0).sqrt());
        let (x_km, y_km) = (far_km * turn.cos(), far_km * turn.sin());
        line(&mut out, &format!("x_km = {x_km:.1}\ny_km = {y_km:.1}"));
    }
    for i in 0..TEAMS {
        let school = code(i % SCHOOLS);
        put(
            &mut out,
            "teams",
            &[("name", &team(i)), ("school", &school)],
        );
    }
    for i in 0..HOSTS {
        put(
            &mut out,
            "hosts",
            &[("school", &code(i)), ("bench", "print room")],
        );
        let (hours, boxing_min) = (HOURS[i % HOURS.len()], 10 + 5 * (i % 3));
        line(
            &mut out,
            &format!("hours = [{hours}]\nboxing_min = {boxing_min}"),
        );
    }
    (0..HOSTS * PRINTERS).for_each(|i| printer(&mut out, i));
    rounds(&mut out);
    out
}

/// The name of a team of the Wide Fens.
#[must_use]
pub fn team(i: usize) -> String {
    format!("Fen Team {}", i % TEAMS)
}

fn code(school: usize) -> String {
    format!("fen{school}")
}

fn printer(out: &mut String, i: usize) {
    let (class, materials, start, hourly, sigma) = KINDS[i % KINDS.len()];
    let host = code(i / PRINTERS);
    put(
        out,
        "printers",
        &[
            ("name", &format!("Fen {i}")),
            ("host", &host),
            ("class", class),
        ],
    );
    line(out, &format!("materials = [{materials}]"));
    if i % 2 == 1 {
        line(
            out,
            &format!("unattended_permission = \"paper {i} on the wall\""),
        );
    }
    line(
        out,
        &format!("start_failure = {start}\nfailures_per_hour = {hourly}\ntime_sigma = {sigma}"),
    );
}

/// Every host is called at in the afternoon, half of them at noon too.
fn rounds(out: &mut String) {
    let every = [("name", "afternoon round"), ("days", "mon-fri")];
    put(out, "couriers", &every);
    line(
        out,
        "collects = \"15:30\"\ndelivers = \"08:30\"\nrounds_later = 1",
    );
    put(
        out,
        "couriers",
        &[("name", "noon round"), ("days", "mon-fri")],
    );
    line(
        out,
        "collects = \"11:30\"\ndelivers = \"15:40\"\nrounds_later = 0",
    );
    let hosts: Vec<String> = (0..HOSTS)
        .step_by(2)
        .map(|i| format!("\"{}\"", code(i)))
        .collect();
    line(out, &format!("hosts = [{}]", hosts.join(", ")));
}

fn put(out: &mut String, table: &str, rows: &[(&str, &str)]) {
    line(out, &format!("\n[[{table}]]"));
    for (name, value) in rows {
        line(out, &format!("{name} = \"{value}\""));
    }
}

fn line(out: &mut String, text: &str) {
    writeln!(out, "{text}").expect("a string takes all");
}
