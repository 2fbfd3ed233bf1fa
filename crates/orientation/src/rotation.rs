//! Rotations that bring a direction down.

/// Row-major; rotates column vectors.
pub(crate) type Rotation = [f64; 9];

pub(crate) const AS_SENT: Rotation = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0];

/// The way up in the part's own axes: the last row.
pub(crate) fn up(rotation: &Rotation) -> [f64; 3] {
    [rotation[6], rotation[7], rotation[8]]
}

/// The smallest turn that brings the unit vector `down` onto -z.
///
/// Source: Rodrigues' formula with axis `down × -z`; straight up is a half turn about x.
pub(crate) fn bring_down([x, y, z]: [f64; 3]) -> Rotation {
    if z > 1.0 - 1e-9 {
        return [1.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 0.0, -1.0];
    }
    // With c = -z: R = I·c + [axis]× + axis·axisᵀ/(1 + c), axis = (-y, x, 0).
    let share = 1.0 / (1.0 - z);
    [
        -z + y * y * share,
        -x * y * share,
        x,
        -x * y * share,
        -z + x * x * share,
        y,
        -x,
        -y,
        -z,
    ]
    // No minus zeros: they would show in the output.
    .map(|x| x + 0.0)
}

/// Quarter and half turns for the five other sides: exact, with the side that comes down.
/// Front is towards -y, left towards -x, as on a drawing with z up.
pub(crate) fn sides() -> [(&'static str, Rotation); 5] {
    [
        ("upside down", [0.0, 0.0, 1.0]),
        ("lying on its front", [0.0, -1.0, 0.0]),
        ("lying on its back", [0.0, 1.0, 0.0]),
        ("lying on its left side", [-1.0, 0.0, 0.0]),
        ("lying on its right side", [1.0, 0.0, 0.0]),
    ]
    .map(|(name, down)| (name, bring_down(down)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn apply(r: &Rotation, [x, y, z]: [f64; 3]) -> [f64; 3] {
        std::array::from_fn(|k| r[3 * k] * x + r[3 * k + 1] * y + r[3 * k + 2] * z)
    }

    fn near(a: [f64; 3], b: [f64; 3]) -> bool {
        (0..3).all(|k| (a[k] - b[k]).abs() < 1e-6)
    }

    fn determinant(r: &Rotation) -> f64 {
        r[0] * (r[4] * r[8] - r[5] * r[7]) - r[1] * (r[3] * r[8] - r[5] * r[6])
            + r[2] * (r[3] * r[7] - r[4] * r[6])
    }

    #[test]
    fn each_side_turns_by_quarters_and_mirrors_nothing() {
        for (name, rotation) in sides() {
            assert!(
                rotation
                    .iter()
                    .all(|x| x.abs() < 1e-12 || (x.abs() - 1.0).abs() < 1e-12)
            );
            assert!((determinant(&rotation) - 1.0).abs() < 1e-12, "{name}");
        }
        let (_, back) = sides()[2];
        assert!(near(apply(&back, [0.0, 1.0, 0.0]), [0.0, 0.0, -1.0]));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn any_direction_comes_down(v in prop::array::uniform3(-1.0_f64..1.0)) {
            let size = v.iter().map(|x| x * x).sum::<f64>().sqrt();
            prop_assume!(size > 1e-3);
            let down = v.map(|x| x / size);
            let rotation = bring_down(down);
            prop_assert!(near(apply(&rotation, down), [0.0, 0.0, -1.0]));
            prop_assert!((determinant(&rotation) - 1.0).abs() < 1e-6);
            prop_assert!(near(apply(&rotation, up(&rotation)), [0.0, 0.0, 1.0]));
        }
    }
}
