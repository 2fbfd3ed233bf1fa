//! Ways up in words: what each is like, and what it would change.

use partpledge_units::cast::round_i64;
use partpledge_words::{Value, decimal, say, short};

use crate::choice::Choice;
use crate::score::STEADY_DEG;

/// Less support than this is none, cm³; nor is a smaller difference worth a word.
const SUPPORT_CM3: f64 = 0.1;
/// Smaller differences in height, mm, and rough surface, cm², are not worth a word.
const HEIGHT_MM: f64 = 0.5;
const ROUGH_CM2: f64 = 1.0;
/// Less surface that hangs over, mm², or a smaller share of it.
const HANGS_MM2: f64 = 1.0;
const HANGS_SHARE: f64 = 0.05;
/// Standing on more than this is standing on enough, mm². Common practice, no source.
const SMALL_FOOT_MM2: f64 = 100.0;
/// A smaller change in how a load pulls, degrees.
const PULL_DEG: f64 = 5.0;
/// Nor is a smaller share of the time.
const TIME_SHARE: f64 = 0.02;
/// From this on hours are told, minutes.
const HOURS_FROM_MIN: i64 = 90;

/// `12 minutes` or `2 hours 10 minutes`.
fn duration(seconds: f64) -> String {
    let minutes = round_i64(seconds / 60.0).unwrap_or(0);
    let (hours, rest) = (minutes / 60, minutes % 60);
    match (minutes < HOURS_FROM_MIN, rest) {
        (true, _) => say!("numbers-minutes", n = minutes),
        (false, 0) => say!("numbers-hours", n = hours),
        (false, rest) => {
            let hours = say!("numbers-hours", n = hours);
            format!("{hours} {}", say!("numbers-minutes", n = rest))
        }
    }
}

/// What a way up is like, each a short phrase with its number.
///
/// Only tipping over at under 15 degrees is told as a worry. Time is a quick guess and says "about".
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_orientation::{choices, measures_in_words};
/// let wedge = Mesh {
///     vertices: vec![[0.0; 3], [9.0, 0.0, 0.0], [0.0, 9.0, 0.0], [0.0, 0.0, 9.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let best = &choices(&wedge, &[])[0];
/// assert!(measures_in_words(best).contains(&"no support".to_owned()));
/// ```
#[must_use]
pub fn measures_in_words(way: &Choice) -> Vec<String> {
    let mut list = vec![say!("judging-about", time = duration(way.time_s))];
    list.push(match way.support_mm3 / 1000.0 {
        x if x < SUPPORT_CM3 && way.overhang_area_mm2 < 25.0 => say!("judging-no-support"),
        x => say!(
            "judging-support",
            support = decimal(x, 1),
            overhang = decimal(way.overhang_area_mm2 / 100.0, 1)
        ),
    });
    list.push(say!("judging-high", mm = decimal(way.height_mm, 1)));
    list.push(match way.tip_over_angle_deg {
        x if x < 0.05 => say!("judging-does-not-stand"),
        x if x < STEADY_DEG => say!("judging-unsteady", degrees = decimal(x, 0)),
        _ => say!(
            "judging-firm",
            area = decimal(way.contact_area_mm2 / 100.0, 1)
        ),
    });
    let rough = rough_cm2(way);
    list.push(if rough < ROUGH_CM2 {
        say!("judging-smooth")
    } else {
        say!("judging-rough", area = decimal(rough, 0))
    });
    if way.bed_fit.asked > 0 {
        list.push(fit_in_words(way));
    }
    if let Some(load) = way.load {
        list.push(say!("judging-load", degrees = decimal(load.across_deg, 0)));
    }
    list
}

/// `fits 11 of 36 printers; turned 45 degrees it fits 20`.
fn fit_in_words(way: &Choice) -> String {
    let fit = way.bed_fit;
    let mut says = vec![say!("judging-fits", fits = fit.as_it_lies, n = fit.asked)];
    if fit.turned > fit.as_it_lies {
        says.push(say!(
            "judging-fits-turned",
            degrees = decimal(fit.turn_deg, 0),
            fits = fit.turned
        ));
    }
    if fit.any_turn > fit.turned.max(fit.as_it_lies) {
        says.push(say!("judging-fits-any-turn", fits = fit.any_turn));
    }
    says.join("; ")
}

fn rough_cm2(way: &Choice) -> f64 {
    (way.stepped_area_mm2 + way.scarred_area_mm2) / 100.0
}

/// What this way would change against another, each a short phrase with its number: `about 12
/// minutes less`, `3.0 mm lower`; what is better first, then what is worse. Empty when nothing changes
/// by more than a hair.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_orientation::{choices, differences};
/// let wedge = Mesh {
///     vertices: vec![[0.0; 3], [9.0, 0.0, 0.0], [0.0, 9.0, 0.0], [0.0, 0.0, 9.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let best = &choices(&wedge, &[])[0];
/// assert!(differences(best, best).is_empty());
/// ```
#[must_use]
pub fn differences(way: &Choice, than: &Choice) -> Vec<String> {
    let changes = changes(way, than);
    let (better, worse): (Vec<Change>, Vec<Change>) = changes.into_iter().partition(|c| c.better);
    let mut list: Vec<String> = better.into_iter().map(|c| c.says).collect();
    let praised = !list.is_empty();
    for (i, change) in worse.into_iter().enumerate() {
        list.push(if praised && i == 0 {
            say!("judging-but", what = change.says)
        } else {
            change.says
        });
    }
    list
}

