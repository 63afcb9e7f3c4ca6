//! The ink test read backwards: which way to move, and how far.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct InkState {}

/// The part of the page.
pub(super) fn ink_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut InkState,
    _units: Units,
    _theme: &Theme,
) {
}
