//! Speeds, gaps and cautions, each with its source.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct SafetyState {}

/// The part of the page.
pub(super) fn safety_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut SafetyState,
    _units: Units,
    _theme: &Theme,
) {
}
