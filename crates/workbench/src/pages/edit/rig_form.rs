//! The forms of a rig: grinder, wheel with its arm and table, holder.

use bevelbench_geometry::math::DimensionError;
use bevelbench_notebook::{
    saved::{AbrasiveSaved, ArmSaved, HolderSaved, Id, Rig, TableSaved},
    words::lower_first,
};
use egui::Ui;

use crate::{
    model::{
        parts::{self, PartOf},
        session::Session,
    },
    pages::edit::{
        EditState, commit, delete,
        entry::tick_box,
        fields::{Form, Setup},
        remark,
        rig_dimensions::{
            ARM, DimensionField, FACE, FLAT, GRINDER, GRIT, Group, HOLDER, MARKED_SPEED, RESTS, ROUND, STOPS,
            TABLE, WheelDraft,
        },
    },
    toolkit::widgets::section,
};

/// The form of a rig and its grinder.
pub(super) fn grinder_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    id: Id,
    setup: Setup<'_>,
) {
    let Some(rig) = session.bench().rig(id).cloned() else { return };
    let theme = setup.theme;
    let check = |rig: &Rig| rig.grinder.build().map(|_| ());
    let mut form = Form::new(&rig, ("rig", id.0), check, &mut state.forms, setup);
    section(ui, "Rig", "", theme);
    form.line(ui, "Name", "What the rig is called.", "Rename to", |rig| &mut rig.name);
    form.notes(ui, |rig| &mut rig.notes);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Grinder", "", theme);
    form.dimension_fields(ui, &GRINDER);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Stop blocks", "", theme);
    form.list(ui, &STOPS, |rig| &mut rig.projection_stops_mm);
    ui.add_space(theme.sizes.gap.wide);
    remark(
        ui,
        "Wheels stand under their rig in the list, each with its arm and table; holders below them.",
        theme,
    );
    if let Some((label, changed)) = form.done() {
        keep_rig(session, state, id, &rig.name, &label, changed);
    }
}

fn check_wheel(draft: &WheelDraft) -> Result<(), DimensionError> {
    draft.wheel.build().map(|_| ())
}

/// The form of a wheel with the arm and the table in front of it.
pub(super) fn wheel_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    (rig, id): (Id, Id),
    setup: Setup<'_>,
) {
    let Some(wheel) = session.bench().rig(rig).and_then(|rig| rig.wheel(id)).cloned() else { return };
    let theme = setup.theme;
    let draft = WheelDraft { grit: wheel.grit.map(f64::from), wheel: wheel.clone() };
    let mut form = Form::new(&draft, ("wheel", id.0), check_wheel, &mut state.forms, setup);
    section(ui, "Wheel", "", theme);
    form.line(ui, "Name", "What the wheel is called.", "Rename to", |draft| &mut draft.wheel.name);
    wheel_fields(ui, &mut form);
    if let Some((label, changed)) = form.done() {
        keep_wheel(session, state, (rig, id), &wheel.name, &label, changed);
    }

    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Arm", "", theme);
    let mut has_arm = wheel.arm.is_some();
    if tick_box(
        ui,
        &mut has_arm,
        "A sliding arm in front of it",
        "An arm along which a cup is moved and locked.",
    )
    .changed()
    {
        let part = PartOf::Arm(rig, id);
        if has_arm {
            commit(session, &mut state.forms, format!("“{}”: add an arm", wheel.name), |bench| {
                if let Some(place) = parts::wheel_mut(bench, rig, id) {
                    place.arm = Some(parts::ordinary_arm(place));
                }
            });
        } else {
            delete(session, state, part);
        }
    }
    if let Some(arm) = &wheel.arm {
        arm_form(ui, session, state, (rig, id, &wheel.name), arm, setup);
    }

    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Table", "", theme);
    let mut has_table = wheel.table.is_some();
    if tick_box(ui, &mut has_table, "A tilting table in front of it", "A table that tips about a hinge.")
        .changed()
    {
        let part = PartOf::Table(rig, id);
        if has_table {
            commit(session, &mut state.forms, format!("“{}”: add a table", wheel.name), |bench| {
                if let Some(place) = parts::wheel_mut(bench, rig, id) {
                    place.table = Some(parts::ordinary_table(place));
                }
            });
        } else {
            delete(session, state, part);
        }
    }
    if let Some(table) = &wheel.table {
        table_form(ui, session, state, (rig, id, &wheel.name), table, setup);
    }
}

