//! What a job runs into, against points sampled along everything that could.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{
        Abrasive, Arm, Bar, Blank, Face, FluteShape, Grinder, Holder, HolderSpec, Table, TableSpec, Tool,
        Travel, WIDEST_REST_GAP_MM, Wheel, WheelSpec,
    },
    side::{Caution, Job, Refusal, Support},
};

use crate::{
    brute::{Pose, outside, pose},
    random::{Random, angle_travel, answered},
};

fn job(r: &mut Random) -> Job {
    let setting = answered(r);
    let (abrasive, diameter_mm, face_slope) = match setting.face {
        Face::Round { radius_mm } => (Abrasive::Friable, 2.0 * radius_mm, Angle::ZERO),
        Face::Flat { normal } => (Abrasive::Flat, 300.0, normal),
    };
    let wheel = Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: diameter_mm + 1.0,
        diameter_least_mm: diameter_mm * 0.5,
        width_mm: 40.0,
        abrasive,
        marked_speed_m_s: None,
        face_slope,
    })
    .unwrap();
    let grinder = Grinder::new(1_450.0, r.between(120.0, 320.0), r.between(-60.0, 400.0)).unwrap();
    let bar = Bar::new(13.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -3.0).unwrap();
    let length = r.between(350.0, 600.0);
    let tool = Tool::new(Blank::Bar(bar), length, r.between(100.0, 300.0), None).unwrap();
    Job { setting, wheel, grinder, tool, rest_gap_most_mm: WIDEST_REST_GAP_MM, roll: None }
}

/// The job's answer as if nothing had a travel.
fn free_of_travel(mut job: Job) -> Job {
    let everywhere = Travel { least_mm: -9_000.0, most_mm: 9_000.0 };
    let unrestricted = |arm: Arm| Arm::new(arm.zero_in_bench(), arm.tilt(), everywhere).unwrap();
    match &mut job.setting.support {
        Support::Handle { arm, .. } => *arm = unrestricted(*arm),
        Support::Holder { arm, holder, .. } => {
            *arm = unrestricted(*arm);
            let spec = HolderSpec { strut_angle: angle_travel(-30.0, 180.0), ..*holder.spec() };
            *holder = Holder::new(spec).unwrap();
        }
        Support::Table { table, .. } => {
            let spec = TableSpec { tilt: angle_travel(-90.0, 90.0), ..*table.spec() };
            *table = Table::new(spec).unwrap();
        }
    }
    job
}

/// How deep the deepest of many points between two ends lies in the abrasive.
fn deepest(face: Face, from: DVec2, to: DVec2) -> f64 {
    (0..=1_000)
        .map(|i| -outside(face, from.lerp(to, f64::from(i) / 1_000.0)))
        .fold(f64::NEG_INFINITY, f64::max)
}

/// What sampled points run into, in the order of the checks: body, strut, bench.
fn found_by_points(job: &Job, stands: &Pose) -> [f64; 3] {
    let fraction = job.setting.foreshortening();
    let put = |s: f64, h: f64| stands.bench_from_edge(s * fraction, h - job.setting.edge.height_mm);
    let (mut body, mut strut) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut length = job.tool.overall_length_mm();
    match job.setting.support {
        Support::Holder { holder, projection_mm, strut_angle, .. } => {
            let spec = holder.spec();
            let (front, rear) = (projection_mm, projection_mm + spec.body_length_mm);
            let half = spec.body_height_mm / 2.0;
            let corners = [put(front, half), put(rear, half), put(rear, -half), put(front, -half)];
            for i in 0..4 {
                body = body.max(deepest(job.setting.face, corners[i], corners[(i + 1) % 4]));
            }
            let hinge = (projection_mm + spec.hinge_setback_mm, -spec.hinge_drop_mm);
            let turn = strut_angle.radians();
            let end =
                (hinge.0 + spec.strut_length_mm * turn.cos(), hinge.1 - spec.strut_length_mm * turn.sin());
            strut = deepest(job.setting.face, put(hinge.0, hinge.1), put(end.0, end.1));
        }
        Support::Handle { tool_length_mm, .. } => length = tool_length_mm,
        Support::Table { .. } => {}
    }
    let (from, to) = (put(0.0, 0.0), put(length, 0.0));
    let lowest = (0..=8_000)
        .map(|i| from.lerp(to, f64::from(i) / 8_000.0))
        .filter(|point| point.x <= job.grinder.bench_front_mm())
        .map(|point| point.y)
        .fold(f64::INFINITY, f64::min);
    [body, strut, -job.grinder.spindle_height_mm() - lowest]
}

