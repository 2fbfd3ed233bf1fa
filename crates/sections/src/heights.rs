//! Where to cut: the middle of each layer.

use partpledge_words::say;

/// The most layers that are cut: 4 m at 0.04 mm.
pub const MAX_LAYERS: usize = 100_000;

/// Why no heights were given; the rejected value is inside.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum HeightsError {
    /// A layer height is not a positive number.
    #[error("{}", bad_layer(*.0))]
    BadLayer(f64),
    /// The top is not above the bottom, or one of them is no number.
    #[error("{}", say!("errors-no-height", low = z_min_mm.to_string(), high = z_max_mm.to_string()))]
    NoHeight {
        /// Bottom of the part.
        z_min_mm: f64,
        /// Top of the part.
        z_max_mm: f64,
    },
    /// More than [`MAX_LAYERS`] would be needed.
    #[error("{}", say!("errors-too-many-layers", height = height_mm.to_string(), layer = layer_mm.to_string(), most = MAX_LAYERS))]
    TooMany {
        /// Height of the part.
        height_mm: f64,
        /// Height of a layer.
        layer_mm: f64,
    },
}

fn bad_layer(mm: f64) -> String {
    say!("errors-bad-layer", layer = mm.to_string())
}

/// The mid-plane of each layer of a part that stands between two heights, in mm, from the
/// bottom up.
///
/// A layer is laid when its middle is inside the part, so a part half a layer too high or too
/// low is rounded. A part lower than that still gets one layer, cut at half its height.
///
/// # Errors
/// [`HeightsError`] for a layer height that is not positive, an empty part, or too many layers.
///
/// ```
/// use partpledge_sections::heights;
/// assert_eq!(heights(0.0, 20.0, 0.2, 0.2).unwrap().len(), 100);
/// let z = heights(1.0, 1.5, 0.3, 0.2).unwrap();
/// assert!((z[0] - 1.15).abs() < 1e-12 && (z[1] - 1.4).abs() < 1e-12 && z.len() == 2);
/// ```
pub fn heights(
    z_min_mm: f64,
    z_max_mm: f64,
    first_layer_mm: f64,
    layer_mm: f64,
) -> Result<Vec<f64>, HeightsError> {
    for value in [first_layer_mm, layer_mm] {
        if !(value > 0.0 && value.is_finite()) {
            return Err(HeightsError::BadLayer(value));
        }
    }
    let height_mm = z_max_mm - z_min_mm;
    if !(height_mm > 0.0 && height_mm.is_finite()) {
        return Err(HeightsError::NoHeight { z_min_mm, z_max_mm });
    }
    if height_mm <= first_layer_mm / 2.0 {
        return Ok(vec![z_min_mm + height_mm / 2.0]);
    }
    // Middles are at first + (k - 1/2)·layer for k = 1, 2, ...; the last must lie below the top.
    // The slack keeps 20 mm of 0.2 mm layers at 100 whatever the rounding.
    let above = (height_mm - first_layer_mm) / layer_mm + 0.5 - 1e-6;
    if above > MAX_LAYERS as f64 {
        return Err(HeightsError::TooMany {
            height_mm,
            layer_mm,
        });
    }
    let more = partpledge_units::cast::round_usize(above.max(0.0).floor()).unwrap_or(0);
    let middle = |k: usize| match k {
        0 => first_layer_mm / 2.0,
        k => first_layer_mm + (k as f64 - 0.5) * layer_mm,
    };
    Ok((0..=more).map(|k| z_min_mm + middle(k)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_middle_lies_inside_and_the_next_would_not() {
        for height in [0.05, 0.11, 0.2, 0.31, 7.0, 19.99, 20.0, 20.09, 20.11] {
            let z = heights(0.0, height, 0.2, 0.2).unwrap();
            assert!(z.iter().all(|&z| z > 0.0 && z < height), "{height}");
            assert!(
                z.len() == 1 || z[z.len() - 1] + 0.2 >= height - 1e-6,
                "{height}"
            );
        }
    }

    #[test]
    fn impossible_heights_are_refused_with_their_value() {
        assert_eq!(
            heights(0.0, 1.0, 0.0, 0.2),
            Err(HeightsError::BadLayer(0.0))
        );
        assert!(matches!(
            heights(1.0, 1.0, 0.2, 0.2),
            Err(HeightsError::NoHeight { .. })
        ));
        assert!(matches!(
            heights(0.0, f64::NAN, 0.2, 0.2),
            Err(HeightsError::NoHeight { .. })
        ));
        assert!(matches!(
            heights(0.0, 1e9, 0.2, 0.2),
            Err(HeightsError::TooMany { .. })
        ));
    }
}
