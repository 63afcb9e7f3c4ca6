//! Clearances over the swing, against the collision library parry, and against what a job refuses.

use bevelbench_geometry::{
    DVec2, DVec3,
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, FluteShape, Grinder, Holder, HolderSpec, Presentation, Table,
        TableSpec, Tool, Travel, Wheel, WheelSpec,
    },
    side::{Job, Setting, SideView, Support, Target},
    space::{Body, Guard, Moved, Obstacle, RestGap, Solid, Surroundings, SwingAt, clearance::ACCURACY_MM},
    swept::{RollLine, Swing},
};
use parry3d_f64::{
    math::{Pose, Rotation, Vector},
    query,
    shape::{Capsule, Cuboid, Cylinder, Segment, Shape},
};

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn vector(p: DVec3) -> Vector {
    Vector::new(p.x, p.y, p.z)
}

/// The same solid in parry's shapes.
fn parry(solid: &Solid) -> (Pose, Box<dyn Shape>) {
    match *solid {
        Solid::Rod { ends, radius_mm } if radius_mm > 0.0 => {
            (Pose::IDENTITY, Box::new(Capsule::new(vector(ends[0]), vector(ends[1]), radius_mm)))
        }
        Solid::Rod { ends, .. } => (Pose::IDENTITY, Box::new(Segment::new(vector(ends[0]), vector(ends[1])))),
        Solid::Block { centre, axes, half_mm } => {
            let turn = turn_of(axes);
            (Pose::from_parts(vector(centre), turn), Box::new(Cuboid::new(vector(half_mm))))
        }
        Solid::Disc { radius_mm, half_width_mm } => {
            (Pose::IDENTITY, Box::new(Cylinder::new(half_width_mm, radius_mm)))
        }
    }
}

/// The rotation whose columns are a block's axes; a left-handed set is turned over, which a block does not notice.
fn turn_of(axes: [DVec3; 3]) -> Rotation {
    let [a, b, c] = axes;
    let c = if a.cross(b).dot(c) < 0.0 { -c } else { c };
    Rotation::from_mat3(&parry3d_f64::math::Matrix::from_cols(vector(a), vector(b), vector(c)))
}

fn parry_gap(one: &Solid, other: &Solid) -> f64 {
    let ((pose, shape), (other_pose, other_shape)) = (parry(one), parry(other));
    query::distance(&pose, shape.as_ref(), &other_pose, other_shape.as_ref()).unwrap().distance
}

/// A small generator of its own, so that a failure can be found again.
struct Random(u64);

impl Random {
    fn between(&mut self, least: f64, most: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        least + (most - least) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }

    fn point(&mut self, within: f64) -> DVec3 {
        DVec3::new(
            self.between(-within, within),
            self.between(-within, within),
            self.between(-within, within),
        )
    }

    fn solid(&mut self) -> Solid {
        match self.between(0.0, 4.0) as u32 {
            0 => Solid::Rod {
                ends: [self.point(150.0), self.point(150.0)],
                radius_mm: self.between(0.5, 20.0),
            },
            1 => Solid::Rod { ends: [self.point(150.0), self.point(150.0)], radius_mm: 0.0 },
            2 => Solid::Disc { radius_mm: self.between(30.0, 120.0), half_width_mm: self.between(5.0, 40.0) },
            _ => {
                let a = self.point(1.0).normalize();
                let b = a.cross(self.point(1.0)).normalize();
                let half_mm =
                    DVec3::new(self.between(1.0, 60.0), self.between(1.0, 60.0), self.between(1.0, 60.0));
                Solid::Block { centre: self.point(200.0), axes: [a, b, a.cross(b)], half_mm }
            }
        }
    }
}

/// Against parry, pair by pair.
#[test]
fn gaps_of_single_solids_are_those_of_a_collision_library() {
    let mut random = Random(7);
    let (mut apart, mut meeting) = (0, 0);
    for round in 0..4000 {
        let (one, other) = (random.solid(), random.solid());
        let ours = one.gap(&other);
        let theirs = parry_gap(&one, &other);
        if theirs > 0.0 {
            apart += 1;
            assert!(
                (ours.mm - theirs).abs() < 1e-4 * (1.0 + theirs),
                "{round}: {} {theirs} {one:?} {other:?}",
                ours.mm
            );
            let between = ours.on_first.distance(ours.on_second);
            assert!((between - ours.mm).abs() < 1e-6, "{round}: {between} {}", ours.mm);
        } else {
            meeting += 1;
            assert!(ours.mm < 1e-4, "{round}: {} but they meet", ours.mm);
        }
    }
    assert!(apart > 1000 && meeting > 500, "{apart} {meeting}");
}

