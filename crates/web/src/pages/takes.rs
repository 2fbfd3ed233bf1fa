//! What a part will take: time, plastic, electricity, cost, and where it is weakest.

use partpledge_units::time::Minutes;
use partpledge_words::{decimal, say};
use partpledge_workshop::taking::{
    OneCopy, WeakPart, money_in_words, range_in_words, weak_in_words,
};
use partpledge_workshop::{Session, class_says};

use crate::figures::joint::{JointDrawing, joint_drawing};

/// One copy of a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Takes {
    pub(crate) name: String,
    /// On what it is timed, and how far that may be off.
    pub(crate) lead: String,
    /// Time, plastic, electricity and cost: what it is, and how much.
    pub(crate) facts: Vec<(String, String)>,
    /// What the cost is made of, and that nobody is charged.
    pub(crate) cost: String,
    pub(crate) weak: Option<Weak>,
}

/// Where it is weakest.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Weak {
    pub(crate) says: Vec<String>,
    pub(crate) caution: String,
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
        lead: say!(
            "part-takes-lead",
            class = class_says(&copy.class),
            time = clock(took.spread.p90_s)
        ),
        facts: vec![
            (say!("part-takes-time"), clock(took.print_time_s)),
            (
                say!("part-takes-plastic"),
                say!("part-grams", g = decimal(took.mass_g, 1)),
            ),
            (
                say!("part-takes-electricity"),
                say!("part-watt-hours", range = range_in_words(copy.energy_wh)),
            ),
            (say!("part-takes-cost"), money(cost.total)),
        ],
        cost: of_what(session, copy),
        weak: copy.weak.as_ref().map(weak),
    }
}

/// What the cost is made of, whose prices those are, and that nobody is charged.
fn of_what(session: &Session, copy: &OneCopy) -> String {
    let costs = &session.costs;
    let money = |range| money_in_words(range, costs);
    let cost = &copy.cost;
    let id = if costs.are_examples {
        "part-takes-cost-of"
    } else {
        "part-takes-cost-own"
    };
    partpledge_words::say(id)
        .with("filament", money([cost.filament; 2]))
        .with("energy", money(cost.energy))
        .with("wear", money(cost.wear))
        .with("labour", money([cost.labour; 2]))
        .with("good", money(cost.per_good_part))
        .to_string()
}

fn weak(part: &WeakPart) -> Weak {
    let pull = &part.layers.pull;
    let said = weak_in_words(&part.layers);
    Weak {
        says: said.into_iter().filter(|line| !line.is_empty()).collect(),
        caution: say!("part-strength-caution"),
        caption: say!(
            "part-weak-caption",
            layer = pull.layer + 1,
            up = decimal(pull.height_mm, 1),
            area = decimal(pull.area_mm2, 0)
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
                ("Time".to_owned(), AWKWARD.to_owned()),
                ("Cost".to_owned(), "3.20 to 3.65 EUR".to_owned()),
            ],
            cost: AWKWARD.to_owned(),
            weak: Some(Weak {
                says: vec![AWKWARD.to_owned()],
                caution: "Try it behind a guard.".to_owned(),
                caption: AWKWARD.to_owned(),
                drawing: joint_drawing(&vec![ring(0.0, 20.0)], &vec![ring(1.0, 19.0)]),
            }),
        }
    }
}
