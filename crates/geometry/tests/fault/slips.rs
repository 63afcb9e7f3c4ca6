//! The size of a slip from what is measured: put in, measured by other means, found again.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    fault::{
        Dip, FaultyGrind, NewFacet, Peak, RollingFault, TwoFacetsSeen, TwoFacetsUnlikely, WingInk,
        WingInkSeen, WingInkVerdict,
    },
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Presentation, Table,
        TableSpec, Travel,
    },
    side::{Setting, Support, Target},
    swept::{
        Edge, EdgeSummary, GrindingFace, GroundSurface, RollLine, Rolled, Settling, Steel, SweptInk, Swing,
        Tip, envelope::Envelope,
    },
};
use glam::DQuat;

const EDGE_MM: f64 = -4.0;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn steel() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, EDGE_MM).unwrap())
}

fn meant() -> Rolled {
    Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm: EDGE_MM,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::to_either_side(degrees(120.0)).unwrap(),
        turn: Angle::ZERO,
    }
}

#[test]
fn wings_that_differ_tell_how_far_the_gouge_was_turned() {
    for turn in [-6.0, -0.7, 1.2, 3.4, 8.0] {
        // Measured on an edge that the tip page traces, not on the fault's own.
        let surface = GroundSurface::rolled(&Rolled { turn: degrees(turn), ..meant() }).unwrap();
        let summary = EdgeSummary::of(&Edge::trace(&surface, &steel(), 201), &surface, &steel()).unwrap();
        let by = FaultyGrind::turned_behind(&meant(), &steel(), summary.wing_difference_mm()).unwrap();
        assert_relative_eq!(by.found().unwrap().degrees(), turn, epsilon = 1e-6);
    }
    let far = FaultyGrind::turned_behind(&meant(), &steel(), 500.0).unwrap();
    assert!(far.found().is_none(), "{far:?}");
}

/// The setback of a wheel standing at a roll angle, nodded further: turned by quaternions in space, the tool's ray met
/// with the cylinder by halving.
fn standing_by_turning(w: f64, h: f64, roll: Angle, nod: Angle) -> f64 {
    let grind = meant();
    let lift = |v: DVec2| DVec3::new(v.x, v.y, 0.0);
    let (anchor, along) = (lift(grind.line.centre_in_tool()), lift(grind.line.along_in_tool()));
    let pivot = lift(grind.line.pivot_in_tool());
    let n = DVec2::new(grind.bevel.sin(), grind.bevel.cos());
    let centre = lift(DVec2::new(0.0, EDGE_MM) - 75.0 * n);
    // Into the wheel: the tool's nose goes down, so the wheel's centre comes up about the pivot.
    let nodded = pivot + DQuat::from_axis_angle(DVec3::Z, -nod.radians()) * (centre - pivot);
    let back = DQuat::from_axis_angle(along, roll.radians());
    let inside = |s: f64| {
        let p = anchor + back * (DVec3::new(s, h, w) - anchor);
        p.z.abs() <= 20.0 && p.truncate().distance(nodded.truncate()) < 75.0
    };
    let (mut gone, mut stays) = (-20.0, 60.0);
    assert!(inside(gone) && !inside(stays));
    for _ in 0..60 {
        let middle = f64::midpoint(gone, stays);
        if inside(middle) { gone = middle } else { stays = middle }
    }
    gone
}

#[test]
fn flat_nose_is_the_wheel_that_stood_there_too_long() {
    let flat_mm = 3.0;
    let (nod, lost_mm) =
        FaultyGrind::dwelt_behind_flat(&meant(), &steel(), flat_mm).unwrap().found().unwrap();
    assert!(nod.degrees() > 0.0 && lost_mm > 0.0);
    let wall = |w: f64| steel().wall_height_at(w);
    assert_relative_eq!(standing_by_turning(0.0, wall(0.0), Angle::ZERO, nod), lost_mm, epsilon = 1e-9);
    // Inside the flat the standing wheel goes further than the fair swing, by many poses; outside it does not.
    let envelope = Envelope::of_swing(&meant(), 1201).unwrap();
    for (w, flat) in [(1.0, true), (1.45, true), (1.55, false), (2.5, false)] {
        let rays = [DVec2::new(w, wall(w))];
        let (mut fair, mut pose) = ([0.0], [0]);
        envelope.fill(&rays, &mut fair, &mut pose);
        let stood = standing_by_turning(w, wall(w), Angle::ZERO, nod);
        assert_eq!(stood > fair[0], flat, "{w}: {stood} {}", fair[0]);
    }
}

