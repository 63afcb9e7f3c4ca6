//! A setting with the parts of the bench that it stands on.

use bevelbench_geometry::math::Quantity;

use crate::saved::{
    bench::Bench,
    id::Id,
    rig::{AbrasiveSaved, HolderSaved, Rig, WheelSaved},
    setting::{SettingEntry, SupportSaved},
    table::{OnBench, Stop, StopKind},
    tool::{BlankSaved, ToolEntry},
};

/// A setting with the parts of the bench that it stands on, as far as they are there.
#[derive(Debug, Clone, Copy)]
pub struct Stand<'a> {
    /// The setting.
    pub entry: &'a SettingEntry,
    /// Its rig.
    pub rig: Option<&'a Rig>,
    /// Its wheel.
    pub wheel: Option<&'a WheelSaved>,
    /// Its holder.
    pub holder: Option<&'a HolderSaved>,
    /// Its tool.
    pub tool: Option<&'a ToolEntry>,
}

/// The holder that a setting names.
#[must_use]
pub const fn holder_id(entry: &SettingEntry) -> Option<Id> {
    match entry.support {
        SupportSaved::Holder { holder, .. } => Some(holder),
        SupportSaved::Handle { .. } | SupportSaved::Table { .. } => None,
    }
}

impl<'a> Stand<'a> {
    /// A setting on its bench.
    #[must_use]
    pub fn of(bench: &'a Bench, entry: &'a SettingEntry) -> Self {
        let rig = bench.rig(entry.rig);
        Self {
            entry,
            rig,
            wheel: rig.and_then(|rig| rig.wheel(entry.wheel)),
            holder: holder_id(entry).and_then(|id| rig.and_then(|rig| rig.holder(id))),
            tool: bench.tool(entry.tool),
        }
    }

    /// Whether a quantity stands on a stop of that kind.
    pub(super) fn stands_on(&self, quantity: Quantity, kind: StopKind, stops: &[Stop]) -> bool {
        let value = quantity.of_setting(self);
        value.is_some_and(|value| stops.iter().any(|stop| stop.kind == kind && stop.holds(value)))
    }
}

pub(super) const fn on_arm(stand: &Stand<'_>) -> bool {
    !on_table(stand)
}

pub(super) const fn in_holder(stand: &Stand<'_>) -> bool {
    matches!(stand.entry.support, SupportSaved::Holder { .. })
}

pub(super) const fn by_handle(stand: &Stand<'_>) -> bool {
    matches!(stand.entry.support, SupportSaved::Handle { .. })
}

pub(super) const fn on_table(stand: &Stand<'_>) -> bool {
    matches!(stand.entry.support, SupportSaved::Table { .. })
}

pub(super) fn on_round_wheel(stand: &Stand<'_>) -> bool {
    stand.wheel.is_none_or(|wheel| wheel.abrasive != AbrasiveSaved::Flat)
}

/// On a table before a flat face the bevel does not rest on where the table stands.
pub(super) fn on_table_at_round_wheel(stand: &Stand<'_>) -> bool {
    on_table(stand) && on_round_wheel(stand)
}

pub(super) fn rolled(stand: &Stand<'_>) -> bool {
    stand.entry.swing.is_some() && stand.tool.is_some_and(|tool| matches!(tool.blank, BlankSaved::Bar(_)))
}
