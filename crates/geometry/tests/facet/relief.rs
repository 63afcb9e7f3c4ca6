//! Second bevels checked three ways: cases that must collapse, the wheel laid on the steel by brute force and clipped
//! from it by another program's polygons, and what the trade knows.

use bevelbench_geometry::{
    DVec2,
    facet::{FurtherFacet, Inside, Relief, ReliefRefusal, ReliefWanted},
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, Face, FlatKind, FlatStock, FluteShape, Grinder, Holder,
        HolderSpec, Plan, Presentation, Section, Table, TableSpec, Tool, Travel, WIDEST_REST_GAP_MM, Wheel,
        WheelSpec,
    },
    side::{Job, Setting, SideView, Support, Target},
};
use i_overlay::{
    core::{fill_rule::FillRule, overlay_rule::OverlayRule},
    float::single::SingleFloatOverlay,
};

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn wheel(diameter_mm: f64, abrasive: Abrasive) -> Wheel {
    Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: diameter_mm,
        diameter_least_mm: 60.0,
        width_mm: 40.0,
        abrasive,
        marked_speed_m_s: None,
        face_slope: deg(20.0),
    })
    .unwrap()
}

fn arm() -> Arm {
    Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 500.0 }).unwrap()
}

/// A gouge of 10 mm in a holder drawn out 60 mm, on a wheel of a diameter, set to a bevel.
fn gouge(wheel: Wheel, bevel_deg: f64) -> (Job, SideView) {
    let bar = Bar::new(10.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -1.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), 420.0, 180.0, None).unwrap();
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
        Support::Holder { arm: arm(), holder, reach_mm: 120.0, projection_mm: 60.0, strut_angle: deg(45.0) };
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support,
    };
    let answers = setting.find(Target::AtEdge(deg(bevel_deg)), Quantity::Reach).unwrap();
    let setting = answers.nearest(120.0).unwrap().setting;
    let job = Job {
        setting,
        wheel,
        grinder: Grinder::new(1500.0, 250.0, 150.0).unwrap(),
        tool,
        rest_gap_most_mm: WIDEST_REST_GAP_MM,
        roll: None,
    };
    (job, job.evaluate().unwrap())
}

/// A scraper on the table, and its handle in the cup.
fn scraper(on_table: bool) -> (Job, SideView) {
    let stock =
        FlatStock::new(25.0, 8.0, Section::Rectangular, FlatKind::Scraper { plan: Plan::Straight }).unwrap();
    let tool = Tool::new(Blank::Flat(stock), 380.0, 160.0, None).unwrap();
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(112.0, -14.0),
        surface_offset_mm: 12.0,
        front_mm: 35.0,
        rear_mm: 55.0,
        tilt: AngleTravel { least: deg(-45.0), most: deg(60.0) },
    })
    .unwrap();
    let support = if on_table {
        Support::Table { table, tilt: deg(12.0) }
    } else {
        Support::Handle { arm: arm(), reach_mm: 380.0, tool_length_mm: 380.0 }
    };
    let wheel = wheel(150.0, Abrasive::Friable);
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support,
    };
    let job = Job {
        setting,
        wheel,
        grinder: Grinder::new(1500.0, 300.0, 150.0).unwrap(),
        tool,
        rest_gap_most_mm: WIDEST_REST_GAP_MM,
        roll: None,
    };
    let view = job.evaluate().unwrap();
    (job, view)
}

