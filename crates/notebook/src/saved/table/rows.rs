//! The rows of the table, in the order of [`Quantity`]: those that are set first.

use bevelbench_geometry::math::Quantity;

use crate::saved::{
    part::Part,
    reading::ReadWith,
    setting::SupportSaved,
    table::{
        Found, Lens, Note, Place, Row, SetStep, Stand, Stop, StopKind, Turned,
        stand::{by_handle, in_holder, on_arm, on_round_wheel, on_table, on_table_at_round_wheel, rolled},
    },
    tool::BlankSaved,
};

/// A number by the name of its field, or by that of a part that may be missing and its field.
macro_rules! lens {
    ($field:ident) => {
        Lens { get: |part| Some(part.$field), place: |part| Some(&mut part.$field) }
    };
    ($part:ident? $field:ident) => {
        Lens {
            get: |part| part.$part.as_ref().map(|inner| inner.$field),
            place: |part| part.$part.as_mut().map(|inner| &mut inner.$field),
        }
    };
    ($($support:ident)|+: $field:ident) => {
        Lens {
            get: |part| match &part.support {
                $(SupportSaved::$support { $field, .. })|+ => Some(*$field),
                #[allow(unreachable_patterns, reason = "one support may be all that are left")]
                _ => None,
            },
            place: |part| match &mut part.support {
                $(SupportSaved::$support { $field, .. })|+ => Some($field),
                #[allow(unreachable_patterns, reason = "one support may be all that are left")]
                _ => None,
            },
        }
    };
}

/// A row that nothing may be done with.
const PLAIN: Row = Row {
    quantity: Quantity::Reach,
    label: "",
    how: "",
    key: "",
    word: "",
    step: 1.0,
    part: Part::Bench,
    place: Place::Worked,
    applies: |_| false,
    turned: None,
    found: None,
    read: None,
    set: None,
    fitted: false,
};

const TURNED: Turned = Turned { range: |_| None, stops: |_| Vec::new(), note: Note::Range, compared: None };

