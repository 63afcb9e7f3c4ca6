//! A second facet behind the first.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct SecondBevelState {}

/// The part of the page.
pub(super) fn second_bevel_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut SecondBevelState,
    _units: Units,
    _theme: &Theme,
) {
}
