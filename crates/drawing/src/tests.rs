//! What a picture must show, on shapes small enough to work out by hand.

use partpledge_mesh::Mesh;
use partpledge_units::tolerance::close;

use crate::shapes::{block, soup};
use crate::{Canvas, Drawing, Projection, View, best_view, draw};

const SQUARE: Canvas = Canvas {
    width_px: 200,
    height_px: 200,
    margin_px: 10,
};
const FROM_ABOVE: View = View {
    azimuth_deg: 270.0,
    elevation_deg: 90.0,
};

fn cube() -> Mesh {
    block([0.0; 3], [10.0; 3])
}

fn drawn(mesh: &Mesh) -> Drawing {
    draw(mesh, View::default(), SQUARE).unwrap()
}

fn pixel(drawing: &Drawing, x: u32, y: u32) -> [u8; 4] {
    let at = usize::try_from((y * drawing.width_px + x) * 4).unwrap();
    drawing.rgba()[at..at + 4].try_into().unwrap()
}

/// The pixel under a point.
fn at(drawing: &Drawing, point_mm: [f64; 3]) -> [u8; 4] {
    let [x, y] = drawing.place(point_mm);
    let whole = |v: f64| u32::try_from(partpledge_units::cast::round_i64(v.floor()).unwrap());
    pixel(drawing, whole(x).unwrap(), whole(y).unwrap())
}

fn is_dark([r, _, _, cover]: [u8; 4]) -> bool {
    r < 0x70 && cover > 0x80
}

fn centres(drawing: &Drawing) -> impl Iterator<Item = (f64, f64, [u8; 4])> + '_ {
    (0..drawing.height_px).flat_map(move |y| {
        (0..drawing.width_px)
            .map(move |x| (f64::from(x) + 0.5, f64::from(y) + 0.5, pixel(drawing, x, y)))
    })
}

