//! A QR code (ISO/IEC 18004) as one path of unit squares.

use qrcode::types::Color;
use qrcode::{EcLevel, QrCode};

/// A code with its side in squares, quiet zone not counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Qr {
    pub(crate) side: usize,
    /// With the quiet zone of four squares on every side that the standard asks for.
    pub(crate) view: String,
    pub(crate) path: String,
}

/// The code of a text; `None` for one that is too long.
pub(crate) fn qr(text: &str) -> Option<Qr> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let side = code.width();
    let mut path = String::new();
    for (i, color) in code.to_colors().into_iter().enumerate() {
        if color == Color::Dark {
            path.push_str(&format!("M{} {}h1v1h-1z", i % side, i / side));
        }
    }
    let view = format!("-4 -4 {0} {0}", side + 8);
    Some(Qr { side, view, path })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_corner_marks_are_there() {
        let code = qr("http://localhost:8717/plates/214").unwrap();
        assert!(code.side >= 21, "version 1 has 21 squares a side");
        let last = code.side - 1;
        for corner in [(0, 0), (last, 0), (0, last)] {
            assert!(code.path.contains(&format!("M{} {}h1", corner.0, corner.1)));
        }
        assert!(
            !code.path.contains(&format!("M{} {}h1", 7, 0)),
            "the mark's white rim"
        );
        assert_eq!(qr(&"x".repeat(5_000)), None);
    }
}
