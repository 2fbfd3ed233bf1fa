//! A close-up of one layer as it would be printed, with what was measured and a printed line beside
//! it at the same scale.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::bounds_mm;
use partpledge_words::say;

use super::cut::{Across, across, flat, path};
use super::ink::{Dimension, HEIGHT, Scale, Sheet, WIDTH};
use super::{About, Picture, mm, number};

/// Where the close-up is, px: left, top, right, bottom.
const WINDOW: [f64; 4] = [0.0, 0.0, WIDTH, 172.0];
/// Least and greatest width of the close-up, mm.
const NEAR_MM: [f64; 2] = [16.0, 40.0];
/// So many times what was measured.
const TIMES: f64 = 40.0;
/// Where the whole layer is shown small, px.
const WHOLE: [f64; 4] = [246.0, 180.0, 314.0, 234.0];

/// What is measured across in a layer.
pub(super) fn picture(about: &About<'_>, what: Across) -> Option<Picture> {
    let [x, y, z] = about.place_mm?;
    let outlines = flat(&about.mesh, z)?;
    let measured = about
        .finding
        .measured
        .filter(|_| about.finding.unit == "mm");
    let stretch = measured.and_then(|measured| across(&outlines, [x, y], measured, what));
    let centre = stretch.map_or([x, y], |[a, b]| {
        [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
    });
    let scale = window(&outlines, centre, measured.unwrap_or(1.0))?;
    let mut sheet = Sheet::default();
    sheet.clay(&path(&outlines, &scale, WINDOW), WINDOW);
    let mut dimensions = Vec::new();
    if let (Some([from_mm, to_mm]), Some(measured)) = (stretch, measured) {
        let dimension = Dimension {
            from_mm,
            to_mm,
            label: mm(measured),
        };
        sheet.dimension(&scale, &dimension);
        dimensions.push(dimension);
    } else {
        sheet.ring(scale.place(centre), 16.0);
    }
    sheet.line([0.0, 176.0], [WIDTH, 176.0], 1.0, false);
    line_bar(&mut sheet, about.line_mm, scale.px_per_mm);
    whole(&mut sheet, &outlines, &scale);
    Some(Picture { sheet, dimensions })
}

/// The whole first layer with the place in a ring: for what is a matter of the foot.
pub(super) fn foot(about: &About<'_>) -> Option<Picture> {
    let [x, y, z] = about.place_mm?;
    let outlines = flat(&about.mesh, z.max(about.layer_mm / 2.0))?;
    let (low, high) = bounds_mm(&outlines)?;
    let scale = Scale::fitted(low, high, [24.0, 34.0, WIDTH - 24.0, HEIGHT - 34.0]);
    let mut sheet = Sheet::default();
    let all = [0.0, 0.0, WIDTH, HEIGHT];
    sheet.clay(&path(&outlines, &scale, all), all);
    sheet.ring(scale.place([x, y]), 13.0);
    let long = usize::from(high[1] - low[1] > high[0] - low[0]);
    let from_mm = [low[0], low[1]];
    let mut to_mm = from_mm;
    to_mm[long] = high[long];
    let dimension = Dimension {
        from_mm,
        to_mm,
        label: mm(high[long] - low[long]),
    };
    sheet.dimension(&scale, &dimension);
    sheet.text(
        [WIDTH / 2.0, 18.0],
        "middle",
        false,
        &say!("findings-pic-foot-above"),
    );
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}

/// The close-up's scale: round the place, or the whole layer when it is smaller.
fn window(outlines: &Outlines, centre: [f64; 2], measured_mm: f64) -> Option<Scale> {
    let (low, high) = bounds_mm(outlines)?;
    let [left, top, right, bottom] = WINDOW;
    let near_mm = (TIMES * measured_mm).clamp(NEAR_MM[0], NEAR_MM[1]);
    let whole = Scale::fitted(
        low,
        high,
        [left + 12.0, top + 12.0, right - 12.0, bottom - 12.0],
    );
    let close = (right - left) / near_mm;
    if whole.px_per_mm >= close {
        return Some(whole);
    }
    Some(Scale {
        px_per_mm: close,
        centre_mm: centre,
        ..whole
    })
}

/// One printed line, as wide as the close-up would show it.
fn line_bar(sheet: &mut Sheet, line_mm: f64, px_per_mm: f64) {
    let thick = line_mm * px_per_mm;
    sheet.rectangle([10.0, 206.0 - thick / 2.0, 56.0, thick], true, false);
    let words = say!("findings-pic-line");
    sheet.text([74.0, 203.0], "start", false, &words);
    sheet.text(
        [74.0, 220.0],
        "start",
        false,
        &say!("findings-pic-line-wide", n = number(line_mm)),
    );
}

/// The whole layer, small, with the close-up marked on it.
fn whole(sheet: &mut Sheet, outlines: &Outlines, close: &Scale) {
    let Some((low, high)) = bounds_mm(outlines) else {
        return;
    };
    let scale = Scale::fitted(low, high, WHOLE);
    let [left, top, right, bottom] = WINDOW;
    let corner = scale.place(close.back([left, top]));
    let other = scale.place(close.back([right, bottom]));
    let [left, top, right, bottom] = WHOLE;
    let rim = [left - 2.0, top - 2.0, right + 2.0, bottom + 2.0];
    sheet.clay(&path(outlines, &scale, rim), rim);
    let x = corner[0].max(WHOLE[0] - 4.0);
    let y = corner[1].max(WHOLE[1] - 4.0);
    let (w, h) = (
        other[0].min(WHOLE[2] + 4.0) - x,
        other[1].min(WHOLE[3] + 4.0) - y,
    );
    sheet.rectangle([x, y, w.max(2.0), h.max(2.0)], false, false);
}
