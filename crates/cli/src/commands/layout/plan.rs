//! A plate from above: as an SVG with marks, and as a PNG in clay.

use std::fmt::Write as _;

use partpledge_drawing::{Canvas, View, draw_close};
use partpledge_mesh::Mesh;
use partpledge_plates::{Layout, Placement, UNITS_PER_MM};
use partpledge_workshop::estimating::LaidPart;

/// Room for the scale left of and below the bed, and on the other sides, mm.
const SCALE_MM: f64 = 22.0;
const RIM_MM: f64 = 8.0;
/// Room for the words above the bed, mm.
const WORDS_MM: f64 = 14.0;
/// Longer side of the PNG, px.
const LONGER_PX: f64 = 1_200.0;

/// The look of the paper: the same inks as the pages.
const STYLE: &str = "text{font-family:'Atkinson Hyperlegible Next',Verdana,sans-serif;fill:#1B1A33}\
.bed{fill:#FCFDFB;stroke:#1B1A33;stroke-width:.6}.tick{stroke:#6C7182;stroke-width:.4;fill:none}\
.part{fill:#E9E4DC;stroke:#1B1A33;stroke-width:.5;fill-rule:evenodd}\
.mark{font-size:7px;font-weight:650;text-anchor:middle;paint-order:stroke;stroke:#E9E4DC;stroke-width:2.2;\
stroke-linejoin:round}.number{font-size:6px;fill:#4A4B62}.words{font-size:7px;font-weight:650}";

/// A plate as SVG. `marks` belong to its placements, in their order.
pub(super) fn svg(
    parts: &[&LaidPart],
    plate: &Layout,
    marks: &[String],
    bed_mm: [f64; 2],
    title: &str,
) -> String {
    let [width, depth] = bed_mm;
    let (left, top) = (-SCALE_MM, -RIM_MM - WORDS_MM);
    let (wide, high) = (width + SCALE_MM + RIM_MM, depth + SCALE_MM - top);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{left} {top} {wide} {high}\" \
         width=\"{wide}mm\" height=\"{high}mm\" role=\"img\"><title>{title}</title>\
         <style>{STYLE}</style>\n\
         <rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{high}\" fill=\"#FCFDFB\"/>\n\
         <text class=\"words\" x=\"0\" y=\"{}\">{title}</text>\n\
         <text class=\"number\" x=\"{width}\" y=\"{}\" text-anchor=\"end\">mm, from above</text>\n\
         <rect class=\"bed\" width=\"{width}\" height=\"{depth}\"/>\n",
        -RIM_MM, -RIM_MM
    );
    ticks(&mut out, bed_mm);
    let mut texts = String::new();
    for (placed, mark) in plate.placements.iter().zip(marks) {
        let (path, middle) = outline(parts[placed.item], placed, depth);
        let _ = writeln!(out, "<path class=\"part\" d=\"{path}\"/>");
        let [x, y] = middle;
        let _ = writeln!(
            texts,
            "<text class=\"mark\" x=\"{x:.2}\" y=\"{:.2}\">{mark}</text>",
            y + 2.5
        );
    }
    out.push_str(&texts);
    out.push_str("</svg>\n");
    out
}

/// A tick every 10 mm along the front and the left, a longer one with its number every 50.
fn ticks(out: &mut String, [width, depth]: [f64; 2]) {
    for (side, length) in [width, depth].into_iter().enumerate() {
        let steps = (0..).map(|n: i32| (n, 10.0 * f64::from(n)));
        for (n, at) in steps.take_while(|(_, at)| *at <= length) {
            let long = n % 5 == 0;
            let reach = if long { 6.0 } else { 3.0 };
            let (path, x, y, anchor) = if side == 0 {
                (format!("M{at} {depth}v{reach}"), at, depth + 13.0, "middle")
            } else {
                let y = depth - at;
                (format!("M0 {y}h-{reach}"), -8.0, y + 2.2, "end")
            };
            let _ = writeln!(out, "<path class=\"tick\" d=\"{path}\"/>");
            // The corner's zero is written once.
            if long && (side == 0 || n > 0) {
                let _ = writeln!(
                    out,
                    "<text class=\"number\" x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\">{at}</text>"
                );
            }
        }
    }
}

/// The outline of a copy as a path, and the middle of its box. The bed's y grows away from the
/// person, the picture's grows down.
fn outline(part: &LaidPart, placed: &Placement, depth: f64) -> (String, [f64; 2]) {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    let mut path = String::new();
    for outline in &part.shadow {
        for (i, corner) in outline.iter().enumerate() {
            let [x, y] = [corner.x, corner.y].map(|v| v as f64 / UNITS_PER_MM);
            let [x, y] = moved(placed, [x, y]);
            let at = [x, depth - y];
            for k in 0..2 {
                low[k] = low[k].min(at[k]);
                high[k] = high[k].max(at[k]);
            }
            let letter = if i == 0 { 'M' } else { 'L' };
            let _ = write!(path, "{letter}{:.2} {:.2}", at[0], at[1]);
        }
        path.push('Z');
    }
    (path, [0, 1].map(|k| f64::midpoint(low[k], high[k])))
}

fn moved(placed: &Placement, [x, y]: [f64; 2]) -> [f64; 2] {
    let (sin, cos) = placed.rotation_deg.to_radians().sin_cos();
    [
        x * cos - y * sin + placed.x_mm,
        x * sin + y * cos + placed.y_mm,
    ]
}

/// A plate as PNG: the copies in clay, straight from above; the picture's edges are the bed's. `None` when there is
/// nothing to draw.
pub(super) fn png(parts: &[&LaidPart], plate: &Layout, bed_mm: [f64; 2]) -> Option<Vec<u8>> {
    let mut all = Mesh::default();
    for placed in &plate.placements {
        let mesh = &parts[placed.item].mesh;
        let base = u32::try_from(all.vertices.len()).ok()?;
        all.vertices.extend(mesh.vertices.iter().map(|&[x, y, z]| {
            let [x, y] = moved(placed, [x, y]);
            [x, y, z]
        }));
        let corners = mesh.triangles.iter().map(|t| t.map(|i| i + base));
        all.triangles.extend(corners);
    }
    let px_per_mm = LONGER_PX / bed_mm[0].max(bed_mm[1]);
    let side = |mm: f64| {
        let px = partpledge_units::cast::round_i64(mm * px_per_mm).unwrap_or(1);
        u32::try_from(px).unwrap_or(1)
    };
    let canvas = Canvas {
        width_px: side(bed_mm[0]),
        height_px: side(bed_mm[1]),
        margin_px: 0,
    };
    let view = View {
        azimuth_deg: 270.0,
        elevation_deg: 90.0,
    };
    let bounds = ([0.0, 0.0, 0.0], [bed_mm[0], bed_mm[1], 1.0]);
    Some(draw_close(&all, view, canvas, bounds)?.png())
}