#[test]
fn dip_and_peak_are_found_again_where_and_as_large_as_they_were() {
    let surface = GroundSurface::rolled(&meant()).unwrap();
    for at in [-0.5, 0.3, 0.62] {
        let wall = steel().wall_at(at);
        let fair = surface.start_of_steel(wall.x, wall.y).unwrap().s_mm;
        let dip = Dip { at, depth_mm: 0.4 };
        let found = FaultyGrind::dwelt_behind_dip(&meant(), &steel(), dip).unwrap().found().unwrap();
        let RollingFault::Dwelt { at: roll, nod } = found else { panic!("{found:?}") };
        let bottom = standing_by_turning(wall.x, wall.y, roll, nod);
        assert_relative_eq!(bottom, fair + 0.4, epsilon = 1e-8);

        let peak = Peak { at, height_mm: 0.3 };
        let found = FaultyGrind::skipped_behind_peak(&meant(), &steel(), peak).unwrap().found().unwrap();
        let RollingFault::Skipped { at: roll, half } = found else { panic!("{found:?}") };
        // An end that lies beyond the swing never stood anywhere.
        let ends = [roll - half, roll + half].into_iter().filter(|end| end.degrees().abs() <= 120.0);
        let top = ends
            .map(|end| standing_by_turning(wall.x, wall.y, end, Angle::ZERO))
            .fold(f64::NEG_INFINITY, f64::max);
        assert_relative_eq!(top, fair - 0.3, epsilon = 1e-8);
        // The edge stands out there and nowhere is cut deeper than the fair one.
        let faulty = FaultyGrind::new(&meant(), found).unwrap();
        for point in faulty.edge(&steel(), 201) {
            let fair = surface.start_of_steel(point.z, point.y).unwrap().s_mm;
            assert!(point.x <= fair + 1e-9);
        }
    }
    let none =
        FaultyGrind::skipped_behind_peak(&meant(), &steel(), Peak { at: 0.3, height_mm: 90.0 }).unwrap();
    assert!(none.found().is_none());
}

#[test]
fn nose_radius_tells_the_roll_centre() {
    for centre in [-3.0, -1.0, 0.8, 2.5] {
        let line = RollLine::through(DVec2::new(139.5, -49.5), centre).unwrap();
        let surface = GroundSurface::rolled(&Rolled { line, ..meant() }).unwrap();
        let summary = EdgeSummary::of(&Edge::trace(&surface, &steel(), 101), &surface, &steel()).unwrap();
        let radius = summary.nose_radius_mm.unwrap();
        let found =
            FaultyGrind::centre_behind_nose(&meant(), &steel(), radius, 8.0).unwrap().found().unwrap();
        let line = RollLine::through(DVec2::new(139.5, -49.5), found).unwrap();
        let again = GroundSurface::rolled(&Rolled { line, ..meant() }).unwrap();
        let summary = EdgeSummary::of(&Edge::trace(&again, &steel(), 101), &again, &steel()).unwrap();
        assert_relative_eq!(summary.nose_radius_mm.unwrap(), radius, max_relative = 1e-6);
    }
}

fn with_holder() -> Setting {
    let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 6.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: degrees(0.0), most: degrees(90.0) },
        body_length_mm: 60.0,
        body_height_mm: 30.0,
    })
    .unwrap();
    Setting {
        face: Face::Round { radius_mm: 75.0 },
        edge: EdgeSection { height_mm: EDGE_MM, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(DVec2::new(20.0, -120.0), Angle::ZERO, travel).unwrap(),
            holder,
            reach_mm: 125.0,
            projection_mm: 75.0,
            strut_angle: degrees(45.0),
        },
    }
}

