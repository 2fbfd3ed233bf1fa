//! Ways up in words: what each is like, and what it would change.

use partpledge_units::cast::round_i64;

use crate::choice::Choice;
use crate::score::STEADY_DEG;

/// Less support than this is none, cm³; nor is a smaller difference worth a word.
const SUPPORT_CM3: f64 = 0.1;
/// Smaller differences in height, mm, and rough surface, cm², are not worth a word.
const HEIGHT_MM: f64 = 0.5;
const ROUGH_CM2: f64 = 1.0;
/// Nor is a smaller share of the time.
const TIME_SHARE: f64 = 0.02;
/// From this on hours are told, minutes.
const HOURS_FROM_MIN: i64 = 90;

/// `12 minutes` or `2 hours 10 minutes`.
fn duration(seconds: f64) -> String {
    let minutes = round_i64(seconds / 60.0).unwrap_or(0);
    let many = |n: i64, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    match (minutes < HOURS_FROM_MIN, minutes % 60) {
        (true, _) => many(minutes, "minute"),
        (false, 0) => many(minutes / 60, "hour"),
        (false, rest) => format!("{} {}", many(minutes / 60, "hour"), many(rest, "minute")),
    }
}

fn printers(n: usize) -> String {
    format!("{n} {}", plural(n))
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
    let mut list = vec![format!("about {}", duration(way.time_s))];
    list.push(match way.support_mm3 / 1000.0 {
        x if x < SUPPORT_CM3 && way.overhang_area_mm2 < 25.0 => "no support".to_owned(),
        x => format!(
            "{x:.1} cm³ of support under {:.1} cm² of overhang",
            way.overhang_area_mm2 / 100.0
        ),
    });
    list.push(format!("{:.1} mm high", way.height_mm));
    list.push(match way.tip_over_angle_deg {
        x if x < 0.05 => "does not stand by itself".to_owned(),
        x if x < STEADY_DEG => format!("stands unsteadily, tips over at {x:.0} degrees"),
        _ => format!("stands firmly on {:.1} cm²", way.contact_area_mm2 / 100.0),
    });
    let rough = rough_cm2(way);
    list.push(if rough < ROUGH_CM2 {
        "looks smooth".to_owned()
    } else {
        format!("{rough:.0} cm² of stepped or scarred surface")
    });
    if way.bed_fit.asked > 0 {
        list.push(fit_in_words(way));
    }
    if let Some(load) = way.load {
        list.push(format!(
            "the load pulls at {:.0} degrees to its layers (untested)",
            load.across_deg
        ));
    }
    list
}

/// `fits 11 of 36 printers; turned 45 degrees it fits 20`.
fn fit_in_words(way: &Choice) -> String {
    let fit = way.bed_fit;
    let mut says = format!("fits {} of {}", fit.as_it_lies, printers(fit.asked));
    if fit.turned > fit.as_it_lies {
        says.push_str(&format!(
            "; turned {:.0} degrees it fits {}",
            fit.turn_deg, fit.turned
        ));
    }
    if fit.any_turn > fit.turned.max(fit.as_it_lies) {
        says.push_str(&format!("; each with its own turn {}", fit.any_turn));
    }
    says
}

fn rough_cm2(way: &Choice) -> f64 {
    (way.stepped_area_mm2 + way.scarred_area_mm2) / 100.0
}

/// What this way would change against another, each a short phrase with its number: `about 12
/// minutes less`, `3.0 mm lower`. Empty when nothing changes by more than a hair.
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
    let mut list = Vec::new();
    let gap = way.time_s - than.time_s;
    if gap.abs() >= 60.0 && gap.abs() >= TIME_SHARE * than.time_s {
        let more = if gap > 0.0 { "more" } else { "less" };
        list.push(format!("about {} {more}", duration(gap.abs())));
    }
    let (here, there) = (way.support_mm3 / 1000.0, than.support_mm3 / 1000.0);
    if (here - there).abs() >= SUPPORT_CM3 {
        list.push(match here - there {
            _ if here < SUPPORT_CM3 => format!("no support instead of {there:.1} cm³"),
            x if x > 0.0 => format!("{x:.1} cm³ more support"),
            x => format!("{:.1} cm³ less support", -x),
        });
    }
    let gap = way.height_mm - than.height_mm;
    if gap.abs() >= HEIGHT_MM {
        let side = if gap > 0.0 { "higher" } else { "lower" };
        list.push(format!("{:.1} mm {side}", gap.abs()));
    }
    list.extend(steadiness(way.tip_over_angle_deg, than.tip_over_angle_deg));
    let gap = rough_cm2(way) - rough_cm2(than);
    if gap.abs() >= ROUGH_CM2 {
        let more = if gap > 0.0 { "more" } else { "less" };
        list.push(format!(
            "{:.0} cm² {more} stepped or scarred surface",
            gap.abs()
        ));
    }
    let (here, there) = (way.fits_beds, than.fits_beds);
    match (here.saturating_sub(there), there.saturating_sub(here)) {
        (0, 0) => {}
        (0, fewer) => list.push(format!("fits {fewer} fewer {}", plural(fewer))),
        (more, _) => list.push(format!("fits {more} more {}", plural(more))),
    }
    list
}

fn plural(n: usize) -> &'static str {
    if n == 1 { "printer" } else { "printers" }
}

/// Only told when one of the two is unsteady.
fn steadiness(here: f64, there: f64) -> Option<String> {
    if (here - there).abs() < 1.0 || here.min(there) >= STEADY_DEG {
        return None;
    }
    Some(format!(
        "tips over at {here:.0} degrees instead of {there:.0}"
    ))
}

/// What a way changes against as sent; for as sent itself, whether it stays.
pub(crate) fn reasons(way: &Choice, as_sent: &Choice, recommended: bool) -> Vec<String> {
    if way.name == as_sent.name {
        let says = if recommended {
            "no other way is clearly better"
        } else {
            "as it came"
        };
        return vec![says.to_owned()];
    }
    let list = differences(way, as_sent);
    if list.is_empty() {
        return vec!["much the same as it came".to_owned()];
    }
    list
}
