//! A close-up of the skin in clay, from a side where the place is seen, with bad edges drawn heavy.

use partpledge_drawing::{Canvas, Drawing, best_view, draw_close};
use partpledge_mesh::facts::bad_edges;
use partpledge_mesh::{Mesh, ShellRole};
use partpledge_words::{Said, say};

use super::ink::{HEIGHT, Sheet, WIDTH};
use super::{About, Picture};

/// Twice as fine as it is shown.
const CANVAS: Canvas = Canvas {
    width_px: 640,
    height_px: 480,
    margin_px: 10,
};
/// The close-up shows this share of the part's diagonal, but never less than the second, mm.
const SHARE: f64 = 0.4;
const LEAST_MM: f64 = 25.0;
/// Bad edges drawn, the nearest first.
const MOST_EDGES: usize = 400;
/// Room of a name, px.
const NAME_PX: [f64; 2] = [56.0, 17.0];
/// Bodies named.
const MOST_BODIES: usize = 6;

/// The skin round the place.
pub(super) fn close(about: &About<'_>) -> Option<Picture> {
    let place = about.place_mm?;
    let (low, high) = about.mesh.bounds()?;
    let diagonal = (0..3)
        .map(|k| (high[k] - low[k]).powi(2))
        .sum::<f64>()
        .sqrt();
    let half = (SHARE * diagonal).max(LEAST_MM) / 2.0;
    let near = if diagonal <= LEAST_MM {
        (low, high)
    } else {
        (place.map(|x| x - half), place.map(|x| x + half))
    };
    let (drawing, mut sheet) = drawn(&about.mesh, &[place], near)?;
    let edges = edges(about, place);
    for [a, b] in &edges {
        let middle = std::array::from_fn(|k| f64::midpoint(a[k], b[k]));
        let hidden = drawing.hidden(middle);
        sheet.cased(
            at(&drawing, *a),
            at(&drawing, *b),
            if hidden { 1.25 } else { 3.5 },
            hidden,
        );
    }
    sheet.ring(at(&drawing, place), 17.0);
    let word = word(&about.finding.code).to_string();
    let [x, y] = at(&drawing, place);
    sheet.text([x, y - 24.0], "middle", true, &word);
    Some(Picture {
        sheet,
        dimensions: Vec::new(),
    })
}

/// The whole part with its bodies numbered.
pub(super) fn bodies(about: &About<'_>) -> Option<Picture> {
    let facts = about
        .part
        .repaired
        .as_ref()
        .map_or(&about.part.facts, |r| &r.facts);
    let shells = facts
        .shells
        .iter()
        .filter(|shell| shell.role != ShellRole::Void);
    let places: Vec<[f64; 3]> = shells
        .take(MOST_BODIES)
        .map(|shell| about.standing(shell.place_mm))
        .collect();
    let (drawing, mut sheet) = drawn(&about.mesh, &places, about.mesh.bounds()?)?;
    let mut taken: Vec<[f64; 2]> = Vec::new();
    for (n, place) in places.iter().enumerate() {
        let [x, mut y] = at(&drawing, *place);
        // Names that would lie on each other go below each other.
        while taken
            .iter()
            .any(|[u, v]| (u - x).abs() < NAME_PX[0] && (v - y).abs() < NAME_PX[1])
        {
            y += NAME_PX[1];
        }
        taken.push([x, y]);
        let name = say!("findings-pic-body", n = n + 1);
        sheet.text([x, y + 5.0], "middle", true, &name);
    }
    Some(Picture {
        sheet,
        dimensions: Vec::new(),
    })
}

/// The whole part and a word.
pub(super) fn all(about: &About<'_>, word: &str) -> Option<Picture> {
    let (_, mut sheet) = drawn(&about.mesh, &[], about.mesh.bounds()?)?;
    sheet.text([WIDTH / 2.0, HEIGHT - 10.0], "middle", true, word);
    Some(Picture {
        sheet,
        dimensions: Vec::new(),
    })
}

fn drawn(mesh: &Mesh, places: &[[f64; 3]], near: ([f64; 3], [f64; 3])) -> Option<(Drawing, Sheet)> {
    let drawing = draw_close(mesh, best_view(mesh, places), CANVAS, near)?;
    let mut sheet = Sheet::default();
    sheet.image(&drawing.png());
    Some((drawing, sheet))
}

/// A point on the sheet, which is half as fine as the drawing.
fn at(drawing: &Drawing, point_mm: [f64; 3]) -> [f64; 2] {
    drawing.place(point_mm).map(|px| px / 2.0)
}

/// What a bad edge is called on the drawing.
fn word(code: &str) -> Said {
    say(match code {
        "open-edges" => "findings-pic-open",
        "crowded-edges" => "findings-pic-crowded",
        "mixed-facing" => "findings-pic-wrong-way",
        "self-crossing" => "findings-pic-cross",
        "inside-out" => "findings-pic-inside-out",
        "small-hole-filled" => "findings-pic-closed",
        "doubled-triangles" => "findings-pic-twice",
        _ => "findings-pic-here",
    })
}

/// The bad edges that the finding is about, as it stands, nearest first.
fn edges(about: &About<'_>, place: [f64; 3]) -> Vec<[[f64; 3]; 2]> {
    let code = about.finding.code.as_str();
    if !matches!(code, "open-edges" | "crowded-edges" | "mixed-facing") {
        return Vec::new();
    }
    let bad = bad_edges(&about.mesh);
    let list = match code {
        "open-edges" => bad.open,
        "crowded-edges" => bad.crowded,
        _ => bad.misoriented,
    };
    let corner = |i: u32| about.mesh.vertices[i as usize];
    let mut edges: Vec<[[f64; 3]; 2]> = list
        .into_iter()
        .map(|(a, b)| [corner(a), corner(b)])
        .collect();
    let far = |[a, b]: &[[f64; 3]; 2]| {
        (0..3)
            .map(|k| (f64::midpoint(a[k], b[k]) - place[k]).powi(2))
            .sum::<f64>()
    };
    edges.sort_by(|a, b| far(a).total_cmp(&far(b)));
    edges.truncate(MOST_EDGES);
    edges
}
