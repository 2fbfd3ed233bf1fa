//! What each printer really does: times against the estimate, plates good at the first try, drift.

use partpledge_quality::{Drift, Known, Next, Side};
use partpledge_units::cast::round_i64;
use partpledge_workshop::Session;

use crate::words::{capital, many, spelled};

/// A printer in the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PrinterRow {
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) time: String,
    pub(crate) next: String,
    pub(crate) good: String,
    pub(crate) not_counted: String,
}

/// The coordinator's section on printers: those that have run.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Printers {
    pub(crate) caption: String,
    pub(crate) drifting: Vec<String>,
    pub(crate) rows: Vec<PrinterRow>,
}

impl Printers {
    /// From what finished runs have taught.
    pub(crate) fn of(session: &Session) -> Self {
        let terrain = &session.terrain;
        let mut out = Self::default();
        for printer in &terrain.region.printers {
            let known = terrain.learned.printer(&printer.name);
            let Some(known) = known.filter(|known| known.plates > 0) else {
                continue;
            };
            let host = &terrain.region.sites[printer.site.0].name;
            out.drifting
                .extend(known.drift.map(|drift| drifts(&printer.name, drift)));
            out.rows.push(row(&printer.name, host, known));
        }
        out.caption = caption(terrain.region.printers.len() - out.rows.len());
        out
    }
}

fn caption(others: usize) -> String {
    let others = match others {
        0 => String::new(),
        n => format!(
            " {} no run on record.",
            capital(&spelled(n, "printer has", "printers have"))
        ),
    };
    format!(
        "Learned from runs whose end somebody saw. New promises count on it; promises given stay.{others}"
    )
}

fn row(name: &str, host: &str, known: &Known) -> PrinterRow {
    PrinterRow {
        printer: name.to_owned(),
        host: host.to_owned(),
        time: known.factor().map_or_else(
            || "No run whose time counts".to_owned(),
            |factor| time(&factor, known.counted),
        ),
        next: known
            .factor()
            .and(known.usual())
            .map_or_else(|| "–".to_owned(), |next| likely(&next)),
        good: good(known),
        not_counted: not_counted(known),
    }
}

/// `takes 8 % longer than worked out, from 14 runs`.
fn time(factor: &Next, runs: usize) -> String {
    let from = many(count(runs), "run", "runs");
    format!(
        "Takes {} worked out, from {from}",
        against(factor.median(), "as long as")
    )
}

/// `8 % longer than`, `5 % less time than`, or what stands for the same.
fn against(factor: f64, same: &str) -> String {
    match percent(factor - 1.0) {
        0 => same.to_owned(),
        more @ 1.. => format!("{more} % longer than"),
        less => format!("{} % less time than", -less),
    }
}

fn likely(next: &Next) -> String {
    let [low, high] = [0.1, 0.9].map(|p| percent(next.quantile(p) - 1.0));
    format!(
        "8 in 10 take {} to {} as against worked out",
        signed(low),
        signed(high)
    )
}

fn signed(percent: i64) -> String {
    match percent {
        0 => "0 %".to_owned(),
        1.. => format!("+{percent} %"),
        _ => format!("−{} %", -percent),
    }
}

fn good(known: &Known) -> String {
    let (low, high) = known.first_pass.interval(0.9);
    format!(
        "{} in 100, likely {} to {}; from {}",
        percent(known.first_pass.mean()),
        percent(low),
        percent(high),
        many(count(known.plates), "plate", "plates")
    )
}

/// Which runs say nothing of times, and why.
fn not_counted(known: &Known) -> String {
    let parts = [
        (known.unwitnessed, "ended unseen"),
        (known.stopped, "stopped early"),
        (known.unbelieved, "noted at the wrong time"),
        (known.before_drift, "from before it changed"),
    ];
    let some = parts.iter().filter(|(n, _)| *n > 0);
    let mut said: Vec<String> = some.map(|(n, why)| format!("{n} {why}")).collect();
    if known.pulled_in > 0 {
        said.push(format!("{} far off, counted in part", known.pulled_in));
    }
    if said.is_empty() {
        "–".to_owned()
    } else {
        said.join(", ")
    }
}

/// A drift, and what to do about it (common practice, no source).
fn drifts(name: &str, drift: Drift) -> String {
    let way = match drift.side {
        Side::Slower => "slower",
        Side::Faster => "faster",
    };
    let runs = count(drift.runs + drift.since);
    let last = match runs {
        1 => "its last run does not fit the ones".to_owned(),
        _ => format!("its last {runs} runs don’t fit the ones"),
    };
    format!(
        "{name} runs {way} than it did: {last} before. Check belts and nozzle, then print the calibration piece."
    )
}

fn percent(share: f64) -> i64 {
    round_i64((share * 100.0).round()).unwrap_or(0)
}

fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// A table with a drift in it.
#[cfg(test)]
pub(crate) fn sample() -> Printers {
    use crate::pages::samples::AWKWARD;
    Printers {
        caption: caption(35),
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
            time: "Takes 8 % longer than worked out, from 14 runs".to_owned(),
            next: "8 in 10 take 0 % to +17 % as against worked out".to_owned(),
            good: "92 in 100, likely 81 to 98; from 16 plates".to_owned(),
            not_counted: "2 ended unseen".to_owned(),
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
            whole: true,
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
        assert_eq!(row.time, "Takes 8 % longer than worked out, from 14 runs");
        assert!(row.good.starts_with("96 in 100, likely "), "{}", row.good);
        assert!(row.good.ends_with("; from 16 plates"), "{}", row.good);
        assert!(row.next.contains(" to +"), "{}", row.next);
        assert_eq!(row.not_counted, "2 ended unseen");
    }

    #[test]
    fn faster_and_equal_have_words_of_their_own() {
        let said = |factor: f64| time(&known(&[(factor, true); 30]).factor().unwrap(), 1);
        assert_eq!(
            said(0.9),
            "Takes 10 % less time than worked out, from 1 run"
        );
        assert_eq!(said(1.0), "Takes as long as worked out, from 1 run");
        let unseen = row("Teal", "here", &known(&[(1.0, false)]));
        assert_eq!(
            (unseen.time.as_str(), unseen.next.as_str()),
            ("No run whose time counts", "–")
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
        assert!(says.ends_with("Check belts and nozzle, then print the calibration piece."));
    }
}
