//! The ways up worth showing, best first.

use partpledge_mesh::{Mesh, facts};
use rayon::prelude::*;

use crate::candidates::{Candidate, candidates, outer};
use crate::footprint::BedFit;
use crate::front::{Ranked, on_front};
use crate::mass::mass;
use crate::measure::{Measures, Part, across_deg, doubles, measure};
use crate::rotation::up;
use crate::score::{STEADY_DEG, contact_share, score};
use crate::time::TimeRule;
use crate::vector::{Vector, dot, length, minus, unit};
use crate::words::{reasons, speaks_for};

/// Another way up must be better than as sent by this much of score to be recommended.
const WORTH_TURNING: f64 = 0.01;
/// A way that is neither a side nor a flat face must be better than those by this much.
const CLEARLY_BETTER: f64 = 0.05;
/// Ways shown at most.
const MOST_SHOWN: usize = 6;

/// One way up.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// How a person would say it, such as `as sent` or `lying on its back`.
    pub name: String,
    /// Row-major rotation from the part's own axes to the bed's, z up.
    pub rotation: [f64; 9],
    /// A quick guess of the printing time in s, to compare ways with; see [`TimeRule`].
    pub time_s: f64,
    /// Area that hangs over more than 45 degrees from the vertical, in mm².
    pub overhang_area_mm2: f64,
    /// Columns of support from there down to the bed, or to the part itself, in mm³.
    pub support_mm3: f64,
    /// Height on the bed in mm.
    pub height_mm: f64,
    /// Area that lies on the bed, in mm².
    pub contact_area_mm2: f64,
    /// How far it can lean before it falls over, in degrees.
    pub tip_over_angle_deg: f64,
    /// Area of upper slopes of 1 to 30 degrees, on which layers show as steps, in mm².
    pub stepped_area_mm2: f64,
    /// Area that support touches, above and below, in mm².
    pub scarred_area_mm2: f64,
    /// How many of the beds take it this way up, each with the turn that suits it.
    pub fits_beds: usize,
    /// How many take it as it lies, and turned about the vertical.
    pub bed_fit: BedFit,
    /// How it bears the load that was asked about.
    pub load: Option<LoadCheck>,
    /// Lower is better; no unit.
    pub score: f64,
    /// Whether no other way beats it in everything.
    pub on_front: bool,
    /// Why to choose it or not: what it changes against as sent, each a short phrase with its
    /// number, what is better first.
    pub reasons: Vec<String>,
}

/// How a way up bears a load. Geometry only: no part has been pulled to see whether it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadCheck {
    /// Angle between the load and the layers, degrees: 0 along them, 90 straight across, where
    /// layers hold least.
    pub across_deg: f64,
    /// Smallest section of a layer between a tenth and nine tenths of the height, mm²: what holds
    /// a load straight across. `None` for an open mesh.
    pub least_section_mm2: Option<f64>,
}

/// What is asked about a part.
#[derive(Clone, Copy, Debug, Default)]
pub struct Question<'a> {
    /// Usable x, y, z of each printer in mm; empty when size does not matter.
    pub beds: &'a [[f64; 3]],
    /// Which way the part is pulled in use, in its own axes; its length does not matter.
    pub load: Option<[f64; 3]>,
    /// How time is guessed.
    pub time: TimeRule,
}

/// Measures the ways up and orders them by score; the first is recommended, and `as sent` is
/// always among them. As [`choices_for`] without a load.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_orientation::choices;
/// let wedge = Mesh {
///     vertices: vec![[0.0, 0.0, 9.0], [9.0, 0.0, 9.0], [0.0, 9.0, 9.0], [0.0; 3]],
///     triangles: vec![[0, 1, 2], [0, 3, 1], [0, 2, 3], [1, 3, 2]],
/// };
/// let best = &choices(&wedge, &[[200.0, 200.0, 180.0]])[0];
/// assert!(best.overhang_area_mm2 < 1e-9 && best.fits_beds == 1);
/// ```
#[must_use]
pub fn choices(mesh: &Mesh, beds: &[[f64; 3]]) -> Vec<Choice> {
    choices_for(
        mesh,
        &Question {
            beds,
            ..Question::default()
        },
    )
}

