//! What each printer really does: times against the estimate, plates good at the first try, drift.

use partpledge_quality::{Drift, Known, Next, Side};
use partpledge_units::cast::round_i64;
use partpledge_words::say;
use partpledge_workshop::Session;

use crate::words::capital;

/// A printer in a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PrinterRow {
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) says: String,
}

/// The coordinator's section on printers: those that have run.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Printers {
    pub(crate) from: String,
    pub(crate) drifting: Vec<String>,
    pub(crate) rows: Vec<PrinterRow>,
}

impl Printers {
    /// From what finished runs have taught.
    pub(crate) fn of(session: &Session) -> Self {
        let terrain = &session.terrain;
        let mut out = Self::default();
        // A machine that goes to a meeting stands here under its name at home.
        let itself = |name: &str| terrain.file.machine_of(name) == name;
        let machines = terrain.region.printers.iter();
        let machines: Vec<_> = machines.filter(|printer| itself(&printer.name)).collect();
        for printer in &machines {
            let known = terrain.learned.printer(&printer.name);
            let Some(known) = known.filter(|known| known.plates > 0) else {
                continue;
            };
            let host = &terrain.region.sites[printer.site.0].name;
            out.drifting
                .extend(known.drift.map(|drift| drifts(&printer.name, drift)));
            out.rows.push(row(&printer.name, host, known));
        }
        out.from = from(machines.len() - out.rows.len());
        out
    }
}

fn from(others: usize) -> String {
    if others == 0 {
        return say!("printers-learned");
    }
    let count = capital(&say!("numbers-spelled", n = others));
    say!("printers-learned-but", n = others, count = count)
}

fn row(name: &str, host: &str, known: &Known) -> PrinterRow {
    let time = match (known.factor(), known.usual()) {
        (Some(factor), Some(next)) => {
            format!("{}; {}", time(&factor, known.counted), likely(&next))
        }
        _ => say!("printers-no-time"),
    };
    let left_out = not_counted(known);
    PrinterRow {
        printer: name.to_owned(),
        host: host.to_owned(),
        says: format!("{time}. {}{left_out}", good(known)),
    }
}

/// `takes 8 % longer than worked out, from 14 runs`.
fn time(factor: &Next, runs: usize) -> String {
    match percent(factor.median() - 1.0) {
        0 => say!("printers-as-long", n = runs),
        more @ 1.. => say!("printers-longer", percent = more, n = runs),
        less => say!("printers-less", percent = -less, n = runs),
    }
}

/// `8 in 10 runs take between 2 % less and 15 % longer`.
fn likely(next: &Next) -> String {
    let [low, high] = [0.1, 0.9].map(|p| percent(next.quantile(p) - 1.0));
    match (low, high) {
        (0.., _) => say!("printers-range-longer", low = low, high = high),
        (_, ..=0) => say!("printers-range-less", low = -low, high = -high),
        _ => say!("printers-range", low = -low, high = high),
    }
}

fn good(known: &Known) -> String {
    let (low, high) = known.first_pass.interval(0.9);
    say!(
        "printers-good",
        good = percent(known.first_pass.mean()),
        low = percent(low),
        high = percent(high),
        n = known.plates,
    )
}

/// Which runs say nothing of times, and why.
fn not_counted(known: &Known) -> String {
    let k = known;
    let parts = [
        (
            k.unwitnessed,
            say("printers-unseen").with("n", k.unwitnessed),
        ),
        (k.stopped, say("printers-stopped").with("n", k.stopped)),
        (
            k.by_program,
            say("printers-by-program").with("n", k.by_program),
        ),
        (
            k.unbelieved,
            say("printers-unbelieved").with("n", k.unbelieved),
        ),
        (
            k.noted_late,
            say("printers-noted-late").with("n", k.noted_late),
        ),
        (
            k.before_drift,
            say("printers-before-drift").with("n", k.before_drift),
        ),
        (
            k.pulled_in,
            say("printers-pulled-in").with("n", k.pulled_in),
        ),
    ];
    let some = parts.iter().filter(|(n, _)| *n > 0);
    let said: Vec<String> = some.map(|(_, runs)| runs.to_string()).collect();
    if said.is_empty() {
        return String::new();
    }
    format!(" {}", say!("printers-not-counted", runs = said.join(", ")))
}

