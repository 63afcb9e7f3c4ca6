//! How steel takes the light: a studio of one key light, a fill, a bright panel overhead and a dark horizon, all fixed
//! to the viewer, so that a face's tone tells how it is turned.

use egui::Color32;

use crate::toolkit::theme::Metal;

/// The direction to the key light: up, left, towards the viewer (unit).
const KEY: [f32; 3] = [-0.48, 0.62, 0.62];
/// Half-way between the key light and the viewer (unit).
const HALF_WAY: [f32; 3] = [-0.267, 0.344, 0.900];
/// The direction to the fill light.
const FILL: [f32; 3] = [0.70, -0.10, 0.71];

/// A body's colours ready for mixing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coat {
    shade: [f32; 3],
    base: [f32; 3],
    light: [f32; 3],
}

impl From<Metal> for Coat {
    fn from(metal: Metal) -> Self {
        Self { shade: rgb(metal.shade), base: rgb(metal.base), light: rgb(metal.light) }
    }
}

impl Coat {
    /// A coat over a colour that must stay recognisable: little shade, a soft highlight.
    #[must_use]
    pub fn tinted(colour: [f32; 3]) -> Self {
        Self { shade: colour.map(|c| c * 0.62), base: colour, light: colour.map(|c| c + (255.0 - c) * 0.55) }
    }

    /// A coat between this one and another.
    #[must_use]
    #[inline]
    pub fn towards(&self, other: &Self, fraction: f32) -> Self {
        Self {
            shade: between(self.shade, other.shade, fraction),
            base: between(self.base, other.base, fraction),
            light: between(self.light, other.light, fraction),
        }
    }

    /// The colour at a brightness from 0 to 1.
    #[must_use]
    #[inline]
    pub fn at(&self, brightness: f32) -> [f32; 3] {
        let v = brightness.clamp(0.0, 1.0);
        if v < 0.5 {
            between(self.shade, self.base, 2.0 * v)
        } else {
            between(self.base, self.light, 2.0 * v - 1.0)
        }
    }
}

/// Brightness of steel from its unit normal seen by the viewer: right, up, towards.
#[must_use]
#[inline]
pub fn brightness([x, y, z]: [f32; 3]) -> f32 {
    let along = |to: [f32; 3]| (x * to[0] + y * to[1] + z * to[2]).max(0.0);
    // Where a look at this face is reflected to, up and down.
    let mirrored = 2.0 * z * y;
    let panel = bump((mirrored - 0.62) / 0.30);
    let horizon = bump((mirrored + 0.18) / 0.26);
    let glint = {
        let g = along(HALF_WAY);
        let g = g * g;
        let g = g * g;
        let g = g * g;
        let g = g * g;
        g * g
    };
    let rim = (1.0 - z.clamp(0.0, 1.0)).powi(3);
    0.13 + 0.46 * along(KEY) + 0.15 * along(FILL) + 0.06 * (y + 1.0) + 0.14 * panel - 0.09 * horizon
        + 0.34 * glint
        + 0.10 * rim
}

/// A smooth bump of height one about nothing, zero beyond ±1.
#[inline]
fn bump(x: f32) -> f32 {
    let rest = 1.0 - x * x;
    if rest > 0.0 { rest * rest } else { 0.0 }
}

/// Red, green, blue, 0 to 255.
#[must_use]
pub fn rgb(colour: Color32) -> [f32; 3] {
    [f32::from(colour.r()), f32::from(colour.g()), f32::from(colour.b())]
}

#[inline]
fn between(a: [f32; 3], b: [f32; 3], fraction: f32) -> [f32; 3] {
    std::array::from_fn(|k| a[k] + (b[k] - a[k]) * fraction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_face_turned_to_the_key_light_is_brightest_and_one_turned_away_darkest() {
        let lit = brightness(KEY);
        let away = brightness([0.48, -0.62, 0.62]);
        assert!(lit > 0.75 && away < 0.45, "{lit} {away}");
        for i in 0..400_u16 {
            let (turn, lift) = (f32::from(i) * 2.4, (f32::from(i) + 0.5) / 400.0);
            let flat = (1.0 - lift * lift).sqrt();
            let b = brightness([flat * turn.cos(), flat * turn.sin(), lift]);
            assert!((0.0..=1.25).contains(&b), "{b}");
        }
    }

    #[test]
    fn directions_are_unit_vectors() {
        for [x, y, z] in [KEY, HALF_WAY, FILL] {
            assert!(((x * x + y * y + z * z).sqrt() - 1.0).abs() < 0.01);
        }
    }
}
