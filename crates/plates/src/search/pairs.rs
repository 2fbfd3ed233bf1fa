//! How much each pair overlaps and how much that weighs.

/// Smallest and largest growth of a stuck pair's weight in a round.
const GROWTH: [f32; 2] = [1.2, 2.0];
/// What is left of the weight of a pair that is apart, at least 1.
const FADING: f32 = 0.95;

/// Losses and weights of all pairs, kept twice so that a copy's are in one row.
#[derive(Clone, Debug)]
pub(crate) struct Pairs {
    many: usize,
    loss: Vec<f32>,
    weight: Vec<f32>,
}

impl Pairs {
    /// `many` copies, none of which overlap.
    pub(crate) fn apart(many: usize) -> Self {
        Self {
            many,
            loss: vec![0.0; many * many],
            weight: vec![1.0; many * many],
        }
    }

    /// Losses of one copy with each other.
    pub(crate) fn losses(&self, i: usize) -> &[f32] {
        &self.loss[i * self.many..(i + 1) * self.many]
    }

    /// Weights of one copy's pairs.
    pub(crate) fn weights(&self, i: usize) -> &[f32] {
        &self.weight[i * self.many..(i + 1) * self.many]
    }

    /// Weighted loss of one copy.
    pub(crate) fn cost(&self, i: usize) -> f32 {
        let pairs = self.losses(i).iter().zip(self.weights(i));
        pairs.map(|(loss, weight)| loss * weight).sum()
    }

    /// Whether a copy overlaps any.
    pub(crate) fn stuck(&self, i: usize) -> bool {
        self.losses(i).iter().any(|&loss| loss > 0.0)
    }

    /// Forgets the losses of one copy.
    pub(crate) fn clear(&mut self, i: usize) {
        for j in 0..self.many {
            self.set(i, j, 0.0);
        }
    }

    /// Notes the loss of a pair.
    pub(crate) fn set(&mut self, i: usize, j: usize, loss: f32) {
        self.loss[i * self.many + j] = loss;
        self.loss[j * self.many + i] = loss;
    }

    /// Sum over all pairs, unweighted.
    pub(crate) fn total(&self) -> f32 {
        self.loss.iter().sum::<f32>() / 2.0
    }

    /// Copies of the losses, to come back to.
    pub(crate) fn save(&self) -> Vec<f32> {
        self.loss.clone()
    }

    /// Losses as they were; the weights stay, being what was learnt.
    pub(crate) fn restore(&mut self, loss: &[f32]) {
        self.loss.copy_from_slice(loss);
    }

    /// All weights back to one.
    pub(crate) fn forget(&mut self) {
        self.weight.fill(1.0);
    }

    /// The deeper a pair is stuck, the more its weight grows; others fade.
    ///
    /// # Source
    /// Guided local search, Voudouris and Tsang 1999; growth by the share of the worst overlap as
    /// in Gardeyn, Vanden Berghe and Wauters 2025. Both from memory.
    pub(crate) fn learn(&mut self) {
        let most = self.loss.iter().copied().fold(0.0, f32::max);
        if most <= 0.0 {
            return;
        }
        for (weight, &loss) in self.weight.iter_mut().zip(&self.loss) {
            *weight *= if loss > 0.0 {
                GROWTH[0] + (GROWTH[1] - GROWTH[0]) * loss / most
            } else {
                FADING
            };
            *weight = weight.clamp(1.0, 1e12);
        }
    }
}
