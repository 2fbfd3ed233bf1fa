//! What has become of the findings of the version before, by name.

use partpledge_printability::lesson;
use partpledge_records::stored::StoredFinding;
use partpledge_units::tolerance::close;
use partpledge_words::{clause, say};

use super::Stored;
use crate::words;

/// A finding of one code this near to one before is the same one, mm.
const NEAR_MM: f64 = 5.0;

/// What became of findings, by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Change {
    mended: Vec<String>,
    still: Vec<String>,
    fresh: Vec<String>,
}

/// The name of a finding inside a sentence.
fn name(finding: &StoredFinding) -> String {
    lesson(&finding.code).map_or_else(
        || clause(&words::heading(&finding.code)).to_string(),
        |lesson| lesson.name().to_string(),
    )
}

/// Whether one is the other: near to it, or measured the same, or of the whole part.
fn same(old: &StoredFinding, new: &StoredFinding) -> bool {
    let near = match (old.place_mm, new.place_mm) {
        (Some(a), Some(b)) => {
            let apart = (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt();
            apart <= NEAR_MM
        }
        _ => true,
    };
    let alike = match (old.measured, new.measured) {
        (Some(a), Some(b)) => close(a, b, 1e-6, 1e-9),
        _ => false,
    };
    old.code == new.code && (near || alike)
}

fn change(before: &Stored, now: &Stored) -> Change {
    let list = |stored: &Stored| -> Vec<(usize, StoredFinding)> {
        let parts = stored.iter().enumerate();
        let all = parts.flat_map(|(i, part)| part.iter().map(move |f| (i, f.clone())));
        all.collect()
    };
    let mut new = list(now);
    let mut change = Change::default();
    let known = list(before);
    for (part, old) in &known {
        let at = new
            .iter()
            .position(|(other, found)| other == part && same(old, found));
        if let Some(at) = at {
            new.remove(at);
            change.still.push(name(old));
        } else {
            change.mended.push(name(old));
        }
    }
    for (_, found) in &new {
        let name = name(found);
        let moved = known.iter().any(|(_, old)| old.code == found.code);
        change.fresh.push(if moved {
            say!("judging-elsewhere", name = name)
        } else {
            name
        });
    }
    change
}

/// What has become of the findings of the version before: `Since the version before: two of three
/// findings are mended, one is new. Mended: thin wall, ledge. Still there: unit. New: narrow gap.`
pub(crate) fn since(before: &Stored, now: &Stored) -> Option<String> {
    let change = change(before, now);
    let all = change.mended.len() + change.still.len();
    let spelled = |n: usize| say!("numbers-spelled", n = n);
    let mended = match (change.mended.len(), all) {
        (_, 0) => None,
        (0, _) => Some(say!("judging-nothing-mended")),
        (1, 1) => Some(say!("judging-the-one-mended")),
        (n, all) if n == all => Some(say!("judging-all-mended", count = spelled(n))),
        (n, all) => Some(say!(
            "judging-some-mended",
            n = n,
            count = spelled(n),
            all = spelled(all)
        )),
    };
    let fresh = change.fresh.len();
    let fresh = (fresh > 0).then(|| say!("judging-are-new", n = fresh, count = spelled(fresh)));
    let says: Vec<String> = [mended, fresh].into_iter().flatten().collect();
    if says.is_empty() {
        return None;
    }
    let mut out = vec![say!("judging-since", says = says.join(", "))];
    if !change.mended.is_empty() {
        out.push(say!("judging-mended", names = change.mended.join(", ")));
    }
    if !change.still.is_empty() {
        out.push(say!("judging-still", names = change.still.join(", ")));
    }
    if !change.fresh.is_empty() {
        out.push(say!("judging-new", names = change.fresh.join(", ")));
    }
    Some(out.join(" "))
}

/// What a version did to the findings of the one before it, for a list: `fixed two of three`.
pub(crate) fn fixed(before: &Stored, now: &Stored) -> Option<String> {
    let change = change(before, now);
    let (mended, all) = (
        change.mended.len(),
        change.mended.len() + change.still.len(),
    );
    let new = change.fresh.len();
    let spelled = |n: usize| say!("numbers-spelled", n = n);
    let mended = match (mended, all) {
        (_, 0) => None,
        (0, all) => Some(say!("judging-fixed-none", all = spelled(all))),
        (n, all) if n == all => Some(match n {
            1 => say!("judging-fixed-the-one"),
            2 => say!("judging-fixed-both"),
            n => say!("judging-fixed-all", count = spelled(n)),
        }),
        (n, all) => Some(say!(
            "judging-fixed-some",
            count = spelled(n),
            all = spelled(all)
        )),
    };
    let new = (new > 0).then(|| say!("judging-fixed-new", count = spelled(new)));
    let says: Vec<String> = [mended, new].into_iter().flatten().collect();
    (!says.is_empty()).then(|| says.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(code: &str, place_mm: Option<[f64; 3]>, measured: Option<f64>) -> StoredFinding {
        StoredFinding {
            code: code.to_owned(),
            severity: "warning".to_owned(),
            place_mm,
            measured,
            limit: None,
            unit: String::new(),
            why: partpledge_words::say("findings-other-heading"),
            what_to_do: partpledge_words::say("findings-other-heading"),
            source: String::new(),
        }
    }

    #[test]
    fn what_is_mended_still_there_and_new_is_said_by_name() {
        let at = |x: f64| Some([x, 0.0, 0.0]);
        let before = vec![vec![
            finding("thin-wall", at(0.0), Some(0.4)),
            finding("overhang", at(10.0), Some(8.0)),
            finding("unit-doubtful", None, Some(0.6)),
        ]];
        let now = vec![vec![
            finding("unit-doubtful", None, Some(0.6)),
            finding("narrow-gap", at(3.0), Some(0.3)),
        ]];
        let said = since(&before, &now).unwrap();
        assert_eq!(
            said,
            "Since the version before: two of three findings are mended, one is new. Mended: thin \
             wall, ledge. Still there: unit. New: narrow gap."
        );
        assert_eq!(fixed(&before, &now).unwrap(), "fixed two of three, one new");
        assert_eq!(fixed(&before, &[vec![]]).unwrap(), "fixed all three");
        assert_eq!(
            fixed(&before, &before.clone()).unwrap(),
            "fixed none of three"
        );
        assert_eq!(fixed(&[], &[]), None);
    }

    #[test]
    fn a_finding_that_moved_far_is_mended_there_and_new_elsewhere() {
        let wall =
            |x: f64, thick: f64| vec![vec![finding("thin-wall", Some([x, 0.0, 0.0]), Some(thick))]];
        let far = change(&wall(0.0, 0.4), &wall(30.0, 0.6));
        assert_eq!(
            (far.mended, far.fresh),
            (
                vec!["thin wall".to_owned()],
                vec!["thin wall in another place".to_owned()]
            )
        );
        let near = change(&wall(0.0, 0.4), &wall(3.0, 0.6));
        assert_eq!(
            near.still,
            ["thin wall"],
            "a little thicker, a little aside"
        );
        let moved = change(&wall(0.0, 0.4), &wall(30.0, 0.4));
        assert_eq!(
            moved.still,
            ["thin wall"],
            "the same wall in a part that was moved"
        );
    }

    #[test]
    fn two_of_one_kind_are_two() {
        let two = vec![vec![
            finding("small-hole", Some([0.0; 3]), Some(1.0)),
            finding("small-hole", Some([20.0, 0.0, 0.0]), Some(1.0)),
        ]];
        let one = vec![vec![finding("small-hole", Some([0.0; 3]), Some(1.0))]];
        let found = change(&two, &one);
        assert_eq!(
            (found.mended.len(), found.still.len(), found.fresh.len()),
            (1, 1, 0)
        );
    }
}
