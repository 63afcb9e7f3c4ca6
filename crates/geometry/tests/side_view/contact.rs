//! The present facet settled on the wheel, against a sampled profile turned or pushed until it touches.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    facet::{Pattern, Touch},
    math::{Angle, Quantity},
    parts::{Arm, EdgeSection, Face, Hollow, PresentFacet, Presentation, Travel},
    side::{Setting, Support, Target},
};

use crate::{
    brute::{Pose, outside, pivot_from_edge, pose},
    random::{Random, answered},
};

const POINTS: i32 = 2_000;

/// Points of a facet relative to its edge, walked round its arc.
fn profile(facet: &PresentFacet) -> Vec<DVec2> {
    let bevel = facet.at_edge().radians();
    let fractions = (0..=POINTS).map(|i| f64::from(i) / f64::from(POINTS));
    match facet.hollow() {
        Hollow::Flat => fractions
            .map(|fraction| DVec2::new(bevel.cos(), -bevel.sin()) * fraction * facet.width_mm())
            .collect(),
        Hollow::Arc { radius_mm } => {
            let at = |turn: f64| {
                let (sin, cos) = (bevel + turn).sin_cos();
                DVec2::new(sin - bevel.sin(), cos - bevel.cos()) * radius_mm
            };
            // The turn whose chord is the width.
            let (mut low, mut high) = (0.0, std::f64::consts::PI);
            for _ in 0..60 {
                let mid = f64::midpoint(low, high);
                if at(mid).length() < facet.width_mm() {
                    low = mid;
                } else {
                    high = mid;
                }
            }
            fractions.map(|fraction| at(low * fraction)).collect()
        }
    }
}

/// How the tool stands when moved from the pose in which only its edge counts: turned about its pivot, or
/// drawn back along its table.
fn moved(setting: &Setting, stands: &Pose, by: f64) -> Pose {
    match pivot_from_edge(setting) {
        Some((pivot, _)) => {
            let arm = DVec2::from_angle(-by).rotate(stands.edge - pivot);
            Pose { edge: pivot + arm, turn: stands.turn - by }
        }
        None => Pose { edge: stands.edge + DVec2::new(stands.turn.cos(), stands.turn.sin()) * by, ..*stands },
    }
}

fn least_gap(setting: &Setting, stands: &Pose, profile: &[DVec2]) -> f64 {
    profile
        .iter()
        .map(|point| outside(setting.face, stands.bench_from_edge(point.x, point.y)))
        .fold(f64::INFINITY, f64::min)
}

/// Gaps at edge, middle and heel when the whole profile counts; `None` where nothing lifts it clear.
fn gaps_by_brute_force(setting: &Setting, facet: &PresentFacet) -> Option<[f64; 3]> {
    let stands = pose(setting)?;
    let profile = profile(facet);
    let on_pivot = pivot_from_edge(setting).is_some();
    let (mut touching, mut clear) = (0.0, if on_pivot { 0.5 } else { 40.0 });
    if least_gap(setting, &moved(setting, &stands, clear), &profile) <= 0.0 {
        return None;
    }
    for _ in 0..48 {
        let mid = f64::midpoint(touching, clear);
        if least_gap(setting, &moved(setting, &stands, mid), &profile) > 0.0 {
            clear = mid;
        } else {
            touching = mid;
        }
    }
    let settled = moved(setting, &stands, clear);
    let gap = |i: i32| {
        let point = profile[usize::try_from(i).unwrap()];
        outside(setting.face, settled.bench_from_edge(point.x, point.y))
    };
    Some([gap(0), gap(POINTS / 2), gap(POINTS)])
}

fn facet_near(r: &mut Random, setting: &Setting) -> Option<PresentFacet> {
    let bevel = setting.evaluate_off_travel().ok()?.bevel().degrees();
    let off = if r.below(4) == 0 { 0.0 } else { r.between(-6.0, 6.0) };
    let hollow = match r.below(4) {
        0 => Hollow::Flat,
        1 => Hollow::Arc { radius_mm: setting.face.radius_mm().unwrap_or(90.0) },
        _ => Hollow::Arc { radius_mm: r.between(25.0, 300.0) },
    };
    PresentFacet::new(hollow, Angle::from_degrees(bevel + off), r.between(1.0, 15.0)).ok()
}

