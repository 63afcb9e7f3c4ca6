//! The forms of a rig: grinder, wheel with its arm and table, holder.

use bevelbench_geometry::{Quantity as Q, Unfit};
use bevelbench_notebook::saved::{AbrasiveSaved, ArmSaved, HolderSaved, Id, Rig, TableSaved, WheelSaved};
use egui::Ui;

use super::{
    EditState, commit, delete,
    entry::tick_box,
    fields::{Form, Setup},
    measure::{Dimension, Mark, Measure, lower},
    parts,
    parts::PartOf,
    remark,
};
use crate::{session::Session, widgets::section};

const SPEED: Dimension = Dimension::length(
    "Spindle speed",
    Q::SpindleSpeed,
    10.0,
    "Turns a minute under no load, from the grinder’s plate.",
)
.measured(Measure::Turns);
const HEIGHT: Dimension = Dimension::length(
    "Spindle above bench",
    Q::SpindleHeight,
    1.0,
    "From the bench top up to the middle of the spindle, with a rule.",
);
const FRONT: Dimension = Dimension::length(
    "Bench front from spindle",
    Q::BenchFront,
    5.0,
    "Level, from under the spindle to the bench’s front edge, towards you.",
);
const STOPS: Dimension = Dimension {
    name: "Projection stops",
    how: "Projections for which a stop block is at hand, with commas between them: 60, 85.",
    measure: Measure::Length,
    quantity: None,
    mark: Mark::Stops,
    step: 1.0,
};
const DIAMETER: Dimension = Dimension::length(
    "Diameter now",
    Q::WheelDiameter,
    1.0,
    "Across the wheel today, power off and plug out. A tape round the rim divided by 3.1416 gives it too.",
);
const DIAMETER_NEW: Dimension =
    Dimension::length("Diameter when new", Q::WheelDiameterNew, 1.0, "From the wheel’s label.");
const DIAMETER_LEAST: Dimension = Dimension::length(
    "Least usable diameter",
    Q::WheelDiameterLeast,
    1.0,
    "Below this the wheel is thrown away: its flanges or its maker’s paper say where.",
);
const FACE_WIDTH: Dimension =
    Dimension::length("Face width", Q::WheelWidth, 1.0, "Across the rim, with a rule.");
const MARKED_SPEED: Dimension = Dimension::length(
    "Marked speed",
    Q::MarkedSpeed,
    1.0,
    "The greatest speed at the rim that is printed on the wheel. What is marked comes before anything written here.",
)
.measured(Measure::Speed);
const GRIT: Dimension = Dimension {
    name: "Grit",
    how: "The grit number as it is marked.",
    measure: Measure::Whole,
    quantity: None,
    mark: Mark::Grit,
    step: 10.0,
};
const FACE_SLOPE: Dimension = Dimension::angle(
    "Slope of the face",
    Q::FaceSlope,
    0.5,
    "How far the abrasive looks up: 0° is an upright platen that faces you, 90° a stone lying on the bench.",
);
const ARM_X: Dimension = Dimension::length(
    "Zero in front",
    Q::ArmZeroX,
    1.0,
    "Level, from the middle of the spindle to the zero of the arm’s scale, towards you.",
);
const ARM_Z: Dimension = Dimension::length(
    "Zero above spindle",
    Q::ArmZeroZ,
    1.0,
    "From the middle of the spindle up (+) or down (−) to the zero of the arm’s scale.",
);
const ARM_TILT: Dimension = Dimension::angle(
    "Arm tilt",
    Q::ArmTilt,
    0.5,
    "How far the arm rises away from the wheel, with an angle gauge on it; 0° is level.",
);
const REACH_LEAST: Dimension = Dimension::length(
    "Least reach",
    Q::ReachLeast,
    1.0,
    "The smallest reading at which the cup can be locked.",
);
const REACH_MOST: Dimension = Dimension::length(
    "Greatest reach",
    Q::ReachMost,
    5.0,
    "The largest reading at which the cup can be locked.",
);
const HINGE_X: Dimension = Dimension::length(
    "Hinge in front",
    Q::HingeX,
    0.5,
    "Level, from the middle of the spindle to the table’s hinge, towards you.",
);
const HINGE_Z: Dimension = Dimension::length(
    "Hinge above spindle",
    Q::HingeZ,
    0.5,
    "From the middle of the spindle up (+) or down (−) to the table’s hinge.",
);
const SURFACE: Dimension = Dimension::length(
    "Surface above hinge",
    Q::SurfaceOffset,
    0.5,
    "From the hinge square up to the surface that carries the tool.",
);
const TABLE_FRONT: Dimension = Dimension::length(
    "Front edge from hinge",
    Q::TableFront,
    0.5,
    "Along the surface, from above the hinge to the edge near the wheel.",
);
const TABLE_REAR: Dimension = Dimension::length(
    "Rear edge from hinge",
    Q::TableRear,
    1.0,
    "Along the surface, from above the hinge to the edge near you.",
);
const TILT_LEAST: Dimension = Dimension::angle(
    "Least tilt",
    Q::TableTiltLeast,
    1.0,
    "As far as the table tips with your side low; below level is negative.",
);
const TILT_MOST: Dimension =
    Dimension::angle("Greatest tilt", Q::TableTiltMost, 1.0, "As far as the table tips with your side high.");
