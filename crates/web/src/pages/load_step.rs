//! Which spool to load, in words: by its number, whether it suffices, whether it is dry.

use partpledge_stock::State;
use partpledge_words::{decimal, say};
use partpledge_workshop::Session;
use partpledge_workshop::run_sheet::PlateLine;
use partpledge_workshop::spools::advice::{Choice, SpoolAdvice, needed_g};
use partpledge_workshop::spools::clashes::Clash;

/// The step of a load that is about the spool.
pub(crate) fn which_spool(
    session: &Session,
    plate: &PlateLine,
    advice: Option<&SpoolAdvice>,
) -> String {
    let material = &plate.material;
    let Some(advice) = advice else {
        return match plate.whole_g() {
            Some(g) => {
                let need = needed_g(session, g);
                let (plate, more) = parted(g, need);
                say!(
                    "part-spool-any-with",
                    material = material,
                    plate = plate,
                    more = more
                )
            }
            None => say!("part-spool-any", material = material),
        };
    };
    if let Some(says) = advice.clash.as_ref().and_then(held_by_another) {
        return says;
    }
    let need = decimal(advice.needed_g.ceil(), 0);
    let (in_plate, more) = parted(advice.plate_g, advice.needed_g);
    let Some(best) = advice.choices.first() else {
        return say!(
            "part-spool-none-here",
            material = material,
            plate = in_plate,
            more = more
        );
    };
    let (number, left) = (best.number, decimal(best.left_g.floor(), 0));
    if !best.suffices {
        return say!(
            "part-spool-too-little",
            material = material,
            need = need,
            plate = in_plate,
            more = more,
            number = number,
            left = left
        );
    }
    let mut says = vec![say!(
        "part-spool-this",
        number = number,
        what = named(best, material),
        place = place(best),
        left = left,
        plate = in_plate,
        more = more
    )];
    says.extend(care(session, (advice, best), material));
    says.join(" ")
}

/// That the spool which would do is on another printer then.
fn held_by_another(clash: &Clash) -> Option<String> {
    let held = clash.held.as_ref()?;
    Some(match held.spool {
        Some(number) => say!(
            "part-spool-held",
            number = number,
            plate = held.plate,
            printer = held.printer,
            own = clash.plate,
            material = clash.material
        ),
        None => say!(
            "part-spool-held-promised",
            plate = held.plate,
            printer = held.printer,
            own = clash.plate,
            material = clash.material
        ),
    })
}

/// The same in few words, for a load that is not the next. What needs a decision is told in full there too.
pub(crate) fn spool_in_brief(
    session: &Session,
    plate: &PlateLine,
    advice: Option<&SpoolAdvice>,
) -> String {
    let Some((advice, best)) = advice
        .and_then(|advice| Some((advice, advice.choices.first()?)))
        .filter(|(advice, best)| best.suffices && advice.clash.is_none())
    else {
        return which_spool(session, plate, advice);
    };
    let material = &plate.material;
    let mut says = vec![say!(
        "part-spool-brief",
        number = best.number,
        what = named(best, material),
        place = place(best),
        left = decimal(best.left_g.floor(), 0),
        need = decimal(advice.needed_g.ceil(), 0)
    )];
    says.extend(care(session, (advice, best), material));
    says.join(" ")
}

/// Whether the spool must be dried first, and which one comes off.
fn care(session: &Session, (advice, best): (&SpoolAdvice, &Choice), material: &str) -> Vec<String> {
    let mut says = vec![if best.damp {
        say!("part-spool-damp", how = drying(session, material))
    } else {
        say!("part-spool-dry")
    }];
    if let Some(other) = advice.loaded.filter(|loaded| *loaded != best.number) {
        says.push(say!("part-spool-take-off", number = other));
    }
    says
}

/// What a plate takes, as its own page says it, and what a spool must have besides: both in grams, and
/// together what is needed.
fn parted(plate_g: f64, needed_g: f64) -> (String, String) {
    let plate = plate_g.round();
    let more = (needed_g.ceil() - plate).max(0.0);
    (decimal(plate, 0).to_string(), decimal(more, 0).to_string())
}

