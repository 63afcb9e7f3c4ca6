//! What is seen on a tool, and what to change.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct FaultsState {}

/// The part of the page.
pub(super) fn faults_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut FaultsState,
    _units: Units,
    _theme: &Theme,
) {
}
