//! Our own lines written out as a motion program.

use partpledge_catalogue::{FILAMENT_DIAMETER_MM, Material, PrinterClass, ProcessSheet};

use crate::bead::filament_area_mm2;
use crate::estimate::{Estimate, EstimateError, speeds, time};
use crate::layers::{LayerPaths, Paths};
use crate::motion::rest_to_rest_s;

/// How the words are written; the moves are the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dialect {
    /// Millimetres, absolute places.
    Plain,
    /// Inches.
    Inches,
    /// Places from where the head is.
    Incremental,
    /// Every line with its number and its checksum.
    Numbered,
    /// Lower case, no blanks, no comments.
    Packed,
}

/// Writes paths out as a motion program that takes as long as [`time`] says.
///
/// What the estimate holds beside the lines is written as dwells: the least time of a layer, the
/// step to the next layer (less the move up itself), pulling the filament back and pushing it
/// forward (the sheet knows its time, not its length), and measuring the bed. A dwell of nothing
/// stands where the estimate has the head stop. No start and no end of any one printer: it is for
/// tests and comparisons, not for a machine.
///
/// # Errors
/// As [`time`].
/// # Source
/// Motion words: ISO 6983-1 (from memory). Filament axis, heater words, dwell by S, line checksum:
/// common practice, no source.
pub fn program(
    paths: &Paths,
    sheet: &ProcessSheet,
    class: &PrinterClass,
    material: &Material,
    dialect: Dialect,
) -> Result<String, EstimateError> {
    let estimate = time(paths, sheet, class, material)?;
    let mut pen = Pen::new(dialect);
    start(&mut pen, class, material);
    let (mut top_mm, mut at_mm) = (0.0, None);
    for (i, layer) in paths.layers.iter().enumerate() {
        top_mm += layer.height_mm;
        if layer.lines.is_empty() {
            continue;
        }
        pen.comment(&format!("layer {}", i + 1));
        climb(
            &mut pen,
            top_mm,
            at_mm.map(|below_mm: f64| top_mm - below_mm),
            class,
        );
        at_mm = Some(top_mm);
        lines(&mut pen, layer, i == 0, sheet, class);
        settle(&mut pen, &estimate, i, sheet);
    }
    pen.block("M02");
    Ok(pen.out)
}

fn start(pen: &mut Pen, class: &PrinterClass, material: &Material) {
    pen.comment("paths of Partpledge, for timing only: not for a machine");
    pen.block(match pen.dialect {
        Dialect::Inches => "G20",
        _ => "G21",
    });
    pen.block("G17 G94");
    pen.block("G90");
    pen.block("M83");
    pen.block(&format!("M140 S{}", material.bed_c));
    pen.block(&format!("M104 S{}", material.nozzle_c));
    pen.block(&format!("M190 S{}", material.bed_c));
    pen.block(&format!("M109 S{}", material.nozzle_c));
    pen.dwell(class.levelling_s, "measuring the bed");
}

/// Up to the height of a layer: move and dwell together take the class's time for it.
fn climb(pen: &mut Pen, top_mm: f64, up_mm: Option<f64>, class: &PrinterClass) {
    let speed = class.travel_speed_mm_s;
    // The way to the first layer begins where nobody knows, and is not timed.
    let move_s = up_mm.map_or(0.0, |mm| {
        rest_to_rest_s(mm, speed, class.accel_mm_s2).unwrap_or(0.0)
    });
    pen.rise(top_mm, speed);
    pen.dwell((class.layer_change_s - move_s).max(0.0), "next layer");
}

fn lines(
    pen: &mut Pen,
    layer: &LayerPaths,
    first: bool,
    sheet: &ProcessSheet,
    class: &PrinterClass,
) {
    let speed = speeds(layer.bead_mm2, first, sheet, class);
    let feed = layer.bead_mm2 / filament_area_mm2(FILAMENT_DIAMETER_MM);
    for (i, line) in layer.lines.iter().enumerate() {
        let Some(&start) = line.points.first() else {
            continue;
        };
        let halves_s = sheet.pull_back_s / 2.0;
        if line.pull_back {
            pen.dwell(halves_s, "filament back");
        }
        pen.travel(start, class.travel_speed_mm_s);
        pen.go_by_differences();
        if line.pull_back {
            pen.dwell(halves_s, "filament forward");
        } else if i == 0 {
            pen.dwell(0.0, "");
        }
        for &point in &line.points[1..] {
            pen.lay(point, speed(line.kind), feed);
        }
    }
}