/// Measures the ways up and orders them by score; the first is recommended, and `as sent` is
/// always among them.
///
/// Tried are: as sent; the five other sides; the up to eight largest flat faces that the part can
/// rest on; the up to eight widest faces of its convex hull that it stands on; its own axes (of
/// the volume, or of the surface when open), both ways up; and the four of 200 directions spread
/// over the sphere that need least support and height at a first look. Ways within half a degree
/// of an earlier one are dropped.
///
/// Another way than as sent is recommended only if its score is lower by at least 0.01, and one
/// that is neither a side nor a flat face only if it is lower than those by another 0.05, and none of
/// which nothing can be said that is better than as sent ([`crate::differences`]); so the
/// recommended score is never above that of as sent.
///
/// The score adds up, all without unit:
/// - support: `(0.2 · support + 0.4 mm · overhang area) / volume of the part`;
/// - height: `0.25 · height / longest line through the part`, which stands for the time that layers take;
/// - contact: up to 0.2 when less than a tenth of its outline's shadow touches the bed;
/// - tipping: up to 0.5 when it tips over at less than 15 degrees;
/// - steps: `0.1 · stepped area / surface`;
/// - beds: `0.1 · share of the beds that do not take it`, and 1000 when none does;
/// - load: `0.5 · sine of the angle between load and layers`, when a load is given.
///
/// On the front are the ways that no other beats: no worse in time, support, rough surface,
/// steadiness below 15 degrees, contact, beds and load, and better in one, differences under 2 %
/// of the time, 5 % of the support and of the rough surface (and under a minute, 0.1 cm³, 1 cm²,
/// 1 degree) not counted.
///
/// # Units
/// mm; the load has none.
/// # Source
/// Derived here; the weights are common practice without a source. 45 degrees: Mazlan et al.
/// 2020, abstract read. That layers hold least straight across is common knowledge of the trade;
/// the load's part of the score is untested.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_orientation::{Question, choices_for};
/// let wedge = Mesh {
///     vertices: vec![[0.0, 0.0, 9.0], [9.0, 0.0, 9.0], [0.0, 9.0, 9.0], [0.0; 3]],
///     triangles: vec![[0, 1, 2], [0, 3, 1], [0, 2, 3], [1, 3, 2]],
/// };
/// let pulled = Question { load: Some([0.0, 0.0, 2.0]), ..Question::default() };
/// let best = &choices_for(&wedge, &pulled)[0];
/// assert!(best.load.unwrap().across_deg < 1.0, "it lies down");
/// ```
#[must_use]
pub fn choices_for(mesh: &Mesh, question: &Question<'_>) -> Vec<Choice> {
    let volume_mm3 = facts(mesh, mesh.triangles.len()).volume_mm3;
    let (list, part) = prepared(mesh, volume_mm3);
    let pull = question.load.and_then(unit);
    // In order whatever the number of threads.
    let measured: Vec<Measures> = list
        .par_iter()
        .map(|candidate| measure(&part, &candidate.rotation, question.beds, pull.is_some()))
        .collect();
    let mut ways: Vec<Choice> = list
        .iter()
        .zip(&measured)
        .map(|(candidate, way)| choice(&part, candidate, way, question, pull))
        .collect();
    let ranked: Vec<Ranked> = ways
        .iter()
        .zip(&measured)
        .map(|(way, measures)| ranked(way, measures, question.beds.len()))
        .collect();
    for (way, on) in ways.iter_mut().zip(on_front(&ranked, 0)) {
        way.on_front = on;
    }
    let best = recommended(&ways, &list);
    let as_sent = ways[0].clone();
    for (i, way) in ways.iter_mut().enumerate() {
        way.reasons = reasons(way, &as_sent, i == best);
    }
    let first = ways.remove(best);
    // Stable: on equal scores the earlier candidate stays in front.
    ways.sort_by(|a, b| a.score.total_cmp(&b.score));
    ways.insert(0, first);
    ways
}

