//! Numbers and plurals as people write them.

/// `1 edge`, `12 edges`.
pub(crate) fn many(count: usize, one: &str, more: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{} {more}", grouped(count))
    }
}

/// `1,234,567`.
pub(crate) fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// `123.4 x 56 x 7 mm`.
pub(crate) fn size(size_mm: [f64; 3]) -> String {
    let [x, y, z] = size_mm.map(short);
    format!("{x} x {y} x {z} mm")
}

/// Up to one decimal from 10 upwards, up to two below, up to three below a tenth.
pub(crate) fn short(value: f64) -> String {
    let text = if value.abs() >= 10.0 {
        format!("{value:.1}")
    } else if value.abs() >= 0.1 {
        format!("{value:.2}")
    } else {
        format!("{value:.3}")
    };
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_people_write_them() {
        assert_eq!(many(1, "edge", "edges"), "1 edge");
        assert_eq!(many(1_234_567, "edge", "edges"), "1,234,567 edges");
        assert_eq!(size([100.0, 12.34, 0.25]), "100 x 12.3 x 0.25 mm");
        assert_eq!(short(0.0), "0");
        assert_eq!(
            (short(4.0625), short(0.014)),
            ("4.06".to_owned(), "0.014".to_owned())
        );
    }
}
