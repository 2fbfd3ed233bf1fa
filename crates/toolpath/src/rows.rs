//! Sets of stretches along the rows of a grid, sorted by row and place, none touching another.

use crate::fill::Stroke;

/// Stretches closer than this are one, mm: the bands of a slope meet but for rounding. Less than
/// a line is wide, so nothing else could lie between them. Derived here.
pub(crate) const TOUCH_MM: f64 = 0.05;

/// All of both, and what is narrower than [`TOUCH_MM`] between.
pub(crate) fn joined(a: &[Stroke], b: &[Stroke]) -> Vec<Stroke> {
    if a.is_empty() || b.is_empty() {
        return [a, b].concat();
    }
    let mut all = [a, b].concat();
    all.sort_unstable_by(|a, b| a.row.cmp(&b.row).then(a.from.total_cmp(&b.from)));
    merged(all)
}

/// Each stretch longer by `by_mm` at both ends.
pub(crate) fn grown(rows: &[Stroke], by_mm: f64) -> Vec<Stroke> {
    let longer = |row: &Stroke| Stroke {
        from: row.from - by_mm,
        to: row.to + by_mm,
        ..*row
    };
    merged(rows.iter().map(longer).collect())
}

/// What is in `a` and not in `b`.
pub(crate) fn without(a: &[Stroke], b: &[Stroke]) -> Vec<Stroke> {
    let mut out = Vec::with_capacity(a.len());
    let mut first = 0;
    for &row in a {
        while b.get(first).is_some_and(|cut| ends_before(cut, &row)) {
            first += 1;
        }
        let mut from = row.from;
        for cut in b[first..].iter().take_while(|cut| begins_in(cut, &row)) {
            if cut.from > from {
                out.push(Stroke {
                    from,
                    to: cut.from,
                    ..row
                });
            }
            from = from.max(cut.to);
        }
        if from < row.to {
            out.push(Stroke { from, ..row });
        }
    }
    out
}

/// What is in both.
pub(crate) fn shared(a: &[Stroke], b: &[Stroke]) -> Vec<Stroke> {
    let mut out = Vec::new();
    let mut first = 0;
    for row in a {
        while b.get(first).is_some_and(|other| ends_before(other, row)) {
            first += 1;
        }
        let meeting = b[first..].iter().take_while(|other| begins_in(other, row));
        out.extend(meeting.map(|other| Stroke {
            from: row.from.max(other.from),
            to: row.to.min(other.to),
            ..*row
        }));
    }
    out
}

fn ends_before(other: &Stroke, row: &Stroke) -> bool {
    (other.row, other.to) <= (row.row, row.from)
}

fn begins_in(other: &Stroke, row: &Stroke) -> bool {
    other.row == row.row && other.from < row.to
}

/// Sorted stretches, with those that touch made one.
fn merged(sorted: Vec<Stroke>) -> Vec<Stroke> {
    let mut out: Vec<Stroke> = Vec::with_capacity(sorted.len());
    for row in sorted {
        match out.last_mut() {
            Some(last) if last.row == row.row && row.from <= last.to + TOUCH_MM => {
                last.to = last.to.max(row.to);
            }
            _ => out.push(row),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Some stretches in whole millimetres, and the same as millimetres taken.
    fn stretches() -> impl Strategy<Value = Vec<Stroke>> {
        prop::collection::vec((0_i64..3, 0_u8..20, 1_u8..6), 0..12).prop_map(|list| {
            let one = |(row, from, long): (i64, u8, u8)| Stroke {
                row,
                from: f64::from(from),
                to: f64::from(from + long),
            };
            list.into_iter()
                .fold(Vec::new(), |all, next| joined(&all, &[one(next)]))
        })
    }

    fn taken(rows: &[Stroke], row: i64, mm: u8) -> bool {
        let middle = f64::from(mm) + 0.5;
        rows.iter()
            .any(|stretch| stretch.row == row && stretch.from < middle && middle < stretch.to)
    }

    #[test]
    fn bands_of_a_slope_meet_over_rounding_and_a_gap_stays_a_gap() {
        let one = |from, to| vec![Stroke { row: 0, from, to }];
        assert_eq!(joined(&one(0.0, 1.0), &one(1.0002, 2.0)).len(), 1);
        assert_eq!(joined(&one(0.0, 1.0), &one(1.1, 2.0)).len(), 2);
    }

    proptest! {
        #[test]
        fn they_agree_with_counting_millimetres(a in stretches(), b in stretches()) {
            let (all, left, both) = (joined(&a, &b), without(&a, &b), shared(&a, &b));
            let wider = grown(&a, 1.0);
            for row in 0..3 {
                for mm in 1..26 {
                    let (in_a, in_b) = (taken(&a, row, mm), taken(&b, row, mm));
                    prop_assert_eq!(taken(&all, row, mm), in_a || in_b);
                    prop_assert_eq!(taken(&left, row, mm), in_a && !in_b);
                    prop_assert_eq!(taken(&both, row, mm), in_a && in_b);
                    let near = (mm - 1..=mm + 1).any(|mm| taken(&a, row, mm));
                    prop_assert_eq!(taken(&wider, row, mm), near);
                }
            }
            for list in [all, left, both, wider] {
                let apart = |pair: &[Stroke]| pair[0].row < pair[1].row || pair[0].to <= pair[1].from;
                prop_assert!(list.windows(2).all(apart), "{:?}", list);
            }
        }
    }
}
