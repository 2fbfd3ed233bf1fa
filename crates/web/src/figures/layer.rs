//! One layer of a part drawn flat, and the height it lies at against the part's front.

use std::fmt::Write as _;

use partpledge_words::{decimal, say, short};
use partpledge_workshop::showing::{Rings, ShownLayer, ShownPart, Why};

/// Width of the drawing, px.
const WIDTH: f64 = 560.0;
/// Most room for the part itself, px; what is left are margins for words.
const ROOM: [f64; 2] = [340.0, 360.0];
/// Room above and at the sides, px.
const RIM: f64 = 30.0;
/// Room below for the scale bar, px.
const FOOT: f64 = 64.0;
/// Least distance between the middles of two words, px.
const APART: f64 = 54.0;
/// Widest letter of a word on a narrow page, px.
const LETTER: f64 = 11.0;
/// Longest scale bar, px.
const LONGEST_BAR: f64 = 200.0;
/// Width of the part in the drawing from the front, and its height at most, px.
const SIDE: [f64; 2] = [130.0, 190.0];
/// Room round it, px.
const SIDE_RIM: f64 = 14.0;

/// A layer from above.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LayerDrawing {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// Pixels for a millimetre.
    pub(crate) px_per_mm: f64,
    /// The layer's outlines.
    pub(crate) path: String,
    /// The whole part seen from above.
    pub(crate) shadow: String,
    pub(crate) marks: Vec<MarkDrawn>,
    /// Left and right end of the scale bar, its height in the drawing, and what it says.
    pub(crate) bar: (f64, f64, f64, String),
}

/// A marked place with its word.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MarkDrawn {
    /// Filled with lines close together, or else with dots.
    pub(crate) thin: bool,
    pub(crate) path: String,
    /// Its word and its measure, one above the other.
    pub(crate) says: [String; 2],
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) anchor: &'static str,
    pub(crate) to_x: f64,
    pub(crate) to_y: f64,
}

/// The part from the front with the layer's height.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HeightDrawing {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) path: String,
    /// Where the layer lies, px from above.
    pub(crate) y: f64,
    /// Where the bed is.
    pub(crate) bed_y: f64,
}

/// What a mark is called, on the drawing and in the list.
pub(crate) fn says(why: Why) -> [String; 2] {
    let tenths = |mm| format!("{} mm", decimal(mm, 1));
    match why {
        Why::Thin(mm) => [say!("plates-layer-thin"), tenths(mm)],
        Why::StartsInAir => [say!("plates-layer-starts"), say!("plates-layer-in-the-air")],
        Why::SticksOut(mm) => [say!("plates-layer-over-air"), tenths(mm)],
        Why::Spans(mm) => [say!("plates-layer-spans"), tenths(mm)],
    }
}

/// From mm of the part to px of the drawing.
struct Frame {
    low: [f64; 2],
    high: [f64; 2],
    scale: f64,
    left: f64,
    top: f64,
}

impl Frame {
    /// Every layer of a part has the same frame, so that nothing jumps from one to the next.
    fn of(part: &ShownPart) -> Self {
        let (low, high) = part.mesh.bounds().unwrap_or_default();
        let size = [high[0] - low[0], high[1] - low[1]].map(|mm| mm.max(1e-3));
        let scale = (ROOM[0] / size[0]).min(ROOM[1] / size[1]);
        Self {
            low: [low[0], low[1]],
            high: [high[0], high[1]],
            scale,
            left: (WIDTH - size[0] * scale) / 2.0,
            top: RIM,
        }
    }

    fn place(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [
            self.left + (x - self.low[0]) * self.scale,
            self.top + (self.high[1] - y) * self.scale,
        ]
    }

    fn bottom(&self) -> f64 {
        self.place(self.low)[1]
    }
}

/// Closed rings as a path, to a hundredth of a px; corners that fall on the one before are left out.
pub(crate) fn path(rings: &Rings, place: impl Fn([f64; 2]) -> [f64; 2]) -> String {
    let mut out = String::new();
    for ring in rings {
        let mut before = String::new();
        let mut letter = 'M';
        for &corner in ring {
            let [x, y] = place(corner);
            let at = format!("{x:.2} {y:.2}");
            if at != before {
                let _ = write!(out, "{letter}{at}");
                before = at;
                letter = 'L';
            }
        }
        if letter == 'L' {
            out.push('z');
        }
    }
    out
}

