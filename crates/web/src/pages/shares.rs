//! How evenly teams were served: a table by team, and Jain's index in words.

use askama::Template;
use partpledge_units::cast::round_i64;
use partpledge_units::time::Minutes;
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
    pub(crate) indices: Vec<(&'static str, String, String)>,
    pub(crate) rows: Vec<TeamRow>,
    /// What was in the wrong unit and the region pays for, in a sentence; empty for nothing.
    pub(crate) region: String,
}

impl SharesPage {
    pub(crate) fn new(head: Head, shares: &Shares) -> Self {
        let n = shares.teams.len();
        let measured = [
            ("Copies handed over", shares.parts),
            ("Hours of printing", shares.printing),
            ("Filament", shares.grams),
            ("Waiting", shares.waits),
        ];
        let indices = measured.into_iter().filter_map(|(what, index)| {
            index.map(|index| (what, format!("{index:.2}"), reading(index)))
        });
        Self {
            head,
            title: title(shares.printing.or(shares.parts), n),
            lead: format!(
                "{} had something promised so far.",
                words::capital(&words::spelled(n, "team", "teams"))
            ),
            indices: indices.collect(),
            rows: shares.teams.iter().map(row).collect(),
            region: match shares.region.copies {
                0 => String::new(),
                copies => format!(
                    "The region itself pays for what came out in the wrong unit: {}, {} hours \
                     printed, {:.0} g.",
                    words::copies(i64::try_from(copies).unwrap_or(0)),
                    hours(shares.region.printing),
                    shares.region.grams
                ),
            },
        }
    }
}

/// The index as a heading.
fn title(index: Option<f64>, teams: usize) -> String {
    match index {
        None => "Nothing has been handed over yet.".to_owned(),
        Some(_) if teams < 2 => "Only one team has been served so far.".to_owned(),
        Some(index) if index >= 0.9 => "Printing is shared out evenly.".to_owned(),
        Some(index) if index >= 0.7 => "Printing is shared out fairly evenly.".to_owned(),
        Some(_) => "Printing is shared out unevenly.".to_owned(),
    }
}

/// As the paper reads it: the share of teams that got all there was, in equal parts.
fn reading(index: f64) -> String {
    let hundred = round_i64((index * 100.0).round()).unwrap_or(0);
    if hundred >= 100 {
        return "every team got the same".to_owned();
    }
    format!("as uneven as if {hundred} of 100 teams had got the same and the others nothing")
}

fn hours(length: Minutes) -> String {
    format!("{:.1}", length.0 as f64 / 60.0)
}

/// With what of it was in the wrong unit, where something was.
fn with_wrong(all: String, wrong: &str, share: &Share) -> String {
    match share.wrong.copies {
        0 => all,
        _ => format!("{all}, {wrong} of it in the wrong unit"),
    }
}

fn row(share: &Share) -> TeamRow {
    TeamRow {
        team: share.team.clone(),
        asked: share.asked,
        parts: share.parts,
        hours: with_wrong(hours(share.printing), &hours(share.wrong.printing), share),
        grams: with_wrong(
            format!("{:.0}", share.grams),
            &format!("{:.0}", share.wrong.grams),
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
        for (shares, says) in [(none, "Nothing has been handed over"), (some, "evenly")] {
            let made = SharesPage::new(head(), &shares).render().unwrap();
            sound(&made);
            assert!(made.contains(says));
            assert_eq!(made.contains("as uneven as if 80 of 100"), says == "evenly");
        }
    }
}
