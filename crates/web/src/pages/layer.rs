//! One layer of a part: its drawing, what it says in words, and the way to the others.

use askama::Template;
use partpledge_words::{decimal, say};
use partpledge_workshop::showing::{ShownLayer, ShownPart};

use crate::figures::layer::{HeightDrawing, LayerDrawing, height_drawing, layer_drawing, says};
use crate::who::Head;

/// A layer as a section of a page.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layer {
    /// Address of the page that the form and the links lead to.
    pub(crate) action: String,
    /// Address of the drawing by itself.
    pub(crate) svg: String,
    /// Which part of the file.
    pub(crate) k: usize,
    pub(crate) n: usize,
    pub(crate) last: usize,
    pub(crate) first_layer_mm: f64,
    pub(crate) rise_mm: f64,
    pub(crate) z_mm: f64,
    pub(crate) above_bed: String,
    pub(crate) size: Option<String>,
    pub(crate) area: String,
    pub(crate) guess: bool,
    /// What is marked, in words.
    pub(crate) marks: Vec<String>,
    pub(crate) drawing: LayerDrawing,
    pub(crate) at: HeightDrawing,
}

impl Layer {
    /// Layer `n` of part `k` of a request; `None` if it has no such layer.
    pub(crate) fn of(
        (number, page): (i64, &str),
        k: usize,
        part: &ShownPart,
        n: usize,
    ) -> Option<Self> {
        let shown = part.layer(n)?;
        Some(Self {
            action: format!("/parts/{number}/{page}"),
            svg: format!("/parts/{number}/layer.svg?part={k}&layer={n}"),
            k,
            n,
            last: part.heights_mm.len(),
            first_layer_mm: part.first_layer_mm,
            rise_mm: part.layer_mm,
            z_mm: shown.z_mm,
            above_bed: say!("turn-above-bed", z = decimal(shown.z_mm, 2)),
            size: shown.size_mm.map(|[w, d]| {
                say!(
                    "turn-layer-size",
                    width = decimal(w, 1),
                    depth = decimal(d, 1)
                )
            }),
            area: say!("turn-layer-area", area = decimal(shown.area_mm2, 0)),
            guess: shown.guess,
            marks: words(&shown),
            drawing: layer_drawing(part, &shown),
            at: height_drawing(part, shown.z_mm),
        })
    }

    /// The layer below, if there is one.
    pub(crate) fn below(&self) -> Option<String> {
        (self.n > 1).then(|| self.link(self.n - 1))
    }

    /// The layer above, if there is one.
    pub(crate) fn above(&self) -> Option<String> {
        (self.n < self.last).then(|| self.link(self.n + 1))
    }

    /// Whether something thin is marked, or else something over air.
    pub(crate) fn marks_thin(&self, thin: bool) -> bool {
        self.drawing.marks.iter().any(|mark| mark.thin == thin)
    }

    fn link(&self, n: usize) -> String {
        format!("{}?part={}&layer={n}", self.action, self.k)
    }
}

fn words(shown: &ShownLayer) -> Vec<String> {
    shown
        .marks
        .iter()
        .map(|mark| says(mark.why).join(" "))
        .collect()
}

/// The page of one layer.
#[derive(Template)]
#[template(path = "layer.html")]
pub(crate) struct LayerPage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) part: String,
    pub(crate) layer: Layer,
}

/// The drawing by itself.
#[derive(Template)]
#[template(path = "layer.svg", escape = "html")]
pub(crate) struct LayerSvg {
    pub(crate) layer: Layer,
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::figures::layer::MarkDrawn;
    use crate::pages::samples::{AWKWARD, head, sound};

    /// A layer with two marks.
    pub(crate) fn sample() -> Layer {
        let mark = |thin: bool, says: [&str; 2]| MarkDrawn {
            thin,
            path: "M60 60L90 60L90 64z".to_owned(),
            says: says.map(str::to_owned),
            x: 106.0,
            y: 60.0,
            anchor: "start",
            to_x: 90.0,
            to_y: 60.0,
        };
        Layer {
            action: "/parts/7/turn".to_owned(),
            svg: "/parts/7/layer.svg?part=1&layer=42".to_owned(),
            k: 1,
            n: 42,
            last: 220,
            first_layer_mm: 0.2,
            rise_mm: 0.2,
            z_mm: 8.3,
            above_bed: "8.30 mm above the bed".to_owned(),
            size: Some("50.0 × 30.0 mm".to_owned()),
            area: "812 mm²".to_owned(),
            guess: false,
            marks: vec!["thin 0.4 mm".to_owned(), "starts in the air".to_owned()],
            drawing: LayerDrawing {
                width: 560.0,
                height: 400.0,
                px_per_mm: 10.0,
                path: "M50 50L500 50L500 300z".to_owned(),
                shadow: "M40 40L510 40L510 310z".to_owned(),
                marks: vec![
                    mark(true, ["thin", "0.4 mm"]),
                    mark(false, ["starts", "in the air"]),
                ],
                bar: (30.0, 130.0, 386.0, "10 mm".to_owned()),
            },
            at: HeightDrawing {
                width: 174.0,
                height: 200.0,
                path: "M20 20L80 20L80 180z".to_owned(),
                y: 150.0,
                bed_y: 180.0,
            },
        }
    }

    #[test]
    fn the_page_of_a_layer_renders_at_both_ends_and_without_plastic() {
        let page = |layer: Layer| {
            let page = LayerPage {
                head: head(),
                number: 7,
                part: AWKWARD.to_owned(),
                layer,
            };
            let made = page.render().unwrap();
            sound(&made);
            made
        };
        let middle = page(sample());
        assert!(middle.contains("layer=41") && middle.contains("layer=43"));
        let first = page(Layer { n: 1, ..sample() });
        assert!(!first.contains("layer=0\"") && first.contains("layer=2"));
        let last = page(Layer {
            n: 220,
            size: None,
            guess: true,
            ..sample()
        });
        assert!(!last.contains("layer=221") && last.contains("guess"));
    }

    #[test]
    fn the_drawing_by_itself_needs_no_style_sheet() {
        let svg = LayerSvg { layer: sample() }.render().unwrap();
        assert!(svg.starts_with("<svg xmlns=") && svg.trim_end().ends_with("</svg>"));
        assert!(svg.contains("fill=\"#E9E4DC\"") && !svg.contains("style"));
        assert_eq!(svg.matches("url(#lines)").count(), 1);
        assert_eq!(svg.matches("url(#dots)").count(), 1);
    }
}
