//! Every size of the window.

use serde::Deserialize;

/// Sizes in points of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sizes {
    /// Letters.
    pub text: TextSizes,
    /// Distances.
    pub gap: Gaps,
    /// Rounded corners.
    pub radius: Radii,
    /// Height of a row that can be pressed.
    pub row: f32,
    /// Height of the bar with the tabs.
    pub top_bar: f32,
    /// Width of the rack.
    pub rack: f32,
    /// Width of the settings.
    pub settings: f32,
    /// Height of the read-outs.
    pub read_outs: f32,
    /// Thickness of a slider's rail.
    pub rail: f32,
    /// Radius of a slider's knob.
    pub knob: f32,
    /// Radius of a handle on the drawing.
    pub handle: f32,
    /// How far from a handle or a thin shape the pointer still takes it.
    pub hit: f32,
    /// Width of hairlines and frames.
    pub line: f32,
    /// Factor on every line of a drawing.
    pub shaft: f32,
}

/// Sizes of letters.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TextSizes {
    /// Notes.
    pub small: f32,
    /// Running text.
    pub body: f32,
    /// Names and numbers.
    pub strong: f32,
    /// Titles.
    pub title: f32,
    /// Big figures of the read-outs.
    pub figure: f32,
    /// The unit behind a big figure.
    pub figure_unit: f32,
}

/// Distances.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gaps {
    /// Between a slider and its note.
    pub tiny: f32,
    /// Between parts of one thing.
    pub small: f32,
    /// Between things.
    pub normal: f32,
    /// Between groups.
    pub wide: f32,
    /// Between sections.
    pub section: f32,
    /// Between a panel's content and its edge.
    pub margin: f32,
}

/// Rounded corners.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Radii {
    /// Small things: pills, buttons.
    pub small: f32,
    /// Rows, fields, tabs.
    pub normal: f32,
    /// Dialogs.
    pub large: f32,
}

impl Sizes {
    /// Sizes to fall back on, all but the distances times a factor.
    pub(super) fn plain(factor: f32) -> Self {
        Self {
            text: TextSizes {
                small: 11.0 * factor,
                body: 12.5 * factor,
                strong: 13.0 * factor,
                title: 15.0 * factor,
                figure: 22.0 * factor,
                figure_unit: 13.0 * factor,
            },
            gap: Gaps { tiny: 2.0, small: 4.0, normal: 8.0, wide: 12.0, section: 18.0, margin: 16.0 },
            radius: Radii { small: 4.0, normal: 6.0, large: 10.0 },
            row: 26.0 * factor,
            top_bar: 44.0 * factor,
            rack: 232.0 * factor,
            settings: 288.0 * factor,
            read_outs: 112.0 * factor,
            rail: 4.0,
            knob: 7.0,
            handle: 7.0,
            hit: 11.0,
            line: 1.0,
            shaft: factor,
        }
    }
}
