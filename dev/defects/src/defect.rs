//! The defects, each put into a part at a place and of a size that are known afterwards.

use partpledge_formats::RawMesh;
use partpledge_mesh::Mesh;
use partpledge_mesh::rays::Rays;
use partpledge_mesh::vector::{double_area, length, minus};
use partpledge_units::cast::round_usize;
use partpledge_units::dice::Dice;

/// What is done to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Defect {
    Hole,
    Flip,
    Duplicate,
    BoxThrough,
    PulledCorner,
    ThinWall,
    Overhang,
    InchScale,
    /// A wall that is thick enough: nothing may be said of it.
    GoodWall,
    /// A slope that prints by itself: nothing may be said of it.
    GoodSlope,
}

impl Defect {
    pub(crate) const FAULTS: [Self; 8] = [
        Self::Hole,
        Self::Flip,
        Self::Duplicate,
        Self::BoxThrough,
        Self::PulledCorner,
        Self::ThinWall,
        Self::Overhang,
        Self::InchScale,
    ];
    pub(crate) const GOOD: [Self; 2] = [Self::GoodWall, Self::GoodSlope];

    /// Codes of which one must be found; for the good ones, of which none may be.
    pub(crate) fn codes(self) -> &'static [&'static str] {
        match self {
            Self::Hole => &["open-edges", "small-hole-filled"],
            Self::Flip => &["mixed-facing"],
            Self::Duplicate => &["doubled-triangles"],
            Self::BoxThrough | Self::PulledCorner => &["self-crossing"],
            Self::ThinWall | Self::GoodWall => &["thin-wall"],
            Self::Overhang | Self::GoodSlope => &["overhang"],
            Self::InchScale => &["unit-guessed", "unit-doubtful"],
        }
    }

    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Hole => "hole",
            Self::Flip => "flipped faces",
            Self::Duplicate => "doubled face",
            Self::BoxThrough => "box through the skin",
            Self::PulledCorner => "corner pulled through",
            Self::ThinWall => "thin wall",
            Self::Overhang => "overhang",
            Self::InchScale => "inch scale",
            Self::GoodWall => "good wall",
            Self::GoodSlope => "good slope",
        }
    }
}

/// A part with one defect.
#[derive(Clone, Debug)]
pub(crate) struct Spoilt {
    pub(crate) mesh: RawMesh,
    /// Box in which the finding must point, mm; `None` when it has no place.
    pub(crate) place: Option<([f64; 3], [f64; 3])>,
    /// What must be measured, and how closely, in the finding's unit; `None` when it is a count.
    pub(crate) measured: Option<(f64, f64)>,
}

/// Puts a defect into a clean part in mm; `None` when this part has no place for it.
pub(crate) fn spoil(part: &Mesh, defect: Defect, dice: &mut Dice) -> Option<Spoilt> {
    match defect {
        Defect::Hole => hole(part, dice),
        Defect::Flip => flip(part, dice),
        Defect::Duplicate => Some(duplicate(part, dice)),
        Defect::BoxThrough => Some(box_through(part, dice)),
        Defect::PulledCorner => pulled_corner(part, dice),
        Defect::ThinWall => Some(wall(part, dice.unit() * 0.55 + 0.2, dice)),
        Defect::GoodWall => Some(wall(part, dice.unit() * 1.5 + 1.0, dice)),
        Defect::Overhang => Some(slope(part, dice.unit() * 32.0 + 48.0, dice)),
        Defect::GoodSlope => Some(funnel(part, dice.unit() * 24.0 + 20.0, dice)),
        Defect::InchScale => Some(Spoilt {
            mesh: raw(part, 1.0 / 25.4),
            place: None,
            measured: None,
        }),
    }
}

fn raw(mesh: &Mesh, scale: f64) -> RawMesh {
    RawMesh {
        vertices: mesh.vertices.iter().map(|p| p.map(|x| x * scale)).collect(),
        triangles: mesh.triangles.clone(),
    }
}

