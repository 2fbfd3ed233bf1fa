//! A chance spread over a few minutes: a distribution small enough to add up by hand.

use partpledge_units::time::Minute;

/// Mass smaller than this is not followed.
pub(crate) const NEGLIGIBLE: f64 = 1e-6;

/// Minutes with the chance of each, in no order; the rest never comes.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Spread(Vec<(Minute, f64)>);

impl Spread {
    pub(crate) fn certain(at: Minute) -> Self {
        Self(vec![(at, 1.0)])
    }

    /// Adds mass at a minute.
    pub(crate) fn add(&mut self, at: Minute, mass: f64) {
        match self.0.iter_mut().find(|(minute, _)| *minute == at) {
            Some((_, there)) => *there += mass,
            None => self.0.push((at, mass)),
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
        let upto = self.0.iter().filter(|(minute, _)| *minute <= at);
        upto.map(|(_, mass)| mass).sum()
    }

    /// Each minute with the mass up to and including it, in order.
    pub(crate) fn summed(mut self) -> Vec<(Minute, f64)> {
        self.0.sort_unstable_by_key(|(at, _)| *at);
        let mut sum = 0.0;
        for (_, mass) in &mut self.0 {
            sum += *mass;
            *mass = sum;
        }
        self.0
    }

    /// When the later of the two comes, if they know nothing of each other.
    pub(crate) fn later(&self, other: &Self) -> Self {
        let mut out = Self::default();
        for (at, mass) in self.iter() {
            for (too, more) in other.iter() {
                out.add(at.max(too), mass * more);
            }
        }
        out
    }

    /// The same with mass up to `from` put there, and what is beyond gathered on steps of `step_min`.
    pub(crate) fn from_on(&self, from: Minute, step_min: i64) -> Self {
        let mut out = Self::default();
        for (at, mass) in self.iter() {
            let beyond = (at - from).0.max(0);
            let steps = (beyond + step_min - 1) / step_min;
            out.add(Minute(from.0 + steps * step_min), mass);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_later_of_two_coins_is_a_product_of_chances() {
        let mut coin = Spread::default();
        coin.add(Minute(1), 0.5);
        coin.add(Minute(2), 0.4);
        let both = coin.later(&coin);
        assert!((both.by(Minute(1)) - 0.25).abs() < 1e-12);
        assert!((both.by(Minute(2)) - 0.81).abs() < 1e-12);
        assert!((both.mass() - 0.81).abs() < 1e-12);
        let summed = both.summed();
        assert_eq!(summed.len(), 2);
        assert!((summed[1].1 - 0.81).abs() < 1e-12);
    }

    #[test]
    fn what_is_gathered_keeps_its_mass_and_is_never_earlier() {
        let mut spread = Spread::default();
        for i in 0..10 {
            spread.add(Minute(7 * i), 0.1);
        }
        let gathered = spread.from_on(Minute(20), 15);
        assert!((gathered.mass() - 1.0).abs() < 1e-12);
        assert!((gathered.by(Minute(20)) - 0.3).abs() < 1e-12);
        for at in [20, 30, 40, 63].map(Minute) {
            assert!(gathered.by(at) <= spread.by(at) + 1e-12);
        }
    }
}
