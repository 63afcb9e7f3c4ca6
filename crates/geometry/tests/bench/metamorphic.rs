//! What must stay, or change in a known way, when a whole bench is changed: every length scaled, left and right
//! exchanged, things listed in another order, inputs moved a little, and equal grinds along a roll line. No expected
//! number is needed for any of it. Derived here.

use bevelbench_geometry::{
    DVec2, DVec3,
    facet::Regrind,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Hollow, PresentFacet,
        Presentation, Table, TableSpec, Travel,
    },
    side::{Seat, Setting, SideView, Support, Target},
    solve::{DegreeOfFreedom, Question, Rolling, Sharer, WingTarget, one_reach_for_many},
    space::Solid,
    swept::{
        Edge, EdgePoint, GrindingFace, GroundSurface, RollLine, Rolled, Steel, Strut, Swing, Tip,
        equal::pivot_distance_mm,
    },
};
use proptest::prelude::*;

const FREES: [Quantity; 6] = [
    Quantity::Reach,
    Quantity::Projection,
    Quantity::StrutAngle,
    Quantity::ToolLength,
    Quantity::TableTilt,
    Quantity::WheelDiameter,
];

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

/// Two numbers are the same but for so many last bits of a size that is in play.
#[track_caller]
fn same(one: f64, other: f64, fraction: f64, size: f64, what: &str) {
    let off = (one - other).abs();
    assert!(off <= fraction * (size.abs() + one.abs()), "{what}: {one} and {other}, off {off:e}");
}

/// The plain numbers of a bench, lengths and angles apart, so that all lengths can be scaled.
#[derive(Debug, Clone)]
struct Plain {
    kind: usize,
    flat: bool,
    askew: bool,
    lengths: [f64; 12],
    angles: [f64; 5],
}

impl Plain {
    fn scaled(&self, k: f64) -> Self {
        Self { lengths: self.lengths.map(|x| x * k), ..self.clone() }
    }

    fn setting(&self) -> Setting {
        let [radius, height, under, x, z, reach, length, setback, drop, strut, projection, offset] =
            self.lengths;
        let [normal, arm_tilt, strut_angle, tilt, obliquity] = self.angles.map(degrees);
        let travel = Travel { least_mm: -9_000.0, most_mm: 9_000.0 };
        let arm = || Arm::new(DVec2::new(x, z), arm_tilt, travel).unwrap();
        let any_turn = AngleTravel { least: degrees(-30.0), most: Angle::HALF };
        let support = match self.kind {
            0 => Support::Handle { arm: arm(), reach_mm: reach, tool_length_mm: length },
            1 => Support::Holder {
                arm: arm(),
                holder: Holder::new(HolderSpec {
                    hinge_setback_mm: setback,
                    hinge_drop_mm: drop,
                    strut_length_mm: strut,
                    strut_angle: any_turn,
                    body_length_mm: strut,
                    body_height_mm: setback,
                })
                .unwrap(),
                reach_mm: reach,
                projection_mm: projection,
                strut_angle,
            },
            _ => Support::Table {
                table: Table::new(TableSpec {
                    hinge_in_bench: DVec2::new(radius + x, drop),
                    surface_offset_mm: offset,
                    front_mm: 0.5 * x,
                    rear_mm: strut,
                    tilt: AngleTravel { least: -Angle::QUARTER, most: Angle::QUARTER },
                })
                .unwrap(),
                tilt,
            },
        };
        Setting {
            face: if self.flat { Face::Flat { normal } } else { Face::Round { radius_mm: radius } },
            edge: EdgeSection { height_mm: height, under_mm: under },
            obliquity: if self.askew { obliquity } else { Angle::QUARTER },
            presentation: Presentation::EdgeParallelToSpindle,
            support,
        }
    }
}

