//! Which samples of the picture are ink: outlines, creases and steps in depth.
//!
//! Lines are found between neighbouring samples, not along the edges of the mesh. That needs no
//! joined-up mesh (damaged files draw as well as sound ones), shows where two bodies run into
//! each other, and costs as much as the picture is large, whatever the number of triangles.

use crate::samples::{Facing, Samples};

/// Faces that meet at more than this angle get a line.
const CREASE_DEG: f32 = 25.0;
/// Half the width of a line in pixels.
const HALF_LINE_PX: f32 = 0.65;
/// A step in depth of more than this many pixels gets a line.
const STEP_PX: f32 = 0.75;

/// For each sample, whether it is ink.
pub(crate) fn inked(samples: &Samples, per_px: u32) -> Vec<bool> {
    let per_px = f32::from(u16::try_from(per_px).unwrap_or(1));
    let step = STEP_PX * per_px;
    let (width, height) = (samples.width, samples.height);
    let mut ink = vec![false; width * height];
    let across = Stamp::around(1, 0, HALF_LINE_PX * per_px);
    let down = Stamp::around(0, 1, HALF_LINE_PX * per_px);
    for row in 0..height {
        for column in 0..width {
            let at = row * width + column;
            if column + 1 < width && parted(samples, at, at + 1, 0, step) {
                across.press(&mut ink, (column, row), (width, height));
            }
            if row + 1 < height && parted(samples, at, at + width, 1, step) {
                down.press(&mut ink, (column, row), (width, height));
            }
        }
    }
    ink
}

/// Whether a line runs between two neighbours that lie along `axis` (0 right, 1 down).
fn parted(samples: &Samples, a: usize, b: usize, axis: usize, step: f32) -> bool {
    let (za, zb) = (samples.depth[a], samples.depth[b]);
    if !za.is_finite() || !zb.is_finite() {
        return za.is_finite() != zb.is_finite();
    }
    let (fa, fb) = (samples.facing[a], samples.facing[b]);
    let rise = zb - za;
    if fa == Facing::UNKNOWN || fb == Facing::UNKNOWN {
        return rise.abs() > 2.0 * step;
    }
    let (sa, sb) = (fa.slopes()[axis], fb.slopes()[axis]);
    // Where two planes meet between the samples, depth grows by something between their slopes.
    if rise < sa.min(sb) - step || rise > sa.max(sb) + step {
        return true;
    }
    fa != fb && creased(fa, fb)
}

fn creased(a: Facing, b: Facing) -> bool {
    let (a, b) = (a.normal(), b.normal());
    let cosine: f32 = (0..3).map(|k| a[k] * b[k]).sum();
    cosine < CREASE_DEG.to_radians().cos()
}

/// The samples within half a line of the middle between two neighbours, as steps from the first.
struct Stamp(Vec<(isize, isize)>);

impl Stamp {
    fn around(right: i16, down: i16, radius: f32) -> Self {
        let (middle_x, middle_y) = (f32::from(right) / 2.0, f32::from(down) / 2.0);
        let near = |x: i16, y: i16| {
            let (dx, dy) = (f32::from(x) - middle_x, f32::from(y) - middle_y);
            dx * dx + dy * dy <= radius * radius
        };
        let reach = -4..=4_i16;
        let steps = reach
            .clone()
            .flat_map(|y| reach.clone().map(move |x| (x, y)));
        Self(
            steps
                .filter(|&(x, y)| near(x, y))
                .map(|(x, y)| (isize::from(x), isize::from(y)))
                .collect(),
        )
    }

    fn press(&self, ink: &mut [bool], at: (usize, usize), size: (usize, usize)) {
        for &(dx, dy) in &self.0 {
            let x = at.0.checked_add_signed(dx).filter(|&x| x < size.0);
            let y = at.1.checked_add_signed(dy).filter(|&y| y < size.1);
            if let (Some(x), Some(y)) = (x, y) {
                ink[y * size.0 + x] = true;
            }
        }
    }
}