/// Independent method: points along the body's outline, the strut and the tool's axis.
#[test]
fn job_is_stopped_by_what_sampled_points_run_into() {
    let mut r = Random::new(31);
    let mut seen = [0; 5];
    for round in 0..30_000 {
        let mut job = free_of_travel(job(&mut r));
        if let Support::Holder { holder, projection_mm, strut_angle, .. } = &mut job.setting.support
            && round % 8 > 0
        {
            // Mostly long struts that lean towards a large wheel: the rarest thing to be stopped by.
            *projection_mm = r.between(40.0, 90.0);
            *strut_angle = r.degrees(100.0, 170.0);
            let spec =
                HolderSpec { strut_length_mm: r.between(90.0, 150.0), body_height_mm: 3.0, ..*holder.spec() };
            *holder = Holder::new(spec).unwrap();
            job.setting.face = Face::Round { radius_mm: 150.0 };
        } else if round % 8 > 0 {
            continue;
        }
        if job.setting.evaluate().is_err() {
            continue;
        }
        let Some(stands) = pose(&job.setting) else { continue };
        let [body, strut, bench] = found_by_points(&job, &stands);
        let close = [body, strut, bench].iter().any(|depth| depth.abs() < 0.2);
        if close {
            continue;
        }
        match job.evaluate() {
            Ok(_) => {
                assert!(body < 0.0 && strut < 0.0 && bench < 0.0, "{body} {strut} {bench} {job:?}");
                seen[0] += 1;
            }
            Err(Refusal::HolderInWheel { by_mm }) => {
                assert_relative_eq!(by_mm, body, epsilon = 0.1);
                seen[1] += 1;
            }
            Err(Refusal::StrutInWheel { by_mm }) => {
                assert_relative_eq!(by_mm, strut, epsilon = 0.1);
                assert!(body < 0.0);
                seen[2] += 1;
            }
            Err(Refusal::HandleThroughBench { by_mm }) => {
                assert_relative_eq!(by_mm, bench, epsilon = 0.1);
                assert!(body < 0.0 && strut < 0.0);
                seen[3] += 1;
            }
            Err(Refusal::ProjectionBeyondBlade { projection_mm, most_mm }) => {
                assert!(projection_mm > most_mm);
                seen[4] += 1;
            }
            Err(other) => panic!("{other:?}: {job:?}"),
        }
    }
    assert!(seen.iter().all(|n| *n > 10), "{seen:?}");
}

/// Where the contact is, in words: low, under the guard, behind the top, or none of these.
#[test]
fn cautions_name_the_quarter_of_the_wheel() {
    let mut r = Random::new(33);
    let mut seen = [0; 4];
    for _ in 0..5_000 {
        let job = free_of_travel(job(&mut r));
        let Face::Round { radius_mm } = job.setting.face else { continue };
        let Ok(view) = job.evaluate() else { continue };
        let reported = job.cautions(&view);
        let contact = view.contact_in_bench;
        let degrees = contact.y.atan2(contact.x).to_degrees();
        let low = reported.iter().any(|c| matches!(c, Caution::ContactLow { .. }));
        let behind = reported
            .iter()
            .any(|c| matches!(c, Caution::ContactBehindTop { behind } if behind.degrees() > 0.0));
        let guard = reported.iter().any(|c| matches!(c, Caution::ContactUnderGuard { .. }));
        assert_eq!(low, contact.y < -0.1 * radius_mm, "{degrees}");
        assert_eq!(behind, contact.x < 0.0 && !low, "{degrees}");
        assert_eq!(guard, (65.0..=90.0).contains(&degrees), "{degrees}");
        seen[[low, behind, guard, true].iter().position(|x| *x).unwrap()] += 1;
        let warnings = reported.iter().take_while(|c| c.is_warning()).count();
        assert!(reported[warnings..].iter().all(|c| !c.is_warning()));
    }
    assert!(seen.iter().all(|n| *n > 10), "{seen:?}");
}
