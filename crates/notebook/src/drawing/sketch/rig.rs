//! The sketches of a rig: the whole of it from the side, and a closer view of a wheel with what stands in front of it.

use bevelbench_geometry::math::{Angle, Quantity as Q};

use crate::{
    drawing::{
        Bounds, Geometry, Mark as Sign, Point, Role, Standing, segment,
        sketch::{
            lines::{Sketch, arc, rectangle},
            mark::Mark,
        },
    },
    quantity::{Units, to_type::length_text},
    saved::{AbrasiveSaved, ArmSaved, Rig, TableSaved, WheelSaved},
};

/// A bench top's thickness.
const BENCH_TOP_MM: f64 = 18.0;

/// The whole rig from the side and, beside it, the wheel's face: where the bench, the spindle and the arm's travel are
/// measured.
#[must_use]
pub fn whole(rig: &Rig, wheel: Option<&WheelSaved>, units: Units, pointed: Option<Mark>) -> Sketch {
    let radius = wheel.map_or(60.0, |wheel| wheel.diameter_new_mm.max(wheel.diameter_mm) / 2.0);
    let width = wheel.map_or(25.0, |wheel| wheel.width_mm);
    let height = rig.grinder.spindle_height_mm;
    let front = rig.grinder.bench_front_mm;
    let flat = wheel.is_some_and(|wheel| wheel.abrasive == AbrasiveSaved::Flat);
    let arm_end = wheel
        .and_then(|wheel| wheel.arm.as_ref())
        .map_or(0.0, |arm| arm.zero_x_mm + arm.reach_most_mm * Angle::from_degrees(arm.tilt_deg).cos());
    let right = front.max(arm_end).max(table_end(wheel)).max(radius + 40.0);
    // The wheel's face stands beside the side view, as far off as a dimension line needs.
    let face_left = -radius * 1.35 - width;
    let left = if wheel.is_some() && !flat { face_left } else { -radius - 30.0 };
    let extent = Bounds { min: [left, -height - BENCH_TOP_MM], max: [right, radius] };
    let step = (extent.width().max(extent.height()) * 0.045).max(8.0);
    let mut s = Sketch::new(extent, step, pointed);
    bench(&mut s, left, front, height);
    if let Some(wheel) = wheel {
        // The arm lies beside the wheel, not in front of it.
        let arm = wheel.arm.as_ref();
        let on_arm = arm.map(|arm| (arm, arm_body(&mut s, arm, -height, arm.reach_most_mm)));
        if flat {
            platen(&mut s, wheel);
        } else {
            round_wheel(&mut s, wheel);
            face(&mut s, wheel, face_left, units);
        }
        if let Some((arm, at)) = on_arm {
            if let Some(mark @ Mark::RimToCup(reach)) = s.pointed() {
                to_cup(&mut s, mark, wheel, at(f64::from(reach) / 10.0, 0.0), units);
            }
            travel(&mut s, arm, at, units);
        }
        if let Some(table) = &wheel.table {
            table_body(&mut s, table, -height);
        }
    }
    s.distance(
        Mark::Of(Q::SpindleHeight),
        [0.0, -height],
        [0.0, 0.0],
        0.0,
        length_text(height, units),
        false,
    );
    let side = if front < 0.0 { -1.0 } else { 1.0 };
    s.distance(
        Mark::Of(Q::BenchFront),
        [0.0, -height],
        [front, -height],
        side * 0.9,
        length_text(front, units),
        false,
    );
    if s.shows(Mark::Stops) {
        // A stop block is as long as the projection it sets.
        for (index, stop) in rig.projection_stops_mm.iter().enumerate() {
            let (low, right) = (-height + step * 1.3 * index as f64, front - 20.0);
            s.add(Role::Holder, rectangle(right - stop, low, right, low + step * 0.8));
            s.remark(Mark::Stops, [right - stop - step * 1.8, low + step * 0.4], length_text(*stop, units));
        }
    }
    s
}

