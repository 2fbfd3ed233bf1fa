//! Laid parts on beds, and the plates as 3MF.

use partpledge_formats::write::{Placement as Placed, three_mf_plate};
use partpledge_formats::{RawMesh, RawPart};
use partpledge_plates::{Bed, Effort, Item, Layout, layout};
use partpledge_units::length::LengthUnit;

use crate::error::WorkshopError;
use crate::estimating::LaidPart;

/// Usual gap between parts and to the edge, mm. Common practice, no source.
pub const CLEARANCE_MM: f64 = 4.0;

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
    }
}

/// Lays out copies of parts on as few plates as found.
///
/// # Errors
/// [`WorkshopError::Layout`].
pub fn lay_out(
    parts: &[(&LaidPart, usize)],
    bed_mm: [f64; 2],
    clearance_mm: f64,
) -> Result<Vec<Layout>, WorkshopError> {
    let items: Vec<Item> = parts
        .iter()
        .map(|(part, copies)| item(part, *copies))
        .collect();
    Ok(layout(
        &items,
        &Bed {
            size_mm: bed_mm,
            clearance_mm,
        },
        Effort::default(),
    )?)
}

/// One plate as a 3MF: every copy turned and moved to its place.
#[must_use]
pub fn plate_3mf(parts: &[&LaidPart], plate: &Layout) -> Vec<u8> {
    let objects: Vec<RawPart> = parts
        .iter()
        .map(|part| RawPart {
            name: part.name.clone(),
            mesh: RawMesh {
                vertices: part.mesh.vertices.clone(),
                triangles: part.mesh.triangles.clone(),
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
                object: p.item,
                transform,
            }
        })
        .collect();
    three_mf_plate(&objects, &items, LengthUnit::Millimetre)
}
