//! Findings about the surface itself: closed, facing outwards, in one piece.

use partpledge_mesh::repair::WIDEST_FILLED_MM;
use partpledge_mesh::{Facts, RepairStep, ShellRole, crossings};

use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::{grouped, many, short};

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
        why: format!(
            "The surface is not closed: it has {} with {} along the rim. The rim of the largest \
             is {:.1} mm long. Where the surface is open, a printer cannot tell inside from \
             outside, and the part has no certain volume.",
            many(open.runs, "gap", "gaps"),
            many(open.edges, "open edge", "open edges"),
            open.longest_run_mm
        ),
        what_to_do: "Close the gap at the marked place. In your CAD program, fill the hole or \
                     join the surfaces until the part is one solid body, then export it again. A \
                     flat sheet needs a thickness."
            .to_owned(),
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
        why: format!(
            "At {} more than two surfaces meet. That happens when two bodies only touch along \
             an edge, or when a wall is drawn inside a body. It is then not certain which side \
             is inside.",
            many(crowded.edges, "edge", "edges")
        ),
        what_to_do: "Look at the marked place. Let the two bodies overlap a little and unite them \
                     into one, or move them apart; delete walls inside the body. Then export \
                     again."
            .to_owned(),
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
        let why = format!(
            "Along {} the neighbouring triangles face opposite ways, so inside and outside are \
             mixed up. We could not mend this without guessing.",
            many(after.edges, "edge", "edges")
        );
        let what = "At the marked place, make the surface face outwards everywhere (CAD programs \
                    call it flipping or unifying the face normals), or rebuild that part as a \
                    solid body, and export again.";
        (Severity::Blocking, after, why, what)
    } else {
        let why = format!(
            "{} faced the other way than the triangles around. We turned {} over; the shape is \
             unchanged.",
            many(turned?, "triangle", "triangles"),
            if turned? == 1 { "it" } else { "them" }
        );
        let what = "Nothing, if the picture looks right. Check the marked place.";
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
        what_to_do: what_to_do.to_owned(),
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
    let (severity, count, done) = match (wrong_now, turned) {
        (0, None) => return None,
        (0, Some(turned)) => {
            let it = if turned == 1 { "it" } else { "them" };
            (
                Severity::Note,
                turned,
                format!("We turned {it} the right side out."),
            )
        }
        (wrong, _) => (
            Severity::Blocking,
            wrong,
            "It would print as nothing.".to_owned(),
        ),
    };
    let what_to_do = match severity {
        Severity::Note => {
            "Nothing, if the picture looks right. A mirrored part often comes out \
                           like this: check that it is not the mirror image of what you want."
        }
        _ => "Flip the surface so that it faces outwards, and export again.",
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
        why: format!(
            "{} turned inside out: the outer faces point inwards. {done}",
            many(count, "closed body is", "closed bodies are")
        ),
        what_to_do: what_to_do.to_owned(),
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
        why: format!(
            "The skin had {}, {} mm across at the widest. We closed {} with flat triangles between \
             the corners that were there: {} before, {} now.",
            many(holes, "small flat hole", "small flat holes"),
            short(widest_mm),
            if holes == 1 { "it" } else { "them" },
            many(before, "open edge", "open edges"),
            if after == 0 {
                "none".to_owned()
            } else {
                grouped(after)
            },
        ),
        what_to_do: "Nothing, if the picture looks right at the marked place. To mend the drawing \
                     itself, fill the hole in your CAD program and export again."
            .to_owned(),
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
        why: format!(
            "The part has {} inside with no way out, {volume_mm3:.0} mm³ in all. It can be \
             printed, but nobody can reach in to take out supports or loose material.",
            many(hollows.len(), "closed hollow", "closed hollows")
        ),
        what_to_do: "If the hollow is meant, keep its roof arched so that it needs no support, or \
                     open a hole to it. If it is meant to save material, leave it out: the \
                     inside is printed sparse anyway."
            .to_owned(),
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
        why: format!(
            "The file holds {} separate bodies. They are treated as one part and printed where \
             they stand.",
            grouped(count)
        ),
        what_to_do: "If they belong together, unite them into one body before exporting. If they \
                     are separate parts, send a file for each, so that each can be placed and \
                     counted by itself."
            .to_owned(),
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
        why: format!(
            "Bodies in the file overlap: one by one they hold {each:.0} mm³, together {united:.0} \
             mm³. We print what overlaps once, so the part takes plastic for {united:.0} mm³."
        ),
        what_to_do: "Nothing, if the picture looks right. To be sure, join the bodies into one in \
                     your CAD program and export the part again."
            .to_owned(),
        source: "3MF core specification 1.4.0 (ISO/IEC 25422), read: overlapping volumes are \
                 united; volume from sections, derived here",
    })
}

/// Most crossing pairs that are counted; a student needs no more.
const MOST_CROSSINGS: usize = 1_000;

fn crossing(subject: &Subject<'_>) -> Option<Finding> {
    let found = crossings(subject.mesh, MOST_CROSSINGS);
    let count = match found.pairs {
        0 => return None,
        MOST_CROSSINGS => format!("{} pairs of faces or more", grouped(MOST_CROSSINGS)),
        n => many(n, "pair of faces", "pairs of faces"),
    };
    Some(Finding {
        code: "self-crossing",
        severity: Severity::Note,
        place_mm: found.place_mm,
        measured: Some(found.pairs as f64),
        limit: Some(0.0),
        unit: "pairs",
        why: format!(
            "Surfaces of the part run through each other ({count} cross), as when two bodies \
             overlap. We join what overlaps layer by layer, so it can be printed; another \
             program may take the overlap for a hole."
        ),
        what_to_do: "Nothing, if the picture looks right. To be sure, join the bodies into one in \
                     your CAD program and export the part again."
            .to_owned(),
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
        why: format!(
            "{} in the file twice. We kept one of each.",
            many(count, "triangle is", "triangles are")
        ),
        what_to_do: "Nothing, if the picture looks right. Often a body was copied onto itself: \
                     delete the copy."
            .to_owned(),
        source: HERE,
    })
}
