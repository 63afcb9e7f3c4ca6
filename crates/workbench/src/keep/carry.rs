//! A setting, or all of them, on another rig.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct CarryState {}

/// The part of the page.
pub(super) fn carry_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut CarryState,
    _units: Units,
    _theme: &Theme,
) {
}
