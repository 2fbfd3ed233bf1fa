//! The part in 3D: turned, cut open, measured, with one of its layers beside it.

use askama::Template;
use partpledge_words::say;

use crate::figures::part::Mark;
use crate::pages::judgement::{Drawn, Found};
use crate::pages::layer::Layer;
use crate::who::Head;

/// A direction in which the part can be cut.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Axis {
    /// `z`, `x`, `y`.
    pub(crate) name: &'static str,
    /// As people say it: `Height`.
    pub(crate) says: String,
    /// Where it is counted from: `above the bed`.
    pub(crate) from: String,
    /// Length of the part along it, mm, rounded to a tenth.
    pub(crate) long_mm: f64,
}

/// The three directions of a part of that size, mm, with height first.
pub(crate) fn axes([x, y, z]: [f64; 3]) -> Vec<Axis> {
    let axis = |name, says, from, long: f64| Axis {
        name,
        says,
        from,
        long_mm: (10.0 * long).round() / 10.0,
    };
    vec![
        axis("z", say!("turn-height"), say!("turn-from-bed"), z),
        axis("x", say!("turn-left-to-right"), say!("turn-from-left"), x),
        axis(
            "y",
            say!("turn-front-to-back"),
            say!("turn-from-its-front"),
            y,
        ),
    ]
}

/// A still picture from one side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Still {
    pub(crate) picture: String,
    pub(crate) says: String,
}

/// The still pictures of part `k`.
pub(crate) fn stills(number: i64, k: usize) -> Vec<Still> {
    let still = |side: &str, says| Still {
        picture: format!("/parts/{number}/part-{k}-{side}.png"),
        says,
    };
    vec![
        still("front", say!("turn-from-front")),
        still("right", say!("turn-from-right")),
        still("top", say!("turn-from-above")),
    ]
}

/// The part in 3D.
#[derive(Template)]
#[template(path = "turn.html")]
pub(crate) struct TurnPage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) part: String,
    /// Which part of the file.
    pub(crate) k: usize,
    pub(crate) drawn: Drawn,
    pub(crate) marks: Vec<Mark>,
    /// What was found on this part, with the layer where it is.
    pub(crate) found: Vec<(Found, Option<usize>)>,
    pub(crate) mesh: String,
    pub(crate) axes: Vec<Axis>,
    pub(crate) stills: Vec<Still>,
    /// `None` for a part that can't be cut into layers.
    pub(crate) layer: Option<Layer>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::part::Kind;
    use crate::pages::layer::tests::sample as layer;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn found(n: usize, kind: Kind) -> Found {
        Found {
            n,
            kind,
            heading: AWKWARD.to_owned(),
            measured: None,
            limit: None,
            why: AWKWARD.to_owned(),
            what_to_do: String::new(),
            source: String::new(),
            lesson: None,
            picture: None,
            caption: String::new(),
            alt: String::new(),
        }
    }

    fn page() -> TurnPage {
        let kinds = [Kind::Must, Kind::Worth, Kind::Know, Kind::Fixed];
        let found: Vec<Found> = (1..).zip(kinds).map(|(n, kind)| found(n, kind)).collect();
        let mark = |one: &Found| Mark {
            n: one.n,
            kind: one.kind,
            label: one.heading.clone(),
            at_mm: [1.0, 2.0, 3.5],
        };
        TurnPage {
            head: head(),
            number: 7,
            part: AWKWARD.to_owned(),
            k: 2,
            drawn: Drawn {
                name: AWKWARD.to_owned(),
                picture: "/parts/7/part-2.png".to_owned(),
                alt: AWKWARD.to_owned(),
                size: "1.0 × 2.0 × 3.0 mm".to_owned(),
                standing: "It stands.".to_owned(),
                calls: Vec::new(),
                turn: None,
            },
            marks: found.iter().map(mark).collect(),
            found: found.into_iter().map(|one| (one, Some(9))).collect(),
            mesh: "/parts/7/part-2-light.stl".to_owned(),
            axes: axes([50.04, 30.0, 44.0]),
            stills: stills(7, 2),
            layer: Some(layer()),
        }
    }

    #[test]
    fn the_part_in_3d_has_its_numbers_its_tools_and_a_layer() {
        let made = page().render().unwrap();
        sound(&made);
        assert_eq!(made.matches("data-callout").count(), 4);
        assert!(made.contains("data-z=\"3.5\"") && made.contains("data-kind=\"must\""));
        assert!(
            made.contains("layer=9#layer"),
            "a finding leads to its layer"
        );
        for axis in ["z", "x", "y"] {
            assert!(made.contains(&format!("data-axis=\"{axis}\"")), "{axis}");
        }
        assert!(made.contains("data-long=\"50\""), "50.04 is cut as 50.0");
    }

    #[test]
    fn what_needs_3d_is_hidden_until_there_is_3d_and_stills_are_there_without() {
        let made = page().render().unwrap();
        for tool in ["data-turns", "data-cut", "data-measure"] {
            let at = made.find(&format!(" {tool}")).unwrap();
            let tag = &made[at..at + made[at..].find('>').unwrap()];
            assert!(tag.contains("hidden"), "{tool}: {tag}");
        }
        let without = &made[made.find("<noscript>").unwrap()..made.find("</noscript>").unwrap()];
        assert_eq!(without.matches("<img").count(), 3);
        assert!(without.contains("layer drawing"));
    }

    #[test]
    fn a_part_that_can_not_be_cut_into_layers_is_still_shown() {
        let made = TurnPage {
            layer: None,
            found: Vec::new(),
            ..page()
        };
        let made = made.render().unwrap();
        sound(&made);
        assert!(made.contains("too flat") && made.contains("Nothing was found"));
    }
}
