//! Bevel to setting: every answer gives its target back, and a dense scan finds none that was missed.

use bevelbench_geometry::{
    math::Quantity,
    parts::Face,
    side::{Answer, Refusal, Setting, SideView, Support, Target},
};

use crate::random::{Random, answered};

const FREES: [Quantity; 6] = [
    Quantity::Reach,
    Quantity::Projection,
    Quantity::StrutAngle,
    Quantity::ToolLength,
    Quantity::TableTilt,
    Quantity::WheelDiameter,
];

fn read(view: &SideView, target: Target) -> f64 {
    match target {
        Target::AtEdge(_) => view.facet.at_edge.degrees(),
        Target::AcrossFacet(_) => view.facet.across.degrees(),
    }
}

fn asked(target: Target) -> f64 {
    let (Target::AtEdge(angle) | Target::AcrossFacet(angle)) = target;
    angle.degrees()
}

/// The steepness past which an answer is of no use in a workshop: degrees a millimetre or a degree.
fn steep(answer: &Answer, free: Quantity) -> bool {
    answer.view.slopes.by(free).is_none_or(|slope| slope.abs() > 20.0)
}

/// Over 10⁵ benches, each free input and both meanings of a target: what is found, evaluated, is the target.
#[test]
fn solving_then_evaluating_returns_the_target() {
    let mut r = Random::new(11);
    let (mut benches, mut answers, mut worst) = (0, 0, 0.0_f64);
    while benches < 100_000 {
        let setting = answered(&mut r);
        benches += 1;
        let angle = r.degrees(10.0, 120.0);
        for target in [Target::AtEdge(angle), Target::AcrossFacet(angle)] {
            for free in FREES {
                let Ok(found) = setting.find(target, free) else { continue };
                for answer in found.all() {
                    assert_eq!(answer.setting.evaluate_off_travel().unwrap(), answer.view);
                    assert_eq!(answer.off_travel.is_none(), answer.setting.evaluate().is_ok());
                    let off = (read(&answer.view, target) - asked(target)).abs();
                    if !steep(answer, free) {
                        assert!(off < 1e-9, "{off:e} {free:?} {target:?} {answer:?}");
                        worst = worst.max(off);
                    }
                    answers += 1;
                }
            }
        }
    }
    assert!(answers > 200_000, "{answers}");
    assert!(worst < 1e-9, "{worst:e}");
}

/// A bench's own bevel, asked for again, has the bench's own value among its answers.
#[test]
fn present_value_is_among_the_answers_to_the_present_bevel() {
    let mut r = Random::new(12);
    for _ in 0..20_000 {
        let setting = answered(&mut r);
        let view = setting.evaluate_off_travel().unwrap();
        for free in FREES {
            let Some(present) = setting.value_of(free) else { continue };
            let across_too = (view.facet.across - view.facet.at_edge).degrees() < 60.0;
            let targets = [Target::AtEdge(view.facet.at_edge), Target::AcrossFacet(view.facet.across)];
            for target in targets.into_iter().take(if across_too { 2 } else { 1 }) {
                let found =
                    setting.find(target, free).unwrap_or_else(|e| panic!("{e:?} {free:?} {setting:?}"));
                let off = |value: f64| {
                    let off = (value - present).abs();
                    if matches!(free, Quantity::StrutAngle | Quantity::TableTilt) {
                        off.min((off - 360.0).abs())
                    } else {
                        off
                    }
                };
                let least = found.all().map(|answer| off(answer.value)).fold(f64::INFINITY, f64::min);
                // Where the bevel hardly moves with the input the value is only as sharp as the bevel.
                let slope = view.slopes.by(free).unwrap().abs();
                let blunt = slope < 1e-6 && found.all().count() > 0;
                assert!(blunt || least < 1e-6 + 1e-10 / slope, "{least:e} {free:?} {target:?} {setting:?}");
            }
        }
    }
}

fn span(free: Quantity, setting: &Setting) -> (f64, f64) {
    match free {
        Quantity::Reach => (-400.0, 800.0),
        Quantity::Projection => (0.5, 400.0),
        Quantity::StrutAngle | Quantity::TableTilt => (-180.0, 180.0),
        Quantity::ToolLength => (5.0, 1_000.0),
        Quantity::WheelDiameter => {
            debug_assert!(matches!(setting.face, Face::Round { .. }));
            (2.0, 600.0)
        }
        _ => unreachable!(),
    }
}