fn spoilt(mesh: &Mesh, place: Option<([f64; 3], [f64; 3])>) -> Spoilt {
    Spoilt {
        mesh: raw(mesh, 1.0),
        place,
        measured: None,
    }
}

fn any_face(part: &Mesh, dice: &mut Dice) -> usize {
    let many = part.triangles.len();
    round_usize((dice.unit() * many as f64).floor())
        .unwrap_or(0)
        .min(many - 1)
}

fn box_of(points: impl Iterator<Item = [f64; 3]>) -> ([f64; 3], [f64; 3]) {
    points.fold(
        ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]),
        |(low, high), p| {
            (
                std::array::from_fn(|k| low[k].min(p[k])),
                std::array::from_fn(|k| high[k].max(p[k])),
            )
        },
    )
}

fn corners(part: &Mesh, face: usize) -> [[f64; 3]; 3] {
    part.triangles[face].map(|i| part.vertices[i as usize])
}

/// A patch of up to `most` faces round a face, grown over shared edges.
fn patch(part: &Mesh, start: usize, most: usize) -> Vec<usize> {
    let mut around: Vec<Vec<usize>> = vec![Vec::new(); part.vertices.len()];
    for (face, triangle) in part.triangles.iter().enumerate() {
        for &corner in triangle {
            around[corner as usize].push(face);
        }
    }
    let mut out = vec![start];
    let mut next = 0;
    while next < out.len() && out.len() < most {
        let triangle = part.triangles[out[next]];
        let sides = (0..3).map(|k| (triangle[k], triangle[(k + 1) % 3]));
        for (a, b) in sides {
            for &face in &around[a as usize] {
                let beside = part.triangles[face].contains(&b);
                if beside && !out.contains(&face) && out.len() < most {
                    out.push(face);
                }
            }
        }
        next += 1;
    }
    out
}

fn hole(part: &Mesh, dice: &mut Dice) -> Option<Spoilt> {
    let start = any_face(part, dice);
    let gone = patch(part, start, 1 + round_usize(dice.unit() * 5.0).unwrap_or(0));
    // What is left must still have a rim.
    (gone.len() * 4 < part.triangles.len()).then(|| {
        let place = box_of(gone.iter().flat_map(|&face| corners(part, face)));
        let mut mesh = part.clone();
        let faces = part.triangles.iter().enumerate();
        mesh.triangles = faces
            .filter(|(face, _)| !gone.contains(face))
            .map(|(_, &t)| t)
            .collect();
        spoilt(&mesh, Some(place))
    })
}

fn flip(part: &Mesh, dice: &mut Dice) -> Option<Spoilt> {
    let start = any_face(part, dice);
    let most = (part.triangles.len() / 10).clamp(1, 40);
    let turned = patch(
        part,
        start,
        1 + round_usize(dice.unit() * most as f64).unwrap_or(0),
    );
    (turned.len() * 3 < part.triangles.len()).then(|| {
        let mut mesh = part.clone();
        for &face in &turned {
            mesh.triangles[face].swap(1, 2);
        }
        let place = box_of(turned.iter().flat_map(|&face| corners(part, face)));
        spoilt(&mesh, Some(place))
    })
}

fn duplicate(part: &Mesh, dice: &mut Dice) -> Spoilt {
    let face = any_face(part, dice);
    let mut mesh = part.clone();
    let [a, b, c] = mesh.triangles[face];
    // The same face, begun at another corner, and as often as not the other way round.
    mesh.triangles.push(if dice.happens(0.5) {
        [b, c, a]
    } else {
        [b, a, c]
    });
    spoilt(&mesh, Some(box_of(corners(part, face).into_iter())))
}