fn on_table() -> Setting {
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(130.0, -10.0),
        surface_offset_mm: 12.0,
        front_mm: 5.0,
        rear_mm: 60.0,
        tilt: AngleTravel { least: degrees(-30.0), most: degrees(90.0) },
    })
    .unwrap();
    let setting = Setting { support: Support::Table { table, tilt: degrees(20.0) }, ..with_holder() };
    setting.find(Target::AtEdge(degrees(50.0)), Quantity::TableTilt).unwrap().nearest(20.0).unwrap().setting
}

/// Two facets as they come about: the older arc and the newer wheel's circle, which has come so far into the tool, met
/// point by point on a fine chain. Widths are measured on the outline that is left.
fn ground_again(older: &Setting, newer: &Setting, deep_mm: f64) -> Option<(f64, f64)> {
    let (a, b) = (older.evaluate_off_travel().unwrap(), newer.evaluate_off_travel().unwrap());
    let radius = |s: &Setting| s.face.radius_mm().unwrap();
    let centre = |bevel: Angle, radius: f64| -radius * DVec2::new(bevel.sin(), bevel.cos());
    let first = centre(a.bevel(), radius(older));
    // Turned about its own pivot, or slid along its table, into the tool.
    let second = match newer.pivot() {
        Some((_, pivot)) => {
            let p = pivot - DVec2::new(0.0, EDGE_MM);
            let c = centre(b.bevel(), radius(newer)) - p;
            p + DVec2::from_angle(-deep_mm / c.length()).rotate(c)
        }
        None => centre(b.bevel(), radius(newer)) + DVec2::new(deep_mm, 0.0),
    };
    let heel = a.facet.heel_from_edge;
    let outline: Vec<(DVec2, bool)> = (0..=400_000)
        .filter_map(|i| {
            // The outline by heights below the edge's level: whichever wheel cuts further back.
            let h = heel.y * f64::from(i) / 400_000.0;
            let back = |c: DVec2, r: f64| {
                let under = r * r - (h - c.y).powi(2);
                (under >= 0.0).then(|| c.x + under.sqrt())
            };
            let (one, other) = (back(first, radius(older))?, back(second, radius(newer)));
            Some(match other {
                Some(other) if other > one => (DVec2::new(other, h), true),
                _ => (DVec2::new(one, h), false),
            })
        })
        .collect();
    let change = outline.windows(2).position(|pair| pair[0].1 != pair[1].1)?;
    let (edge, junction, last) = (outline[0].0, outline[change].0, outline[outline.len() - 1].0);
    Some((edge.distance(junction), junction.distance(last)))
}

#[test]
fn two_facets_tell_what_had_slipped() {
    let moved = |setting: Setting, free: Quantity, by: f64| {
        setting.with(free, setting.value_of(free).unwrap() + by).unwrap()
    };
    let mut reported = 0;
    for (setting, free, by) in [
        (with_holder(), Quantity::Projection, 1.8),
        (with_holder(), Quantity::Projection, -2.5),
        (with_holder(), Quantity::Reach, 3.0),
        (with_holder(), Quantity::Reach, -2.0),
        (with_holder(), Quantity::StrutAngle, 2.0),
        (with_holder(), Quantity::WheelDiameter, -12.0),
        (on_table(), Quantity::TableTilt, 2.0),
        (on_table(), Quantity::TableTilt, -1.5),
    ] {
        let newer = moved(setting, free, by);
        for deep_mm in [-0.1, 0.02, 0.05, 0.1, 0.2] {
            let Some((edge_mm, heel_mm)) = ground_again(&setting, &newer, deep_mm) else { continue };
            if edge_mm < 0.3 || heel_mm < 0.3 {
                continue;
            }
            // The wheel can be identified only by a facet of the same hollow as is assumed.
            let keener = newer.evaluate_off_travel().unwrap().bevel() < setting.evaluate().unwrap().bevel();
            let which = if keener { NewFacet::AtHeel } else { NewFacet::AtEdge };
            let seen = TwoFacetsSeen { edge_mm, heel_mm, newer: which };
            let found = setting
                .two_facets(&seen)
                .unwrap_or_else(|why| panic!("{free:?} {by} {deep_mm} {seen:?} {why:?}"));
            let slip = found.slips().find(|slip| slip.free == free).unwrap();
            assert_relative_eq!(slip.by, by, max_relative = 2e-2);
            reported += 1;
        }
    }
    assert!(reported > 12, "{reported}");
}