fn wheel_fields(ui: &mut Ui, form: &mut Form<'_, WheelDraft>) {
    let abrasives = [
        (AbrasiveSaved::Friable, "Friable: wears, is dressed"),
        (AbrasiveSaved::Superabrasive, "Superabrasive on metal"),
        (AbrasiveSaved::Flat, "Flat: belt or stone"),
    ];
    let abrasive = form.part().wheel.abrasive;
    form.choice(ui, "Abrasive", "What does the cutting.", abrasive, &abrasives, |draft, abrasive| {
        draft.wheel.abrasive = abrasive;
        if abrasive != AbrasiveSaved::Flat {
            draft.wheel.face_slope_deg = 0.0;
        }
    });
    if abrasive == AbrasiveSaved::Flat {
        form.dimension_fields(ui, &FLAT);
    } else {
        form.dimension_fields(ui, &ROUND);
    }
    form.dimension_fields(ui, &FACE);
    form.optional(ui, "Grit is marked", &GRIT, |_| 80.0, |draft| Some(&mut draft.grit));
    form.optional(
        ui,
        "Greatest speed is marked",
        &MARKED_SPEED,
        |_| 35.0,
        |draft| Some(&mut draft.wheel.marked_speed_m_s),
    );
}

fn arm_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    (rig, wheel, name): (Id, Id, &str),
    arm: &ArmSaved,
    setup: Setup<'_>,
) {
    let check = |arm: &ArmSaved| arm.build().map(|_| ());
    let mut form = Form::new(arm, ("arm", wheel.0), check, &mut state.forms, setup);
    form.dimension_fields(ui, &ARM);
    if let Some((label, changed)) = form.done() {
        keep_arm(session, state, (rig, wheel), name, &label, changed);
    }
}

fn table_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    (rig, wheel, name): (Id, Id, &str),
    table: &TableSaved,
    setup: Setup<'_>,
) {
    let check = |table: &TableSaved| table.build().map(|_| ());
    let mut form = Form::new(table, ("table", wheel.0), check, &mut state.forms, setup);
    form.dimension_fields(ui, &TABLE);
    if let Some((label, changed)) = form.done() {
        keep_table(session, state, (rig, wheel), name, &label, changed);
    }
}

/// The form of a holder.
pub(super) fn holder_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    (rig, id): (Id, Id),
    setup: Setup<'_>,
) {
    let Some(holder) = session.bench().rig(rig).and_then(|rig| rig.holder(id)).cloned() else { return };
    let theme = setup.theme;
    let check = |holder: &HolderSaved| holder.build().map(|_| ());
    let mut form = Form::new(&holder, ("holder", id.0), check, &mut state.forms, setup);
    section(ui, "Holder", "", theme);
    form.line(ui, "Name", "What the holder is called.", "Rename to", |holder| &mut holder.name);
    form.dimension_fields(ui, &HOLDER[..2]);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Strut", "", theme);
    form.dimension_fields(ui, &HOLDER[2..5]);
    form.list(ui, &RESTS, |holder| &mut holder.rests_deg);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Body", "", theme);
    form.dimension_fields(ui, &HOLDER[5..]);
    if let Some((label, changed)) = form.done() {
        keep_holder(session, state, (rig, id), &holder.name, &label, changed);
    }
}

fn keep_rig(session: &mut Session, state: &mut EditState, id: Id, name: &str, label: &str, changed: Rig) {
    commit(session, &mut state.forms, format!("“{name}”: {}", lower_first(label)), |bench| {
        if let Some(place) = parts::rig_mut(bench, id) {
            *place = changed;
        }
    });
}

fn keep_wheel(
    session: &mut Session,
    state: &mut EditState,
    (rig, id): (Id, Id),
    name: &str,
    label: &str,
    changed: WheelDraft,
) {
    commit(session, &mut state.forms, format!("“{name}”: {}", lower_first(label)), |bench| {
        if let Some(place) = parts::wheel_mut(bench, rig, id) {
            *place = changed.wheel;
            place.grit = changed.grit.map(|grit| grit.round().clamp(1.0, 100_000.0) as u32);
        }
    });
}

