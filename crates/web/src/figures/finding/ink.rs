//! A sheet to draw on: a small picture as SVG that stands alone, in the colours of tokens.css.
//!
//! It is shown as an image, so it holds no style and no class: only attributes.

use std::fmt::Write as _;
use std::sync::OnceLock;

/// Width of a picture of a finding, px. At 360 px it is shown about as large.
pub(crate) const WIDTH: f64 = 320.0;
/// Height, px.
pub(crate) const HEIGHT: f64 = 240.0;
/// Size of letters, px: at least 12 wherever it is shown.
const LETTERS: f64 = 13.5;
/// Width of a letter beside its size, for keeping text inside. A generous guess.
const LETTER_WIDTH: f64 = 0.62;
/// Shorter dimensions have their arrows outside.
const ROOM_INSIDE_PX: f64 = 30.0;

/// A colour of the look by its name in tokens.css, the light theme.
pub(crate) fn token(name: &str) -> &'static str {
    static TOKENS: OnceLock<&str> = OnceLock::new();
    let all = TOKENS.get_or_init(|| include_str!("../../../assets/tokens.css"));
    let found = all.split(name).nth(1).and_then(|rest| {
        let value = rest.strip_prefix(':')?;
        value.split([';', '}']).next()
    });
    found.unwrap_or("#000")
}

/// A measured stretch: what a dimension line says, kept for tests and captions.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Dimension {
    /// Its ends in the mm of the cut that is drawn.
    pub(crate) from_mm: [f64; 2],
    /// The other end.
    pub(crate) to_mm: [f64; 2],
    /// What stands beside it.
    pub(crate) label: String,
}

impl Dimension {
    /// Length in mm.
    pub(crate) fn long_mm(&self) -> f64 {
        let [a, b] = [self.from_mm, self.to_mm];
        (b[0] - a[0]).hypot(b[1] - a[1])
    }
}

/// From mm of a cut, y up, to px of a sheet, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    pub(crate) px_per_mm: f64,
    /// The mm that fall on `at_px`.
    pub(crate) centre_mm: [f64; 2],
    pub(crate) at_px: [f64; 2],
}

impl Scale {
    /// The largest that shows a box of mm inside a box of px (left, top, right, bottom).
    pub(crate) fn fitted(
        low: [f64; 2],
        high: [f64; 2],
        [left, top, right, bottom]: [f64; 4],
    ) -> Self {
        let wide = (right - left) / (high[0] - low[0]).max(1e-6);
        let tall = (bottom - top) / (high[1] - low[1]).max(1e-6);
        Self {
            px_per_mm: wide.min(tall),
            centre_mm: [
                f64::midpoint(low[0], high[0]),
                f64::midpoint(low[1], high[1]),
            ],
            at_px: [f64::midpoint(left, right), f64::midpoint(top, bottom)],
        }
    }

    pub(crate) fn place(&self, at_mm: [f64; 2]) -> [f64; 2] {
        [
            self.at_px[0] + self.px_per_mm * (at_mm[0] - self.centre_mm[0]),
            self.at_px[1] - self.px_per_mm * (at_mm[1] - self.centre_mm[1]),
        ]
    }

    /// The mm at a point of the sheet.
    pub(crate) fn back(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [
            self.centre_mm[0] + (x - self.at_px[0]) / self.px_per_mm,
            self.centre_mm[1] - (y - self.at_px[1]) / self.px_per_mm,
        ]
    }
}

/// The sheet.
#[derive(Clone, Debug, Default)]
pub(crate) struct Sheet {
    body: String,
}

impl Sheet {
    /// Shapes of clay with an ink outline, cut off outside a box of px.
    pub(crate) fn clay(&mut self, path: &str, [left, top, right, bottom]: [f64; 4]) {
        let (w, h) = (right - left, bottom - top);
        self.add(format_args!(
            "<svg x=\"{left:.1}\" y=\"{top:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" \
             viewBox=\"{left:.1} {top:.1} {w:.1} {h:.1}\"><path d=\"{path}\" fill=\"{}\" \
             stroke=\"{}\" stroke-width=\"1.6\" fill-rule=\"evenodd\" stroke-linejoin=\"round\"/></svg>",
            token("--clay-2"),
            token("--ink"),
        ));
    }

