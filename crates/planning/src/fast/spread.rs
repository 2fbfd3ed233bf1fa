//! A chance spread over a few minutes: a distribution small enough to add up by hand.

use partpledge_units::time::Minute;

/// Mass smaller than this is not followed.
pub(crate) const NEGLIGIBLE: f64 = 1e-6;
/// Lateness less likely than this is not told from somewhat more of it.
const HARDLY: f64 = 1e-3;

/// Room for what most spreads have.
const USUAL_PIECES: usize = 32;
/// Minutes with the chance of each, in order; the rest never comes.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Spread(Vec<(Minute, f64)>);

impl Spread {
    pub(crate) fn certain(at: Minute) -> Self {
        Self(vec![(at, 1.0)])
    }

    /// Adds mass at a minute.
    pub(crate) fn add(&mut self, at: Minute, mass: f64) {
        // Mostly what is added comes after what is there.
        let after_all = self.0.last().is_none_or(|(last, _)| *last < at);
        let i = if after_all {
            self.0.len()
        } else {
            self.0.partition_point(|(minute, _)| *minute < at)
        };
        match self.0.get_mut(i) {
            Some((minute, there)) if *minute == at => *there += mass,
            _ => {
                if self.0.capacity() == 0 {
                    self.0.reserve(USUAL_PIECES);
                }
                self.0.insert(i, (at, mass));
            }
        }
    }

    /// Adds another spread, scaled.
    pub(crate) fn add_all(&mut self, other: &Self, times: f64) {
        for &(at, mass) in &other.0 {
            self.add(at, mass * times);
        }
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = (Minute, f64)> + '_ {
        self.0.iter().copied()
    }

    /// All mass.
    pub(crate) fn mass(&self) -> f64 {
        self.0.iter().map(|(_, mass)| mass).sum()
    }

    /// Mass up to and including a minute.
    pub(crate) fn by(&self, at: Minute) -> f64 {
        let upto = self.0.iter().take_while(|(minute, _)| *minute <= at);
        upto.map(|(_, mass)| mass).sum()
    }

    /// Each minute with the mass up to and including it, in order.
    pub(crate) fn summed(mut self) -> Vec<(Minute, f64)> {
        let mut sum = 0.0;
        for (_, mass) in &mut self.0 {
            sum += *mass;
            *mass = sum;
        }
        self.0
    }

    /// The same on steps of so many minutes, each at the end of its step; mass up to `from` there.
    pub(crate) fn on_steps(&self, from: Minute, step_min: i64) -> Self {
        self.gathered(from, |_| step_min)
    }

    /// Lateness against `due`, which nothing is before, in few enough pieces to go on with: a box
    /// over the counter may miss its quarter of an hour by a few minutes, one on a round only by more.
    pub(crate) fn late_by(&self, due: Minute) -> Self {
        let out = self.gathered(due, |late_min| match late_min {
            ..=20 => 2,
            21..=60 => 10,
            _ => 40,
        });
        // What is hardly ever is put with what comes next, never earlier.
        let mut kept: Vec<(Minute, f64)> = Vec::with_capacity(out.0.len());
        let mut carried = 0.0;
        for (i, &(at, mass)) in out.0.iter().enumerate() {
            carried += mass;
            if carried > HARDLY || i + 1 == out.0.len() {
                kept.push((at, carried));
                carried = 0.0;
            }
        }
        Self(kept)
    }

    fn gathered(&self, from: Minute, step_min: impl Fn(i64) -> i64) -> Self {
        let mut out = Self::default();
        for (at, mass) in self.iter() {
            let beyond = (at - from).0.max(0);
            let step = step_min(beyond);
            out.add(Minute(from.0 + (beyond + step - 1) / step * step), mass);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_in_order_and_lateness_is_never_made_less() {
        let mut spread = Spread::default();
        for (at, mass) in [(50, 0.000_5), (3, 0.9), (9, 0.05), (7, 0.049_5)] {
            spread.add(Minute(at), mass);
        }
        let late = spread.late_by(Minute(5));
        for at in (5..60).map(Minute) {
            assert!(late.by(at) <= spread.by(at) + 1e-12);
        }
        assert!((late.mass() - 1.0).abs() < 1e-9);
        let summed = spread.summed();
        let minutes: Vec<i64> = summed.iter().map(|(at, _)| at.0).collect();
        assert_eq!(minutes, [3, 7, 9, 50]);
        assert!((summed[3].1 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_gathered_keeps_its_mass_and_is_never_earlier() {
        let mut spread = Spread::default();
        for i in 0..10 {
            spread.add(Minute(7 * i), 0.1);
        }
        let gathered = spread.on_steps(Minute(20), 15);
        assert!((gathered.mass() - 1.0).abs() < 1e-12);
        assert!((gathered.by(Minute(20)) - 0.3).abs() < 1e-12);
        for at in [20, 30, 40, 63].map(Minute) {
            assert!(gathered.by(at) <= spread.by(at) + 1e-12);
        }
    }
}
