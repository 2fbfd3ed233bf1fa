//! Findings about the part as it stands on the bed.

use partpledge_mesh::{overhang, resting};
use partpledge_words::said;

use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// Surfaces within a quarter of a layer of the bed lie on it. Derived here.
const ON_BED_LAYERS: f64 = 0.25;
/// Less hanging surface than this is not worth a word, mm²; nor a smaller share of all of the
/// surface than the second number. Common practice, no source.
const NOTICED_MM2: f64 = 25.0;
const NOTICED_SHARE: f64 = 0.01;
/// A part that falls over when it leans this little is likely to be knocked over by the nozzle,
/// degrees. Common practice, no source.
const TIPS_DEG: f64 = 7.0;
/// Lower parts stick to the bed well enough however they stand, mm. Common practice, no source.
const LOW_MM: f64 = 15.0;
/// A part this many times as high as the square root of the surface it stands on needs a wider
/// foot. Common practice, no source.
const SLENDER: f64 = 8.0;

pub(crate) fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    [hanging(subject), balance(subject)]
        .into_iter()
        .flatten()
        .collect()
}

/// How firmly it stands: by balance first, then by how little it touches the bed.
fn balance(subject: &Subject<'_>) -> Option<Finding> {
    let on_bed_mm = ON_BED_LAYERS * subject.limits.layer_height_mm;
    let solid = subject.final_facts().watertight;
    let stands = resting(subject.mesh, subject.up, on_bed_mm, solid);
    if stands.height_mm < LOW_MM {
        return None;
    }
    if stands.tip_over_deg < TIPS_DEG {
        return Some(Finding {
            code: "tips-over",
            severity: Severity::Warning,
            place_mm: None,
            measured: Some(stands.tip_over_deg),
            limit: Some(TIPS_DEG),
            unit: "deg",
            why: said!("findings-tips-over", angle = short(stands.tip_over_deg)),
            what_to_do: said!("findings-tips-over-do"),
            source: "static balance, derived here; 7 degrees: common practice, no source",
        });
    }
    let foot_mm = stands.contact_area_mm2.max(0.0).sqrt();
    let slender = stands.height_mm / foot_mm.max(1e-6);
    (slender > SLENDER).then(|| Finding {
        code: "small-foot",
        severity: Severity::Warning,
        place_mm: None,
        measured: Some(stands.contact_area_mm2),
        limit: Some((stands.height_mm / SLENDER).powi(2)),
        unit: "mm2",
        why: said!(
            "findings-small-foot",
            high = short(stands.height_mm),
            area = short(stands.contact_area_mm2)
        ),
        what_to_do: said!("findings-small-foot-do"),
        source: "height over the root of the foot's area, 8: common practice, no source",
    })
}

fn hanging(subject: &Subject<'_>) -> Option<Finding> {
    let limits = subject.limits;
    let on_bed_mm = ON_BED_LAYERS * limits.layer_height_mm;
    let hangs = overhang(subject.mesh, subject.up, limits.overhang_deg, on_bed_mm);
    let noticed_mm2 = NOTICED_MM2.max(NOTICED_SHARE * subject.final_facts().area_mm2);
    (hangs.area_mm2 > noticed_mm2).then(|| Finding {
        code: "overhang",
        severity: Severity::Warning,
        place_mm: hangs.place_mm,
        measured: Some(hangs.area_mm2),
        limit: Some(noticed_mm2),
        unit: "mm2",
        why: said!(
            "findings-overhang-area",
            area = short(hangs.area_mm2),
            angle = short(limits.overhang_deg)
        ),
        what_to_do: said!(
            "findings-overhang-area-do",
            angle = short(limits.overhang_deg)
        ),
        source: "45 degrees: Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47, \
                 abstract read; for other sheets atan(line width / 2 layer heights), derived here",
    })
}
