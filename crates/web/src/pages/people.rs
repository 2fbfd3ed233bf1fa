//! A team's people for its mentors, and the region's for the coordinator.

use askama::Template;

use super::entry::wrong_with;
use super::send::Wrong;
use crate::who::Head;

/// Somebody or something with an id, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) text: String,
}

/// A team's people.
#[derive(Template)]
#[template(path = "team_people.html")]
pub(crate) struct TeamPage {
    pub(crate) head: Head,
    /// What was just done.
    pub(crate) notice: Option<String>,
    pub(crate) team: String,
    pub(crate) path: String,
    pub(crate) lead: String,
    pub(crate) codes: Vec<Row>,
    pub(crate) code_hint: String,
    pub(crate) students: Vec<Row>,
    pub(crate) mentors: Vec<Row>,
    pub(crate) invitations: Vec<Row>,
    pub(crate) kept: String,
}

/// An adult.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct AdultRow {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) text: String,
    /// As forms have them, and in words.
    pub(crate) roles: Vec<(String, String)>,
    pub(crate) resets: bool,
    pub(crate) erases: bool,
}

/// A team in the coordinator's list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TeamRow {
    pub(crate) href: String,
    pub(crate) name: String,
    pub(crate) text: String,
}

/// A role to invite somebody to, or somebody to try the demo as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    pub(crate) value: String,
    pub(crate) text: String,
}

/// The region's people.
#[derive(Template)]
#[template(path = "region_people.html")]
pub(crate) struct RegionPeoplePage {
    pub(crate) head: Head,
    pub(crate) lead: String,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) adults: Vec<AdultRow>,
    /// Schools with printers at whose bench nobody is signed up.
    pub(crate) alone: Vec<String>,
    pub(crate) choices: Vec<Choice>,
    /// Adults who may stand in for the coordinator; empty when whoever looks only stands in.
    pub(crate) may_stand_in: Vec<Choice>,
    /// Whom was chosen, and the day, when that was not in order.
    pub(crate) chosen: (String, String),
    pub(crate) invitations: Vec<Row>,
    pub(crate) teams: Vec<TeamRow>,
    pub(crate) kept: String,
}

impl RegionPeoplePage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn row() -> Row {
        Row {
            id: "1".to_owned(),
            name: AWKWARD.to_owned(),
            text: AWKWARD.to_owned(),
        }
    }

    #[test]
    fn a_teams_people_render_from_their_samples_empty_and_full() {
        for many in [0, 2] {
            let rows = vec![row(); many];
            let page = TeamPage {
                head: head(),
                notice: (many > 0).then(|| AWKWARD.to_owned()),
                team: AWKWARD.to_owned(),
                path: "/teams/x".to_owned(),
                lead: AWKWARD.to_owned(),
                codes: rows.clone(),
                code_hint: String::new(),
                students: rows.clone(),
                mentors: rows.clone(),
                invitations: rows,
                kept: AWKWARD.to_owned(),
            };
            let page = page.render().unwrap();
            sound(&page);
            assert_eq!(page.contains("Nobody has joined yet."), many == 0);
        }
    }

    #[test]
    fn the_regions_people_render_from_their_samples() {
        let page = RegionPeoplePage {
            head: head(),
            lead: AWKWARD.to_owned(),
            wrong: vec![Wrong {
                field: "role",
                text: AWKWARD.to_owned(),
            }],
            adults: vec![AdultRow {
                id: "1".to_owned(),
                name: AWKWARD.to_owned(),
                text: AWKWARD.to_owned(),
                roles: vec![(AWKWARD.to_owned(), AWKWARD.to_owned())],
                resets: true,
                erases: true,
            }],
            alone: vec![AWKWARD.to_owned()],
            choices: vec![Choice {
                value: AWKWARD.to_owned(),
                text: AWKWARD.to_owned(),
            }],
            may_stand_in: vec![Choice {
                value: AWKWARD.to_owned(),
                text: AWKWARD.to_owned(),
            }],
            chosen: (AWKWARD.to_owned(), AWKWARD.to_owned()),
            invitations: vec![row()],
            teams: vec![TeamRow {
                href: "/teams/x".to_owned(),
                name: AWKWARD.to_owned(),
                text: AWKWARD.to_owned(),
            }],
            kept: AWKWARD.to_owned(),
        };
        sound(&page.render().unwrap());
    }
}
