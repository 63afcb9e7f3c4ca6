//! One reach of the arm that serves many tools.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct OneReachState {}

/// The part of the page.
pub(super) fn one_reach_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut OneReachState,
    _units: Units,
    _theme: &Theme,
) {
}
