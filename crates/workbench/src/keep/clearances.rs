//! What comes close to what over the whole swing.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct ClearancesState {}

/// The part of the page.
pub(super) fn clearances_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut ClearancesState,
    _units: Units,
    _theme: &Theme,
) {
}
