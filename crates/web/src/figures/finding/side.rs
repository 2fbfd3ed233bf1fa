//! The part cut upright through a place: what hangs, how far, and where the bed is.

use partpledge_mesh::ShellRole;
use partpledge_sections::Outlines;
use partpledge_sections::outlines::bounds_mm;
use partpledge_words::say;

use super::cut::{Across, across, path, runs, upright};
use super::ink::{Dimension, HEIGHT, Scale, Sheet, WIDTH};
use super::{About, Picture, mm, number};

/// Where the cut is shown, px.
const WINDOW: [f64; 4] = [0.0, 0.0, WIDTH, HEIGHT - 30.0];
/// A cut no larger than this is shown whole, mm.
const WHOLE_MM: f64 = 60.0;
/// The least height of a cut that is shown, mm.
const LEAST_MM: f64 = 20.0;
/// A ledge less than one in so many of the part's width is shown from nearer.
const SMALL_SHARE: f64 = 5.0;
/// Room for words beside a slope, px.
const ROOM_PX: f64 = 70.0;
/// The steepest lean that holds by itself, degrees from upright; as findings have it.
const HOLDS_DEG: f64 = 45.0;
/// Directions that are tried for the cut that shows a ledge best; few for large parts.
const STEP_DEG: usize = 15;
const LARGE: usize = 300_000;

/// What hangs in a cut.
#[derive(Clone, Debug)]
struct Hanging {
    outlines: Outlines,
    /// From where to where along the cut, mm.
    run: [f64; 2],
    /// Whether something is below its left and its right end.
    held: [bool; 2],
}

impl Hanging {
    fn long_mm(&self) -> f64 {
        self.run[1] - self.run[0]
    }
}

/// The stretch over air at a height that is nearest to the place.
fn hanging(about: &About<'_>, turn_deg: f64) -> Option<Hanging> {
    let place = about.place_mm?;
    let outlines = upright(&about.mesh, place, turn_deg)?;
    let above = runs(&outlines, place[2]);
    let below = runs(&outlines, place[2] - about.layer_mm);
    let mut found: Vec<([f64; 2], [bool; 2])> = Vec::new();
    for run in above {
        let (mut from, mut held) = (run[0], false);
        for under in below.iter().filter(|u| u[1] > run[0] && u[0] < run[1]) {
            if under[0] - from > 1e-3 {
                found.push(([from, under[0]], [held, true]));
            }
            (from, held) = (from.max(under[1]), true);
        }
        if run[1] - from > 1e-3 {
            found.push(([from, run[1]], [held, false]));
        }
    }
    let off = |run: &[f64; 2]| (run[0].max(0.0)).max(-run[1].min(0.0));
    found.sort_by(|a, b| off(&a.0).total_cmp(&off(&b.0)));
    let (run, held) = found.into_iter().next()?;
    Some(Hanging {
        outlines,
        run,
        held,
    })
}

