//! Findings about the surface itself: closed, facing outwards, in one piece.

use partpledge_mesh::repair::WIDEST_FILLED_MM;
use partpledge_mesh::{Facts, RepairStep, ShellRole, crossings};
use partpledge_words::{decimal, grouped, said};

use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

const SOLID: &str = "3MF core specification 1.4.0 (ISO/IEC 25422), read: a model mesh must be \
                     closed, face outwards throughout, and share each edge between exactly two \
                     triangles";
const HERE: &str = "derived here";

pub(crate) fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    let after = subject.final_facts();
    let found = [
        open_edges(after),
        crowded_edges(after),
        mixed_facing(subject),
        inside_out(subject),
        holes_filled(subject),
        enclosed_hollow(after),
        several_shells(after),
        overlapping_shells(subject),
        crossing(subject),
        doubled_triangles(subject),
    ];
    found.into_iter().flatten().collect()
}

fn open_edges(facts: &Facts) -> Option<Finding> {
    let open = &facts.open;
    (open.edges > 0).then(|| Finding {
        code: "open-edges",
        severity: Severity::Blocking,
        place_mm: open.place_mm,
        measured: Some(open.edges as f64),
        limit: Some(0.0),
        unit: "edges",
        why: said!(
            "findings-open-edges",
            gaps = grouped(open.runs),
            edges = grouped(open.edges),
            long = decimal(open.longest_run_mm, 1)
        ),
        what_to_do: said!("findings-open-edges-do"),
        source: SOLID,
    })
}

fn crowded_edges(facts: &Facts) -> Option<Finding> {
    let crowded = &facts.crowded;
    (crowded.edges > 0).then(|| Finding {
        code: "crowded-edges",
        severity: Severity::Blocking,
        place_mm: crowded.place_mm,
        measured: Some(crowded.edges as f64),
        limit: Some(0.0),
        unit: "edges",
        why: said!("findings-crowded-edges", n = grouped(crowded.edges)),
        what_to_do: said!("findings-crowded-edges-do"),
        source: SOLID,
    })
}

fn mixed_facing(subject: &Subject<'_>) -> Option<Finding> {
    let (before, after) = (subject.facts.misoriented, subject.final_facts().misoriented);
    let turned = subject.repaired.and_then(|repaired| {
        repaired.steps.iter().find_map(|step| match step {
            RepairStep::FacingMadeEqual { triangles, .. } => Some(*triangles),
            RepairStep::TurnedOutward { .. } | RepairStep::SmallHolesFilled { .. } => None,
        })
    });
    let (severity, trouble, why, what_to_do) = if after.edges > 0 {
        let why = said!("findings-mixed-facing", n = grouped(after.edges));
        let what = said!("findings-mixed-facing-do");
        (Severity::Blocking, after, why, what)
    } else {
        let why = said!("findings-mixed-facing-turned", n = grouped(turned?));
        let what = said!("findings-mixed-facing-turned-do");
        (Severity::Note, before, why, what)
    };
    Some(Finding {
        code: "mixed-facing",
        severity,
        place_mm: trouble.place_mm,
        measured: Some(trouble.edges as f64),
        limit: Some(0.0),
        unit: "edges",
        why,
        what_to_do,
        source: SOLID,
    })
}

fn inside_out(subject: &Subject<'_>) -> Option<Finding> {
    let wrong_now = subject
        .final_facts()
        .shells_that_are(ShellRole::InsideOut)
        .count();
    let turned = subject.repaired.and_then(|repaired| {
        repaired.steps.iter().find_map(|step| match step {
            RepairStep::TurnedOutward { shells, .. } => Some(*shells),
            RepairStep::FacingMadeEqual { .. } | RepairStep::SmallHolesFilled { .. } => None,
        })
    });
    let (severity, count, why, what_to_do) = match (wrong_now, turned) {
        (0, None) => return None,
        (0, Some(turned)) => (
            Severity::Note,
            turned,
            said!("findings-inside-out-turned", n = grouped(turned)),
            said!("findings-inside-out-turned-do"),
        ),
        (wrong, _) => (
            Severity::Blocking,
            wrong,
            said!("findings-inside-out", n = grouped(wrong)),
            said!("findings-inside-out-do"),
        ),
    };
    let places = [subject.facts, subject.final_facts()];
    let place = places
        .iter()
        .find_map(|facts| facts.shells_that_are(ShellRole::InsideOut).next());
    Some(Finding {
        code: "inside-out",
        severity,
        place_mm: place.map(|shell| shell.place_mm),
        measured: Some(count as f64),
        limit: Some(0.0),
        unit: "shells",
        why,
        what_to_do,
        source: SOLID,
    })
}