const SETBACK: Dimension = Dimension::length(
    "Hinge setback",
    Q::HingeSetback,
    0.5,
    "Along the tool, from the holder’s front face back to the hinge of the strut.",
);
const DROP: Dimension = Dimension::length(
    "Hinge drop",
    Q::HingeDrop,
    0.5,
    "From the tool’s centreline down to the hinge of the strut.",
);
const STRUT: Dimension = Dimension::length(
    "Strut length",
    Q::StrutLength,
    0.5,
    "From the middle of the hinge to the end that stands in the cup.",
);
const STRUT_LEAST: Dimension = Dimension::angle(
    "Least strut angle",
    Q::StrutAngleLeast,
    1.0,
    "The flattest the strut can be set, to the tool’s axis; 90° is square off the tool.",
);
const STRUT_MOST: Dimension = Dimension::angle(
    "Greatest strut angle",
    Q::StrutAngleMost,
    1.0,
    "The steepest the strut can be set, to the tool’s axis; 90° is square off the tool.",
);
const RESTS: Dimension = Dimension {
    name: "Rests",
    how: "Angles at which the strut clicks in, with commas between them: 30, 45, 60. Empty if it is held by a screw alone.",
    measure: Measure::Angle,
    quantity: None,
    mark: Mark::Rests,
    step: 1.0,
};
const BODY_LENGTH: Dimension =
    Dimension::length("Body length", Q::HolderLength, 0.5, "Along the tool, from front face to back.");
const BODY_HEIGHT: Dimension =
    Dimension::length("Body height", Q::HolderHeight, 0.5, "Square to the tool, over the whole body.");

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
    let mut form = Form::new(&rig, ("rig", id.0), check, &mut state.desk, setup);
    section(ui, "Rig", "", theme);
    form.line(ui, "Name", "What the rig is called.", "Rename to", |rig| &mut rig.name);
    form.notes(ui, |rig| &mut rig.notes);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Grinder", "", theme);
    form.number(ui, &SPEED, |rig| Some(&mut rig.grinder.spindle_speed_rpm));
    form.number(ui, &HEIGHT, |rig| Some(&mut rig.grinder.spindle_height_mm));
    form.number(ui, &FRONT, |rig| Some(&mut rig.grinder.bench_front_mm));
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
        commit(session, &mut state.desk, format!("“{}”: {}", rig.name, lower(&label)), |bench| {
            if let Some(place) = parts::rig_mut(bench, id) {
                *place = changed;
            }
        });
    }
}

/// A wheel as the form holds it: the grit as a number that can be stepped.
#[derive(Debug, Clone, PartialEq)]
struct WheelDraft {
    wheel: WheelSaved,
    grit: Option<f64>,
}

