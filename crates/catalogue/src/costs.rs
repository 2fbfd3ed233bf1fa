//! Prices and what else a cost is made of: a data file of its own, so that a region can put its
//! own prices. No payments are handled.

use partpledge_units::money::Currency;
use serde::{Deserialize, Serialize};

use crate::read::{Catalogue, CatalogueError, Range, check_codes, check_ranges, toml_file};
use crate::region::RegionFile;

pub(crate) const COSTS: &str = "costs";
/// What a number that is of no single material or class is said to be of.
const PRICES: &str = "prices";
/// The field that must be as the currency has it.
pub(crate) const DECIMALS: &str = "decimals";
pub(crate) const BUILT_IN: &str = include_str!("../data/costs.toml");

/// Prices of one currency, in its minor units.
#[derive(Clone, Debug, PartialEq)]
pub struct Costs {
    /// The currency of every price.
    pub currency: Currency,
    /// Rates and shares.
    pub rates: Rates,
    /// Whether they are the invented ones that ship with the program, and not the region's own.
    pub are_examples: bool,
}

/// What the file says; prices in minor units.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Rates {
    /// Of a file of its own only: a region file says its currency once, for all of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    currency: Option<String>,
    /// Digits of the minor unit by ISO 4217: 2 for EUR, 0 for JPY. Others are refused.
    pub decimals: u8,
    /// Electricity, per kWh.
    pub electricity_per_kwh: u32,
    /// An hour of work; 0 where it is a gift.
    pub labour_per_h: u32,
    /// Work on one plate, min: load, start, clear, look.
    pub labour_min_per_plate: f64,
    /// Filament that ends in no part, as a share of that in parts.
    pub purge_share: f64,
    /// Of plates started, how many come out good.
    pub first_pass_share: f64,
    /// Of a failing print, how much of its time and plastic is lost on average.
    pub lost_share: f64,
    /// Left on a spool as a margin, g.
    pub spool_margin_g: f64,
    /// What weighs when filament is ordered.
    #[serde(default)]
    pub stock: StockRates,
    #[serde(default)]
    filament: Vec<FilamentPrice>,
    #[serde(default)]
    machine: Vec<MachineCost>,
}

/// What weighs when filament is ordered.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct StockRates {
    /// What a kilogram costs that is missing: late parts, a drive to fetch one.
    pub short_per_kg: u32,
    /// What a kilogram costs that is there too early: money tied, room, drying.
    pub over_per_kg: u32,
    /// Days from order to shelf.
    pub lead_days: f64,
    /// Days from one look at the shelf to the next.
    pub review_days: f64,
}

impl Default for StockRates {
    /// Ten days, looked at weekly, and as dear to have as to miss. Common practice, no source.
    fn default() -> Self {
        Self {
            short_per_kg: 1,
            over_per_kg: 1,
            lead_days: 10.0,
            review_days: 7.0,
        }
    }
}

/// What a material costs.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FilamentPrice {
    material: String,
    price_per_kg: u32,
}

/// What owning a printer of a class costs.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct MachineCost {
    /// Code of the class.
    pub class: String,
    /// What it was bought for.
    pub price: u32,
    /// What it will still be worth.
    pub salvage: u32,
    /// How long it is kept, years.
    pub years: f64,
    /// Of all hours of a year, how many it prints.
    pub use_share: f64,
    /// Spare parts and care, a year.
    pub upkeep_per_year: u32,
}

impl Rates {
    /// Where the price of a material stands last in the list: the first where it comes once.
    pub(crate) fn filament_at(&self, material: &str) -> Option<usize> {
        let mut prices = self.filament.iter();
        prices.rposition(|price| price.material == material)
    }

    /// The same of a class.
    pub(crate) fn machine_at(&self, class: &str) -> Option<usize> {
        self.machine.iter().rposition(|one| one.class == class)
    }
}

impl StockRates {
    /// Whether that is the name of one of its fields.
    pub(crate) fn has(field: &str) -> bool {
        matches!(
            field,
            "short_per_kg" | "over_per_kg" | "lead_days" | "review_days"
        )
    }
}

impl Costs {
    /// The prices that ship with the program: invented, for the demo.
    ///
    /// # Panics
    /// Never in a tested build: the built-in file is read by a test.
    ///
    /// ```
    /// let costs = partpledge_catalogue::Costs::built_in();
    /// assert_eq!(costs.price_per_kg("PLA"), Some(2200.0));
    /// assert_eq!(costs.currency.to_string(), "EUR");
    /// ```
    #[must_use]
    pub fn built_in() -> Self {
        let examples = Self::parse(BUILT_IN, &Catalogue::built_in());
        Self {
            are_examples: true,
            ..examples.expect("the built-in prices are read by a test")
        }
    }

    /// The prices of a region: its own, in its currency, or the built-in ones where it has none.
    ///
    /// # Errors
    /// The first broken rule of [`CatalogueError`].
    pub fn of(file: &RegionFile, catalogue: &Catalogue) -> Result<Self, CatalogueError> {
        match &file.prices {
            None => Ok(Self::built_in()),
            Some(rates) => {
                let own = Self::checked((**rates).clone(), &file.currency, catalogue)?;
                let are_examples = own.rates == Self::built_in().rates;
                Ok(Self {
                    are_examples,
                    ..own
                })
            }
        }
    }

