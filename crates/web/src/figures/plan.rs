//! A plate seen from above: bed with ticks, outlines, clearance, marks.

use partpledge_plates::Placement;
use partpledge_words::{Value, short};
use partpledge_workshop::laying_out::{CLEARANCE_MM, letters};
use partpledge_workshop::plate_room::LaidPlate;

/// Units of the outlines in a millimetre.
const UNITS_PER_MM: f64 = partpledge_plates::UNITS_PER_MM;
/// Room for the scale beside the bed, mm.
const SCALE_MM: f64 = 22.0;
/// Room on the other sides, mm.
const RIM_MM: f64 = 8.0;
/// Most corners drawn for one copy; a picture needs no more.
const CORNERS: usize = 400;

/// A plate's plan.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plan {
    pub(crate) view: String,
    pub(crate) bed: [f64; 2],
    /// One for each copy.
    pub(crate) copies: Vec<Copy>,
    /// Ticks every 10 mm; every 50 mm with a number.
    pub(crate) ticks: Vec<Tick>,
}

impl Plan {
    /// Width of the bed, mm, to be read.
    pub(crate) fn width(&self) -> Value {
        short(self.bed[0], 3)
    }

    /// Its depth.
    pub(crate) fn depth(&self) -> Value {
        short(self.bed[1], 3)
    }
}

/// A copy on the plan.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Copy {
    pub(crate) path: String,
    pub(crate) box_x: f64,
    pub(crate) box_y: f64,
    pub(crate) box_w: f64,
    pub(crate) box_h: f64,
    pub(crate) mark: String,
    pub(crate) x: f64,
    pub(crate) y: f64,
}

/// A tick of a scale.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tick {
    pub(crate) path: String,
    pub(crate) number: Option<(String, f64, f64, &'static str)>,
}

/// The plan of a plate. Marks are letters by part and numbers by copy.
pub(crate) fn plan(plate: &LaidPlate) -> Plan {
    let [width, depth] = plate.bed_mm;
    let mut seen = vec![0_usize; plate.items.len()];
    let alone: Vec<bool> = (0..plate.items.len())
        .map(|item| {
            plate
                .layout
                .placements
                .iter()
                .filter(|p| p.item == item)
                .count()
                == 1
        })
        .collect();
    let mut copies = Vec::new();
    let mut placements: Vec<&Placement> = plate.layout.placements.iter().collect();
    placements.sort_by_key(|p| (p.item, p.copy));
    for placed in placements {
        seen[placed.item] += 1;
        let letter = letters(placed.item);
        let mark = if alone[placed.item] {
            letter
        } else {
            format!("{letter}{}", seen[placed.item])
        };
        copies.push(copy(plate, placed, mark, depth));
    }
    let view = format!(
        "{} {} {} {}",
        -SCALE_MM,
        -RIM_MM,
        width + SCALE_MM + RIM_MM,
        depth + SCALE_MM + RIM_MM
    );
    Plan {
        view,
        bed: plate.bed_mm,
        copies,
        ticks: ticks(width, depth),
    }
}

fn copy(plate: &LaidPlate, placed: &Placement, mark: String, depth: f64) -> Copy {
    let (sin, cos) = placed.rotation_deg.to_radians().sin_cos();
    // The bed's y grows away from the person, the picture's grows down.
    let place = |x: f64, y: f64| {
        [
            cos * x - sin * y + placed.x_mm,
            depth - (sin * x + cos * y + placed.y_mm),
        ]
    };
    let part = plate.items[placed.item].part();
    let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
    let mut path = String::new();
    for outline in &part.shadow {
        let step = outline.len().div_ceil(CORNERS).max(1);
        for (i, corner) in outline.iter().step_by(step).enumerate() {
            let at = place(
                corner.x as f64 / UNITS_PER_MM,
                corner.y as f64 / UNITS_PER_MM,
            );
            for k in 0..2 {
                low[k] = low[k].min(at[k]);
                high[k] = high[k].max(at[k]);
            }
            let letter = if i == 0 { 'M' } else { 'L' };
            path.push_str(&format!("{letter}{:.1} {:.1}", at[0], at[1]));
        }
        path.push('Z');
    }
    let rim = CLEARANCE_MM / 2.0;
    Copy {
        path,
        box_x: low[0] - rim,
        box_y: low[1] - rim,
        box_w: high[0] - low[0] + 2.0 * rim,
        box_h: high[1] - low[1] + 2.0 * rim,
        mark,
        x: f64::midpoint(low[0], high[0]),
        y: f64::midpoint(low[1], high[1]) + 3.5,
    }
}

fn ticks(width: f64, depth: f64) -> Vec<Tick> {
    let steps = |length: f64| {
        (0..)
            .map(|n| f64::from(n) * 10.0)
            .take_while(move |&at| at <= length)
    };
    let fifty = |at: f64| (at / 50.0 - (at / 50.0).round()).abs() < 1e-9;
    let mut out = Vec::new();
    for at in steps(depth) {
        let (long, y) = (fifty(at), depth - at);
        let reach = if long { 6.0 } else { 3.0 };
        out.push(Tick {
            path: format!("M0 {y}h-{reach}"),
            number: (long && at > 0.0).then(|| (format!("{at:.0}"), -8.0, y + 2.2, "end")),
        });
    }
    for at in steps(width) {
        let long = fifty(at);
        let reach = if long { 6.0 } else { 3.0 };
        out.push(Tick {
            path: format!("M{at} {depth}v{reach}"),
            number: long.then(|| (format!("{at:.0}"), at, depth + 13.0, "middle")),
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fifth_tick_has_its_number() {
        let ticks = ticks(220.0, 210.0);
        assert_eq!(ticks.len(), 22 + 23);
        let numbers = ticks.iter().filter_map(|tick| tick.number.as_ref());
        let numbers: Vec<&str> = numbers.map(|(text, ..)| text.as_str()).collect();
        assert_eq!(
            numbers,
            ["50", "100", "150", "200", "0", "50", "100", "150", "200"]
        );
    }
}
