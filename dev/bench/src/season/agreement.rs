//! The fast quote against the worlds, on the same requests: 60 printers and 300 open plates.

use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Foresight, Ground, Quote, Way, quote, quote_fast};
use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_season::Setting;
use partpledge_units::cast::{ceil_i64, int_f64};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

const PRINTERS: usize = 60;
const OPEN_PLATES: usize = 300;
/// Requests quoted on one plan, with one foresight: as many as a day brings.
const ON_ONE_PLAN: u64 = 25;
const WORLDS: u64 = 400;
/// Standard normal value that one run in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_6;
/// What is stated in `docs/calibration.md`: the same hand-over within an hour in so many of the
/// requests, and the chance of the same slots by the same minute so far apart (root mean square; the
/// worlds themselves throw 1.3 points of it).
const WITHIN_AN_HOUR: f64 = 0.80;
const POINTS: f64 = 0.03;

#[derive(Default)]
struct Counts {
    quoted: f64,
    same: f64,
    within_an_hour: f64,
    /// Minutes that the fast one is later.
    later_min: f64,
    /// Chance of the same slots by the minute that the exact one pledges, apart.
    apart: Vec<f64>,
    fast_s: f64,
    exact_s: f64,
}

pub(crate) fn run(requests: u64) -> Result<(), String> {
    let mut setting = super::setting::demo(30.0)?;
    super::setting::larger(&mut setting, PRINTERS);
    let ground = Ground::new(&setting.region);
    let mut counts = Counts::default();
    for plan in 0..requests.div_ceil(ON_ONE_PLAN) {
        let mut dice = Dice::stream(5, plan);
        let day = 8 + dice.between(0, 25);
        let now = setting.midnight(day) + Minutes(60 * (8 + dice.between(0, 10)));
        on_one_plan(&setting, &ground, now, &mut dice, &mut counts);
    }
    report(&counts)
}

fn on_one_plan(
    setting: &Setting,
    ground: &Ground<'_>,
    now: Minute,
    dice: &mut Dice,
    counts: &mut Counts,
) {
    let (plates, plan) = filled(setting, ground, now, dice);
    let (mut foresight, s) = crate::cpu_timed(|| Foresight::new(ground, &plates, &plan, now, 7));
    counts.fast_s += s;
    for _ in 0..ON_ONE_PLAN {
        let ask = drawn(setting, dice, now, 1_000_000);
        let (fast, s) =
            crate::cpu_timed(|| quote_fast(ground, &plates, &plan, &ask, &mut foresight));
        counts.fast_s += s;
        let start = crate::quote::processor_time_s();
        let exact = quote(ground, &plates, &plan, &ask);
        counts.exact_s += crate::quote::processor_time_s() - start;
        if let (Ok(fast), Ok(exact)) = (fast, exact) {
            counts.add(&fast, &exact);
        }
    }
}

impl Counts {
    fn add(&mut self, fast: &Quote, exact: &Quote) {
        self.quoted += 1.0;
        let later = (fast.arrival - exact.arrival).0;
        self.same += f64::from(u8::from(later == 0));
        self.within_an_hour += f64::from(u8::from(later.abs() <= 60));
        self.later_min += int_f64(later);
        if fast.assignments == exact.assignments {
            let fast = fast.chance_by(exact.arrival);
            self.apart.push(fast - exact.probability);
        }
    }
}

/// A plan with as many open plates as asked, given in the last days, as the fast quote gives them.
fn filled(
    setting: &Setting,
    ground: &Ground<'_>,
    now: Minute,
    dice: &mut Dice,
) -> (Vec<Plate>, Plan) {
    let (mut plates, mut plan): (Vec<Plate>, Plan) = Default::default();
    let mut foresight = Foresight::new(ground, &plates, &plan, now, 1);
    let mut at = now - Minutes(3 * 1_440);
    while plan.assignments.iter().filter(|a| a.cleared > now).count() < OPEN_PLATES {
        let ask = drawn(setting, dice, at, plates.len() as u64 + 1);
        if let Ok(quote) = quote_fast(ground, &plates, &plan, &ask, &mut foresight) {
            let given = Some(promise(&quote));
            let own = ask.ways[quote.way].plates.iter();
            plates.extend(own.map(|plate| Plate {
                promise: given,
                ..plate.clone()
            }));
            quote.assignments.iter().for_each(|place| plan.put(*place));
        }
        // 150 requests a day, and a rush at the end until the plan is full.
        at = (at + Minutes(10)).min(now);
    }
    plan.assignments.retain(|place| place.cleared > now);
    for place in &mut plan.assignments {
        place.frozen = place.start <= now;
    }
    (plates, plan)
}

/// A request at that moment.
fn drawn(setting: &Setting, dice: &mut Dice, at: Minute, seq: u64) -> Ask {
    let kind = &setting.kinds[dice.below(setting.kinds.len())];
    let to = setting.teams[dice.below(setting.teams.len())];
    let level = setting.levels[dice.below(setting.levels.len())];
    let numbered = |plate: &Plate, seq: u64| {
        let mut plate = Plate {
            seq: PlateSeq(seq),
            to,
            release: at,
            ..plate.clone()
        };
        for making in &mut plate.makings {
            let sigma = setting.region.printers[making.printer.0].time_sigma;
            let kept = int_f64(making.worked_out.0) * (ONE_IN_TEN * sigma).exp();
            making.reserved = ceil_i64(kept).map_or(making.reserved, Minutes);
        }
        plate
    };
    let way = |way: &Way| Way {
        label: way.label.clone(),
        plates: way
            .plates
            .iter()
            .zip(seq..)
            .map(|(plate, seq)| numbered(plate, seq))
            .collect(),
    };
    Ask {
        ways: kind.iter().map(way).collect(),
        level,
        now: at,
        seed: seq ^ at.0.unsigned_abs() ^ to.0 as u64,
        worlds: WORLDS,
    }
}

fn report(counts: &Counts) -> Result<(), String> {
    let of = |sum: f64| sum / counts.quoted;
    let compared = counts.apart.len() as f64;
    let mean = counts.apart.iter().sum::<f64>() / compared;
    let rms = (counts.apart.iter().map(|d| d * d).sum::<f64>() / compared).sqrt();
    println!(
        "{} requests on {PRINTERS} printers with {OPEN_PLATES} open plates: same hand-over in {:.0} %, within \
         an hour in {:.0} %, the fast one {:+.0} min on average; of {compared} with the same slots the chance \
         is {:+.1} points apart on average, {:.1} root mean square",
        counts.quoted,
        100.0 * of(counts.same),
        100.0 * of(counts.within_an_hour),
        of(counts.later_min),
        100.0 * mean,
        100.0 * rms
    );
    println!(
        "processor time a request: fast {:.2} ms (its share of the foresight included), exact {:.1} ms, 1 : {:.0}",
        1e3 * of(counts.fast_s),
        1e3 * of(counts.exact_s),
        counts.exact_s / counts.fast_s
    );
    if of(counts.within_an_hour) < WITHIN_AN_HOUR || rms > POINTS {
        return Err("the fast quote is further from the exact one than is stated".to_owned());
    }
    Ok(())
}
