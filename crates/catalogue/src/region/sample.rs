//! A region file to begin with: each field with a word on what it is, prices as they are built in.

use partpledge_units::local::parse_date;

use crate::Catalogue;
use crate::costs::BUILT_IN;
use crate::says::class_says;

const SAMPLE: &str = include_str!("../../data/sample-region.toml");

const PRICES: &str = "\
# Prices, in whole minor units of the currency (cents), per kg, kWh and hour. These are EXAMPLES, the ones
# that are built in: until you change one, every page says that they are. Every material and class has one.
# decimals is how many digits the minor unit has: 2 for EUR; 0 for JPY, which has no cents.
[prices]
";

/// A region file to change, for a season that goes on after `today`, `2027-03-09`.
///
/// ```
/// use partpledge_catalogue::{Catalogue, Costs, region};
/// let catalogue = Catalogue::built_in();
/// let file = region::written(&region::sample("2027-03-09"), &catalogue).unwrap();
/// assert_eq!(file.season_ends.as_deref(), Some("2027-06-30"));
/// assert!(Costs::of(&file, &catalogue).unwrap().are_examples);
/// ```
#[must_use]
pub fn sample(today: &str) -> String {
    let next = parse_date(today).map_or(2027, |day| day.year() + i16::from(day.month() > 5));
    let classes = Catalogue::built_in().classes;
    let classes: Vec<String> = classes
        .iter()
        .map(|class| {
            let [x, y, z] = class.bed_mm;
            let plastics = class.materials.join(", ");
            let (code, name) = (&class.code, class_says(&class.name));
            format!("#   {code}: {name}, {x} x {y} x {z} mm; {plastics}")
        })
        .collect();
    let text = SAMPLE
        .replace("CLASSES", &classes.join("\n"))
        .replace("YEAR", &(next - 1).to_string())
        .replace("NEXT", &next.to_string());
    text + PRICES + &prices()
}

/// The built-in prices as tables of a region file.
fn prices() -> String {
    let lines = BUILT_IN.lines().skip_while(|line| !line.is_empty());
    let lines = lines.filter(|line| !line.starts_with("currency"));
    let lines = lines.map(|line| match line {
        "[stock]" => "[prices.stock]",
        "[[filament]]" => "[[prices.filament]]",
        "[[machine]]" => "[[prices.machine]]",
        other => other,
    });
    let mut out = lines.collect::<Vec<_>>().join("\n").trim().to_owned();
    out.push('\n');
    out
}
