//! A part as a page shows it: standing, cut at any one layer, from the side and from above, and
//! light enough to be turned.

use std::sync::{Arc, OnceLock};

use partpledge_drawing::{Lighter, lighter};
use partpledge_mesh::Mesh;
pub use partpledge_printability::layers::Why;
use partpledge_printability::layers::marks;
use partpledge_records::StoredRequest;
use partpledge_sections::outlines::{area_mm2, bounds_mm, to_mm};
use partpledge_sections::{Outlines, heights, silhouette, slice};

use crate::error::WorkshopError;
use crate::plate_room::{label, opened_file};
use crate::session::Session;

/// Most triangles that a page is given to turn: what a school laptop or a phone draws smoothly.
/// Common practice, no source.
pub const MOST_TURNED: usize = 150_000;
/// Most marks on the drawing of a layer.
const MOST_MARKS: usize = 6;

/// Closed outlines in mm, the last point joined to the first.
pub type Rings = Vec<Vec<[f64; 2]>>;

/// A part standing as it will be printed. What takes long is worked out when it is first asked for.
#[derive(Debug)]
pub struct ShownPart {
    /// For people.
    pub name: String,
    /// Standing on z = 0, mm.
    pub mesh: Mesh,
    /// Middle of every layer, mm; empty for a part that can't be cut.
    pub heights_mm: Vec<f64>,
    /// Height of the first layer, mm.
    pub first_layer_mm: f64,
    /// Height of every other layer, mm.
    pub layer_mm: f64,
    line_width_mm: f64,
    front: OnceLock<Rings>,
    above: OnceLock<Rings>,
    light: OnceLock<Lighter>,
}

/// One layer.
#[derive(Clone, Debug, PartialEq)]
pub struct ShownLayer {
    /// Which, from the bed up, the first is 1.
    pub n: usize,
    /// Height of its middle, mm.
    pub z_mm: f64,
    /// Where there is plastic: outer outlines run left, holes right.
    pub rings: Rings,
    /// Area of that, mm².
    pub area_mm2: f64,
    /// Width and depth of the box round it, mm; `None` for an empty layer.
    pub size_mm: Option<[f64; 2]>,
    /// What to point at, largest first.
    pub marks: Vec<ShownMark>,
    /// The skin is open at this height: the outline is a guess, and nothing is marked.
    pub guess: bool,
}

/// A marked place of a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct ShownMark {
    /// Why it is marked.
    pub why: Why,
    /// The place.
    pub rings: Rings,
}

/// Part `k` of a request's file, counted from 0; `None` if it has fewer. Kept at hand.
///
/// # Errors
/// As [`opened_file`].
pub async fn shown_part(
    session: &Session,
    request: &StoredRequest,
    k: usize,
) -> Result<Option<Arc<ShownPart>>, WorkshopError> {
    let (label, process, _) = label(session, request)?;
    if let Some(known) = session.shelf.shown(&label, k) {
        return Ok(Some(known));
    }
    let opened = opened_file(session, request).await?;
    let Some(part) = opened.judged.parts.get(k) else {
        return Ok(None);
    };
    let sheet = &process.sheet;
    let lines = [
        sheet.first_layer_height_mm,
        sheet.layer_height_mm,
        sheet.line_width_mm,
    ];
    let shown = ShownPart::new(part.name.clone(), part.standing_mesh(), lines);
    Ok(Some(session.shelf.keep_shown(&label, k, shown)))
}

impl ShownPart {
    /// A mesh that stands on z = 0; heights of the first layer and of the others, and the width of
    /// a line, mm.
    #[must_use]
    pub fn new(
        name: String,
        mesh: Mesh,
        [first_layer_mm, layer_mm, line_width_mm]: [f64; 3],
    ) -> Self {
        let high = mesh.bounds().map_or(0.0, |(_, high)| high[2]);
        // A part too flat or too high for layers is shown without.
        let heights_mm = heights(0.0, high, first_layer_mm, layer_mm).unwrap_or_default();
        Self {
            name,
            mesh,
            heights_mm,
            first_layer_mm,
            layer_mm,
            line_width_mm,
            front: OnceLock::new(),
            above: OnceLock::new(),
            light: OnceLock::new(),
        }
    }

    /// The layer in which a height lies, counted from 1 and kept between the first and the last.
    #[must_use]
    pub fn layer_at(&self, z_mm: f64) -> usize {
        let half = self.layer_mm / 2.0;
        let below = |&middle: &f64| middle + half <= z_mm;
        let n = self.heights_mm.iter().skip(1).filter(|z| below(z)).count();
        let first = usize::from(z_mm >= self.first_layer_mm);
        (1 + first + n).min(self.heights_mm.len().max(1))
    }

