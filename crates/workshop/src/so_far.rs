//! The season so far, for those who plan it and those who pay for it: what was handed over, how fast, what
//! it took; by month, by material, by school. Teams stand in it by their shares only, people not at all.

use std::collections::BTreeMap;

use jiff::civil::Date;
use partpledge_catalogue::region::as_csv;
use partpledge_records::{ListedRequest, PledgeKind};
use partpledge_units::cast::int_f64;
use partpledge_units::money::{Currency, Money};
use partpledge_units::time::{EventMs, Minute, Minutes};

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;
use crate::shares::{median, wait};
use crate::spent::{Ended, Runs};
use crate::wrong_unit;

/// What a month, a material, a school or the whole season comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tally {
    /// Requests of which all was handed over, those in the wrong unit not counted.
    pub parts: usize,
    /// Copies that teams have, those in the wrong unit not counted.
    pub copies: usize,
    /// Promises kept.
    pub kept: usize,
    /// Promises broken.
    pub broken: usize,
    /// Promises whose time is over and whose part was not handed over whole: not kept either, though
    /// nobody has ended them yet.
    pub over: usize,
    /// Runs that ended.
    pub runs: usize,
    /// Those that failed, or of which nothing was good.
    pub failed: usize,
    /// Printing, failed runs included.
    pub printing: Minutes,
    /// Filament for parts, g, failed runs included; without purge.
    pub grams: f64,
    /// What the runs cost, least and greatest, minor units.
    pub cost_minor: [i64; 2],
    /// Runs that have no cost in it: no price is known, or the printer has left the region.
    pub unpriced: usize,
}

impl Tally {
    /// Promises whose time is over, kept or not.
    #[must_use]
    pub const fn due(&self) -> usize {
        self.kept + self.broken + self.over
    }

    fn ran(&mut self, run: &Ended) {
        self.runs += 1;
        self.failed += usize::from(run.failed);
        self.printing = self.printing + run.length;
        self.grams += run.grams;
        match run.cost {
            Some(cost) => {
                for (sum, money) in self.cost_minor.iter_mut().zip(cost) {
                    *sum = sum.saturating_add(money.minor);
                }
            }
            None => self.unpriced += 1,
        }
    }

    /// The cost as money.
    #[must_use]
    pub fn cost(&self, currency: Currency) -> [Money; 2] {
        self.cost_minor.map(|minor| Money { minor, currency })
    }
}

/// The season so far.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SoFar {
    /// When the first request on record was sent: everything from then on is counted. `None` without one.
    pub since: Option<Minute>,
    /// All of it.
    pub all: Tally,
    /// How many parts came, for how fast they did.
    pub waits: usize,
    /// The fastest and the slowest of them, from being sent; `None` without any.
    pub all_within: Option<(Minutes, Minutes)>,
    /// Half of the parts came within this of being sent.
    pub half_within: Option<Minutes>,
    /// Nine in ten came within this.
    pub nine_in_ten_within: Option<Minutes>,
    /// By the first day of a month, in order: what was handed over, ended and ran off in it.
    pub months: Vec<(Date, Tally)>,
    /// By material.
    pub materials: Vec<(String, Tally)>,
    /// By school: what its teams have; what ran there. Without promises: of a school with one team they
    /// would be that team's.
    pub schools: Vec<(String, Tally)>,
    /// Copies that each team has, the most first.
    pub teams: Vec<(String, usize)>,
    /// Copies handed over in the wrong unit, in none of the counts.
    pub wrong_unit: usize,
}

impl SoFar {
    fn each(&mut self, at: &Place<'_>, mut add: impl FnMut(&mut Tally)) {
        add(&mut self.all);
        if let Some(month) = at.month {
            add(entry(&mut self.months, month));
        }
        add(entry(&mut self.materials, at.material.to_owned()));
        if !at.school.is_empty() {
            add(entry(&mut self.schools, at.school.to_owned()));
        }
    }
}

/// Where something is counted.
struct Place<'a> {
    month: Option<Date>,
    material: &'a str,
    school: &'a str,
}

fn entry<K: Ord>(list: &mut Vec<(K, Tally)>, key: K) -> &mut Tally {
    let at = match list.binary_search_by(|(known, _)| known.cmp(&key)) {
        Ok(at) => at,
        Err(at) => {
            list.insert(at, (key, Tally::default()));
            at
        }
    };
    &mut list[at].1
}

