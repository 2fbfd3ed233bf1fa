//! The ways up worth showing, best first.

use partpledge_mesh::{Mesh, facts, fits_standing, overhang, resting};

use crate::faces::{dot, resting_faces};
use crate::rotation::{AS_SENT, Rotation, bring_down, sides, up};
use crate::score::{Measures, ON_BED_MM, OVERHANG_DEG, Part, score};

/// Flat faces tried besides the six sides.
const FLAT_FACES: usize = 8;
/// Two ways up closer than this (cosine of 0.5 degrees) are the same.
const SAME_WAY: f64 = 0.999_962;
/// Another way up must be better than as sent by this much of score to be recommended.
const WORTH_TURNING: f64 = 0.01;

/// One way up.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// How a person would say it, such as `as sent` or `lying on its back`.
    pub name: String,
    /// Row-major rotation from the part's own axes to the bed's, z up.
    pub rotation: [f64; 9],
    /// Area that hangs over more than 45 degrees from the vertical, in mm².
    pub overhang_area_mm2: f64,
    /// Height on the bed in mm.
    pub height_mm: f64,
    /// Area that lies on the bed, in mm².
    pub contact_area_mm2: f64,
    /// How far it can lean before it falls over, in degrees.
    pub tip_over_angle_deg: f64,
    /// How many of the beds take it this way up.
    pub fits_beds: usize,
    /// Lower is better; no unit.
    pub score: f64,
    /// Why to choose it or not, each a short phrase with its number.
    pub reasons: Vec<String>,
}

/// Measures the ways up and orders them by score; the first is recommended, and `as sent` is
/// always among them.
///
/// Tried are: as sent, the five other sides, and the up to eight largest flat faces that the
/// part can rest on; ways within half a degree of an earlier one are dropped. Another way than
/// as sent is put first only if its score is lower by at least 0.01, so the recommended score
/// is never above that of as sent.
///
/// The score adds up, all without unit:
/// - support: `(0.2 · column + 0.4 mm · overhang area) / volume of the part`, where the columns
///   reach from the overhangs down to the bed;
/// - height: `0.25 · height / diagonal of the box`;
/// - contact: up to 0.2 when less than a tenth of the box's floor touches the bed;
/// - tipping: up to 0.5 when it tips over at less than 15 degrees;
/// - 1000 when none of the `beds` takes it.
///
/// # Units
/// `beds` are usable x, y, z in mm; an empty list means that size does not matter.
/// # Source
/// Derived here; the weights are common practice without a source. 45 degrees: Mazlan et al.
/// 2020, abstract read.
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
    let volume_mm3 = facts(mesh, mesh.triangles.len()).volume_mm3;
    let part = describe(mesh, volume_mm3);
    let mut list: Vec<Choice> = Vec::new();
    for (name, rotation) in candidates(mesh, part.diagonal_mm) {
        let known = list
            .iter()
            .any(|other| dot(up(&other.rotation), up(&rotation)) > SAME_WAY);
        if !known {
            list.push(measure(
                mesh,
                beds,
                &part,
                volume_mm3.is_some(),
                name,
                rotation,
            ));
        }
    }
    let as_sent = list[0].clone();
    for choice in &mut list {
        choice.reasons = reasons(choice, &as_sent, beds.len());
    }
    // Stable: on equal scores the earlier candidate stays in front.
    list.sort_by(|a, b| a.score.total_cmp(&b.score));
    if list[0].score > as_sent.score - WORTH_TURNING
        && let Some(i) = list.iter().position(|choice| choice.name == as_sent.name)
    {
        let sent = list.remove(i);
        list.insert(0, sent);
    }
    list
}

fn describe(mesh: &Mesh, volume_mm3: Option<f64>) -> Part {
    let size = mesh.bounds().map_or([0.0; 3], |(low, high)| {
        std::array::from_fn(|k| high[k] - low[k])
    });
    let box_mm3: f64 = size.iter().product();
    // An open mesh has no volume: a fifth of its box stands in, a usual share for parts.
    let solid_mm3 = volume_mm3.map_or(box_mm3 / 5.0, f64::abs);
    Part {
        solid_mm3: solid_mm3.max(f64::MIN_POSITIVE),
        diagonal_mm: dot(size, size).sqrt().max(f64::MIN_POSITIVE),
    }
}