fn keep_arm(
    session: &mut Session,
    state: &mut EditState,
    (rig, wheel): (Id, Id),
    name: &str,
    label: &str,
    changed: ArmSaved,
) {
    commit(session, &mut state.forms, format!("“{name}”, arm: {}", lower_first(label)), |bench| {
        if let Some(place) = parts::wheel_mut(bench, rig, wheel) {
            place.arm = Some(changed);
        }
    });
}

fn keep_table(
    session: &mut Session,
    state: &mut EditState,
    (rig, wheel): (Id, Id),
    name: &str,
    label: &str,
    changed: TableSaved,
) {
    commit(session, &mut state.forms, format!("“{name}”, table: {}", lower_first(label)), |bench| {
        if let Some(place) = parts::wheel_mut(bench, rig, wheel) {
            place.table = Some(changed);
        }
    });
}

fn keep_holder(
    session: &mut Session,
    state: &mut EditState,
    (rig, id): (Id, Id),
    name: &str,
    label: &str,
    changed: HolderSaved,
) {
    commit(session, &mut state.forms, format!("“{name}”: {}", lower_first(label)), |bench| {
        if let Some(place) = parts::holder_mut(bench, rig, id) {
            *place = changed;
        }
    });
}

/// One field of the chosen part; gives back its value. `part` is the wheel or the holder where there is one.
pub(super) fn one_field(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    (rig_id, part): (Id, Option<Id>),
    (group, index): (Group, usize),
    setup: Setup<'_>,
) -> Option<f64> {
    let rig = session.bench().rig(rig_id)?.clone();
    let wheel = part.and_then(|id| rig.wheel(id)).cloned();
    match group {
        Group::Grinder => {
            let check = |rig: &Rig| rig.grinder.build().map(|_| ());
            let mut form = Form::new(&rig, ("rig", rig_id.0), check, &mut state.forms, setup);
            let value = form.ask(ui, GRINDER.get(index)?);
            if let Some((label, changed)) = form.done() {
                keep_rig(session, state, rig_id, &rig.name, &label, changed);
            }
            value
        }
        Group::Round | Group::Flat | Group::Face => {
            let (wheel, id) = (wheel?, part?);
            let draft = WheelDraft { grit: wheel.grit.map(f64::from), wheel: wheel.clone() };
            let mut form = Form::new(&draft, ("wheel", id.0), check_wheel, &mut state.forms, setup);
            let table: &[DimensionField<WheelDraft>] = match group {
                Group::Round => &ROUND,
                Group::Flat => &FLAT,
                _ => &FACE,
            };
            let value = form.ask(ui, table.get(index)?);
            if let Some((label, changed)) = form.done() {
                keep_wheel(session, state, (rig_id, id), &wheel.name, &label, changed);
            }
            value
        }
        Group::Arm => {
            let (wheel, id) = (wheel?, part?);
            let arm = wheel.arm.as_ref()?;
            let check = |arm: &ArmSaved| arm.build().map(|_| ());
            let mut form = Form::new(arm, ("arm", id.0), check, &mut state.forms, setup);
            let value = form.ask(ui, ARM.get(index)?);
            if let Some((label, changed)) = form.done() {
                keep_arm(session, state, (rig_id, id), &wheel.name, &label, changed);
            }
            value
        }
        Group::Table => {
            let (wheel, id) = (wheel?, part?);
            let table = wheel.table.as_ref()?;
            let check = |table: &TableSaved| table.build().map(|_| ());
            let mut form = Form::new(table, ("table", id.0), check, &mut state.forms, setup);
            let value = form.ask(ui, TABLE.get(index)?);
            if let Some((label, changed)) = form.done() {
                keep_table(session, state, (rig_id, id), &wheel.name, &label, changed);
            }
            value
        }
        Group::Holder => {
            let id = part?;
            let holder = rig.holder(id)?.clone();
            let check = |holder: &HolderSaved| holder.build().map(|_| ());
            let mut form = Form::new(&holder, ("holder", id.0), check, &mut state.forms, setup);
            let value = form.ask(ui, HOLDER.get(index)?);
            if let Some((label, changed)) = form.done() {
                keep_holder(session, state, (rig_id, id), &holder.name, &label, changed);
            }
            value
        }
    }
}