/// The season so far.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for nobody; [`WorkshopError::Store`].
pub async fn so_far(
    session: &Session,
    actor: &Actor,
    books: &Books,
) -> Result<SoFar, WorkshopError> {
    actor.must_be_known()?;
    let runs = Runs::open(session, books).await?;
    let first = books.requests.iter().map(|r| r.request.asked_at).min();
    let mut out = SoFar {
        since: first.map(Minute::at_or_before),
        ..SoFar::default()
    };
    let mut waits = Vec::new();
    let mut teams: BTreeMap<&str, usize> = BTreeMap::new();
    for listed in &books.requests {
        request(session, books, listed, (&mut out, &mut waits));
        if wrong_unit::found(books, listed.request.id).is_none() {
            let copies = books.handed_over(listed.request.id);
            *teams.entry(&listed.request.team).or_default() += copies;
        }
    }
    for run in runs.all() {
        let at = Place {
            month: Some(month(session, run.ended_at)),
            material: &run.material,
            school: &run.school,
        };
        out.each(&at, |tally| tally.ran(run));
    }
    let teams = teams.into_iter().filter(|(_, copies)| *copies > 0);
    out.teams = teams.map(|(team, n)| (team.to_owned(), n)).collect();
    out.teams
        .sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    out.half_within = median(&mut waits);
    out.waits = waits.len();
    let ends = waits.first().zip(waits.last());
    out.all_within = ends.map(|(first, last)| (Minutes(*first), Minutes(*last)));
    out.nine_in_ten_within = nine_in_ten(&waits);
    Ok(out)
}

/// What a request adds to the counts.
fn request(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    (out, waits): (&mut SoFar, &mut Vec<i64>),
) {
    let request = &listed.request;
    let Some(promised) = books.pledge_of(request.id) else {
        return;
    };
    let file = &session.terrain.file;
    let team = file.teams.iter().find(|team| team.name == request.team);
    let school = team.and_then(|team| file.school(&team.school));
    let place = |month| Place {
        month,
        material: &request.material,
        school: school.map_or("", |school| school.name.as_str()),
    };
    // No school's: see there.
    let promise = |at: EventMs| Place {
        school: "",
        ..place(Some(month(session, at)))
    };
    let arrival = promised.pledge.arrival;
    match &promised.end {
        Some(end) if end.kind == PledgeKind::Kept => {
            out.each(&promise(end.recorded_at), |tally| tally.kept += 1);
        }
        Some(end) if end.kind == PledgeKind::Broken => {
            out.each(&promise(end.recorded_at), |tally| tally.broken += 1);
        }
        None if arrival < session.minute() => {
            out.each(&promise(arrival.to_ms()), |tally| tally.over += 1);
        }
        _ => {}
    }
    let wrong = wrong_unit::found(books, request.id);
    // As in the shares: what the region pays for stands in no team's.
    let by_region = wrong
        .as_ref()
        .is_some_and(|found| found.paid_by == wrong_unit::PaidBy::Region);
    if !by_region {
        waits.extend(wait(books, listed));
    }
    if wrong.is_some() {
        out.wrong_unit += books.handed_over(request.id);
        return;
    }
    if let Some(came) = books.came(request.id) {
        let at = place(Some(month(session, came)));
        out.each(&at, |tally| tally.parts += 1);
    }
    for (copies, at) in handed_on(books, listed) {
        let at = place(at.map(|at| month(session, at)));
        out.each(&at, |tally| tally.copies += copies);
    }
}

/// Copies that the team has, with when their box was handed over, as far as that was told.
fn handed_on(books: &Books, listed: &ListedRequest) -> Vec<(usize, Option<EventMs>)> {
    use partpledge_records::{State, StepKind};
    let request = listed.request.id;
    let mut by_box: BTreeMap<u64, usize> = BTreeMap::new();
    let copies = books.copies(request).iter();
    for copy in copies.filter(|copy| copy.state == State::HandedOver) {
        *by_box.entry(copy.plate).or_default() += 1;
    }
    let when = |plate| books.step(plate, StepKind::HandedOver).map(|step| step.at);
    let boxes = by_box.into_iter();
    boxes
        .map(|(plate, n)| (n, when(plate).or_else(|| books.came(request))))
        .collect()
}

