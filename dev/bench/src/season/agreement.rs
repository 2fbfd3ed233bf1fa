//! The fast quote against the worlds, on the same requests: 60 printers and 300 open plates.

use partpledge_planning::quote::promise;
use partpledge_planning::{
    Ask, Foresight, Ground, Outlook, Quote, Standing, Way, forecast, quote, quote_fast,
};
use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_season::Setting;
use partpledge_units::cast::{ceil_i64, int_f64};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

const PRINTERS: usize = 60;
const OPEN_PLATES: usize = 300;
/// Requests quoted on one plan, with one foresight: as many as a day brings.
const ON_ONE_PLAN: u64 = 25;
/// Worlds of the exact quotes, unless others are asked for.
pub(crate) const WORLDS: u64 = 400;
/// Mixed into the seed of the second exact quotes.
const OTHER_SEED: u64 = 0x00C0_FFEE_0DD5_EED5;
/// Standard normal value that one run in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_6;
/// Worlds in which the slots of a fast quote are played: a standard error of 0.9 points at 90 %.
const JUDGING: u64 = 1_000;
/// What is stated in `docs/calibration.md`. Of every request that both quote: the chance that the fast one
/// states, against the worlds with the very slots that it chose, root mean square and mean; of those
/// with the same slots also by the minute that the exact one pledges.
const POINTS: f64 = 0.03;
const POINTS_ON_AVERAGE: f64 = 0.01;
/// The same hand-over within an hour, in at least so many...
const WITHIN_AN_HOUR: f64 = 0.80;
/// ... and at most so much more seldom than two exact quotes have it.
const MORE_SELDOM: f64 = 0.10;
/// Requests that only one of them quotes, at most.
const ONE_SIDED: f64 = 0.02;

/// Pairs of answers to the same request, held against each other.
#[derive(Default)]
struct Pairs {
    quoted: f64,
    same: f64,
    within_an_hour: f64,
    /// Minutes that the first is later.
    later_min: f64,
    /// Chance of the same slots by the minute that the second pledges, apart.
    apart: Vec<f64>,
}

#[derive(Default)]
struct Counts {
    /// The fast one against the worlds.
    fast: Pairs,
    /// As many worlds as a quote has, of another seed: what they throw themselves.
    again: Pairs,
    /// The chance that the fast one states over that which the worlds have for its slots.
    stated_over: Vec<f64>,
    /// Requests that only one of the two quotes.
    one_sided: f64,
    /// Seconds of each fast quote by the clock, the foresight played on for it included. (The system
    /// tells processor time in steps that are longer than one.)
    fast_s: Vec<f64>,
    /// Processor seconds of all of them, and of setting up the foresights.
    fast_cpu_s: f64,
    exact_s: f64,
}

/// What is quoted, and with which dice.
#[derive(Clone, Copy)]
pub(crate) struct Options {
    pub(crate) requests: u64,
    pub(crate) seed: u64,
    /// Worlds of the exact quotes.
    pub(crate) worlds: u64,
    /// Whether each request answered more than an hour apart is told.
    pub(crate) tell: bool,
}

/// Quotes the same requests by sums, by worlds, and by worlds of another seed.
pub(crate) fn run(options: Options) -> Result<(), String> {
    let mut setting = super::setting::demo(30.0)?;
    super::setting::larger(&mut setting, PRINTERS);
    let ground = Ground::new(&setting.region);
    let mut counts = Counts::default();
    for plan in 0..options.requests.div_ceil(ON_ONE_PLAN) {
        let mut dice = Dice::stream(options.seed, plan);
        let day = 8 + dice.between(0, 25);
        let now = setting.midnight(day) + Minutes(60 * (8 + dice.between(0, 10)));
        on_one_plan(&setting, &ground, (now, options), &mut dice, &mut counts);
    }
    report(&counts, options)
}

