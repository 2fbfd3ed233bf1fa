//! A dozen parts that a robotics team might send, and three with a defect.

use partpledge_formats::RawMesh;

use crate::outline::{at, circle, gear, rectangle, regular, rounded};
use crate::solid::{Storey, ball, extrude, joined, stack, tipped};

/// Radius of a hexagon's corners from its width across flats.
fn hexagon_radius(across_flats_mm: f64) -> f64 {
    across_flats_mm / 3.0_f64.sqrt()
}

/// An angle bracket with a gusset and an axle hole, standing on its foot.
#[must_use]
pub fn bracket() -> RawMesh {
    let profile = vec![
        [0.0, 0.0],
        [50.0, 0.0],
        [50.0, 4.0],
        [22.0, 4.0],
        [4.0, 28.0],
        [4.0, 40.0],
        [18.0, 40.0],
        [18.0, 44.0],
        [0.0, 44.0],
    ];
    tipped(&extrude(vec![profile, at(&circle(2.5), 8.0, 10.0)], 30.0))
}

/// A flange with a boss, a hexagonal bore and six screw holes.
#[must_use]
pub fn wheel_hub() -> RawMesh {
    let bore = regular(6, hexagon_radius(12.7), 0.0);
    let mut flange = vec![circle(25.0), bore.clone()];
    flange.extend(
        regular(6, 18.5, 30.0)
            .into_iter()
            .map(|[x, y]| at(&circle(2.1), x, y)),
    );
    let boss = vec![circle(12.0), bore];
    stack(&[
        Storey {
            outlines: flange,
            top_mm: 5.0,
        },
        Storey {
            outlines: boss,
            top_mm: 20.0,
        },
    ])
}

/// A plate gear of 24 teeth with a hexagonal bore and lightening holes.
#[must_use]
pub fn gear_plate() -> RawMesh {
    let mut outlines = vec![gear(24, 22.5, 27.0), regular(6, hexagon_radius(8.0), 0.0)];
    outlines.extend(
        regular(5, 14.0, 0.0)
            .into_iter()
            .map(|[x, y]| at(&circle(4.5), x, y)),
    );
    extrude(outlines, 6.0)
}

/// A ball with a hollow that nothing leads into.
#[must_use]
pub fn hollow_ball() -> RawMesh {
    joined(ball(20.0, false), &ball(16.0, true))
}

/// A channel that holds a distance sensor, drawn on its side.
#[must_use]
pub fn sensor_mount() -> RawMesh {
    let profile = vec![
        [0.0, 0.0],
        [34.0, 0.0],
        [34.0, 18.0],
        [31.0, 18.0],
        [31.0, 3.0],
        [3.0, 3.0],
        [3.0, 18.0],
        [0.0, 18.0],
    ];
    tipped(&extrude(vec![profile], 22.0))
}

/// A clip for a bundle of cables.
#[must_use]
pub fn cable_clip() -> RawMesh {
    let arc = |radius: f64| {
        (0..=40).map(move |i| {
            let angle = (-60.0 + 300.0 * f64::from(i) / 40.0_f64).to_radians();
            [radius * angle.sin(), -radius * angle.cos()]
        })
    };
    let outer: Vec<[f64; 2]> = arc(6.5).collect();
    let mut profile = outer;
    profile.extend(arc(4.5).collect::<Vec<_>>().into_iter().rev());
    extrude(vec![profile], 8.0)
}

/// An open box for a battery, with a thick floor.
#[must_use]
pub fn battery_cradle() -> RawMesh {
    let outer = rounded(96.0, 66.0, 8.0);
    let inner = rounded(91.0, 61.0, 5.5);
    stack(&[
        Storey {
            outlines: vec![outer.clone()],
            top_mm: 3.0,
        },
        Storey {
            outlines: vec![outer, inner],
            top_mm: 32.0,
        },
    ])
}

/// A hexagonal spacer, 12.7 mm across flats, with a round bore.
#[must_use]
pub fn hex_spacer() -> RawMesh {
    extrude(
        vec![regular(6, hexagon_radius(12.7), 0.0), circle(3.2)],
        10.0,
    )
}

/// A solid hexagonal prism of that size, whose volume is known.
#[must_use]
pub fn hex_prism(across_flats_mm: f64, height_mm: f64) -> RawMesh {
    extrude(
        vec![regular(6, hexagon_radius(across_flats_mm), 0.0)],
        height_mm,
    )
}

/// A washer.
#[must_use]
pub fn axle_washer() -> RawMesh {
    extrude(vec![circle(8.0), circle(4.1)], 2.0)
}

