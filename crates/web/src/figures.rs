//! Drawings in ink, worked out here so that templates only write them down.

pub(crate) mod finding;
pub(crate) mod joint;
pub(crate) mod layer;
pub(crate) mod part;
pub(crate) mod plan;
pub(crate) mod qr;
pub(crate) mod timeline;

/// One of the ten strokes of a chance, from the bottom up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stroke {
    pub(crate) y: i64,
    pub(crate) inked: bool,
}

/// The ten strokes of a chance.
pub(crate) fn tally(in_ten: i64) -> Vec<Stroke> {
    (0..10)
        .map(|i| Stroke {
            y: 76 - 8 * i,
            inked: i < in_ten,
        })
        .collect()
}

/// The short journey line in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Mini {
    /// Middle of each stop gone by.
    pub(crate) done: Vec<usize>,
    /// Middle of the stop that the part is at.
    pub(crate) here: usize,
    /// Middle of each stop ahead but the last.
    pub(crate) next: Vec<usize>,
    /// Left side of the last stop's square; `None` when the part is there.
    pub(crate) end: Option<usize>,
    /// Middle of the last stop.
    pub(crate) last: usize,
}

/// Steps between stops of the short line.
const STEP: usize = 36;

/// The short line of a journey of `stops` stops with the part at stop `here`, counted from 1.
pub(crate) fn mini(here: usize, stops: usize) -> Mini {
    let at = |stop: usize| 8 + STEP * (stop - 1);
    let last = at(stops);
    Mini {
        done: (1..here).map(at).collect(),
        here: at(here),
        next: (here + 1..stops).map(at).collect(),
        end: (here < stops).then(|| last - 6),
        last,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_line_has_every_stop_once() {
        let line = mini(3, 7);
        assert_eq!((line.done.len(), line.next.len()), (2, 3));
        assert_eq!((line.here, line.last, line.end), (80, 224, Some(218)));
        let over = mini(7, 7);
        assert_eq!((over.done.len(), over.next.len(), over.end), (6, 0, None));
    }
}
