//! `nest FILE`: a set of parts on a strip or on plates, as JSON for `dev/python/bench_nest.py` to
//! judge.

mod sets;

pub(crate) use sets::footprints;

use partpledge_plates::{Bed, Effort, Placement, Room, pack_within, strip};
use serde_json::{Value, json};
use std::sync::atomic::{AtomicU64, Ordering};

use crate::region::Seconds;
use sets::{Set, bare_mm2, read};

/// `nest FILE [--seconds S] [--seed N] [--bed WxD] [--gap MM] [--edge MM]`: a strip as deep as the file says, or
/// plates of a bed; sets of bins bring their own. The gap to the edge is that between parts unless said.
pub(crate) fn run(file: &str, options: &[&str]) -> Result<(), String> {
    let option = |name: &str, default: &'static str| {
        let at = options.iter().position(|word| *word == name);
        at.and_then(|at| options.get(at + 1).copied())
            .unwrap_or(default)
            .to_owned()
    };
    let number = |name: &str, default| {
        let word = option(name, default);
        word.parse::<f64>()
            .map_err(|_| format!("{name} {word} is not a number"))
    };
    let (seconds, gap_mm) = (number("--seconds", "10")?, number("--gap", "0")?);
    let edge_mm = number("--edge", "nan").map(|edge| if edge.is_nan() { gap_mm } else { edge })?;
    let seed = partpledge_units::cast::round_usize(number("--seed", "1")?).unwrap_or(1) as u64;
    let mut set = read(file)?;
    let bed = option("--bed", "");
    if let Some((width, depth)) = bed.split_once('x') {
        let side = |word: &str| word.parse().map_err(|_| format!("{bed} is not a bed"));
        (set.width_mm, set.depth_mm) = (Some(side(width)?), side(depth)?);
    }
    let found = match set.width_mm {
        None => on_strip(&set, gap_mm, seconds, seed)?,
        Some(width) => on_plates(
            &set,
            [width, set.depth_mm],
            [gap_mm, edge_mm],
            (seconds, seed),
        )?,
    };
    println!("{found}");
    Ok(())
}

fn on_strip(set: &Set, gap_mm: f64, seconds: f64, seed: u64) -> Result<Value, String> {
    let clock = Seconds::of(seconds);
    let most = AtomicU64::new(0);
    let used = |trials: u64| {
        most.fetch_max(trials, Ordering::Relaxed);
        clock.share()
    };
    let found = strip(&set.items, (set.depth_mm, gap_mm), seed, &used);
    let found = found
        .map_err(|e| e.to_string())?
        .ok_or("the parts were not apart in time")?;
    Ok(json!({
        "density_pct": 100.0 * bare_mm2(&set.items) / (found.length_mm * set.depth_mm),
        "length": found.length_mm / set.scale, "scale": set.scale, "trials": most.into_inner(),
        "seconds": clock.share() * seconds,
        "plates": [{ "bed_mm": [found.length_mm, set.depth_mm], "placements": told(&found.placements) }],
    }))
}

fn on_plates(
    set: &Set,
    size_mm: [f64; 2],
    [clearance_mm, edge_mm]: [f64; 2],
    (seconds, seed): (f64, u64),
) -> Result<Value, String> {
    let clock = Seconds::of(seconds);
    let most = AtomicU64::new(0);
    let used = |trials: u64| {
        most.fetch_max(trials, Ordering::Relaxed);
        clock.share()
    };
    let room = Room {
        bed: Bed {
            size_mm,
            clearance_mm,
            edge_mm,
        },
        plates: None,
        tall: None,
    };
    let effort = Effort {
        spots: 500,
        seed,
        ..Effort::strong()
    };
    let packed = pack_within(&set.items, &[room], effort, &used).map_err(|e| e.to_string())?;
    let plates: Vec<Value> = packed
        .plates
        .iter()
        .map(|plate| json!({ "bed_mm": size_mm, "placements": told(&plate.layout.placements) }))
        .collect();
    Ok(json!({
        "bins": plates.len(), "known_bins": set.known_bins, "scale": set.scale, "trials": most.into_inner(),
        "seconds": clock.share() * seconds,
        "area_share": bare_mm2(&set.items) / (size_mm[0] * size_mm[1]), "plates": plates,
    }))
}

fn told(placements: &[Placement]) -> Vec<Value> {
    placements
        .iter()
        .map(|p| json!([p.item, p.copy, p.x_mm, p.y_mm, p.rotation_deg]))
        .collect()
}