fn gouge(roll_half_deg: f64, tool_length: f64) -> (Job, SideView, Moved) {
    let wheel = Wheel::new(WheelSpec {
        diameter_mm: 150.0,
        diameter_new_mm: 150.0,
        diameter_least_mm: 100.0,
        width_mm: 25.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: None,
        face_slope: Angle::ZERO,
    })
    .unwrap();
    let bar = Bar::new(13.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -3.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), tool_length, 190.0, None).unwrap();
    let arm =
        Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 400.0 }).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 5.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: deg(0.0), most: deg(120.0) },
        body_length_mm: 30.0,
        body_height_mm: 24.0,
    })
    .unwrap();
    let support =
        Support::Holder { arm, holder, reach_mm: 150.0, projection_mm: 45.0, strut_angle: deg(45.0) };
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support,
    };
    let setting =
        setting.find(Target::AtEdge(deg(45.0)), Quantity::Reach).unwrap().nearest(150.0).unwrap().setting;
    let job = Job {
        setting,
        wheel,
        grinder: Grinder::new(1500.0, 260.0, 200.0).unwrap(),
        tool,
        rest_gap_most_mm: 3.0,
        roll: None,
    };
    let view = job.evaluate().unwrap();
    let line = RollLine::through(setting.pivot().unwrap().1, 0.0).unwrap();
    let swing = Swing::to_either_side(deg(roll_half_deg)).unwrap();
    (job, view, Moved::Rolled { line, swing })
}

fn guard() -> Guard {
    Guard::new(84.0, deg(-40.0), deg(65.0), 60.0).unwrap()
}

/// Against parry at two thousand places of the swing, every pair.
#[test]
fn least_gaps_over_the_swing_are_those_of_a_dense_scan_with_a_collision_library() {
    for (half, length) in [(80.0, 480.0), (110.0, 560.0)] {
        let (job, view, moved) = gouge(half, length);
        let all = Surroundings::of(&job, &view, moved, Some(&guard()));
        let reported = all.clearances();
        assert_eq!(reported.len(), 13);
        for one in &reported {
            let still = all.still().iter().find(|(body, _)| *body == one.body);
            let pieces = &all.obstacles().iter().find(|(what, _)| *what == one.obstacle).unwrap().1;
            let at = |x: f64| {
                let solid = still.map_or_else(
                    || all.moving_at(x).find(|(body, _)| *body == one.body).unwrap().1,
                    |(_, solid)| *solid,
                );
                pieces.iter().map(|piece| parry_gap(&solid, piece)).fold(f64::INFINITY, f64::min)
            };
            let reach = deg(half).radians();
            let least =
                (0..=400).map(|i| at(reach * (f64::from(i) / 200.0 - 1.0))).fold(f64::INFINITY, f64::min);
            // The scan may miss by what a body moves between two of its places.
            let seen = one.gap_mm.max(0.0);
            assert!(seen <= least + ACCURACY_MM, "{one:?} {least}");
            assert!(seen >= least - 2.0, "{one:?} {least}");
            // And at the place told the library finds the gap told.
            if let SwingAt::Rolled(roll) = one.at {
                assert!((at(roll.radians()) - seen).abs() < 1e-3, "{one:?} {}", at(roll.radians()));
            }
        }
        assert!(reported.windows(2).all(|two| two[0].gap_mm <= two[1].gap_mm));
    }
}

/// Derived here: upright the solids lie where the job's own collisions see them.
#[test]
fn upright_the_solids_are_those_of_the_job() {
    let (job, view, moved) = gouge(80.0, 480.0);
    let all = Surroundings::of(&job, &view, moved, None);
    let corners = job.holder_corners_in_bench(&view).unwrap();
    let [hinge, pivot] = job.strut_in_bench(&view).unwrap();
    for (body, solid) in all.moving_at(0.0) {
        match (body, solid) {
            (Body::Holder, Solid::Block { centre, .. }) => {
                let middle = corners.into_iter().sum::<DVec2>() / 4.0;
                assert!((centre - DVec3::new(middle.x, 0.0, middle.y)).length() < 1e-9);
            }
            (Body::Strut, Solid::Rod { ends, .. }) => {
                assert!((ends[0] - DVec3::new(hinge.x, 0.0, hinge.y)).length() < 1e-9);
                assert!((ends[1] - DVec3::new(pivot.x, 0.0, pivot.y)).length() < 1e-9);
            }
            _ => {}
        }
    }
    // The pivot does not move, however far the tool is rolled.
    for roll in [-80.0, -20.0, 55.0] {
        let strut = all.moving_at(deg(roll).radians()).find(|(body, _)| *body == Body::Strut).unwrap().1;
        let Solid::Rod { ends, .. } = strut else { panic!() };
        assert!((ends[1] - DVec3::new(pivot.x, 0.0, pivot.y)).length() < 1e-9);
    }
}

