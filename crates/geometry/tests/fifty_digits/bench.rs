//! From the inputs of a case to a setting.

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Table, TableSpec, Travel,
    },
    side::{Setting, Support},
};

use crate::rows::Case;

pub(crate) fn angle(case: &Case, name: &str) -> Angle {
    Angle::from_degrees(case.number(name))
}

pub(crate) fn setting(case: &Case) -> Setting {
    let n = |name: &str| case.number(name);
    let any_turn = AngleTravel { least: Angle::from_degrees(-30.0), most: Angle::HALF };
    let arm = || {
        let travel = Travel { least_mm: -5_000.0, most_mm: 5_000.0 };
        Arm::new(DVec2::new(n("arm_x_mm"), n("arm_z_mm")), angle(case, "arm_tilt_deg"), travel).unwrap()
    };
    let support = match case.word("support") {
        "handle" => {
            Support::Handle { arm: arm(), reach_mm: n("reach_mm"), tool_length_mm: n("tool_length_mm") }
        }
        "holder" => Support::Holder {
            arm: arm(),
            holder: Holder::new(HolderSpec {
                hinge_setback_mm: n("hinge_setback_mm"),
                hinge_drop_mm: n("hinge_drop_mm"),
                strut_length_mm: n("strut_length_mm"),
                strut_angle: any_turn,
                body_length_mm: 30.0,
                body_height_mm: 20.0,
            })
            .unwrap(),
            reach_mm: n("reach_mm"),
            projection_mm: n("projection_mm"),
            strut_angle: angle(case, "strut_angle_deg"),
        },
        "table" => Support::Table {
            table: Table::new(TableSpec {
                hinge_in_bench: DVec2::new(n("hinge_x_mm"), n("hinge_z_mm")),
                surface_offset_mm: n("surface_offset_mm"),
                front_mm: n("front_mm"),
                rear_mm: n("rear_mm"),
                tilt: AngleTravel { least: -Angle::QUARTER, most: Angle::QUARTER },
            })
            .unwrap(),
            tilt: angle(case, "tilt_deg"),
        },
        other => panic!("{other}"),
    };
    Setting {
        face: match case.word("face") {
            "round" => Face::Round { radius_mm: n("radius_mm") },
            _ => Face::Flat { normal: angle(case, "normal_deg") },
        },
        edge: EdgeSection { height_mm: n("edge_height_mm"), under_mm: n("under_mm") },
        obliquity: angle(case, "obliquity_deg"),
        presentation: match case.word("presentation") {
            "axis" => Presentation::AxisInSidePlane,
            _ => Presentation::EdgeParallelToSpindle,
        },
        support,
    }
}

/// The input of a column's name.
pub(crate) fn free(name: &str) -> Quantity {
    match name {
        "reach_mm" => Quantity::Reach,
        "projection_mm" => Quantity::Projection,
        "strut_angle_deg" => Quantity::StrutAngle,
        "tool_length_mm" => Quantity::ToolLength,
        "tilt_deg" => Quantity::TableTilt,
        "radius_mm" => Quantity::WheelDiameter,
        other => panic!("{other}"),
    }
}