/// Waits until the layer has taken its least time.
fn settle(pen: &mut Pen, estimate: &Estimate, layer: usize, sheet: &ProcessSheet) {
    let taken_s = estimate.layer_s.get(layer).copied().unwrap_or(0.0);
    let wait_s = (sheet.min_layer_time_s - taken_s).max(0.0);
    pen.dwell(wait_s, "layer sets");
}

/// Puts down blocks, and knows where the head is.
struct Pen {
    out: String,
    dialect: Dialect,
    number: u32,
    at_mm: [f64; 3],
    per_mm: f64,
    incremental: bool,
}

impl Pen {
    fn new(dialect: Dialect) -> Self {
        let per_mm = match dialect {
            Dialect::Inches => 1.0 / 25.4,
            _ => 1.0,
        };
        Self {
            out: String::new(),
            dialect,
            number: 0,
            at_mm: [0.0; 3],
            per_mm,
            incremental: false,
        }
    }

    /// From here on, in the dialect for it; the first place must be told as it is.
    fn go_by_differences(&mut self) {
        if self.dialect == Dialect::Incremental && !self.incremental {
            self.incremental = true;
            self.block("G91");
        }
    }

    fn block(&mut self, words: &str) {
        match self.dialect {
            Dialect::Packed => self.out.push_str(&words.replace(' ', "").to_lowercase()),
            Dialect::Numbered => {
                self.number += 1;
                let line = format!("N{} {words}", self.number);
                let sum = line.bytes().fold(0_u8, |sum, byte| sum ^ byte);
                self.out.push_str(&format!("{line}*{sum}"));
            }
            _ => self.out.push_str(words),
        }
        self.out.push('\n');
    }

    fn comment(&mut self, text: &str) {
        if self.dialect != Dialect::Packed {
            self.out.push_str(&format!("({text})\n"));
        }
    }

    fn dwell(&mut self, s: f64, why: &str) {
        self.block(&format!("G04 S{s:.6}"));
        if !why.is_empty() && self.dialect == Dialect::Plain {
            self.out.pop();
            self.out.push_str(&format!(" ; {why}\n"));
        }
    }

    /// Coordinate of an axis as the dialect has it; the head is there afterwards. Places are
    /// rounded to 1e-5 mm before differences are taken, so that none is lost on the way.
    fn coordinate(&mut self, axis: usize, to_mm: f64) -> f64 {
        let to_mm = (to_mm * 1e5).round() / 1e5;
        let from_mm = std::mem::replace(&mut self.at_mm[axis], to_mm);
        if self.incremental {
            to_mm - from_mm
        } else {
            to_mm * self.per_mm
        }
    }

    fn feed_word(&self, speed_mm_s: f64) -> String {
        format!("F{:.3}", speed_mm_s * 60.0 * self.per_mm)
    }

    fn rise(&mut self, to_mm: f64, speed_mm_s: f64) {
        let (z, f) = (self.coordinate(2, to_mm), self.feed_word(speed_mm_s));
        self.block(&format!("G00 Z{z:.6} {f}"));
    }

    fn travel(&mut self, to_mm: [f64; 2], speed_mm_s: f64) {
        let [x, y] = [0, 1].map(|k| self.coordinate(k, to_mm[k]));
        let f = self.feed_word(speed_mm_s);
        self.block(&format!("G00 X{x:.6} Y{y:.6} {f}"));
    }

    fn lay(&mut self, to_mm: [f64; 2], speed_mm_s: f64, filament_per_mm: f64) {
        let from_mm = self.at_mm;
        let [x, y] = [0, 1].map(|k| self.coordinate(k, to_mm[k]));
        let length_mm = (self.at_mm[0] - from_mm[0]).hypot(self.at_mm[1] - from_mm[1]);
        let e = length_mm * filament_per_mm * self.per_mm;
        let f = self.feed_word(speed_mm_s);
        self.block(&format!("G01 X{x:.6} Y{y:.6} E{e:.7} {f}"));
    }
}
