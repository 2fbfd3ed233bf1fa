//! What rooms say that know no tongue, in the tongue being spoken: the checker of plans, and what a job costs.

use partpledge_costing::CostError;
use partpledge_plan_check::Violation;
use partpledge_units::money::MoneyError;
use partpledge_words::say;

/// What a message about a plan begins with; the rest is the code of the rule that is broken.
const RULE: &str = "errors-rule-";
/// Those messages.
const RULES: &[&str] = &[
    "errors-rule-unknown-plate",
    "errors-rule-planned-twice",
    "errors-rule-out-of-order",
    "errors-rule-no-such-printer",
    "errors-rule-no-such-making",
    "errors-rule-wrong-material",
    "errors-rule-too-large",
    "errors-rule-too-little-reserved",
    "errors-rule-before-release",
    "errors-rule-start-unstaffed",
    "errors-rule-wrong-end",
    "errors-rule-unattended",
    "errors-rule-out-of-use",
    "errors-rule-on-its-way",
    "errors-rule-wrong-cleared",
    "errors-rule-overlap",
    "errors-rule-too-many-starts",
    "errors-rule-no-time-to-change",
    "errors-rule-filament-short",
    "errors-rule-wrong-ready",
    "errors-rule-wrong-arrival",
    "errors-rule-beyond-horizon",
    "errors-rule-promise-broken",
    "errors-rule-no-way-on",
    "errors-rule-promised-unplanned",
    "errors-rule-frozen-moved",
];

/// What is wrong with a plan.
pub(super) fn rule(violation: &Violation) -> String {
    of_code(violation.code()).unwrap_or_else(|| violation.words().to_owned())
}

fn of_code(code: &str) -> Option<String> {
    let is_it = |id: &&&str| id.strip_prefix(RULE) == Some(code);
    RULES.iter().find(is_it).map(|id| say(id).to_string())
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
        assert_eq!(Violation::CODES.len(), RULES.len());
        for (code, english) in Violation::CODES.iter().zip(Violation::WORDS) {
            assert_eq!(of_code(code).as_deref(), Some(*english));
            let german = within(Tongue::German, || of_code(code));
            assert_ne!(german.as_deref(), Some(*english));
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
