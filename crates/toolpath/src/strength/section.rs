//! Area, centroid and second moments of a flat section, and what it bears in bending.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::to_mm;

/// Integrals of 1, x, y, x², xy and y² over a flat region, about a fixed origin.
///
/// They add up: a region with a hole is the outer one less the hole, one filled to a share counts
/// by its share.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Moments {
    /// Area, mm².
    pub area_mm2: f64,
    first_mm3: [f64; 2],
    /// Of x², xy, y².
    second_mm4: [f64; 3],
}

/// A section about its own centroid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Area that bears, mm².
    pub area_mm2: f64,
    /// Where its middle is, mm.
    pub centroid_mm: [f64; 2],
    /// Second moment about the x axis through the centroid (of y²), mm⁴.
    pub about_x_mm4: f64,
    /// Second moment about the y axis through the centroid (of x²), mm⁴.
    pub about_y_mm4: f64,
    /// Product moment (of xy), mm⁴.
    pub product_mm4: f64,
}

/// Sections smaller than this bear nothing, mm².
const LEAST_AREA_MM2: f64 = 1e-4;

impl Moments {
    /// Integrals over what the outlines enclose: outer ones count up, holes down.
    ///
    /// `origin_mm` should be near the region: far from it digits are lost. Linear in corners.
    /// # Source
    /// Green's theorem on each edge; polygon formulas as in general geometry texts (from memory),
    /// checked against the closed forms of rectangle, circle, tube, I, T, L and Z in the tests.
    #[must_use]
    pub fn of(outlines: &Outlines, origin_mm: [f64; 2]) -> Self {
        let mut sum = Self::default();
        for path in outlines {
            let at = |i: usize| {
                let [x, y] = to_mm(path[i % path.len()]);
                [x - origin_mm[0], y - origin_mm[1]]
            };
            for i in 0..path.len() {
                let ([xa, ya], [xb, yb]) = (at(i), at(i + 1));
                let twice = xa * yb - xb * ya;
                sum.area_mm2 += twice / 2.0;
                sum.first_mm3[0] += twice * (xa + xb) / 6.0;
                sum.first_mm3[1] += twice * (ya + yb) / 6.0;
                sum.second_mm4[0] += twice * (xa * xa + xa * xb + xb * xb) / 12.0;
                sum.second_mm4[1] += twice * (2.0 * (xa * ya + xb * yb) + xa * yb + xb * ya) / 24.0;
                sum.second_mm4[2] += twice * (ya * ya + ya * yb + yb * yb) / 12.0;
            }
        }
        sum
    }

    /// These, and a share of others about the same origin; a negative share takes away.
    #[must_use]
    pub fn with(mut self, other: &Self, share: f64) -> Self {
        self.area_mm2 += share * other.area_mm2;
        for k in 0..2 {
            self.first_mm3[k] += share * other.first_mm3[k];
        }
        for k in 0..3 {
            self.second_mm4[k] += share * other.second_mm4[k];
        }
        self
    }

    /// About the centroid instead; `None` for what is too small to bear anything.
    ///
    /// # Source
    /// Parallel axes: `I = I₀ - A d²`.
    #[must_use]
    pub fn section(&self, origin_mm: [f64; 2]) -> Option<Section> {
        let area = self.area_mm2;
        if area < LEAST_AREA_MM2 {
            return None;
        }
        let [x, y] = self.first_mm3.map(|first| first / area);
        let [xx, xy, yy] = self.second_mm4;
        Some(Section {
            area_mm2: area,
            centroid_mm: [origin_mm[0] + x, origin_mm[1] + y],
            about_x_mm4: yy - area * y * y,
            about_y_mm4: xx - area * x * x,
            product_mm4: xy - area * x * y,
        })
    }
}