    /// A line of ink.
    pub(crate) fn line(&mut self, a: [f64; 2], b: [f64; 2], width: f64, dashed: bool) {
        let dash = if dashed {
            " stroke-dasharray=\"6 4\""
        } else {
            ""
        };
        self.add(format_args!(
            "<path d=\"M{:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke=\"{}\" \
             stroke-width=\"{width}\"{dash}/>",
            a[0],
            a[1],
            b[0],
            b[1],
            token("--ink"),
        ));
    }

    /// A line of ink with white beside it, to be seen on anything.
    pub(crate) fn cased(&mut self, a: [f64; 2], b: [f64; 2], width: f64, dashed: bool) {
        let dash = if dashed {
            " stroke-dasharray=\"3 3\""
        } else {
            ""
        };
        for (stroke, wide, dash) in [
            (token("--sheet"), width + 3.0, ""),
            (token("--ink"), width, dash),
        ] {
            self.add(format_args!(
                "<path d=\"M{:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke=\"{stroke}\" \
                 stroke-width=\"{wide}\" stroke-linecap=\"round\"{dash}/>",
                a[0], a[1], b[0], b[1],
            ));
        }
    }

    /// A rectangle in ink (`filled`) or as an outline.
    pub(crate) fn rectangle(&mut self, [x, y, w, h]: [f64; 4], filled: bool, dashed: bool) {
        let fill = if filled { token("--ink") } else { "none" };
        let dash = if dashed {
            " stroke-dasharray=\"6 4\""
        } else {
            ""
        };
        self.add(format_args!(
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" fill=\"{fill}\" \
             stroke=\"{}\" stroke-width=\"1.2\"{dash}/>",
            token("--ink"),
        ));
    }

    /// White paper with a thin rim, to write on over a drawing.
    pub(crate) fn panel(&mut self, [x, y, w, h]: [f64; 4]) {
        self.add(format_args!(
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" fill=\"{}\" \
             stroke=\"{}\"/>",
            token("--sheet"),
            token("--ink"),
        ));
    }