/// A way up that was decided before, measured again: its score and numbers as they are today. Not
/// compared with any other, so it gives no reasons and is on no front.
///
/// # Units
/// `rotation` is row-major, from the part's own axes to the bed's.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_orientation::{Question, as_decided, choices};
/// let wedge = Mesh {
///     vertices: vec![[0.0; 3], [9.0, 0.0, 0.0], [0.0, 9.0, 0.0], [0.0, 0.0, 9.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let best = &choices(&wedge, &[])[0];
/// let again = as_decided(&wedge, &Question::default(), (&best.name, best.rotation));
/// assert!((again.score - best.score).abs() < 1e-12);
/// ```
#[must_use]
pub fn as_decided(
    mesh: &Mesh,
    question: &Question<'_>,
    (name, rotation): (&str, [f64; 9]),
) -> Choice {
    let volume_mm3 = facts(mesh, mesh.triangles.len()).volume_mm3;
    let (_, part) = prepared(mesh, volume_mm3);
    let pull = question.load.and_then(unit);
    let way = measure(&part, &rotation, question.beds, pull.is_some());
    let candidate = Candidate {
        name: name.to_owned(),
        rotation,
        further: false,
    };
    choice(&part, &candidate, &way, question, pull)
}

/// Of a list that [`choices`] gave, the at most six ways to show: the recommended one, as sent,
/// and the best of those on the front; in the order of the list.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_orientation::{choices, shown};
/// let list = choices(&Mesh::default(), &[]);
/// assert_eq!(shown(&list)[0].name, "as sent");
/// ```
#[must_use]
pub fn shown(list: &[Choice]) -> Vec<&Choice> {
    let must = |i: usize, way: &Choice| i == 0 || way.name == AS_SENT_NAME;
    let musts = list
        .iter()
        .enumerate()
        .filter(|(i, way)| must(*i, way))
        .count();
    let mut room = MOST_SHOWN.saturating_sub(musts);
    let mut out = Vec::new();
    for (i, way) in list.iter().enumerate() {
        if must(i, way) {
            out.push(way);
        } else if way.on_front && room > 0 {
            room -= 1;
            out.push(way);
        }
    }
    out
}

/// As it came.
pub(crate) const AS_SENT_NAME: &str = "as sent";

fn prepared(mesh: &Mesh, volume_mm3: Option<f64>) -> (Vec<Candidate>, Part<'_>) {
    let (low, high) = mesh.bounds().unwrap_or_default();
    let size = minus(high, low);
    let box_mm3: f64 = size.iter().product();
    // An open mesh has no volume: a fifth of its box stands in, a usual share for parts.
    let solid_mm3 = volume_mm3.map_or(box_mm3 / 5.0, f64::abs);
    let diagonal_mm = length(size).max(f64::MIN_POSITIVE);
    let used = corners_in_use(mesh);
    let corners = mesh.vertices.iter().zip(&used);
    let corners = corners.filter_map(|(&p, used)| used.then_some(p)).collect();
    let outer = outer(corners, diagonal_mm);
    let doubles = doubles(mesh);
    let closed = volume_mm3.is_some();
    let mut part = Part {
        mesh,
        used,
        area_mm2: (doubles.iter().sum::<f64>() / 2.0).max(f64::MIN_POSITIVE),
        doubles,
        outer: Vec::new(),
        slack_mm: outer.slack_mm,
        closed,
        mass: mass(mesh, closed),
        solid_mm3: solid_mm3.max(f64::MIN_POSITIVE),
        longest_mm: longest_mm(&outer.points).unwrap_or(diagonal_mm),
    };
    let list = candidates(&part, &outer);
    part.outer = outer.points;
    (list, part)
}

