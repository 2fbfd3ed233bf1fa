//! What was found about a file, numbered through, and where each number stands on a drawing.

mod since;

use partpledge_drawing::View;
use partpledge_records::stored::StoredFinding;
use partpledge_words::{decimal, say};
use partpledge_workshop::shelf::OpenedFile;

pub(crate) use self::since::{fixed, since};
use crate::figures::finding::{alt, caption, number};
use crate::figures::part::{CallOut, Kind, Mark, call_outs, standing_point, view};
use crate::pages::unit_ask::{self, UnitChoice};
use crate::pages::ways::{Ways, standing_in_words, ways};
use crate::words;

/// The findings of a file as stored, part by part.
pub(crate) type Stored = [Vec<StoredFinding>];

/// Most parts of one file that are drawn large.
const MOST_DRAWN: usize = 6;
/// Most findings of one file that have a picture each.
const MOST_PICTURED: usize = 40;
/// Most numbers on one drawing.
const MOST_NUMBERED: usize = 12;

/// A finding in the list.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    pub(crate) n: usize,
    pub(crate) kind: Kind,
    pub(crate) heading: String,
    pub(crate) measured: Option<String>,
    pub(crate) limit: Option<String>,
    pub(crate) why: String,
    pub(crate) what_to_do: String,
    pub(crate) source: String,
    /// What there is to learn from it.
    pub(crate) lesson: Option<String>,
    /// Where its picture is, what it shows, and the same for those who can't see it.
    pub(crate) picture: Option<String>,
    pub(crate) caption: String,
    pub(crate) alt: String,
}

/// A part with its drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawn {
    pub(crate) name: String,
    pub(crate) picture: String,
    pub(crate) alt: String,
    pub(crate) size: String,
    pub(crate) standing: String,
    pub(crate) calls: Vec<CallOut>,
    pub(crate) turn: Option<String>,
}

/// Everything found about a file, numbered through.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Judgement {
    pub(crate) found: Vec<Found>,
    pub(crate) drawn: Vec<Drawn>,
    /// Parts that are not drawn large.
    pub(crate) more_parts: usize,
    /// What each unit would make of the part, when its unit is in doubt.
    pub(crate) unit_choices: Vec<UnitChoice>,
    /// How the drawn parts could stand.
    pub(crate) ways: Vec<Ways>,
    /// Whether it was printed, and its team has it.
    pub(crate) made: bool,
}

/// Where each number of a part points, on the part as it stands.
pub(crate) fn marks(stored: &Stored, opened: &OpenedFile) -> Vec<Vec<Mark>> {
    let list = numbered(stored);
    let parts = opened.judged.parts.iter().enumerate();
    parts
        .map(|(i, part)| {
            let own = list.iter().filter(|(of, _, _)| *of == i);
            let placed = own.filter_map(|(_, found, at)| {
                let at_mm = standing_point(part, (*at)?);
                Some(Mark {
                    n: found.n,
                    kind: found.kind,
                    label: found.heading.clone(),
                    at_mm,
                })
            });
            placed.take(MOST_NUMBERED).collect()
        })
        .collect()
}

/// From where a part is looked at.
pub(crate) fn view_of(stored: &Stored, opened: &OpenedFile, k: usize) -> View {
    let marks = marks(stored, opened);
    let mesh = opened.judged.parts[k].standing_mesh();
    view(&mesh, marks.get(k).map_or(&[], Vec::as_slice))
}

/// Findings of all parts, worst first, numbered through; then what was mended. With the part each
/// is of, and its place as sent.
fn numbered(stored: &Stored) -> Vec<(usize, Found, Option<[f64; 3]>)> {
    let found = in_order(stored).into_iter().enumerate();
    found
        .map(|(n, (i, kind, finding))| (i, found_of(n + 1, kind, finding), finding.place_mm))
        .collect()
}

/// The finding with that number, and the part it is of, counted from 0.
pub(crate) fn finding_of(stored: &Stored, n: usize) -> Option<(usize, &StoredFinding)> {
    let (part, _, finding) = in_order(stored).into_iter().nth(n.checked_sub(1)?)?;
    Some((part, finding))
}

/// Findings in the order of their numbers.
fn in_order(stored: &Stored) -> Vec<(usize, Kind, &StoredFinding)> {
    let mut list: Vec<(usize, Kind, &StoredFinding)> = Vec::new();
    for (i, part) in stored.iter().enumerate() {
        for finding in part {
            let kind = match finding.severity.as_str() {
                "blocking" => Kind::Must,
                "warning" => Kind::Worth,
                _ if mended(&finding.code) => Kind::Fixed,
                _ => Kind::Know,
            };
            list.push((i, kind, finding));
        }
    }
    list.sort_by_key(|(i, kind, _)| (*kind, *i));
    list
}