    /// Layer `n`, counted from 1. `None` if there is no such layer, or the mesh can't be cut.
    #[must_use]
    pub fn layer(&self, n: usize) -> Option<ShownLayer> {
        let at = n.checked_sub(1)?;
        let z_mm = *self.heights_mm.get(at)?;
        let below = at.checked_sub(1).map(|b| self.heights_mm[b]);
        let cut: Vec<f64> = below.into_iter().chain([z_mm]).collect();
        let mut sections = slice(&self.mesh, &cut).ok()?;
        let section = sections.pop()?;
        let below = sections.pop();
        let guess = section.open_chains > 0 || below.as_ref().is_some_and(|b| b.open_chains > 0);
        let below = below.map(|below| below.outlines);
        let found = if guess {
            Vec::new()
        } else {
            marks(below.as_ref(), &section.outlines, self.line_width_mm)
        };
        let shown = found.into_iter().take(MOST_MARKS).map(|mark| ShownMark {
            why: mark.why,
            rings: rings(&mark.outlines),
        });
        Some(ShownLayer {
            n,
            z_mm,
            area_mm2: area_mm2(&section.outlines),
            size_mm: bounds_mm(&section.outlines)
                .map(|(low, high)| [high[0] - low[0], high[1] - low[1]]),
            rings: rings(&section.outlines),
            marks: shown.collect(),
            guess,
        })
    }

    /// Its outline seen from the front: x to the right, height up, mm.
    pub fn front(&self) -> &Rings {
        self.front.get_or_init(|| {
            let lean = |&[x, y, z]: &[f64; 3]| [x, z, -y];
            let mesh = Mesh {
                vertices: self.mesh.vertices.iter().map(lean).collect(),
                triangles: self.mesh.triangles.clone(),
            };
            silhouette(&mesh).map_or_else(|_| Rings::new(), |found| rings(&found))
        })
    }

    /// Its outline seen from above: x to the right, y away from the front, mm.
    pub fn above(&self) -> &Rings {
        let found = || silhouette(&self.mesh).map_or_else(|_| Rings::new(), |found| rings(&found));
        self.above.get_or_init(found)
    }

    /// A copy that is light enough to be turned: at most about [`MOST_TURNED`] triangles.
    pub fn light(&self) -> &Lighter {
        self.light.get_or_init(|| lighter(&self.mesh, MOST_TURNED))
    }
}

pub(crate) fn rings(outlines: &Outlines) -> Rings {
    let ring = |path: &Vec<_>| path.iter().map(|&point| to_mm(point)).collect();
    outlines.iter().map(ring).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(low: [f64; 3], high: [f64; 3]) -> Mesh {
        let raw = partpledge_testbed::shapes::boxes(&[(low, high)]);
        Mesh {
            vertices: raw.vertices,
            triangles: raw.triangles,
        }
    }

    fn shown(mesh: Mesh) -> ShownPart {
        ShownPart::new("block".to_owned(), mesh, [0.3, 0.2, 0.4])
    }

    #[test]
    fn the_layer_at_a_height_is_the_one_whose_middle_lies_in_it() {
        let part = shown(block([0.0; 3], [10.0, 20.0, 5.0]));
        for (at, &z) in part.heights_mm.iter().enumerate() {
            for off in [-0.09, 0.0, 0.09] {
                assert_eq!(part.layer_at(z + off), at + 1, "{z} {off}");
            }
        }
        assert_eq!(
            (part.layer_at(-3.0), part.layer_at(99.0)),
            (1, part.heights_mm.len())
        );
        assert!(part.layer(0).is_none() && part.layer(part.heights_mm.len() + 1).is_none());
    }

    #[test]
    fn a_layer_has_its_size_and_area_and_the_sides_their_shadows() {
        let part = shown(block([2.0, 3.0, 0.0], [12.0, 23.0, 5.0]));
        let layer = part.layer(7).unwrap();
        let [width, depth] = layer.size_mm.unwrap();
        assert!((width - 10.0).abs() < 1e-3 && (depth - 20.0).abs() < 1e-3);
        assert!((layer.area_mm2 - 200.0).abs() < 0.01 && !layer.guess && layer.marks.is_empty());
        let height = |rings: &Rings| rings.iter().flatten().map(|p| p[1]).fold(0.0, f64::max);
        assert!((height(part.front()) - 5.0).abs() < 0.06);
        assert!((height(part.above()) - 23.0).abs() < 0.06);
        assert_eq!(
            part.light().within_mm,
            None,
            "twelve triangles are light enough"
        );
    }

    #[test]
    fn an_open_skin_is_told_to_be_a_guess() {
        let mut open = block([0.0; 3], [10.0, 20.0, 5.0]);
        open.triangles.remove(4);
        open.triangles.remove(4);
        assert!(shown(open).layer(3).unwrap().guess);
    }
}