#[test]
fn each_slip_to_a_bevel_grinds_it() {
    for setting in [with_holder(), on_table()] {
        let bevel = setting.evaluate().unwrap().bevel() + degrees(1.3);
        let mut reported = 0;
        for slip in setting.slips_to(bevel) {
            let moved = setting.with(slip.free, slip.value).unwrap().evaluate_off_travel().unwrap();
            assert_relative_eq!(moved.bevel().degrees(), bevel.degrees(), epsilon = 1e-9);
            assert_relative_eq!(slip.value - slip.by, setting.value_of(slip.free).unwrap(), epsilon = 1e-9);
            reported += 1;
        }
        assert!(reported >= 2, "{reported}");
    }
}

#[test]
fn impossible_facets_are_refused() {
    let setting = with_holder();
    let ask = |edge_mm, heel_mm, newer| setting.two_facets(&TwoFacetsSeen { edge_mm, heel_mm, newer });
    assert!(matches!(ask(90.0, 1.0, NewFacet::AtHeel), Err(TwoFacetsUnlikely::OlderTooNarrow { .. })));
    assert!(matches!(ask(1.0, 0.1, NewFacet::AtHeel), Err(TwoFacetsUnlikely::NewerTooNarrow { .. })));
    let whole = setting.evaluate().unwrap().facet.width_mm;
    assert!(matches!(
        ask(whole / 2.0, whole * 0.45, NewFacet::AtHeel),
        Err(TwoFacetsUnlikely::WrongWay { .. } | TwoFacetsUnlikely::NewerTooNarrow { .. })
    ));
    assert!(ask(f64::NAN, 1.0, NewFacet::AtEdge).is_err());
    assert!(ask(0.0, 1.0, NewFacet::AtEdge).is_err());
}

#[test]
fn ink_along_one_wing_tells_the_turn() {
    // The map was checked by brute force; this checks that the reading inverts it.
    let grind = meant();
    let present = Tip::new(GroundSurface::rolled(&grind).unwrap(), steel());
    let settling = Settling::AboutPivot { pivot_in_tool: grind.line.pivot_in_tool() };
    for turn in [-3.0, -1.0, 1.5, 4.0] {
        let today = GroundSurface::rolled(&Rolled { turn: degrees(turn), ..grind }).unwrap();
        let ink = SweptInk::new(&present, &today, settling);
        let facing = |t: f64| ink.facing(&present, t, 0.005).unwrap();
        let mut heels = 0;
        for plus in [true, false] {
            let there = facing(if plus { 1.0 / 3.0 } else { -1.0 / 3.0 });
            let at_heel = there.heel_gap_mm < there.edge_gap_mm;
            heels += i32::from(at_heel);
            let seen = WingInkSeen { plus, at_heel, rubbed_mm: there.inked_mm, film_mm: 0.005 };
            let read = WingInk::read(&grind, &steel(), &seen, degrees(0.5)).unwrap();
            let WingInkVerdict::Turned { by } = read.verdict else { panic!("{turn} {read:?} {there:?}") };
            assert_relative_eq!(by.degrees(), turn, epsilon = 0.02);
        }
        assert_eq!(heels, 1, "one wing at its heel, the other at its edge");
    }
    let seen = WingInkSeen { plus: true, at_heel: true, rubbed_mm: 1.0, film_mm: 0.5 };
    let read = WingInk::read(&grind, &steel(), &seen, degrees(0.5)).unwrap();
    assert!(matches!(read.verdict, WingInkVerdict::CannotTell { .. }), "{read:?}");
}
