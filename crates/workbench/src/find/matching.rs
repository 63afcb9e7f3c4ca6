//! What a tool is ground to, from what can be measured.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct MatchingState {}

/// The part of the page.
pub(super) fn matching_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut MatchingState,
    _units: Units,
    _theme: &Theme,
) {
}
