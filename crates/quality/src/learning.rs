//! All finished runs of a region made into what is known of each printer.
//!
//! Three levels, each centred on the one above: a class of printers on the estimate itself, a
//! printer on the others of its class, a sheet on that printer's other sheets. Nothing is used
//! twice: what a printer tells its class is not told back to it.

mod fold;

use std::collections::BTreeMap;

use crate::counting::Run;
use crate::drift::Drift;
use crate::factor::{Factor, Next};
use crate::stats::Tally;
use crate::yields::Yield;

use fold::{Folded, fold};

/// How far classes' factors lie apart (standard deviation of the logarithm). With
/// [`PRINTERS_APART`] it makes the deviation of factors spread evenly from 0.85 to 1.3, 0.122.
/// Common practice, no source.
pub const CLASSES_APART: f64 = 0.07;
/// How far printers of one class lie apart. Common practice, no source.
pub const PRINTERS_APART: f64 = 0.10;
/// How far the sheets of one printer lie apart. Common practice, no source.
pub const SHEETS_APART: f64 = 0.03;
/// Deviation between runs of one printer and sheet before any are known. Common practice, no source.
pub const USUAL_NOISE: f64 = 0.06;
/// Smallest deviation between runs that is believed beforehand.
const LEAST_NOISE: f64 = 0.01;
/// How many runs the noise is worth. Common practice, no source.
const NOISE_RUNS: f64 = 6.0;

/// A printer and what is believed of it before any run.
#[derive(Clone, Debug, PartialEq)]
pub struct PrinterPrior {
    /// Its name.
    pub name: String,
    /// Code of its class.
    pub class: String,
    /// Deviation of `ln(real / estimated)` from run to run, such as [`USUAL_NOISE`].
    pub noise: f64,
    /// Mean first-pass yield, such as [`USUAL_YIELD`](crate::yields::USUAL_YIELD).
    pub yield_mean: f64,
}

/// What is known of the printers of a region.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Learned {
    printers: BTreeMap<String, Known>,
}

/// What is known of one printer.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Runs whose time counts, since the last drift.
    pub counted: usize,
    /// Counted runs from before the last drift, no longer used.
    pub before_drift: usize,
    /// Runs stopped early, so that their time doesn't count.
    pub stopped: usize,
    /// Runs that nobody saw end.
    pub unwitnessed: usize,
    /// Runs timed by the host's own program.
    pub by_program: usize,
    /// Runs with a time that can't be right.
    pub unbelieved: usize,
    /// Runs that were noted by hand so late that it says next to nothing of their times.
    pub noted_late: usize,
    /// Counted runs that were taken as four spreads off, being further off than that.
    pub pulled_in: usize,
    /// A drift found lately.
    pub drift: Option<Drift>,
    /// Plates that have ended, good or not.
    pub plates: usize,
    /// Its first-pass yield.
    pub first_pass: Yield,
    /// Whether it or another of its class has a counted run.
    informed: bool,
    /// Before its own runs.
    prior: Factor,
    noise: f64,
    sheets: BTreeMap<String, Sheet>,
}

/// What is known of a printer and sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Sheet {
    times: Tally,
    plates: f64,
    good: f64,
}

/// Learns from runs in the order in which they ended. Printers that are not listed are passed over.
///
/// A run whose end was noted by hand counts as much as that tells ([`crate::ticks`]), given what was
/// expected of it then.
///
/// A run further than four spreads from what was expected is taken as four spreads off
/// (winsorised). When a printer's chart signals a drift, its times from before the likely start of
/// the drift are no longer used: the factor starts again from the class and the runs since.
///
/// ```
/// use partpledge_quality::{PrinterPrior, Run, learn};
/// let curlew = PrinterPrior {
///     name: "Curlew".into(), class: "standard".into(), noise: 0.06, yield_mean: 0.85,
/// };
/// let run = Run {
///     printer: "Curlew".into(), sheet: "pla-plain".into(), worked_out_min: 200.0, took_min: 230.0,
///     witnessed: true, ticked: false, whole: true,
///     by_program: false, copies: 2, good: 2,
/// };
/// let learned = learn(&[curlew], &vec![run; 10]);
/// let next = learned.next("Curlew", "pla-plain").unwrap();
/// assert!((next.median() - 1.15).abs() < 0.01);
/// ```
#[must_use]
pub fn learn(printers: &[PrinterPrior], runs: &[Run]) -> Learned {
    let mut of: BTreeMap<&str, Vec<&Run>> = BTreeMap::new();
    for run in runs {
        of.entry(&run.printer).or_default().push(run);
    }
    let own = |printer: &PrinterPrior| of.get(printer.name.as_str()).map_or(&[][..], Vec::as_slice);
    // What others of the class say depends on where their drifts began, and that on what others
    // say of them: drifts are looked for once without the class, then once with it.
    let alone: Vec<Folded> = printers
        .iter()
        .map(|printer| fold(printer.noise(), prior(printer, &[]), own(printer)))
        .collect();
    let mut out = Learned::default();
    for (i, printer) in printers.iter().enumerate() {
        let others: Vec<(f64, Tally)> = (printers.iter().zip(&alone).enumerate())
            .filter(|(j, (other, _))| *j != i && other.class == printer.class)
            .map(|(_, (other, folded))| (other.noise(), folded.whole()))
            .filter(|(_, times)| times.n > 0.0)
            .collect();
        let prior = prior(printer, &others);
        let folded = fold(printer.noise(), prior, own(printer));
        let informed = !others.is_empty() || folded.whole().n > 0.0;
        let known = folded.known(before(printers, &alone, i), prior, informed);
        out.printers.insert(printer.name.clone(), known);
    }
    out
}

