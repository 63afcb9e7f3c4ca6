//! The look of shaded bodies: the tip in three dimensions and its map of wedge angles.

use egui::Color32;

use super::{colour::mix, data};

/// A shaded body's colours, from the side away from the light to the highlight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Metal {
    /// In the shade.
    pub shade: Color32,
    /// In even light.
    pub base: Color32,
    /// At the highlight.
    pub light: Color32,
}

/// The look of the tip in three dimensions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Solid {
    /// The flute or upper face.
    pub flute: Metal,
    /// The bar's outside.
    pub outside: Metal,
    /// The ground face, where it is not coloured by the wedge angle.
    pub ground: Metal,
    /// The sawn end.
    pub sawn: Metal,
    /// The wheel.
    pub wheel: Metal,
    /// The edge's line.
    pub edge: Color32,
    /// What sets the edge's line off.
    pub casing: Color32,
    /// The marked point of the edge.
    pub mark: Color32,
    /// The map of wedge angles, from the keenest to the bluntest; each step is lighter than the last.
    pub ramp: [Color32; 7],
    /// The map of gaps, from where B is ground deepest through nothing to where it stands proudest: two hues that part
    /// with any colour vision, lightest in the middle.
    pub gap: [Color32; 7],
}

impl Solid {
    pub(super) fn from_inks(inks: &data::TipInks) -> Self {
        let metal = |ink: data::MetalInk| Metal { shade: ink.shade.0, base: ink.base.0, light: ink.light.0 };
        Self {
            flute: metal(inks.flute),
            outside: metal(inks.outside),
            ground: metal(inks.ground),
            sawn: metal(inks.sawn),
            wheel: metal(inks.wheel),
            edge: inks.edge.0,
            casing: inks.casing.0,
            mark: inks.mark.0,
            ramp: inks.ramp.map(|hex| hex.0),
            gap: inks.gap.map(|hex| hex.0),
        }
    }

    /// Greys between ink and paper, should the built-in file ever fail to read.
    pub(super) fn plain(paper: Color32, ink: Color32) -> Self {
        let metal = Metal { shade: mix(paper, ink, 0.7), base: mix(paper, ink, 0.35), light: paper };
        Self {
            flute: metal,
            outside: metal,
            ground: metal,
            sawn: metal,
            wheel: metal,
            edge: paper,
            casing: ink,
            mark: ink,
            ramp: std::array::from_fn(|i| mix(paper, ink, 0.9 - 0.12 * i as f32)),
            gap: std::array::from_fn(|i| mix(paper, ink, 0.25 * i.abs_diff(3) as f32)),
        }
    }

    /// The map's colour at a fraction from 0 to 1.
    #[must_use]
    pub fn ramp_at(&self, fraction: f32) -> Color32 {
        between(&self.ramp, fraction)
    }

    /// The colour of a gap at a fraction from −1, where B is ground deepest, to 1, where it stands proudest.
    #[must_use]
    pub fn gap_at(&self, fraction: f32) -> Color32 {
        between(&self.gap, f32::midpoint(fraction, 1.0))
    }
}

/// A colour between those of a list, at a fraction from 0 to 1.
fn between(colours: &[Color32; 7], fraction: f32) -> Color32 {
    let last = colours.len() - 1;
    let along = if fraction.is_finite() { fraction.clamp(0.0, 1.0) * last as f32 } else { 0.0 };
    let below = (along as usize).min(last - 1);
    mix(colours[below], colours[below + 1], along - below as f32)
}

#[cfg(test)]
mod tests {
    use crate::{
        model::appearance::{Mode, TypeScale},
        toolkit::theme::{Theme, colour::luminance},
    };

    #[test]
    fn the_map_of_wedge_angles_grows_steadily_lighter() {
        // So that it reads in grey and with any colour vision.
        for mode in [Mode::Light, Mode::Dark] {
            let solid = Theme::new(mode, TypeScale::Ordinary).solid;
            let mut before = -1.0;
            for i in 0..=60_u8 {
                let here = luminance(solid.ramp_at(f32::from(i) / 60.0));
                assert!(here > before, "{mode:?} {i}");
                before = here;
            }
        }
    }

    #[test]
    fn the_map_of_gaps_is_lightest_where_there_is_none_and_darkens_to_both_sides() {
        for mode in [Mode::Light, Mode::Dark] {
            let solid = Theme::new(mode, TypeScale::Ordinary).solid;
            for side in [-1.0, 1.0] {
                let mut before = f64::INFINITY;
                for i in 0..=30_u8 {
                    let here = luminance(solid.gap_at(side * f32::from(i) / 30.0));
                    assert!(here < before, "{mode:?} {side} {i}");
                    before = here;
                }
            }
        }
    }
}
