//! Flat outlines: corners in mm, counter-clockwise.

/// A closed outline; the last corner joins the first.
pub(crate) type Outline = Vec<[f64; 2]>;

/// A regular outline of `n` corners on a circle, the first at `turn_deg`.
pub(crate) fn regular(n: u32, radius_mm: f64, turn_deg: f64) -> Outline {
    (0..n)
        .map(|i| {
            let angle = (360.0 * f64::from(i) / f64::from(n) + turn_deg).to_radians();
            [radius_mm * angle.cos(), radius_mm * angle.sin()]
        })
        .collect()
}

/// A circle, fine enough that no corner is off by more than 0.01 mm up to 50 mm across.
pub(crate) fn circle(radius_mm: f64) -> Outline {
    regular(96, radius_mm, 0.0)
}

/// The outline moved.
pub(crate) fn at(outline: &Outline, x_mm: f64, y_mm: f64) -> Outline {
    outline.iter().map(|[x, y]| [x + x_mm, y + y_mm]).collect()
}

/// A rectangle from its least to its greatest corner.
pub(crate) fn rectangle(low: [f64; 2], high: [f64; 2]) -> Outline {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

/// A rectangle about the origin with round corners.
pub(crate) fn rounded(width_mm: f64, depth_mm: f64, radius_mm: f64) -> Outline {
    let (x, y) = (width_mm / 2.0 - radius_mm, depth_mm / 2.0 - radius_mm);
    let corners = [
        ([x, y], 0.0),
        ([-x, y], 90.0),
        ([-x, -y], 180.0),
        ([x, -y], 270.0_f64),
    ];
    let arc = |([cx, cy], start): ([f64; 2], f64)| {
        (0..=8).map(move |i| {
            let angle = (start + 11.25 * f64::from(i)).to_radians();
            [cx + radius_mm * angle.cos(), cy + radius_mm * angle.sin()]
        })
    };
    corners.into_iter().flat_map(arc).collect()
}

/// A spur gear's outline with straight flanks; good enough to look at and to print.
pub(crate) fn gear(teeth: u32, root_mm: f64, tip_mm: f64) -> Outline {
    let pitch = 360.0 / f64::from(teeth);
    (0..teeth)
        .flat_map(|tooth| {
            let start = pitch * f64::from(tooth);
            [
                (0.05, root_mm),
                (0.30, tip_mm),
                (0.55, tip_mm),
                (0.80, root_mm),
            ]
            .map(|(share, r)| {
                let angle = (start + share * pitch).to_radians();
                [r * angle.cos(), r * angle.sin()]
            })
        })
        .collect()
}

/// Whether a point lies inside, by even-odd crossings.
pub(crate) fn holds(outline: &Outline, [x, y]: [f64; 2]) -> bool {
    let ends = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossings = ends.filter(|(a, b)| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossings.count() % 2 == 1
}

/// Signed area; positive counter-clockwise.
pub(crate) fn area_mm2(outline: &Outline) -> f64 {
    let ends = outline.iter().zip(outline.iter().cycle().skip(1));
    ends.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
}
