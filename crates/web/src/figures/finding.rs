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
use partpledge_words::say;
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
            "trapped-support" => side::marked(self, &say!("findings-pic-no-way-in")),
            "solid-block" => side::marked(self, &say!("findings-pic-solid")),
            "thin-floor" => side::floor(self),
            "several-shells" | "overlapping-shells" => clay::bodies(self),
            "fits-no-printer" | "fits-some-printers" => size::fit(self),
            "unit-doubtful" | "unit-guessed" | "finer-than-line" => size::beside_a_pencil(self),
            "tips-over" | "small-foot" => size::standing(self),
            _ => None,
        };
        asked
            .or_else(|| clay::close(self))
            .or_else(|| clay::all(self, &say!("findings-pic-somewhere")))
    }

    /// The drawing as a file. `None` for a part that can't be drawn.
    pub(crate) fn svg(&self) -> Option<String> {
        let picture = self.picture()?;
        let measured = picture.dimensions.iter().map(|found| {
            let long = number(found.long_mm());
            let label = &found.label;
            say!("findings-line-says", long = long, label = label)
        });
        let says: Vec<String> = [alt(self.finding)].into_iter().chain(measured).collect();
        Some(picture.sheet.finished(&says.join(" ")))
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
    partpledge_words::short(value, digits).to_string()
}

/// So many mm, as it stands beside a line.
fn mm(value: f64) -> String {
    say!("findings-pic-mm", n = number(value))
}

/// What stands under the picture: what is drawn.
pub(crate) fn caption(finding: &StoredFinding) -> String {
    say(match finding.code.as_str() {
        "thin-wall" | "thin-pin" | "fine-text" | "narrow-gap" | "small-hole" => {
            "findings-shows-layer"
        }
        "warping-corner" => "findings-shows-foot",
        "overhang" => "findings-shows-overhang",
        "long-bridge" => "findings-shows-bridge",
        "starts-in-air" => "findings-shows-in-air",
        "enclosed-hollow" => "findings-shows-hollow",
        "trapped-support" | "solid-block" | "thin-floor" => "findings-shows-cut",
        "several-shells" | "overlapping-shells" => "findings-shows-bodies",
        "fits-no-printer" | "fits-some-printers" => "findings-shows-room",
        "unit-doubtful" | "unit-guessed" | "finer-than-line" => "findings-shows-pencil",
        "tips-over" | "small-foot" => "findings-shows-standing",
        _ => "findings-shows-close",
    })
    .to_string()
}

/// What the picture shows, with the number, for those who can't see it.
pub(crate) fn alt(finding: &StoredFinding) -> String {
    let shows = caption(finding);
    let Some(n) = finding.measured.map(number) else {
        return shows;
    };
    let measured = match finding.code.as_str() {
        "thin-wall" | "thin-pin" | "fine-text" => say!("findings-marked-plastic", n = n),
        "narrow-gap" => say!("findings-marked-gap", n = n),
        "small-hole" => say!("findings-marked-hole", n = n),
        "starts-in-air" => say!("findings-air-below", n = n),
        "open-edges" | "crowded-edges" | "mixed-facing" => say!("findings-bad-edges", n = n),
        _ if matches!(finding.unit.as_str(), "" | "confidence") => return shows,
        _ => {
            let gap = if finding.unit == "deg" { "" } else { " " };
            let much = format!("{n}{gap}{}", crate::words::unit(&finding.unit));
            say!("findings-measured", much = much)
        }
    };
    format!("{shows} {measured}")
}