/// The wheel and what stands next to it, larger: where diameters, the table and the arm's zero are measured.
#[must_use]
pub fn close_up(rig: &Rig, wheel: &WheelSaved, units: Units, pointed: Option<Mark>) -> Sketch {
    let flat = wheel.abrasive == AbrasiveSaved::Flat;
    let radius = if flat { 95.0 } else { wheel.diameter_new_mm.max(wheel.diameter_mm) / 2.0 };
    let right = (radius * 1.75).max(table_end(Some(wheel)) + 8.0);
    let low = wheel.arm.as_ref().map_or(-radius, |arm| (arm.zero_z_mm - 12.0).min(-radius));
    let left = if flat { -40.0 } else { -radius };
    let extent = Bounds { min: [left, low], max: [right, radius] };
    let step = (extent.width().max(extent.height()) * 0.06).max(6.0);
    let mut s = Sketch::new(extent, step, pointed);
    let on_arm = wheel.arm.as_ref().map(|arm| {
        // As far as the picture goes: the whole travel is shown beside.
        let slope = Angle::from_degrees(arm.tilt_deg).cos().max(0.2);
        let far = ((right - arm.zero_x_mm) / slope).min(arm.reach_most_mm);
        (arm, arm_body(&mut s, arm, low - step, far))
    });
    if flat {
        platen(&mut s, wheel);
        s.angle(
            Mark::Of(Q::FaceSlope),
            [0.0, 0.0],
            60.0,
            Angle::ZERO,
            Angle::from_degrees(wheel.face_slope_deg),
            units.angle(wheel.face_slope_deg),
            false,
        );
    } else {
        round_wheel(&mut s, wheel);
        diameters(&mut s, wheel, units);
    }
    let beside = [f64::midpoint(left, right), radius + step * 1.2];
    s.remark(
        Mark::Of(Q::SpindleSpeed),
        beside,
        format!("{:.0} turns a minute", rig.grinder.spindle_speed_rpm),
    );
    if let Some(speed) = wheel.marked_speed_m_s {
        s.remark(Mark::Of(Q::MarkedSpeed), beside, format!("marked for {speed} m/s at the rim"));
    }
    if let Some(grit) = wheel.grit {
        s.remark(Mark::Grit, beside, format!("grit {grit}"));
    }
    if flat {
        s.remark(
            Mark::Of(Q::WheelWidth),
            beside,
            format!("{} wide, into the page", length_text(wheel.width_mm, units)),
        );
    }
    if let Some((arm, at)) = on_arm {
        arm_zero(&mut s, arm, at, units);
    }
    if let Some(table) = &wheel.table {
        table_body(&mut s, table, wheel.arm.as_ref().map_or(low - step, |arm| arm.zero_z_mm));
        table_dimensions(&mut s, table, units);
        if let Some(mark @ Mark::RimToTable(tilt)) = s.pointed() {
            let tilt_deg = f64::from(tilt) / 10.0;
            s.add(Role::Table, plate(table, tilt_deg));
            let front = on_table(table, tilt_deg)(-table.front_mm, table.surface_offset_mm);
            from_rim(&mut s, mark, wheel, front, units);
        }
    }
    s
}

fn table_end(wheel: Option<&WheelSaved>) -> f64 {
    wheel.and_then(|wheel| wheel.table.as_ref()).map_or(0.0, |table| table.hinge_x_mm + table.rear_mm)
}

fn bench(s: &mut Sketch, left: f64, front: f64, height: f64) {
    let left = left.min(front - 40.0);
    s.add(Role::Bench, rectangle(left, -height - BENCH_TOP_MM, front, -height));
    // The grinder's foot.
    let foot = (height * 0.2).min(40.0);
    s.add(
        Role::TablePost,
        Geometry::Outline(vec![
            [-foot * 1.3, -height],
            [foot * 1.3, -height],
            [foot * 0.7, -height * 0.2],
            [-foot * 0.7, -height * 0.2],
        ]),
    );
}

