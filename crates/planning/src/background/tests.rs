//! What others take is found in step with time; here each find is compared with a search from
//! nothing (in [`Background::take`], in unit tests only).

use partpledge_planning_model::{
    Departure, Footprint, Leg, LegKind, Place, PlaceIx, Printer, Region, Site, SiteIx, Window,
    Windows,
};

use super::*;
use crate::slots::best_slot;

const DAY: i64 = 1_440;
/// Calendars go so far.
const DAYS: i64 = 20;

fn window(from: i64, until: i64) -> Window {
    let (from, until) = (Minute(from), Minute(until));
    Window { from, until }
}

fn site(dice: &mut Dice) -> Site {
    let (opens, hours) = (dice.between(400, 700), dice.between(100, 700));
    let days = (0..DAYS).filter(|day| day % 7 < 5 || hours < 300);
    let staffed = days.map(|day| window(day * DAY + opens, day * DAY + opens + hours));
    Site {
        name: "Site".into(),
        staffed: Windows::joined(staffed.collect()),
        boxing: Minutes(dice.between(0, 40)),
        ..Site::default()
    }
}

fn printer(site: usize, dice: &mut Dice) -> Printer {
    let out = dice.between(0, DAYS * DAY);
    Printer {
        name: "Printer".into(),
        site: SiteIx(site),
        bed_mm: [200.0; 3],
        materials: vec!["PLA".into()],
        unattended: dice.happens(0.5),
        out_of_use: Windows::joined(vec![window(out, out + dice.between(1, 2_000))]),
        start_failure: 0.1,
        failures_per_hour: 0.05,
        time_sigma: 0.2,
        ..Printer::default()
    }
}

fn region(dice: &mut Dice) -> Region {
    let sites: Vec<Site> = (0..3).map(|_| site(dice)).collect();
    let printers = (0..6).map(|i| printer(i % 3, dice)).collect();
    let leg = |from: usize, to: usize, hour: i64, later: i64| Leg {
        from: SiteIx(from),
        to: PlaceIx(to),
        kind: LegKind::Courier,
        departures: (0..DAYS - 2)
            .map(|day| Departure {
                leaves: Minute(day * DAY + hour),
                arrives: Minute(day * DAY + hour + later),
            })
            .collect(),
        missed: 0.0,
    };
    let mut legs = vec![leg(0, 0, 930, 1_020), leg(1, 0, 900, 100)];
    legs.extend((0..3).map(|from| leg(from, from % 2, dice.between(500, 1_200), 1_500)));
    Region {
        sites,
        printers,
        places: ["here", "there"]
            .map(|name| Place { name: name.into() })
            .into(),
        legs,
        relays: Vec::new(),
        horizon: Some(Minute(DAYS * DAY)),
    }
}

/// Asked for one after the other in the three days before `now`.
fn plates(now: Minute, dice: &mut Dice) -> Vec<Plate> {
    let mut asked: Vec<i64> = (0..60).map(|_| dice.between(1, 3 * DAY)).collect();
    asked.sort_unstable_by(|a, b| b.cmp(a));
    let plate = |(seq, ago): (u64, i64)| Plate {
        seq: PlateSeq(seq),
        label: "part".into(),
        material: "PLA".into(),
        makings: (0..6)
            .map(|p| {
                let minutes = dice.between(20, 600);
                let (likely, kept) = (Minutes(minutes), Minutes(minutes + minutes / 8));
                let size = if dice.happens(0.1) { 300.0 } else { 100.0 };
                Making::new(PrinterIx(p), Footprint([size, 100.0, 30.0]), likely, kept)
            })
            .collect(),
        release: now - Minutes(ago),
        to: PlaceIx(dice.below(2)),
        copies: 1,
        promise: None,
        grams: 0,
        wish: partpledge_planning_model::Wish::default(),
        riders: Vec::new(),
    };
    (1..).zip(asked).map(plate).collect()
}

#[test]
fn what_others_take_in_step_with_time_is_what_a_search_from_nothing_gives() {
    let mut dice = Dice::seeded(9);
    let mut taken = 0;
    for seed in 0..20 {
        let region = region(&mut dice);
        let (ground, now) = (Ground::new(&region), Minute(3 * DAY + dice.between(0, DAY)));
        let plates = plates(now, &mut dice);
        let mut plan = Plan::default();
        for plate in &plates {
            let occupied = Occupied::by(&ground, &plates, &plan);
            if let Some(slot) = best_slot(&ground, &occupied, plate, plate.release) {
                plan.put(slot);
            }
        }
        let occupied = Occupied::by(&ground, &plates, &plan);
        let crowd = Crowd::of(&ground, plates.iter(), &plan, now);
        let scene = Scene {
            ground: &ground,
            occupied: &occupied,
            crowd: &crowd,
            now,
            seed,
        };
        for world in 0..5 {
            let mut background = Background::new(scene, world);
            background.play(scene, now + Minutes(5 * DAY));
            taken += background.next_number - NUMBERS_TO_COME;
        }
    }
    assert!(taken > 3_000, "{taken}");
}