/// The drawing of a layer.
pub(crate) fn layer_drawing(part: &ShownPart, layer: &ShownLayer) -> LayerDrawing {
    let frame = Frame::of(part);
    let place = |p| frame.place(p);
    let mut marks: Vec<MarkDrawn> = layer
        .marks
        .iter()
        .map(|mark| {
            let mut drawn = MarkDrawn {
                thin: matches!(mark.why, Why::Thin(_)),
                path: path(&mark.rings, place),
                says: says(mark.why),
                x: 0.0,
                y: 0.0,
                anchor: "start",
                to_x: 0.0,
                to_y: 0.0,
            };
            point_at(&mut drawn, &mark.rings, &frame);
            drawn
        })
        .collect();
    let height = frame.bottom() + FOOT;
    spread(&mut marks, RIM, frame.bottom());
    LayerDrawing {
        width: WIDTH,
        height,
        px_per_mm: frame.scale,
        path: path(&layer.rings, place),
        shadow: path(part.above(), place),
        marks,
        bar: bar(&frame, height),
    }
}

/// The word stands beside the mark's outer corner, on the side that has more room.
fn point_at(mark: &mut MarkDrawn, rings: &Rings, frame: &Frame) {
    let corners = || rings.iter().flatten().map(|&p| frame.place(p));
    let by_x = |a: &[f64; 2], b: &[f64; 2]| a[0].total_cmp(&b[0]);
    let (Some(left), Some(right)) = (corners().min_by(by_x), corners().max_by(by_x)) else {
        return;
    };
    let on_right = left[0] + right[0] <= WIDTH;
    [mark.to_x, mark.to_y] = if on_right { right } else { left };
    // Inside the drawing, whatever the word's length.
    let letters = mark.says.iter().map(|line| line.chars().count()).max();
    let long = LETTER * letters.unwrap_or(0) as f64;
    mark.x = if on_right {
        (mark.to_x + 16.0).min(WIDTH - long)
    } else {
        (mark.to_x - 16.0).max(long)
    };
    mark.anchor = if on_right { "start" } else { "end" };
    mark.y = mark.to_y;
}

/// Moves words apart, from the top down, and up again if the last ones run out at the foot.
fn spread(marks: &mut [MarkDrawn], top: f64, bottom: f64) {
    let mut order: Vec<usize> = (0..marks.len()).collect();
    order.sort_by(|&a, &b| marks[a].y.total_cmp(&marks[b].y).then(a.cmp(&b)));
    let mut least = top;
    for &i in &order {
        marks[i].y = marks[i].y.max(least);
        least = marks[i].y + APART;
    }
    let mut most = bottom;
    for &i in order.iter().rev() {
        marks[i].y = marks[i].y.min(most);
        most = marks[i].y - APART;
    }
}

/// The longest round length up to `most_mm`: 1, 2 or 5 times a power of ten.
pub(crate) fn round_mm(most_mm: f64) -> f64 {
    let decade = 10_f64.powf(most_mm.log10().floor());
    let round = [5.0, 2.0, 1.0].map(|n| n * decade);
    round
        .into_iter()
        .find(|mm| *mm <= most_mm)
        .unwrap_or(decade)
}

/// A scale bar of a round length.
fn bar(frame: &Frame, height: f64) -> (f64, f64, f64, String) {
    let mm = round_mm(LONGEST_BAR / frame.scale);
    let left = RIM;
    (
        left,
        left + mm * frame.scale,
        height - 14.0,
        format!("{} mm", short(mm, 4)),
    )
}

/// The part from the front, with the height of its layer.
pub(crate) fn height_drawing(part: &ShownPart, z_mm: f64) -> HeightDrawing {
    let (low, high) = part.mesh.bounds().unwrap_or_default();
    let size = [high[0] - low[0], high[2]].map(|mm| mm.max(1e-3));
    let scale = (SIDE[0] / size[0]).min(SIDE[1] / size[1]);
    let left = SIDE_RIM + (SIDE[0] - size[0] * scale) / 2.0;
    let bed_y = SIDE_RIM + size[1] * scale;
    HeightDrawing {
        width: SIDE[0] + 2.0 * SIDE_RIM + 16.0,
        height: bed_y + SIDE_RIM,
        path: path(part.front(), |[x, z]| {
            [left + (x - low[0]) * scale, bed_y - z * scale]
        }),
        y: bed_y - z_mm * scale,
        bed_y,
    }
}

#[cfg(test)]
mod tests;
