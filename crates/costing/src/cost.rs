//! What a print costs: filament, energy, wear and labour, and what a good part costs.

use partpledge_catalogue::costs::MachineCost;
use partpledge_catalogue::{Costs, Material, PrinterClass};
use partpledge_units::money::{Money, MoneyError};

use crate::energy::energy_wh;
use crate::failing::per_good;

/// Hours of a year.
const HOURS_A_YEAR: f64 = 8760.0;

/// A plate or a part printed alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Job {
    /// Filament in the parts, g.
    pub mass_g: f64,
    /// Printing and warming up, s: least and greatest expected.
    pub time_s: [f64; 2],
    /// Good parts when it comes out.
    pub copies: u32,
}

/// What a job costs, in whole minor units. Each amount is rounded once from its exact value, so that the
/// parts may differ from their sum by a unit or two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cost {
    /// Filament, purge included.
    pub filament: Money,
    /// Electricity, least and greatest.
    pub energy: [Money; 2],
    /// What the printer loses in worth, and its upkeep, least and greatest.
    pub wear: [Money; 2],
    /// Work.
    pub labour: Money,
    /// All of it for one try, least and greatest.
    pub total: [Money; 2],
    /// For each good part, failed tries counted, least and greatest.
    pub per_good_part: [Money; 2],
}

/// Why there is no cost.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CostError {
    /// The prices' file has no price for it.
    #[error("there is no price for {0}")]
    NoPrice(String),
    /// No copy, or a time or mass that is no number.
    #[error("a job of {copies} copies in {time_s} s and {mass_g} g has no cost")]
    BadJob {
        /// Copies.
        copies: u32,
        /// Rounded seconds, as text.
        time_s: String,
        /// Rounded grams, as text.
        mass_g: String,
    },
    /// An amount is too large to count.
    #[error(transparent)]
    Money(#[from] MoneyError),
}

/// What an hour on a printer takes of its worth, in minor units: what it loses over its years and its
/// upkeep, over the hours it prints.
///
/// # Source
/// Straight-line depreciation, as in Hopkinson & Dickens 2003 (from memory). Worked example of the
/// reference sheet (recomputed): 600, 50 left, 4 years, 35 % use, 120 a year: 3066 h a year, 0.0839856/h.
#[must_use]
pub fn wear_per_h(machine: &MachineCost) -> f64 {
    let lost = f64::from(machine.price) - f64::from(machine.salvage);
    let a_year = lost / machine.years + f64::from(machine.upkeep_per_year);
    a_year / (HOURS_A_YEAR * machine.use_share)
}

/// What a job costs on a class of printer.
///
/// The range comes from the time's spread and from two models of energy, not from prices. Of a
/// failing print a share of filament, energy and wear is lost (half, when it fails at any moment
/// alike), and all of the labour.
/// # Units
/// Whole minor units of the prices' currency.
/// # Errors
/// [`CostError`].
/// # Source
/// The sum: Ruffo et al. 2006, with energy and failures after Baumers et al.; see the crate.
pub fn cost(
    job: &Job,
    class: &PrinterClass,
    material: &Material,
    costs: &Costs,
) -> Result<Cost, CostError> {
    check(job)?;
    let (machine, price_per_kg) = prices(class, material, costs)?;
    let rates = &costs.rates;
    let [short_s, long_s] = job.time_s;
    let filament = job.mass_g * (1.0 + rates.purge_share) / 1000.0 * price_per_kg;
    let wh = [
        energy_wh(class, material, short_s)[0],
        energy_wh(class, material, long_s)[1],
    ];
    let energy = wh.map(|wh| wh / 1000.0 * f64::from(rates.electricity_per_kwh));
    let wear = job.time_s.map(|s| s / 3600.0 * wear_per_h(machine));
    let labour = rates.labour_min_per_plate / 60.0 * f64::from(rates.labour_per_h);
    let good = |k: usize| {
        let lost_in_part = filament + energy[k] + wear[k];
        let each = per_good(lost_in_part, rates.first_pass_share, rates.lost_share)
            + per_good(labour, rates.first_pass_share, 1.0);
        each / f64::from(job.copies)
    };
    let round = |minor: f64| Money::rounded(minor, costs.currency);
    let both = |minor: [f64; 2]| Ok::<_, CostError>([round(minor[0])?, round(minor[1])?]);
    Ok(Cost {
        filament: round(filament)?,
        energy: both(energy)?,
        wear: both(wear)?,
        labour: round(labour)?,
        total: both([0, 1].map(|k| filament + energy[k] + wear[k] + labour))?,
        per_good_part: both([good(0), good(1)])?,
    })
}

fn check(job: &Job) -> Result<(), CostError> {
    let [short_s, long_s] = job.time_s;
    let numbers = [job.mass_g, short_s, long_s - short_s];
    if job.copies > 0 && numbers.iter().all(|x| x.is_finite() && *x >= 0.0) {
        return Ok(());
    }
    Err(CostError::BadJob {
        copies: job.copies,
        time_s: format!("{short_s:.0} to {long_s:.0}"),
        mass_g: format!("{:.1}", job.mass_g),
    })
}

fn prices<'a>(
    class: &PrinterClass,
    material: &Material,
    costs: &'a Costs,
) -> Result<(&'a MachineCost, f64), CostError> {
    let no_price = |code: &str| CostError::NoPrice(code.to_owned());
    let machine = costs.machine(&class.code);
    let price = costs.price_per_kg(&material.code);
    Ok((
        machine.ok_or_else(|| no_price(&class.code))?,
        price.ok_or_else(|| no_price(&material.code))?,
    ))
}
