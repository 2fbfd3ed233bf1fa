//! How far a standing part gives way when its top is pushed sideways.

use rayon::prelude::*;

use super::bond::Build;
use super::weakest::sideways;

/// The foot is held under this part of the height, and the push comes in at the top.
const HELD_SHARE: f64 = 0.1;

/// How far the top moves for each newton, mm/N, with a modulus of 1 `GPa`: a cantilever whose every
/// layer has its own section. For the load's sideways way, else for the way that gives most;
/// infinite where a layer has no section.
///
/// The sparse inside counts by the square of its share.
///
/// # Source
/// `δ = Σ F a² h / (E I)`: Gere & Goodno, Mechanics of Materials, ch. 9 (from memory), with `J⁻¹` in place
/// of `1/I` for unsymmetric sections. Sparse inside: `E/Es = (ρ/ρs)²`, Gibson & Ashby, Cellular Solids,
/// ch. 5 (from memory). Theirs is for open cells whose struts bend: it fits here because each line
/// lies bare between its crossings with the layers below and above, and no cell wall runs straight
/// up. A model: it was not compared with printed pieces.
#[must_use]
pub fn tip_give_mm_per_n(build: &Build<'_>, load: Option<[f64; 3]>) -> f64 {
    let height_mm = build.height_mm();
    let share = build.share * build.share;
    let layers: Vec<[f64; 3]> = (0..build.cuts.len())
        .into_par_iter()
        .map(|layer| {
            let thick_mm = build.layers[layer].height_mm;
            let middle_mm = build.top_mm(layer) - thick_mm / 2.0;
            if middle_mm < HELD_SHARE * height_mm {
                return [0.0; 3];
            }
            let (moments, origin_mm) = build.layer_moments(layer, share);
            let arm_mm = height_mm - middle_mm;
            let weight = arm_mm * arm_mm * thick_mm / 1000.0;
            give(&moments, origin_mm).map(|of| weight * of)
        })
        .collect();
    // Summed in the order of the layers, so that threads don't change the last digit.
    let [xx, xy, yy] = layers.iter().fold([0.0; 3], |sum, layer| {
        std::array::from_fn(|k| sum[k] + layer[k])
    });
    match load.and_then(sideways) {
        Some([x, y]) => x * x * xx + 2.0 * x * y * xy + y * y * yy,
        None => f64::midpoint(xx, yy) + ((xx - yy) / 2.0).hypot(xy),
    }
}

/// `J⁻¹` of a layer as xx, xy, yy in mm⁻⁴; infinite without a section.
fn give(moments: &super::Moments, origin_mm: [f64; 2]) -> [f64; 3] {
    let columns = moments.section(origin_mm).and_then(|section| {
        let (x, y) = (section.solve([1.0, 0.0])?, section.solve([0.0, 1.0])?);
        Some([x[0], x[1], y[1]])
    });
    columns.unwrap_or([f64::INFINITY, 0.0, f64::INFINITY])
}