/// Independent method, over all hollows, supports and faces.
#[test]
fn settled_gaps_are_those_of_a_sampled_profile() {
    let mut r = Random::new(21);
    let mut seen = std::collections::BTreeMap::new();
    let mut checked = 0;
    while checked < 500 {
        let setting = answered(&mut r);
        let bevel = setting.evaluate_off_travel().unwrap().bevel().degrees();
        if !(15.0..140.0).contains(&bevel) {
            continue;
        }
        let Some(facet) = facet_near(&mut r, &setting) else { continue };
        let Some(gaps) = gaps_by_brute_force(&setting, &facet) else { continue };
        let touch = setting.settle(&facet).unwrap_or_else(|e| panic!("{e}: {facet:?} {setting:?}"));
        let stated = [touch.edge_gap_mm, touch.middle_gap_mm, touch.heel_gap_mm];
        for (stated, found) in stated.into_iter().zip(gaps) {
            assert!((stated - found).abs() < 2e-6, "{stated} {found}: {facet:?} {setting:?}");
        }
        // Nowhere inside the abrasive, and touching somewhere.
        let all: Vec<f64> =
            profile(&facet).into_iter().map(|point| touch.gap_at_mm(setting.face, point)).collect();
        let least = all.iter().copied().fold(f64::INFINITY, f64::min);
        assert!((-1e-9..1e-6).contains(&least), "{least:e}: {facet:?} {setting:?}");
        let place = (
            matches!(setting.face, Face::Flat { .. }),
            matches!(setting.support, Support::Table { .. }),
            format!("{:?}", touch.pattern(1e-4)),
        );
        *seen.entry(place).or_insert(0) += 1;
        checked += 1;
    }
    // Round and flat faces, pivots and tables, each with the edge and with the heel first.
    for flat in [false, true] {
        for table in [false, true] {
            for pattern in ["Edge", "Heel"] {
                assert!(
                    seen.contains_key(&(flat, table, pattern.to_owned())),
                    "{flat} {table} {pattern}: {seen:?}"
                );
            }
        }
    }
}

const FILM_MM: f64 = 0.002;

fn on_pivot(face: Face) -> Setting {
    let arm =
        Arm::new(DVec2::new(40.0, -110.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 500.0 }).unwrap();
    Setting {
        face,
        edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Handle { arm, reach_mm: 300.0, tool_length_mm: 400.0 },
    }
}

/// The setting with its arm where it grinds `bevel` at the edge.
fn set_to(face: Face, bevel: Angle) -> Setting {
    let found = on_pivot(face).find(Target::AtEdge(bevel), Quantity::Reach).unwrap();
    found.settable().next().unwrap().setting
}

fn touch(setting: &Setting, facet: &PresentFacet) -> Touch {
    setting.settle(facet).unwrap()
}

fn round(radius_mm: f64) -> Face {
    Face::Round { radius_mm }
}

fn hollow_facet(radius_mm: f64, bevel_deg: f64) -> PresentFacet {
    PresentFacet::new(Hollow::Arc { radius_mm }, Angle::from_degrees(bevel_deg), 8.0).unwrap()
}

fn nudged(bevel: Angle, by_deg: f64) -> Angle {
    bevel + Angle::from_degrees(by_deg)
}

/// Collapse: the wheel that made the hollow, at the bevel it made it at.
#[test]
fn same_wheel_and_bevel_ink_the_whole_facet() {
    let facet = hollow_facet(75.0, 40.0);
    let touch = touch(&set_to(round(75.0), facet.at_edge()), &facet);
    assert_eq!(touch.pattern(FILM_MM), Pattern::Whole);
    for gap in [touch.edge_gap_mm, touch.middle_gap_mm, touch.heel_gap_mm] {
        assert_relative_eq!(gap, 0.0, epsilon = 1e-9);
    }
    let flat = PresentFacet::new(Hollow::Flat, Angle::from_degrees(40.0), 8.0).unwrap();
    let platen = Face::Flat { normal: Angle::ZERO };
    assert_eq!(set_to(platen, flat.at_edge()).settle(&flat).unwrap().pattern(FILM_MM), Pattern::Whole);
}

