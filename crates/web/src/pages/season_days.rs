//! The season, week by week.

use std::collections::BTreeMap;

use askama::Template;
use jiff::civil::{Date, Time};
use partpledge_units::time::Minute;
use partpledge_words::say;
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
    /// Whether rounds and relays go as usual, or which go on which days.
    pub(crate) rounds: Vec<String>,
}

/// Days of the week on which each round or relay goes, by name.
type Rounds = BTreeMap<String, Vec<String>>;

/// The page.
#[derive(Template)]
#[template(path = "season_days.html")]
pub(crate) struct SeasonDaysPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// Each round and relay as it usually goes.
    pub(crate) usual: Vec<String>,
    pub(crate) weeks: Vec<WeekRow>,
}

impl SeasonDaysPage {
    /// `mondays` begin the weeks; `items` are all of them, by their beginning.
    pub(crate) fn new(head: Head, session: &Session, mondays: &[Date], items: &[Item]) -> Self {
        let zone = &session.terrain.zone;
        let ends = session.terrain.file.season_ends.as_deref();
        let ends = ends.and_then(|day| partpledge_units::local::parse_date(day).ok());
        let lead = ends.map_or_else(
            || say!("season-no-end"),
            |day| {
                let noon = Time::constant(12, 0, 0, 0);
                let day = zone.long_day(zone.minute(day, noon));
                say!("season-ends-on", day = day)
            },
        );
        let own: Vec<Vec<&Item>> = (mondays.iter())
            .map(|monday| within(session, *monday, items))
            .collect();
        let each: Vec<Rounds> = own.iter().map(|own| rounds(session, own)).collect();
        // What most weeks have is usual; of equals, the first.
        let like = |one: &&Rounds| each.iter().filter(|other| other == one).count();
        let usual = each
            .iter()
            .rev()
            .max_by_key(like)
            .cloned()
            .unwrap_or_default();
        let week = |(i, monday): (usize, &Date)| WeekRow {
            title: title(session, *monday),
            now: i == 0,
            days: own[i]
                .iter()
                .filter_map(|item| day(session, item))
                .collect(),
            rounds: gone(
                &each[i],
                &usual,
                own[i].iter().any(|item| item.kind == Kind::Closed),
            ),
        };
        Self {
            usual: usual
                .iter()
                .map(|round| goes(session, round, items))
                .collect(),
            head,
            title: say!("season-title"),
            lead,
            weeks: mondays.iter().enumerate().map(week).collect(),
        }
    }
}

/// The midnights around a week.
fn around(session: &Session, monday: Date) -> (Minute, Minute) {
    let next = monday.saturating_add(jiff::Span::new().days(7));
    let midnight = |date| session.terrain.zone.minute(date, Time::midnight());
    (midnight(monday), midnight(next))
}

fn title(session: &Session, monday: Date) -> String {
    let zone = &session.terrain.zone;
    let (from, until) = around(session, monday);
    let last = Minute(until.0 - 1);
    say!("season-days", first = zone.day(from), last = zone.day(last))
}

fn within<'a>(session: &Session, monday: Date, items: &'a [Item]) -> Vec<&'a Item> {
    let (from, until) = around(session, monday);
    let own = items.iter().filter(|item| match item.kind {
        // A round belongs to the week in which it collects.
        Kind::Round | Kind::Relay | Kind::Meeting => from <= item.from && item.from < until,
        Kind::Closed | Kind::SeasonEnds => item.from < until && from < item.until,
    });
    own.collect()
}

fn rounds(session: &Session, own: &[&Item]) -> Rounds {
    let mut out = Rounds::new();
    for item in own {
        if matches!(item.kind, Kind::Round | Kind::Relay) {
            let day = session.terrain.zone.weekday(item.from);
            out.entry(item.what.clone()).or_default().push(day);
        }
    }
    out
}

/// How a round usually goes: `noon round: Mon, Fri; leaves at 11:30, there at 15:40`.
fn goes(session: &Session, (name, days): (&String, &Vec<String>), items: &[Item]) -> String {
    let zone = &session.terrain.zone;
    let days = days.join(", ");
    let Some(first) = items.iter().find(|item| item.what == *name) else {
        return format!("{name}: {days}");
    };
    let same_day = zone.date(first.from) == zone.date(first.until);
    let (leaves, arrives) = (zone.clock(first.from), zone.clock(first.until));
    if same_day {
        say!(
            "season-goes",
            name = name,
            days = days,
            leaves = leaves,
            arrives = arrives
        )
    } else {
        say!(
            "season-goes-next-day",
            name = name,
            days = days,
            leaves = leaves,
            arrives = arrives
        )
    }
}

/// What goes in a week, where that is not as usual; `closed` when something is closed in it.
fn gone(own: &Rounds, usual: &Rounds, closed: bool) -> Vec<String> {
    if own.is_empty() {
        return vec![say!("season-no-rounds")];
    }
    if own == usual {
        return vec![if closed {
            say!("season-rounds-shut")
        } else {
            say!("season-rounds-usual")
        }];
    }
    let other = own
        .iter()
        .filter(|(name, days)| usual.get(*name) != Some(*days));
    let other = other.map(|(name, days)| say!("season-only", name = name, days = days.join(", ")));
    let missing = usual.keys().filter(|name| !own.contains_key(*name));
    other
        .chain(missing.map(|name| say!("season-not-at-all", name = name)))
        .collect()
}

fn day(session: &Session, item: &Item) -> Option<String> {
    let zone = &session.terrain.zone;
    let schools = match item.schools.as_slice() {
        [] => words::capital(&say!("season-all-schools")),
        some => words::capital(&named(session, some)),
    };
    match item.kind {
        Kind::Closed => {
            let day = when(zone, item.from, item.until);
            Some(say!(
                "season-closed-day",
                schools = schools,
                day = day,
                what = item.what
            ))
        }
        Kind::Meeting => {
            let (day, clock) = (zone.day(item.from), zone.clock(item.from));
            Some(say!(
                "season-meeting-day",
                what = item.what,
                day = day,
                time = clock
            ))
        }
        Kind::SeasonEnds => Some(say!("season-ends-day", day = zone.day(item.from))),
        Kind::Round | Kind::Relay => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn rounds_go_as_usual_only_where_nothing_is_closed() {
        let days = |days: &[&str]| days.iter().map(|&day| day.to_owned()).collect();
        let rounds = |of: &[&str]| Rounds::from([("noon round".to_owned(), days(of))]);
        let usual = rounds(&["Mon", "Wed"]);
        assert_eq!(gone(&usual, &usual, false), ["All rounds go as usual."]);
        let shut = gone(&usual, &usual, true);
        assert_eq!(shut, ["All rounds go, but none calls where it is closed."]);
        let fewer = gone(&rounds(&["Mon"]), &usual, true);
        assert_eq!(fewer, ["noon round: Mon only."]);
        assert_eq!(gone(&Rounds::new(), &usual, true), ["No rounds."]);
    }

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
            usual: vec![AWKWARD.to_owned()],
            weeks: vec![row(2), row(0)],
        };
        let made = page.render().unwrap();
        sound(&made);
        assert_eq!(made.matches("This week").count(), 1);
    }
}
