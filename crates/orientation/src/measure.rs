//! Everything that is measured of one way up, in one walk over the triangles.

use partpledge_mesh::Mesh;
use partpledge_mesh::flat::{convex_hull, distance_inside};

use crate::columns::{Columns, columns};
use crate::footprint::{BedFit, Footprint};
use crate::mass::Mass;
use crate::rotation::Rotation;
use crate::vector::{Vector, dot, double_area, length};

/// Surfaces leaning more than this from the vertical need support.
///
/// Source: Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47, abstract read.
pub(crate) const OVERHANG_DEG: f64 = 45.0;
/// A surface at exactly the limit passes.
const GRACE_DEG: f64 = 0.01;
/// Corners within this of the lowest lie on the bed, in mm: a quarter of a usual 0.2 mm layer.
/// Derived here.
pub(crate) const ON_BED_MM: f64 = 0.05;
/// Upper surfaces between these slopes from the level show their layers as steps. Common
/// practice, no source.
const STEPPED_DEG: [f64; 2] = [1.0, 30.0];

/// What does not change with the way up.
#[derive(Clone, Debug)]
pub(crate) struct Part<'a> {
    pub(crate) mesh: &'a Mesh,
    /// Which corners a triangle uses.
    pub(crate) used: Vec<bool>,
    /// Twice the area of each triangle.
    pub(crate) doubles: Vec<f64>,
    /// Outer corners: they alone decide on beds.
    pub(crate) outer: Vec<Vector>,
    /// What the outer corners may miss, mm.
    pub(crate) slack_mm: f64,
    pub(crate) closed: bool,
    pub(crate) mass: Mass,
    /// Volume in mm³, roughly for an open part.
    pub(crate) solid_mm3: f64,
    pub(crate) area_mm2: f64,
    /// Longest straight line from corner to corner, mm: the same however the file is turned.
    pub(crate) longest_mm: f64,
}

/// A way up in numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Measures {
    pub(crate) overhang_area_mm2: f64,
    pub(crate) support_mm3: f64,
    pub(crate) height_mm: f64,
    pub(crate) contact_area_mm2: f64,
    pub(crate) tip_over_deg: f64,
    pub(crate) stepped_area_mm2: f64,
    pub(crate) scarred_area_mm2: f64,
    pub(crate) beds: BedFit,
    /// Area of the outline round its shadow, mm².
    pub(crate) shadow_mm2: f64,
    pub(crate) least_section_mm2: Option<f64>,
}

/// Twice the area of each triangle.
pub(crate) fn doubles(mesh: &Mesh) -> Vec<f64> {
    let corners = mesh
        .triangles
        .iter()
        .map(|t| t.map(|i| mesh.vertices[i as usize]));
    corners
        .map(|corners| length(double_area(corners)))
        .collect()
}

pub(crate) fn apply(r: &Rotation, p: Vector) -> Vector {
    std::array::from_fn(|k| r[3 * k] * p[0] + r[3 * k + 1] * p[1] + r[3 * k + 2] * p[2])
}