/// A plate for a motor: one large hole and four small ones.
#[must_use]
pub fn motor_plate() -> RawMesh {
    let mut outlines = vec![rounded(70.0, 60.0, 6.0), circle(11.2)];
    outlines.extend(
        regular(4, 22.0, 45.0)
            .into_iter()
            .map(|[x, y]| at(&circle(1.7), x, y)),
    );
    extrude(outlines, 5.0)
}

/// A quarter ring that keeps a corner from scratching.
#[must_use]
pub fn bumper_corner() -> RawMesh {
    let arc = |radius: f64| {
        (0..=24).map(move |i| {
            let angle = (90.0 * f64::from(i) / 24.0_f64).to_radians();
            [radius * angle.cos(), radius * angle.sin()]
        })
    };
    let mut profile: Vec<[f64; 2]> = arc(40.0).collect();
    profile.extend(arc(34.0).collect::<Vec<_>>().into_iter().rev());
    extrude(vec![profile], 30.0)
}

/// A tray from which a few triangles are missing: it can't be told inside from outside.
#[must_use]
pub fn torn_tray() -> RawMesh {
    let outer = rectangle([0.0, 0.0], [60.0, 40.0]);
    let inner = rectangle([2.0, 2.0], [58.0, 38.0]);
    let mut mesh = stack(&[
        Storey {
            outlines: vec![outer.clone()],
            top_mm: 2.0,
        },
        Storey {
            outlines: vec![outer, inner],
            top_mm: 15.0,
        },
    ]);
    mesh.triangles.drain(3..6);
    mesh
}

/// A pulley drawn in inches: 1.5 units across.
#[must_use]
pub fn pulley_in_inches() -> RawMesh {
    let bore = circle(4.0);
    let mut mesh = stack(&[
        Storey {
            outlines: vec![circle(19.05), bore.clone()],
            top_mm: 2.0,
        },
        Storey {
            outlines: vec![circle(15.0), bore.clone()],
            top_mm: 10.0,
        },
        Storey {
            outlines: vec![circle(19.05), bore],
            top_mm: 12.0,
        },
    ]);
    mesh.vertices.iter_mut().flatten().for_each(|c| *c /= 25.4);
    mesh
}

/// A gear with a patch of triangles that face inward: we mend it and say so.
#[must_use]
pub fn patched_gear() -> RawMesh {
    let mut mesh = gear_plate();
    mesh.triangles
        .iter_mut()
        .step_by(17)
        .for_each(|t| t.swap(1, 2));
    mesh
}

/// A plate with one mistake of every kind that is read off the layers, each at a known place and of
/// a known size: see [`TeachingPlate`].
#[must_use]
pub fn teaching_plate() -> RawMesh {
    teaching_plate_with(TeachingPlate::WALL_MM, TeachingPlate::GAP_MM)
}

/// The same with another wall and slit, as a team would send it again.
#[must_use]
pub fn teaching_plate_with(wall_mm: f64, gap_mm: f64) -> RawMesh {
    let plate = rectangle([0.0, 0.0], [70.0, 40.0]);
    let wall = rectangle([8.0, 30.0], [28.0, 30.0 + wall_mm]);
    let posts = [
        rectangle([10.0, 6.0], [14.0, 18.0]),
        // Not in line with the first: `earcut` drops corners that lie on one line.
        rectangle([32.0, 6.3], [36.0, 17.7]),
    ];
    let stem = rectangle([50.0, 8.0], [54.0, 16.0]);
    let mut floor = vec![plate];
    floor.push(rectangle([40.0, 25.0], [40.0 + gap_mm, 37.0]));
    floor.push(at(&circle(0.6), 60.0, 32.0));
    let mut standing = vec![wall, stem.clone()];
    standing.extend(posts.clone());
    let roofs = vec![
        rectangle([9.5, 5.5], [36.5, 18.5]),
        rectangle([49.5, 7.5], [62.0, 16.5]),
    ];
    stack(&[
        Storey {
            outlines: floor,
            top_mm: 3.0,
        },
        Storey {
            outlines: standing,
            top_mm: 15.0,
        },
        Storey {
            outlines: roofs,
            top_mm: 18.0,
        },
    ])
}

/// What is wrong with [`teaching_plate`], mm.
pub struct TeachingPlate;

impl TeachingPlate {
    /// Thickness of the wall from (8, 30) to (28, 30.4), from 3 to 15 mm up.
    pub const WALL_MM: f64 = 0.4;
    /// Width of the slit from (40, 25) to (40.3, 37), from the bed to 3 mm up.
    pub const GAP_MM: f64 = 0.3;
    /// Width of the hole at (60, 32).
    pub const HOLE_MM: f64 = 1.2;
    /// From post to post, 15 mm up: from x = 14 to 32.
    pub const SPAN_MM: f64 = 18.0;
    /// How far the ledge sticks out, 15 mm up: from x = 54 to 62.
    pub const LEDGE_MM: f64 = 8.0;
}
