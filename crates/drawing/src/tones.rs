//! The colours of a picture: clay in steps, ink, and clear ground.
//!
//! Every picture has the same palette, so that a pixel is one byte and a file is small.

use crate::samples::Facing;

/// Ink, and the three clays from dark to light.
const INK: [u8; 3] = [0x1B, 0x1A, 0x33];
const CLAY: [[u8; 3]; 3] = [[0xAF, 0xA5, 0x99], [0xD0, 0xC8, 0xBC], [0xE9, 0xE4, 0xDC]];

/// Steps of clay between the darkest and the lightest that a surface may take.
const TONES: u8 = 6;
/// Steps between two tones for pixels that hold both.
const BLENDS: u8 = 3;
/// The lightness of a surface in full light.
pub(crate) const LIGHTEST: u8 = 240;
const CLAYS: u8 = TONES * BLENDS + 1;
/// Steps of ink in a pixel, from none to all of it.
const INKS: u8 = 9;

/// How surfaces take the light in one view.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Light {
    sin_elevation: f32,
    cos_elevation: f32,
}

impl Light {
    pub(crate) fn of_elevation((sin, cos): (f64, f64)) -> Self {
        Self {
            sin_elevation: partpledge_units::cast::to_f32(sin),
            cos_elevation: partpledge_units::cast::to_f32(cos),
        }
    }

    /// How light a surface is, 0 (dark) to [`LIGHTEST`]. Derived here so that a block seen on its
    /// corner has three plain clays: from above light on top, middle at the right and dark at
    /// the left; from below light at the right, middle at the left and dark underneath.
    pub(crate) fn on(self, facing: Facing) -> u8 {
        let [right, down, eye] = facing.normal();
        let up = eye * self.sin_elevation - down * self.cos_elevation;
        let level = if self.sin_elevation < 0.0 { 0.75 } else { 0.25 };
        let side = 0.25 * std::f32::consts::SQRT_2;
        let light = f64::from(level + side * right + 0.75 * up).clamp(0.0, 1.0);
        let step = partpledge_units::cast::round_usize(light * f64::from(LIGHTEST));
        step.and_then(|s| u8::try_from(s).ok()).unwrap_or(LIGHTEST)
    }
}

/// The tone, 0 to [`TONES`], that shows a lightness.
pub(crate) fn tone(light: u8) -> u8 {
    share(u16::from(light), u16::from(LIGHTEST), TONES)
}

/// What the samples of one pixel hold.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Tally {
    pub(crate) clear: u16,
    pub(crate) ink: u16,
    pub(crate) clay: u16,
    /// Sum of the tones of the clay samples.
    pub(crate) tones: u16,
}

impl Tally {
    /// The pixel's place in the palette.
    pub(crate) fn index(self) -> u8 {
        let all = self.clear + self.ink + self.clay;
        if self.clear > 0 {
            // A line lies between clay and clear ground and is wider than a pixel.
            return share(self.ink + self.clay, all, INKS);
        }
        let inks = share(self.ink, all, INKS);
        if inks == INKS {
            return INKS;
        }
        let clays = share(self.tones, self.clay * u16::from(TONES), CLAYS - 1);
        INKS + 1 + inks * CLAYS + clays
    }
}

/// `part / whole` in `steps` steps, to the nearest.
fn share(part: u16, whole: u16, steps: u8) -> u8 {
    let whole = u32::from(whole).max(1);
    let nearest = (2 * u32::from(part) * u32::from(steps) + whole) / (2 * whole);
    u8::try_from(nearest).unwrap_or(steps).min(steps)
}

/// Red, green, blue and cover of each place in the palette. First clear ground up to full ink,
/// then, for each share of ink, the clays from dark to light.
pub(crate) fn palette() -> Vec<[u8; 4]> {
    let lines = (0..=INKS).map(|k| {
        let [r, g, b] = INK;
        [r, g, b, mix(0, 255, k, INKS)]
    });
    let surfaces = (0..INKS).flat_map(|inks| {
        (0..CLAYS).map(move |clays| {
            let clay = clay(clays);
            let [r, g, b] = std::array::from_fn(|c| mix(clay[c], INK[c], inks, INKS));
            [r, g, b, 255]
        })
    });
    lines.chain(surfaces).collect()
}

/// How many of the first colours of [`palette`] are not wholly opaque.
pub(crate) const SEE_THROUGH: usize = INKS as usize;

fn clay(step: u8) -> [u8; 3] {
    let half = (CLAYS - 1) / 2;
    let (dark, light, step) = if step < half {
        (CLAY[0], CLAY[1], step)
    } else {
        (CLAY[1], CLAY[2], step - half)
    };
    std::array::from_fn(|c| mix(dark[c], light[c], step, half))
}

/// `step` of `steps` on the way from one value to another, to the nearest.
fn mix(from: u8, to: u8, step: u8, steps: u8) -> u8 {
    let (from, to) = (u32::from(from), u32::from(to));
    let (step, steps) = (u32::from(step), u32::from(steps));
    let sum = from * (steps - step) + to * step;
    u8::try_from((2 * sum + steps) / (2 * steps)).unwrap_or(u8::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_palette_fits_into_a_byte_and_holds_the_named_colours() {
        let palette = palette();
        assert!(palette.len() <= 256);
        let of = |tally: Tally| palette[usize::from(tally.index())];
        let clay = |tone: u16| Tally {
            clay: 9,
            tones: 9 * tone,
            ..Tally::default()
        };
        assert_eq!(of(clay(0)), [0xAF, 0xA5, 0x99, 255]);
        assert_eq!(of(clay(3)), [0xD0, 0xC8, 0xBC, 255]);
        assert_eq!(of(clay(6)), [0xE9, 0xE4, 0xDC, 255]);
        assert_eq!(
            of(Tally {
                ink: 9,
                ..Tally::default()
            }),
            [0x1B, 0x1A, 0x33, 255]
        );
        assert_eq!(
            of(Tally {
                clear: 9,
                ..Tally::default()
            })[3],
            0
        );
    }
}
