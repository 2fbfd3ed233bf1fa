//! Which spool to load, in words: by its number, whether it suffices, whether it is dry.

use partpledge_stock::State;
use partpledge_workshop::Session;
use partpledge_workshop::run_sheet::PlateLine;
use partpledge_workshop::spools::advice::{Choice, SpoolAdvice};

/// The step of a load that is about the spool.
pub(crate) fn which_spool(
    session: &Session,
    plate: &PlateLine,
    advice: Option<&SpoolAdvice>,
) -> String {
    let material = &plate.material;
    let Some(advice) = advice else {
        let need = plate.whole_g().map_or_else(String::new, |g| {
            format!(", at least {:.0} g of it", (g * 1.1).ceil())
        });
        return format!("Spool: {material}{need}. Dry, and it runs free.");
    };
    let need = advice.needed_g.ceil();
    let Some(best) = advice.choices.first() else {
        return format!(
            "Spool: {material}, at least {need:.0} g of it. By our count none is left here. If \
             there is one, say so on the Spools page; if not, ask the coordinator."
        );
    };
    let (number, left) = (best.number, best.left_g.floor());
    if !best.suffices {
        return format!(
            "Spool: by our count none here has the {need:.0} g of {material} that it needs. The \
             fullest is S-{number} with {left:.0} g. Weigh it first, or ask the coordinator."
        );
    }
    let mut text = format!(
        "Spool: S-{number}, {}, {}. {left:.0} g are left, {need:.0} g are needed.",
        named(best, material),
        place(best)
    );
    text.push_str(&if best.damp {
        format!(
            " It has been open too long: dry it first{}.",
            drying(session, material)
        )
    } else {
        " It is dry. See that it runs free.".to_owned()
    });
    if let Some(other) = advice.loaded.filter(|loaded| *loaded != number) {
        text.push_str(&format!(" Take S-{other} off."));
    }
    text
}

/// `orange PETG`.
fn named(choice: &Choice, material: &str) -> String {
    format!("{} {material}", choice.colour).trim().to_owned()
}

fn place(choice: &Choice) -> String {
    match &choice.state {
        State::Loaded(printer) => format!("on {printer} already"),
        State::Sealed => "still in its bag".to_owned(),
        _ => "on the shelf".to_owned(),
    }
}

/// `, 4 to 6 hours at 60 to 65 °C`.
pub(crate) fn drying(session: &Session, material: &str) -> String {
    let known = session.catalogue.material(material);
    known.map_or_else(String::new, |material| {
        let ([low, high], [short, long]) = (material.drying.temperature_c, material.drying.hours);
        let hours = if long > short {
            format!("{short:.0} to {long:.0}")
        } else {
            format!("{short:.0}")
        };
        format!(", {hours} hours at {low:.0} to {high:.0} °C")
    })
}

/// What to choose from when a plate is started: the best first, and none of them.
pub(crate) fn choices(advice: Option<&SpoolAdvice>) -> Vec<(String, String)> {
    let Some(advice) = advice else {
        return Vec::new();
    };
    let one = |choice: &Choice| {
        let mut text = format!(
            "S-{}, {}, {:.0} g",
            choice.number,
            choice.colour,
            choice.left_g.floor()
        );
        if !choice.suffices {
            text.push_str(", too little");
        }
        if choice.damp {
            text.push_str(", damp");
        }
        (choice.number.to_string(), text)
    };
    let mut out: Vec<_> = advice.choices.iter().map(one).collect();
    out.push((String::new(), "another, not on record".to_owned()));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_starts_a_plate_may_choose_and_sees_what_is_wrong_with_each() {
        let choice = |number, suffices, damp| Choice {
            number,
            colour: "orange".to_owned(),
            state: State::Open,
            left_g: 640.7,
            suffices,
            damp,
        };
        let advice = SpoolAdvice {
            needed_g: 233.0,
            choices: vec![choice(17, true, false), choice(4, false, true)],
            loaded: None,
        };
        let said = choices(Some(&advice));
        assert_eq!(said[0], ("17".to_owned(), "S-17, orange, 640 g".to_owned()));
        assert_eq!(said[1].1, "S-4, orange, 640 g, too little, damp");
        assert_eq!(said[2].0, "", "or none of them");
        assert!(choices(None).is_empty());
    }
}