/// Whether this way is better than another in anything worth a word.
pub(crate) fn speaks_for(way: &Choice, than: &Choice) -> bool {
    changes(way, than).iter().any(|change| change.better)
}

/// What a way changes against another.
struct Change {
    better: bool,
    says: String,
}

fn better(says: String) -> Change {
    Change { better: true, says }
}

fn worse(says: String) -> Change {
    let better = false;
    Change { better, says }
}

fn changes(way: &Choice, than: &Choice) -> Vec<Change> {
    let mut list = Vec::new();
    let gap = way.time_s - than.time_s;
    if gap.abs() >= 60.0 && gap.abs() >= TIME_SHARE * than.time_s {
        let time = duration(gap.abs());
        list.push(if gap > 0.0 {
            worse(say!("judging-time-more", time = time))
        } else {
            better(say!("judging-time-less", time = time))
        });
    }
    list.extend(support(way, than).or_else(|| hanging(way, than)));
    let gap = way.height_mm - than.height_mm;
    if gap.abs() >= HEIGHT_MM {
        let mm = decimal(gap.abs(), 1);
        list.push(if gap > 0.0 {
            worse(say!("judging-higher", mm = mm))
        } else {
            better(say!("judging-lower", mm = mm))
        });
    }
    let steady = steadiness(way.tip_over_angle_deg, than.tip_over_angle_deg);
    list.extend(steady.or_else(|| foot(way.contact_area_mm2, than.contact_area_mm2)));
    let gap = rough_cm2(way) - rough_cm2(than);
    if gap.abs() >= ROUGH_CM2 {
        let area = decimal(gap.abs(), 0);
        list.push(if gap > 0.0 {
            worse(say!("judging-rough-more", area = area))
        } else {
            better(say!("judging-rough-less", area = area))
        });
    }
    let (here, there) = (way.fits_beds, than.fits_beds);
    match (here.saturating_sub(there), there.saturating_sub(here)) {
        (0, 0) => {}
        (0, fewer) => list.push(worse(say!("judging-fits-fewer", n = fewer))),
        (more, _) => list.push(better(say!("judging-fits-more", n = more))),
    }
    list.extend(pulled(way, than));
    list
}

fn support(way: &Choice, than: &Choice) -> Option<Change> {
    let (here, there) = (way.support_mm3 / 1000.0, than.support_mm3 / 1000.0);
    if (here - there).abs() < SUPPORT_CM3 {
        return None;
    }
    Some(match here - there {
        x if x > 0.0 => worse(say!("judging-support-more", volume = decimal(x, 1))),
        _ if here < SUPPORT_CM3 => {
            better(say!("judging-no-support-now", there = decimal(there, 1)))
        }
        x => better(say!("judging-support-less", volume = decimal(-x, 1))),
    })
}

/// Told where support is too little for a word.
fn hanging(way: &Choice, than: &Choice) -> Option<Change> {
    let (here, there) = (way.overhang_area_mm2, than.overhang_area_mm2);
    let gap = here - there;
    if gap.abs() < HANGS_MM2.max(HANGS_SHARE * here.max(there)) {
        return None;
    }
    let area = few(gap.abs());
    Some(if gap > 0.0 {
        worse(say!("judging-hangs-more", area = area))
    } else {
        better(say!("judging-hangs-less", area = area))
    })
}

/// What it stands on, where one of the two stands on little.
fn foot(here: f64, there: f64) -> Option<Change> {
    let (less, more) = (here.min(there), here.max(there));
    if less >= SMALL_FOOT_MM2 || more < HANGS_MM2 || less > more / 2.0 {
        return None;
    }
    let says = say!("judging-stands-on", here = few(here), there = few(there));
    Some(if here > there {
        better(says)
    } else {
        worse(says)
    })
}

/// How much straighter across its layers a load pulls.
fn pulled(way: &Choice, than: &Choice) -> Option<Change> {
    let (here, there) = (way.load?.across_deg, than.load?.across_deg);
    if (here - there).abs() < PULL_DEG {
        return None;
    }
    let says = say!(
        "judging-load-against",
        here = decimal(here, 0),
        there = decimal(there, 0)
    );
    Some(if here < there {
        better(says)
    } else {
        worse(says)
    })
}

/// A decimal below ten, none above.
fn few(value: f64) -> Value {
    short(value, u8::from(value < 10.0))
}

/// Only told when one of the two is unsteady.
fn steadiness(here: f64, there: f64) -> Option<Change> {
    if (here - there).abs() < 1.0 || here.min(there) >= STEADY_DEG {
        return None;
    }
    let says = say!(
        "judging-tips-over",
        here = decimal(here, 0),
        there = decimal(there, 0)
    );
    Some(if here > there {
        better(says)
    } else {
        worse(says)
    })
}

/// What a way changes against as sent; for as sent itself, whether it stays.
pub(crate) fn reasons(way: &Choice, as_sent: &Choice, recommended: bool) -> Vec<String> {
    if way.name == as_sent.name {
        return vec![if recommended {
            say!("judging-no-other-better")
        } else {
            say!("judging-as-it-came")
        }];
    }
    let list = differences(way, as_sent);
    if list.is_empty() {
        return vec![say!("judging-same-as-it-came")];
    }
    list
}
