//! A chain without end, timed while it comes in: look-ahead with bounded memory.

use crate::motion::{Limits, join_mm_s, stretch_s};

/// Stretches kept for looking ahead before the first of them must be let go.
pub(crate) const MOST: usize = 4096;

/// What the head does on a stretch; times are summed by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Doing {
    Laying,
    Travelling,
    /// The filament alone moves.
    Feeding,
}

/// Seconds by what was done.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Spent {
    pub(crate) laying: f64,
    pub(crate) travel: f64,
    pub(crate) feeding: f64,
}

impl Spent {
    fn add(&mut self, doing: Doing, s: f64) {
        match doing {
            Doing::Laying => self.laying += s,
            Doing::Travelling => self.travel += s,
            Doing::Feeding => self.feeding += s,
        }
    }

    pub(crate) fn total_s(&self) -> f64 {
        self.laying + self.travel + self.feeding
    }
}

/// One straight stretch in space.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Unit vector.
    pub(crate) heading: [f64; 3],
    pub(crate) length_mm: f64,
    pub(crate) speed_mm_s: f64,
    pub(crate) doing: Doing,
}

/// A step with the fastest that it may be entered, whatever comes after it.
#[derive(Clone, Copy, Debug)]
struct Kept {
    step: Step,
    enter_mm_s: f64,
}

/// Steps whose time is not settled yet.
///
/// A step is let go once it makes no difference whether what follows is a dead stop or no limit at
/// all: its time is then exactly that of the whole chain. If [`MOST`] steps are kept and none is
/// settled (all of them shorter than one braking way), the first half is let go as if the head
/// stopped behind the last: never too fast, and at most `v / a` seconds too long.
#[derive(Clone, Debug)]
pub(crate) struct Rolling {
    limits: Limits,
    most: usize,
    kept: Vec<Kept>,
    /// Speeds at which the kept steps are entered if the head stops behind the last.
    entered: Vec<f64>,
    /// Speed at which the head comes to the first kept step.
    at_mm_s: f64,
    pub(crate) spent: Spent,
    /// How often the chain was cut before it was settled.
    pub(crate) cuts: u64,
    /// Most seconds that those cuts can have added.
    pub(crate) cuts_at_most_s: f64,
}

impl Rolling {
    pub(crate) fn new(limits: Limits, most: usize) -> Self {
        Self {
            limits,
            most: most.max(2),
            kept: Vec::new(),
            entered: Vec::new(),
            at_mm_s: 0.0,
            spent: Spent::default(),
            cuts: 0,
            cuts_at_most_s: 0.0,
        }
    }

    /// Adds a step; lengths of nothing are passed over.
    pub(crate) fn push(&mut self, step: Step) {
        if step.length_mm < 1e-9 {
            return;
        }
        let enter_mm_s = self.kept.last().map_or(0.0, |before| {
            let cos_turn = dot(before.step.heading, step.heading);
            let shorter_mm = before.step.length_mm.min(step.length_mm);
            join_mm_s(cos_turn, shorter_mm, self.limits)
                .min(before.step.speed_mm_s)
                .min(step.speed_mm_s)
        });
        self.kept.push(Kept { step, enter_mm_s });
        if self.kept.len() >= self.most {
            self.let_go();
        }
    }

    /// The head stops behind the last step.
    pub(crate) fn stop(&mut self) {
        self.look_back();
        let all = self.kept.len();
        self.entered.push(0.0);
        self.pass(all);
        self.at_mm_s = 0.0;
    }

    /// Works out how fast each step is entered; gives the first from the end on which it makes no
    /// difference what comes after the last.
    fn look_back(&mut self) -> usize {
        let way = 2.0 * self.limits.accel_mm_s2;
        self.entered.clear();
        self.entered.resize(self.kept.len(), 0.0);
        let mut stopping = 0.0_f64;
        let mut going_on = self.kept.last().map_or(0.0, |last| last.step.speed_mm_s);
        let mut settled = 0;
        for (i, kept) in self.kept.iter().enumerate().rev() {
            let reach = |v: f64| {
                kept.enter_mm_s
                    .min((v * v + way * kept.step.length_mm).sqrt())
            };
            (stopping, going_on) = (reach(stopping), reach(going_on));
            self.entered[i] = stopping;
            if settled == 0 && going_on <= stopping {
                settled = i;
            }
        }
        settled
    }

