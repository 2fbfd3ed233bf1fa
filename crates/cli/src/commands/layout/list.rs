//! The parts list of a layout: what lies on which plate, as CSV.

use std::fmt::Write as _;

use partpledge_plates::{Layout, Placement};
use partpledge_workshop::estimating::LaidPart;
use partpledge_workshop::laying_out::letters;

/// Names of the columns.
const HEAD: &str = "plate,mark,file,part,copy,x_mm,y_mm,rotation_deg,width_mm,depth_mm,height_mm";

/// Mark of a copy: a letter by part, and a number by copy where there are several.
pub(super) fn mark(copies: &[usize], placed: &Placement) -> String {
    let letter = letters(placed.item);
    if copies[placed.item] == 1 {
        letter
    } else {
        format!("{letter}{}", placed.copy + 1)
    }
}

/// A row a copy, plate by plate, after RFC 4180: lines end in CR LF, and a field with a comma, a
/// quote or a line break is quoted. Sizes are those of the part as it stands, not turned.
pub(super) fn csv(laid: &[(String, LaidPart, usize)], plates: &[Layout]) -> String {
    let copies: Vec<usize> = laid.iter().map(|(.., copies)| *copies).collect();
    let mut out = format!("{HEAD}\r\n");
    for (number, plate) in plates.iter().enumerate() {
        let mut rows: Vec<&Placement> = plate.placements.iter().collect();
        rows.sort_by_key(|p| (p.item, p.copy));
        for p in rows {
            let (file, part, _) = &laid[p.item];
            let [width, depth, height] = part.size_mm;
            let _ = write!(
                out,
                "{},{},{},{},{},{:.3},{:.3},{:.3},{width:.2},{depth:.2},{height:.2}\r\n",
                number + 1,
                mark(&copies, p),
                field(file),
                field(&part.name),
                p.copy + 1,
                p.x_mm,
                p.y_mm,
                p.rotation_deg
            );
        }
    }
    out
}

/// A text as a field. One that a table program would take for a formula gets an apostrophe.
fn field(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if formula {
        format!("'{text}")
    } else {
        text.to_owned()
    };
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_quoted_and_formulas_are_texts() {
        assert_eq!(field("a, b"), "\"a, b\"");
        assert_eq!(field("12\" arm"), "\"12\"\" arm\"");
        assert_eq!(field("=SUM(A1)"), "'=SUM(A1)");
        assert_eq!(field("clip.stl"), "clip.stl");
    }
}