fn round_wheel(s: &mut Sketch, wheel: &WheelSaved) {
    let circle = |diameter: f64| Geometry::Circle { centre: [0.0, 0.0], radius: diameter / 2.0 };
    let centre = [0.0, 0.0];
    s.add(Role::WheelNew, circle(wheel.diameter_new_mm));
    s.add(Role::Wheel, circle(wheel.diameter_mm));
    s.add(Role::WheelLeast, circle(wheel.diameter_least_mm));
    s.add(Role::Spindle, Geometry::Circle { centre, radius: (wheel.diameter_mm * 0.1).min(16.0) });
    s.add(Role::Spindle, Geometry::Circle { centre, radius: 3.0 });
    let turn = wheel.diameter_mm * 0.36;
    let (start, sweep) = (Angle::from_degrees(150.0), Angle::from_degrees(-50.0));
    s.add(Role::Rotation, Geometry::Arc { centre, radius: turn, start, sweep });
    let end = start + sweep;
    s.add(
        Role::Rotation,
        Geometry::Mark {
            at: [turn * end.cos(), turn * end.sin()],
            direction: end - Angle::QUARTER,
            mark: Sign::Arrow,
        },
    );
    s.guide([-wheel.diameter_new_mm * 0.57, 0.0], [wheel.diameter_new_mm * 0.57, 0.0]);
    s.guide([0.0, -wheel.diameter_new_mm * 0.57], [0.0, wheel.diameter_new_mm * 0.57]);
}

fn diameters(s: &mut Sketch, wheel: &WheelSaved, units: Units) {
    let across = [
        (Q::WheelDiameter, wheel.diameter_mm),
        (Q::WheelDiameterNew, wheel.diameter_new_mm),
        (Q::WheelDiameterLeast, wheel.diameter_least_mm),
    ];
    for (quantity, diameter) in across {
        let r = diameter / 2.0;
        s.glow(Mark::Of(quantity), arc([0.0, 0.0], r, Angle::ZERO, Angle::HALF * 2.0, 96));
        // Above the wheel, so that nothing in front of it is crossed.
        let over = wheel.diameter_new_mm / 2.0 / s.step() + 0.9;
        s.distance(Mark::Of(quantity), [-r, 0.0], [r, 0.0], over, length_text(diameter, units), false);
    }
}

/// The wheel seen from the front, with its width.
fn face(s: &mut Sketch, wheel: &WheelSaved, left: f64, units: Units) {
    let (r, width) = (wheel.diameter_mm / 2.0, wheel.width_mm);
    s.add(Role::Wheel, rectangle(left, -r, left + width, r));
    let new = wheel.diameter_new_mm / 2.0;
    if new > r {
        s.add(Role::WheelNew, segment([left, new], [left + width, new]));
        s.add(Role::WheelNew, segment([left, -new], [left + width, -new]));
    }
    s.guide([left - s.step() * 0.6, 0.0], [left + width + s.step() * 0.6, 0.0]);
    s.distance(
        Mark::Of(Q::WheelWidth),
        [left, new],
        [left + width, new],
        0.9,
        length_text(width, units),
        false,
    );
}

/// A belt on a platen, or a flat stone: its face runs through the origin.
fn platen(s: &mut Sketch, wheel: &WheelSaved) {
    let (sin, cos) = Angle::from_degrees(wheel.face_slope_deg).sin_cos();
    let at = |along: f64, deep: f64| [-sin * along - cos * deep, cos * along - sin * deep];
    s.add(
        Role::Spindle,
        Geometry::Outline(vec![at(-75.0, 4.0), at(75.0, 4.0), at(75.0, 22.0), at(-75.0, 22.0)]),
    );
    s.add(Role::Wheel, Geometry::Outline(vec![at(-90.0, 0.0), at(90.0, 0.0), at(90.0, 4.0), at(-90.0, 4.0)]));
    s.guide([0.0, 0.0], [90.0, 0.0]);
}

