//! A picture for one finding, made from the very part: a close-up of a layer, an upright cut, the
//! skin in clay, or the whole part to scale.

mod clay;
mod cut;
mod ink;
mod layer;
mod side;
mod size;
#[cfg(test)]
mod tests;

use partpledge_mesh::Mesh;
use partpledge_printability::Bed;
use partpledge_records::stored::StoredFinding;
use partpledge_workshop::intake::JudgedPart;

use self::cut::Across;
use self::ink::{Dimension, Sheet};
use crate::figures::part::standing_point;

/// What a picture is made from.
pub(crate) struct About<'a> {
    pub(crate) part: &'a JudgedPart,
    /// The part as it stands.
    pub(crate) mesh: Mesh,
    pub(crate) finding: &'a StoredFinding,
    /// Where the finding is, on the part as it stands.
    pub(crate) place_mm: Option<[f64; 3]>,
    pub(crate) line_mm: f64,
    pub(crate) layer_mm: f64,
    pub(crate) beds: &'a [Bed],
}

/// A finished drawing and what was measured on it.
#[derive(Clone, Debug)]
pub(crate) struct Picture {
    sheet: Sheet,
    /// What was measured on it.
    dimensions: Vec<Dimension>,
}

impl<'a> About<'a> {
    pub(crate) fn new(
        part: &'a JudgedPart,
        finding: &'a StoredFinding,
        (line_mm, layer_mm): (f64, f64),
        beds: &'a [Bed],
    ) -> Self {
        Self {
            part,
            mesh: part.standing_mesh(),
            finding,
            place_mm: finding.place_mm.map(|place| standing_point(part, place)),
            line_mm,
            layer_mm,
            beds,
        }
    }

    fn standing(&self, point_mm: [f64; 3]) -> [f64; 3] {
        standing_point(self.part, point_mm)
    }

    /// The drawing that the finding asks for; the skin in clay where that can't be made.
    fn picture(&self) -> Option<Picture> {
        let asked = match self.finding.code.as_str() {
            "thin-wall" | "thin-pin" | "fine-text" => layer::picture(self, Across::Plastic),
            "narrow-gap" | "small-hole" => layer::picture(self, Across::Air),
            "warping-corner" => layer::foot(self),
            "overhang" | "long-bridge" => side::over_air(self),
            "starts-in-air" => side::in_air(self),
            "enclosed-hollow" => side::hollow(self),
            "trapped-support" => side::marked(self, "no way in"),
            "solid-block" => side::marked(self, "all solid here"),
            "thin-floor" => side::floor(self),
            "several-shells" | "overlapping-shells" => clay::bodies(self),
            "fits-no-printer" | "fits-some-printers" => size::fit(self),
            "unit-doubtful" | "unit-guessed" => size::beside_a_pencil(self),
            "tips-over" | "small-foot" => size::standing(self),
            _ => None,
        };
        asked
            .or_else(|| clay::close(self))
            .or_else(|| clay::all(self, "somewhere on the part"))
    }

    /// The drawing as a file. `None` for a part that can't be drawn.
    pub(crate) fn svg(&self) -> Option<String> {
        let picture = self.picture()?;
        let measured = picture.dimensions.iter().map(|found| {
            let long = number(found.long_mm());
            format!(" A line {long} mm long says: {}.", found.label)
        });
        let says: String = measured.collect();
        Some(
            picture
                .sheet
                .finished(&format!("{}{says}", alt(self.finding))),
        )
    }
}

/// Up to two decimals, none that say nothing.
pub(crate) fn number(value: f64) -> String {
    let digits = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        2
    };
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// What stands under the picture: what is drawn.
pub(crate) fn caption(finding: &StoredFinding) -> &'static str {
    match finding.code.as_str() {
        "thin-wall" | "thin-pin" | "fine-text" | "narrow-gap" | "small-hole" => {
            "One layer of your part, from above. The small drawing is all of it."
        }
        "warping-corner" => "The foot of your part, seen from above, with the corner in a ring.",
        "overhang" => "Your part, cut from top to bottom where it hangs out.",
        "long-bridge" => "Your part, cut from top to bottom through the gap.",
        "starts-in-air" => "Your part, cut from top to bottom where the piece starts.",
        "enclosed-hollow" => "Your part, cut from top to bottom through the hollow.",
        "trapped-support" | "solid-block" | "thin-floor" => "Your part, cut from top to bottom.",
        "several-shells" | "overlapping-shells" => "Your part with its bodies numbered.",
        "fits-no-printer" | "fits-some-printers" => {
            "Your part and, dashed, the room of our largest printer, to one scale."
        }
        "unit-doubtful" | "unit-guessed" => "Your part and a new pencil, to one scale.",
        "tips-over" | "small-foot" => "Your part from the side that it would fall to.",
        _ => "A close look at your part, with the place in a ring.",
    }
}

/// What the picture shows, with the number, for those who can't see it.
pub(crate) fn alt(finding: &StoredFinding) -> String {
    let shows = caption(finding);
    let unit = crate::words::unit(&finding.unit);
    let measured = finding.measured.map(number);
    match (finding.code.as_str(), measured) {
        ("thin-wall" | "thin-pin" | "fine-text", Some(n)) => {
            format!("{shows} Marked with arrows: {n} mm of plastic, beside one printed line.")
        }
        ("narrow-gap", Some(n)) => {
            format!("{shows} Marked with arrows: a gap of {n} mm, beside one printed line.")
        }
        ("small-hole", Some(n)) => {
            format!("{shows} Marked with arrows: a hole {n} mm across, beside one printed line.")
        }
        ("starts-in-air", Some(n)) => format!("{shows} {n} mm of air are below it."),
        ("open-edges" | "crowded-edges" | "mixed-facing", Some(n)) => {
            format!("{shows} The bad edges are drawn heavy; there are {n}.")
        }
        (_, Some(n)) if !matches!(finding.unit.as_str(), "" | "confidence") => {
            let gap = if unit == "°" { "" } else { " " };
            format!("{shows} Measured: {n}{gap}{unit}.")
        }
        _ => shows.to_owned(),
    }
}