/// Points of which all pairs are looked at.
const PAIRED: usize = 4100;

/// Greatest distance between two of the points; `None` for too many, or without extent.
fn longest_mm(points: &[Vector]) -> Option<f64> {
    if points.len() > PAIRED {
        return None;
    }
    let mut most = 0.0_f64;
    for (n, &a) in points.iter().enumerate() {
        for &b in &points[..n] {
            let gap = minus(a, b);
            most = most.max(dot(gap, gap));
        }
    }
    (most > 0.0).then(|| most.sqrt())
}

fn corners_in_use(mesh: &Mesh) -> Vec<bool> {
    let mut used = vec![false; mesh.vertices.len()];
    for &i in mesh.triangles.iter().flatten() {
        used[i as usize] = true;
    }
    used
}

fn choice(
    part: &Part<'_>,
    candidate: &Candidate,
    way: &Measures,
    question: &Question<'_>,
    pull: Option<Vector>,
) -> Choice {
    let across = pull.map(|pull| across_deg(pull, up(&candidate.rotation)));
    let plastic_mm3 = question.time.plastic_mm3(part.solid_mm3, part.area_mm2);
    let sine = across.map_or(0.0, |deg| deg.to_radians().sin());
    Choice {
        name: candidate.name.clone(),
        rotation: candidate.rotation,
        time_s: question
            .time
            .seconds(plastic_mm3, way.height_mm, way.support_mm3),
        overhang_area_mm2: way.overhang_area_mm2,
        support_mm3: way.support_mm3,
        height_mm: way.height_mm,
        contact_area_mm2: way.contact_area_mm2,
        tip_over_angle_deg: way.tip_over_deg,
        stepped_area_mm2: way.stepped_area_mm2,
        scarred_area_mm2: way.scarred_area_mm2,
        fits_beds: way.beds.any_turn,
        bed_fit: way.beds,
        load: across.map(|across_deg| LoadCheck {
            across_deg,
            least_section_mm2: way.least_section_mm2,
        }),
        score: score(part, way, question.beds.len(), sine),
        on_front: false,
        reasons: Vec::new(),
    }
}

fn ranked(way: &Choice, measures: &Measures, beds: usize) -> Ranked {
    [
        way.time_s / 60.0,
        way.support_mm3 / 1000.0,
        (way.stepped_area_mm2 + way.scarred_area_mm2) / 100.0,
        (STEADY_DEG - way.tip_over_angle_deg).max(0.0),
        10.0 * (1.0 - contact_share(measures)),
        (beds - way.fits_beds.min(beds)) as f64,
        way.load
            .map_or(0.0, |load| load.across_deg.to_radians().sin()),
    ]
}

/// Where the recommended way is; the list begins with as sent.
fn recommended(ways: &[Choice], list: &[Candidate]) -> usize {
    let best = |further: bool| {
        // What nothing can be said for is not recommended, whatever its score.
        let worth_it = |i: &usize| *i == 0 || speaks_for(&ways[*i], &ways[0]);
        let of_kind = (0..ways.len()).filter(|&i| list[i].further == further);
        let of_kind = of_kind.filter(worth_it);
        // On equal scores the first.
        of_kind.min_by(|&a, &b| ways[a].score.total_cmp(&ways[b].score))
    };
    let better = |i: usize, than: usize, by: f64| ways[i].score <= ways[than].score - by;
    let known = best(false)
        .filter(|&i| better(i, 0, WORTH_TURNING))
        .unwrap_or(0);
    best(true)
        .filter(|&i| better(i, known, CLEARLY_BETTER))
        .unwrap_or(known)
}

#[cfg(test)]
pub(crate) fn prepared_for_tests(mesh: &Mesh) -> Part<'_> {
    prepared(mesh, facts(mesh, mesh.triangles.len()).volume_mm3).1
}

#[cfg(test)]
mod tests;
