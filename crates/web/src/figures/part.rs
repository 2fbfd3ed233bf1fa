//! A part's drawing: the still picture in clay with the numbers of its findings beside it.

use partpledge_drawing::{Canvas, Projection, View, best_view, draw};
use partpledge_mesh::Mesh;
use partpledge_words::say;
use partpledge_workshop::intake::JudgedPart;

/// Size of the picture, px, with the margin in which the numbers stand.
pub(crate) const CANVAS: Canvas = Canvas {
    width_px: 720,
    height_px: 620,
    margin_px: 96,
};
/// Size of the small picture in lists.
pub(crate) const SMALL: Canvas = Canvas {
    width_px: 200,
    height_px: 180,
    margin_px: 8,
};
/// Least distance between two numbers, px.
const APART: f64 = 66.0;
/// Distance of the numbers from the picture's side, px.
const SIDE: f64 = 44.0;

/// What kind of finding a number is of: its shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    /// Must change.
    Must,
    /// Worth changing.
    Worth,
    /// Good to know.
    Know,
    /// We fixed it.
    Fixed,
}

impl Kind {
    /// As the client's 3D view knows it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Must => "must",
            Self::Worth => "worth",
            Self::Know => "know",
            Self::Fixed => "fixed",
        }
    }

    /// As the list says it.
    pub(crate) fn says(self) -> String {
        match self {
            Self::Must => say!("plates-kind-must"),
            Self::Worth => say!("plates-kind-worth"),
            Self::Know => say!("plates-kind-know"),
            Self::Fixed => say!("plates-kind-fixed"),
        }
    }

    /// As a template asks.
    pub(crate) fn is(self, word: &str) -> bool {
        self.word() == word
    }
}

/// A number on the drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CallOut {
    pub(crate) n: usize,
    pub(crate) kind: Kind,
    pub(crate) label: String,
    /// Where the number stands, px.
    pub(crate) x: f64,
    pub(crate) y: f64,
    /// Where it points, px.
    pub(crate) to_x: f64,
    pub(crate) to_y: f64,
}

/// A point to be numbered, in the mm of the standing part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Mark {
    pub(crate) n: usize,
    pub(crate) kind: Kind,
    pub(crate) label: String,
    pub(crate) at_mm: [f64; 3],
}

/// A point of the part as sent, on the part as it stands.
pub(crate) fn standing_point(part: &JudgedPart, point_mm: [f64; 3]) -> [f64; 3] {
    let r = &part.standing.rotation;
    let turn = |[x, y, z]: [f64; 3]| -> [f64; 3] {
        std::array::from_fn(|k| r[3 * k] * x + r[3 * k + 1] * y + r[3 * k + 2] * z)
    };
    let corners = part.mesh.triangles.iter().flatten();
    let lowest = corners
        .map(|&i| turn(part.mesh.vertices[i as usize])[2])
        .fold(f64::MAX, f64::min);
    let [x, y, z] = turn(point_mm);
    [x, y, if lowest < f64::MAX { z - lowest } else { z }]
}

/// Larger parts are looked at from the usual side: trying others would take too long.
const TRIED_TRIANGLES: usize = 200_000;
/// Faces that are looked for from every side.
const FACES: usize = 150;
/// Another side must show this much more than the usual one.
const WORTH: f64 = 1.1;
/// Small enough to be quick, large enough to tell what is hidden.
const PROBE: Canvas = Canvas {
    width_px: 120,
    height_px: 120,
    margin_px: 4,
};

/// The side from above that shows most of a part's largest faces; the usual one unless another is
/// clearly better.
fn fullest(mesh: &Mesh) -> View {
    let usual = View::default();
    if mesh.triangles.len() > TRIED_TRIANGLES {
        return usual;
    }
    let faces = largest_faces(mesh);
    let seen = |view: View| {
        let Some(drawing) = draw(mesh, view, PROBE) else {
            return 0.0;
        };
        let shown = faces.iter().filter(|(middle, _)| !drawing.hidden(*middle));
        shown.map(|(_, area)| area.sqrt()).sum::<f64>()
    };
    let mut best = (usual, seen(usual) * WORTH);
    for quarter in 1..4 {
        let view = View {
            azimuth_deg: (usual.azimuth_deg + 90.0 * f64::from(quarter)).rem_euclid(360.0),
            ..usual
        };
        let shown = seen(view);
        if shown > best.1 {
            best = (view, shown);
        }
    }
    best.0
}

