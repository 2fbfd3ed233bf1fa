//! The season so far, for programs: sums, no person's name.

use partpledge_units::cast::round_i64;
use partpledge_units::time::Minutes;
use partpledge_workshop::Session;
use partpledge_workshop::so_far::{SoFar, Tally, so_far};
use serde::Serialize;
use utoipa::ToSchema;

use super::call::{Answer, Call, fresh};

/// What a month, a material, a school or the whole season comes to.
#[derive(Serialize, ToSchema)]
#[schema(as = SeasonSums)]
struct SumsOut {
    /// Parts of which all copies were handed over, those in the wrong unit not counted.
    parts: usize,
    /// Copies that teams have, those in the wrong unit not counted.
    copies: usize,
    /// Not said of a school: some have one team only.
    #[serde(skip_serializing_if = "Option::is_none")]
    promises_kept: Option<usize>,
    /// As `promises_kept`.
    #[serde(skip_serializing_if = "Option::is_none")]
    promises_broken: Option<usize>,
    /// Whose time is over and whose part was not handed over whole: not kept either. As `promises_kept`.
    #[serde(skip_serializing_if = "Option::is_none")]
    promises_over: Option<usize>,
    /// Runs that ended, failed ones too.
    runs: usize,
    /// Those that failed, or of which nothing was good.
    failed_runs: usize,
    machine_min: i64,
    /// Filament for parts, without what primes the nozzle.
    filament_g: i64,
    /// Least cost of the runs that have one, in the smallest unit of the currency.
    cost_low_minor: i64,
    /// Greatest cost, the same.
    cost_high_minor: i64,
    /// Runs that are not in the cost: they have no price, or their printer has left the region.
    runs_without_cost: usize,
}

impl SumsOut {
    fn of(tally: &Tally) -> Self {
        let [low, high] = tally.cost_minor;
        Self {
            parts: tally.parts,
            copies: tally.copies,
            promises_kept: Some(tally.kept),
            promises_broken: Some(tally.broken),
            promises_over: Some(tally.over),
            runs: tally.runs,
            failed_runs: tally.failed,
            machine_min: tally.printing.0,
            filament_g: round_i64(tally.grams.round()).unwrap_or_default(),
            cost_low_minor: low,
            cost_high_minor: high,
            runs_without_cost: tally.unpriced,
        }
    }

    fn of_school(tally: &Tally) -> Self {
        Self {
            promises_kept: None,
            promises_broken: None,
            promises_over: None,
            ..Self::of(tally)
        }
    }
}

/// A month, a material or a school.
#[derive(Serialize, ToSchema)]
#[schema(as = SeasonLine)]
struct LineOut {
    /// `2027-03` of a month; a material's code; a school's name.
    name: String,
    sums: SumsOut,
}

/// How many copies a team has.
#[derive(Serialize, ToSchema)]
#[schema(as = SeasonTeam)]
struct TeamOut {
    team: String,
    copies: usize,
}

/// The season so far.
#[derive(Serialize, ToSchema)]
#[schema(as = SeasonSoFar)]
pub(crate) struct SoFarOut {
    schema: u32,
    /// The first day that is counted; nothing before the first part was sent.
    #[schema(format = Date)]
    since: Option<String>,
    /// Code of the currency, ISO 4217.
    currency: String,
    /// Figures behind the point when a cost is written in whole units.
    currency_digits: u8,
    /// `example` while the region has no prices of its own, then `own`.
    prices: &'static str,
    all: SumsOut,
    /// Parts that came, for how fast they did; from being sent to the hand-over of the last copy.
    timed_parts: usize,
    /// The fastest of them, min.
    fastest_min: Option<i64>,
    /// The slowest, min.
    slowest_min: Option<i64>,
    /// Half came within this, min.
    half_within_min: Option<i64>,
    /// Nine in ten came within this, min.
    nine_in_ten_within_min: Option<i64>,
    months: Vec<LineOut>,
    materials: Vec<LineOut>,
    schools: Vec<LineOut>,
    /// Copies by team, the most first.
    teams: Vec<TeamOut>,
    /// Copies handed over in the wrong unit, in none of the counts.
    wrong_unit_copies: usize,
}

/// `GET /api/v1/region/season`.
pub(crate) async fn season(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let made = so_far(&session, &call.actor(), &books).await?;
    Ok(fresh(call.headers(), &out(&session, &made)))
}

fn out(session: &Session, made: &SoFar) -> SoFarOut {
    let costs = &session.costs;
    let min = |length: Option<Minutes>| length.map(|length| length.0);
    let line = |name: &str, sums| LineOut {
        name: name.to_owned(),
        sums,
    };
    let months = made.months.iter().map(|(first, tally)| {
        let name = first.strftime("%Y-%m").to_string();
        line(&name, SumsOut::of(tally))
    });
    let materials = made.materials.iter();
    let schools = made.schools.iter();
    let teams = made.teams.iter().map(|(team, copies)| TeamOut {
        team: team.clone(),
        copies: *copies,
    });
    SoFarOut {
        schema: 1,
        since: made
            .since
            .map(|since| session.terrain.zone.date(since).to_string()),
        currency: costs.currency.to_string(),
        currency_digits: costs.rates.decimals,
        prices: if costs.are_examples { "example" } else { "own" },
        all: SumsOut::of(&made.all),
        timed_parts: made.waits,
        fastest_min: min(made.all_within.map(|(first, _)| first)),
        slowest_min: min(made.all_within.map(|(_, last)| last)),
        half_within_min: min(made.half_within),
        nine_in_ten_within_min: min(made.nine_in_ten_within),
        months: months.collect(),
        materials: materials
            .map(|(name, tally)| line(name, SumsOut::of(tally)))
            .collect(),
        schools: schools
            .map(|(name, tally)| line(name, SumsOut::of_school(tally)))
            .collect(),
        teams: teams.collect(),
        wrong_unit_copies: made.wrong_unit,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What became of a school's promises would be what became of its one team's.
    #[test]
    fn promises_are_not_told_by_school() {
        let tally = Tally {
            parts: 2,
            kept: 1,
            broken: 1,
            over: 3,
            printing: Minutes(106),
            grams: 7.6,
            ..Tally::default()
        };
        let told = |sums: SumsOut| serde_json::to_value(sums).unwrap();
        let (all, school) = (told(SumsOut::of(&tally)), told(SumsOut::of_school(&tally)));
        assert_eq!(
            (&all["promises_kept"], &all["promises_over"]),
            (&1.into(), &3.into())
        );
        assert_eq!(
            (&all["machine_min"], &all["filament_g"]),
            (&106.into(), &8.into())
        );
        assert_eq!(school["parts"], 2);
        for name in ["promises_kept", "promises_broken", "promises_over"] {
            assert!(school.get(name).is_none(), "{school}");
        }
    }
}