prop_compose! {
    fn plain()(
        kind in 0_usize..3,
        flat in prop::bool::weighted(0.2),
        askew in any::<bool>(),
        (radius, height, under) in (40.0_f64..140.0, -8.0_f64..8.0, 1.0_f64..9.0),
        (x, z, reach, length) in (20.0_f64..80.0, -180.0_f64..0.0, 40.0_f64..320.0, 150.0_f64..420.0),
        (setback, drop, strut, projection, offset) in (5.0_f64..30.0, -10.0_f64..20.0, 20.0_f64..120.0, 20.0_f64..100.0, 0.0_f64..20.0),
        angles in (-30.0_f64..90.0, -15.0_f64..35.0, 20.0_f64..90.0, -20.0_f64..50.0, 35.0_f64..90.0),
    ) -> Plain {
        Plain {
            kind, flat, askew,
            lengths: [radius, height, under, x, z, reach, length, setback, drop, strut, projection, offset],
            angles: [angles.0, angles.1, angles.2, angles.3, angles.4],
        }
    }
}

/// The lengths of a view, in a row.
fn lengths(view: &SideView) -> Vec<f64> {
    let mut all = vec![
        view.facet.width_mm,
        view.facet.hollow_mm,
        view.facet.heel_from_edge.x,
        view.contact_in_bench.x,
        view.contact_in_bench.y,
        view.heel_in_bench().x,
        view.heel_in_bench().y,
    ];
    match view.seat {
        Seat::Pivot { from_centre_mm, from_edge_mm, gauge_length_mm, .. } => {
            all.extend([from_centre_mm, from_edge_mm, gauge_length_mm]);
        }
        Seat::Plane { from_centre_mm, edge_above_mm, rest_gap_mm } => {
            all.extend([from_centre_mm, edge_above_mm, rest_gap_mm]);
        }
    }
    all
}

fn angles(view: &SideView) -> [f64; 4] {
    [view.facet.at_edge, view.facet.across, view.facet.at_heel, view.handle_angle].map(Angle::degrees)
}

/// The slopes by lengths, then those by angles.
fn slopes(view: &SideView) -> ([Option<f64>; 5], [Option<f64>; 2]) {
    let s = &view.slopes;
    (
        [s.reach, s.projection, s.tool_length, s.wheel_diameter, s.wheel_diameter_at_gauge],
        [s.strut_angle, s.table_tilt],
    )
}

/// Steepness in which rounding grows: one over the cosine that the accuracy of the side view is told by.
fn steepness(view: &SideView) -> f64 {
    let (by_length, by_angle) = slopes(view);
    by_length.iter().chain(&by_angle).flatten().fold(1.0_f64, |most, s| most.max(s.abs() * 100.0))
}

fn gouge(floor: f64, factor: f64, scale: f64) -> Steel {
    let shape = FluteShape::Power { factor: factor / scale, exponent: 2.0 };
    Steel::of_bar(&Bar::new(16.0 * scale, shape, floor * scale).unwrap())
}

fn rolled(pivot: DVec2, centre: f64, bevel: f64, radius: f64, turn: f64, scale: f64) -> Rolled {
    Rolled {
        line: RollLine::through(pivot * scale, centre * scale).unwrap(),
        bevel: degrees(bevel),
        edge_height_mm: -4.0 * scale,
        abrasive: GrindingFace::Wheel { radius_mm: radius * scale, width_mm: 40.0 * scale },
        swing: Swing::ASSUMED,
        turn: degrees(turn),
    }
}

