//! Findings about the part as it stands on the bed.

use partpledge_mesh::overhang;

use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// Surfaces within a quarter of a layer of the bed lie on it. Derived here.
const ON_BED_LAYERS: f64 = 0.25;
/// Less hanging surface than this is not worth a word, in squares of the line width.
/// Common practice, no source.
const NOTICED_LINES: f64 = 4.0;

pub(crate) fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    hanging(subject).into_iter().collect()
}

fn hanging(subject: &Subject<'_>) -> Option<Finding> {
    let limits = subject.limits;
    let on_bed_mm = ON_BED_LAYERS * limits.layer_height_mm;
    let hangs = overhang(subject.mesh, subject.up, limits.overhang_deg, on_bed_mm);
    let noticed_mm2 = NOTICED_LINES * limits.line_width_mm * limits.line_width_mm;
    (hangs.area_mm2 > noticed_mm2).then(|| Finding {
        code: "overhang",
        severity: Severity::Warning,
        place_mm: hangs.place_mm,
        measured: Some(hangs.area_mm2),
        limit: Some(noticed_mm2),
        unit: "mm2",
        why: format!(
            "{} mm² of the surface hang over more than {} degrees from upright, with nothing \
             below. There the plastic sags unless supports are printed under it, which cost time \
             and leave marks.",
            short(hangs.area_mm2),
            short(limits.overhang_deg)
        ),
        what_to_do: format!(
            "Turn the part so that its flat side lies on the bed, or slope the underside to at \
             most {} degrees from upright: a chamfer instead of a shelf, a pointed arch instead \
             of a flat roof.",
            short(limits.overhang_deg)
        ),
        source: "45 degrees: Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47, \
                 abstract read; for other sheets atan(line width / 2 layer heights), derived here",
    })
}
