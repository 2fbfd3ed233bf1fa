//! How long the head takes: even acceleration, corners, look-ahead.

pub(crate) mod rolling;

/// Why a move could not be timed; the rejected value is inside.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MoveTimeError {
    /// A length is negative or not finite.
    #[error("a path of {0} mm can't be timed")]
    BadLength(f64),
    /// A speed or acceleration is not positive.
    #[error("a limit of {0} is not positive")]
    BadLimit(f64),
}

/// Limits of the machine that hold on every line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Acceleration along the path, mm/s².
    pub accel_mm_s2: f64,
    /// How far the head may cut a corner, mm.
    pub corner_deviation_mm: f64,
}

/// One straight stretch with its own speed limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// From here to there, mm.
    pub by_mm: [f64; 2],
    /// Fastest it may go, mm/s.
    pub speed_mm_s: f64,
}

/// Seconds for the print head to cover one straight path, from rest to rest.
///
/// The head gains speed evenly, cruises if the path is long enough, and slows down evenly.
/// Corner blending is not modelled here, so a polyline timed stretch by stretch comes out too
/// long, never too short.
///
/// # Units
/// `length_mm` in mm, `speed_mm_s` in mm/s, `accel_mm_s2` in mm/s²; result in s.
/// # Errors
/// [`MoveTimeError::BadLength`] for a negative or non-finite length,
/// [`MoveTimeError::BadLimit`] for a speed or acceleration that is not positive.
/// # Source
/// Constant acceleration: with `L0 = v²/a`, `t = L/v + v/a` when `L >= L0`, else `t = 2·√(L/a)`.
///
/// ```
/// use partpledge_toolpath::motion::rest_to_rest_s;
/// assert!((rest_to_rest_s(100.0, 100.0, 1000.0).unwrap() - 1.1).abs() < 1e-12);
/// assert!((rest_to_rest_s(5.0, 100.0, 1000.0).unwrap() - 0.141_421_356_237).abs() < 1e-12);
/// ```
pub fn rest_to_rest_s(
    length_mm: f64,
    speed_mm_s: f64,
    accel_mm_s2: f64,
) -> Result<f64, MoveTimeError> {
    if !(length_mm >= 0.0 && length_mm.is_finite()) {
        return Err(MoveTimeError::BadLength(length_mm));
    }
    for limit in [speed_mm_s, accel_mm_s2] {
        if !(limit > 0.0 && limit.is_finite()) {
            return Err(MoveTimeError::BadLimit(limit));
        }
    }
    Ok(stretch_s(length_mm, [0.0, 0.0], speed_mm_s, accel_mm_s2))
}

/// Seconds for one straight stretch entered and left at given speeds that are both reachable.
///
/// # Source
/// Constant acceleration; `checks/physics`: L 20, v 60, a 500, 10 to 5 mm/s gives 0.425417 s
/// (recomputed).
///
/// ```
/// use partpledge_toolpath::motion::stretch_s;
/// assert!((stretch_s(20.0, [10.0, 5.0], 60.0, 500.0) - 0.425_416_666_667).abs() < 1e-12);
/// ```
#[must_use]
pub fn stretch_s(length_mm: f64, ends_mm_s: [f64; 2], speed_mm_s: f64, accel_mm_s2: f64) -> f64 {
    let [enter, leave] = ends_mm_s;
    let peak_squared = (2.0 * accel_mm_s2 * length_mm + enter * enter + leave * leave) / 2.0;
    let peak = peak_squared.max(0.0).sqrt();
    if peak <= speed_mm_s {
        return ((peak - enter) + (peak - leave)).max(0.0) / accel_mm_s2;
    }
    let speed = speed_mm_s.max(enter).max(leave);
    let ramps_mm = (2.0 * speed * speed - enter * enter - leave * leave) / (2.0 * accel_mm_s2);
    (2.0 * speed - enter - leave) / accel_mm_s2 + (length_mm - ramps_mm).max(0.0) / speed
}

