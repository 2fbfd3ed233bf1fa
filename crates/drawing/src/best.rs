//! From which side most of the findings are seen.

use partpledge_mesh::Mesh;

use crate::drawing::is_hidden;
use crate::projection::{Canvas, Projection, View, drawable_bounds};
use crate::samples::Samples;

/// Coarse, because only depth is asked for.
const LOOK: Canvas = Canvas {
    width_px: 320,
    height_px: 320,
    margin_px: 2,
};
/// Below the horizon, where undersides are seen and sides still read as sides.
const FROM_BELOW_DEG: f64 = -30.0;

/// Of eight views (four corners, from above and from below) the one that shows most of the
/// points (mm). Among equals the default comes first, then the other corners from above.
///
/// ```
/// use partpledge_drawing::{View, best_view};
/// use partpledge_mesh::Mesh;
/// assert_eq!(best_view(&Mesh::default(), &[[0.0; 3]]), View::default());
/// ```
#[must_use]
pub fn best_view(mesh: &Mesh, points_mm: &[[f64; 3]]) -> View {
    let default = View::default();
    let Some(bounds_mm) = drawable_bounds(mesh) else {
        return default;
    };
    let mut best = (default, None);
    for elevation_deg in [default.elevation_deg, FROM_BELOW_DEG] {
        for turn_deg in [0.0, 90.0, 270.0, 180.0] {
            let view = View {
                azimuth_deg: (default.azimuth_deg + turn_deg) % 360.0,
                elevation_deg,
            };
            let seen = Projection::fitted(bounds_mm, view, LOOK)
                .map(|projection| seen_through(&projection, mesh, points_mm));
            if seen > best.1 {
                best = (view, seen);
            }
            if best.1.is_none_or(|seen| seen == points_mm.len()) {
                return best.0;
            }
        }
    }
    best.0
}

/// How many of the points are not hidden.
fn seen_through(projection: &Projection, mesh: &Mesh, points_mm: &[[f64; 3]]) -> usize {
    let samples = Samples::of(mesh, projection, 1);
    let seen = |&&point: &&[f64; 3]| !is_hidden(projection, &samples.depth, point);
    points_mm.iter().filter(seen).count()
}
