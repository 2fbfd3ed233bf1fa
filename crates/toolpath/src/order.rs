//! In which order lines are laid: the nearest next.

/// A way to do one item: where it starts and where it leaves the head.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entrance {
    /// Where the head must go first.
    pub(crate) into: [f64; 2],
    /// Where it stands afterwards.
    pub(crate) out: [f64; 2],
}

/// Above this many items looking at all of them each time costs too much.
const NEAREST_UP_TO: usize = 1_500;

/// Every item once, as (item, way): the nearest entrance to where the head stands, then the
/// nearest to where that leaves it. Very many items are taken in rows to and fro instead.
/// Ties go to the earlier item and way.
pub(crate) fn visit(items: &[Vec<Entrance>], at: [f64; 2]) -> Vec<(usize, usize)> {
    if items.len() > NEAREST_UP_TO {
        return to_and_fro(items);
    }
    let mut at = at;
    let mut left: Vec<usize> = (0..items.len()).collect();
    let mut out = Vec::with_capacity(items.len());
    while !left.is_empty() {
        let mut best = (f64::INFINITY, 0, 0);
        for (position, &item) in left.iter().enumerate() {
            for (way, entrance) in items[item].iter().enumerate() {
                let step = [entrance.into[0] - at[0], entrance.into[1] - at[1]];
                let squared = step[0] * step[0] + step[1] * step[1];
                if squared < best.0 {
                    best = (squared, position, way);
                }
            }
        }
        let item = left.remove(best.1);
        at = items[item].get(best.2).map_or(at, |entrance| entrance.out);
        out.push((item, best.2));
    }
    out
}

fn to_and_fro(items: &[Vec<Entrance>]) -> Vec<(usize, usize)> {
    let at = |item: usize| {
        items[item]
            .first()
            .map_or([0.0; 2], |entrance| entrance.into)
    };
    let low = (0..items.len())
        .map(|item| at(item)[1])
        .fold(f64::INFINITY, f64::min);
    let high = (0..items.len())
        .map(|item| at(item)[1])
        .fold(f64::NEG_INFINITY, f64::max);
    let rows = (items.len() as f64).sqrt().ceil();
    let row = |item: usize| ((at(item)[1] - low) / (high - low).max(1e-9) * rows).floor();
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by(|&a, &b| {
        let across = if row(a) % 2.0 < 1.0 {
            at(a)[0].total_cmp(&at(b)[0])
        } else {
            at(b)[0].total_cmp(&at(a)[0])
        };
        row(a).total_cmp(&row(b)).then(across).then(a.cmp(&b))
    });
    order.into_iter().map(|item| (item, 0)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dot(x: f64, y: f64) -> Vec<Entrance> {
        vec![Entrance {
            into: [x, y],
            out: [x, y],
        }]
    }

    #[test]
    fn the_nearest_comes_next() {
        let items = [dot(10.0, 0.0), dot(1.0, 0.0), dot(4.0, 0.0)];
        assert_eq!(visit(&items, [0.0, 0.0]), [(1, 0), (2, 0), (0, 0)]);
    }

    #[test]
    fn thousands_of_items_are_each_taken_once_without_wild_jumps() {
        let items: Vec<_> = (0..50_i32)
            .flat_map(|x| (0..50_i32).map(move |y| dot(f64::from(x), f64::from(y))))
            .collect();
        let order = visit(&items, [0.0, 0.0]);
        let mut seen: Vec<usize> = order.iter().map(|&(item, _)| item).collect();
        let jump = |pair: &[(usize, usize)]| {
            let (a, b) = (items[pair[0].0][0].into, items[pair[1].0][0].into);
            (a[0] - b[0]).hypot(a[1] - b[1])
        };
        assert!(order.windows(2).map(jump).sum::<f64>() < 2.0 * 2_500.0);
        seen.sort_unstable();
        assert!(seen.iter().copied().eq(0..2_500));
    }
}
