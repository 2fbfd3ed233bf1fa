//! What must not make a pledge later: another printer, longer hours, an earlier release, less work
//! ahead, a lower chance asked for.
//!
//! The last is exact: every candidate's date falls with the chance asked for, and the best of them is
//! taken. The others change what happens in a world: a reprint may take another slot than before,
//! others make room or get in the way. Dates are order statistics of so many worlds, so the honest
//! bound is one of chance: asked for [`NOISE`] less, the same question is never answered later. Two
//! standard errors of a share of nine in ten among 200 worlds are 4.2 points (derived here:
//! 2 sqrt(0.9 x 0.1 / 200)). At the same chance one in 2,400 scenes had a later date (measured: 600 of
//! each property).

use partpledge_planning::{Ask, Ground, NoQuote, Occupied, Quote, Way, best_slot, quote};
use partpledge_planning_model::{
    Departure, Footprint, Leg, LegKind, Making, Place, PlaceIx, Plan, Plate, PlateSeq, Printer,
    PrinterIx, Region, Site, SiteIx, Window, Windows,
};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

const DAY: i64 = 1_440;
const DAYS: i64 = 28;
const NOW: Minute = Minute(7 * DAY + 600);
const WORLDS: u64 = 200;
const LEVEL: f64 = 0.9;
const NOISE: f64 = 0.042;
/// Scenes played for each property.
const SCENES: u64 = 120;

#[derive(Clone)]
struct Scene {
    region: Region,
    plates: Vec<Plate>,
    plan: Plan,
    ways: Vec<Way>,
    seed: u64,
}

fn staffed(opens: i64, closes: i64) -> Windows {
    let days = (0..DAYS).filter(|day| day % 7 < 5);
    let window = |day: i64| Window {
        from: Minute(day * DAY + opens),
        until: Minute(day * DAY + closes),
    };
    Windows::joined(days.map(window).collect())
}

fn printer(site: usize, dice: &mut Dice) -> Printer {
    Printer {
        name: "Printer".into(),
        site: SiteIx(site),
        bed_mm: [200.0; 3],
        materials: vec!["PLA".into()],
        unattended: dice.happens(0.5),
        out_of_use: Windows::default(),
        start_failure: 0.05,
        failures_per_hour: 0.015,
        time_sigma: 0.07,
        ..Printer::default()
    }
}

fn leg(from: usize, to: usize, collects: i64, takes: i64) -> Leg {
    let days = (0..DAYS - 3).filter(|day| day % 7 < 5);
    let departures = days.map(|day| Departure {
        leaves: Minute(day * DAY + collects),
        arrives: Minute(day * DAY + collects + takes),
    });
    Leg {
        from: SiteIx(from),
        to: PlaceIx(to),
        kind: LegKind::Courier,
        departures: departures.collect(),
        missed: 0.0,
    }
}

fn makings(printers: usize, minutes: i64, dice: &mut Dice) -> Vec<Making> {
    let making = |p: usize| {
        let minutes = minutes * dice.between(85, 116) / 100 + 1;
        let kept = Minutes(minutes + minutes / 10);
        Making::new(
            PrinterIx(p),
            Footprint([90.0, 90.0, 40.0]),
            Minutes(minutes),
            kept,
        )
    };
    (0..printers).map(making).collect()
}

fn plate(seq: u64, release: Minute, makings: Vec<Making>, to: usize) -> Plate {
    Plate {
        seq: PlateSeq(seq),
        label: "part".into(),
        material: "PLA".into(),
        makings,
        release,
        to: PlaceIx(to),
        copies: 1,
        promise: None,
        grams: 0,
        wish: partpledge_planning_model::Wish::default(),
        riders: Vec::new(),
    }
}

impl Scene {
    /// Three hosts, six printers, what was asked for in the last four days, and a new question.
    fn thrown(seed: u64) -> Self {
        let mut dice = Dice::stream(33, seed);
        let sites = [(480, 1_020), (450, 1_200), (720, 960)].map(|(opens, closes)| Site {
            name: "Site".into(),
            staffed: staffed(opens, closes),
            boxing: Minutes(15),
            ..Site::default()
        });
        let legs = (0..3).flat_map(|site| (0..3).map(move |place| (site, place)));
        let legs = legs.map(|(site, place)| leg(site, place, 930, 1_020));
        let noon = (0..3).map(|place| leg(1, place, 690, 250));
        let region = Region {
            sites: sites.to_vec(),
            printers: (0..6).map(|i| printer(i % 3, &mut dice)).collect(),
            places: ["a", "b", "c"]
                .map(|name| Place { name: name.into() })
                .into(),
            legs: legs.chain(noon).collect(),
            relays: Vec::new(),
            horizon: Some(Minute(DAYS * DAY)),
        };
        let ground = Ground::new(&region);
        let mut asked: Vec<i64> = (0..dice.between(10, 50))
            .map(|_| dice.between(1, 4 * DAY))
            .collect();
        asked.sort_unstable_by(|a, b| b.cmp(a));
        let (mut plates, mut plan) = (Vec::new(), Plan::default());
        for (seq, ago) in (1..).zip(asked) {
            let minutes = dice.between(30, 420);
            let makings = makings(6, minutes, &mut dice);
            let next = plate(seq, NOW - Minutes(ago), makings, dice.below(3));
            let occupied = Occupied::by(&ground, &plates, &plan);
            if let Some(slot) = best_slot(&ground, &occupied, &next, next.release) {
                plan.put(slot);
            }
            plates.push(next);
        }
        plan.assignments.retain(|place| place.cleared > NOW);
        let minutes = dice.between(60, 500);
        let to = dice.below(3);
        let way = |many: u64| Way {
            label: String::new(),
            plates: (0..many)
                .map(|k| {
                    let makings = makings(6, minutes / many.cast_signed(), &mut dice);
                    plate(1_000 + k, NOW + Minutes(600), makings, to)
                })
                .collect(),
        };
        let ways = (1..=2).map(way).collect();
        Self {
            region,
            plates,
            plan,
            ways,
            seed,
        }
    }

