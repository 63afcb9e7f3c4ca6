//! The look: every colour and every size, read from `assets/theme.ron`.
//!
//! Nothing else in the crate makes a colour. A [`Theme`] is light or dark and in ordinary or big type; it is cheap to
//! clone and is handed down by reference.

mod apply;
pub mod colour;
mod data;
pub mod fonts;
mod sizes;
mod solid;

pub use sizes::{Gaps, Radii, Sizes, TextSizes};
pub use solid::{Metal, Solid};

use std::{
    fmt,
    sync::{Arc, OnceLock},
};

use bevelbench_notebook::drawing::{Role, Standing, TextSize};
use egui::{Color32, CornerRadius, FontId, Stroke};

use crate::{
    model::appearance::{Mode, Tone, TypeScale},
    toolkit::theme::colour::{faded, mix},
};

/// What texts stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    /// Side panels, bars, read-outs.
    Panel,
    /// The drawing's paper.
    Canvas,
    /// Where one types.
    Field,
    /// A chosen row or tab.
    Selected,
    /// Under the pointer.
    Hover,
    /// Menus, tooltips, dialogs.
    Raised,
}

impl Surface {
    /// Every surface.
    pub const ALL: [Self; 6] =
        [Self::Panel, Self::Canvas, Self::Field, Self::Selected, Self::Hover, Self::Raised];
}

/// The weight of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Weight {
    /// Running text and captions.
    Regular,
    /// Names.
    Medium,
    /// Numbers and headings.
    SemiBold,
}

/// Colours that are not text, surface or role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// Lines between panels.
    pub hairline: Color32,
    /// Frames of fields.
    pub frame: Color32,
    /// The drawing's grid.
    pub grid: Color32,
    /// A slider's rail.
    pub rail: Color32,
    /// What can be moved.
    pub accent: Color32,
    /// A paler cousin of the accent, for second bars.
    pub accent_soft: Color32,
    /// Contact, agreement.
    pub positive: Color32,
    /// Trouble.
    pub negative: Color32,
    /// Third bars and things at rest.
    pub neutral: Color32,
    /// The ring around what the keyboard acts on.
    pub focus: Color32,
    /// Under menus and dialogs.
    pub shadow: Color32,
    /// Over the window while a dialog is open.
    pub scrim: Color32,
    /// Behind texts on the drawing.
    pub pill: Color32,
    /// Texts on the accent.
    pub on_accent: Color32,
}

/// How a shape of a drawing is inked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ink {
    /// Colour of the body; `None` for shapes that are lines only.
    pub fill: Option<Color32>,
    /// The body's colour on the side away from the light; `None` for flat bodies.
    pub shade: Option<Color32>,
    /// Colour of the line.
    pub stroke: Color32,
    /// Width of the line in points.
    pub width: f32,
    /// Length of dash and gap in points; `None` for a solid line.
    pub dash: Option<(f32, f32)>,
    /// Colour of section hatching.
    pub hatch: Option<Color32>,
    /// Colour of abrasive grains.
    pub grain: Option<Color32>,
}

/// The look of the window.
#[derive(Clone)]
pub struct Theme {
    /// Light or dark.
    pub mode: Mode,
    /// Ordinary or big.
    pub type_scale: TypeScale,
    /// Sizes.
    pub sizes: Sizes,
    /// Colours.
    pub palette: Palette,
    /// The tip in three dimensions.
    pub solid: Solid,
    tones: [Color32; Tone::ALL.len()],
    surfaces: [Color32; Surface::ALL.len()],
    attempt: Color32,
    second: Color32,
    disabled: f32,
    roles: Arc<[Ink; Role::ALL.len()]>,
}

impl fmt::Debug for Theme {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Theme")
            .field("mode", &self.mode)
            .field("type_scale", &self.type_scale)
            .finish_non_exhaustive()
    }
}

impl Default for Theme {
    fn default() -> Self {
        Self::new(Mode::Light, TypeScale::Ordinary)
    }
}