impl Section {
    /// The section of what the outlines enclose.
    ///
    /// ```
    /// use partpledge_sections::outlines::to_point;
    /// use partpledge_toolpath::strength::Section;
    /// // 6 wide, 4 high: b h³ / 12 about x, W = b h² / 6.
    /// let bar = vec![vec![to_point(0.0, 0.0), to_point(6.0, 0.0), to_point(6.0, 4.0), to_point(0.0, 4.0)]];
    /// let section = Section::of(&bar).unwrap();
    /// assert!((section.about_x_mm4 - 32.0).abs() < 1e-9);
    /// assert!((section.modulus_mm3([0.0, 1.0], &bar) - 16.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of(outlines: &Outlines) -> Option<Self> {
        let origin_mm = origin_mm(outlines);
        Moments::of(outlines, origin_mm).section(origin_mm)
    }

    /// Greatest and least second moment, mm⁴, and the turn of the axis of the greatest from x,
    /// degrees from -90 to 90.
    ///
    /// # Source
    /// Circle of second moments; Hibbeler, Mechanics of Materials, appendix A (from memory).
    #[must_use]
    pub fn principal(&self) -> ([f64; 2], f64) {
        let middle = f64::midpoint(self.about_x_mm4, self.about_y_mm4);
        let half = (self.about_x_mm4 - self.about_y_mm4) / 2.0;
        let radius = half.hypot(self.product_mm4);
        let turn_deg = (-self.product_mm4).atan2(half).to_degrees() / 2.0;
        ([middle + radius, middle - radius], turn_deg)
    }

    /// Section modulus in mm³ for a sideways load along `way` (a unit vector): the moment over the
    /// greatest stress in any corner, on either side, since loads turn round.
    ///
    /// With a product moment the neutral axis is not square to the load; the stress is then
    /// `M (J⁻¹ way) · (p - c)`, J being the matrix of the second moments. 0 for what bears nothing.
    /// # Source
    /// Unsymmetric bending: Gere & Goodno, Mechanics of Materials, ch. 6 (from memory).
    #[must_use]
    pub fn modulus_mm3(&self, way: [f64; 2], outlines: &Outlines) -> f64 {
        let Some(slope) = self.solve(way) else {
            return 0.0;
        };
        let stress = |p: [f64; 2]| (slope[0] * p[0] + slope[1] * p[1]).abs();
        over(self.arms(outlines).map(stress))
    }

    /// The least section modulus in mm³ of any way to load it, and that way.
    ///
    /// # Source
    /// Derived here: over all unit vectors `way · J⁻¹(p - c)` is greatest along `J⁻¹(p - c)`.
    #[must_use]
    pub fn least_modulus_mm3(&self, outlines: &Outlines) -> (f64, [f64; 2]) {
        let slopes = self.arms(outlines).filter_map(|p| self.solve(p));
        let worst = slopes.max_by(|a, b| a[0].hypot(a[1]).total_cmp(&b[0].hypot(b[1])));
        match worst {
            Some([x, y]) if x.hypot(y) > 0.0 => {
                let size = x.hypot(y);
                (1.0 / size, [x / size, y / size])
            }
            _ => (0.0, [1.0, 0.0]),
        }
    }

    /// `J⁻¹ v`, J being `[[∫x², ∫xy], [∫xy, ∫y²]]`; `None` for a section without width.
    pub(crate) fn solve(&self, [x, y]: [f64; 2]) -> Option<[f64; 2]> {
        let (xx, xy, yy) = (self.about_y_mm4, self.product_mm4, self.about_x_mm4);
        let det = xx * yy - xy * xy;
        (det > 1e-12 * xx * yy && xx > 0.0)
            .then(|| [(yy * x - xy * y) / det, (xx * y - xy * x) / det])
    }

    fn arms<'a>(&'a self, outlines: &'a Outlines) -> impl Iterator<Item = [f64; 2]> + 'a {
        let [cx, cy] = self.centroid_mm;
        outlines.iter().flatten().map(move |&point| {
            let [x, y] = to_mm(point);
            [x - cx, y - cy]
        })
    }
}

/// One over the greatest; 0 without any.
fn over(values: impl Iterator<Item = f64>) -> f64 {
    let most = values.fold(0.0, f64::max);
    if most > 0.0 { 1.0 / most } else { 0.0 }
}

/// A point near the outlines, to measure from.
pub(crate) fn origin_mm(outlines: &Outlines) -> [f64; 2] {
    let first = outlines.iter().flatten().next();
    first.map_or([0.0; 2], |&point| to_mm(point))
}

#[cfg(test)]
mod tests;