/// Measures a way up. Support: the straight columns under the overhangs, exactly, times the share
/// of them that is free air, by rays on a grid; the area it scars is the overhang and where it
/// stands on the part. `sections` asks for the least section.
pub(crate) fn measure(
    part: &Part<'_>,
    rotation: &Rotation,
    beds: &[[f64; 3]],
    sections: bool,
) -> Measures {
    let mesh = part.mesh;
    let mut corners: Vec<Vector> = mesh.vertices.iter().map(|&p| apply(rotation, p)).collect();
    let used = corners.iter().zip(&part.used).filter(|(_, used)| **used);
    let mut low = [f64::INFINITY; 3];
    let mut high = [f64::NEG_INFINITY; 3];
    for (p, _) in used {
        low = std::array::from_fn(|k| low[k].min(p[k]));
        high = std::array::from_fn(|k| high[k].max(p[k]));
    }
    if mesh.triangles.is_empty() {
        return Measures::default();
    }
    for corner in &mut corners {
        corner[2] -= low[2];
    }
    let size: Vector = std::array::from_fn(|k| high[k] - low[k]);
    let mut skin = Skin::default();
    let mut hanging = vec![false; mesh.triangles.len()];
    for (i, triangle) in mesh.triangles.iter().enumerate() {
        hanging[i] = skin.add(triangle.map(|i| corners[i as usize]), part.doubles[i]);
    }
    let seen = if skin.column_mm3 > 0.0 || sections {
        let ask = [part.closed, sections];
        columns(
            &corners,
            &mesh.triangles,
            &hanging,
            [low, size],
            skin.seen_mm2,
            ask,
        )
    } else {
        Columns::default()
    };
    let feet = corners.iter().zip(&part.used);
    let feet = feet.filter(|&(p, used)| *used && p[2] <= ON_BED_MM);
    let feet = feet.map(|(p, _)| [p[0], p[1]]).collect();
    let outer = part.outer.iter().map(|&p| apply(rotation, p));
    let footprint = Footprint::new(outer, size, part.slack_mm);
    Measures {
        overhang_area_mm2: skin.hanging_mm2,
        support_mm3: skin.column_mm3 * seen.free,
        height_mm: size[2],
        contact_area_mm2: skin.contact_mm2,
        tip_over_deg: tip_over(feet, apply(rotation, part.mass.centre), low[2]),
        stepped_area_mm2: skin.stepped_mm2,
        scarred_area_mm2: skin.hanging_mm2 + seen.on_part * skin.shadow_mm2,
        beds: footprint.fit(beds),
        shadow_mm2: footprint.area_mm2().max(f64::MIN_POSITIVE),
        least_section_mm2: seen.least_section_mm2,
    }
}

/// Upward or downward shares of a triangle's area at which it changes its kind.
struct Limits {
    hanging: f64,
    steep: f64,
    level: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            hanging: (OVERHANG_DEG + GRACE_DEG).to_radians().sin(),
            steep: STEPPED_DEG[1].to_radians().cos(),
            level: STEPPED_DEG[0].to_radians().cos(),
        }
    }
}

/// Sums over the surface.
#[derive(Default)]
struct Skin {
    limits: Limits,
    hanging_mm2: f64,
    shadow_mm2: f64,
    column_mm3: f64,
    contact_mm2: f64,
    stepped_mm2: f64,
    seen_mm2: f64,
}

impl Skin {
    /// Adds a triangle standing over z = 0, and says whether it needs support.
    fn add(&mut self, [a, b, c]: [Vector; 3], double_mm2: f64) -> bool {
        let up = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        let lies = a[2] <= ON_BED_MM && b[2] <= ON_BED_MM && c[2] <= ON_BED_MM;
        self.seen_mm2 += up.abs() / 2.0;
        if up < 0.0 && lies {
            self.contact_mm2 -= up / 2.0;
        } else if up < 0.0 {
            if -up > self.limits.hanging * double_mm2 {
                self.hanging_mm2 += double_mm2 / 2.0;
                self.shadow_mm2 -= up / 2.0;
                self.column_mm3 -= up / 2.0 * (a[2] + b[2] + c[2]) / 3.0;
                return true;
            }
        } else if up > self.limits.steep * double_mm2 && up < self.limits.level * double_mm2 {
            self.stepped_mm2 += double_mm2 / 2.0;
        }
        false
    }
}

/// How far it can lean before it falls over, degrees: as [`partpledge_mesh::resting`], which see.
fn tip_over(feet: Vec<[f64; 2]>, centre: Vector, low_mm: f64) -> f64 {
    let hull = convex_hull(feet);
    let reach = distance_inside(&hull, [centre[0], centre[1]]);
    let above_bed = (centre[2] - low_mm).max(f64::MIN_POSITIVE);
    (reach / above_bed).atan().to_degrees()
}

/// The angle between a pull and the layers, degrees: 0 along them, 90 straight across.
pub(crate) fn across_deg(pull: Vector, way_up: Vector) -> f64 {
    dot(pull, way_up).abs().min(1.0).asin().to_degrees()
}

#[cfg(test)]
mod tests;