    fn let_go(&mut self) {
        let mut until = self.look_back();
        if until < self.kept.len() / 2 {
            until = self.kept.len() / 2;
            self.cuts += 1;
            let speeds = self.kept.iter().map(|kept| kept.step.speed_mm_s);
            self.cuts_at_most_s += speeds.fold(0.0, f64::max) / self.limits.accel_mm_s2;
        }
        self.pass(until);
    }

    /// Times the first steps: what can be reached from where the head is.
    fn pass(&mut self, until: usize) {
        let accel = self.limits.accel_mm_s2;
        let mut at = self.at_mm_s;
        for (kept, &next) in self.kept[..until].iter().zip(&self.entered[1..]) {
            let Step {
                length_mm,
                speed_mm_s,
                doing,
                ..
            } = kept.step;
            let leave = next.min((at * at + 2.0 * accel * length_mm).sqrt());
            let s = stretch_s(length_mm, [at, leave], speed_mm_s, accel);
            self.spent.add(doing, s);
            at = leave;
        }
        self.at_mm_s = at;
        self.kept.drain(..until);
    }
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use partpledge_units::tolerance::close;
    use proptest::prelude::*;

    use super::*;
    use crate::motion::{Stretch, chain_s};

    fn rolled(chain: &[Stretch], limits: Limits, most: usize) -> Rolling {
        let mut rolling = Rolling::new(limits, most);
        for stretch in chain {
            let [x, y] = stretch.by_mm;
            let length_mm = x.hypot(y);
            let heading = if length_mm > 0.0 {
                [x / length_mm, y / length_mm, 0.0]
            } else {
                [0.0; 3]
            };
            rolling.push(Step {
                heading,
                length_mm,
                speed_mm_s: stretch.speed_mm_s,
                doing: Doing::Laying,
            });
        }
        rolling.stop();
        rolling
    }

    proptest! {
        #[test]
        fn a_rolling_chain_takes_as_long_as_the_whole_or_as_its_bound_says(
            ways in prop::collection::vec((-3.0..3.0_f64, -3.0..3.0_f64, 5.0..300.0_f64), 1..300),
            accel in 200.0..5000.0_f64,
            most in 4_usize..80,
        ) {
            let limits = Limits { accel_mm_s2: accel, corner_deviation_mm: 0.03 };
            let chain: Vec<Stretch> =
                ways.iter().map(|&(x, y, speed_mm_s)| Stretch { by_mm: [x, y], speed_mm_s }).collect();
            let whole = chain_s(&chain, limits);
            let rolling = rolled(&chain, limits, most);
            let got = rolling.spent.total_s();
            if rolling.cuts == 0 {
                prop_assert!(close(got, whole, 1e-11, 0.0), "{got} {whole}");
            }
            prop_assert!(got >= whole * (1.0 - 1e-11));
            prop_assert!(got <= whole * (1.0 + 1e-11) + rolling.cuts_at_most_s);
        }
    }

    #[test]
    fn a_straight_line_in_tiny_pieces_is_cut_within_the_bound_and_a_curve_not_at_all() {
        let limits = Limits {
            accel_mm_s2: 5000.0,
            corner_deviation_mm: 0.03,
        };
        let piece = |by_mm| Stretch {
            by_mm,
            speed_mm_s: 350.0,
        };
        let straight = vec![piece([0.001, 0.0]); 60_000];
        let whole = chain_s(&straight, limits);
        let rolling = rolled(&straight, limits, MOST);
        assert!(rolling.cuts > 0);
        let more = rolling.spent.total_s() - whole;
        assert!(more >= 0.0 && more <= rolling.cuts_at_most_s, "{more}");

        let curve: Vec<Stretch> = (0..60_000)
            .map(|k| (f64::from(k) * 0.01).sin_cos())
            .map(|(sin, cos)| piece([0.2 * cos, 0.2 * sin]))
            .collect();
        let rolling = rolled(&curve, limits, MOST);
        assert_eq!(rolling.cuts, 0);
        let whole = chain_s(&curve, limits);
        assert!(close(rolling.spent.total_s(), whole, 1e-10, 0.0));
    }
}