fn holes_filled(subject: &Subject<'_>) -> Option<Finding> {
    let steps = subject.repaired.map_or(&[][..], |repaired| &repaired.steps);
    let filled = steps.iter().find_map(|step| match *step {
        RepairStep::SmallHolesFilled {
            holes,
            widest_mm,
            place_mm,
            ..
        } => Some((holes, widest_mm, place_mm)),
        _ => None,
    });
    let (holes, widest_mm, place_mm) = filled?;
    let (before, after) = (subject.facts.open.edges, subject.final_facts().open.edges);
    Some(Finding {
        code: "small-hole-filled",
        severity: Severity::Note,
        place_mm: Some(place_mm),
        measured: Some(widest_mm),
        limit: Some(WIDEST_FILLED_MM),
        unit: "mm",
        why: said!(
            "findings-small-hole-filled",
            holes = grouped(holes),
            wide = short(widest_mm),
            before = grouped(before),
            after = grouped(after)
        ),
        what_to_do: said!("findings-small-hole-filled-do"),
        source: "only flat holes of at most 5 mm and a tenth of the part: common practice, no \
                 source",
    })
}

fn enclosed_hollow(facts: &Facts) -> Option<Finding> {
    let hollows: Vec<_> = facts.shells_that_are(ShellRole::Void).collect();
    let volume_mm3: f64 = hollows
        .iter()
        .filter_map(|shell| shell.volume_mm3)
        .map(f64::abs)
        .sum();
    let first = hollows.first()?;
    Some(Finding {
        code: "enclosed-hollow",
        severity: Severity::Warning,
        place_mm: Some(first.place_mm),
        measured: Some(volume_mm3),
        limit: Some(0.0),
        unit: "mm3",
        why: said!(
            "findings-enclosed-hollow",
            n = grouped(hollows.len()),
            volume = decimal(volume_mm3, 0)
        ),
        what_to_do: said!("findings-enclosed-hollow-do"),
        source: HERE,
    })
}

fn several_shells(facts: &Facts) -> Option<Finding> {
    let bodies = || {
        facts
            .shells
            .iter()
            .filter(|shell| shell.role != ShellRole::Void)
    };
    let count = bodies().count();
    let smallest = bodies().min_by_key(|shell| shell.faces)?;
    (count > 1).then(|| Finding {
        code: "several-shells",
        severity: Severity::Note,
        place_mm: Some(smallest.place_mm),
        measured: Some(count as f64),
        limit: Some(1.0),
        unit: "shells",
        why: said!("findings-several-shells", n = grouped(count)),
        what_to_do: said!("findings-several-shells-do"),
        source: HERE,
    })
}

/// Less overlap than this share of the whole is rounding of the layers.
const OVERLAP_SHARE: f64 = 0.01;

fn overlapping_shells(subject: &Subject<'_>) -> Option<Finding> {
    let (united, each) = (subject.united_mm3?, subject.final_facts().volume_mm3?);
    let twice = each - united;
    (twice > OVERLAP_SHARE * united).then(|| Finding {
        code: "overlapping-shells",
        severity: Severity::Note,
        place_mm: None,
        measured: Some(twice),
        limit: Some(0.0),
        unit: "mm3",
        why: said!(
            "findings-overlapping-shells",
            each = decimal(each, 0),
            united = decimal(united, 0)
        ),
        what_to_do: said!("findings-join-bodies-do"),
        source: "3MF core specification 1.4.0 (ISO/IEC 25422), read: overlapping volumes are \
                 united; volume from sections, derived here",
    })
}

/// Most crossing pairs that are counted; a student needs no more.
const MOST_CROSSINGS: usize = 1_000;

fn crossing(subject: &Subject<'_>) -> Option<Finding> {
    let found = crossings(subject.mesh, MOST_CROSSINGS);
    let why = match found.pairs {
        0 => return None,
        MOST_CROSSINGS => said!("findings-self-crossing-many", n = grouped(MOST_CROSSINGS)),
        n => said!("findings-self-crossing", n = grouped(n)),
    };
    Some(Finding {
        code: "self-crossing",
        severity: Severity::Note,
        place_mm: found.place_mm,
        measured: Some(found.pairs as f64),
        limit: Some(0.0),
        unit: "pairs",
        why,
        what_to_do: said!("findings-join-bodies-do"),
        source: "3MF core specification 1.4.0 (ISO/IEC 25422), read: overlapping volumes are \
                 united; exact signs by Shewchuk 1997, derived here",
    })
}

fn doubled_triangles(subject: &Subject<'_>) -> Option<Finding> {
    let count = subject.duplicates_dropped;
    (count > 0).then(|| Finding {
        code: "doubled-triangles",
        severity: Severity::Note,
        place_mm: subject.duplicate_place_mm,
        measured: Some(count as f64),
        limit: Some(0.0),
        unit: "triangles",
        why: said!("findings-doubled-triangles", n = grouped(count)),
        what_to_do: said!("findings-doubled-triangles-do"),
        source: HERE,
    })
}
