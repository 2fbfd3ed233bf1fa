//! From a point of the part to a point of the picture, seen from far away (orthographic).

use partpledge_mesh::Mesh;
use partpledge_mesh::vector::dot;

/// Which way one looks: where the eye stands, seen from the part. Degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Around z, counter-clockwise from +x. The front of a part is its -y side and the left its
    /// -x side, so that 225 stands at the front left.
    pub azimuth_deg: f64,
    /// Above the horizon; below it when negative.
    pub elevation_deg: f64,
}

impl Default for View {
    /// From the front left above, with the three axes foreshortened alike.
    ///
    /// # Source
    /// Isometric projection (ISO 5456-3): the elevation has the sine `1/√3`, 35.264 degrees.
    fn default() -> Self {
        Self {
            azimuth_deg: 225.0,
            elevation_deg: (1.0 / 3.0_f64.sqrt()).asin().to_degrees(),
        }
    }
}

/// The size of a picture and the room kept free on each of its sides, in pixels.
///
/// Lines are drawn half a line (0.65 px) over the outline, so a margin of 1 keeps them whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Canvas {
    /// Width in pixels; drawn with at least 1 and at most [`Canvas::MAX_SIDE_PX`].
    pub width_px: u32,
    /// Height in pixels; likewise.
    pub height_px: u32,
    /// Kept free on each side; at least one pixel is always left to draw on.
    pub margin_px: u32,
}

impl Canvas {
    /// No picture is wider or higher than this.
    pub const MAX_SIDE_PX: u32 = 4096;

    pub(crate) fn within_limits(self) -> Self {
        Self {
            width_px: self.width_px.clamp(1, Self::MAX_SIDE_PX),
            height_px: self.height_px.clamp(1, Self::MAX_SIDE_PX),
            margin_px: self.margin_px,
        }
    }
}

/// Where points of the part fall on a picture.
///
/// ```
/// use partpledge_drawing::{Canvas, Projection, View};
/// let canvas = Canvas { width_px: 200, height_px: 200, margin_px: 10 };
/// let bounds = ([0.0; 3], [20.0; 3]);
/// let projection = Projection::fitted(bounds, View::default(), canvas).unwrap();
/// let [x, y] = projection.place([10.0; 3]);
/// assert!((x - 100.0).abs() < 1e-9 && (y - 100.0).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    canvas: Canvas,
    centre_mm: [f64; 3],
    right: [f64; 3],
    up: [f64; 3],
    towards_eye: [f64; 3],
    px_per_mm: f64,
    diagonal_mm: f64,
}

impl Projection {
    /// The projection that fits the box between two corners (mm) into the canvas, as large as
    /// its margin allows and in the middle. `None` for a box that is not finite or has no
    /// extent, or an angle that is not finite.
    #[must_use]
    pub fn fitted(bounds_mm: ([f64; 3], [f64; 3]), view: View, canvas: Canvas) -> Option<Self> {
        let canvas = canvas.within_limits();
        let (low, high) = bounds_mm;
        let size: [f64; 3] = std::array::from_fn(|k| high[k] - low[k]);
        let (sin_a, cos_a) = view.azimuth_deg.to_radians().sin_cos();
        let (sin_e, cos_e) = view.elevation_deg.to_radians().sin_cos();
        let right = [-sin_a, cos_a, 0.0];
        let up = [-sin_e * cos_a, -sin_e * sin_a, cos_e];
        let span = |axis: [f64; 3]| (0..3).map(|k| axis[k].abs() * size[k]).sum::<f64>();
        let free = |side: u32| {
            let margin = canvas.margin_px.min((side - 1) / 2);
            f64::from(side - 2 * margin)
        };
        let px_per_mm =
            (free(canvas.width_px) / span(right)).min(free(canvas.height_px) / span(up));
        let diagonal_mm = dot(size, size).sqrt();
        let usable = |x: f64| x.is_finite() && x > 0.0;
        (usable(px_per_mm) && usable(diagonal_mm)).then(|| Self {
            canvas,
            centre_mm: std::array::from_fn(|k| low[k] + size[k] / 2.0),
            right,
            up,
            towards_eye: [cos_e * cos_a, cos_e * sin_a, sin_e],
            px_per_mm,
            diagonal_mm,
        })
    }

    /// The projection that [`crate::draw`] uses for this mesh: fitted to the bounds of the
    /// triangles that can be drawn.
    #[must_use]
    pub fn of(mesh: &Mesh, view: View, canvas: Canvas) -> Option<Self> {
        Self::fitted(drawable_bounds(mesh)?, view, canvas)
    }

    /// Where a point falls: pixels from the upper left corner, x right and y down. It may lie
    /// outside the canvas.
    #[must_use]
    pub fn place(&self, point_mm: [f64; 3]) -> [f64; 2] {
        let [x, y, _] = self.project(point_mm);
        [x, y]
    }

    /// Pixels for a millimetre that lies across the line of sight.
    #[must_use]
    pub fn scale_px_per_mm(&self) -> f64 {
        self.px_per_mm
    }

    /// As [`Self::place`], with the distance from the eye beyond the middle, also in pixels.
    pub(crate) fn project(&self, point_mm: [f64; 3]) -> [f64; 3] {
        let from_centre: [f64; 3] = std::array::from_fn(|k| point_mm[k] - self.centre_mm[k]);
        [
            f64::from(self.canvas.width_px) / 2.0 + self.px_per_mm * dot(from_centre, self.right),
            f64::from(self.canvas.height_px) / 2.0 - self.px_per_mm * dot(from_centre, self.up),
            -self.px_per_mm * dot(from_centre, self.towards_eye),
        ]
    }

    pub(crate) fn canvas(&self) -> Canvas {
        self.canvas
    }

    /// Sine and cosine of the elevation.
    pub(crate) fn elevation(&self) -> (f64, f64) {
        (self.towards_eye[2], self.up[2])
    }

    pub(crate) fn diagonal_px(&self) -> f64 {
        self.diagonal_mm * self.px_per_mm
    }
}

/// The triangles whose three corners exist and are finite.
pub(crate) fn drawable(
    vertices: &[[f64; 3]],
    triangles: &[[u32; 3]],
) -> impl Iterator<Item = [[f64; 3]; 3]> {
    triangles.iter().filter_map(|&[a, b, c]| {
        let corner = |i: u32| vertices.get(usize::try_from(i).ok()?).copied();
        let triangle = [corner(a)?, corner(b)?, corner(c)?];
        // Only a sum of finite numbers is finite, or one too large to draw.
        let sum: f64 = triangle.iter().flatten().sum();
        sum.is_finite().then_some(triangle)
    })
}

pub(crate) fn drawable_bounds(mesh: &Mesh) -> Option<([f64; 3], [f64; 3])> {
    let mut triangles = drawable(&mesh.vertices, &mesh.triangles).peekable();
    let first = triangles.peek()?[0];
    Some(triangles.flatten().fold((first, first), |(low, high), p| {
        (
            std::array::from_fn(|k| low[k].min(p[k])),
            std::array::from_fn(|k| high[k].max(p[k])),
        )
    }))
}