/// Findings that say what we mended.
fn mended(code: &str) -> bool {
    matches!(
        code,
        "inside-out" | "mixed-facing" | "doubled-triangles" | "small-hole-filled"
    )
}

fn found_of(n: usize, kind: Kind, finding: &StoredFinding) -> Found {
    let unit = words::unit(&finding.unit);
    // As on the picture.
    let number = |value: f64| format!("{} {unit}", number(value)).trim().to_owned();
    let shown = finding.unit != "confidence";
    Found {
        n,
        kind,
        heading: words::heading(&finding.code),
        measured: finding.measured.filter(|_| shown).map(number),
        limit: finding.limit.filter(|_| shown).map(number),
        why: finding.why.to_string(),
        what_to_do: finding.what_to_do.to_string(),
        source: partpledge_printability::source_says(&finding.source),
        lesson: partpledge_printability::lesson(&finding.code)
            .map(|lesson| lesson.text().to_string()),
        picture: None,
        caption: caption(finding),
        alt: alt(finding),
    }
}

/// Everything found about a file; the drawings only when it could be opened again. `made` says whether it
/// was printed, and its team has it.
pub(crate) fn judgement(
    (number, made): (i64, bool),
    stored: &Stored,
    opened: Option<&OpenedFile>,
) -> Judgement {
    let mut found: Vec<Found> = numbered(stored)
        .into_iter()
        .map(|(_, found, _)| found)
        .collect();
    let Some(opened) = opened else {
        return Judgement {
            found,
            made,
            ..Judgement::default()
        };
    };
    for found in found.iter_mut().take(MOST_PICTURED) {
        found.picture = Some(format!("/parts/{number}/finding-{}.svg", found.n));
    }
    let marks = marks(stored, opened);
    let parts = opened.judged.parts.iter().zip(&marks).enumerate();
    let drawn: Vec<Drawn> = parts
        .take(MOST_DRAWN)
        .map(|(k, (part, marks))| {
            let mesh = part.standing_mesh();
            let calls = call_outs(&mesh, view(&mesh, marks), marks);
            let size = mesh.bounds().map_or([0.0; 3], |(low, high)| {
                std::array::from_fn(|k| high[k] - low[k])
            });
            let [x, y, z] = size;
            Drawn {
                name: part.name.clone(),
                picture: format!("/parts/{number}/part-{}.png", k + 1),
                alt: say!("judging-drawing-alt", part = part.name),
                size: say!(
                    "judging-size",
                    x = decimal(x, 1),
                    y = decimal(y, 1),
                    z = decimal(z, 1)
                ),
                standing: standing(&part.standing.name, made),
                calls,
                turn: Some(format!("/parts/{number}/turn?part={}", k + 1)),
            }
        })
        .collect();
    let standings = opened.judged.parts.iter().enumerate().take(MOST_DRAWN);
    Judgement {
        more_parts: opened.judged.parts.len() - drawn.len(),
        unit_choices: unit_ask::choices(stored, &opened.judged),
        ways: standings
            .filter_map(|(k, part)| ways(number, k, part))
            .collect(),
        found,
        drawn,
        made,
    }
}

fn standing(name: &str, made: bool) -> String {
    let way = || standing_in_words(name);
    match (name, name.contains("flat face"), made) {
        ("as sent", _, false) => say!("judging-stands-as-drawn"),
        ("as sent", _, true) => say!("judging-stood-as-drawn"),
        (_, true, false) => say!("judging-stands-flat"),
        (_, true, true) => say!("judging-stood-flat"),
        (_, false, false) => say!("judging-stands-so", way = way()),
        (_, false, true) => say!("judging-stood-so", way = way()),
    }
}

#[cfg(test)]
mod tests {
    use super::standing;

    #[test]
    fn how_it_stands_is_said_as_it_was_once_its_team_has_it() {
        for (name, before, after) in [
            (
                "as sent",
                "It will be printed standing as",
                "It was printed standing as",
            ),
            (
                "on its largest flat face",
                "It will be printed on one",
                "It was printed on one",
            ),
            (
                "upside down",
                "It will be printed like this: upside down.",
                "It was printed like this: upside down.",
            ),
        ] {
            assert!(standing(name, false).starts_with(before), "{name}");
            assert!(standing(name, true).starts_with(after), "{name}");
        }
    }
}