/// The rig's and the tool's own dimensions are off the same way every time: a trial grind finds them out.
const NOT_COUNTED: Option<fn(&Stand<'_>) -> ReadWith> = Some(|_| ReadWith::NotCounted);

fn stop_blocks(stand: &Stand<'_>) -> Vec<Stop> {
    let stops = stand.rig.map(|rig| rig.projection_stops_mm.as_slice()).unwrap_or_default();
    stops.iter().map(|&value| Stop { value, kind: StopKind::Block }).collect()
}

fn rests(stand: &Stand<'_>) -> Vec<Stop> {
    let rests = stand.holder.map(|holder| holder.rests_deg.as_slice()).unwrap_or_default();
    rests.iter().map(|&value| Stop { value, kind: StopKind::Rest }).collect()
}

/// The table.
pub const TABLE: &[Row] = &[
    Row {
        quantity: Quantity::Reach,
        label: "Arm reach",
        how: "How far the cup stands along the arm, from the arm’s zero mark. Read it on the arm’s scale, or measure from the mark to the middle of the cup.",
        key: "reach_mm",
        word: "reach",
        part: Part::Cup,
        place: Place::Setting(lens!(Handle | Holder: reach_mm)),
        applies: on_arm,
        turned: Some(Turned {
            range: |stand| stand.wheel?.arm.as_ref().map(|arm| (arm.reach_least_mm, arm.reach_most_mm)),
            compared: Some(4.0),
            ..TURNED
        }),
        found: Some(Found { more: "out", less: "in", offered: true }),
        read: Some(|_| ReadWith::Rule),
        set: Some(SetStep {
            order: 3,
            column: "reach",
            lead: "",
            how: "The cup on the arm's own scale; lock it.",
            how_at_stop: "",
        }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::Projection,
        label: "Projection",
        how: "How far the tool stands out of the holder: from the nose of the edge to the holder’s front face. Push the nose against a stop block, or lay a rule along the tool.",
        key: "projection_mm",
        word: "projection",
        part: Part::Projection,
        place: Place::Setting(lens!(Holder: projection_mm)),
        applies: in_holder,
        turned: Some(Turned {
            range: |stand| {
                Some((10.0, (stand.tool?.blade_length_mm - stand.holder?.body_length_mm).max(20.0)))
            },
            stops: stop_blocks,
            note: Note::Stops("stops"),
            compared: Some(5.0),
        }),
        found: Some(Found { more: "longer", less: "shorter", offered: true }),
        read: Some(|stand| {
            let on_block = stand.stands_on(Quantity::Projection, StopKind::Block, &stop_blocks(stand));
            if on_block { ReadWith::StopBlock } else { ReadWith::Rule }
        }),
        set: Some(SetStep {
            order: 1,
            column: "projection",
            lead: "",
            how: "From the edge to the holder's front face; then lock the holder.",
            how_at_stop: "Push the edge against the stop block of this length, then lock the holder.",
        }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::StrutAngle,
        label: "Strut angle",
        how: "The angle between the strut and the tool’s axis; 90° is square off the tool. Lay a protractor on tool and strut, or count the rests.",
        key: "strut_angle_deg",
        word: "strut-angle",
        step: 0.5,
        part: Part::Strut,
        place: Place::Setting(lens!(Holder: strut_angle_deg)),
        applies: in_holder,
        turned: Some(Turned {
            range: |stand| stand.holder.map(|h| (h.strut_angle_least_deg, h.strut_angle_most_deg)),
            stops: rests,
            note: Note::Stops("rests"),
            compared: Some(5.0),
        }),
        found: Some(Found { more: "steeper", less: "flatter", offered: true }),
        read: Some(|stand| {
            let at_rest = stand.stands_on(Quantity::StrutAngle, StopKind::Rest, &rests(stand));
            if at_rest { ReadWith::Rest } else { ReadWith::Protractor }
        }),
        set: Some(SetStep {
            order: 2,
            column: "strut",
            lead: "",
            how: "Between strut and blade; 90° is square off the blade. Lock it.",
            how_at_stop: "Click the strut into this rest and lock it.",
        }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::TableTilt,
        label: "Table tilt",
        how: "The table’s slope; positive when the operator’s side is high. Set an angle gauge on the table.",
        key: "table_tilt_deg",
        word: "tilt",
        step: 0.5,
        part: Part::Table,
        place: Place::Setting(lens!(Table: tilt_deg)),
        applies: on_table,
        turned: Some(Turned {
            range: |stand| {
                stand.wheel?.table.as_ref().map(|table| (table.tilt_least_deg, table.tilt_most_deg))
            },
            compared: Some(3.0),
            ..TURNED
        }),
        found: Some(Found {
            more: "higher at the operator’s side",
            less: "lower at the operator’s side",
            offered: true,
        }),
        read: Some(|_| ReadWith::Protractor),
        set: Some(SetStep {
            order: 4,
            column: "reach",
            lead: "tilt ",
            how: "From level; the operator's side high counts as more. Lock it and turn the wheel by hand.",
            how_at_stop: "",
        }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::ToolLength,
        label: "Tool length",
        how: "From the edge to the end of the handle. It is part of the setting when the handle stands in the cup, and it shrinks with every sharpening.",
        key: "tool_length_mm",
        word: "tool-length",
        part: Part::Tool,
        place: Place::Tool(lens!(overall_length_mm)),
        applies: by_handle,
        turned: Some(Turned {
            range: |stand| {
                let tool = stand.tool?;
                Some((tool.blade_length_mm, (tool.blade_length_mm + 450.0).max(tool.overall_length_mm)))
            },
            ..TURNED
        }),
        found: Some(Found { more: "longer", less: "shorter", offered: false }),
        read: Some(|_| ReadWith::LongRule),
        ..PLAIN
    },
    Row {
        quantity: Quantity::WheelDiameter,
        label: "Wheel diameter",
        how: "Today’s diameter, across the wheel, power off and plug out. A tape round the rim divided by 3.1416 gives it too.",
        key: "wheel_diameter_mm",
        word: "wheel-diameter",
        part: Part::Rim,
        place: Place::Wheel(lens!(diameter_mm)),
        applies: on_round_wheel,
        turned: Some(Turned {
            range: |stand| stand.wheel.map(|wheel| (wheel.diameter_least_mm.max(1.0), wheel.diameter_new_mm)),
            stops: |stand| {
                stand.wheel.map_or_else(Vec::new, |wheel| {
                    vec![
                        Stop { value: wheel.diameter_new_mm, kind: StopKind::New },
                        Stop { value: wheel.diameter_least_mm, kind: StopKind::Least },
                    ]
                })
            },
            note: Note::NamedStops,
            compared: Some(-10.0),
        }),
        found: Some(Found { more: "larger", less: "smaller", offered: false }),
        read: Some(|_| ReadWith::LongRule),
        ..PLAIN
    },
    Row {
        quantity: Quantity::RollCentre,
        label: "Roll centre",
        how: "Where the line you roll the tool about passes the nose: above (+) or below (−) the bar’s centreline. A hand does not roll about one line exactly, so this is an assumption to be fitted.",
        key: "roll_centre_mm",
        word: "roll-centre",
        step: 0.1,
        part: Part::RollLine,
        place: Place::Setting(lens!(swing? roll_centre_mm)),
        applies: rolled,
        turned: Some(Turned {
            range: |stand| match &stand.tool?.blank {
                BlankSaved::Bar(bar) => Some((bar.flute_floor_mm, bar.diameter_mm)),
                BlankSaved::Flat(_) => None,
            },
            stops: |_| vec![Stop { value: 0.0, kind: StopKind::Centreline }],
            note: Note::Words("above the bar’s centreline; an assumption"),
            ..TURNED
        }),
        found: Some(Found { more: "higher", less: "lower", offered: true }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::Swing,
        label: "Swing to either side",
        how: "How far the tool is rolled from upright to either wing. Steel beyond the swing is touched by the wheel’s edge only.",
        key: "half_swing_deg",
        word: "swing",
        part: Part::RollLine,
        place: Place::Setting(lens!(swing? half_swing_deg)),
        applies: rolled,
        turned: Some(Turned {
            range: |_| Some((5.0, 120.0)),
            note: Note::Words("an assumption until it is measured"),
            ..TURNED
        }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::TurnInHolder,
        label: "Turn in the holder",
        how: "How far the flute is turned away from straight up in its holder. Anything but 0° makes one wing longer.",
        key: "turn_in_holder_deg",
        word: "turn",
        step: 0.5,
        part: Part::Tool,
        place: Place::Setting(lens!(swing? turn_deg)),
        applies: rolled,
        turned: Some(Turned {
            range: |_| Some((-15.0, 15.0)),
            stops: |_| vec![Stop { value: 0.0, kind: StopKind::Upright }],
            ..TURNED
        }),
        ..PLAIN
    },
    Row {
        quantity: Quantity::ArmZeroX,
        label: "Arm zero in front of the spindle",
        how: "Level, from the middle of the spindle to the zero of the arm’s scale, towards you.",
        key: "arm_zero_x_mm",
        word: "arm-zero-x",
        part: Part::Arm,
        place: Place::Wheel(lens!(arm? zero_x_mm)),
        applies: on_arm,
        read: NOT_COUNTED,
        fitted: true,
        ..PLAIN
    },
    Row {
        quantity: Quantity::ArmZeroZ,
        label: "Arm zero above the spindle",
        how: "From the middle of the spindle up (+) or down (−) to the zero of the arm’s scale.",
        key: "arm_zero_z_mm",
        word: "arm-zero-z",
        part: Part::Arm,
        place: Place::Wheel(lens!(arm? zero_z_mm)),
        applies: on_arm,
        read: NOT_COUNTED,
        fitted: true,
        ..PLAIN
    },
    Row {
        quantity: Quantity::ArmTilt,
        label: "Arm tilt",
        how: "How far the arm rises away from the wheel, with an angle gauge on it; 0° is level.",
        key: "arm_tilt_deg",
        word: "arm-tilt",
        step: 0.5,
        part: Part::Arm,
        place: Place::Wheel(lens!(arm? tilt_deg)),
        applies: on_arm,
        read: NOT_COUNTED,
        ..PLAIN
    },
    Row {
        quantity: Quantity::HingeSetback,
        label: "Hinge setback",
        how: "Along the tool, from the holder’s front face back to the hinge of the strut.",
        key: "hinge_setback_mm",
        word: "hinge-setback",
        step: 0.5,
        part: Part::Holder,
        place: Place::Holder(lens!(hinge_setback_mm)),
        applies: in_holder,
        read: NOT_COUNTED,
        fitted: true,
        ..PLAIN
    },
    Row {
        quantity: Quantity::HingeDrop,
        label: "Hinge drop",
        how: "From the tool’s centreline down to the hinge of the strut.",
        key: "hinge_drop_mm",
        word: "hinge-drop",
        step: 0.5,
        part: Part::Holder,
        place: Place::Holder(lens!(hinge_drop_mm)),
        applies: in_holder,
        read: NOT_COUNTED,
        fitted: true,
        ..PLAIN
    },
    Row {
        quantity: Quantity::StrutLength,
        label: "Strut length",
        how: "From the middle of the hinge to the end that stands in the cup.",
        key: "strut_length_mm",
        word: "strut-length",
        step: 0.5,
        part: Part::Strut,
        place: Place::Holder(lens!(strut_length_mm)),
        applies: in_holder,
        read: NOT_COUNTED,
        fitted: true,
        ..PLAIN
    },
    Row {
        quantity: Quantity::HingeX,
        label: "Table hinge in front of the spindle",
        how: "Level, from the middle of the spindle to the table’s hinge, towards you.",
        key: "table_hinge_x_mm",
        word: "table-hinge-x",
        step: 0.5,
        part: Part::Table,
        place: Place::Wheel(lens!(table? hinge_x_mm)),
        applies: on_table_at_round_wheel,
        read: NOT_COUNTED,
        ..PLAIN
    },
    Row {
        quantity: Quantity::HingeZ,
        label: "Table hinge above the spindle",
        how: "From the middle of the spindle up (+) or down (−) to the table’s hinge.",
        key: "table_hinge_z_mm",
        word: "table-hinge-z",
        step: 0.5,
        part: Part::Table,
        place: Place::Wheel(lens!(table? hinge_z_mm)),
        applies: on_table_at_round_wheel,
        read: NOT_COUNTED,
        ..PLAIN
    },
    Row {
        quantity: Quantity::SurfaceOffset,
        label: "Table surface above its hinge",
        how: "From the hinge square up to the surface that carries the tool.",
        key: "surface_offset_mm",
        word: "surface-offset",
        step: 0.5,
        part: Part::Table,
        place: Place::Wheel(lens!(table? surface_offset_mm)),
        applies: on_table_at_round_wheel,
        read: NOT_COUNTED,
        ..PLAIN
    },
    Row {
        quantity: Quantity::EdgeHeight,
        label: "Edge above the centreline",
        how: "How far the edge lies above (+) or below (−) the middle of the bar or blade; it follows from the tool’s dimensions.",
        key: "edge_height_mm",
        word: "edge-height",
        step: 0.1,
        part: Part::Edge,
        place: Place::Tool(Lens { get: |_| None, place: |_| None }),
        applies: on_arm,
        read: NOT_COUNTED,
        ..PLAIN
    },
    Row {
        quantity: Quantity::UnderEdge,
        label: "Steel under the edge",
        how: "From the edge square down to the underside, with a calliper; it follows from the tool’s dimensions.",
        key: "under_edge_mm",
        word: "under-edge",
        step: 0.1,
        part: Part::Edge,
        place: Place::Tool(Lens { get: |_| None, place: |_| None }),
        applies: on_table_at_round_wheel,
        read: NOT_COUNTED,
        ..PLAIN
    },
    Row {
        quantity: Quantity::GaugeLength,
        label: "Gauge length",
        how: "From the rim straight to the middle of the cup, with a stick cut to length or a rule.",
        key: "gauge_length_mm",
        word: "gauge-length",
        part: Part::Gauge,
        applies: on_arm,
        set: Some(SetStep {
            order: 9,
            column: "gauge",
            lead: "",
            how: "The stick between rim and cup: it checks the reach, also on a worn wheel.",
            how_at_stop: "",
        }),
        ..PLAIN
    },
];
