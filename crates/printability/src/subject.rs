//! What is judged, and against what.

use partpledge_catalogue::Warping;
use partpledge_mesh::{Facts, Mesh, Repaired};

use crate::layers::Cut;
use crate::unit_guess::UnitJudgement;

/// What the process sheet allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Width of a printed line in mm.
    pub line_width_mm: f64,
    /// Height of a layer in mm.
    pub layer_height_mm: f64,
    /// Greatest lean of an unsupported surface, in degrees from the vertical.
    pub overhang_deg: f64,
}

impl Limits {
    /// Limits for a sheet, with the overhang at which half of each line still rests on the
    /// layer below: `atan(w / 2h)`.
    ///
    /// # Source
    /// Geometry, derived here: 0.4 wide and 0.2 high gives 45 degrees, 0.45 gives 48.366.
    ///
    /// ```
    /// use partpledge_printability::Limits;
    /// assert!((Limits::of_lines(0.45, 0.20).overhang_deg - 48.366).abs() < 5e-4);
    /// ```
    #[must_use]
    pub fn of_lines(line_width_mm: f64, layer_height_mm: f64) -> Self {
        let overhang_deg = (line_width_mm / (2.0 * layer_height_mm))
            .atan()
            .to_degrees();
        Self {
            line_width_mm,
            layer_height_mm,
            overhang_deg,
        }
    }

    /// Limits with the 45 degrees that most shops use.
    ///
    /// # Source
    /// Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47 (abstract read): prints
    /// passed at 45 degrees and less.
    #[must_use]
    pub fn usual(line_width_mm: f64, layer_height_mm: f64) -> Self {
        Self {
            line_width_mm,
            layer_height_mm,
            overhang_deg: 45.0,
        }
    }
}

/// The plastic that the part is to be made of, and how it is filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plastic {
    /// How strongly it pulls its corners off the bed.
    pub warping: Warping,
    /// Mass of a cubic millimetre in g.
    pub density_g_mm3: f64,
    /// How much of the inside is filled, 0 to 1.
    pub infill_share: f64,
    /// Plastic that the filling takes in a second, mm³.
    pub infill_mm3_s: f64,
    /// Thickness of the walls that are laid round every outline, mm.
    pub walls_mm: f64,
}

/// A printer's room.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// The printer's or its class's name.
    pub name: String,
    /// Usable x, y and z in mm.
    pub size_mm: [f64; 3],
}

/// A part to be judged.
#[derive(Clone, Debug)]
pub struct Subject<'a> {
    /// The mesh as it would be printed: the mended one if it was mended.
    pub mesh: &'a Mesh,
    /// Facts of the mesh as welded, before mending.
    pub facts: &'a Facts,
    /// What was mended, if anything.
    pub repaired: Option<&'a Repaired>,
    /// Triangles left out in welding: two corners fell together.
    pub degenerate_dropped: usize,
    /// Triangles left out in welding: there twice.
    pub duplicates_dropped: usize,
    /// Middle of the first of those, in mm.
    pub duplicate_place_mm: Option<[f64; 3]>,
    /// What unit was taken, and how surely.
    pub unit: UnitJudgement,
    /// What the process sheet allows.
    pub limits: Limits,
    /// Volume with what overlaps counted once, mm³, where several bodies are in the file.
    pub united_mm3: Option<f64>,
    /// The plastic, if it is known: without it nothing is said of warping or of solid blocks.
    pub plastic: Option<Plastic>,
    /// The printers' rooms; empty when none are known.
    pub beds: &'a [Bed],
    /// How many of them take the part as it stands, turned on the bed by any angle. Without it, as it
    /// could stand.
    pub beds_as_it_stands: Option<usize>,
    /// Direction in the part's own axes that points up on the bed; a unit vector.
    pub up: [f64; 3],
    /// The part cut at every layer, standing so; without it, nothing is read off the layers.
    pub cut: Option<Cut<'a>>,
}

impl Subject<'_> {
    /// Facts after mending.
    pub(crate) fn final_facts(&self) -> &Facts {
        self.repaired.map_or(self.facts, |repaired| &repaired.facts)
    }
}
