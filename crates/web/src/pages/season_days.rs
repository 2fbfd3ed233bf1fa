//! The season, week by week.

use std::collections::BTreeMap;

use askama::Template;
use jiff::civil::{Date, Time};
use partpledge_units::time::Minute;
use partpledge_workshop::Session;
use partpledge_workshop::season_days::{Item, Kind};

use super::closed::{named, when};
use crate::who::Head;
use crate::words;

/// A week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WeekRow {
    pub(crate) title: String,
    pub(crate) now: bool,
    /// What is closed, where teams meet, that the season ends.
    pub(crate) days: Vec<String>,
    /// Each round and relay with the days on which it goes.
    pub(crate) rounds: Vec<String>,
}

/// The page.
#[derive(Template)]
#[template(path = "season_days.html")]
pub(crate) struct SeasonDaysPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) weeks: Vec<WeekRow>,
}

impl SeasonDaysPage {
    /// `mondays` begin the weeks; `items` are all of them, by their beginning.
    pub(crate) fn new(head: Head, session: &Session, mondays: &[Date], items: &[Item]) -> Self {
        let zone = &session.terrain.zone;
        let ends = session.terrain.file.season_ends.as_deref();
        let ends = ends.and_then(|day| partpledge_units::local::parse_date(day).ok());
        let lead = ends.map_or_else(
            || "The region’s file names no end of the season.".to_owned(),
            |day| {
                let noon = Time::constant(12, 0, 0, 0);
                let day = zone.long_day(zone.minute(day, noon));
                format!("The season ends on {day}.")
            },
        );
        let week = |(i, monday): (usize, &Date)| week(session, i == 0, *monday, items);
        Self {
            head,
            title: "The season, week by week".to_owned(),
            lead,
            weeks: mondays.iter().enumerate().map(week).collect(),
        }
    }
}

fn week(session: &Session, now: bool, monday: Date, items: &[Item]) -> WeekRow {
    let zone = &session.terrain.zone;
    let next = monday.saturating_add(jiff::Span::new().days(7));
    let midnight = |date| zone.minute(date, Time::midnight());
    let (from, until) = (midnight(monday), midnight(next));
    let within = |item: &&Item| match item.kind {
        // A round belongs to the week in which it collects.
        Kind::Round | Kind::Relay | Kind::Meeting => from <= item.from && item.from < until,
        Kind::Closed | Kind::SeasonEnds => item.from < until && from < item.until,
    };
    let own: Vec<&Item> = items.iter().filter(within).collect();
    let mut rounds: BTreeMap<&str, (Vec<String>, &Item)> = BTreeMap::new();
    for item in &own {
        if matches!(item.kind, Kind::Round | Kind::Relay) {
            let round = rounds
                .entry(&item.what)
                .or_insert_with(|| (Vec::new(), item));
            round.0.push(zone.weekday(item.from));
        }
    }
    let says = |(name, (days, first)): (&str, (Vec<String>, &Item))| {
        let next_day = zone.date(first.from) != zone.date(first.until);
        let comes = if next_day {
            "there on its next day at"
        } else {
            "there at"
        };
        format!(
            "{name}: {}; leaves at {}, {comes} {}",
            days.join(", "),
            zone.clock(first.from),
            zone.clock(first.until)
        )
    };
    WeekRow {
        title: format!("{} to {}", zone.day(from), zone.day(Minute(until.0 - 1))),
        now,
        days: own.iter().filter_map(|item| day(session, item)).collect(),
        rounds: rounds.into_iter().map(says).collect(),
    }
}

fn day(session: &Session, item: &Item) -> Option<String> {
    let zone = &session.terrain.zone;
    let schools = match item.schools.as_slice() {
        [] => "All schools".to_owned(),
        some => words::capital(&named(session, some)),
    };
    match item.kind {
        Kind::Closed => {
            let day = when(zone, item.from, item.until);
            Some(format!("{schools} closed, {day}: {}", item.what))
        }
        Kind::Meeting => {
            let (day, clock) = (zone.day(item.from), zone.clock(item.from));
            Some(format!(
                "{}, {day}: boxes are handed over by {clock}",
                item.what
            ))
        }
        Kind::SeasonEnds => Some(format!("{}: the season ends", zone.day(item.from))),
        Kind::Round | Kind::Relay => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_page_renders_full_and_empty_weeks() {
        let row = |many: usize| WeekRow {
            title: AWKWARD.to_owned(),
            now: many > 0,
            days: vec![AWKWARD.to_owned(); many],
            rounds: vec![AWKWARD.to_owned(); many],
        };
        let page = SeasonDaysPage {
            head: head(),
            title: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            weeks: vec![row(2), row(0)],
        };
        let made = page.render().unwrap();
        sound(&made);
        assert_eq!(made.matches("This week").count(), 1);
    }
}
