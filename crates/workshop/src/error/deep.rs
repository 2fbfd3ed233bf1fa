//! What rooms say that know no tongue, in the tongue being spoken: the checker of plans, and what a job costs.

use partpledge_costing::CostError;
use partpledge_plan_check::Violation;
use partpledge_units::money::MoneyError;
use partpledge_words::say;

/// What the checker says, and the message that says it.
const RULES: &[(&str, &str)] = &[
    ("nobody knows this plate", "errors-rule-unknown-plate"),
    (
        "it has more than one place in the plan",
        "errors-rule-planned-twice",
    ),
    (
        "it stands out of order in the plan",
        "errors-rule-out-of-order",
    ),
    (
        "the region has no such printer",
        "errors-rule-no-such-printer",
    ),
    ("that printer can't make it", "errors-rule-no-such-making"),
    (
        "the printer does not take its material",
        "errors-rule-wrong-material",
    ),
    (
        "it is larger than the printer's bed or height",
        "errors-rule-too-large",
    ),
    (
        "less time is kept for it than it takes",
        "errors-rule-too-little-reserved",
    ),
    ("it starts before it may", "errors-rule-before-release"),
    ("nobody is there to start it", "errors-rule-start-unstaffed"),
    (
        "the printer is not kept for its reserved time",
        "errors-rule-wrong-end",
    ),
    (
        "it runs with nobody there, and that is not allowed",
        "errors-rule-unattended",
    ),
    ("the printer is out of use then", "errors-rule-out-of-use"),
    ("the printer is on its way then", "errors-rule-on-its-way"),
    ("nobody clears it at that time", "errors-rule-wrong-cleared"),
    (
        "another plate is still on the printer",
        "errors-rule-overlap",
    ),
    (
        "its site has no hands left to start it then",
        "errors-rule-too-many-starts",
    ),
    (
        "nobody has time to change the material before it",
        "errors-rule-no-time-to-change",
    ),
    (
        "its site is short of filament then",
        "errors-rule-filament-short",
    ),
    (
        "its box is not ready at that time",
        "errors-rule-wrong-ready",
    ),
    (
        "no leg hands it over at that time",
        "errors-rule-wrong-arrival",
    ),
    (
        "it goes on after the calendars end",
        "errors-rule-beyond-horizon",
    ),
    (
        "it would come later than promised",
        "errors-rule-promise-broken",
    ),
    (
        "nothing goes in time to where a part of it is to be handed over",
        "errors-rule-no-way-on",
    ),
    (
        "it was promised and has no place in the plan",
        "errors-rule-promised-unplanned",
    ),
    (
        "it was running or done and has been moved",
        "errors-rule-frozen-moved",
    ),
];

/// What is wrong with a plan.
pub(super) fn rule(violation: &Violation) -> String {
    words(violation.words())
}

fn words(english: &str) -> String {
    let found = RULES.iter().find(|(known, _)| *known == english);
    found.map_or_else(|| english.to_owned(), |(_, id)| say(id).to_string())
}

/// Why there is no cost.
pub(super) fn no_cost(error: &CostError) -> String {
    match error {
        CostError::NoPrice(what) => say!("errors-no-price", what = what),
        CostError::BadJob {
            copies,
            time_s,
            mass_g,
        } => say!(
            "errors-no-cost",
            copies = copies,
            time = time_s,
            mass = mass_g
        ),
        CostError::Money(MoneyError::BadCode(text)) => say!("errors-no-currency", text = text),
        CostError::Money(MoneyError::MixedCurrencies(one, other)) => say!(
            "errors-two-currencies",
            one = one.to_string(),
            other = other.to_string()
        ),
        CostError::Money(MoneyError::Overflow) => say!("errors-sum-too-large"),
    }
}

#[cfg(test)]
mod tests {
    use partpledge_units::money::Currency;
    use partpledge_words::{Tongue, within};

    use super::*;

    #[test]
    fn every_rule_of_the_checker_has_its_words_in_both_tongues() {
        assert_eq!(Violation::WORDS.len(), RULES.len());
        for english in Violation::WORDS {
            assert_eq!(words(english), *english);
            let german = within(Tongue::German, || words(english));
            assert_ne!(german, *english);
        }
    }

    #[test]
    fn what_has_no_cost_says_so_as_its_room_does() {
        let units = ["EUR", "GBP"].map(|code| Currency::parse(code).unwrap());
        let all = [
            CostError::NoPrice("pla".to_owned()),
            CostError::BadJob {
                copies: 0,
                time_s: "60".to_owned(),
                mass_g: "5".to_owned(),
            },
            MoneyError::BadCode("eur".to_owned()).into(),
            MoneyError::MixedCurrencies(units[0], units[1]).into(),
            MoneyError::Overflow.into(),
        ];
        for error in &all {
            assert_eq!(no_cost(error), error.to_string());
            let german = within(Tongue::German, || no_cost(error));
            assert_ne!(german, error.to_string());
        }
    }
}