    /// A ring of ink round a place.
    pub(crate) fn ring(&mut self, [x, y]: [f64; 2], radius: f64) {
        for (stroke, wide) in [(token("--sheet"), 6.0), (token("--ink"), 2.75)] {
            self.add(format_args!(
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius:.1}\" fill=\"none\" \
                 stroke=\"{stroke}\" stroke-width=\"{wide}\"/>"
            ));
        }
    }

    /// The sign of a centre of mass: a disc in quarters.
    pub(crate) fn centre_of_mass(&mut self, [x, y]: [f64; 2]) {
        let (ink, sheet) = (token("--ink"), token("--sheet"));
        self.add(format_args!(
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"9\" fill=\"{sheet}\" stroke=\"{ink}\" \
             stroke-width=\"2\"/><path d=\"M{x:.1} {y:.1}v-9a9 9 0 0 1 9 9zM{x:.1} {y:.1}v9a9 9 0 0 \
             1-9-9z\" fill=\"{ink}\"/>"
        ));
    }

    /// Words, kept inside the sheet. `anchor` is `start`, `middle` or `end`.
    pub(crate) fn text(&mut self, [x, y]: [f64; 2], anchor: &str, bold: bool, words: &str) {
        let wide = words.chars().count() as f64 * LETTERS * LETTER_WIDTH;
        let (left, right) = match anchor {
            "start" => (0.0, wide),
            "end" => (wide, 0.0),
            _ => (wide / 2.0, wide / 2.0),
        };
        let x = x.min(WIDTH - 5.0 - right).max(5.0 + left);
        let y = y.clamp(LETTERS + 1.0, HEIGHT - 5.0);
        let weight = if bold { 700 } else { 400 };
        let words = escaped(words);
        self.add(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" font-size=\"{LETTERS}\" \
             font-weight=\"{weight}\" font-family=\"Atkinson Hyperlegible Next, Segoe UI, Noto \
             Sans, DejaVu Sans, sans-serif\" fill=\"{}\" stroke=\"{}\" stroke-width=\"3.5\" \
             stroke-linejoin=\"round\" paint-order=\"stroke\">{words}</text>",
            token("--ink"),
            token("--sheet"),
        ));
    }

    /// A dimension: two arrowheads and what was measured.
    pub(crate) fn dimension(&mut self, scale: &Scale, dimension: &Dimension) {
        let (a, b) = (scale.place(dimension.from_mm), scale.place(dimension.to_mm));
        let long = (b[0] - a[0]).hypot(b[1] - a[1]).max(1e-6);
        let u = [(b[0] - a[0]) / long, (b[1] - a[1]) / long];
        let along = |from: [f64; 2], by: f64| [from[0] + by * u[0], from[1] + by * u[1]];
        let inside = long >= ROOM_INSIDE_PX;
        let label_px = if inside {
            self.cased(a, b, 1.75, false);
            self.head(a, [-u[0], -u[1]]);
            self.head(b, u);
            let mid = along(a, long / 2.0);
            // Beside the line, on its upper or right side.
            let side = if u[0].abs() > u[1].abs() {
                [0.0, -8.0]
            } else {
                [9.0, 5.0]
            };
            [mid[0] + side[0], mid[1] + side[1]]
        } else {
            self.cased(along(a, -24.0), a, 1.75, false);
            self.cased(b, along(b, 24.0), 1.75, false);
            self.head(a, u);
            self.head(b, [-u[0], -u[1]]);
            let end = along(b, 28.0);
            let down = if u[0].abs() > u[1].abs() {
                5.0
            } else if u[1] > 0.0 {
                14.0
            } else {
                0.0
            };
            [end[0], end[1] + down]
        };
        let anchor = match (inside, u[0].abs() > u[1].abs()) {
            (true, true) | (false, false) => "middle",
            (true, false) => "start",
            (false, true) if u[0] > 0.0 => "start",
            (false, true) => "end",
        };
        self.text(label_px, anchor, true, &dimension.label);
    }

    /// An arrowhead whose tip is at `tip` and that points along `u`.
    fn head(&mut self, tip: [f64; 2], u: [f64; 2]) {
        let back = [tip[0] - 9.0 * u[0], tip[1] - 9.0 * u[1]];
        let side = [-u[1] * 3.6, u[0] * 3.6];
        self.add(format_args!(
            "<path d=\"M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}z\" fill=\"{}\" stroke=\"{}\" \
             stroke-width=\".8\"/>",
            tip[0],
            tip[1],
            back[0] + side[0],
            back[1] + side[1],
            back[0] - side[0],
            back[1] - side[1],
            token("--ink"),
            token("--sheet"),
        ));
    }

    /// A picture of dots inside the sheet.
    pub(crate) fn image(&mut self, png: &[u8]) {
        use base64::Engine as _;
        let bytes = base64::engine::general_purpose::STANDARD.encode(png);
        self.add(format_args!(
            "<image width=\"{WIDTH}\" height=\"{HEIGHT}\" href=\"data:image/png;base64,{bytes}\"/>"
        ));
    }

    /// The whole, as a file.
    pub(crate) fn finished(&self, title: &str) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" \
             width=\"{WIDTH}\" height=\"{HEIGHT}\" role=\"img\"><title>{}</title><rect \
             width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"{}\"/>{}</svg>\n",
            escaped(title),
            token("--sheet"),
            self.body
        )
    }

    fn add(&mut self, what: std::fmt::Arguments<'_>) {
        // Writing to a string does not fail.
        let _ = self.body.write_fmt(what);
    }
}

fn escaped(text: &str) -> String {
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    text.replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_come_from_the_tokens() {
        assert_eq!((token("--ink"), token("--clay-2")), ("#1B1A33", "#D0C8BC"));
        assert_eq!(token("--sheet"), "#FCFDFB");
    }

    #[test]
    fn a_scale_turns_y_over_and_leads_back() {
        let scale = Scale::fitted([0.0, 0.0], [20.0, 10.0], [0.0, 0.0, 200.0, 200.0]);
        let pairs = [
            (scale.place([0.0, 0.0]), [0.0, 150.0]),
            (scale.place([20.0, 10.0]), [200.0, 50.0]),
            (scale.back([200.0, 50.0]), [20.0, 10.0]),
        ];
        for (found, wanted) in pairs {
            let off = (found[0] - wanted[0]).hypot(found[1] - wanted[1]);
            assert!(off < 1e-9, "{found:?}, not {wanted:?}");
        }
    }

    #[test]
    fn words_stay_inside_and_can_do_no_harm() {
        let mut sheet = Sheet::default();
        sheet.text([400.0, 900.0], "start", true, "0.4 mm <script>");
        let made = sheet.finished("\"a\" & <b>");
        assert!(!made.contains("<script>") && !made.contains("<b>"));
        assert!(!made.contains("style=") && !made.contains("class="));
        let x = made
            .split("<text x=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        assert!(x.parse::<f64>().unwrap() < WIDTH - 100.0, "{x}");
    }
}
