//! Whether a box fits into another, turned any way about the upright axis.

/// Whether a box of `size_mm` can stand in `room_mm` with its z upright, turned on the floor
/// by any angle.
///
/// # Source
/// Rectangle in rectangle: J. E. Wetzel, "Rectangles in rectangles", Mathematics Magazine 73
/// (2000), after Carver 1957; from memory. p x q fits a x b (p >= q, a >= b) if `p <= a` and
/// `q <= b`, or if `p > a` and `b >= (2pqa + (p² - q²)·√(p² + q² - a²)) / (p² + q²)`.
///
/// ```
/// use partpledge_mesh::fits_standing;
/// assert!(fits_standing([240.0, 40.0, 10.0], [200.0, 200.0, 180.0]));
/// assert!(!fits_standing([245.0, 40.0, 10.0], [200.0, 200.0, 180.0]));
/// ```
#[must_use]
pub fn fits_standing(size_mm: [f64; 3], room_mm: [f64; 3]) -> bool {
    let (p, q) = (size_mm[0].max(size_mm[1]), size_mm[0].min(size_mm[1]));
    let (a, b) = (room_mm[0].max(room_mm[1]), room_mm[0].min(room_mm[1]));
    let straight = p <= a && q <= b;
    let turned = p > a && {
        let (squares, gap) = (p * p + q * q, p * p - q * q);
        let least = (2.0 * p * q * a + gap * (squares - a * a).max(0.0).sqrt()) / squares;
        q <= b && b >= least
    };
    size_mm[2] <= room_mm[2] && (straight || turned)
}

/// Whether the box fits with any of its three directions upright.
///
/// ```
/// use partpledge_mesh::fits_any_way_up;
/// assert!(fits_any_way_up([20.0, 20.0, 250.0], [200.0, 200.0, 180.0]));
/// ```
#[must_use]
pub fn fits_any_way_up([x, y, z]: [f64; 3], room_mm: [f64; 3]) -> bool {
    [[x, y, z], [y, z, x], [z, x, y]]
        .into_iter()
        .any(|size| fits_standing(size, room_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_a_square_the_diagonal_is_the_best_turn() {
        // A 10 x 1 stick at 45 degrees takes 11/√2 = 7.7782 each way (geometry, derived here).
        assert!(fits_standing([10.0, 1.0, 1.0], [7.7783, 7.7783, 1.0]));
        assert!(!fits_standing([1.0, 10.0, 1.0], [7.7781, 7.7781, 1.0]));
    }

    #[test]
    fn height_is_not_traded_when_standing() {
        assert!(!fits_standing([20.0, 20.0, 250.0], [300.0, 300.0, 180.0]));
        assert!(!fits_any_way_up([400.0, 10.0, 10.0], [200.0, 200.0, 180.0]));
        assert!(fits_standing([180.0, 210.0, 5.0], [210.0, 180.0, 5.0]));
    }
}