fn check_wheel(draft: &WheelDraft) -> Result<(), Unfit> {
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
    let mut form = Form::new(&draft, ("wheel", id.0), check_wheel, &mut state.desk, setup);
    section(ui, "Wheel", "", theme);
    form.line(ui, "Name", "What the wheel is called.", "Rename to", |draft| &mut draft.wheel.name);
    wheel_fields(ui, &mut form);
    if let Some((label, changed)) = form.done() {
        commit(session, &mut state.desk, format!("“{}”: {}", wheel.name, lower(&label)), |bench| {
            if let Some(place) = parts::wheel_mut(bench, rig, id) {
                *place = changed.wheel;
                place.grit = changed.grit.map(|grit| grit.round().clamp(1.0, 100_000.0) as u32);
            }
        });
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
            commit(session, &mut state.desk, format!("“{}”: add an arm", wheel.name), |bench| {
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
            commit(session, &mut state.desk, format!("“{}”: add a table", wheel.name), |bench| {
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
        form.number(ui, &FACE_SLOPE, |draft| Some(&mut draft.wheel.face_slope_deg));
    } else {
        form.number(ui, &DIAMETER, |draft| Some(&mut draft.wheel.diameter_mm));
        form.number(ui, &DIAMETER_NEW, |draft| Some(&mut draft.wheel.diameter_new_mm));
        form.number(ui, &DIAMETER_LEAST, |draft| Some(&mut draft.wheel.diameter_least_mm));
    }
    form.number(ui, &FACE_WIDTH, |draft| Some(&mut draft.wheel.width_mm));
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
    let mut form = Form::new(arm, ("arm", wheel.0), check, &mut state.desk, setup);
    form.number(ui, &ARM_X, |arm| Some(&mut arm.zero_x_mm));
    form.number(ui, &ARM_Z, |arm| Some(&mut arm.zero_z_mm));
    form.number(ui, &ARM_TILT, |arm| Some(&mut arm.tilt_deg));
    form.number(ui, &REACH_LEAST, |arm| Some(&mut arm.reach_least_mm));
    form.number(ui, &REACH_MOST, |arm| Some(&mut arm.reach_most_mm));
    if let Some((label, changed)) = form.done() {
        commit(session, &mut state.desk, format!("“{name}”, arm: {}", lower(&label)), |bench| {
            if let Some(place) = parts::wheel_mut(bench, rig, wheel) {
                place.arm = Some(changed);
            }
        });
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
    let mut form = Form::new(table, ("table", wheel.0), check, &mut state.desk, setup);
    form.number(ui, &HINGE_X, |table| Some(&mut table.hinge_x_mm));
    form.number(ui, &HINGE_Z, |table| Some(&mut table.hinge_z_mm));
    form.number(ui, &SURFACE, |table| Some(&mut table.surface_offset_mm));
    form.number(ui, &TABLE_FRONT, |table| Some(&mut table.front_mm));
    form.number(ui, &TABLE_REAR, |table| Some(&mut table.rear_mm));
    form.number(ui, &TILT_LEAST, |table| Some(&mut table.tilt_least_deg));
    form.number(ui, &TILT_MOST, |table| Some(&mut table.tilt_most_deg));
    if let Some((label, changed)) = form.done() {
        commit(session, &mut state.desk, format!("“{name}”, table: {}", lower(&label)), |bench| {
            if let Some(place) = parts::wheel_mut(bench, rig, wheel) {
                place.table = Some(changed);
            }
        });
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
    let mut form = Form::new(&holder, ("holder", id.0), check, &mut state.desk, setup);
    section(ui, "Holder", "", theme);
    form.line(ui, "Name", "What the holder is called.", "Rename to", |holder| &mut holder.name);
    form.number(ui, &SETBACK, |holder| Some(&mut holder.hinge_setback_mm));
    form.number(ui, &DROP, |holder| Some(&mut holder.hinge_drop_mm));
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Strut", "", theme);
    form.number(ui, &STRUT, |holder| Some(&mut holder.strut_length_mm));
    form.number(ui, &STRUT_LEAST, |holder| Some(&mut holder.strut_angle_least_deg));
    form.number(ui, &STRUT_MOST, |holder| Some(&mut holder.strut_angle_most_deg));
    form.list(ui, &RESTS, |holder| &mut holder.rests_deg);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Body", "", theme);
    form.number(ui, &BODY_LENGTH, |holder| Some(&mut holder.body_length_mm));
    form.number(ui, &BODY_HEIGHT, |holder| Some(&mut holder.body_height_mm));
    if let Some((label, changed)) = form.done() {
        commit(session, &mut state.desk, format!("“{}”: {}", holder.name, lower(&label)), |bench| {
            if let Some(place) = parts::holder_mut(bench, rig, id) {
                *place = changed;
            }
        });
    }
}