/// Adds a closed body.
fn with_body(part: &Mesh, points: &[[f64; 3]], faces: &[[u32; 3]]) -> Mesh {
    let mut mesh = part.clone();
    let first = u32::try_from(mesh.vertices.len()).unwrap_or(0);
    mesh.vertices.extend(points);
    mesh.triangles
        .extend(faces.iter().map(|t| t.map(|i| i + first)));
    mesh
}

const BOX_FACES: [[u32; 3]; 12] = [
    [0, 2, 3],
    [0, 3, 1],
    [4, 5, 7],
    [4, 7, 6],
    [0, 1, 5],
    [0, 5, 4],
    [2, 6, 7],
    [2, 7, 3],
    [0, 4, 6],
    [0, 6, 2],
    [1, 3, 7],
    [1, 7, 5],
];

fn box_points(low: [f64; 3], high: [f64; 3]) -> [[f64; 3]; 8] {
    std::array::from_fn(|i| {
        std::array::from_fn(|k| if (i >> k) & 1 == 0 { low[k] } else { high[k] })
    })
}

fn box_through(part: &Mesh, dice: &mut Dice) -> Spoilt {
    let face = any_face(part, dice);
    let [a, b, c] = corners(part, face);
    let middle: [f64; 3] = std::array::from_fn(|k| (a[k] + b[k] + c[k]) / 3.0);
    let half = 0.3 + 2.0 * dice.unit();
    let (low, high) = (middle.map(|x| x - half), middle.map(|x| x + half * 1.1));
    let mesh = with_body(part, &box_points(low, high), &BOX_FACES);
    spoilt(&mesh, Some((low, high)))
}

/// A corner pulled along its inward normal out through the far side.
fn pulled_corner(part: &Mesh, dice: &mut Dice) -> Option<Spoilt> {
    let face = any_face(part, dice);
    let corner = part.triangles[face][0];
    let from = part.vertices[corner as usize];
    let [a, b, c] = corners(part, face);
    let normal = double_area([a, b, c]);
    let size = length(normal);
    if size < 1e-3 {
        return None;
    }
    let normal = normal.map(|x| x / size);
    let rays = Rays::through(part);
    // From the middle of the face: a ray from the corner would run along its neighbours.
    let middle: [f64; 3] = std::array::from_fn(|k| (a[k] + b[k] + c[k]) / 3.0);
    let hit = rays.depth_mm(middle, normal)?;
    let by = hit.distance_mm + 1.0 + dice.unit();
    let to: [f64; 3] = std::array::from_fn(|k| from[k] - by * normal[k]);
    let touched = part.triangles.iter().filter(|t| t.contains(&corner));
    let around = touched.flatten().map(|&i| part.vertices[i as usize]);
    let place = box_of(around.chain([to]));
    runs_through(part, corner, to)?;
    let mut mesh = part.clone();
    mesh.vertices[corner as usize] = to;
    Some(spoilt(&mesh, Some(place)))
}

/// Whether a corner moved to `to` takes an edge with it right through a face that it is no part of:
/// pulling a corner off a bump may leave a sound part.
fn runs_through(part: &Mesh, corner: u32, to: [f64; 3]) -> Option<()> {
    let others = Mesh {
        vertices: part.vertices.clone(),
        triangles: part
            .triangles
            .iter()
            .filter(|t| !t.contains(&corner))
            .copied()
            .collect(),
    };
    let rays = Rays::through(&others);
    let ring = part.triangles.iter().filter(|t| t.contains(&corner));
    let mut ends = ring.flatten().filter(|&&i| i != corner);
    let through = |&end: &u32| {
        let from = part.vertices[end as usize];
        let way = minus(to, from);
        let long = length(way);
        let along = way.map(|x| x / long.max(f64::MIN_POSITIVE));
        let hit = rays.first_hit(from, along, 0.02 * long);
        hit.is_some_and(|hit| hit.distance_mm < 0.98 * long)
    };
    ends.any(through).then_some(())
}

