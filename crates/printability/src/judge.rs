//! All findings of a part, worst first.

use partpledge_mesh::vector::{dot, length, minus};

use crate::finding::Finding;
use crate::subject::Subject;
use crate::{floors, layers, shape, size, standing};

/// Collects every finding; the blocking ones come first, and each kind in a fixed order.
///
/// Of the surface: `open-edges`, `crowded-edges`, `mixed-facing`, `inside-out`,
/// `small-hole-filled`, `doubled-triangles`, `enclosed-hollow`, `several-shells`,
/// `overlapping-shells`, `self-crossing`. Of the size: `unit-doubtful`, `unit-guessed`,
/// `fits-no-printer`, `fits-some-printers`. Of how it stands: `overhang`, `tips-over`,
/// `small-foot`. Read off the layers: `overhang` again, with how far it sticks out,
/// `starts-in-air`, `long-bridge`, `trapped-support`, `thin-wall`, `narrow-gap`, `small-hole`,
/// `thin-pin`, `fine-text`, `finer-than-line`, `warping-corner`, `solid-block`. By rays through the solid:
/// `thin-floor`. Each has its lesson in [`crate::lessons`].
///
/// ```
/// use partpledge_mesh::{Mesh, facts};
/// use partpledge_printability::{Limits, Severity, Subject, guess_unit, judge};
/// let mesh = Mesh {
///     vertices: vec![[0.0; 3], [20.0, 0.0, 0.0], [0.0, 20.0, 0.0]],
///     triangles: vec![[0, 1, 2]],
/// };
/// let findings = judge(&Subject {
///     mesh: &mesh,
///     facts: &facts(&mesh, 1),
///     repaired: None,
///     degenerate_dropped: 0,
///     duplicates_dropped: 0,
///     duplicate_place_mm: None,
///     unit: guess_unit([20.0, 20.0, 0.0], None, 250.0),
///     limits: Limits::usual(0.45, 0.2),
///     plastic: None,
///     united_mm3: None,
///     beds: &[],
///     beds_as_it_stands: None,
///     up: [0.0, 0.0, 1.0],
///     cut: None,
/// });
/// assert_eq!((findings[0].code, findings[0].severity), ("open-edges", Severity::Blocking));
/// ```
#[must_use]
pub fn judge(subject: &Subject<'_>) -> Vec<Finding> {
    // The layers take longest and share themselves among the threads; the surface is looked at
    // beside them. Each list keeps its own order, so the answer does not depend on who is first.
    let (layered, (mut findings, floor)) = rayon::join(
        || layers::findings(subject),
        || (shape::findings(subject), floors::finding(subject)),
    );
    findings.extend(size::findings(subject));
    // A measured ledge, bridge or piece in mid-air says more than an area that hangs there.
    let standing = standing::findings(subject).into_iter();
    findings.extend(standing.filter(|finding| !told_by(finding, &layered, subject.up)));
    findings.extend(layered);
    findings.extend(floor);
    findings.sort_by_key(|finding| finding.severity);
    // Every test that judges anything proves that what it found is taught.
    debug_assert!(
        findings
            .iter()
            .all(|finding| crate::lessons::lesson(finding.code).is_some()),
        "a code without a lesson in lessons.rs"
    );
    findings
}

/// Findings nearer to each other than this are of the same place, mm, and so are those this near in
/// height: the middle of a ring that hangs is far from any of its faces.
const SAME_PLACE_MM: f64 = 10.0;
const SAME_HEIGHT_MM: f64 = 0.5;

/// Whether something measured on the layers speaks of the same hanging place.
fn told_by(finding: &Finding, layered: &[Finding], up: [f64; 3]) -> bool {
    let near = |other: &Finding| match (finding.place_mm, other.place_mm) {
        (Some(a), Some(b)) => {
            let apart = minus(a, b);
            length(apart) < SAME_PLACE_MM || dot(apart, up).abs() < SAME_HEIGHT_MM
        }
        _ => true,
    };
    layers::over_air(finding.code)
        && layered
            .iter()
            .filter(|other| layers::over_air(other.code))
            .any(near)
}

#[cfg(test)]
mod tests;