/// Fastest that a corner may be taken so that the path stays within `deviation_mm` of it.
///
/// The corner is thought of as a circle touching both stretches, whose gap to the corner is the
/// deviation: `R = d s / (1 - s)` with `s = sin(theta / 2)`, theta being the angle between the
/// stretches; then `v = √(a R)`. Straight on has no limit (infinity), turning back is 0.
///
/// # Units
/// `cos_turn` is the cosine of the change of heading; mm/s² and mm; result in mm/s.
/// # Source
/// Derived here, common practice in motion control; `checks/physics`: a 1000, d 0.02, turn 90°
/// gives 6.94869 mm/s (recomputed).
///
/// ```
/// use partpledge_toolpath::motion::corner_speed_mm_s;
/// assert!((corner_speed_mm_s(0.0, 1000.0, 0.02) - 6.948_688_455).abs() < 1e-8);
/// assert!(corner_speed_mm_s(-1.0, 1000.0, 0.02) < 1e-9);
/// assert!(corner_speed_mm_s(1.0, 1000.0, 0.02).is_infinite());
/// ```
#[must_use]
pub fn corner_speed_mm_s(cos_turn: f64, accel_mm_s2: f64, deviation_mm: f64) -> f64 {
    // theta = 180° - turn, so sin(theta / 2) = cos(turn / 2).
    let s = f64::midpoint(1.0, cos_turn.clamp(-1.0, 1.0)).sqrt();
    if 1.0 - s < 1e-12 {
        return f64::INFINITY;
    }
    (accel_mm_s2 * deviation_mm * s / (1.0 - s)).sqrt()
}

/// Seconds for a chain of stretches from rest to rest, looking ahead over all of it: no corner is
/// entered faster than it can be taken, and none so fast that what follows can't be braked for.
///
/// The circle of a corner must also fit into half of both stretches, so that a curve cut into many
/// short ones is no faster than the curve itself. Stretches without length are skipped.
/// # Source
/// Forward and backward pass of speed limits: common practice in motion control; the fit into
/// half stretches is derived here.
///
/// ```
/// use partpledge_toolpath::motion::{Limits, Stretch, chain_s};
/// // A square loop of 20 mm at 60 mm/s: 1.534055 s, not the naive 1.333333 (checks/physics, recomputed).
/// let go = |by_mm| Stretch { by_mm, speed_mm_s: 60.0 };
/// let square = [go([20.0, 0.0]), go([0.0, 20.0]), go([-20.0, 0.0]), go([0.0, -20.0])];
/// let limits = Limits { accel_mm_s2: 1000.0, corner_deviation_mm: 0.02 };
/// assert!((chain_s(&square, limits) - 1.534_055_416).abs() < 1e-8);
/// ```
#[must_use]
pub fn chain_s(stretches: &[Stretch], limits: Limits) -> f64 {
    let mut chain = Chain::new(limits);
    for &stretch in stretches {
        chain.push(stretch);
    }
    chain.finish_s()
}

/// Fastest on the circle that touches both stretches half way along the shorter one:
/// `R = L / (2 tan(turn / 2))`.
fn fitting_speed_mm_s(cos_turn: f64, accel_mm_s2: f64, shorter_mm: f64) -> f64 {
    let cos_turn = cos_turn.clamp(-1.0, 1.0);
    // tan²(turn / 2) = (1 - cos) / (1 + cos); straight on divides by 0 and has no limit.
    let radius_mm = shorter_mm / 2.0 * ((1.0 + cos_turn) / (1.0 - cos_turn)).sqrt();
    (accel_mm_s2 * radius_mm).sqrt()
}

/// Fastest from one stretch into the next, the shorter of which is `shorter_mm` long.
pub(crate) fn join_mm_s(cos_turn: f64, shorter_mm: f64, limits: Limits) -> f64 {
    let accel_mm_s2 = limits.accel_mm_s2;
    corner_speed_mm_s(cos_turn, accel_mm_s2, limits.corner_deviation_mm).min(fitting_speed_mm_s(
        cos_turn,
        accel_mm_s2,
        shorter_mm,
    ))
}

