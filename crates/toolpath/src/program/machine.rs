//! The machine that a program is played on: modes, places, heaters, and the sums of what happens.

use partpledge_catalogue::{FILAMENT_DIAMETER_MM, PrinterClass};

use super::arc::steps;
use super::heat::Heat;
use super::tally::{Extent, Heights};
use crate::bead::filament_area_mm2;
use crate::motion::Limits;
use crate::motion::rolling::{Doing, MOST, Rolling, Step};

/// How the head goes on a move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Rapid,
    Straight,
    Clockwise,
    CounterClockwise,
}

/// Where to, in the program's units; `None` for what the block does not name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Target {
    pub(crate) axes: [Option<f64>; 3],
    pub(crate) filament: Option<f64>,
    /// From the start of an arc to its middle.
    pub(crate) to_middle: Option<[f64; 2]>,
}

/// A move in mm.
struct Move {
    from: [f64; 3],
    to: [f64; 3],
    to_middle_mm: Option<[f64; 2]>,
    filament_mm: f64,
}

/// Modes, places and sums.
#[derive(Clone, Debug)]
pub(crate) struct Machine {
    pub(crate) class: PrinterClass,
    pub(crate) rolling: Rolling,
    pub(crate) mm_per_unit: f64,
    pub(crate) incremental: bool,
    /// Until a word of its own says otherwise, the filament axis goes by `incremental`.
    pub(crate) filament_incremental: Option<bool>,
    /// Arcs lie in the plane of X and Y.
    pub(crate) flat: bool,
    pub(crate) feed_mm_s: Option<f64>,
    pub(crate) rapid_mm_s: Option<f64>,
    pub(crate) nozzle: Heat,
    pub(crate) bed: Heat,
    place: [f64; 3],
    known: [bool; 3],
    /// Place where the program's coordinates are zero.
    zero: [f64; 3],
    filament_at_mm: f64,
    pulled_back_mm: f64,
    pub(crate) dwell_s: f64,
    pub(crate) heating_s: f64,
    /// Forward less back, mm.
    pub(crate) filament_mm: f64,
    /// Pushed forward while the head goes along, mm.
    pub(crate) laid_filament_mm: f64,
    pub(crate) heights: Heights,
    /// Length laid while the head climbs, mm.
    pub(crate) climbing_mm: f64,
    pub(crate) laid: Option<Extent>,
    pub(crate) moved: Option<Extent>,
    pub(crate) moves: u64,
    pub(crate) capped: u64,
    pub(crate) not_timed: u64,
}

impl Machine {
    pub(crate) fn new(class: &PrinterClass) -> Self {
        let limits = Limits {
            accel_mm_s2: class.accel_mm_s2,
            corner_deviation_mm: class.corner_deviation_mm,
        };
        Self {
            class: class.clone(),
            rolling: Rolling::new(limits, MOST),
            mm_per_unit: 1.0,
            incremental: false,
            filament_incremental: None,
            flat: true,
            feed_mm_s: None,
            rapid_mm_s: None,
            nozzle: Heat::cold(class.nozzle_heat_c_per_s),
            bed: Heat::cold(class.bed_heat_c_per_s),
            place: [0.0; 3],
            known: [false; 3],
            zero: [0.0; 3],
            filament_at_mm: 0.0,
            pulled_back_mm: 0.0,
            dwell_s: 0.0,
            heating_s: 0.0,
            filament_mm: 0.0,
            laid_filament_mm: 0.0,
            heights: Heights::default(),
            climbing_mm: 0.0,
            laid: None,
            moved: None,
            moves: 0,
            capped: 0,
            not_timed: 0,
        }
    }

    /// Seconds since the program began; the head stops for it.
    pub(crate) fn now_s(&mut self) -> f64 {
        self.rolling.stop();
        self.rolling.spent.total_s() + self.dwell_s + self.heating_s
    }

    pub(crate) fn dwell(&mut self, s: f64) {
        self.rolling.stop();
        self.dwell_s += s.max(0.0);
    }

    /// Nobody knows where these axes are from here on.
    pub(crate) fn lose(&mut self, axes: [bool; 3]) {
        self.rolling.stop();
        for (known, lost) in self.known.iter_mut().zip(axes) {
            *known &= !lost;
        }
    }

    /// Says that where the head is has these coordinates.
    pub(crate) fn preset(&mut self, target: &Target) {
        for (axis, value) in target.axes.iter().enumerate() {
            let Some(mm) = value.map(|v| v * self.mm_per_unit) else {
                continue;
            };
            if self.known[axis] {
                self.zero[axis] = self.place[axis] - mm;
            } else {
                // Only now is it known at all: the program's zero is then taken as the bed's.
                (self.place[axis], self.zero[axis], self.known[axis]) = (mm, 0.0, true);
            }
        }
        if let Some(value) = target.filament {
            self.filament_at_mm = value * self.mm_per_unit;
        }
    }

    /// Moves; `false` if the move could not be timed (its place is taken over all the same).
    pub(crate) fn go(&mut self, way: Way, target: &Target) -> bool {
        let (step, jump) = self.resolve(target);
        let timed = !jump && self.walk(way, &step);
        self.place = step.to;
        self.count_filament(step.filament_mm);
        if self.known == [true; 3] {
            self.moved = Some(Extent::with(self.moved, step.to));
        }
        if timed {
            self.moves += 1;
        } else {
            self.rolling.stop();
            self.not_timed += 1;
        }
        timed
    }