fn on_one_plan(
    setting: &Setting,
    ground: &Ground<'_>,
    (now, options): (Minute, Options),
    dice: &mut Dice,
    counts: &mut Counts,
) {
    let (plates, plan) = filled(setting, ground, now, dice);
    let (mut foresight, s) = crate::cpu_timed(|| Foresight::new(ground, &plates, &plan, now, 7));
    counts.fast_cpu_s += s;
    for _ in 0..ON_ONE_PLAN {
        let mut ask = drawn(setting, dice, now, 1_000_000);
        let ((fast, clock_s), s) = crate::cpu_timed(|| {
            crate::timed(|| quote_fast(ground, &plates, &plan, &ask, &mut foresight))
        });
        counts.fast_s.push(clock_s);
        counts.fast_cpu_s += s;
        ask.worlds = options.worlds;
        let start = crate::quote::processor_time_s();
        let exact = quote(ground, &plates, &plan, &ask);
        counts.exact_s += crate::quote::processor_time_s() - start;
        ask.seed ^= OTHER_SEED;
        ask.worlds = WORLDS;
        let again = quote(ground, &plates, &plan, &ask);
        let (fast, exact) = match (fast, exact) {
            (Ok(fast), Ok(exact)) => (fast, exact),
            (Err(_), Err(_)) => continue,
            (Ok(_), Err(_)) | (Err(_), Ok(_)) => {
                counts.one_sided += 1.0;
                continue;
            }
        };
        counts.fast.add(&fast, &exact);
        let really = in_worlds((ground, &plates, &plan), &ask, &fast);
        counts.stated_over.push(fast.probability - really);
        if let Ok(again) = again {
            counts.again.add(&again, &exact);
        }
        if options.tell && (fast.arrival - exact.arrival).0.abs() > 60 {
            told(&ask, &fast, &exact);
        }
    }
}

