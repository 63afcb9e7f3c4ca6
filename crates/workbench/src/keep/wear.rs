//! What a worn wheel and a shorter tool do to a setting.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct WearState {}

/// The part of the page.
pub(super) fn wear_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut WearState,
    _units: Units,
    _theme: &Theme,
) {
}
