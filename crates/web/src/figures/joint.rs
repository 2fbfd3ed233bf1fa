//! What joins two layers, drawn flat from above.

use partpledge_words::short;
use partpledge_workshop::showing::Rings;

use super::layer::{path, round_mm};

/// Most room for the joint, px.
const ROOM: [f64; 2] = [300.0, 220.0];
/// Room round it, and below it for the scale bar, px.
const RIM: f64 = 10.0;
const FOOT: f64 = 34.0;

/// A joint between two layers.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct JointDrawing {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// Where both layers have material.
    pub(crate) path: String,
    /// Where the inside is sparse.
    pub(crate) hollow: String,
    /// Right end of the scale bar, its height in the drawing, and what it says.
    pub(crate) bar: (f64, f64, String),
}

/// Draws a joint; `None` where nothing joins.
pub(crate) fn joint_drawing(joint: &Rings, hollow: &Rings) -> Option<JointDrawing> {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for corner in joint.iter().flatten() {
        for k in 0..2 {
            low[k] = low[k].min(corner[k]);
            high[k] = high[k].max(corner[k]);
        }
    }
    if joint.iter().all(Vec::is_empty) {
        return None;
    }
    let size = [high[0] - low[0], high[1] - low[1]].map(|mm| mm.max(1e-3));
    let scale = (ROOM[0] / size[0]).min(ROOM[1] / size[1]);
    let place = |[x, y]: [f64; 2]| [RIM + (x - low[0]) * scale, RIM + (high[1] - y) * scale];
    let bottom = RIM + size[1] * scale;
    let bar_mm = round_mm(ROOM[0] / 2.0 / scale);
    Some(JointDrawing {
        width: ROOM[0] + 2.0 * RIM,
        height: bottom + FOOT,
        path: path(joint, place),
        hollow: path(hollow, place),
        bar: (
            RIM + bar_mm * scale,
            bottom + FOOT - 14.0,
            format!("{} mm", short(bar_mm, 4)),
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_joint_fills_its_room_and_one_that_is_not_there_is_not_drawn() {
        let ring = vec![[5.0, 5.0], [35.0, 5.0], [35.0, 15.0], [5.0, 15.0]];
        let drawn = joint_drawing(&vec![ring], &Rings::new()).unwrap();
        // 30 mm across 300 px: ten px for a millimetre, y downwards.
        assert_eq!(
            drawn.path,
            "M10.00 110.00L310.00 110.00L310.00 10.00L10.00 10.00z"
        );
        assert_eq!(drawn.bar.2, "10 mm");
        assert!((drawn.bar.0 - 110.0).abs() < 1e-9 && drawn.hollow.is_empty());
        assert_eq!(joint_drawing(&Rings::new(), &Rings::new()), None);
    }
}
