//! The ways a part could stand: a picture of each, what it is like, and what it would change.

use partpledge_orientation::{Choice, differences, measures_in_words};
use partpledge_words::say;
use partpledge_workshop::intake::JudgedPart;

use crate::words;

/// A way to stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Way {
    pub(crate) name: String,
    pub(crate) picture: String,
    pub(crate) alt: String,
    /// The way it will be printed.
    pub(crate) printed: bool,
    pub(crate) recommended: bool,
    /// What it is like.
    pub(crate) measures: Vec<String>,
    /// What it would change against the way it will be printed.
    pub(crate) changes: Option<String>,
}

/// The ways of one part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Ways {
    pub(crate) part: String,
    pub(crate) lead: String,
    pub(crate) list: Vec<Way>,
}

/// The ways of the part in place `k` of its file.
pub(crate) fn ways(number: i64, k: usize, part: &JudgedPart) -> Option<Ways> {
    let printed = &part.standing;
    let best = part.ways.first()?;
    let list = part.ways.iter().enumerate().map(|(i, way)| {
        let here = way.name == printed.name;
        Way {
            name: words::capital(&standing_in_words(&way.name)),
            picture: format!("/parts/{number}/part-{}-way-{}.png", k + 1, i + 1),
            alt: say!(
                "judging-way-alt",
                part = part.name,
                way = standing_in_words(&way.name)
            ),
            printed: here,
            recommended: i == 0,
            measures: measures_in_words(way)
                .iter()
                .map(|m| words::capital(m))
                .collect(),
            changes: (!here).then(|| changes(way, printed)),
        }
    });
    Some(Ways {
        part: part.name.clone(),
        lead: lead(part, best),
        list: list.collect(),
    })
}

/// A way to stand as the one who drew the part says it; the name itself is what is kept of it.
pub(crate) fn standing_in_words(name: &str) -> String {
    // Of several with one name the later ones are counted.
    if let Some((first, n)) = name
        .strip_suffix(')')
        .and_then(|rest| rest.rsplit_once(" ("))
        .and_then(|(first, n)| Some((first, n.parse::<u32>().ok()?)))
    {
        return say!("judging-way-nth", way = standing_in_words(first), n = n);
    }
    if let Some(first) = name.strip_suffix(", turned over") {
        return say!("judging-way-turned-over", way = standing_in_words(first));
    }
    match name {
        "as sent" => say!("judging-way-as-drawn"),
        "upside down" => say!("judging-way-upside-down"),
        "lying on its front" => say!("judging-way-front"),
        "lying on its back" => say!("judging-way-back"),
        "lying on its left side" => say!("judging-way-left"),
        "lying on its right side" => say!("judging-way-right"),
        "on its largest flat face" => say!("judging-way-largest-face"),
        "its longest direction upright" => say!("judging-way-longest"),
        "its middle direction upright" => say!("judging-way-middle"),
        "its shortest direction upright" => say!("judging-way-shortest"),
        other => measured(other).unwrap_or_else(|| other.to_owned()),
    }
}

/// The same for names that have numbers in them.
fn measured(name: &str) -> Option<String> {
    if let Some(rest) = name.strip_prefix("on flat face ") {
        let (n, area) = rest.strip_suffix(" mm²")?.split_once(" of ")?;
        return Some(say!("judging-way-face", n = n, area = area));
    }
    if let Some(rest) = name.strip_prefix("on its outer points, ") {
        let area = rest.strip_suffix(" mm² between them")?;
        return Some(say!("judging-way-points", area = area));
    }
    let (degrees, side) = name
        .strip_prefix("tilted ")?
        .split_once(" degrees to the ")?;
    let side = match side {
        "right" => say!("judging-side-right"),
        "back right" => say!("judging-side-back-right"),
        "back" => say!("judging-side-back"),
        "back left" => say!("judging-side-back-left"),
        "left" => say!("judging-side-left"),
        "front left" => say!("judging-side-front-left"),
        "front" => say!("judging-side-front"),
        "front right" => say!("judging-side-front-right"),
        other => other.to_owned(),
    };
    Some(say!("judging-way-tilted", degrees = degrees, side = side))
}

fn changes(way: &Choice, printed: &Choice) -> String {
    let list = differences(way, printed);
    if list.is_empty() {
        return say!("judging-much-the-same");
    }
    format!("{}.", words::capital(&list.join(", ")))
}

/// Why the recommended way is recommended.
fn lead(part: &JudgedPart, best: &Choice) -> String {
    let printed = &part.standing;
    let sent = part
        .ways
        .iter()
        .find(|way| way.name == "as sent")
        .unwrap_or(printed);
    let why = differences(best, sent).join(", ");
    let best_way = standing_in_words(&best.name);
    if best.name == sent.name {
        say!("judging-none-better")
    } else if best.name == printed.name {
        say!("judging-we-turn", why = why)
    } else if printed.name != sent.name {
        say!(
            "judging-it-stays",
            printed = standing_in_words(&printed.name),
            best = best_way
        )
    } else {
        say!("judging-as-you-asked", best = best_way, why = why)
    }
}

#[cfg(test)]
mod tests {
    use partpledge_words::{Tongue, within};

    use super::*;

    #[test]
    fn every_name_of_a_way_is_said_in_both_tongues() {
        for name in [
            "as sent",
            "upside down",
            "on its largest flat face",
            "on flat face 3 of 120 mm²",
            "on its outer points, 88 mm² between them",
            "its longest direction upright",
            "its longest direction upright, turned over",
            "tilted 35 degrees to the back left",
            "on its largest flat face (2)",
        ] {
            let english = standing_in_words(name);
            assert!(name == "as sent" || english == name, "{english}");
            let german = within(Tongue::German, || standing_in_words(name));
            assert_ne!(german, name);
        }
        assert_eq!(
            standing_in_words("leaning"),
            "leaning",
            "as somebody named it"
        );
    }
}