/// The corner farthest in +x among those for which `like` holds.
fn farthest(part: &Mesh, like: impl Fn(&[f64; 3]) -> bool) -> Option<[f64; 3]> {
    let corners = part.vertices.iter().filter(|p| like(p));
    corners.copied().max_by(|a, b| a[0].total_cmp(&b[0]))
}

/// A fin of known thickness that stands on the bed and sticks out of the part's side.
fn wall(part: &Mesh, thick_mm: f64, dice: &mut Dice) -> Spoilt {
    let (low, _) = box_of(part.vertices.iter().copied());
    let foot = farthest(part, |p| p[2] < low[2] + 1.0).unwrap_or(low);
    let (out, high) = (10.0 + 8.0 * dice.unit(), 6.0 + 10.0 * dice.unit());
    let from = [foot[0] - 1.0, foot[1] - thick_mm / 2.0, low[2]];
    let to = [foot[0] + out, foot[1] + thick_mm / 2.0, low[2] + high];
    let mesh = with_body(part, &box_points(from, to), &BOX_FACES);
    Spoilt {
        measured: Some((thick_mm, 0.03)),
        ..spoilt(&mesh, Some((from, to)))
    }
}

/// Faces of a prism over four corners of a profile, first at one end, then at the other.
const PRISM_FACES: [[u32; 3]; 12] = [
    [0, 1, 2],
    [0, 2, 3],
    [4, 6, 5],
    [4, 7, 6],
    [0, 4, 5],
    [0, 5, 1],
    [1, 5, 6],
    [1, 6, 2],
    [2, 6, 7],
    [2, 7, 3],
    [3, 7, 4],
    [3, 4, 0],
];

/// A bracket whose underside leans by a known angle from upright, out of the part's side.
fn slope(part: &Mesh, angle_deg: f64, dice: &mut Dice) -> Spoilt {
    let (low, high) = box_of(part.vertices.iter().copied());
    let middle = f64::midpoint(low[2], high[2]);
    let tall = high[2] - low[2];
    let side = farthest(part, |p| (p[2] - middle).abs() < 0.25 * tall)
        .or_else(|| farthest(part, |_| true))
        .unwrap_or(high);
    let (out, wide) = (10.0 + 6.0 * dice.unit(), 12.0 + 6.0 * dice.unit());
    let rise = out / angle_deg.to_radians().tan();
    let (x, y, z) = (side[0], side[1] - wide / 2.0, side[2]);
    // A prism: behind the side it goes 1 mm into the part; below it begins in a point.
    let profile = [
        [x, z],
        [x + out, z + rise],
        [x - 1.0, z + rise],
        [x - 1.0, z],
    ];
    let points: Vec<[f64; 3]> = [y, y + wide]
        .iter()
        .flat_map(|&y| profile.map(|[x, z]| [x, y, z]))
        .collect();
    // The short level piece from x - 1 to x lies in the part.
    let mesh = with_body(part, &points, &PRISM_FACES);
    let place = box_of(points.iter().copied());
    spoilt(&mesh, Some(place))
}

/// A body beside the part that stands on the bed and widens by a known angle from upright.
fn funnel(part: &Mesh, angle_deg: f64, dice: &mut Dice) -> Spoilt {
    let (low, high) = box_of(part.vertices.iter().copied());
    let (out, wide) = (6.0 + 6.0 * dice.unit(), 12.0 + 6.0 * dice.unit());
    let rise = out / angle_deg.to_radians().tan();
    let (x, y, z) = (high[0] + 3.0, low[1], low[2]);
    let profile = [
        [x, z],
        [x + 12.0, z],
        [x + 12.0 + out, z + rise],
        [x, z + rise],
    ];
    let points: Vec<[f64; 3]> = [y, y + wide]
        .iter()
        .flat_map(|&y| profile.map(|[x, z]| [x, y, z]))
        .collect();
    let place = box_of(points.iter().copied());
    spoilt(&with_body(part, &points, &PRISM_FACES), Some(place))
}
