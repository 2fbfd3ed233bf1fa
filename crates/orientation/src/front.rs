//! The ways that no other beats in everything.

use partpledge_units::cast::round_i64;

/// What ways are compared by, each such that less is better.
pub(crate) type Ranked = [f64; 7];

/// Differences smaller than this share of the value as sent, or than the least step, are none:
/// time (min), support (cm³), rough surface (cm²), want of steadiness (degrees below steady),
/// want of contact (tenths), beds that do not take it, sine between load and layers.
const SHARE: Ranked = [0.02, 0.05, 0.05, 0.0, 0.0, 0.0, 0.0];
const LEAST: Ranked = [1.0, 0.1, 1.0, 1.0, 1.0, 1.0, 0.05];

/// Whether each way is on the front. Values are first counted in steps, so that a hair's
/// difference decides nothing; of ways with equal steps only the first is on it.
pub(crate) fn on_front(list: &[Ranked], as_sent: usize) -> Vec<bool> {
    let Some(sent) = list.get(as_sent) else {
        return Vec::new();
    };
    let step: Ranked = std::array::from_fn(|k| (SHARE[k] * sent[k]).max(LEAST[k]));
    let steps = |way: &Ranked| -> [i64; 7] {
        std::array::from_fn(|k| round_i64(way[k] / step[k]).unwrap_or(i64::MAX))
    };
    let graded: Vec<[i64; 7]> = list.iter().map(steps).collect();
    let beaten = |i: usize| {
        graded.iter().enumerate().any(|(j, other)| {
            let no_worse = (0..7).all(|k| other[k] <= graded[i][k]);
            j != i && no_worse && (*other != graded[i] || j < i)
        })
    };
    (0..list.len()).map(|i| !beaten(i)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SENT: Ranked = [100.0, 10.0, 50.0, 0.0, 0.0, 3.0, 0.0];

    #[test]
    fn a_way_that_is_worse_in_everything_is_beaten() {
        let worse = SENT.map(|x| x + 20.0);
        assert_eq!(on_front(&[SENT, worse], 0), [true, false]);
        assert_eq!(on_front(&[worse, SENT], 1), [false, true]);
    }

    #[test]
    fn a_way_that_is_better_in_one_thing_stays() {
        let mut other = SENT.map(|x| x + 20.0);
        other[1] = 0.0;
        assert_eq!(on_front(&[SENT, other], 0), [true, true]);
    }

    #[test]
    fn a_hair_better_is_not_better_and_the_first_of_equals_stays() {
        let mut hair = SENT;
        hair[0] -= 0.1;
        assert_eq!(on_front(&[SENT, hair], 0), [true, false]);
        assert_eq!(on_front(&[], 0), Vec::<bool>::new());
    }
}