/// Middle and area of the largest triangles.
fn largest_faces(mesh: &Mesh) -> Vec<([f64; 3], f64)> {
    let face = |t: &[u32; 3]| {
        let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
        let [u, v]: [[f64; 3]; 2] = [b, c].map(|p| std::array::from_fn(|k| p[k] - a[k]));
        let cross: [f64; 3] = std::array::from_fn(|k| {
            let (i, j) = ((k + 1) % 3, (k + 2) % 3);
            u[i] * v[j] - u[j] * v[i]
        });
        let area = cross.iter().map(|x| x * x).sum::<f64>().sqrt() / 2.0;
        let middle = std::array::from_fn(|k| (a[k] + b[k] + c[k]) / 3.0);
        (middle, area)
    };
    let mut faces: Vec<([f64; 3], f64)> = mesh.triangles.iter().map(face).collect();
    faces.sort_by(|a, b| b.1.total_cmp(&a.1));
    faces.truncate(FACES);
    faces
}

/// From where a part is looked at: so that most of its findings are seen, or most of the part.
pub(crate) fn view(mesh: &Mesh, marks: &[Mark]) -> View {
    if marks.is_empty() {
        return fullest(mesh);
    }
    let points: Vec<[f64; 3]> = marks.iter().map(|mark| mark.at_mm).collect();
    best_view(mesh, &points)
}

/// The numbers round a picture, each with its line: left of the middle on the left, right of it on
/// the right, from top to bottom as the points lie.
pub(crate) fn call_outs(mesh: &Mesh, view: View, marks: &[Mark]) -> Vec<CallOut> {
    let Some(projection) = Projection::of(mesh, view, CANVAS) else {
        return Vec::new();
    };
    let (width, height) = (f64::from(CANVAS.width_px), f64::from(CANVAS.height_px));
    let mut sides: [Vec<CallOut>; 2] = [Vec::new(), Vec::new()];
    for mark in marks {
        let [to_x, to_y] = projection.place(mark.at_mm);
        let right = to_x > width / 2.0;
        sides[usize::from(right)].push(CallOut {
            n: mark.n,
            kind: mark.kind,
            label: mark.label.clone(),
            x: if right { width - SIDE } else { SIDE },
            y: to_y,
            to_x,
            to_y,
        });
    }
    for side in &mut sides {
        spread(side, height);
    }
    let [mut left, right] = sides;
    left.extend(right);
    left.sort_by_key(|call| call.n);
    left
}

/// Moves numbers of one side apart, keeping their order and the picture's height.
fn spread(side: &mut [CallOut], height: f64) {
    side.sort_by(|a, b| a.to_y.total_cmp(&b.to_y).then(a.n.cmp(&b.n)));
    let many = side.len() as f64;
    let apart = APART.min((height - 2.0 * SIDE) / (many - 1.0).max(1.0));
    let mut least = SIDE;
    for call in side.iter_mut() {
        call.y = call.y.max(least);
        least = call.y + apart;
    }
    let mut most = height - SIDE;
    for call in side.iter_mut().rev() {
        call.y = call.y.min(most);
        most = call.y - apart;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn call(n: usize, y: f64) -> CallOut {
        CallOut {
            n,
            kind: Kind::Know,
            label: String::new(),
            x: 0.0,
            y,
            to_x: 0.0,
            to_y: y,
        }
    }

    #[test]
    fn numbers_at_one_height_stand_apart_and_inside_the_picture() {
        let mut side: Vec<CallOut> = (1..=5).map(|n| call(n, 600.0)).collect();
        spread(&mut side, 620.0);
        for pair in side.windows(2) {
            assert!(pair[1].y - pair[0].y >= APART - 1e-9);
        }
        assert!(side.iter().all(|c| c.y >= SIDE && c.y <= 620.0 - SIDE));
        let mut crowd: Vec<CallOut> = (1..=40).map(|n| call(n, 10.0)).collect();
        spread(&mut crowd, 620.0);
        assert!(
            crowd
                .iter()
                .all(|c| c.y >= SIDE - 1e-9 && c.y <= 620.0 - SIDE + 1e-9)
        );
    }

    fn boxes(list: &[([f64; 3], [f64; 3])]) -> Mesh {
        let raw = partpledge_testbed::shapes::boxes(list);
        Mesh {
            vertices: raw.vertices,
            triangles: raw.triangles,
        }
    }

    #[test]
    fn a_part_turns_its_open_side_to_the_eye() {
        let cube = boxes(&[([0.0; 3], [10.0; 3])]);
        assert_eq!(fullest(&cube), View::default(), "no side is better");
        // Walls in front and on the left, steps behind them: only from behind are they seen.
        let corner = boxes(&[
            ([0.0; 3], [40.0, 2.0, 40.0]),
            ([0.0; 3], [2.0, 40.0, 40.0]),
            ([2.0, 2.0, 0.0], [38.0, 38.0, 4.0]),
            ([2.0, 2.0, 4.0], [20.0, 20.0, 20.0]),
        ]);
        let opposite = (View::default().azimuth_deg + 180.0).rem_euclid(360.0);
        assert!((fullest(&corner).azimuth_deg - opposite).abs() < 1e-9);
    }
}