/// `orange PETG`.
fn named(choice: &Choice, material: &str) -> String {
    format!("{} {material}", choice.colour).trim().to_owned()
}

fn place(choice: &Choice) -> String {
    match &choice.state {
        State::Loaded(printer) => say!("part-spool-on-printer", printer = printer),
        State::Sealed => say!("part-spool-in-bag"),
        _ => say!("part-spool-on-shelf"),
    }
}

/// `, 4 to 6 hours at 60 to 65 °C`, to go on behind "dry it"; empty for a plastic that nobody knows.
pub(crate) fn drying(session: &Session, material: &str) -> String {
    let known = session.catalogue.material(material);
    known.map_or_else(String::new, |material| {
        let ([low, high], [short, long]) = (material.drying.temperature_c, material.drying.hours);
        let (low, high) = (decimal(low, 0), decimal(high, 0));
        if long > short {
            say!(
                "part-drying-from-to",
                short = decimal(short, 0),
                long = decimal(long, 0),
                low = low,
                high = high
            )
        } else {
            say!(
                "part-drying",
                short = decimal(short, 0),
                low = low,
                high = high
            )
        }
    })
}

/// What to choose from when a plate is started: the best first, and none of them.
pub(crate) fn choices(advice: Option<&SpoolAdvice>) -> Vec<(String, String)> {
    let Some(advice) = advice else {
        return Vec::new();
    };
    let one = |choice: &Choice| {
        let mut says = vec![
            format!("S-{}", choice.number),
            choice.colour.clone(),
            say!("part-grams", g = decimal(choice.left_g.floor(), 0)),
        ];
        says.extend((!choice.suffices).then(|| say!("part-spool-is-too-little")));
        says.extend(choice.damp.then(|| say!("part-spool-is-damp")));
        (choice.number.to_string(), says.join(", "))
    };
    let mut out: Vec<_> = advice.choices.iter().map(one).collect();
    out.push((String::new(), say!("part-spool-other")));
    out
}

#[cfg(test)]
mod tests {
    use partpledge_workshop::spools::clashes::Holder;

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
            clash: None,
            needed_g: 233.0,
            plate_g: 203.0,
            choices: vec![choice(17, true, false), choice(4, false, true)],
            loaded: None,
        };
        let said = choices(Some(&advice));
        assert_eq!(said[0], ("17".to_owned(), "S-17, orange, 640 g".to_owned()));
        assert_eq!(said[1].1, "S-4, orange, 640 g, too little, damp");
        assert_eq!(said[2].0, "", "or none of them");
        assert!(choices(None).is_empty());
    }

    #[test]
    fn a_spool_that_another_plate_has_then_is_told_with_that_plate() {
        let clash = Clash {
            host: "brindlemoor".to_owned(),
            material: "PETG".to_owned(),
            plate: 9,
            printer: "Teal".to_owned(),
            start: partpledge_units::time::Minute(0),
            held: Some(Holder {
                spool: Some(2),
                plate: 7,
                printer: "Heron".to_owned(),
            }),
        };
        assert_eq!(
            held_by_another(&clash).as_deref(),
            Some(
                "Spool: S-2 has enough, but plate 7 on Heron still has it then. Only one of the two can \
                 have it. Buy or bring another spool of PETG, or start plate 9 when S-2 is free."
            )
        );
        let promised = Clash {
            held: clash.held.clone().map(|held| Holder {
                spool: None,
                ..held
            }),
            ..clash.clone()
        };
        assert_eq!(
            held_by_another(&promised).as_deref(),
            Some(
                "Spool: the one that is promised has enough, but plate 7 on Heron still has it then. Only \
                 one of the two can have it. Buy or bring another spool of PETG, or start plate 9 when that \
                 one is free."
            )
        );
        let nobody = Clash {
            held: None,
            ..clash
        };
        assert_eq!(held_by_another(&nobody), None);
    }

    #[test]
    fn what_a_plate_takes_is_told_as_on_its_own_page_and_the_rest_beside_it() {
        assert_eq!(parted(10.7, 31.2), ("11".to_owned(), "21".to_owned()));
    }
}