    /// Reads prices for everything in a catalogue.
    ///
    /// # Errors
    /// The first broken rule of [`CatalogueError`].
    pub fn parse(text: &str, catalogue: &Catalogue) -> Result<Self, CatalogueError> {
        let mut rates: Rates = toml_file(COSTS, text)?;
        let missing = || CatalogueError::Syntax {
            file: COSTS,
            message: "missing field `currency`".to_owned(),
        };
        let currency = rates.currency.take().ok_or_else(missing)?;
        Self::checked(rates, &currency, catalogue)
    }

    fn checked(rates: Rates, code: &str, catalogue: &Catalogue) -> Result<Self, CatalogueError> {
        if rates.currency.is_some() {
            return Err(CatalogueError::Syntax {
                file: COSTS,
                message: "`currency` stands once, at the top of the region file".to_owned(),
            });
        }
        let currency = Currency::parse(code)?;
        check_codes(COSTS, rates.filament.iter().map(|f| f.material.as_str()))?;
        check_codes(COSTS, rates.machine.iter().map(|m| m.class.as_str()))?;
        check_ranges(COSTS, PRICES, &ranges(&rates, currency))?;
        for machine in &rates.machine {
            check_ranges(COSTS, &machine.class, &machine_ranges(machine))?;
        }
        let costs = Self {
            currency,
            rates,
            are_examples: false,
        };
        let no_price = |code: &str| CatalogueError::NoPrice {
            file: COSTS,
            code: code.to_owned(),
        };
        for material in &catalogue.materials {
            let price = costs.price_per_kg(&material.code);
            price.ok_or_else(|| no_price(&material.code))?;
        }
        for class in &catalogue.classes {
            let machine = costs.machine(&class.code);
            machine.ok_or_else(|| no_price(&class.code))?;
        }
        Ok(costs)
    }

    /// Minor units for a kilogram of a material.
    #[must_use]
    pub fn price_per_kg(&self, material: &str) -> Option<f64> {
        let prices = &self.rates.filament;
        let found = prices.iter().find(|price| price.material == material)?;
        Some(found.price_per_kg.into())
    }

    /// What owning a printer of that class costs.
    #[must_use]
    pub fn machine(&self, class: &str) -> Option<&MachineCost> {
        self.rates.machine.iter().find(|m| m.class == class)
    }
}

fn ranges(rates: &Rates, currency: Currency) -> [Range; 8] {
    let digits = f64::from(currency.digits());
    [
        (DECIMALS, f64::from(rates.decimals), digits, digits),
        (
            "labour_min_per_plate",
            rates.labour_min_per_plate,
            0.0,
            1440.0,
        ),
        ("purge_share", rates.purge_share, 0.0, 2.0),
        ("first_pass_share", rates.first_pass_share, 0.05, 1.0),
        ("lost_share", rates.lost_share, 0.0, 1.0),
        ("spool_margin_g", rates.spool_margin_g, 0.0, 1000.0),
        ("lead_days", rates.stock.lead_days, 0.0, 365.0),
        ("review_days", rates.stock.review_days, 1.0, 365.0),
    ]
}

fn machine_ranges(machine: &MachineCost) -> [Range; 3] {
    let price = f64::from(machine.price);
    [
        ("salvage", f64::from(machine.salvage), 0.0, price),
        ("years", machine.years, 0.25, 30.0),
        ("use_share", machine.use_share, 0.01, 1.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = BUILT_IN;

    fn with(from: &str, to: &str) -> &'static str {
        assert!(
            FILE.contains(from),
            "the test edits text that is gone: {from}"
        );
        let edited = FILE.replacen(from, to, 1);
        Costs::parse(&edited, &Catalogue::built_in())
            .unwrap_err()
            .code()
    }

    #[test]
    fn each_broken_rule_of_the_prices_is_named() {
        assert_eq!(
            with("currency = \"EUR\"", "currency = \"eur\""),
            "catalogue-currency"
        );
        // Yen have no cents: what cost 22.00 would be read as 2200.
        for (from, to) in [("\"EUR\"", "\"JPY\""), ("decimals = 2", "decimals = 4")] {
            assert_eq!(with(from, to), "catalogue-out-of-range");
        }
        let yen = FILE
            .replace("\"EUR\"", "\"JPY\"")
            .replace("decimals = 2", "decimals = 0");
        assert!(Costs::parse(&yen, &Catalogue::built_in()).is_ok());
        assert_eq!(
            with("material = \"ASA\"", "material = \"WAX\""),
            "catalogue-no-price"
        );
        assert_eq!(
            with("class = \"warm\"", "class = \"cold\""),
            "catalogue-no-price"
        );
        assert_eq!(
            with("class = \"warm\"", "class = \"swift\""),
            "catalogue-duplicate"
        );
        assert_eq!(
            with("lost_share = 0.5", "lost_share = nan"),
            "catalogue-out-of-range"
        );
        assert_eq!(
            with("salvage = 2000", "salvage = 25001"),
            "catalogue-out-of-range"
        );
        assert_eq!(
            with("lead_days = 10.0", "lead_days = -1.0"),
            "catalogue-out-of-range"
        );
        assert_eq!(
            with("price_per_kg = 2200", "price_per_kg = 22.00"),
            "catalogue-syntax"
        );
    }

    #[test]
    fn the_file_says_that_its_prices_are_invented_and_that_nobody_is_charged() {
        assert!(FILE.contains("invented for the demo") && FILE.contains("no payments are handled"));
    }
}