/// Jobs with what is moved in a second step, and to where.
fn steps() -> Vec<(&'static str, Job, SideView, Quantity, f64)> {
    let round = |bevel| gouge(wheel(150.0, Abrasive::Friable), bevel);
    let (job, view) = round(45.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let (flat, flat_view) = gouge(wheel(150.0, Abrasive::Flat), 45.0);
    let flat_reach = flat.setting.value_of(Quantity::Reach).unwrap();
    let (handle, handle_view) = scraper(false);
    let handle_reach = handle.setting.value_of(Quantity::Reach).unwrap();
    let (table, table_view) = scraper(true);
    let mut list = vec![
        ("arm in", job, view, Quantity::Reach, reach - 12.0),
        ("drawn out", job, view, Quantity::Projection, 70.0),
        ("strut", job, view, Quantity::StrutAngle, 33.0),
        ("on a flat face", flat, flat_view, Quantity::Reach, flat_reach - 8.0),
        ("handle", handle, handle_view, Quantity::Reach, handle_reach - 18.0),
        ("table", table, table_view, Quantity::TableTilt, 1.0),
    ];
    list.retain(|(_, job, view, free, value)| {
        let moved = job.setting.with(*free, *value).unwrap().evaluate_off_travel();
        moved.is_ok_and(|moved| moved.bevel() < view.bevel())
    });
    assert_eq!(list.len(), 6);
    list
}

/// The wheel of a facet relative to the edge: its middle and radius; `None` for a flat face.
fn wheel_of(facet: &FurtherFacet) -> Option<(DVec2, f64)> {
    let radius = facet.setting.face.radius_mm()?;
    let (sin, cos) = facet.at_begin.sin_cos();
    Some((facet.begins_from_edge - radius * DVec2::new(sin, cos), radius))
}

/// Derived here: the wheel that passes through the junction stands as far from the pivot (or the table's plane) as the
/// rig says, by coordinates alone.
#[test]
fn second_wheel_passes_through_the_junction_and_stands_where_the_rig_holds_it() {
    for (name, job, view, free, value) in steps() {
        let relief = Relief::of(&job, &view, [(free, value, 0.4 * view.facet.width_mm)]).unwrap();
        let [first, second] = relief.facets() else { panic!("{name}") };
        assert!((second.begins_from_edge - first.ends_from_edge).length() < 1e-12, "{name}");
        assert!((first.width_mm - 0.4 * view.facet.width_mm).abs() < 1e-12, "{name}");
        assert!((second.ends_from_edge.y + job.setting.edge.under_mm).abs() < 1e-9, "{name}: heel");
        let moved = job.setting.with(free, value).unwrap();
        match (wheel_of(second), moved.support) {
            (Some((middle, _)), Support::Table { table, tilt }) => {
                // The table's plane is the tool's underside.
                let up = middle.y + job.setting.edge.under_mm;
                assert!((up + table.plane_from_centre_mm(tilt)).abs() < 1e-9, "{name}: {up}");
            }
            (Some((middle, radius)), _) => {
                let (in_bench, in_tool) = moved.pivot().unwrap();
                let pivot = in_tool - DVec2::new(0.0, job.setting.edge.height_mm);
                assert!((middle.distance(pivot) - in_bench.length()).abs() < 1e-9, "{name}");
                assert!((second.begins_from_edge.distance(middle) - radius).abs() < 1e-9, "{name}");
                assert!((second.ends_from_edge.distance(middle) - radius).abs() < 1e-9, "{name}");
            }
            (None, _) => {
                let Face::Flat { normal } = moved.face else { panic!() };
                let (in_bench, in_tool) = moved.pivot().unwrap();
                let pivot = in_tool - DVec2::new(0.0, job.setting.edge.height_mm);
                // The plane through junction and heel, and the pivot's distance from it.
                let along = (second.ends_from_edge - second.begins_from_edge).normalize();
                let off = along.perp().dot(pivot - second.begins_from_edge);
                assert!((off - in_bench.dot(normal.direction())).abs() < 1e-9, "{name}: {off}");
            }
        }
    }
}

/// Polygon clipping by `i_overlay`: the steel behind the first facet, less the second wheel.
#[test]
fn removed_steel_is_what_polygon_clipping_removes() {
    for (name, job, view, free, value) in steps() {
        for fraction in [0.15, 0.5, 0.9] {
            let width = fraction * view.facet.width_mm;
            let Ok(relief) = Relief::of(&job, &view, [(free, value, width)]) else { continue };
            let second = relief.facets()[1];
            let under = job.setting.edge.under_mm;
            // Steel: the whole first facet, the underside, a tall block above.
            let whole = FurtherFacet::first(&job.setting, &view);
            let mut steel: Vec<[f64; 2]> = whole.points(4000).map(|p| [p.x, p.y]).collect();
            steel.extend([[60.0, -under], [60.0, 40.0], [0.0, 40.0]]);
            let cutter = cutter_of(&second);
            let removed = steel.overlay_as::<i64>(&cutter, OverlayRule::Intersect, FillRule::NonZero);
            // What the second wheel takes before the junction is nothing.
            let area: f64 =
                removed.iter().map(|shape| shape.iter().map(|ring| ring_area(ring)).sum::<f64>().abs()).sum();
            let reported = relief.removed_mm2();
            assert!(
                (area - reported).abs() < 2e-5 * reported.max(1.0),
                "{name} {fraction}: {area} {reported}"
            );
        }
    }
}

/// A second wheel as a polygon of many sides, or the half-plane of a flat face as far as matters.
fn cutter_of(second: &FurtherFacet) -> Vec<[f64; 2]> {
    if let Some((middle, radius)) = wheel_of(second) {
        let at = |i: u32| std::f64::consts::TAU * f64::from(i) / 60_000.0;
        return (0..60_000)
            .map(|i| [middle.x + radius * at(i).cos(), middle.y + radius * at(i).sin()])
            .collect();
    }
    let (a, b) = (second.begins_from_edge, second.ends_from_edge);
    let along = (b - a).normalize() * 100.0;
    let down = -along.perp() / 2.0;
    [a - along, b + along, b + along + down, a - along + down].map(|p| [p.x, p.y]).to_vec()
}

fn ring_area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
}