prop_compose! {
    fn swung()(
        pivot in (90.0_f64..180.0, -80.0_f64..-10.0),
        centre in -3.5_f64..5.0,
        bevel in 30.0_f64..70.0,
        radius in 50.0_f64..120.0,
        turn in prop_oneof![Just(0.0), -9.0_f64..9.0],
        factor in 0.15_f64..0.5,
    ) -> (Rolled, f64, [f64; 6]) {
        let setting = rolled(DVec2::new(pivot.0, pivot.1), centre, bevel, radius, turn, 1.0);
        (setting, factor, [pivot.0, pivot.1, centre, bevel, radius, turn])
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, max_global_rejects: 40_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// All lengths times `k`: angles stay, lengths grow by `k`, slopes by lengths by `1/k`, slopes by angles stay; and
    /// every answer of the inverse grows likewise. By a power of two not a bit changes but in the scale.
    #[test]
    fn side_view_scales_with_its_lengths(bench in plain(), k in prop_oneof![Just(2.0), Just(0.5), 0.3_f64..3.0]) {
        let (one, other) = (bench.setting(), bench.scaled(k).setting());
        let (Ok(one_view), Ok(other_view)) = (one.evaluate_off_travel(), other.evaluate_off_travel()) else {
            let (one, other) = (one.evaluate_off_travel(), other.evaluate_off_travel());
            // A facet of more than ten metres is none; that limit does not scale.
            let endless = one.as_ref().or(other.as_ref()).is_ok_and(|view| view.facet.width_mm > 3_000.0);
            prop_assert!(endless || one.is_err() == other.is_err(), "{:?} and {:?}", one, other);
            return Ok(());
        };
        let tolerance = 4e-13 * steepness(&one_view);
        prop_assume!(tolerance < 1e-9);
        let exact = [2.0_f64, 0.5].iter().any(|power| power.to_bits() == k.to_bits());
        let fraction = |tolerance: f64| if exact { 0.0 } else { tolerance };
        for (a, b) in angles(&one_view).into_iter().zip(angles(&other_view)) {
            same(a, b, fraction(tolerance), 100.0, "angle");
        }
        for (a, b) in lengths(&one_view).into_iter().zip(lengths(&other_view)) {
            same(a * k, b, fraction(tolerance), 100.0 * k, "length");
        }
        let ((la, aa), (lb, ab)) = (slopes(&one_view), slopes(&other_view));
        for (a, b) in la.into_iter().zip(lb) {
            prop_assert_eq!(a.is_some(), b.is_some());
            same(a.unwrap_or(0.0) / k, b.unwrap_or(0.0), fraction(tolerance * steepness(&one_view)), 0.01 / k, "slope");
        }
        for (a, b) in aa.into_iter().zip(ab) {
            same(a.unwrap_or(0.0), b.unwrap_or(0.0), fraction(tolerance * steepness(&one_view)), 1.0, "slope by an angle");
        }
        let target = Target::AcrossFacet(one_view.facet.across + degrees(3.0));
        for free in FREES {
            let (Ok(found), Ok(scaled)) = (one.find(target, free), other.find(target, free)) else { continue };
            let size = if matches!(free, Quantity::StrutAngle | Quantity::TableTilt) { 1.0 } else { k };
            let usable = |slope: Option<f64>| slope.is_some_and(|s| s.abs() > 1e-4);
            for answer in found.all().filter(|answer| usable(answer.view.slopes.by(free))) {
                let nearest = scaled.all().map(|other| (other.value - answer.value * size).abs()).fold(f64::INFINITY, f64::min);
                prop_assert!(nearest < 1e-7 * k.max(1.0) * answer.value.abs().max(1.0), "{:?}: {} off {}", free, answer.value, nearest);
            }
        }
    }

    /// A swung edge scales: setbacks, facets and heels by `k`, bevels and wedges not at all.
    #[test]
    fn swung_edge_scales_with_its_lengths((setting, factor, plain) in swung(), k in 0.4_f64..2.5, t in -1.0_f64..1.0) {
        let [s, h, centre, bevel, radius, turn] = plain;
        let scaled = rolled(DVec2::new(s, h), centre, bevel, radius, turn, k);
        let (Ok(one), Ok(other)) = (GroundSurface::rolled(&setting), GroundSurface::rolled(&scaled)) else { return Ok(()) };
        let (a, b) = (EdgePoint::at(&one, &gouge(-4.0, factor, 1.0), t), EdgePoint::at(&other, &gouge(-4.0, factor, k), t));
        let (Some(a), Some(b)) = (a, b) else { return Ok(()) };
        prop_assume!(a.face == b.face);
        same(a.s_mm * k, b.s_mm, 1e-11, 10.0, "setback");
        same(a.facet_width_mm * k, b.facet_width_mm, 1e-7, 10.0, "facet");
        same(a.wedge.degrees(), b.wedge.degrees(), 1e-10, 10.0, "wedge");
        same(a.bevel_to_axis.degrees(), b.bevel_to_axis.degrees(), 1e-10, 10.0, "bevel to axis");
        same(a.roll.degrees(), b.roll.degrees(), 1e-10, 10.0, "roll");
    }

    /// Left and right exchanged: a gouge turned the other way in its holder has the other wing, point for point.
    #[test]
    fn left_and_right_exchanged_mirror_the_edge((setting, factor, _) in swung(), t in 0.0_f64..1.0) {
        let mirrored = Rolled { turn: -setting.turn, ..setting };
        let (Ok(one), Ok(other)) = (GroundSurface::rolled(&setting), GroundSurface::rolled(&mirrored)) else { return Ok(()) };
        let steel = gouge(-4.0, factor, 1.0);
        let (Some(a), Some(b)) = (EdgePoint::at(&one, &steel, t), EdgePoint::at(&other, &steel, -t)) else { return Ok(()) };
        same(a.w_mm, -b.w_mm, 1e-15, 1.0, "place");
        same(a.s_mm, b.s_mm, 1e-12, 10.0, "setback");
        same(a.roll.degrees(), -b.roll.degrees(), 1e-12, 10.0, "roll");
        same(a.wedge.degrees(), b.wedge.degrees(), 1e-12, 10.0, "wedge");
        let heel = b.heel * DVec3::new(1.0, 1.0, -1.0);
        prop_assert!((a.heel - heel).length() < 1e-7, "{:?} {:?}", a.heel, heel);
    }

    /// The exact slope by every input is what a small change of that input makes, on every support.
    #[test]
    fn small_changes_do_what_the_slopes_say(bench in plain()) {
        let setting = bench.setting();
        let Ok(view) = setting.evaluate_off_travel() else { return Ok(()) };
        prop_assume!(steepness(&view) < 30.0);
        for free in FREES {
            let Some(value) = setting.value_of(free) else { continue };
            let Some(slope) = view.slopes.by(free) else { continue };
            let step = 1e-4;
            let at = |x: f64| setting.with(free, x).and_then(|s| s.evaluate_off_travel().ok()).map(|v| v.bevel().radians());
            // Four places: the error is of the fourth order.
            let (Some(a), Some(b), Some(c), Some(d)) = (at(value - 2.0 * step), at(value - step), at(value + step), at(value + 2.0 * step)) else { continue };
            let measured = (a - 8.0 * b + 8.0 * c - d) / (12.0 * step);
            let stated = if matches!(free, Quantity::StrutAngle | Quantity::TableTilt) { slope.to_radians() } else { slope };
            same(measured, stated, 1e-7, 0.01 * steepness(&view).powi(3), &format!("{free:?}"));
        }
    }

    /// Back and forth: the present value of every input is among the answers to the present bevel, and each answer, put
    /// in, gives the bevel back and is its own answer again.
    #[test]
    fn forward_and_back_is_where_it_began(bench in plain()) {
        let setting = bench.setting();
        let Ok(view) = setting.evaluate_off_travel() else { return Ok(()) };
        for free in FREES {
            let Some(value) = setting.value_of(free) else { continue };
            let Some(slope) = view.slopes.by(free) else { continue };
            // Where the bevel hardly answers to the input, neither does the input to the bevel.
            let sharp = 1e-6 + 1e-10 / slope.abs();
            for target in [Target::AtEdge(view.bevel()), Target::AcrossFacet(view.facet.across)] {
                let found = setting.find(target, free).unwrap();
                let turn = |off: f64| if matches!(free, Quantity::StrutAngle | Quantity::TableTilt) { off.min((360.0 - off).abs()) } else { off };
                let least = found.all().map(|answer| turn((answer.value - value).abs())).fold(f64::INFINITY, f64::min);
                prop_assert!(slope.abs() < 1e-6 || least < sharp, "{:?} {:?}: {} for {}", free, target, least, value);
                for answer in found.all() {
                    let read = if matches!(target, Target::AtEdge(_)) { answer.view.facet.at_edge } else { answer.view.facet.across };
                    let asked = if matches!(target, Target::AtEdge(_)) { view.facet.at_edge } else { view.facet.across };
                    let steep = answer.view.slopes.by(free).unwrap_or(0.0).abs().max(1.0);
                    prop_assert!((read - asked).abs().degrees() < 1e-9 * steep, "{:?} {:?}", free, answer);
                }
            }
        }
    }

    /// Roll-line theorem: with the same roll centre and bevel, pivots anywhere on one line through it leave the same surface.
    #[test]
    fn pivots_on_one_roll_line_leave_one_surface((setting, factor, _) in swung(), further in 0.6_f64..2.0, t in -1.0_f64..1.0) {
        prop_assume!(setting.turn == Angle::ZERO);
        let centre = setting.line.centre_in_tool();
        let pivot = centre + (setting.line.pivot_in_tool() - centre) * further;
        let moved = Rolled { line: RollLine::through(pivot, centre.y).unwrap(), ..setting };
        let (one, other) = (GroundSurface::rolled(&setting).unwrap(), GroundSurface::rolled(&moved).unwrap());
        let steel = gouge(-4.0, factor, 1.0);
        let (Some(a), Some(b)) = (EdgePoint::at(&one, &steel, t), EdgePoint::at(&other, &steel, t)) else { return Ok(()) };
        same(a.s_mm, b.s_mm, 1e-12, 10.0, "setback");
        same(a.wedge.degrees(), b.wedge.degrees(), 1e-11, 10.0, "wedge");
        // A pivot off the line does not. Two edges may still cross somewhere, so the whole wing is asked.
        let aside = pivot + DVec2::new(0.0, 12.0);
        let off = Rolled { line: RollLine::through(aside, centre.y).unwrap(), ..setting };
        let off = GroundSurface::rolled(&off).unwrap();
        let gaps: Vec<f64> = (3..=9)
            .map(|tenth| f64::from(tenth) / 10.0)
            .filter_map(|t| Some((EdgePoint::at(&one, &steel, t)?.s_mm - EdgePoint::at(&off, &steel, t)?.s_mm).abs()))
            .collect();
        prop_assert!(gaps.len() < 2 || gaps.iter().any(|gap| *gap > 1e-4), "{:?}", gaps);
    }

    /// The same along the whole way: a strut put on the line at another projection, at the distance that keeps the bevel.
    #[test]
    fn strut_put_back_on_the_line_grinds_the_same_edge(projection in 45.0_f64..90.0, other in 45.0_f64..90.0, angle in 35.0_f64..65.0, bevel in 30.0_f64..60.0) {
        let strut = Strut { hinge_setback_mm: 15.0, hinge_drop_mm: 3.0, length_mm: 70.0 };
        let pivot = strut.pivot_in_tool(projection, degrees(angle));
        let line = RollLine::through(pivot, 0.5).unwrap();
        let Ok(angles) = strut.angles_onto(&line, other) else { return Ok(()) };
        for found in angles {
            let moved = strut.pivot_in_tool(other, found);
            prop_assert!(line.distance_mm(moved).abs() < 1e-11);
            let distance = pivot_distance_mm(moved, -4.0, 75.0, degrees(bevel));
            let same_bevel = bevelbench_geometry::swept::equal::bevel_at(moved, -4.0, 75.0, distance);
            // Of the two contacts the upper one is meant: a pivot on the far side of the nose has the other.
            if moved.x > 5.0 {
                prop_assert!((same_bevel.unwrap().degrees() - bevel).abs() < 1e-9);
            }
        }
    }

    /// Gaps of solids scale, and do not mind which solid is named first.
    #[test]
    fn gaps_scale_and_are_mutual(
        ends in prop::array::uniform6(-200.0_f64..200.0), radius in 0.0_f64..10.0, wheel in 40.0_f64..120.0, half in 5.0_f64..30.0, k in 0.3_f64..3.0,
    ) {
        let rod = |k: f64| Solid::Rod {
            ends: [DVec3::new(ends[0], ends[1], ends[2]) * k, DVec3::new(ends[3], ends[4], ends[5]) * k], radius_mm: radius * k };
        let disc = |k: f64| Solid::Disc { radius_mm: wheel * k, half_width_mm: half * k };
        let gap = rod(1.0).gap(&disc(1.0)).mm;
        prop_assume!(gap > 0.01);
        // Told to 1e-8 mm at the sizes of a bench.
        same(gap, disc(1.0).gap(&rod(1.0)).mm, 1e-8, 1.0, "other way round");
        same(gap * k, rod(k).gap(&disc(k)).mm, 1e-8, k, "scaled");
    }

    /// Areas of a regrind grow with the square of the scale, the length lost with the scale.
    #[test]
    fn regrind_scales(old in 25.0_f64..60.0, new in 25.0_f64..60.0, radius in prop_oneof![Just(None), (40.0_f64..140.0).prop_map(Some)], width in 3.0_f64..8.0, k in 0.4_f64..2.5) {
        let of = |k: f64| {
            let hollow = radius.map_or(Hollow::Flat, |radius_mm| Hollow::Arc { radius_mm: radius_mm * k });
            let facet = PresentFacet::new(hollow, degrees(old), width * k).unwrap();
            let face = Face::Round { radius_mm: 75.0 * k };
            let ground = bevelbench_geometry::side::Facet::ground(face, degrees(new), 5.0 * k).unwrap();
            let regrind = Regrind::new(&facet, &ground, face, 5.0 * k);
            let lost = regrind.length_lost_mm();
            [lost / k, regrind.removed_mm2(lost) / (k * k), regrind.removed_mm2(0.3 * k) / (k * k)]
        };
        for (a, b) in of(1.0).into_iter().zip(of(k)) {
            same(a, b, 1e-10, 1.0, "regrind");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_global_rejects: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Volumes grow with the cube of the scale.
    #[test]
    fn volumes_scale_with_the_cube((setting, factor, plain) in swung(), k in 0.5_f64..2.0) {
        let [s, h, centre, bevel, radius, turn] = plain;
        let scaled = rolled(DVec2::new(s, h), centre, bevel, radius, turn, k);
        let (Ok(one), Ok(other)) = (GroundSurface::rolled(&setting), GroundSurface::rolled(&scaled)) else { return Ok(()) };
        let a = Tip::new(one, gouge(-4.0, factor, 1.0)).removed_from_square_end(-25.0, 1e-6);
        let b = Tip::new(other, gouge(-4.0, factor, k)).removed_from_square_end(-25.0 * k, 1e-6);
        same(a.mm3 * k.powi(3), b.mm3, 3e-6, 1.0, "volume");
        // And the traced edge as a whole.
        let (edge, edge_scaled) = (Edge::trace(&one, &gouge(-4.0, factor, 1.0), 41), Edge::trace(&other, &gouge(-4.0, factor, k), 41));
        prop_assert_eq!(edge.points().len(), edge_scaled.points().len());
    }

    /// It does not matter in which order the free quantities of a question are named.
    #[test]
    fn order_of_free_things_does_not_matter(projection in 45.0_f64..70.0, sweep in 6.0_f64..11.0, bevel in 35.0_f64..55.0) {
        let arm = Arm::new(DVec2::new(30.0, -90.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 400.0 }).unwrap();
        let holder = Holder::new(HolderSpec {
            hinge_setback_mm: 15.0, hinge_drop_mm: 3.0, strut_length_mm: 70.0,
            strut_angle: AngleTravel { least: Angle::ZERO, most: Angle::QUARTER }, body_length_mm: 30.0, body_height_mm: 20.0,
        }).unwrap();
        let question = Question {
            setting: Setting {
                face: Face::Round { radius_mm: 75.0 }, edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
                obliquity: Angle::QUARTER, presentation: Presentation::EdgeParallelToSpindle,
                support: Support::Holder { arm, holder, reach_mm: 110.0, projection_mm: projection, strut_angle: degrees(45.0) },
            },
            bevel: Target::AtEdge(degrees(bevel)),
            wing: Some(WingTarget::Sweep { mm: sweep }),
            rolling: Some(Rolling { steel: gouge(-4.0, 0.25, 1.0), wheel_width_mm: 40.0, swing: Swing::ASSUMED, roll_centre_mm: 0.0, turn: Angle::ZERO }),
        };
        let reach = DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0);
        let strut = DegreeOfFreedom::within(Quantity::StrutAngle, 0.0, 90.0);
        let (one, other) = (question.solve(&[reach, strut]).unwrap(), question.solve(&[strut, reach]).unwrap());
        let values = |found: &bevelbench_geometry::solve::Solutions| {
            let mut all: Vec<_> = found.answers.iter().map(|s| (s.setting.value_of(Quantity::Reach).unwrap(), s.setting.value_of(Quantity::StrutAngle).unwrap())).collect();
            all.sort_by(|a, b| a.0.total_cmp(&b.0));
            all
        };
        let (a, b) = (values(&one), values(&other));
        prop_assert_eq!(a.len(), b.len());
        for (a, b) in a.iter().zip(&b) {
            prop_assert!((a.0 - b.0).abs() < 1e-7 && (a.1 - b.1).abs() < 1e-7, "{:?} {:?}", a, b);
        }
    }
}

/// Which tool is named first does not move the reach that serves them all, nor the order of the struts' angles.
#[test]
fn order_of_the_tools_does_not_move_the_shared_reach() {
    let sharer = |strut_deg: f64, bevel: f64| {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        let holder = Holder::new(HolderSpec {
            hinge_setback_mm: 15.0,
            hinge_drop_mm: 3.0,
            strut_length_mm: 70.0,
            strut_angle: AngleTravel { least: Angle::ZERO, most: Angle::QUARTER },
            body_length_mm: 30.0,
            body_height_mm: 20.0,
        });
        Sharer {
            setting: Setting {
                face: Face::Round { radius_mm: 75.0 },
                edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
                obliquity: Angle::QUARTER,
                presentation: Presentation::EdgeParallelToSpindle,
                support: Support::Holder {
                    arm: Arm::new(DVec2::new(30.0, -90.0), Angle::ZERO, travel).unwrap(),
                    holder: holder.unwrap(),
                    reach_mm: 110.0,
                    projection_mm: 50.0,
                    strut_angle: degrees(strut_deg),
                },
            },
            bevel: Target::AtEdge(degrees(bevel)),
            least_mm: 40.0,
            most_mm: 75.0,
            stops_mm: None,
        }
    };
    let tools = [sharer(45.0, 40.0), sharer(45.0, 55.0), sharer(50.0, 45.0), sharer(30.0, 60.0)];
    let found = |order: [usize; 4], struts: Option<&[Angle]>| {
        let named = order.map(|i| tools[i]);
        let shared = one_reach_for_many(&named, degrees(0.5), struts).unwrap().unwrap();
        let mut served: Vec<_> = shared.served.iter().map(|s| (order[s.index], s.projection_mm)).collect();
        served.sort_by_key(|one| one.0);
        (shared.reach_mm, shared.strut_angle.map(Angle::degrees), served)
    };
    let struts = [35.0, 42.0, 50.0].map(degrees);
    let backwards = [50.0, 42.0, 35.0].map(degrees);
    for (one, other) in [(None, None), (Some(&struts[..]), Some(&backwards[..]))] {
        let (reach, strut, served) = found([0, 1, 2, 3], one);
        assert!(served.len() > 1, "{served:?}");
        for order in [[3, 2, 1, 0], [1, 3, 0, 2], [2, 0, 3, 1]] {
            let (reach_again, strut_again, served_again) = found(order, other);
            assert!((reach - reach_again).abs() < 1e-9, "{reach} {reach_again}");
            assert_eq!(strut, strut_again);
            assert_eq!(served.len(), served_again.len());
            for (a, b) in served.iter().zip(&served_again) {
                assert!(a.0 == b.0 && (a.1 - b.1).abs() < 1e-7, "{a:?} {b:?}");
            }
        }
    }
}
