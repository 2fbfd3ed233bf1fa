//! Transforms of 3MF: twelve numbers, row vectors.

/// `p' = p M + t`: nine numbers of `M` by rows, then `t` (core specification 3.3, verified).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Transform([f64; 12]);

impl Transform {
    /// No change.
    pub(super) const IDENTITY: Self =
        Self([1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0]);

    /// Twelve finite numbers that keep a solid solid.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let mut words = text.split_ascii_whitespace();
        let mut numbers = [0.0; 12];
        for number in &mut numbers {
            *number = words.next()?.parse().ok()?;
        }
        let found = Self(numbers);
        let sound = words.next().is_none() && numbers.iter().all(|c| c.is_finite());
        (sound && found.determinant().abs() > 0.0).then_some(found)
    }

    /// First `self`, then `outer` (core specification 4.2: the child's transform comes first).
    pub(super) fn then(&self, outer: &Self) -> Self {
        let (inner, outer) = (&self.0, &outer.0);
        let mut out = [0.0; 12];
        for row in 0..4 {
            for col in 0..3 {
                let turned: f64 = (0..3)
                    .map(|k| inner[3 * row + k] * outer[3 * k + col])
                    .sum();
                out[3 * row + col] = turned + if row == 3 { outer[9 + col] } else { 0.0 };
            }
        }
        Self(out)
    }

    /// The point moved.
    pub(super) fn apply(&self, p: [f64; 3]) -> [f64; 3] {
        let t = &self.0;
        std::array::from_fn(|col| {
            p[0] * t[col] + p[1] * t[3 + col] + p[2] * t[6 + col] + t[9 + col]
        })
    }

    /// Whether it turns solids inside out.
    pub(super) fn mirrors(&self) -> bool {
        self.determinant() < 0.0
    }

    /// The move in another unit.
    pub(super) fn scale_move(&mut self, scale: f64) {
        self.0[9..].iter_mut().for_each(|c| *c *= scale);
    }

    fn determinant(&self) -> f64 {
        let t = &self.0;
        t[0] * (t[4] * t[8] - t[5] * t[7]) - t[1] * (t[3] * t[8] - t[5] * t[6])
            + t[2] * (t[3] * t[7] - t[4] * t[6])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_units::tolerance::close;

    #[test]
    fn the_child_goes_first_and_rows_multiply_from_the_left() {
        let quarter_turn = Transform::parse("0 1 0 -1 0 0 0 0 1 0 0 0").unwrap();
        let shift = Transform::parse("1 0 0 0 1 0 0 0 1 10 0 0").unwrap();
        for (both, expected) in [
            (shift.then(&quarter_turn), [0.0, 11.0, 0.0]),
            (quarter_turn.then(&shift), [10.0, 1.0, 0.0]),
        ] {
            let found = both.apply([1.0, 0.0, 0.0]);
            assert!(
                found
                    .iter()
                    .zip(expected)
                    .all(|(&a, b)| close(a, b, 0.0, 1e-12)),
                "{found:?}"
            );
        }
        assert!(!shift.mirrors());
        assert!(
            Transform::parse("-1 0 0 0 1 0 0 0 1 0 0 0")
                .unwrap()
                .mirrors()
        );
    }

    #[test]
    fn only_twelve_finite_numbers_with_thickness_are_a_transform() {
        for text in [
            "",
            "1 0 0 0 1 0 0 0 1 0 0",
            "1 0 0 0 1 0 0 0 1 0 0 0 0",
            "1 0 0 x 0 1 0 0 0 1 0 0 0",
            "1 0 0 0 1 0 0 0 1 0 0 inf",
            "1 0 0 0 1 0 0 0 0 0 0 0",
        ] {
            assert_eq!(Transform::parse(text), None, "{text}");
        }
    }
}
