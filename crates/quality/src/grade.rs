//! Standard tolerance grades: how wide a tolerance is usual for a size, and what prints usually hold.

use partpledge_units::cast::round_i64;
use partpledge_units::micrometre::Micrometres;

/// Ends of the main ranges of sizes, mm; each begins after the one before.
const RANGES_MM: [f64; 13] = [
    3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0,
];
/// Multiples of the tolerance unit `i` for the grades IT5 to IT16.
const MULTIPLES: [f64; 12] = [
    7.0, 10.0, 16.0, 25.0, 40.0, 64.0, 100.0, 160.0, 250.0, 400.0, 640.0, 1_000.0,
];
const FIRST: u8 = 5;

/// The grade that prints of a well-kept machine usually hold. Common practice, no source.
pub const PRINTS_HOLD: u8 = 13;

/// Width of a tolerance of a grade (5 to 16, for IT5 to IT16) at a nominal size in mm; in µm, not
/// rounded as the published table is. `None` for another grade, and for sizes that are not above 0 and
/// up to 500 mm.
///
/// # Source
/// ISO 286-1: `i = 0.45·∛D + 0.001·D` in µm, `D` in mm the geometric mean of the ends of the range that
/// the size lies in (of 1 and 3 for the first); IT5 to IT16 are 7, 10, 16, 25, 40, 64, 100, 160, 250,
/// 400, 640 and 1000 `i`.
///
/// ```
/// use partpledge_quality::grade::width_um;
/// assert!((width_um(7, 25.0).unwrap() - 21.0).abs() < 0.5);
/// assert_eq!(width_um(7, 501.0), None);
/// ```
#[must_use]
pub fn width_um(grade: u8, nominal_mm: f64) -> Option<f64> {
    let multiple = MULTIPLES.get(usize::from(grade.checked_sub(FIRST)?))?;
    if nominal_mm <= 0.0 {
        return None;
    }
    let at = RANGES_MM.iter().position(|end| nominal_mm <= *end)?;
    let before = at.checked_sub(1).map_or(1.0, |before| RANGES_MM[before]);
    let mean = (before * RANGES_MM[at]).sqrt();
    Some(multiple * (0.45 * mean.cbrt() + 0.001 * mean))
}

/// Half the width that prints usually hold at a size: `±` of this, in steps of 10 µm. `None` for sizes
/// that the standard has no range for.
#[must_use]
pub fn prints_hold(nominal: Micrometres) -> Option<Micrometres> {
    let half = width_um(PRINTS_HOLD, nominal.mm())? / 2.0;
    round_i64(half / 10.0).map(|tens| Micrometres(tens * 10))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of the table of ISO 286-1, from memory: grade, a size in the range, µm.
    const TABLE: [(u8, f64, f64); 9] = [
        (5, 25.0, 9.0),
        (7, 25.0, 21.0),
        (8, 9.0, 22.0),
        (9, 45.0, 62.0),
        (11, 5.0, 75.0),
        (12, 70.0, 300.0),
        (13, 8.0, 220.0),
        (13, 40.0, 390.0),
        (14, 100.0, 870.0),
    ];

    #[test]
    fn the_formula_gives_the_published_table_but_for_its_rounding() {
        for (grade, size, published) in TABLE {
            let found = width_um(grade, size).unwrap();
            assert!(
                (found / published - 1.0).abs() < 0.035,
                "IT{grade} at {size}: {found}"
            );
        }
    }

    #[test]
    fn a_larger_size_or_grade_is_never_tighter_and_nothing_is_made_up() {
        for grade in 5..16 {
            for size in 1..500 {
                let size = f64::from(size);
                let here = width_um(grade, size).unwrap();
                assert!(width_um(grade, size + 1.0).unwrap() >= here);
                assert!(width_um(grade + 1, size).unwrap() > here);
            }
        }
        let none = [
            (4, 10.0),
            (17, 10.0),
            (13, 0.0),
            (13, -1.0),
            (13, 500.1),
            (13, f64::NAN),
        ];
        for (grade, size) in none {
            assert_eq!(width_um(grade, size), None, "IT{grade} at {size}");
        }
        assert_eq!(prints_hold(Micrometres(8_000)), Some(Micrometres(110)));
        assert_eq!(prints_hold(Micrometres(40_000)), Some(Micrometres(200)));
        assert_eq!(prints_hold(Micrometres(600_000)), None);
    }
}
