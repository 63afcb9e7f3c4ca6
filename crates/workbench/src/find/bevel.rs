//! What to set for a bevel and a wing: every answer the rig allows.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct BevelState {}

/// The part of the page.
pub(super) fn bevel_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut BevelState,
    _units: Units,
    _theme: &Theme,
) {
}