/// A drift, and what to do about it (common practice, no source).
fn drifts(name: &str, drift: Drift) -> String {
    let runs = drift.runs + drift.since;
    match drift.side {
        Side::Slower => say!("printers-slower", printer = name, n = runs),
        Side::Faster => say!("printers-faster", printer = name, n = runs),
    }
}

fn percent(share: f64) -> i64 {
    round_i64((share * 100.0).round()).unwrap_or(0)
}

/// A list with a drift in it.
#[cfg(test)]
pub(crate) fn sample() -> Printers {
    use crate::pages::samples::AWKWARD;
    Printers {
        from: from(35),
        drifting: vec![drifts(
            AWKWARD,
            Drift {
                side: Side::Slower,
                runs: 5,
                since: 2,
            },
        )],
        rows: vec![PrinterRow {
            printer: AWKWARD.to_owned(),
            host: AWKWARD.to_owned(),
            says: "takes 8 % longer than worked out, from 14 runs.".to_owned(),
        }],
    }
}

#[cfg(test)]
mod tests {
    use partpledge_quality::{PrinterPrior, Run, learn};

    use super::*;

    fn known(runs: &[(f64, bool)]) -> Known {
        let prior = PrinterPrior {
            name: "Teal".to_owned(),
            class: "standard".to_owned(),
            noise: 0.06,
            yield_mean: 0.9,
        };
        let run = |&(factor, witnessed): &(f64, bool)| Run {
            printer: "Teal".to_owned(),
            sheet: "pla-plain".to_owned(),
            worked_out_min: 100.0,
            took_min: 100.0 * factor,
            witnessed,
            ticked: false,
            whole: true,
            by_program: false,
            copies: 1,
            good: 1,
        };
        let runs: Vec<Run> = runs.iter().map(run).collect();
        learn(&[prior], &runs).printer("Teal").unwrap().clone()
    }

    #[test]
    fn a_printer_is_said_in_plain_words() {
        let mut runs = vec![(1.08, true); 14];
        runs.extend([(4.0, false); 2]);
        let row = row("Teal", "Brindlemoor School", &known(&runs));
        let [from, until] = [
            "takes 8 % longer than worked out, from 14 runs; 8 in 10 runs take between ",
            "; it has made 16 plates. Not counted for its time: 2 ended unseen.",
        ];
        assert!(
            row.says.starts_with(from) && row.says.ends_with(until),
            "{}",
            row.says
        );
        let good = " longer. Of 100 plates we expect 93 good at the first try, likely ";
        assert!(row.says.contains(good), "{}", row.says);
    }

    #[test]
    fn faster_and_equal_have_words_of_their_own() {
        let said = |factor: f64| {
            let known = known(&[(factor, true); 30]);
            (
                time(&known.factor().unwrap(), 1),
                likely(&known.usual().unwrap()),
            )
        };
        let (takes, range) = said(0.9);
        assert_eq!(takes, "takes 10 % less time than worked out, from 1 run");
        assert!(
            range.ends_with(" % less") && range.contains(" % and "),
            "{range}"
        );
        let (takes, range) = said(1.0);
        assert_eq!(takes, "takes as long as worked out, from 1 run");
        assert!(
            range.contains(" % less and ") && range.ends_with(" % longer"),
            "{range}"
        );
        let unseen = row("Teal", "here", &known(&[(1.0, false)])).says;
        assert!(
            unseen.starts_with("has no run whose time counts. Of 100 "),
            "{unseen}"
        );
    }

    #[test]
    fn a_drift_is_told_with_what_to_do() {
        let mut runs = [(0.97, true), (1.03, true)].repeat(8);
        runs.extend([(1.25, true); 4]);
        let drift = known(&runs).drift.unwrap();
        let says = drifts("Teal", drift);
        assert!(
            says.starts_with("Teal runs slower than it did: its last "),
            "{says}"
        );
        assert!(
            says.ends_with("Check belts and nozzle, then make a small test part and measure it.")
        );
    }
}