/// A point of an arm: a reach along it, and how far above its upper side.
fn on_arm(arm: &ArmSaved) -> impl Fn(f64, f64) -> Point + use<> {
    let zero = [arm.zero_x_mm, arm.zero_z_mm];
    let (sin, cos) = Angle::from_degrees(arm.tilt_deg).sin_cos();
    move |reach, up| [zero[0] + reach * cos - up * sin, zero[1] + reach * sin + up * cos]
}

/// The arm as far as a reach, on its post; returns where its points lie.
fn arm_body(s: &mut Sketch, arm: &ArmSaved, bench: f64, far: f64) -> impl Fn(f64, f64) -> Point + use<> {
    let at = on_arm(arm);
    let (least, most) = (arm.reach_least_mm, arm.reach_most_mm);
    let start = least.min(0.0);
    let foot = at(18.0, -6.0);
    if foot[1] > bench + 1.0 {
        s.add(Role::TablePost, rectangle(foot[0] - 5.0, bench, foot[0] + 5.0, foot[1]));
    }
    let far = far.max(start + 1.0);
    s.add(Role::Arm, Geometry::Outline(vec![at(start, -6.0), at(far, -6.0), at(far, 0.0), at(start, 0.0)]));
    // Where the cup can stand.
    let cup = |reach: f64| {
        Geometry::Outline(vec![
            at(reach - 8.0, -2.0),
            at(reach + 8.0, -2.0),
            at(reach + 8.0, 3.5),
            at(reach - 8.0, 3.5),
        ])
    };
    for reach in [least, most] {
        if reach <= far {
            s.add(Role::Cup, cup(reach));
        }
    }
    at
}

/// From the nearest point of the rim to a point in front of the wheel.
fn from_rim(s: &mut Sketch, mark: Mark, wheel: &WheelSaved, to: Point, units: Units) {
    let (r, far) = (wheel.diameter_mm / 2.0, to[0].hypot(to[1]).max(1e-6));
    let rim = [to[0] * r / far, to[1] * r / far];
    s.guide([0.0, 0.0], rim);
    s.distance(mark, rim, to, 0.0, length_text(far - r, units), false);
}

/// The way from the rim to the cup.
fn to_cup(s: &mut Sketch, mark: Mark, wheel: &WheelSaved, pivot: Point, units: Units) {
    s.add(Role::Cup, rectangle(pivot[0] - 8.0, pivot[1] - 5.0, pivot[0] + 8.0, pivot[1] + 1.0));
    from_rim(s, mark, wheel, pivot, units);
}

fn arm_zero(s: &mut Sketch, arm: &ArmSaved, at: impl Fn(f64, f64) -> Point, units: Units) {
    let zero = [arm.zero_x_mm, arm.zero_z_mm];
    s.add(Role::Dimension, segment(at(0.0, -10.0), at(0.0, 10.0)));
    s.distance(Mark::Of(Q::ArmZeroX), [0.0, zero[1]], zero, -1.6, length_text(zero[0], units), false);
    s.glow(Mark::Of(Q::ArmZeroX), vec![[0.0, 0.0], [0.0, zero[1] - s.step() * 1.6]]);
    let aside = if zero[0] >= 0.0 { 1.6 } else { -1.6 };
    s.distance(Mark::Of(Q::ArmZeroZ), [zero[0], 0.0], zero, aside, length_text(zero[1], units), false);
    s.glow(Mark::Of(Q::ArmZeroZ), vec![[0.0, 0.0], [zero[0] + s.step() * aside, 0.0]]);
}

fn travel(s: &mut Sketch, arm: &ArmSaved, at: impl Fn(f64, f64) -> Point, units: Units) {
    let zero = [arm.zero_x_mm, arm.zero_z_mm];
    s.distance(
        Mark::Of(Q::ReachLeast),
        zero,
        at(arm.reach_least_mm, 0.0),
        0.9,
        length_text(arm.reach_least_mm, units),
        false,
    );
    s.distance(
        Mark::Of(Q::ReachMost),
        zero,
        at(arm.reach_most_mm, 0.0),
        0.9,
        length_text(arm.reach_most_mm, units),
        false,
    );
    let radius = (arm.reach_most_mm * 0.5).clamp(60.0, 240.0);
    let tilt = Angle::from_degrees(arm.tilt_deg);
    s.angle(Mark::Of(Q::ArmTilt), zero, radius, Angle::ZERO, tilt, units.angle(arm.tilt_deg), false);
}