/// The first day of the month that a moment is in.
fn month(session: &Session, at: EventMs) -> Date {
    let date = session.terrain.zone.date(Minute::at_or_before(at));
    date.first_of_month()
}

/// Nine in ten of a sorted list are not above it.
///
/// # Source
/// Nearest rank: the smallest member of the list with so large a share of it at or below. Common practice.
fn nine_in_ten(sorted: &[i64]) -> Option<Minutes> {
    let rank = (9 * sorted.len()).div_ceil(10);
    let at = sorted.get(rank.checked_sub(1)?)?;
    Some(Minutes(*at))
}

/// Columns of the table for programs.
pub const COLUMNS: [&str; 18] = [
    "by",
    "name",
    "parts",
    "copies",
    "promises_kept",
    "promises_broken",
    "promises_over",
    "runs",
    "failed_runs",
    "machine_min",
    "filament_g",
    "cost_low",
    "cost_high",
    "currency",
    "prices",
    "half_within_min",
    "nine_in_ten_within_min",
    "since",
];

/// The same as CSV: the season, its months, materials and schools, these without promises; of teams the
/// copies only. Amounts are in whole units of the currency; `prices` says `example` while the region has
/// none of its own. `since` is the first day that is counted, of the season only.
#[must_use]
pub fn table(session: &Session, made: &SoFar) -> Vec<u8> {
    let costs = &session.costs;
    let amount = |minor: i64| {
        let decimals = costs.rates.decimals;
        let whole = int_f64(minor) / 10_f64.powi(decimals.into());
        format!("{whole:.0$}", usize::from(decimals))
    };
    let prices = if costs.are_examples { "example" } else { "own" };
    let minutes = |length: Option<Minutes>| length.map_or_else(String::new, |l| l.0.to_string());
    let row = |by: &str, name: &str, tally: &Tally, waits: [Option<Minutes>; 2]| {
        let [low, high] = tally.cost_minor.map(amount);
        let count = |n: usize| n.to_string();
        let mut row = vec![by.to_owned(), name.to_owned()];
        row.extend([tally.parts, tally.copies].map(count));
        row.extend([tally.kept, tally.broken, tally.over].map(|n| match by {
            "school" => String::new(),
            _ => count(n),
        }));
        row.extend([tally.runs, tally.failed].map(count));
        row.extend([tally.printing.0.to_string(), format!("{:.0}", tally.grams)]);
        row.extend([low, high, costs.currency.to_string(), prices.to_owned()]);
        row.extend(waits.map(minutes));
        row.push(match (by, made.since) {
            ("season", Some(since)) => session.terrain.zone.date(since).to_string(),
            _ => String::new(),
        });
        row
    };
    let waits = [made.half_within, made.nine_in_ten_within];
    let mut rows = vec![row("season", "", &made.all, waits)];
    for (first, tally) in &made.months {
        let name = first.strftime("%Y-%m").to_string();
        rows.push(row("month", &name, tally, [None; 2]));
    }
    for (by, list) in [("material", &made.materials), ("school", &made.schools)] {
        let own = list.iter();
        rows.extend(own.map(|(name, tally)| row(by, name, tally, [None; 2])));
    }
    rows.extend(made.teams.iter().map(|(team, copies)| {
        let mut row = vec![String::new(); COLUMNS.len()];
        "team".clone_into(&mut row[0]);
        row[1].clone_from(team);
        row[3] = copies.to_string();
        row
    }));
    as_csv(&COLUMNS, rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nine_in_ten_is_a_rank_of_the_list() {
        assert_eq!(nine_in_ten(&[]), None);
        assert_eq!(nine_in_ten(&[4]), Some(Minutes(4)));
        let ten: Vec<i64> = (1..=10).collect();
        assert_eq!(nine_in_ten(&ten), Some(Minutes(9)));
        let eleven: Vec<i64> = (1..=11).collect();
        assert_eq!(nine_in_ten(&eleven), Some(Minutes(10)));
    }

    #[test]
    fn entries_are_made_once_and_stand_in_order() {
        let mut list: Vec<(String, Tally)> = Vec::new();
        for name in ["PLA", "ABS", "PLA"] {
            entry(&mut list, name.to_owned()).copies += 2;
        }
        let told: Vec<(&str, usize)> = list.iter().map(|(n, t)| (n.as_str(), t.copies)).collect();
        assert_eq!(told, [("ABS", 2), ("PLA", 4)]);
    }
}
