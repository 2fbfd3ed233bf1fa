//! What a part will take: time, plastic, electricity, cost, and where it is weakest.

use partpledge_costing::NO_PAYMENTS;
use partpledge_toolpath::strength::CAUTION;
use partpledge_units::time::Minutes;
use partpledge_workshop::Session;
use partpledge_workshop::taking::{
    OneCopy, WeakPart, money_in_words, range_in_words, weak_in_words,
};

use crate::figures::joint::{JointDrawing, joint_drawing};

/// One copy of a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Takes {
    pub(crate) name: String,
    /// On what it is timed, and how far that may be off.
    pub(crate) lead: String,
    /// Time, plastic, electricity and cost: what it is, and how much.
    pub(crate) facts: Vec<(&'static str, String)>,
    /// What the cost is made of, and that nobody is charged.
    pub(crate) cost: String,
    pub(crate) weak: Option<Weak>,
}

/// Where it is weakest.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Weak {
    pub(crate) says: Vec<String>,
    pub(crate) caution: &'static str,
    pub(crate) caption: String,
    pub(crate) drawing: Option<JointDrawing>,
}

/// What one copy takes, in words.
pub(crate) fn takes(session: &Session, copy: &OneCopy) -> Takes {
    let costs = &session.costs;
    let money = |range| money_in_words(range, costs);
    let (took, cost) = (&copy.took, &copy.cost);
    let clock = |s: f64| Minutes::covering_s(s + took.warmup_s).to_string();
    Takes {
        name: copy.name.clone(),
        lead: format!(
            "One copy, printed alone on a {}. Nine in ten are done in {}.",
            copy.class,
            clock(took.spread.p90_s)
        ),
        facts: vec![
            ("Time", clock(took.print_time_s)),
            ("Plastic", format!("{:.1} g", took.mass_g)),
            (
                "Electricity",
                format!("{} Wh", range_in_words(copy.energy_wh)),
            ),
            ("Cost", money(cost.total)),
        ],
        cost: format!(
            "Of that, filament {}, electricity {}, wear of the printer {}, work {}. With prints that fail, a good one comes to {}. Prices are examples until your region puts its own. {NO_PAYMENTS}",
            money([cost.filament; 2]),
            money(cost.energy),
            money(cost.wear),
            money([cost.labour; 2]),
            money(cost.per_good_part)
        ),
        weak: copy.weak.as_ref().map(weak),
    }
}

fn weak(part: &WeakPart) -> Weak {
    let pull = &part.layers.pull;
    let said = weak_in_words(&part.layers);
    Weak {
        says: said.into_iter().filter(|line| !line.is_empty()).collect(),
        caution: CAUTION,
        caption: format!(
            "What joins layer {} to the next, {:.1} mm up: {:.0} mm². Dashed: sparse inside, where little touches.",
            pull.layer + 1,
            pull.height_mm,
            pull.area_mm2
        ),
        drawing: joint_drawing(&part.joint, &part.hollow),
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::pages::samples::AWKWARD;

    /// With a drawing and an awkward name.
    pub(crate) fn sample() -> Takes {
        let ring = |low: f64, high: f64| vec![[low, low], [high, low], [high, high], [low, high]];
        Takes {
            name: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            facts: vec![
                ("Time", AWKWARD.to_owned()),
                ("Cost", "3.20 to 3.65 EUR".to_owned()),
            ],
            cost: AWKWARD.to_owned(),
            weak: Some(Weak {
                says: vec![AWKWARD.to_owned()],
                caution: CAUTION,
                caption: AWKWARD.to_owned(),
                drawing: joint_drawing(&vec![ring(0.0, 20.0)], &vec![ring(1.0, 19.0)]),
            }),
        }
    }
}