/// A point of a table at a tilt: along it from the hinge towards the operator, and above the hinge.
fn on_table(table: &TableSaved, tilt_deg: f64) -> impl Fn(f64, f64) -> Point + use<> {
    let hinge = [table.hinge_x_mm, table.hinge_z_mm];
    let (sin, cos) = Angle::from_degrees(tilt_deg).sin_cos();
    move |along, up| [hinge[0] + along * cos - up * sin, hinge[1] + along * sin + up * cos]
}

fn plate(table: &TableSaved, tilt_deg: f64) -> Geometry {
    let at = on_table(table, tilt_deg);
    let (top, low) = (table.surface_offset_mm, table.surface_offset_mm - 5.0);
    let (front, rear) = (-table.front_mm, table.rear_mm);
    Geometry::Outline(vec![at(front, top), at(rear, top), at(rear, low), at(front, low)])
}

/// The tilt at which a table is drawn: level, or as near to it as it goes.
fn drawn_tilt(table: &TableSaved) -> f64 {
    0.0_f64.max(table.tilt_least_deg).min(table.tilt_most_deg)
}

fn table_body(s: &mut Sketch, table: &TableSaved, foot: f64) {
    let hinge = [table.hinge_x_mm, table.hinge_z_mm];
    if hinge[1] > foot + 10.0 {
        s.add(Role::TablePost, rectangle(hinge[0] + 1.0, foot, hinge[0] + 11.0, hinge[1] - 3.0));
    }
    s.add(Role::Table, plate(table, drawn_tilt(table)));
    s.add(Role::Spindle, Geometry::Circle { centre: hinge, radius: 2.6 });
}

fn table_dimensions(s: &mut Sketch, table: &TableSaved, units: Units) {
    let hinge = [table.hinge_x_mm, table.hinge_z_mm];
    for (quantity, tilt) in
        [(Q::TableTiltLeast, table.tilt_least_deg), (Q::TableTiltMost, table.tilt_most_deg)]
    {
        if s.shows(Mark::Of(quantity)) {
            s.add(Role::Table, plate(table, tilt));
            if let Some(shape) = s.drawing.shapes.last_mut() {
                shape.standing = Standing::Ghost;
            }
            let radius = table.rear_mm.max(30.0) * 0.8;
            s.angle(
                Mark::Of(quantity),
                hinge,
                radius,
                Angle::ZERO,
                Angle::from_degrees(tilt),
                units.angle(tilt),
                false,
            );
        }
    }
    let at = on_table(table, drawn_tilt(table));
    s.distance(Mark::Of(Q::HingeX), [0.0, hinge[1]], hinge, 1.6, length_text(hinge[0], units), false);
    s.glow(Mark::Of(Q::HingeX), vec![[0.0, 0.0], [0.0, hinge[1] + s.step() * 1.6]]);
    s.distance(Mark::Of(Q::HingeZ), [hinge[0], 0.0], hinge, -2.2, length_text(hinge[1], units), false);
    s.glow(Mark::Of(Q::HingeZ), vec![[0.0, 0.0], [hinge[0] + s.step() * 2.2, 0.0]]);
    let top = table.surface_offset_mm;
    s.distance(Mark::Of(Q::SurfaceOffset), at(0.0, 0.0), at(0.0, top), -2.2, length_text(top, units), false);
    s.distance(
        Mark::Of(Q::TableFront),
        at(-table.front_mm, top),
        at(0.0, top),
        1.2,
        length_text(table.front_mm, units),
        false,
    );
    s.distance(
        Mark::Of(Q::TableRear),
        at(0.0, top),
        at(table.rear_mm, top),
        1.2,
        length_text(table.rear_mm, units),
        false,
    );
}