/// Distance beyond the cube's hexagon: its middle is (100, 100), its edges are 90 cos 30° away,
/// towards 0° and 60° and so on.
fn beyond_hexagon(x: f64, y: f64) -> f64 {
    let apothem = 90.0 * 30.0_f64.to_radians().cos();
    [0.0_f64, 60.0, 120.0, 180.0, 240.0, 300.0]
        .iter()
        .map(|deg| {
            let (sin, cos) = deg.to_radians().sin_cos();
            (x - 100.0) * cos + (y - 100.0) * sin - apothem
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Worked by hand. Seen along its diagonal a cube of side 10 is a hexagon of side 10·√(2/3),
/// so 20·√(2/3) high, which the free 180 px allow to be 180: its side is 90 px, the scale is
/// 90 / (10·√(2/3)) = 9·√1.5 = 11.0227 px/mm. The front left upper corner and the one behind it
/// fall on the middle; the others lie 90 px away, every 60 degrees from straight up.
#[test]
fn a_cube_has_its_corners_where_isometric_projection_says() {
    let drawing = drawn(&cube());
    let side_x = 90.0 * 3.0_f64.sqrt() / 2.0;
    let corners = [
        ([0.0, 0.0, 10.0], [100.0, 100.0]),
        ([10.0, 10.0, 0.0], [100.0, 100.0]),
        ([10.0, 10.0, 10.0], [100.0, 10.0]),
        ([0.0, 0.0, 0.0], [100.0, 190.0]),
        ([0.0, 10.0, 10.0], [100.0 - side_x, 55.0]),
        ([0.0, 10.0, 0.0], [100.0 - side_x, 145.0]),
        ([10.0, 0.0, 10.0], [100.0 + side_x, 55.0]),
        ([10.0, 0.0, 0.0], [100.0 + side_x, 145.0]),
    ];
    let bounds = ([0.0; 3], [10.0; 3]);
    let undrawn = Projection::fitted(bounds, View::default(), SQUARE).unwrap();
    for (point, [x, y]) in corners {
        for [px, py] in [drawing.place(point), undrawn.place(point)] {
            assert!(
                close(px, x, 0.0, 1e-9) && close(py, y, 0.0, 1e-9),
                "{point:?} fell on {px} {py} and not on {x} {y}"
            );
        }
    }
    assert!(close(
        drawing.scale_px_per_mm(),
        9.0 * 1.5_f64.sqrt(),
        0.0,
        1e-9
    ));
}

#[test]
fn a_cube_shows_three_tones_and_nothing_outside_its_hexagon() {
    let drawing = drawn(&cube());
    assert_eq!(at(&drawing, [5.0, 5.0, 10.0]), [0xE9, 0xE4, 0xDC, 255]);
    assert_eq!(at(&drawing, [5.0, 0.0, 5.0]), [0xD0, 0xC8, 0xBC, 255]);
    assert_eq!(at(&drawing, [0.0, 5.0, 5.0]), [0xAF, 0xA5, 0x99, 255]);
    for (x, y, [_, _, _, cover]) in centres(&drawing) {
        // Half a line is 0.65 px, half a pixel's diagonal 0.71 px.
        if beyond_hexagon(x, y) > 1.7 {
            assert_eq!(cover, 0, "at {x} {y}");
        } else if beyond_hexagon(x, y) < -0.71 {
            assert_eq!(cover, 255, "at {x} {y}");
        }
    }
    let [left, top, right, bottom] = drawing.filled_px();
    // The hexagon spans 22.06 to 177.94 and 10 to 190, and half a line more.
    assert!((21..=22).contains(&left) && (178..=179).contains(&right));
    assert!((8..=9).contains(&top) && (191..=192).contains(&bottom));
}

#[test]
fn a_cube_has_ink_on_its_nine_visible_edges_and_not_on_the_hidden_three() {
    let drawing = drawn(&cube());
    let middles = [
        [0.0, 0.0, 5.0],
        [5.0, 0.0, 10.0],
        [0.0, 5.0, 10.0],
        [10.0, 5.0, 10.0],
        [5.0, 10.0, 10.0],
        [5.0, 0.0, 0.0],
        [0.0, 5.0, 0.0],
        [10.0, 0.0, 5.0],
        [0.0, 10.0, 5.0],
    ];
    for middle in middles {
        assert!(is_dark(at(&drawing, middle)), "no line at {middle:?}");
    }
    // A hidden edge falls on the middle of a face that is in front of it.
    for hidden in [[10.0, 10.0, 4.0], [10.0, 4.0, 0.0], [4.0, 10.0, 0.0]] {
        assert!(!is_dark(at(&drawing, hidden)), "a line at {hidden:?}");
    }
}

#[test]
fn what_is_behind_is_hidden_and_what_is_in_front_or_beside_is_not() {
    let drawing = drawn(&cube());
    assert!(drawing.hidden([10.0, 5.0, 5.0]));
    assert!(drawing.hidden([5.0, 5.0, 5.0]));
    assert!(!drawing.hidden([5.0, 0.0, 5.0]));
    assert!(!drawing.hidden([5.0, 5.0, 10.0]));
    assert!(!drawing.hidden([-8.0, -8.0, 18.0]));
    // Low behind the cube but beside it in the picture, and off the canvas altogether.
    assert!(!drawing.hidden([14.0, 0.0, 0.0]));
    assert!(!drawing.hidden([1_000.0, 1_000.0, 0.0]));
}

#[test]
fn the_png_decodes_to_the_pixels_and_is_small() {
    let canvas = Canvas {
        width_px: 720,
        height_px: 620,
        margin_px: 30,
    };
    let drawing = draw(&cube(), View::default(), canvas).unwrap();
    let file = drawing.png();
    assert!(file.len() < 25_000, "{} bytes", file.len());
    let mut decoder = png::Decoder::new(std::io::Cursor::new(file));
    decoder.set_transformations(png::Transformations::EXPAND);
    let mut reader = decoder.read_info().unwrap();
    assert_eq!(reader.info().color_type, png::ColorType::Indexed);
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let frame = reader.next_frame(&mut pixels).unwrap();
    assert_eq!((frame.width, frame.height), (720, 620));
    assert_eq!(frame.color_type, png::ColorType::Rgba);
    assert!(pixels == drawing.rgba(), "the pixels differ");
}

#[test]
fn the_same_mesh_gives_the_same_bytes_and_so_do_its_inverted_and_its_unwelded_form() {
    let first = drawn(&cube()).png();
    assert!(drawn(&cube()).png() == first);
    let mut inverted = cube();
    inverted.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    assert!(drawn(&inverted).png() == first);
    assert!(drawn(&soup(&cube())).png() == first);
    let moved = block([1.0, 0.0, 0.0], [10.0; 3]);
    assert!(drawn(&moved).png() != first);
}

#[test]
fn a_mesh_with_nothing_to_draw_gives_none() {
    let triangle = |vertices: [[f64; 3]; 3]| Mesh {
        vertices: vertices.to_vec(),
        triangles: vec![[0, 1, 2]],
    };
    let nothing = [
        Mesh::default(),
        triangle([[4.0; 3]; 3]),
        triangle([[0.0; 3], [1.0; 3], [2.0; 3]]),
        triangle([[f64::NAN, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]),
        triangle([[1e308, 0.0, 0.0], [-1e308, 0.0, 0.0], [0.0, 1e308, 0.0]]),
    ];
    for mesh in nothing {
        assert!(draw(&mesh, View::default(), SQUARE).is_none(), "{mesh:?}");
        assert_eq!(best_view(&mesh, &[[0.0; 3]]), View::default());
    }
    let astray = View {
        azimuth_deg: f64::NAN,
        elevation_deg: 0.0,
    };
    assert!(draw(&cube(), astray, SQUARE).is_none());
}

#[test]
fn damaged_triangles_are_left_out_and_the_rest_is_drawn() {
    let mut damaged = cube();
    damaged.vertices.push([f64::INFINITY, 0.0, 0.0]);
    damaged.vertices.push([0.0, f64::NAN, 0.0]);
    damaged
        .triangles
        .extend([[0, 1, 8], [9, 2, 3], [0, 1, 999], [4, 4, 4]]);
    assert!(drawn(&damaged).png() == drawn(&cube()).png());
}

#[test]
fn a_bar_far_thinner_than_a_pixel_is_an_unbroken_line() {
    // 180 px for 500 mm: the bar is 0.004 px wide.
    let bar = block([0.0; 3], [500.0, 0.01, 0.01]);
    let drawing = draw(&bar, FROM_ABOVE, SQUARE).unwrap();
    for x in 10..190 {
        let column = (0..200).map(|y| pixel(&drawing, x, y));
        assert!(column.into_iter().any(is_dark), "broken at {x}");
    }
}

/// Two slopes that meet at a ridge over x = 0 and turn by `angle_deg` there.
fn roof(angle_deg: f64) -> Mesh {
    let drop = -10.0 * (angle_deg / 2.0).to_radians().tan();
    Mesh {
        vertices: [-10.0, 0.0, 10.0]
            .iter()
            .flat_map(|&x: &f64| [0.0, 20.0].map(|y| [x, y, drop * x.abs() / 10.0]))
            .collect(),
        triangles: vec![[0, 2, 1], [1, 2, 3], [2, 4, 3], [3, 4, 5]],
    }
}

#[test]
fn a_crease_of_30_degrees_gets_a_line_and_one_of_20_does_not() {
    let ridge = |angle_deg: f64| {
        let drawing = draw(&roof(angle_deg), FROM_ABOVE, SQUARE).unwrap();
        is_dark(at(&drawing, [0.0, 10.0, 0.0]))
    };
    assert!(ridge(30.0) && !ridge(20.0));
}

#[test]
fn a_step_in_depth_gets_a_line_unless_it_is_below_a_pixel() {
    // Two level plates, 9 px/mm, the one over x > 10 lower by so much.
    let edge = |drop_mm: f64| {
        let tile = |x: f64, z: f64| [[x, 0.0, z], [x + 10.0, 0.0, z], [x, 20.0, z]];
        let far = |x: f64, z: f64| [[x + 10.0, 20.0, z]];
        let plates = Mesh {
            vertices: [(0.0, 0.0), (10.0, -drop_mm)]
                .iter()
                .flat_map(|&(x, z)| tile(x, z).into_iter().chain(far(x, z)))
                .collect(),
            triangles: vec![[0, 1, 2], [1, 3, 2], [4, 5, 6], [5, 7, 6]],
        };
        is_dark(at(
            &draw(&plates, FROM_ABOVE, SQUARE).unwrap(),
            [10.0, 10.0, 0.0],
        ))
    };
    assert!(edge(1.0) && !edge(0.05));
}

#[test]
fn a_surface_rougher_than_the_picture_can_show_is_clay_and_not_ink() {
    // 400 ridges across 180 px, their sides 45 degrees steep.
    let ridges: Vec<[f64; 3]> = (0..=800_u32)
        .flat_map(|i| {
            let x = f64::from(i) / 4.0;
            [0.0, 200.0].map(|y| [x, y, 0.25 * f64::from(i % 2)])
        })
        .collect();
    let triangles = (0..800)
        .flat_map(|i| {
            [
                [2 * i, 2 * i + 2, 2 * i + 1],
                [2 * i + 1, 2 * i + 2, 2 * i + 3],
            ]
        })
        .collect();
    let mesh = Mesh {
        vertices: ridges,
        triangles,
    };
    let drawing = draw(&mesh, FROM_ABOVE, SQUARE).unwrap();
    let dark = centres(&drawing).filter(|&(_, _, p)| is_dark(p)).count();
    // The outline is 4 x 180 px long and at most 2 px wide.
    assert!((300..=1_440).contains(&dark), "{dark} dark pixels");
}

#[test]
fn the_best_view_turns_to_where_the_points_are() {
    let cube = cube();
    let turned = |points: &[[f64; 3]]| {
        let view = best_view(&cube, points);
        (view.azimuth_deg, view.elevation_deg > 0.0)
    };
    assert_eq!(best_view(&cube, &[]), View::default());
    assert_eq!(best_view(&cube, &[[5.0, 0.0, 5.0]]), View::default());
    // On the right and at the back: only the back right corner shows both.
    let back = [[10.0, 5.0, 5.0], [5.0, 10.0, 5.0]];
    let (azimuth_deg, above) = turned(&back);
    assert!(close(azimuth_deg, 45.0, 0.0, 1e-9) && above);
    let drawing = draw(&cube, best_view(&cube, &back), SQUARE).unwrap();
    assert!(back.iter().all(|&point| !drawing.hidden(point)));
    // Underneath, with one on top that stays behind.
    let (_, above) = turned(&[[3.0, 5.0, 0.0], [7.0, 5.0, 0.0], [5.0, 5.0, 10.0]]);
    assert!(!above);
    // One in each of two views: the default comes first.
    let (azimuth_deg, above) = turned(&[[5.0, 5.0, 10.0], [5.0, 5.0, 0.0]]);
    assert!(close(azimuth_deg, 225.0, 0.0, 1e-9) && above);
}

#[test]
fn a_canvas_without_room_still_gives_a_picture() {
    let speck = Canvas {
        width_px: 0,
        height_px: 3,
        margin_px: 50,
    };
    let drawing = draw(&cube(), View::default(), speck).unwrap();
    assert_eq!((drawing.width_px, drawing.height_px), (1, 3));
    assert_eq!(drawing.rgba().len(), 12);
}
