//! When a tool was sharpened, and what is due.

use egui::Ui;

use crate::{session::Session, theme::Theme, units::Units};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct LogState {}

/// The part of the page.
pub(super) fn log_part(
    _ui: &mut Ui,
    _session: &mut Session,
    _state: &mut LogState,
    _units: Units,
    _theme: &Theme,
) {
}