/// Independent method: the input is scanned in 1,200 steps; wherever the reading crosses the target, the
/// crossing is closed in on, and must be among the answers.
#[test]
fn dense_scan_finds_no_answer_that_was_missed() {
    let mut r = Random::new(13);
    let mut crossings = [0; 6];
    for round in 0..900 {
        let setting = answered(&mut r);
        for (place, free) in FREES.into_iter().enumerate() {
            if setting.value_of(free).is_none() {
                continue;
            }
            let angle = r.degrees(15.0, 100.0);
            let target = if round % 2 == 0 { Target::AtEdge(angle) } else { Target::AcrossFacet(angle) };
            let found = setting.find(target, free);
            let off = |value: f64| {
                let view = setting.with(free, value)?.evaluate_off_travel().ok()?;
                Some(read(&view, target) - asked(target))
            };
            let (least, most) = span(free, &setting);
            let at = |i: i32| least + (most - least) * f64::from(i) / 1_200.0;
            let mut last = off(at(0));
            for i in 1..=1_200 {
                let here = off(at(i));
                let crossed = matches!((last, here), (Some(a), Some(b)) if (a <= 0.0) != (b <= 0.0));
                if crossed {
                    let Some(value) = close_in(&off, at(i - 1), at(i)) else { continue };
                    let found =
                        found.as_ref().unwrap_or_else(|e| panic!("{e:?}: {value} {free:?} {setting:?}"));
                    let least = found.all().map(|a| (a.value - value).abs()).fold(f64::INFINITY, f64::min);
                    assert!(least < 1e-5, "{value} missed, off {least:e}: {free:?} {target:?} {setting:?}");
                    crossings[place] += 1;
                }
                last = here;
            }
        }
    }
    assert!(crossings.iter().all(|n| *n > 60), "{crossings:?}");
}

/// Halves a change of sign down to a point; `None` where it is a jump.
fn close_in(off: &impl Fn(f64) -> Option<f64>, mut low: f64, mut high: f64) -> Option<f64> {
    let start = off(low)? <= 0.0;
    for _ in 0..80 {
        let mid = f64::midpoint(low, high);
        if (off(mid)? <= 0.0) == start {
            low = mid;
        } else {
            high = mid;
        }
    }
    (off(low)?.abs() < 1e-3).then_some(low)
}

/// A skew held askew in a holder can have more than two strut angles: the strut's end runs on an ellipse. All
/// are listed, and each is a different pose of the rig.
#[test]
fn strut_of_a_tool_held_askew_can_have_more_than_two_angles() {
    let mut r = Random::new(14);
    let mut most = 0;
    for _ in 0..20_000 {
        let mut setting = answered(&mut r);
        if !matches!(setting.support, Support::Holder { .. }) {
            continue;
        }
        setting.obliquity = r.degrees(25.0, 60.0);
        let Ok(view) = setting.evaluate_off_travel() else { continue };
        let found = setting.find(Target::AtEdge(view.bevel()), Quantity::StrutAngle).unwrap();
        most = most.max(found.all().count());
    }
    assert!(most >= 3, "{most}");
}

/// An answer beyond the travel is listed with what stops it; `nearest` never offers it.
#[test]
fn answers_off_the_travel_say_what_stops_them() {
    let mut r = Random::new(15);
    let mut stopped = 0;
    for _ in 0..5_000 {
        let setting = answered(&mut r);
        let bevel = setting.evaluate_off_travel().unwrap().bevel();
        let found = setting.find(Target::AtEdge(bevel), Quantity::Reach).unwrap();
        for answer in found.all() {
            match answer.off_travel {
                Some(Refusal::ReachOffArm { reach_mm, least_mm, most_mm }) => {
                    assert!(reach_mm < least_mm || reach_mm > most_mm);
                    stopped += 1;
                }
                Some(Refusal::StrutAngleOffTravel { .. }) | None => {}
                Some(other) => panic!("{other:?}"),
            }
        }
        assert!(found.nearest(0.0).is_none_or(|answer| answer.setting.evaluate().is_ok()));
    }
    assert!(stopped > 100, "{stopped}");
}
