//! The ways up that are tried.

use partpledge_units::cast::round_i64;

use crate::bins::Bins;
use crate::directions::{ALL_ROUND, all_round, own_axes};
use crate::faces::resting_faces;
use crate::hull::hull;
use crate::measure::Part;
use crate::outline_faces::outline_faces;
use crate::rotation::{AS_SENT, Rotation, bring_down, sides, up};
use crate::vector::{Vector, dot, scaled};

/// Flat faces tried besides the six sides.
const FLAT_FACES: usize = 8;
/// Less than this is no face to stand on, mm²: a blob of plastic is larger. Common practice, no source.
const LEAST_FACE_MM2: f64 = 0.5;
/// Faces of the hull tried.
const OUTLINE_FACES: usize = 8;
/// Of the directions all round, those tried after a first look.
const TILTED: usize = 4;
/// Two ways up closer than this (cosine of 0.5 degrees) are the same.
pub(crate) const SAME_WAY: f64 = 0.999_962;
/// Hulls of meshes with at most so many corners leave nothing out.
const EXACT_CORNERS: usize = 4000;
/// Larger ones may leave out corners within this share of the diagonal.
const SLACK_SHARE: f64 = 1e-4;

/// A way up to be measured.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    pub(crate) name: String,
    pub(crate) rotation: Rotation,
    /// Neither as sent nor one of its sides or flat faces: it must be clearly better to be
    /// recommended.
    pub(crate) further: bool,
}

/// Outer corners of the part and its hull over them.
pub(crate) struct Outer {
    pub(crate) points: Vec<Vector>,
    faces: Vec<[usize; 3]>,
    pub(crate) slack_mm: f64,
}

/// The corners on the hull; all corners of a part that is flat.
pub(crate) fn outer(corners: Vec<Vector>, diagonal_mm: f64) -> Outer {
    let exact = corners.len() <= EXACT_CORNERS;
    let share = if exact { 1e-9 } else { SLACK_SHARE };
    let Some(faces) = hull(&corners, share * diagonal_mm) else {
        return Outer {
            points: corners,
            faces: Vec::new(),
            slack_mm: 0.0,
        };
    };
    let mut used: Vec<usize> = faces.iter().flatten().copied().collect();
    used.sort_unstable();
    used.dedup();
    let place = |i: usize| used.binary_search(&i).unwrap_or(0);
    Outer {
        points: used.iter().map(|&i| corners[i]).collect(),
        faces: faces.iter().map(|face| face.map(place)).collect(),
        slack_mm: if exact {
            0.0
        } else {
            2.0 * share * diagonal_mm
        },
    }
}

/// All ways up worth measuring, as sent first, each once and each with a name of its own.
pub(crate) fn candidates(part: &Part<'_>, outer: &Outer) -> Vec<Candidate> {
    let mut list: Vec<Candidate> = Vec::new();
    add(&mut list, false, "as sent".to_owned(), AS_SENT);
    for (name, rotation) in sides() {
        add(&mut list, false, name.to_owned(), rotation);
    }
    let tolerance_mm = (1e-4 * part.longest_mm).max(1e-3);
    for (i, face) in resting_faces(part.mesh, &outer.points, FLAT_FACES, tolerance_mm)
        .iter()
        .take_while(|face| face.area_mm2 >= LEAST_FACE_MM2)
        .enumerate()
    {
        let name = match i {
            0 => "on its largest flat face".to_owned(),
            _ => format!("on flat face {} of {:.0} mm²", i + 1, face.area_mm2),
        };
        add(&mut list, false, name, bring_down(face.normal));
    }
    let found = outline_faces(&outer.points, &outer.faces, part.mass.centre, OUTLINE_FACES);
    for face in found {
        let name = format!("on its outer points, {:.0} mm² between them", face.area_mm2);
        add(&mut list, true, name, bring_down(face.normal));
    }
    let lengths = ["longest", "middle", "shortest"];
    for (i, axis) in own_axes(&part.mass) {
        let name = format!("its {} direction upright", lengths[i]);
        add(
            &mut list,
            true,
            name.clone(),
            bring_down(scaled(axis, -1.0)),
        );
        add(
            &mut list,
            true,
            format!("{name}, turned over"),
            bring_down(axis),
        );
    }
    for way_up in tilted(part, &outer.points) {
        add(
            &mut list,
            true,
            tilt_name(way_up),
            bring_down(scaled(way_up, -1.0)),
        );
    }
    list
}

fn add(list: &mut Vec<Candidate>, further: bool, name: String, rotation: Rotation) {
    let near = |other: &Candidate| dot(up(&other.rotation), up(&rotation)) > SAME_WAY;
    if list.iter().any(near) {
        return;
    }
    let many = list
        .iter()
        .filter(|other| other.name.starts_with(&name))
        .count();
    let name = if many == 0 {
        name
    } else {
        format!("{name} ({})", many + 1)
    };
    list.push(Candidate {
        name,
        rotation,
        further,
    });
}

/// The directions all round that need least support and height at a first look.
fn tilted(part: &Part<'_>, outer: &[Vector]) -> Vec<Vector> {
    let bins = Bins::of(part.mesh);
    let mut list: Vec<(f64, Vector)> = all_round(ALL_ROUND)
        .map(|way_up| {
            let along = outer.iter().map(|&p| dot(p, way_up));
            let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
                (low.min(x), high.max(x))
            });
            let (area_mm2, column_mm3) = bins.overhang(way_up, low);
            let support = crate::score::support_share(part, column_mm3, area_mm2);
            (
                support + crate::score::height_share(part, high - low),
                way_up,
            )
        })
        .collect();
    // Stable: on equal terms the earlier direction stays in front.
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    list.into_iter()
        .take(TILTED)
        .map(|(_, way_up)| way_up)
        .collect()
}

/// `tilted 37 degrees to the front left`: how far, and to which of its sides the part leans.
fn tilt_name(way_up: Vector) -> String {
    let tilt = way_up[2].clamp(-1.0, 1.0).acos().to_degrees();
    // What was up leans to the side opposite to the part's own direction that is up now.
    let round = (-way_up[1])
        .atan2(-way_up[0])
        .to_degrees()
        .rem_euclid(360.0);
    let eighth = round_i64(round / 45.0).unwrap_or(0).rem_euclid(8);
    let side = match eighth {
        0 => "right",
        1 => "back right",
        2 => "back",
        3 => "back left",
        4 => "left",
        5 => "front left",
        6 => "front",
        _ => "front right",
    };
    format!("tilted {tilt:.0} degrees to the {side}")
}
