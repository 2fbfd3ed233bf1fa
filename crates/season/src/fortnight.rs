//! Requests over some days, each quoted and given at its moment, and what became of them.

use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Ground, Way, quote};
use partpledge_planning_model::{PlaceIx, Plate, PlateSeq};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

use crate::floor::Floor;

/// What teams ask for.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Ways to make each kind of request, with plates numbered from 0; one kind is drawn at a time.
    pub kinds: Vec<Vec<Way>>,
    /// Where requests come from; one place is drawn at a time.
    pub places: Vec<PlaceIx>,
    /// Requests a day, on average.
    pub a_day: f64,
    /// Weight of each hour of the day (UTC) against the others: when teams ask.
    pub by_hour: [f64; 24],
    /// Chance asked for.
    pub level: f64,
    /// Worlds of each quote.
    pub worlds: u64,
}

/// Teams ask mostly after school and in the evening, seldom at night. Common practice, no source.
pub const AFTER_SCHOOL: [f64; 24] = [
    0.3, 0.1, 0.0, 0.0, 0.0, 0.1, 0.3, 0.6, 0.8, 1.0, 1.0, 1.0, //
    1.0, 1.2, 2.0, 3.0, 3.0, 2.5, 2.5, 2.5, 2.0, 1.5, 1.0, 0.6,
];

/// One pledge and what became of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// When it was asked.
    pub asked: Minute,
    /// Hand-over pledged.
    pub pledged: Minute,
    /// Chance stated.
    pub stated: f64,
    /// Real hand-over of the last copy; `None` if it never came before the calendars end.
    pub came: Option<Minute>,
}

impl Kept {
    /// Whether it came in time.
    #[must_use]
    pub fn kept(&self) -> bool {
        self.came.is_some_and(|came| came <= self.pledged)
    }
}

/// All pledges of a play.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FortnightReport {
    /// In order of asking.
    pub pledges: Vec<Kept>,
    /// Requests for which no pledge was possible.
    pub refused: usize,
}

impl FortnightReport {
    /// Share of pledges kept; `None` without pledges.
    #[must_use]
    pub fn kept_share(&self) -> Option<f64> {
        let kept = self.pledges.iter().filter(|pledge| pledge.kept()).count();
        (!self.pledges.is_empty()).then(|| kept as f64 / self.pledges.len() as f64)
    }

    /// Mean of the chances stated; `None` without pledges.
    #[must_use]
    pub fn mean_stated(&self) -> Option<f64> {
        let sum: f64 = self.pledges.iter().map(|pledge| pledge.stated).sum();
        (!self.pledges.is_empty()).then(|| sum / self.pledges.len() as f64)
    }

    /// Adds another play's pledges.
    pub fn extend(&mut self, other: Self) {
        self.pledges.extend(other.pledges);
        self.refused += other.refused;
    }
}

/// Plays `days` of demand from `from` on, and goes on until everything given is handed over or the
/// calendars end. The quotes' worlds and the real world have dice of their own.
///
/// # Source
/// Requests come as a Poisson process whose rate follows the hour of the day, made by thinning
/// (Lewis and Shedler 1979, from memory).
#[must_use]
pub fn fortnight(
    ground: &Ground<'_>,
    demand: &Demand,
    from: Minute,
    days: i64,
    seed: u64,
) -> FortnightReport {
    let mut dice = Dice::stream(seed, 1);
    // Another key than any quote's, so that no quote has seen this luck.
    let mut floor = Floor::new(ground, seed ^ 0x005E_ED0F_7EA1);
    let mut asked: Vec<(Minute, Minute, f64, Vec<PlateSeq>)> = Vec::new();
    let mut refused = 0;
    let mut next_seq = 1_u64;
    let when = moments(demand.a_day, &demand.by_hour, (from, days), &mut dice);
    // Without kinds or places nobody asks.
    let any = !demand.kinds.is_empty() && !demand.places.is_empty();
    for at in when.into_iter().filter(|_| any) {
        floor.play(at);
        let pick = |dice: &mut Dice, n: usize| {
            usize::try_from(dice.between(0, i64::try_from(n).unwrap_or(1))).unwrap_or(0)
        };
        let kind = pick(&mut dice, demand.kinds.len());
        let place = demand.places[pick(&mut dice, demand.places.len())];
        let ways = numbered(&demand.kinds[kind], place, at, next_seq);
        let ask = Ask {
            ways,
            level: demand.level,
            now: at,
            seed: next_seq,
            worlds: demand.worlds,
        };
        let Ok(quote) = quote(ground, &floor.plates, &floor.plan, &ask) else {
            refused += 1;
            continue;
        };
        let given = promise(&quote);
        let plates: Vec<Plate> = ask.ways[quote.way]
            .plates
            .iter()
            .map(|plate| Plate {
                promise: Some(given),
                ..plate.clone()
            })
            .collect();
        next_seq += plates.len() as u64;
        let numbers = plates.iter().map(|plate| plate.seq).collect();
        floor.give(plates, &quote.assignments);
        asked.push((at, quote.arrival, quote.probability, numbers));
    }
    floor.play(
        ground
            .region()
            .horizon
            .unwrap_or(from + Minutes(days * 1_440)),
    );
    let pledges = asked
        .into_iter()
        .map(|(asked, pledged, stated, plates)| Kept {
            asked,
            pledged,
            stated,
            came: plates
                .iter()
                .map(|seq| floor.handed_over.get(seq).copied())
                .try_fold(asked, |last, came| came.map(|came| came.max(last))),
        })
        .collect();
    FortnightReport { pledges, refused }
}

/// When requests come: so many a day, by the hour's weight, for so many days from a minute on.
pub(crate) fn moments(
    a_day: f64,
    by_hour: &[f64; 24],
    (from, days): (Minute, i64),
    dice: &mut Dice,
) -> Vec<Minute> {
    let sum: f64 = by_hour.iter().sum();
    let peak = by_hour.iter().copied().fold(0.0, f64::max);
    let mut out = Vec::new();
    // Asked so that a rate or a weight that is no number gives no request.
    let any = a_day > 0.0 && sum > 0.0 && peak > 0.0;
    if !any {
        return out;
    }
    let peak_a_min = a_day / 60.0 * peak / sum;
    let mut at_min = 0.0;
    loop {
        at_min -= (1.0 - dice.unit()).ln() / peak_a_min;
        let at = from + Minutes::covering_s(at_min * 60.0);
        if at >= from + Minutes(days * 1_440) {
            return out;
        }
        let hour = usize::try_from(at.0.rem_euclid(1_440) / 60).unwrap_or(0);
        if dice.happens(by_hour[hour] / peak) {
            out.push(at);
        }
    }
}

/// Ways with fresh numbers, for a place and a moment.
pub(crate) fn numbered(ways: &[Way], to: PlaceIx, release: Minute, next_seq: u64) -> Vec<Way> {
    let plates = |way: &Way| {
        let numbered = way.plates.iter().zip(next_seq..);
        numbered
            .map(|(plate, seq)| Plate {
                seq: PlateSeq(seq),
                to,
                release,
                ..plate.clone()
            })
            .collect()
    };
    ways.iter()
        .map(|way| Way {
            label: way.label.clone(),
            plates: plates(way),
        })
        .collect()
}