impl Theme {
    /// The built-in look. The file is read once; a test makes sure that it reads.
    #[must_use]
    pub fn new(mode: Mode, type_scale: TypeScale) -> Self {
        static FILE: OnceLock<Option<data::File>> = OnceLock::new();
        match FILE.get_or_init(|| data::read(data::BUILT_IN).ok()) {
            Some(file) => Self::from_file(file, mode, type_scale),
            None => Self::plain(mode, type_scale),
        }
    }

    fn from_file(file: &data::File, mode: Mode, type_scale: TypeScale) -> Self {
        let inks = match mode {
            Mode::Light => &file.light,
            Mode::Dark => &file.dark,
        };
        let plain = Ink {
            fill: None,
            shade: None,
            stroke: inks.strong.0,
            width: 1.0,
            dash: None,
            hatch: None,
            grain: None,
        };
        let ink_of = |role: Role| {
            inks.roles.get(&data::RoleName(role)).map_or(plain, |written| Ink {
                fill: written.fill.map(|c| c.0),
                shade: written.shade.map(|c| c.0),
                stroke: written.stroke.0,
                width: written.width,
                dash: written.dash,
                hatch: written.hatch.map(|c| c.0),
                grain: written.grain.map(|c| c.0),
            })
        };
        Self {
            mode,
            type_scale,
            sizes: match type_scale {
                TypeScale::Ordinary => file.sizes,
                TypeScale::Big => file.big,
            },
            palette: Palette {
                hairline: inks.hairline.0,
                frame: inks.frame.0,
                grid: inks.grid.0,
                rail: inks.rail.0,
                accent: inks.accent.0,
                accent_soft: inks.accent_soft.0,
                positive: inks.positive.0,
                negative: inks.negative.0,
                neutral: inks.neutral.0,
                focus: inks.focus.0,
                shadow: inks.shadow.0,
                scrim: inks.scrim.0,
                pill: inks.pill.0,
                on_accent: inks.on_accent.0,
            },
            solid: Solid::from_inks(&inks.tip),
            tones: [inks.strong.0, inks.weak.0, inks.link.0, inks.good.0, inks.caution.0, inks.bad.0],
            surfaces: [
                inks.panel.0,
                inks.canvas.0,
                inks.field.0,
                inks.selected.0,
                inks.hover.0,
                inks.raised.0,
            ],
            attempt: inks.attempt.0,
            second: inks.second.0,
            disabled: inks.disabled,
            roles: Arc::new(Role::ALL.map(ink_of)),
        }
    }

    /// Black on white, should the built-in file ever fail to read: a tool that cannot find its paint still works.
    fn plain(mode: Mode, type_scale: TypeScale) -> Self {
        let (paper, ink) = match mode {
            Mode::Light => (Color32::WHITE, Color32::BLACK),
            Mode::Dark => (Color32::BLACK, Color32::WHITE),
        };
        let step = if type_scale == TypeScale::Big { 1.5 } else { 1.0 };
        let line =
            Ink { fill: None, shade: None, stroke: ink, width: step, dash: None, hatch: None, grain: None };
        let grey = mix(paper, ink, 0.2);
        Self {
            mode,
            type_scale,
            sizes: Sizes::plain(step),
            palette: Palette {
                hairline: grey,
                frame: grey,
                grid: mix(paper, ink, 0.05),
                rail: grey,
                accent: ink,
                accent_soft: mix(paper, ink, 0.6),
                positive: ink,
                negative: ink,
                neutral: mix(paper, ink, 0.4),
                focus: ink,
                shadow: faded(ink, 0.2),
                scrim: faded(ink, 0.3),
                pill: faded(paper, 0.9),
                on_accent: paper,
            },
            solid: Solid::plain(paper, ink),
            tones: [ink; Tone::ALL.len()],
            surfaces: [paper; Surface::ALL.len()],
            attempt: ink,
            second: ink,
            disabled: 0.5,
            roles: Arc::new([line; Role::ALL.len()]),
        }
    }