/// `common practice`: ink off the heel means the setting is keener than the facet, move the pivot out; off
/// the edge, blunter, move it in.
#[test]
fn keener_setting_inks_the_heel_and_blunter_the_edge() {
    let facet = hollow_facet(75.0, 40.0);
    for (by_deg, pattern, sign) in [(-1.0, Pattern::Heel, 1.0), (1.0, Pattern::Edge, -1.0)] {
        let setting = set_to(round(75.0), nudged(facet.at_edge(), by_deg));
        assert_eq!(touch(&setting, &facet).pattern(FILM_MM), pattern);
        let move_mm = setting.clean_move(&facet, Quantity::Reach).unwrap().by;
        assert!(move_mm * sign > 0.0, "{move_mm}");
        // Moved by that much it inks the whole facet.
        let reach = setting.value_of(Quantity::Reach).unwrap() + move_mm;
        assert_eq!(
            touch(&setting.with(Quantity::Reach, reach).unwrap(), &facet).pattern(FILM_MM),
            Pattern::Whole
        );
    }
}

/// At equal bevel across the facet a larger wheel rides on both ends and a smaller one in the middle; both
/// gaps are the difference of the two sagittas (derived here).
#[test]
fn other_wheel_at_equal_bevel_across_touches_both_ends_or_the_middle() {
    let facet = hollow_facet(75.0, 40.0);
    let sagitta = |r: f64| r - (r * r - 16.0_f64).sqrt();
    let at = |radius_mm: f64| {
        let half_turn = Angle::from_radians((4.0 / radius_mm).asin());
        touch(&set_to(round(radius_mm), facet.across() - half_turn), &facet)
    };
    let larger = at(100.0);
    assert_eq!(larger.pattern(FILM_MM), Pattern::BothEnds);
    assert_relative_eq!(larger.middle_gap_mm, sagitta(75.0) - sagitta(100.0), epsilon = 1e-5);
    let smaller = at(60.0);
    assert_eq!(smaller.pattern(FILM_MM), Pattern::Middle);
    // Lifted by the middle it tips slightly, which one end gains and the other loses.
    let ends = f64::midpoint(smaller.edge_gap_mm, smaller.heel_gap_mm);
    assert_relative_eq!(ends, sagitta(60.0) - sagitta(75.0), epsilon = 1e-4);
    // A platen is the largest wheel, a flat facet comes from one.
    let platen = touch(&set_to(Face::Flat { normal: Angle::ZERO }, facet.across()), &facet);
    assert_eq!(platen.pattern(FILM_MM), Pattern::BothEnds);
    assert_relative_eq!(platen.middle_gap_mm, sagitta(75.0), epsilon = 1e-9);
    let flat = PresentFacet::new(Hollow::Flat, Angle::from_degrees(40.0), 8.0).unwrap();
    let half_turn = Angle::from_radians((4.0_f64 / 75.0).asin());
    let on_wheel = touch(&set_to(round(75.0), flat.across() - half_turn), &flat);
    assert_eq!(on_wheel.pattern(FILM_MM), Pattern::Middle);
}

/// At equal bevel at the edge a larger wheel touches the heel first and a smaller one the edge.
#[test]
fn other_wheel_at_equal_bevel_at_the_edge_touches_heel_or_edge() {
    let facet = hollow_facet(75.0, 40.0);
    assert_eq!(touch(&set_to(round(100.0), facet.at_edge()), &facet).pattern(FILM_MM), Pattern::Heel);
    assert_eq!(touch(&set_to(round(60.0), facet.at_edge()), &facet).pattern(FILM_MM), Pattern::Edge);
}
