//! Known defects put into clean real parts: are they found, by the right name and at the right place?
//!
//! usage: `partpledge-defects LIST [--cases N] [--seed N] [--out FILE]`. LIST names a file a line;
//! which files are clean is for others to say (`dev/python/clean_parts.py` asks trimesh and
//! pymeshlab). Exit code 1 when fewer than 98 in 100 defects are found or more than 2 in 100 clean
//! parts alarm.
//!
//! `partpledge-defects thickness LIST OUT` writes points of the parts with our thickness, for
//! `dev/python/compare_thickness.py` to measure again.

mod defect;
mod judging;
mod thickness;

use std::io::Write as _;
use std::process::ExitCode;

use anyhow::{Context as _, Result, bail};
use partpledge_units::dice::Dice;
use rayon::prelude::*;

use defect::{Defect, spoil};
use judging::{Clean, Judge, Verdict};

/// Least share of defects found with the right code and place.
const FOUND: f64 = 0.98;
/// Largest share of clean parts with a false alarm.
const ALARMS: f64 = 0.02;

/// Fewer parts than this say nothing about parts in general.
const FEWEST: usize = 30;

struct Options {
    list: String,
    cases: usize,
    seed: u64,
    out: Option<String>,
}

fn options() -> Result<Options> {
    let mut args = std::env::args().skip(1);
    let mut out = Options {
        list: args
            .next()
            .context("say which list of clean parts to use")?,
        cases: 1_000,
        seed: 1,
        out: None,
    };
    while let Some(arg) = args.next() {
        let value = args
            .next()
            .with_context(|| format!("{arg} wants a value"))?;
        match arg.as_str() {
            "--cases" => out.cases = value.parse()?,
            "--seed" => out.seed = value.parse()?,
            "--out" => out.out = Some(value),
            other => bail!("there is no option {other}"),
        }
    }
    Ok(out)
}

/// One defect in one part.
struct Case {
    defect: Defect,
    file: String,
    verdict: Verdict,
}

fn main() -> Result<ExitCode> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    if let [word, list, out] = args.as_slice()
        && word == "thickness"
    {
        thickness::run(list, out)?;
        return Ok(ExitCode::SUCCESS);
    }
    let options = options()?;
    let list = std::fs::read_to_string(&options.list).context("reading the list")?;
    let judge = Judge::new()?;
    let parts: Vec<Clean> = list
        .lines()
        .collect::<Vec<_>>()
        .par_iter()
        .filter_map(|file| judge.clean(file))
        .collect();
    if parts.len() < FEWEST {
        bail!(
            "only {} files of the list are parts of usual size; {FEWEST} are wanted",
            parts.len()
        );
    }
    let kinds: Vec<Defect> = Defect::FAULTS.into_iter().chain(Defect::GOOD).collect();
    let cases: Vec<Case> = (0..options.cases * kinds.len() / Defect::FAULTS.len())
        .into_par_iter()
        .map(|i| case(&judge, &parts, kinds[i % kinds.len()], (options.seed, i)))
        .collect();
    let alarms: Vec<(&str, String)> = parts
        .par_iter()
        .filter_map(|part| Some((part.file.as_str(), judge.false_alarm(part)?)))
        .collect();
    if let Some(out) = &options.out {
        write(out, &cases, &alarms)?;
    }
    Ok(report(&parts, &cases, &alarms))
}

/// A part that has a place for the defect, and what is said of it once it is in.
fn case(judge: &Judge, parts: &[Clean], defect: Defect, (seed, i): (u64, usize)) -> Case {
    let mut dice = Dice::stream(seed, i as u64);
    let many = i64::try_from(parts.len()).unwrap_or(1);
    for _ in 0..1_000 {
        let pick = usize::try_from(dice.between(0, many - 1)).unwrap_or(0);
        let part = &parts[pick];
        if !part.fit_for(defect) {
            continue;
        }
        if let Some(spoilt) = spoil(&part.mesh, defect, &mut dice) {
            return Case {
                defect,
                file: part.file.clone(),
                verdict: judge.verdict(defect, &spoilt),
            };
        }
    }
    Case {
        defect,
        file: String::new(),
        verdict: Verdict::Missed("no part has a place for it".to_owned()),
    }
}

fn write(out: &str, cases: &[Case], alarms: &[(&str, String)]) -> Result<()> {
    let mut file = std::fs::File::create(out)?;
    writeln!(file, "defect,file,found,detail")?;
    for case in cases {
        let (found, detail) = case.verdict.told();
        writeln!(
            file,
            "{},{},{found},\"{detail}\"",
            case.defect.word(),
            case.file
        )?;
    }
    for (name, alarm) in alarms {
        writeln!(file, "clean,{name},false alarm,\"{alarm}\"")?;
    }
    Ok(())
}

fn report(parts: &[Clean], cases: &[Case], alarms: &[(&str, String)]) -> ExitCode {
    println!("{} clean parts", parts.len());
    let mut total = (0, 0);
    let mut good = true;
    for defect in Defect::FAULTS.into_iter().chain(Defect::GOOD) {
        let own: Vec<&Case> = cases.iter().filter(|case| case.defect == defect).collect();
        let found = own
            .iter()
            .filter(|case| case.verdict == Verdict::Found)
            .count();
        let share = found as f64 / own.len().max(1) as f64;
        println!(
            "{:>24}  {found:>4} of {:>4} right ({:.1} %)",
            defect.word(),
            own.len(),
            100.0 * share
        );
        if Defect::GOOD.contains(&defect) {
            good &= 1.0 - share <= ALARMS;
        } else {
            total = (total.0 + found, total.1 + own.len());
        }
    }
    let share = total.0 as f64 / total.1.max(1) as f64;
    let alarmed = alarms.len() as f64 / parts.len() as f64;
    println!(
        "{} of {} defects found by the right name and place ({:.2} %)",
        total.0,
        total.1,
        100.0 * share
    );
    println!(
        "{} of {} clean parts raise a false alarm ({:.2} %)",
        alarms.len(),
        parts.len(),
        100.0 * alarmed
    );
    good &= share >= FOUND && alarmed <= ALARMS;
    if good {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