/// The cut in which what hangs is as long as was measured.
fn best(about: &About<'_>) -> Option<Hanging> {
    let step = if about.mesh.triangles.len() > LARGE {
        90
    } else {
        STEP_DEG
    };
    let bridge = about.finding.code == "long-bridge";
    let long = about.finding.measured?;
    let off = |found: &Hanging| {
        let both = found.held == [true, true];
        let unheld = if bridge == both { 0.0 } else { 1e3 };
        unheld + (found.long_mm() - long).abs()
    };
    let tried = (0..180_i32)
        .step_by(step)
        .filter_map(|turn| hanging(about, f64::from(turn)));
    tried.min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// A ledge or a bridge; where an area hangs, the place and the lean that would hold.
pub(super) fn over_air(about: &About<'_>) -> Option<Picture> {
    if about.finding.unit != "mm" {
        return leaning(about);
    }
    let found = best(about)?;
    let z = about.place_mm?[2];
    let long = found.long_mm();
    let centre = [f64::midpoint(found.run[0], found.run[1]), z];
    let (low, high) = bounds_mm(&found.outlines)?;
    // A ledge that is small beside the part is looked at from nearer.
    let small = SMALL_SHARE * long < high[0] - low[0];
    let near_mm = (2.6 * long).max(LEAST_MM);
    let (scale, mut sheet) = cut_sheet_near(&found.outlines, centre, near_mm, small)?;
    // Below the ledge, where the dimension has air round it.
    let y = z - about.layer_mm / 2.0 - 25.0 / scale.px_per_mm;
    let label = mm(about.finding.measured.unwrap_or_else(|| found.long_mm()));
    let dimension = Dimension {
        from_mm: [found.run[0], y],
        to_mm: [found.run[1], y],
        label,
    };
    for x in found.run {
        sheet.line(
            scale.place([x, z]),
            scale.place([x, y - 5.0 / scale.px_per_mm]),
            1.0,
            false,
        );
    }
    if found.held != [true, true] {
        slope(&mut sheet, &scale, &found, z);
    }
    sheet.dimension(&scale, &dimension);
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}

/// A surface that leans too far: the place in a ring, and beside it upright and the limit.
fn leaning(about: &About<'_>) -> Option<Picture> {
    let place = about.place_mm?;
    let outlines = upright(&about.mesh, place, 0.0)?;
    let (scale, mut sheet) = cut_sheet(&outlines, [0.0, place[2]], WHOLE_MM)?;
    sheet.ring(scale.place([0.0, place[2]]), 13.0);
    let [x, y] = scale.place([0.0, place[2]]);
    sheet.text([x, y - 19.0], "middle", true, &say!("findings-pic-hangs"));
    let (sin, cos) = HOLDS_DEG.to_radians().sin_cos();
    sheet.panel([WIDTH - 88.0, 6.0, 82.0, 70.0]);
    let corner = [WIDTH - 66.0, 54.0];
    sheet.line(corner, [corner[0], corner[1] - 42.0], 1.0, true);
    let lean = [corner[0] + 48.0 * sin, corner[1] - 48.0 * cos];
    sheet.line(corner, lean, 2.5, false);
    sheet.text(
        [WIDTH - 47.0, corner[1] + 17.0],
        "middle",
        false,
        &say!("findings-pic-holds"),
    );
    Some(Picture {
        sheet,
        dimensions: Vec::new(),
    })
}

/// The slope that would hold the ledge: 45 degrees from its tip to the wall.
fn slope(sheet: &mut Sheet, scale: &Scale, found: &Hanging, z: f64) {
    let (tip, root) = match found.held {
        [true, _] => (found.run[1], found.run[0]),
        [_, true] => (found.run[0], found.run[1]),
        _ => return,
    };
    let foot = [root, z - found.long_mm()];
    if foot[1] < 0.0 {
        return;
    }
    sheet.line(scale.place([tip, z]), scale.place(foot), 2.0, true);
    let [x, y] = scale.place([tip + 0.62 * (root - tip), z - 0.62 * found.long_mm()]);
    let (anchor, off) = if tip > root {
        ("start", 7.0)
    } else {
        ("end", -7.0)
    };
    let long_px = found.long_mm() * scale.px_per_mm;
    let words = if long_px < ROOM_PX {
        "45°".to_owned()
    } else {
        say!("findings-pic-would-hold")
    };
    sheet.text([x + off, y + 12.0], anchor, false, &words);
}

/// A piece that starts in mid-air: how far above the bed.
pub(super) fn in_air(about: &About<'_>) -> Option<Picture> {
    let place = about.place_mm?;
    let outlines = upright(&about.mesh, place, 0.0)?;
    let high = about.finding.measured?;
    let (scale, mut sheet) = cut_sheet(&outlines, [0.0, high / 2.0], high)?;
    let dimension = Dimension {
        from_mm: [0.0, 0.0],
        to_mm: [0.0, high],
        label: say!("findings-pic-air", n = number(high)),
    };
    sheet.dimension(&scale, &dimension);
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}

/// A closed hollow, cut through its middle, with its width.
pub(super) fn hollow(about: &About<'_>) -> Option<Picture> {
    let facts = about
        .part
        .repaired
        .as_ref()
        .map_or(&about.part.facts, |r| &r.facts);
    let shell = facts.shells_that_are(ShellRole::Void).next()?;
    let middle = std::array::from_fn(|k| f64::midpoint(shell.low_mm[k], shell.high_mm[k]));
    let at = about.standing(middle);
    let outlines = upright(&about.mesh, at, 0.0)?;
    let runs = runs(&outlines, at[2]);
    let gap = runs
        .windows(2)
        .find(|pair| pair[0][1] <= 0.0 && pair[1][0] >= 0.0)?;
    let (from, to) = (gap[0][1], gap[1][0]);
    let (scale, mut sheet) = cut_sheet(&outlines, [0.0, at[2]], to - from)?;
    let dimension = Dimension {
        from_mm: [from, at[2]],
        to_mm: [to, at[2]],
        label: mm(to - from),
    };
    sheet.dimension(&scale, &dimension);
    let [x, y] = scale.place([f64::midpoint(from, to), at[2]]);
    let words = say!("findings-pic-hollow");
    sheet.text([x, y + 20.0], "middle", false, &words);
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}

/// A floor that is too thin, across.
pub(super) fn floor(about: &About<'_>) -> Option<Picture> {
    let place = about.place_mm?;
    let measured = about.finding.measured?;
    let tried = [0.0, 90.0, 45.0, 135.0].into_iter();
    let (outlines, [from_mm, to_mm]) = tried
        .filter_map(|turn| upright(&about.mesh, place, turn))
        .find_map(|outlines| {
        let stretch = across(&outlines, [0.0, place[2]], measured, Across::Plastic)?;
        Some((outlines, stretch))
    })?;
    let (scale, mut sheet) = cut_sheet_near(&outlines, [from_mm[0], place[2]], 20.0, true)?;
    let dimension = Dimension {
        from_mm,
        to_mm,
        label: mm(measured),
    };
    sheet.dimension(&scale, &dimension);
    Some(Picture {
        sheet,
        dimensions: vec![dimension],
    })
}

/// The cut through a place, with a ring and a word on it.
pub(super) fn marked(about: &About<'_>, word: &str) -> Option<Picture> {
    let place = about.place_mm.or_else(|| {
        let (low, high) = about.mesh.bounds()?;
        Some(std::array::from_fn(|k| f64::midpoint(low[k], high[k])))
    })?;
    let outlines = upright(&about.mesh, place, 0.0)?;
    let (scale, mut sheet) = cut_sheet(&outlines, [0.0, place[2]], WHOLE_MM)?;
    let [x, y] = scale.place([0.0, place[2]]);
    sheet.ring([x, y], 15.0);
    sheet.text([x, y - 22.0], "middle", true, word);
    Some(Picture {
        sheet,
        dimensions: Vec::new(),
    })
}

/// A sheet with the cut on it and the bed below.
fn cut_sheet(outlines: &Outlines, centre: [f64; 2], long_mm: f64) -> Option<(Scale, Sheet)> {
    cut_sheet_near(outlines, centre, (2.6 * long_mm).max(24.0), false)
}

fn cut_sheet_near(
    outlines: &Outlines,
    centre: [f64; 2],
    near_mm: f64,
    always: bool,
) -> Option<(Scale, Sheet)> {
    let (mut low, mut high) = bounds_mm(outlines)?;
    low[1] = low[1].min(0.0);
    let large = high[0] - low[0] > WHOLE_MM || high[1] - low[1] > WHOLE_MM;
    if large || always {
        let half = near_mm / 2.0;
        (low[0], high[0]) = (low[0].max(centre[0] - half), high[0].min(centre[0] + half));
        (low[1], high[1]) = (low[1].max(centre[1] - half), high[1].min(centre[1] + half));
    }
    // A bed that is nearly in the picture is shown.
    if low[1] < 0.25 * (high[1] - low[1]) {
        low[1] = low[1].min(0.0);
    }
    let [left, top, right, bottom] = WINDOW;
    let scale = Scale::fitted(
        low,
        high,
        [left + 26.0, top + 14.0, right - 26.0, bottom - 2.0],
    );
    let mut sheet = Sheet::default();
    sheet.clay(&path(outlines, &scale, WINDOW), WINDOW);
    let bed = scale.place([0.0, 0.0])[1];
    if bed <= bottom + 0.5 {
        sheet.line([6.0, bed + 1.0], [WIDTH - 6.0, bed + 1.0], 4.0, false);
        let word = say!("findings-pic-bed");
        sheet.text([8.0, bed + 19.0], "start", false, &word);
        sheet.text(
            [WIDTH - 8.0, bed + 19.0],
            "end",
            false,
            &say!("findings-pic-cut"),
        );
    } else {
        sheet.line([0.0, bottom], [WIDTH, bottom], 1.0, false);
        let lower = scale.back([0.0, bottom])[1];
        let words = say!("findings-pic-bed-below", n = number(lower));
        sheet.text([8.0, bottom + 18.0], "start", false, &words);
    }
    Some((scale, sheet))
}