    /// Where the move leads, and whether it begins at a place that nobody knows.
    fn resolve(&mut self, target: &Target) -> (Move, bool) {
        let mut to = self.place;
        let mut jump = false;
        for (axis, value) in target.axes.iter().enumerate() {
            let Some(mm) = value.map(|v| v * self.mm_per_unit) else {
                continue;
            };
            if self.incremental {
                to[axis] += mm;
            } else {
                jump |= !self.known[axis];
                self.known[axis] = true;
                to[axis] = self.zero[axis] + mm;
            }
        }
        let filament_mm = target.filament.map_or(0.0, |value| {
            let mm = value * self.mm_per_unit;
            if self.filament_incremental.unwrap_or(self.incremental) {
                mm
            } else {
                mm - self.filament_at_mm
            }
        });
        self.filament_at_mm += filament_mm;
        let from = self.place;
        let step = Move {
            from,
            to,
            to_middle_mm: target.to_middle.map(|by| by.map(|v| v * self.mm_per_unit)),
            filament_mm,
        };
        (step, jump)
    }

    fn walk(&mut self, way: Way, step: &Move) -> bool {
        match way {
            Way::Rapid | Way::Straight => {
                let by: [f64; 3] = std::array::from_fn(|k| step.to[k] - step.from[k]);
                let length_mm = by.iter().map(|c| c * c).sum::<f64>().sqrt();
                if length_mm < 1e-9 {
                    self.feed_alone(way, step.filament_mm);
                    return true;
                }
                let heading = by.map(|c| c / length_mm);
                self.along(way, step, length_mm, &[(heading, length_mm, step.to)]);
                true
            }
            Way::Clockwise | Way::CounterClockwise => {
                let Some(to_middle_mm) = step.to_middle_mm.filter(|_| self.flat) else {
                    return false;
                };
                let clockwise = way == Way::Clockwise;
                let Some(parts) = steps(step.from, step.to, to_middle_mm, clockwise) else {
                    return false;
                };
                let parts: Vec<_> = parts.map(|p| (p.heading, p.length_mm, p.end_mm)).collect();
                let length_mm = parts.iter().map(|part| part.1).sum();
                self.along(way, step, length_mm, &parts);
                true
            }
        }
    }

    /// The head goes along straight parts: heading, length, end.
    fn along(
        &mut self,
        way: Way,
        step: &Move,
        length_mm: f64,
        parts: &[([f64; 3], f64, [f64; 3])],
    ) {
        let laying = step.filament_mm > 1e-9;
        let most = if laying {
            self.class
                .max_speed_mm_s
                .min(self.flowing_mm_s(step.filament_mm / length_mm))
        } else {
            self.class.travel_speed_mm_s
        };
        let speed_mm_s = self.capped(way, most);
        let doing = if laying {
            Doing::Laying
        } else {
            Doing::Travelling
        };
        let flat_mm = (step.to[0] - step.from[0]).hypot(step.to[1] - step.from[1]);
        let spread = laying && (flat_mm > 1e-9 || parts.len() > 1);
        if spread {
            self.laid = Some(Extent::with(self.laid, step.from));
            self.laid_filament_mm += step.filament_mm;
            if (step.to[2] - step.from[2]).abs() < 1e-6 {
                self.heights.add(step.to[2]);
            } else {
                self.climbing_mm += length_mm;
            }
        }
        for &(heading, length_mm, end_mm) in parts {
            self.rolling.push(Step {
                heading,
                length_mm,
                speed_mm_s,
                doing,
            });
            if spread {
                self.laid = Some(Extent::with(self.laid, end_mm));
            }
            if self.known == [true; 3] {
                self.moved = Some(Extent::with(self.moved, end_mm));
            }
        }
    }

    /// The filament moves alone, from rest to rest. What was pulled back comes forward again as
    /// fast as asked; only more than that must be molten first.
    fn feed_alone(&mut self, way: Way, by_mm: f64) {
        self.rolling.stop();
        let speed_mm_s = self.capped(way, self.class.max_speed_mm_s);
        let returning_mm = if by_mm > 0.0 {
            by_mm.min(self.pulled_back_mm)
        } else {
            -by_mm
        };
        let molten_mm_s = speed_mm_s.min(self.flowing_mm_s(1.0));
        for (length_mm, speed_mm_s) in [
            (returning_mm, speed_mm_s),
            (by_mm.abs() - returning_mm, molten_mm_s),
        ] {
            self.rolling.push(Step {
                heading: [1.0, 0.0, 0.0],
                length_mm,
                speed_mm_s,
                doing: Doing::Feeding,
            });
        }
        self.rolling.stop();
    }

    /// Speed at which the flow is just the class's most, for so much filament per mm.
    fn flowing_mm_s(&self, filament_per_mm: f64) -> f64 {
        let per_mm_mm3 = filament_per_mm * filament_area_mm2(FILAMENT_DIAMETER_MM);
        self.class.max_flow_mm3_s / per_mm_mm3
    }

    /// The speed asked for, or what the class allows; counts where the class is slower.
    fn capped(&mut self, way: Way, most_mm_s: f64) -> f64 {
        let asked = match way {
            Way::Rapid => self.rapid_mm_s,
            _ => self.feed_mm_s,
        };
        let Some(asked) = asked else { return most_mm_s };
        self.capped += u64::from(asked > most_mm_s * (1.0 + 1e-3));
        asked.min(most_mm_s)
    }

    fn count_filament(&mut self, by_mm: f64) {
        self.filament_mm += by_mm;
        self.pulled_back_mm = (self.pulled_back_mm - by_mm).max(0.0);
    }
}
