//! Where a layer must be solid: under every upper surface and over every lower one.

use std::borrow::Cow;

use partpledge_sections::Outlines;
use partpledge_sections::outlines::{self, area_mm2, offset, without};
use rayon::prelude::*;

/// For each layer what all of its `above` upper and `below` lower neighbours have in common;
/// inside that a layer may be hollow. `None` where no neighbour is asked for.
///
/// Windows of equal length are built from runs of intersections forward and backward inside
/// blocks, so that the cost does not grow with the number of skins.
pub(crate) fn covers(layers: &[&Outlines], above: u32, below: u32) -> Vec<Option<Outlines>> {
    let (above, below) = (count(above), count(below));
    let over = windows(layers, above);
    let under = if below == above {
        None
    } else {
        Some(windows(layers, below))
    };
    let under = under.as_ref().unwrap_or(&over);
    // A window that would reach past the bottom or the top covers nothing.
    let pick = |list: &[Outlines], start: Option<usize>| {
        start
            .and_then(|start| list.get(start))
            .cloned()
            .unwrap_or_default()
    };
    (0..layers.len())
        .into_par_iter()
        .map(|i| {
            let up = (above > 0).then(|| pick(&over, Some(i + 1)));
            let down = (below > 0).then(|| pick(under, i.checked_sub(below)));
            match (up, down) {
                (Some(up), Some(down)) => Some(common(&up, &down).into_owned()),
                (one, other) => one.or(other),
            }
        })
        .collect()
}

pub(crate) fn count(skins: u32) -> usize {
    usize::try_from(skins).unwrap_or(usize::MAX)
}

/// What `length` layers from each start have in common; starts whose window fits only.
fn windows(layers: &[&Outlines], length: usize) -> Vec<Outlines> {
    if length == 0 || length > layers.len() {
        return Vec::new();
    }
    let blocks: Vec<(Vec<Outlines>, Vec<Outlines>)> = layers
        .par_chunks(length)
        .map(|block| {
            let forward = running(block.iter().copied());
            let mut backward = running(block.iter().rev().copied());
            backward.reverse();
            (forward, backward)
        })
        .collect();
    (0..=layers.len() - length)
        .into_par_iter()
        .map(|start| {
            let end = start + length - 1;
            let tail = &blocks[start / length].1[start % length];
            let head = &blocks[end / length].0[end % length];
            // A window that is one whole block is its own run.
            if start % length == 0 {
                head.clone()
            } else {
                common(tail, head).into_owned()
            }
        })
        .collect()
}

fn running<'a>(block: impl Iterator<Item = &'a Outlines>) -> Vec<Outlines> {
    let mut out: Vec<Outlines> = Vec::new();
    for layer in block {
        let next = out
            .last()
            .map_or_else(|| layer.clone(), |last| common(last, layer).into_owned());
        out.push(next);
    }
    out
}

/// What two layers have in common. Layers of a straight-sided part are equal point by point,
/// which saves most of the work on most parts.
fn common<'a>(a: &'a Outlines, b: &'a Outlines) -> Cow<'a, Outlines> {
    if a == b || a.is_empty() {
        return Cow::Borrowed(a);
    }
    if b.is_empty() {
        return Cow::Borrowed(b);
    }
    Cow::Owned(outlines::common(a, b))
}

/// Splits the inside of a layer into what must be solid and what may be sparse.
///
/// Slivers narrower than half a line are not made solid: no line fits there.
pub(crate) fn split(
    inner: Outlines,
    outlines: &Outlines,
    cover: Option<&Outlines>,
    width_mm: f64,
) -> (Outlines, Outlines) {
    let Some(cover) = cover.filter(|&cover| cover != outlines) else {
        return (Outlines::new(), inner);
    };
    if cover.is_empty() || inner.is_empty() {
        return (inner, Outlines::new());
    }
    let bare = without(&inner, cover);
    let solid = offset(&offset(&bare, -width_mm / 4.0), width_mm / 4.0);
    if area_mm2(&solid) < width_mm * width_mm {
        return (Outlines::new(), inner);
    }
    let sparse = without(&inner, &solid);
    (solid, sparse)
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_sections::outlines::to_point;
    use proptest::prelude::*;

    fn rectangle([x, y]: [i32; 2], [w, h]: [i32; 2]) -> Outlines {
        let at = |x: i32, y: i32| to_point(f64::from(x), f64::from(y));
        vec![vec![at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)]]
    }

    /// The slow truth: every neighbour intersected one by one.
    fn plain_cover(layers: &[&Outlines], i: usize, above: usize, below: usize) -> Outlines {
        if i + above >= layers.len() || i < below {
            return Outlines::new();
        }
        let mut neighbours = (i - below..=i + above)
            .filter(|&j| j != i)
            .map(|j| layers[j]);
        let first = neighbours.next().cloned().unwrap_or_default();
        neighbours.fold(first, |all, next| common(&all, next).into_owned())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn windows_agree_with_intersecting_one_by_one(
            corners in prop::collection::vec((prop::array::uniform2(0..6), prop::array::uniform2(4..12)), 1..14),
            above in 1_u32..5,
            below in 1_u32..5,
        ) {
            let layers: Vec<Outlines> = corners.iter().map(|&(at, size)| rectangle(at, size)).collect();
            let layers: Vec<&Outlines> = layers.iter().collect();
            for (i, cover) in covers(&layers, above, below).iter().enumerate() {
                let want = plain_cover(&layers, i, count(above), count(below));
                let got = cover.as_ref().map(area_mm2);
                prop_assert_eq!(got.map(f64::to_bits), Some(area_mm2(&want).to_bits()), "layer {}", i);
            }
        }
    }

    #[test]
    fn without_skins_nothing_must_be_solid() {
        let square = rectangle([0, 0], [10, 10]);
        let layers = vec![&square; 3];
        assert_eq!(covers(&layers, 0, 0), vec![None, None, None]);
        let (solid, sparse) = split(square.clone(), &square, None, 0.45);
        assert_eq!((solid, sparse), (Outlines::new(), square));
    }

    #[test]
    fn a_step_is_solid_where_nothing_lies_above() {
        let (wide, narrow) = (rectangle([0, 0], [20, 10]), rectangle([0, 0], [12, 10]));
        let layers = [&wide, &wide, &wide, &narrow, &narrow, &narrow];
        let covers = covers(&layers, 1, 1);
        let (solid, sparse) = split(wide.clone(), &wide, covers[2].as_ref(), 0.45);
        assert!((area_mm2(&solid) - 80.0).abs() < 1e-6 && (area_mm2(&sparse) - 120.0).abs() < 1e-6);
        let (solid, _) = split(wide.clone(), &wide, covers[1].as_ref(), 0.45);
        assert!(solid.is_empty());
    }
}
