//! How evenly teams were served: a table by team, and Jain's index in words.

use askama::Template;
use partpledge_units::cast::round_i64;
use partpledge_units::time::Minutes;
use partpledge_words::{decimal, say};
use partpledge_workshop::shares::{Share, Shares};

use crate::who::Head;
use crate::words;

/// A team.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TeamRow {
    pub(crate) team: String,
    pub(crate) asked: usize,
    pub(crate) parts: usize,
    pub(crate) hours: String,
    pub(crate) grams: String,
    pub(crate) wait: String,
}

/// The page.
#[derive(Template)]
#[template(path = "shares.html")]
pub(crate) struct SharesPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// What of, the index, what it means here.
    pub(crate) indices: Vec<(String, String, String)>,
    pub(crate) rows: Vec<TeamRow>,
    /// What was in the wrong unit and the region pays for, in a sentence; empty for nothing.
    pub(crate) region: String,
}

impl SharesPage {
    pub(crate) fn new(head: Head, shares: &Shares) -> Self {
        let n = shares.teams.len();
        let handed = shares.teams.iter().map(|share| share.parts).sum();
        let measured = [
            (say!("shares-of-copies"), shares.parts),
            (say!("shares-of-hours"), shares.printing),
            (say!("shares-of-filament"), shares.grams),
            (say!("shares-of-waiting"), shares.waits),
        ];
        let indices = measured.into_iter().filter_map(|(what, index)| {
            index.map(|index| (what, decimal(index, 2).to_string(), reading(index)))
        });
        let count = words::spelled(n);
        Self {
            head,
            title: title(shares.printing.or(shares.parts), n, handed),
            lead: say!("shares-lead", n = n, count = count),
            indices: indices.collect(),
            rows: shares.teams.iter().map(row).collect(),
            region: match shares.region.copies {
                0 => String::new(),
                copies => say!(
                    "shares-region-pays",
                    n = copies,
                    hours = hours(shares.region.printing),
                    grams = decimal(shares.region.grams, 0)
                ),
            },
        }
    }
}

/// The index as a heading.
fn title(index: Option<f64>, teams: usize, handed: usize) -> String {
    match index {
        None => say!("shares-nothing-yet"),
        // Before each could have had one, nothing can be even.
        Some(_) if handed < teams => say!("shares-too-few"),
        Some(_) if teams < 2 => say!("shares-one-team"),
        Some(index) if index >= 0.9 => say!("shares-even"),
        Some(index) if index >= 0.7 => say!("shares-fairly-even"),
        Some(_) => say!("shares-uneven"),
    }
}

/// As the paper reads it: the share of teams that got all there was, in equal parts.
fn reading(index: f64) -> String {
    let hundred = round_i64((index * 100.0).round()).unwrap_or(0);
    if hundred >= 100 {
        return say!("shares-all-same");
    }
    say!("shares-as-if", n = hundred)
}

fn hours(length: Minutes) -> String {
    decimal(length.0 as f64 / 60.0, 1).to_string()
}

/// With what of it was in the wrong unit, where something was.
fn with_wrong(all: String, wrong: &str, share: &Share) -> String {
    match share.wrong.copies {
        0 => all,
        _ => say!("shares-with-wrong", all = all, wrong = wrong),
    }
}

fn row(share: &Share) -> TeamRow {
    TeamRow {
        team: share.team.clone(),
        asked: share.asked,
        parts: share.parts,
        hours: with_wrong(hours(share.printing), &hours(share.wrong.printing), share),
        grams: with_wrong(
            decimal(share.grams, 0).to_string(),
            &decimal(share.wrong.grams, 0).to_string(),
            share,
        ),
        wait: share.wait.map_or_else(|| "–".to_owned(), words::length),
    }
}

#[cfg(test)]
mod tests {
    use partpledge_workshop::shares::Wrong;

    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_page_renders_with_and_without_hand_overs() {
        let share = |parts| Share {
            team: AWKWARD.to_owned(),
            asked: 2,
            parts,
            ..Share::default()
        };
        let none = Shares {
            teams: vec![share(0)],
            parts: None,
            printing: None,
            grams: None,
            waits: None,
            region: Wrong::default(),
        };
        let some = Shares {
            teams: vec![share(1), share(3)],
            parts: Some(0.8),
            printing: Some(0.95),
            ..none.clone()
        };
        let wrong = Wrong {
            copies: 2,
            printing: Minutes(90),
            grams: 12.0,
        };
        let paid = Shares {
            teams: vec![Share { wrong, ..share(1) }],
            region: wrong,
            ..some.clone()
        };
        let paid = SharesPage::new(head(), &paid).render().unwrap();
        sound(&paid);
        assert!(paid.contains("0.0, 1.5 of it in the wrong unit"));
        assert!(paid.contains("wrong unit: 2 copies, 1.5 hours printed, 12 g."));
        let few = Shares {
            teams: vec![share(1), share(0), share(0)],
            ..some.clone()
        };
        let few = SharesPage::new(head(), &few).render().unwrap();
        assert!(few.contains("Too little was handed over") && !few.contains("unevenly"));
        for (shares, says) in [(none, "Nothing has been handed over"), (some, "evenly")] {
            let made = SharesPage::new(head(), &shares).render().unwrap();
            sound(&made);
            assert!(made.contains(says));
            assert_eq!(made.contains("as uneven as if 80 of 100"), says == "evenly");
        }
    }
}
