//! Numbers as people write them.

use partpledge_words::{Said, Value, said};

/// `123.4 x 56 x 7 mm`.
pub(crate) fn size(size_mm: [f64; 3]) -> Said {
    let [x, y, z] = size_mm.map(short);
    said!("findings-size", x = x, y = y, z = z)
}

/// Up to one decimal from 10 upwards, up to two below, up to three below a tenth.
pub(crate) fn short(value: f64) -> Value {
    let digits = if value.abs() >= 10.0 {
        1
    } else if value.abs() >= 0.1 {
        2
    } else {
        3
    };
    partpledge_words::short(value, digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_people_write_them() {
        let size = size([100.0, 12.34, 0.25]).to_string();
        assert_eq!(size, "100 x 12.3 x 0.25 mm");
        assert_eq!(short(0.0).to_string(), "0");
        assert_eq!(
            (short(4.0625).to_string(), short(0.014).to_string()),
            ("4.06".to_owned(), "0.014".to_owned())
        );
    }
}
