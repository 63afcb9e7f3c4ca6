//! The steel, the length and the time that a grind takes.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct CostState {}

/// The part of the page.
pub(super) fn cost_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut CostState,
    _units: Units,
    _theme: &Theme,
) {
}
