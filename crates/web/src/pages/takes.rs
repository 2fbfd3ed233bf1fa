//! What a part will take: time, plastic, electricity, cost, and where it is weakest; and what it really
//! took, once its team has it.

use partpledge_orientation::Choice;
use partpledge_units::time::Minutes;
use partpledge_words::{decimal, say};
use partpledge_workshop::intake::JudgedPart;
use partpledge_workshop::spent::Spent;
use partpledge_workshop::taking::{
    OneCopy, WeakPart, money_in_words, range_in_words, weak_in_words,
};
use partpledge_workshop::{Session, class_says};

use crate::figures::joint::{JointDrawing, joint_drawing};
use crate::pages::ways::standing_in_words;

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

/// What all copies of a part really took.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Took {
    /// `These 12 copies took 1 h 02 of printing and 7 g of plastic: 2.40 to 2.44 EUR.`
    pub(crate) says: String,
    /// What is in it, and how sure it is.
    pub(crate) notes: Vec<String>,
}

/// What so many copies took, in words.
pub(crate) fn took(session: &Session, copies: usize, spent: &Spent) -> Took {
    let costs = &session.costs;
    // As its plates say theirs, so that they add up.
    let time = spent.length.to_string();
    let grams = decimal(spent.grams, 0);
    let cost = spent.cost.map(|cost| money_in_words(cost, costs));
    let money = cost_in_words(cost, spent.seen);
    let id = if spent.seen {
        "part-took-says"
    } else {
        "part-took-says-about"
    };
    let says = partpledge_words::say(id)
        .with("n", copies)
        .with("time", time)
        .with("g", grams)
        .with("money", money)
        .to_string();
    let mut notes = Vec::new();
    match (spent.runs, spent.failed) {
        (0 | 1, 0) => {}
        (n, 0) => notes.push(say!("part-took-prints", n = n)),
        (n, failed) => notes.push(say!("part-took-prints-failed", n = n, failed = failed)),
    }
    if spent.shared {
        notes.push(say!("part-took-shared"));
    }
    if spent.misnoted {
        notes.push(say!("part-took-misnoted"));
    } else if !spent.seen {
        notes.push(say!("part-took-unseen"));
    }
    notes.push(if costs.are_examples {
        say!("part-took-examples")
    } else {
        say!("part-took-own-prices")
    });
    Took { says, notes }
}

/// `2.40 EUR`, `about 2.40 EUR` of what nobody saw end, or that there is no price.
fn cost_in_words(cost: Option<String>, seen: bool) -> String {
    match cost {
        None => say!("part-took-no-price"),
        Some(money) if seen => money,
        Some(money) => say!("part-took-about-money", money = money),
    }
}

/// Where it is weakest.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Weak {
    pub(crate) says: Vec<String>,
    pub(crate) caution: String,
    /// That it can break, whatever the numbers say.
    pub(crate) untested: String,
    pub(crate) caption: String,
    pub(crate) drawing: Option<JointDrawing>,
}

/// So much lower a part must lie before another way to stand is named: a fifth. Common practice, no
/// source.
const LOWER: f64 = 0.8;

/// What one copy takes, in words; `part` as it was judged, if that is at hand.
pub(crate) fn takes(session: &Session, copy: &OneCopy, part: Option<&JudgedPart>) -> Takes {
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
        weak: copy.weak.as_ref().map(|one| weak(one, part)),
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

fn weak(part: &WeakPart, judged: Option<&JudgedPart>) -> Weak {
    let pull = &part.layers.pull;
    let said = weak_in_words(&part.layers).into_iter();
    let mut says: Vec<String> = said.filter(|line| !line.is_empty()).collect();
    says.push(say!("part-weak-bends"));
    says.extend(judged.map(|part| lie_lower(&part.standing, &part.ways)));
    Weak {
        says,
        untested: say!("part-weak-untested"),
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

/// Which way to stand makes the layers' weak direction matter less: the one in which the part is lowest, so
/// that its long side runs along the layers, of those that some bed takes. Common practice, no source: which way a part is loaded only
/// its team knows.
fn lie_lower(standing: &Choice, ways: &[Choice]) -> String {
    let can_be_laid = ways.iter().filter(|way| way.fits_beds > 0);
    let lowest = can_be_laid.min_by(|a, b| a.height_mm.total_cmp(&b.height_mm));
    match lowest.filter(|way| way.height_mm < LOWER * standing.height_mm) {
        None => say!("part-weak-way-lowest"),
        Some(way) => say!(
            "part-weak-way-lower",
            height = decimal(standing.height_mm, 0),
            way = standing_in_words(&way.name),
            low = decimal(way.height_mm, 0)
        ),
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use partpledge_orientation::BedFit;

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
                untested: AWKWARD.to_owned(),
                caption: AWKWARD.to_owned(),
                drawing: joint_drawing(&vec![ring(0.0, 20.0)], &vec![ring(1.0, 19.0)]),
            }),
        }
    }

    #[test]
    fn about_is_said_of_a_price_and_not_of_none() {
        let price = || Some("2.40 EUR".to_owned());
        assert_eq!(cost_in_words(price(), true), "2.40 EUR");
        assert_eq!(cost_in_words(price(), false), "about 2.40 EUR");
        for seen in [true, false] {
            assert_eq!(cost_in_words(None, seen), "no price is known");
        }
    }

    #[test]
    fn the_way_that_lies_lowest_is_named_where_it_is_much_lower() {
        let way = |name: &str, height_mm| Choice {
            name: name.to_owned(),
            rotation: [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
            time_s: 60.0,
            overhang_area_mm2: 0.0,
            support_mm3: 0.0,
            height_mm,
            contact_area_mm2: 100.0,
            tip_over_angle_deg: 40.0,
            stepped_area_mm2: 0.0,
            scarred_area_mm2: 0.0,
            fits_beds: 3,
            bed_fit: BedFit::default(),
            load: None,
            score: 1.0,
            on_front: true,
            reasons: Vec::new(),
        };
        let part = way("as sent", 60.0);
        let mut flat = way("lying on its back", 12.0);
        let ways = [part.clone(), flat.clone()];
        assert_eq!(
            lie_lower(&part, &ways),
            "Layers hold least where something pulls them apart: up and down, as it stands, 60 mm high. \
             It matters less another way up (lying on its back): 12 mm high, with its long side along the \
             layers."
        );
        flat.fits_beds = 0;
        let ways = [part.clone(), flat.clone()];
        let no_bed = lie_lower(&part, &ways);
        assert!(
            no_bed.contains("No other way to stand is much lower"),
            "{no_bed}"
        );
        flat.fits_beds = 3;
        flat.height_mm = 50.0;
        for ways in [vec![part.clone(), flat.clone()], Vec::new()] {
            assert!(lie_lower(&part, &ways).contains("No other way to stand is much lower"));
        }
    }
}