/// Seconds along a path of straight lines at one speed, from rest to rest.
///
/// # Units
/// mm, mm/s; result in s; 0 for fewer than two points.
/// # Errors
/// [`MoveTimeError::BadLength`] for a coordinate that is no number, [`MoveTimeError::BadLimit`]
/// for a speed or acceleration that is not positive or a negative deviation.
/// # Source
/// As [`chain_s`].
///
/// ```
/// use partpledge_toolpath::motion::{Limits, polyline_s};
/// // Loop of 4 x 20 mm at 60 mm/s (checks/physics, recomputed).
/// let square = [[0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0], [0.0, 0.0]];
/// let limits = Limits { accel_mm_s2: 1000.0, corner_deviation_mm: 0.02 };
/// assert!((polyline_s(&square, 60.0, limits).unwrap() - 1.534_055).abs() < 1e-6);
/// ```
pub fn polyline_s(
    points: &[[f64; 2]],
    speed_mm_s: f64,
    limits: Limits,
) -> Result<f64, MoveTimeError> {
    rest_to_rest_s(0.0, speed_mm_s, limits.accel_mm_s2)?;
    let deviation_mm = limits.corner_deviation_mm;
    if !(deviation_mm >= 0.0 && deviation_mm.is_finite()) {
        return Err(MoveTimeError::BadLimit(deviation_mm));
    }
    if let Some(&bad) = points.iter().flatten().find(|value| !value.is_finite()) {
        return Err(MoveTimeError::BadLength(bad));
    }
    let mut chain = Chain::new(limits);
    for pair in points.windows(2) {
        let by_mm = [pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]];
        chain.push(Stretch { by_mm, speed_mm_s });
    }
    Ok(chain.finish_s())
}

/// A chain being built; its buffers are used again after [`Chain::finish_s`].
#[derive(Clone, Debug)]
pub(crate) struct Chain {
    limits: Limits,
    /// Length, speed limit, limit on entering.
    stretches: Vec<(f64, f64, f64)>,
    heading: [f64; 2],
}

impl Chain {
    pub(crate) fn new(limits: Limits) -> Self {
        Self {
            limits,
            stretches: Vec::new(),
            heading: [0.0; 2],
        }
    }

    pub(crate) fn push(&mut self, stretch: Stretch) {
        let [x, y] = stretch.by_mm;
        let length = x.hypot(y);
        if length < 1e-9 {
            return;
        }
        let heading = [x / length, y / length];
        let enter = match self.stretches.last() {
            None => 0.0,
            Some(&(length_before, before, _)) => {
                let cos_turn = heading[0] * self.heading[0] + heading[1] * self.heading[1];
                join_mm_s(cos_turn, length.min(length_before), self.limits)
                    .min(before)
                    .min(stretch.speed_mm_s)
            }
        };
        self.stretches.push((length, stretch.speed_mm_s, enter));
        self.heading = heading;
    }

    pub(crate) fn finish_s(&mut self) -> f64 {
        let accel = self.limits.accel_mm_s2;
        // Backward: brake in time for what comes.
        let mut leave = 0.0_f64;
        for (length, _, enter) in self.stretches.iter_mut().rev() {
            *enter = enter.min((leave * leave + 2.0 * accel * *length).sqrt());
            leave = *enter;
        }
        // Forward: what can be reached from the start.
        let mut total = 0.0;
        let mut at = 0.0_f64;
        for i in 0..self.stretches.len() {
            let (length, speed, _) = self.stretches[i];
            let next = self
                .stretches
                .get(i + 1)
                .map_or(0.0, |&(_, _, enter)| enter);
            let leave = next.min((at * at + 2.0 * accel * length).sqrt());
            total += stretch_s(length, [at, leave], speed, accel);
            at = leave;
        }
        self.stretches.clear();
        total
    }
}

#[cfg(test)]
mod tests;