/// The chance of a quote's own slots by the minute that it pledges, by many worlds.
fn in_worlds(
    (ground, plates, plan): (&Ground<'_>, &[Plate], &Plan),
    ask: &Ask,
    quote: &Quote,
) -> f64 {
    let own = ask.ways[quote.way].plates.iter();
    let slots = quote.assignments.iter();
    let asked = Outlook {
        plates: own
            .zip(slots)
            .map(|(plate, slot)| (plate, Standing::Planned(Some(*slot))))
            .collect(),
        now: ask.now,
        seed: ask.seed,
        worlds: JUDGING,
    };
    forecast(ground, plates, plan, &asked).chance_by(quote.arrival)
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn root_mean_square(values: &[f64]) -> f64 {
    let squares: Vec<f64> = values.iter().map(|value| value * value).collect();
    mean(&squares).sqrt()
}

impl Pairs {
    fn add(&mut self, first: &Quote, second: &Quote) {
        self.quoted += 1.0;
        let later = (first.arrival - second.arrival).0;
        self.same += f64::from(u8::from(later == 0));
        self.within_an_hour += f64::from(u8::from(later.abs() <= 60));
        self.later_min += int_f64(later);
        if first.assignments == second.assignments {
            let first = first.chance_by(second.arrival);
            self.apart.push(first - second.probability);
        }
    }

    fn told(&self) -> String {
        let of = |sum: f64| sum / self.quoted;
        let compared = self.apart.len() as f64;
        format!(
            "same hand-over in {:.0} %, within an hour in {:.0} %, {:+.0} min on average; of {compared} with the \
             same slots the chance is {:+.1} points apart on average, {:.1} root mean square",
            100.0 * of(self.same),
            100.0 * of(self.within_an_hour),
            of(self.later_min),
            100.0 * mean(&self.apart),
            100.0 * root_mean_square(&self.apart),
        )
    }
}

fn told(ask: &Ask, fast: &Quote, exact: &Quote) {
    let hours = |at: Minute| int_f64((at - ask.now).0) / 60.0;
    let told = |quote: &Quote| {
        let slots = quote.assignments.iter();
        let slots = slots.map(|a| {
            let waits = hours(a.start);
            format!("{}@{waits:.1}h..{:.1}h", a.printer.0, hours(a.cleared))
        });
        format!(
            "{:.1} h (plan {:.1}) {:.3} way {} [{}]",
            hours(quote.arrival),
            hours(quote.nominal),
            quote.probability,
            quote.way,
            slots.collect::<Vec<_>>().join(" ")
        )
    };
    println!(
        "{:.2} {}: exact {}; fast {}; the fast one's by the exact one's {:.3}, the other way {:.3}",
        ask.level,
        ask.ways[0].plates[0].label,
        told(exact),
        told(fast),
        fast.chance_by(exact.arrival),
        exact.chance_by(fast.arrival),
    );
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

fn report(counts: &Counts, options: Options) -> Result<(), String> {
    let (asked, worlds) = (options.requests, options.worlds);
    println!(
        "{} requests on {PRINTERS} printers with {OPEN_PLATES} open plates, against {worlds} worlds:",
        counts.fast.quoted
    );
    println!("the fast one: {}", counts.fast.told());
    println!("{WORLDS} worlds of another seed: {}", counts.again.told());
    let mut each = counts.fast_s.clone();
    each.sort_by(f64::total_cmp);
    let ms = |share: f64| 1e3 * crate::quote::percentile(&each, share);
    let mean_ms = |sum_s: f64| 1e3 * sum_s / counts.fast_s.len() as f64;
    println!(
        "processor time a request: fast {:.2} ms (its share of the foresight included), exact {:.1} ms, 1 : {:.0}; \
         the fast one by the clock p50 {:.2} ms, p90 {:.2}, p99 {:.2}",
        mean_ms(counts.fast_cpu_s),
        mean_ms(counts.exact_s),
        counts.exact_s / counts.fast_cpu_s,
        ms(0.5),
        ms(0.9),
        ms(0.99),
    );
    let (over, rms) = (
        mean(&counts.stated_over),
        root_mean_square(&counts.stated_over),
    );
    let further = |d: &&f64| d.abs() > 2.0 * POINTS;
    println!(
        "what the fast one states, against {JUDGING} worlds with its slots: {:+.1} points on average, {:.1} root mean \
         square, {:.1} % further off than {:.0} points; {} requests were quoted by one of the two only",
        100.0 * over,
        100.0 * rms,
        100.0 * counts.stated_over.iter().filter(further).count() as f64 / counts.fast.quoted,
        200.0 * POINTS,
        counts.one_sided,
    );
    held(counts, asked, (over, rms))
}

/// Whether what is stated in `docs/calibration.md` holds.
fn held(counts: &Counts, asked: u64, (over, rms): (f64, f64)) -> Result<(), String> {
    let share = |pairs: &Pairs| pairs.within_an_hour / pairs.quoted;
    let (within, of_two_exact) = (share(&counts.fast), share(&counts.again));
    // None holds when nothing was compared: no number is within a bound then.
    let holds = [
        (
            counts.fast.quoted >= 0.9 * asked as f64,
            "too few requests were quoted by both",
        ),
        (
            counts.one_sided <= ONE_SIDED * asked as f64,
            "too many requests were quoted by one only",
        ),
        (
            within >= WITHIN_AN_HOUR,
            "the same hand-over within an hour is too seldom",
        ),
        (
            over.abs() <= POINTS_ON_AVERAGE,
            "the chance that is stated is off on average",
        ),
        (
            within >= of_two_exact - MORE_SELDOM,
            "the same hand-over within an hour is much more seldom than between two exact quotes",
        ),
        (rms <= POINTS, "the chance that is stated is too far off"),
        (
            root_mean_square(&counts.fast.apart) <= POINTS,
            "the chance of the same slots is too far off",
        ),
    ];
    let broken = holds.iter().filter(|(holds, _)| !holds);
    let broken: Vec<&str> = broken.map(|(_, what)| *what).collect();
    if broken.is_empty() {
        return Ok(());
    }
    Err(format!("fast against exact: {}", broken.join("; ")))
}
