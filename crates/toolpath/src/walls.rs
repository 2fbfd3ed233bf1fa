//! Lines round the outlines, and what they leave for the inside.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::{area_mm2, offset, perimeter_mm, without};

/// The walls of one layer.
#[derive(Debug, Default)]
pub(crate) struct Walls {
    /// Middles of the wall lines, outermost first.
    pub(crate) loops: Vec<Outlines>,
    /// Places too narrow for a loop, each with the part of its edge that is laid there.
    pub(crate) gaps: Vec<Gap>,
    /// What is left for skins and infill.
    pub(crate) inner: Outlines,
}

/// A narrow place between or beside walls.
#[derive(Debug)]
pub(crate) struct Gap {
    /// Its edge.
    pub(crate) outlines: Outlines,
    /// How much of the edge to follow, 0 to 1, so that the line laid fills the place's area.
    pub(crate) share: f64,
}

/// Loops need this many spacings between their two sides, or they would lie on each other.
const LEAST_LOOP_SPACINGS: f64 = 0.98;

/// Places narrower than this part of a line are left open.
const LEAST_GAP_LINES: f64 = 0.1;

/// Lays `count` walls inside `outlines`.
///
/// The outermost middle lies half a line inside, further ones by `spacing_mm`. A line fills
/// half a spacing to both sides of its middle, so with `spacing = width` the walls take
/// `count x width` from the inside, as in the worked cube of the reference sheet.
///
/// Where a loop would lie on itself (a wall thinner than two lines) or none fits, a line along
/// the edge is laid for just as long as fills the place: mass is right, and the time is near
/// that of the one or two passes of other width that a printer would make. Derived here.
///
/// The rounded side of the outermost line leaves `(width - spacing) / 2` of the part's edge
/// without material. What lies inside the walls presses against them by as much, so that a part
/// without voids weighs what its volume says; filling that overlaps walls a little is common
/// practice, no source.
pub(crate) fn walls(outlines: &Outlines, width_mm: f64, spacing_mm: f64, count: u32) -> Walls {
    let mut out = Walls {
        inner: offset(outlines, (spacing_mm - width_mm) / 2.0),
        ..Walls::default()
    };
    if spacing_mm >= width_mm {
        out.inner.clone_from(outlines);
    }
    for wall in 0..count {
        let depth_mm = if wall == 0 && spacing_mm >= width_mm {
            width_mm
        } else {
            spacing_mm
        } / 2.0;
        let mut middles = offset(&out.inner, -depth_mm);
        let mut rest = offset(&middles, -spacing_mm / 2.0);
        let room_mm2 = area_mm2(&out.inner) - area_mm2(&rest);
        let laid_mm2 = perimeter_mm(&middles) * spacing_mm;
        if (room_mm2 - laid_mm2).abs() > width_mm * width_mm && spacing_mm <= width_mm {
            let least_mm = spacing_mm * LEAST_LOOP_SPACINGS / 2.0;
            middles = offset(&offset(&middles, -least_mm), least_mm);
            rest = offset(&middles, -spacing_mm / 2.0);
            out.gaps
                .extend(gap(&out.inner, &middles, width_mm, spacing_mm));
        }
        out.inner = rest;
        if !middles.is_empty() {
            out.loops.push(middles);
        }
        if out.inner.is_empty() {
            break;
        }
    }
    let press_mm = press_mm(width_mm, spacing_mm);
    if press_mm > 0.0 {
        out.inner = offset(&out.inner, press_mm);
    }
    out
}

/// How far the filling reaches into the walls round it.
fn press_mm(width_mm: f64, spacing_mm: f64) -> f64 {
    ((width_mm - spacing_mm) / 2.0).max(0.0)
}

fn gap(room: &Outlines, middles: &Outlines, width_mm: f64, spacing_mm: f64) -> Option<Gap> {
    let covered = offset(middles, spacing_mm / 2.0);
    let open = without(room, &covered);
    let least_mm = width_mm * LEAST_GAP_LINES / 2.0;
    let outlines = offset(&offset(&open, -least_mm), least_mm);
    let edge_mm = perimeter_mm(&outlines);
    let area = area_mm2(&outlines) + edge_mm * press_mm(width_mm, spacing_mm);
    (area > width_mm * width_mm && edge_mm > 0.0).then(|| Gap {
        outlines,
        share: (area / (spacing_mm * edge_mm)).min(1.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_sections::outlines::to_point;
    use partpledge_units::tolerance::close;

    fn rectangle(x: f64, y: f64) -> Outlines {
        vec![vec![
            to_point(0.0, 0.0),
            to_point(x, 0.0),
            to_point(x, y),
            to_point(0.0, y),
        ]]
    }

    /// Area that walls, gaps and the inside take together.
    fn accounted_mm2(laid: &Walls, spacing_mm: f64) -> f64 {
        let loops: f64 = laid.loops.iter().map(perimeter_mm).sum();
        let gaps: f64 = laid
            .gaps
            .iter()
            .map(|gap| gap.share * perimeter_mm(&gap.outlines))
            .sum();
        (loops + gaps) * spacing_mm + area_mm2(&laid.inner)
    }

    #[test]
    fn two_walls_of_the_worked_cube_are_152_8_mm_and_leave_18_2_squared() {
        // CHECKS.md, "The 20 mm cube, in three lines": recomputed.
        let laid = walls(&rectangle(20.0, 20.0), 0.45, 0.45, 2);
        let length: f64 = laid.loops.iter().map(perimeter_mm).sum();
        assert!(close(length, 152.8, 1e-9, 0.0), "{length}");
        assert!(close(area_mm2(&laid.inner), 331.24, 1e-6, 0.0) && laid.gaps.is_empty());
    }

    #[test]
    fn no_thickness_is_filled_twice_or_left_open() {
        // A bar of any thickness: what is laid fills it, less slivers under a tenth of a line
        // and, where nothing lies inside the walls, the rounded sides of the outer lines.
        for tenths in 5_u8..40 {
            let thick = f64::from(tenths) / 10.0 + 0.03;
            let laid = walls(&rectangle(60.0, thick), 0.45, 0.407_08, 2);
            let want = 60.0 * thick;
            let got = accounted_mm2(&laid, 0.407_08);
            assert!((got / want - 1.0).abs() < 0.06, "{thick}: {got} of {want}");
        }
    }

    #[test]
    fn with_no_walls_the_whole_outline_is_inside() {
        let laid = walls(&rectangle(20.0, 20.0), 0.45, 0.45, 0);
        assert!(laid.loops.is_empty() && close(area_mm2(&laid.inner), 400.0, 1e-9, 0.0));
    }
}
