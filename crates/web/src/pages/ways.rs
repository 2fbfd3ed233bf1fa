//! The ways a part could stand: a picture of each, what it is like, and what it would change.

use partpledge_orientation::{Choice, differences, measures_in_words};
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
            name: words::capital(&said(&way.name)),
            picture: format!("/parts/{number}/part-{}-way-{}.png", k + 1, i + 1),
            alt: format!("{} in clay, {}", part.name, said(&way.name)),
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

/// `as sent` as the one who drew it says it.
fn said(name: &str) -> String {
    if name == "as sent" {
        "as you drew it".to_owned()
    } else {
        name.to_owned()
    }
}

fn changes(way: &Choice, printed: &Choice) -> String {
    let list = differences(way, printed);
    if list.is_empty() {
        return "Much the same.".to_owned();
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
    if best.name == sent.name {
        "We measured other ways too. None is clearly better than standing as you drew it."
            .to_owned()
    } else if best.name == printed.name {
        format!("We turn it. Against the way you drew it: {why}.")
    } else if printed.name != sent.name {
        format!(
            "It stays as it was decided when you sent it: {}. Today we would turn it: {}.",
            said(&printed.name),
            said(&best.name)
        )
    } else {
        format!(
            "You asked for it as you drew it, and so it is printed. We would turn it: {}. Against the way you drew it: {why}.",
            said(&best.name)
        )
    }
}