/// Derived here: a swing that goes further comes no less near, and a symmetric one comes as near on both sides.
#[test]
fn a_wider_swing_comes_no_less_near() {
    let gaps = |half: f64| {
        let (job, view, moved) = gouge(half, 480.0);
        let mut reported = Surroundings::of(&job, &view, moved, Some(&guard())).clearances();
        reported.sort_by_key(|one| (one.body, one.obstacle));
        reported
    };
    let (narrow, wide) = (gaps(20.0), gaps(90.0));
    for (a, b) in narrow.iter().zip(&wide) {
        assert_eq!((a.body, a.obstacle), (b.body, b.obstacle));
        assert!(b.gap_mm <= a.gap_mm + ACCURACY_MM, "{a:?} {b:?}");
    }
    assert!(wide.iter().any(|one| matches!(one.at, SwingAt::Rolled(roll) if roll.abs().degrees() > 45.0)));
}

#[test]
fn a_handle_through_the_bench_is_met_as_the_job_refuses_it() {
    let (job, view, moved) = gouge(30.0, 480.0);
    let low = Job { grinder: Grinder::new(1500.0, 130.0, 400.0).unwrap(), ..job };
    assert!(low.evaluate().is_err());
    let reported = Surroundings::of(&low, &view, moved, None).clearances();
    let handle =
        reported.iter().find(|one| one.body == Body::Handle && one.obstacle == Obstacle::Bench).unwrap();
    assert!(handle.gap_mm <= 0.0, "{handle:?}");
}

fn on_table(tilt: f64) -> Job {
    let (job, ..) = gouge(80.0, 480.0);
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(112.0, -14.0),
        surface_offset_mm: 12.0,
        front_mm: 35.0,
        rear_mm: 55.0,
        tilt: AngleTravel { least: deg(-45.0), most: deg(60.0) },
    })
    .unwrap();
    Job { setting: Setting { support: Support::Table { table, tilt: deg(tilt) }, ..job.setting }, ..job }
}

/// By sampling: the front edge against the rim, at the tilts told and just beyond them.
#[test]
fn rest_gap_is_reported_both_ways() {
    for tilt in [-3.0, 0.0, 4.0] {
        let job = on_table(tilt);
        let reported = RestGap::of(&job, 3.0).unwrap();
        let gap = |tilt: f64| {
            let Support::Table { table, .. } = job.setting.support else { panic!() };
            let [front, rear] = table.surface_in_bench(deg(tilt));
            (0..=2000)
                .map(|i| front.lerp(rear, f64::from(i) / 2000.0).length() - 75.0)
                .fold(f64::INFINITY, f64::min)
        };
        assert!((reported.now_mm - gap(tilt)).abs() < 1e-6, "{tilt}");
        // Worn by 25 mm of radius the gap is wider by at most that.
        let worn = reported.worn_mm.unwrap();
        assert!(worn > reported.now_mm && worn <= reported.now_mm + 25.0 + 1e-9);
        for caught in reported.catches.into_iter().flatten() {
            let way = (caught.degrees() - tilt).signum();
            assert!(gap(caught.degrees() + 0.01 * way) <= 1e-6 && gap(caught.degrees() - 0.01 * way) > 0.0);
        }
        if let Some([low, high]) = reported.allowed {
            assert!(low.degrees() <= tilt && high.degrees() >= tilt);
            for fraction in [0.001, 0.3, 0.7, 0.999] {
                let within = gap(low.degrees() + (high.degrees() - low.degrees()) * fraction);
                assert!(within > 0.0 && within <= 3.0 + 1e-4, "{within}");
            }
        }
    }
    let (pivoted, ..) = gouge(80.0, 480.0);
    assert_eq!(RestGap::of(&pivoted, 3.0), None);
}

#[test]
fn a_guard_the_wrong_way_round_is_refused() {
    assert!(Guard::new(84.0, deg(65.0), deg(-40.0), 60.0).is_err());
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        assert!(Guard::new(bad, deg(-40.0), deg(65.0), 60.0).is_err());
        assert!(Guard::new(84.0, deg(bad * 1e9), deg(65.0), 60.0).is_err());
        assert!(Guard::new(84.0, deg(-40.0), deg(65.0), bad).is_err());
    }
}
