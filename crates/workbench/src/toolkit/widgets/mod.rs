//! The window's own widgets: labelled for screen readers, reached by the keyboard, styled by the theme.

mod choices;
mod dialog;
mod empty;
pub(crate) mod glyphs;
pub(crate) mod letters;
mod number_field;
mod read_out;
mod setting_row;
mod slider;
pub mod stride;

pub use choices::{Emphasis, RackRow, button, rack_row, search_field, tab_bar, tab_width};
pub use dialog::dialog;
pub(crate) use empty::in_the_middle;
pub use number_field::typed_field;
pub(crate) use number_field::{Typed, number_field};
pub use read_out::{
    ProportionBar, ReadOut, caution_line, divider, proportion_bars, read_out, read_out_row, section,
    status_line,
};
pub use setting_row::{Pin, Setting, SettingOutcome, setting_row};
pub use slider::Tick;
pub(crate) use slider::stepped;
