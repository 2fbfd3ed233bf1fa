//! Laid parts on beds, and the plates as 3MF.

use partpledge_catalogue::PrinterClass;
use partpledge_formats::write::{Placement as Placed, three_mf_plate};
use partpledge_formats::{RawMesh, RawPart};
use partpledge_plates::{Bed, Effort, Item, Layout, Room, TallGap, Turns, pack};
use partpledge_units::length::LengthUnit;

use crate::error::WorkshopError;
use crate::estimating::LaidPart;

/// Usual gap between parts and to the edge, mm. Common practice, no source.
pub const CLEARANCE_MM: f64 = 4.0;

/// `A`, `B` ... `Z`, `AA`, `AB` ...: how parts are marked on a plate.
///
/// ```
/// use partpledge_workshop::laying_out::letters;
/// assert_eq!([0, 25, 26, 701, 702].map(letters), ["A", "Z", "AA", "ZZ", "AAA"]);
/// ```
#[must_use]
pub fn letters(i: usize) -> String {
    let letter = |i: usize| char::from(b'A' + u8::try_from(i % 26).unwrap_or(0));
    match i / 26 {
        0 => letter(i).to_string(),
        more => format!("{}{}", letters(more - 1), letter(i)),
    }
}

/// A laid part as an item to lay out.
#[must_use]
pub fn item(part: &LaidPart, copies: usize) -> Item {
    let outlines = part
        .shadow
        .iter()
        .map(|path| path.iter().map(|p| [p.x, p.y]).collect())
        .collect();
    Item {
        name: part.name.clone(),
        outlines,
        copies,
        turns: Turns::Any,
        height_mm: part.size_mm[2],
    }
}

/// The bed of a class with the usual gaps.
#[must_use]
pub fn room(class: &PrinterClass) -> Room {
    Room {
        bed: Bed {
            size_mm: [class.bed_mm[0], class.bed_mm[1]],
            clearance_mm: CLEARANCE_MM,
            edge_mm: CLEARANCE_MM,
        },
        plates: None,
        tall: class.carriage.map(|carriage| TallGap {
            above_mm: carriage.above_mm,
            gap_mm: carriage.gap_mm,
        }),
    }
}

/// Lays out copies of parts on as few plates of a room as found. Quotes take the default effort,
/// milliseconds; many parts are worth [`Effort::strong`].
///
/// # Errors
/// [`WorkshopError::Layout`].
pub fn lay_out(
    parts: &[(&LaidPart, usize)],
    room: &Room,
    effort: Effort,
) -> Result<Vec<Layout>, WorkshopError> {
    let items: Vec<Item> = parts
        .iter()
        .map(|(part, copies)| item(part, *copies))
        .collect();
    let packed = pack(&items, &[*room], effort)?;
    Ok(packed
        .plates
        .into_iter()
        .map(|plate| plate.layout)
        .collect())
}

/// One plate as a 3MF: an object for each part on it, placed once for every copy.
#[must_use]
pub fn plate_3mf(parts: &[&LaidPart], plate: &Layout) -> Vec<u8> {
    let mut on_it: Vec<usize> = plate.placements.iter().map(|p| p.item).collect();
    on_it.sort_unstable();
    on_it.dedup();
    let objects: Vec<RawPart> = on_it
        .iter()
        .map(|&item| RawPart {
            name: parts[item].name.clone(),
            mesh: RawMesh {
                vertices: parts[item].mesh.vertices.clone(),
                triangles: parts[item].mesh.triangles.clone(),
            },
        })
        .collect();
    let items: Vec<Placed> = plate
        .placements
        .iter()
        .map(|p| {
            let (sin, cos) = p.rotation_deg.to_radians().sin_cos();
            // Row vectors: the columns of the usual matrix are rows here.
            let transform = [
                cos, sin, 0.0, -sin, cos, 0.0, 0.0, 0.0, 1.0, p.x_mm, p.y_mm, 0.0,
            ];
            Placed {
                object: on_it.partition_point(|&item| item < p.item),
                transform,
            }
        })
        .collect();
    three_mf_plate(&objects, &items, LengthUnit::Millimetre)
}