    fn quoted(&self, level: f64) -> Result<Quote, NoQuote> {
        let ask = Ask {
            ways: self.ways.clone(),
            level,
            now: NOW,
            seed: self.seed,
            worlds: WORLDS,
        };
        quote(&Ground::new(&self.region), &self.plates, &self.plan, &ask)
    }
}

/// Asked for [`NOISE`] less, the better scene is never later; how often it is at the same chance.
fn never_later(what: &str, better: impl Fn(Scene, &mut Dice) -> Scene) {
    let (mut later, mut sooner) = (0, 0);
    for seed in 0..SCENES {
        let scene = Scene::thrown(seed);
        let before = scene.quoted(LEVEL).expect("the calendars are long");
        let after = better(scene, &mut Dice::stream(34, seed));
        let eased = after
            .quoted(LEVEL - NOISE)
            .expect("it could be quoted before");
        assert!(
            eased.arrival <= before.arrival,
            "{what}, scene {seed}: {:?}, then {:?}",
            before.arrival,
            eased.arrival
        );
        let same = after.quoted(LEVEL).expect("it could be quoted before");
        later += u64::from(same.arrival > before.arrival);
        sooner += u64::from(same.arrival < before.arrival);
    }
    println!("{what}: sooner in {sooner}, later in {later} of {SCENES} at the same chance");
    assert!(later * 50 <= SCENES, "{what}: later in {later} of {SCENES}");
    assert!(sooner > 0, "{what}: the property shows nothing");
}

#[test]
fn another_printer_never_makes_a_pledge_later() {
    never_later("another printer", |mut scene, dice| {
        let new = scene.region.printers.len();
        scene.region.printers.push(printer(dice.below(3), dice));
        let own = scene.ways.iter_mut().flat_map(|way| &mut way.plates);
        for plate in own.chain(&mut scene.plates) {
            let like = plate.makings[dice.below(new)];
            let printer = PrinterIx(new);
            plate.makings.push(Making { printer, ..like });
        }
        scene
    });
}

#[test]
fn longer_hours_never_make_a_pledge_later() {
    never_later("longer hours", |mut scene, dice| {
        let site = &mut scene.region.sites[dice.below(3)];
        site.staffed = staffed(420, 1_260);
        scene
    });
}

#[test]
fn an_earlier_release_never_makes_a_pledge_later() {
    never_later("an earlier release", |mut scene, _| {
        for way in &mut scene.ways {
            way.plates.iter_mut().for_each(|plate| plate.release = NOW);
        }
        scene
    });
}

#[test]
fn less_work_ahead_never_makes_a_pledge_later() {
    never_later("less work ahead", |mut scene, dice| {
        scene.plan.assignments.retain(|_| dice.happens(0.6));
        scene
    });
}

#[test]
fn a_higher_chance_never_has_an_earlier_date() {
    let mut steps = 0;
    for seed in 0..SCENES / 3 {
        let scene = Scene::thrown(seed);
        let mut last = Minute(i64::MIN);
        for level in [0.5, 0.7, 0.8, 0.9, 0.95, 0.98] {
            let Ok(quoted) = scene.quoted(level) else {
                break;
            };
            assert!(quoted.probability >= level);
            assert!(quoted.arrival >= last, "scene {seed} at {level}");
            steps += u32::from(quoted.arrival > last);
            last = quoted.arrival;
        }
    }
    assert!(steps > 2 * 20, "dates must differ: {steps}");
}

#[test]
fn any_number_of_threads_gives_the_same_quote() {
    for seed in 0..6 {
        let scene = Scene::thrown(seed);
        let with = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
            let pool = pool.expect("threads can be had");
            pool.install(|| scene.quoted(LEVEL))
        };
        let one = with(1);
        assert!(one.is_ok());
        assert_eq!(one, with(2));
        assert_eq!(one, with(5));
    }
}
