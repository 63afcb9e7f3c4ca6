//! The sketch of a holder on a tool: where its hinge, its strut and its body are measured.

use bevelbench_geometry::math::{Angle, Quantity as Q};

use crate::{
    drawing::{
        Bounds, Geometry, Mark as Sign, Point, Role,
        sketch::{
            lines::{Sketch, rectangle},
            mark::Mark,
        },
    },
    quantity::{Units, to_type::length_text},
    saved::HolderSaved,
};

/// A holder on a bar, its front face at the left.
#[must_use]
pub fn holder(holder: &HolderSaved, units: Units, pointed: Option<Mark>) -> Sketch {
    let (length, tall) = (holder.body_length_mm, holder.body_height_mm);
    let hinge = [holder.hinge_setback_mm, -holder.hinge_drop_mm];
    let strut = holder.strut_length_mm;
    let (least, most) = (holder.strut_angle_least_deg, holder.strut_angle_most_deg);
    let pivot = |degrees: f64| -> Point {
        let (sin, cos) = Angle::from_degrees(degrees).sin_cos();
        [hinge[0] + strut * cos, hinge[1] - strut * sin]
    };
    let reach = Bounds::around([
        pivot(least),
        pivot(most),
        pivot(90.0),
        hinge,
        [-length * 0.9, tall / 2.0],
        [length * 1.9, -tall / 2.0],
    ]);
    let extent = reach.unwrap_or(Bounds { min: [-40.0, -80.0], max: [100.0, 20.0] });
    let step = (extent.width().max(extent.height()) * 0.055).max(3.0);
    let mut s = Sketch::new(extent, step, pointed);
    let bar = tall * 0.23;
    s.add(
        Role::Tool,
        Geometry::Outline(vec![
            [-length * 0.9, -bar * 0.2],
            [-length * 0.9 + bar * 1.5, bar],
            [length * 1.9, bar],
            [length * 1.9, -bar],
            [-length * 0.9 + bar * 2.2, -bar],
        ]),
    );
    s.guide([-length, 0.0], [length * 2.0, 0.0]);
    s.add(Role::Holder, rectangle(0.0, -tall / 2.0, length, tall / 2.0));

    // The strut half way, where it goes from there, and the rests.
    let sweep = Angle::from_degrees(least - most);
    s.add(
        Role::Construction,
        Geometry::Arc { centre: hinge, radius: strut, start: Angle::from_degrees(-least), sweep },
    );
    for &rest in &holder.rests_deg {
        let at = pivot(rest);
        let role = if s.shows(Mark::Rests) { Role::Gauge } else { Role::Construction };
        s.add(role, Geometry::Mark { at, direction: Angle::ZERO, mark: Sign::Ring });
        if s.shows(Mark::Rests) {
            let (sin, cos) = Angle::from_degrees(-rest).sin_cos();
            let far = strut + step * 1.2;
            s.remark(Mark::Rests, [hinge[0] + far * cos, hinge[1] + far * sin], units.angle(rest));
        }
    }
    let shown = if s.shows(Mark::Of(Q::StrutAngleLeast)) {
        least
    } else if s.shows(Mark::Of(Q::StrutAngleMost)) {
        most
    } else if let Some(Mark::FaceToStrut(angle)) = s.pointed() {
        f64::from(angle) / 10.0
    } else {
        f64::midpoint(least, most)
    };
    let end = pivot(shown);
    let (sin, cos) = Angle::from_degrees(-shown).sin_cos();
    let half = (strut * 0.03).clamp(1.2, 3.0);
    let beside = |p: Point, by: f64| [p[0] - sin * by, p[1] + cos * by];
    s.add(
        Role::Strut,
        Geometry::Outline(vec![
            beside(hinge, half),
            beside(end, half),
            beside(end, -half),
            beside(hinge, -half),
        ]),
    );
    s.add(Role::Spindle, Geometry::Circle { centre: hinge, radius: half * 1.5 });
    s.add(Role::Pivot, Geometry::Circle { centre: end, radius: half * 1.3 });
    dimensions(&mut s, holder, units, hinge, end);
    if let Some(mark @ Mark::FaceToStrut(_)) = s.pointed() {
        s.distance(mark, [0.0, 0.0], end, 0.0, length_text(end[0].hypot(end[1]), units), false);
    }
    s
}

fn dimensions(s: &mut Sketch, holder: &HolderSaved, units: Units, hinge: Point, end: Point) {
    let (length, tall) = (holder.body_length_mm, holder.body_height_mm);
    let (least, most) = (holder.strut_angle_least_deg, holder.strut_angle_most_deg);
    let (strut, step) = (holder.strut_length_mm, s.step());
    let low = tall / 2.0 / step;
    s.distance(
        Mark::Of(Q::HingeSetback),
        [0.0, 0.0],
        [hinge[0], 0.0],
        low + 1.0,
        length_text(hinge[0], units),
        false,
    );
    s.glow(Mark::Of(Q::HingeSetback), vec![hinge, [hinge[0], tall / 2.0 + step]]);
    s.distance(
        Mark::Of(Q::HingeDrop),
        [hinge[0], 0.0],
        hinge,
        -(hinge[0] + step) / step,
        length_text(holder.hinge_drop_mm, units),
        false,
    );
    s.glow(Mark::Of(Q::HingeDrop), vec![hinge, [-step, hinge[1]]]);
    let alone = !s.shows(Mark::Of(Q::StrutAngleLeast)) && !s.shows(Mark::Of(Q::StrutAngleMost));
    s.distance(Mark::Of(Q::StrutLength), hinge, end, 1.0, length_text(strut, units), alone);
    for (quantity, angle) in [(Q::StrutAngleLeast, least), (Q::StrutAngleMost, most)] {
        s.angle(
            Mark::Of(quantity),
            hinge,
            strut * 0.6,
            Angle::ZERO,
            Angle::from_degrees(-angle),
            units.angle(angle),
            false,
        );
    }
    s.distance(
        Mark::Of(Q::HolderLength),
        [0.0, tall / 2.0],
        [length, tall / 2.0],
        1.0,
        length_text(length, units),
        false,
    );
    s.distance(
        Mark::Of(Q::HolderHeight),
        [length, -tall / 2.0],
        [length, tall / 2.0],
        -1.4,
        length_text(tall, units),
        false,
    );
}