    /// The colour of a text.
    #[must_use]
    pub fn tone(&self, tone: Tone) -> Color32 {
        self.tones[tone as usize]
    }

    /// The colour of a surface.
    #[must_use]
    pub fn surface(&self, surface: Surface) -> Color32 {
        self.surfaces[surface as usize]
    }

    /// The ink of a role in a standing: ghosts are faint, attempts dashed and warm, the second of a pair dashed and
    /// unfilled. Widths and dashes already follow the type scale.
    #[must_use]
    pub fn ink(&self, role: Role, standing: Standing) -> Ink {
        let mut ink = self.roles[role as usize];
        match standing {
            Standing::Solid => {}
            Standing::Ghost => {
                ink.fill = ink.fill.map(|c| faded(c, 0.28));
                ink.shade = ink.shade.map(|c| faded(c, 0.28));
                ink.hatch = ink.hatch.map(|c| faded(c, 0.28));
                ink.stroke = faded(ink.stroke, 0.30);
                ink.grain = None;
            }
            Standing::Attempt => {
                ink.fill = None;
                ink.shade = None;
                ink.hatch = None;
                ink.grain = None;
                ink.stroke = self.attempt;
                ink.width = ink.width.max(1.4);
                ink.dash = ink.dash.or(Some((6.0, 4.0)));
            }
            Standing::Second => {
                ink.fill = ink.fill.map(|c| faded(c, 0.18));
                ink.shade = None;
                ink.hatch = None;
                ink.grain = None;
                ink.stroke = mix(ink.stroke, self.second, 0.35);
                ink.dash = ink.dash.or(Some((8.0, 4.0)));
            }
        }
        ink.width *= self.sizes.shaft;
        ink.dash = ink.dash.map(|(on, off)| (on * self.sizes.shaft, off * self.sizes.shaft));
        ink
    }

    /// The colour of a role's texts in a standing; readable on the canvas.
    #[must_use]
    pub fn ink_of_text(&self, role: Role, standing: Standing) -> Color32 {
        match (standing, role) {
            (Standing::Attempt, _) => self.tone(Tone::Caution),
            (Standing::Solid | Standing::Ghost, Role::Gauge | Role::Pivot) => self.tone(Tone::Link),
            (Standing::Solid | Standing::Ghost, Role::Facet | Role::Edge) => self.tone(Tone::Good),
            (Standing::Solid | Standing::Ghost, Role::AngleArc | Role::Limit | Role::Gap) => {
                self.tone(Tone::Caution)
            }
            (Standing::Second, _)
            | (
                _,
                Role::Construction
                | Role::Bench
                | Role::WheelNew
                | Role::WheelLeast
                | Role::Rotation
                | Role::ToolHidden
                | Role::RollLine,
            ) => self.tone(Tone::Weak),
            _ => self.tone(Tone::Strong),
        }
    }

    /// The font of a text on a drawing.
    #[must_use]
    pub fn drawing_font(&self, size: TextSize) -> FontId {
        match size {
            TextSize::Small => self.font(Weight::Regular, self.sizes.text.small + 0.5),
            TextSize::Normal => self.font(Weight::Medium, self.sizes.text.body),
            TextSize::Strong => self.font(Weight::SemiBold, self.sizes.text.strong + 0.5),
        }
    }

    /// A font of a given weight and size in points.
    #[must_use]
    pub fn font(&self, weight: Weight, size: f32) -> FontId {
        FontId::new(size, fonts::family(weight))
    }

    /// Notes.
    #[must_use]
    pub fn small(&self) -> FontId {
        self.font(Weight::Regular, self.sizes.text.small)
    }

    /// Running text.
    #[must_use]
    pub fn body(&self) -> FontId {
        self.font(Weight::Regular, self.sizes.text.body)
    }

    /// Names.
    #[must_use]
    pub fn name(&self) -> FontId {
        self.font(Weight::Medium, self.sizes.text.body)
    }

