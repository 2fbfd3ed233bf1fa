//! What a region file says of review and of how much a team may ask for.

use serde::{Deserialize, Serialize};

use super::{RegionFile, RegionFileError};

/// Which requests the region looks at before anything is promised.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ReviewMode {
    /// None by itself; the coordinator may still hold one.
    None,
    /// Those about which something was guessed.
    #[default]
    Guessed,
    /// All but those of trusted teams.
    All,
}

/// Whose share it is in what was printed of a part that then turned out to be in the wrong unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PaidBy {
    /// Time and plastic stand in the team's share, as for anything else that was printed for it.
    #[default]
    Team,
    /// They stand in nobody's share but the region's own.
    Region,
}

impl PaidBy {
    /// As a region file has it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Team => "team",
            Self::Region => "region",
        }
    }
}

/// How much a team may have open at a time. The defaults are generous: common practice, no source.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Limits {
    /// Requests of a team that are not made, refused or called back yet.
    pub open_requests: u32,
    /// Plastic in plates of a team that are still to be printed, g.
    pub open_grams: u32,
    /// Copies in one request.
    pub copies: u32,
    /// Whether a mentor of the team may go beyond them, with a reason.
    pub mentors_may_exceed: bool,
    /// Spares that a team may wait for at a meeting.
    pub spares: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            open_requests: 40,
            open_grams: 5_000,
            copies: 100,
            mentors_may_exceed: true,
            spares: 2,
        }
    }
}

/// What happens to a request that waits for a decision and gets none.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Undecided {
    /// Hours after which those who decide are told again, and the team that nobody has yet.
    pub tell_after_hours: u32,
    /// Days after which it is refused because nobody decided.
    pub close_after_days: u32,
}

/// Common practice, no source.
impl Default for Undecided {
    fn default() -> Self {
        Self {
            tell_after_hours: 24,
            close_after_days: 7,
        }
    }
}

impl RegionFile {
    pub(super) fn check_review(&self) -> Result<(), RegionFileError> {
        let known = |name: &String| self.teams.iter().any(|team| team.name == *name);
        if let Some(team) = self.trusted_teams.iter().find(|name| !known(name)) {
            return Err(RegionFileError::Unknown {
                who: "trusted_teams".to_owned(),
                what: team.clone(),
            });
        }
        let limits = [
            ("open_requests", self.limits.open_requests),
            ("open_grams", self.limits.open_grams),
            ("copies", self.limits.copies),
            ("spares", self.limits.spares),
        ];
        let out = |who: &str, what| RegionFileError::OutOfRange {
            who: who.to_owned(),
            what,
        };
        if let Some((what, _)) = limits.into_iter().find(|(_, most)| *most == 0) {
            return Err(out("limits", what));
        }
        let Undecided {
            tell_after_hours: tell,
            close_after_days: close,
        } = self.undecided;
        if !(1..=366).contains(&close) {
            return Err(out("undecided", "close_after_days"));
        }
        if tell == 0 || tell > close * 24 {
            return Err(out("undecided", "tell_after_hours"));
        }
        Ok(())
    }
}