/// The yield believed of a printer before its own runs, from those of all others.
fn before(printers: &[PrinterPrior], folded: &[Folded], i: usize) -> Yield {
    let others = printers.iter().zip(folded).enumerate();
    let others = others.filter(|(j, _)| *j != i).map(|(_, other)| other);
    let (lost, expected) = others.fold((0.0, 0.0), |(lost, expected), (prior, folded)| {
        let (plates, own_lost) = folded.ended();
        (
            lost + own_lost,
            expected + plates * (1.0 - prior.yield_mean),
        )
    });
    Yield::among_others(printers[i].yield_mean, (lost, expected))
}

impl PrinterPrior {
    fn noise(&self) -> f64 {
        self.noise.max(LEAST_NOISE)
    }
}

/// What the others of its class say of a printer that has not run: their means, each weighed by
/// how sure it is, about the estimate itself.
///
/// # Source
/// Normal means of groups with known spread: Gelman et al., Bayesian Data Analysis, chapter 5
/// (from memory).
fn prior(printer: &PrinterPrior, others: &[(f64, Tally)]) -> Factor {
    let mut weights = CLASSES_APART.powi(-2);
    let mut sum = 0.0;
    for (noise, times) in others {
        let weight = 1.0 / (PRINTERS_APART.powi(2) + noise * noise / times.n);
        weights += weight;
        sum += weight * times.mean;
    }
    let apart = PRINTERS_APART.hypot(weights.powf(-0.5));
    Factor::before(sum / weights, apart, printer.noise(), NOISE_RUNS)
}

impl Learned {
    /// What is known of a printer, if it is in the region.
    #[must_use]
    pub fn printer(&self, name: &str) -> Option<&Known> {
        self.printers.get(name)
    }

    /// How the next run of that printer and sheet stands to its estimate; `None` while neither
    /// the printer nor another of its class has a counted run.
    #[must_use]
    pub fn next(&self, printer: &str, sheet: &str) -> Option<Next> {
        let known = self.printer(printer)?;
        known.informed.then(|| known.next_of(sheet))
    }

    /// The first-pass yield of that printer and sheet: about the printer's own with its other sheets.
    #[must_use]
    pub fn first_pass(&self, printer: &str, sheet: &str) -> Option<Yield> {
        let known = self.printer(printer)?;
        let own = known.sheets.get(sheet).copied().unwrap_or_default();
        let without = known.first_pass.after(-own.plates, -own.good);
        Some(Yield::before(without.mean()).after(own.plates, own.good))
    }
}

impl Known {
    /// How the printer stands to its estimates over all its sheets; `None` without a run of its own.
    #[must_use]
    pub fn factor(&self) -> Option<Next> {
        (self.counted > 0).then(|| self.over_sheets("").next())
    }

    /// How its next run will stand to its estimate on the sheet that it has run most (the first by
    /// code of several); `None` while nothing is known of its class.
    #[must_use]
    pub fn usual(&self) -> Option<Next> {
        let most = self.sheets.iter().rev();
        let most = most.max_by(|(_, a), (_, b)| a.times.n.total_cmp(&b.times.n));
        self.informed
            .then(|| self.next_of(most.map_or("", |(code, _)| code)))
    }

    fn next_of(&self, sheet: &str) -> Next {
        let own = self.sheets.get(sheet).map(|sheet| sheet.times);
        expected(self.over_sheets(sheet), self.noise, own.unwrap_or_default())
    }

    /// The printer's factor from all sheets but one.
    fn over_sheets(&self, but: &str) -> Factor {
        let others = self.sheets.iter().filter(|(code, _)| *code != but);
        others.fold(self.prior, |factor, (_, sheet)| factor.after(&sheet.times))
    }
}

/// The next run on a sheet, from the printer's other sheets and this one's runs.
fn expected(others: Factor, noise: f64, own: Tally) -> Next {
    let apart = (noise / SHEETS_APART).powi(2);
    others.of_another(apart).after(&own).next()
}

#[cfg(test)]
mod tests;