fn candidates(mesh: &Mesh, diagonal_mm: f64) -> Vec<(String, Rotation)> {
    let mut list = vec![("as sent".to_owned(), AS_SENT)];
    list.extend(sides().map(|(name, rotation)| (name.to_owned(), rotation)));
    let tolerance_mm = (1e-4 * diagonal_mm).max(1e-3);
    let faces = resting_faces(mesh, FLAT_FACES, tolerance_mm);
    list.extend(faces.iter().enumerate().map(|(i, face)| {
        let name = match i {
            0 => "on its largest flat face".to_owned(),
            _ => format!("on flat face {} of {:.0} mm²", i + 1, face.area_mm2),
        };
        (name, bring_down(face.normal))
    }));
    list
}

fn measure(
    mesh: &Mesh,
    beds: &[[f64; 3]],
    part: &Part,
    solid: bool,
    name: String,
    rotation: Rotation,
) -> Choice {
    let way_up = up(&rotation);
    let hangs = overhang(mesh, way_up, OVERHANG_DEG, ON_BED_MM);
    let rests = resting(mesh, way_up, ON_BED_MM, solid);
    let size_mm = turned_size(mesh, &rotation);
    let fits_beds = beds
        .iter()
        .filter(|&&bed| fits_standing(size_mm, bed))
        .count();
    let measures = Measures {
        overhang_area_mm2: hangs.area_mm2,
        column_mm3: hangs.column_mm3,
        height_mm: rests.height_mm,
        contact_area_mm2: rests.contact_area_mm2,
        tip_over_deg: rests.tip_over_deg,
        box_floor_mm2: (size_mm[0] * size_mm[1]).max(f64::MIN_POSITIVE),
        fits: beds.is_empty() || fits_beds > 0,
    };
    Choice {
        name,
        rotation,
        overhang_area_mm2: hangs.area_mm2,
        height_mm: rests.height_mm,
        contact_area_mm2: rests.contact_area_mm2,
        tip_over_angle_deg: rests.tip_over_deg,
        fits_beds,
        score: score(part, &measures),
        reasons: Vec::new(),
    }
}

fn turned_size(mesh: &Mesh, rotation: &Rotation) -> [f64; 3] {
    std::array::from_fn(|k| {
        let row = [rotation[3 * k], rotation[3 * k + 1], rotation[3 * k + 2]];
        let along = mesh.vertices.iter().map(|&vertex| dot(vertex, row));
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(x), high.max(x))
        });
        (high - low).max(0.0)
    })
}

fn reasons(choice: &Choice, as_sent: &Choice, beds: usize) -> Vec<String> {
    let mut list = Vec::new();
    let (here, sent) = (choice.overhang_area_mm2, as_sent.overhang_area_mm2);
    let gap = here - sent;
    list.push(match here {
        x if x < 0.5 => "no overhang to support".to_owned(),
        _ if gap < -0.5 => format!(
            "{here:.0} mm² of overhang, {:.0} mm² less than as sent",
            -gap
        ),
        _ if gap > 0.5 => format!("{here:.0} mm² of overhang, {gap:.0} mm² more than as sent"),
        _ => format!("{here:.0} mm² of overhang"),
    });
    list.push(format!("{:.1} mm high", choice.height_mm));
    list.push(format!("{:.0} mm² on the bed", choice.contact_area_mm2));
    list.push(match choice.tip_over_angle_deg {
        x if x < 0.05 => "does not stand by itself".to_owned(),
        x => format!("tips over at {x:.0} degrees"),
    });
    if beds > 0 {
        list.push(format!("fits {} of {beds} beds", choice.fits_beds));
    }
    list
}

#[cfg(test)]
mod tests;