    /// Numbers and headings.
    #[must_use]
    pub fn strong(&self) -> FontId {
        self.font(Weight::SemiBold, self.sizes.text.strong)
    }

    /// A stroke of hairline width.
    #[must_use]
    pub fn hairline(&self) -> Stroke {
        Stroke::new(self.sizes.line, self.palette.hairline)
    }

    /// The ring around what the keyboard acts on.
    #[must_use]
    pub fn focus_ring(&self) -> Stroke {
        Stroke::new(2.0, self.palette.focus)
    }

    /// Rounded corners of a row, field or tab.
    #[must_use]
    pub fn corner(&self) -> CornerRadius {
        CornerRadius::same(self.sizes.radius.normal as u8)
    }

    /// Makes egui itself look like this theme: fonts, text styles, spacing, visuals.
    pub fn apply(&self, ctx: &egui::Context) {
        apply::apply(self, ctx);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;

    fn all() -> impl Iterator<Item = Theme> {
        [Mode::Light, Mode::Dark]
            .into_iter()
            .flat_map(|mode| [TypeScale::Ordinary, TypeScale::Big].map(|letters| Theme::new(mode, letters)))
    }

    #[test]
    fn the_built_in_file_reads_and_inks_every_role() {
        let file = data::read(data::BUILT_IN).unwrap();
        for inks in [&file.light, &file.dark] {
            assert_eq!(inks.roles.len(), Role::ALL.len());
        }
    }

    #[test]
    fn roles_are_stored_in_the_order_of_their_list() {
        // `ink` indexes by the role itself.
        for (i, role) in Role::ALL.into_iter().enumerate() {
            assert_eq!(role as usize, i);
        }
    }

    #[test]
    fn every_text_reads_on_every_surface() {
        // WCAG 2.2, 1.4.3: 4.5 to 1 (row O06 of the published checks).
        for theme in all() {
            for tone in Tone::ALL {
                for surface in Surface::ALL {
                    let ratio = colour::contrast(theme.tone(tone), theme.surface(surface));
                    assert!(ratio >= 4.5, "{:?}: {tone:?} on {surface:?} is {ratio:.2}", theme.mode);
                }
            }
            let ratio = colour::contrast(theme.palette.on_accent, theme.palette.accent);
            assert!(ratio >= 4.5, "{:?}: text on the accent is {ratio:.2}", theme.mode);
        }
    }

    #[test]
    fn movable_parts_contrast_with_their_background() {
        // WCAG 2.2, 1.4.11: 3 to 1 for parts that are needed to understand or act.
        for theme in all() {
            for surface in Surface::ALL {
                for colour in [theme.palette.accent, theme.palette.focus] {
                    let ratio = colour::contrast(colour, theme.surface(surface));
                    assert!(ratio >= 3.0, "{:?}: {colour:?} on {surface:?} is {ratio:.2}", theme.mode);
                }
            }
            for role in
                [Role::Facet, Role::Edge, Role::Gauge, Role::Tool, Role::Holder, Role::Wheel, Role::Limit]
            {
                let line = theme.ink(role, Standing::Solid).stroke;
                let ratio = colour::contrast(line, theme.surface(Surface::Canvas));
                assert!(ratio >= 3.0, "{:?}: {role:?} on the canvas is {ratio:.2}", theme.mode);
            }
        }
    }

    #[test]
    fn attempts_and_seconds_differ_by_more_than_colour() {
        for theme in all() {
            for role in Role::ALL {
                for standing in [Standing::Attempt, Standing::Second] {
                    assert!(theme.ink(role, standing).dash.is_some(), "{role:?} {standing:?}");
                }
            }
        }
    }

    #[test]
    fn big_type_is_bigger_everywhere() {
        let (plain, big) = (Theme::default().sizes, Theme::new(Mode::Light, TypeScale::Big).sizes);
        assert!(big.text.small > plain.text.small && big.text.figure > 1.5 * plain.text.figure);
        assert!(big.shaft > plain.shaft && big.handle > plain.handle && big.row > plain.row);
    }
}