/// Derived here: with the second wheel where the first was, nothing is relieved; and the less it is moved, the less.
#[test]
fn step_that_moves_nothing_relieves_nothing() {
    let (job, view) = gouge(wheel(150.0, Abrasive::Friable), 45.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let left = 0.5 * view.facet.width_mm;
    for moved in [0.0, 5.0] {
        let refused = Relief::of(&job, &view, [(Quantity::Reach, reach + moved, left)]).unwrap_err();
        assert!(
            matches!(refused, ReliefRefusal::NotKeener { step: 1, by } if by.radians() >= -1e-9),
            "{refused}"
        );
    }
    let mut last = f64::INFINITY;
    for moved in [1.0, 0.1, 0.01, 0.001] {
        let relief = Relief::of(&job, &view, [(Quantity::Reach, reach - moved, left)]).unwrap();
        assert!(relief.removed_mm2() > 0.0 && relief.removed_mm2() < last);
        last = relief.removed_mm2();
        let turn = relief.turn_at_junction(1).unwrap();
        assert!(turn.radians() > 0.0 && turn.degrees() < 1.2 * moved, "{}", turn.degrees());
    }
}

/// Derived here: a flat face's two facets are straight, and their turn is their relief.
#[test]
fn on_a_flat_face_relief_and_turn_are_one() {
    let (job, view) = gouge(wheel(150.0, Abrasive::Flat), 40.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let relief = Relief::of(&job, &view, [(Quantity::Reach, reach - 10.0, 2.0)]).unwrap();
    assert!((relief.relief(1).unwrap() - relief.turn_at_junction(1).unwrap()).radians().abs() < 1e-12);
    // Area of the triangle junction, old heel, new heel.
    let under = job.setting.edge.under_mm - 2.0 * view.bevel().sin();
    let (old, new) = (view.bevel(), relief.facets()[1].across);
    let area = under * under * (1.0 / new.tan() - 1.0 / old.tan()) / 2.0;
    assert!((relief.removed_mm2() - area).abs() < 1e-9, "{} {area}", relief.removed_mm2());
}

/// The inside curve by brute force: a ring laid on edge and junction, every point of the facets looked at.
#[test]
fn tightest_inside_curve_is_where_the_heel_first_rests() {
    for (name, job, view, free, value) in steps() {
        let relief = Relief::of(&job, &view, [(free, value, 0.3 * view.facet.width_mm)]).unwrap();
        let Inside::Tightest { radius_mm, corner_of: 1 } = relief.inside() else {
            panic!("{name}: {:?}", relief.inside())
        };
        let junction = relief.facets()[0].ends_from_edge;
        let clear = |radius: f64| {
            let half = junction.length() / 2.0;
            let middle =
                junction / 2.0 + junction.normalize().perp() * ((radius - half) * (radius + half)).sqrt();
            relief
                .facets()
                .iter()
                .flat_map(|facet| facet.points(200))
                .map(|point| radius - point.distance(middle))
                .fold(f64::INFINITY, f64::min)
        };
        assert!(clear(radius_mm * 1.001) > -1e-9, "{name}: {}", clear(radius_mm * 1.001));
        assert!(clear(radius_mm * 0.999) < -1e-7, "{name}: {}", clear(radius_mm * 0.999));
    }
}

/// Both forms of the lift: they agree at the limit, above it only the primary counts, and a single facet's grows without
/// one.
#[test]
fn lift_follows_the_primary_down_to_the_limit_and_the_heel_below_it() {
    let (job, view) = gouge(wheel(150.0, Abrasive::Friable), 45.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let relief = Relief::of(&job, &view, [(Quantity::Reach, reach - 12.0, 1.5)]).unwrap();
    let Inside::Tightest { radius_mm, .. } = relief.inside() else { panic!() };
    for factor in [1.0, 1.5, 4.0, 100.0] {
        let lift = relief.lift(radius_mm * factor).unwrap();
        let primary = (1.5 / (2.0 * radius_mm * factor)).asin();
        assert!((lift.radians() - primary).abs() < 1e-9, "{factor}");
    }
    let below = relief.lift(radius_mm * 0.8).unwrap();
    assert!(below.radians() > (1.5 / (1.6 * radius_mm)).asin() + 1e-6);
    assert_eq!(relief.lift(0.1), None);
    assert_eq!(relief.lift(f64::NAN), None);
    let single = Relief::of(&job, &view, []).unwrap();
    assert_eq!(single.inside(), Inside::NoLimit);
    let lift = single.lift(60.0).unwrap();
    assert!((lift - Relief::lift_of_single_facet(&view, 60.0).unwrap()).radians().abs() < 1e-12);
    assert!(lift > relief.lift(60.0).unwrap());
}

#[test]
fn second_settings_give_back_what_was_wanted() {
    for (name, job, view, free, value) in steps() {
        let left = 0.35 * view.facet.width_mm;
        let made = Relief::of(&job, &view, [(free, value, left)]).unwrap();
        let Inside::Tightest { radius_mm, .. } = made.inside() else { panic!("{name}") };
        let first = FurtherFacet::first(&job.setting, &view);
        for wanted in [
            ReliefWanted::Relief(made.relief(1).unwrap()),
            ReliefWanted::Across(made.facets()[1].across),
            ReliefWanted::Inside(radius_mm),
        ] {
            let found: Vec<f64> =
                first.second_settings(&job, left, free, wanted).unwrap().map(|one| one.value).collect();
            let nearest = found.iter().map(|one| (one - value).abs()).fold(f64::INFINITY, f64::min);
            assert!(nearest < 1e-6, "{name}: {wanted:?} {found:?} {value}");
            let widths = Relief::primary_widths(&job, &view, free, value, wanted);
            let nearest = widths.iter().map(|one| (one - left).abs()).fold(f64::INFINITY, f64::min);
            assert!(nearest < 1e-6, "{name}: {wanted:?} {widths:?} {left}");
        }
    }
}

#[test]
fn inside_curve_tighter_than_any_heel_allows_is_refused_with_the_limit() {
    let (job, view) = gouge(wheel(150.0, Abrasive::Friable), 45.0);
    let first = FurtherFacet::first(&job.setting, &view);
    let least = |radius| match first.second_settings(&job, 1.0, Quantity::Reach, ReliefWanted::Inside(radius))
    {
        Err(ReliefRefusal::InsideOutOfRange { least_mm, .. }) => Some(least_mm),
        _ => None,
    };
    let limit = least(0.01).unwrap();
    assert!(least(limit * 0.999).is_some() && least(limit * 1.001).is_none());
    assert_eq!(least(f64::NAN), Some(limit));
}

/// Any number of steps: each new facet keener than the last, steel adding up, and the edge left alone.
#[test]
fn steps_add_up() {
    let (job, view) = gouge(wheel(150.0, Abrasive::Friable), 55.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let list: Vec<_> = (1..=4).map(|i| (Quantity::Reach, reach - 7.0 * f64::from(i), 1.0)).collect();
    let relief = Relief::of(&job, &view, list.iter().copied()).unwrap();
    assert_eq!(relief.facets().len(), 5);
    assert!(relief.facets().windows(2).all(|two| two[1].across < two[0].across));
    assert_eq!(relief.facets()[0].at_begin, view.bevel());
    let mut taken = 0.0;
    for count in 1..=4 {
        let some = Relief::of(&job, &view, list[..count].iter().copied()).unwrap();
        taken += relief.facets()[count].removed_mm2;
        assert!((some.removed_mm2() - taken).abs() < 1e-9);
    }
    let late =
        Relief::of(&job, &view, [(Quantity::Reach, reach - 7.0, 1.0), (Quantity::Reach, reach - 3.0, 1.0)]);
    assert!(matches!(late, Err(ReliefRefusal::NotKeener { step: 2, .. })), "{late:?}");
}

#[test]
fn every_number_is_an_answer_or_a_refusal() {
    let (job, view) = gouge(wheel(150.0, Abrasive::Friable), 45.0);
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -1.0, 1e-300, 1e300, 3.0];
    for value in odd {
        for width in odd {
            for free in [
                Quantity::Reach,
                Quantity::Projection,
                Quantity::StrutAngle,
                Quantity::TableTilt,
                Quantity::WheelDiameter,
            ] {
                if let Ok(relief) = Relief::of(&job, &view, [(free, value, width)]) {
                    assert!(relief.removed_mm2().is_finite());
                    assert!(relief.facets().iter().all(|f| f.ends_from_edge.is_finite() && f.width_mm > 0.0));
                }
                for wanted in [
                    ReliefWanted::Relief(deg(value)),
                    ReliefWanted::Across(deg(value)),
                    ReliefWanted::Inside(value),
                ] {
                    let first = FurtherFacet::first(&job.setting, &view);
                    if let Ok(found) = first.second_settings(&job, width, free, wanted) {
                        assert!(found.into_iter().all(|one| one.value.is_finite()));
                    }
                }
            }
        }
    }
}

/// `common practice`: some 25 mm of arm is a heel relief: it takes the heel's corner off by tens of degrees, touches
/// neither the edge nor its bevel, and lets the tool into bowls that it could only follow on its heel before.
#[test]
fn arm_moved_in_25_mm_is_a_heel_relief() {
    let (job, view) = gouge(wheel(200.0, Abrasive::Superabrasive), 50.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let relief = Relief::of(&job, &view, [(Quantity::Reach, reach - 25.0, 2.0)]).unwrap();
    let by = relief.relief(1).unwrap().degrees();
    assert!((10.0..40.0).contains(&by), "{by}");
    assert_eq!(relief.facets()[0].at_begin, view.bevel());
    let Inside::Tightest { radius_mm, .. } = relief.inside() else { panic!() };
    assert!(radius_mm < 40.0, "{radius_mm}");
    assert!(relief.lift(100.0).unwrap() < Relief::lift_of_single_facet(&view, 100.0).unwrap() * 0.5);
}
