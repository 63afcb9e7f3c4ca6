//! Where steel begins against what the wheel's own poses take, place by place: every kind of line, stone and swing.
//!
//! Derived here: a place of the roll frame is taken by the pose at its own roll angle if the swing goes so far, and by
//! the wheel standing at either end if that is wide enough. How deep a place lies in one of them is looked up at many
//! places of a ray; nothing is solved.

use super::*;
use crate::swept::roll::RollLine;

/// The fractional part of a multiple: numbers spread evenly, the same each time.
fn spread(i: u32, step: f64, low: f64, high: f64) -> f64 {
    low + (high - low) * (f64::from(i) * step).fract()
}

/// Lines down to the pivot, up to it, along the tool, steep, and upright as for a scraper on its table.
fn lines() -> [RollLine; 6] {
    let through = |s, h, centre| RollLine::through(DVec2::new(s, h), centre).unwrap();
    [
        through(139.5, -49.5, 0.0),
        through(110.0, 30.0, -1.0),
        through(125.0, 1.5, 1.5),
        through(20.0, -110.0, 2.0),
        through(160.0, -20.0, 6.0),
        RollLine::upright(14.0).unwrap(),
    ]
}

/// Swings of every width, narrow and wide stones, round ones and flat ones, blunt and keen.
fn sweeps() -> Vec<Sweep> {
    let mut all = Vec::new();
    for i in 0..700 {
        let line = lines()[i as usize % 6];
        let turn = [0.0, 0.0, 7.0, -13.0][i as usize / 6 % 4];
        let bevel = Angle::from_degrees(spread(i, 0.618_034, 20.0, 150.0));
        let half = [2.0, 25.0, 60.0, 90.0, 90.0, 115.0, 150.0, 180.0][i as usize / 5 % 8];
        let width = [0.8, 4.0, 12.0, 40.0][i as usize / 3 % 4];
        let radius = spread(i, 0.414_214, 12.0, 110.0);
        let frame = RollFrame::new(&line, Angle::from_degrees(turn));
        let nose = frame.point(DVec3::new(0.0, -4.0, 0.0));
        let nose = DVec2::new(nose.x, nose.y.hypot(nose.z));
        let in_tool = DVec2::new(bevel.sin(), bevel.cos());
        let normal = DVec2::new(in_tool.dot(line.along_in_tool()), in_tool.dot(line.square_in_tool()));
        let profile = if i % 7 < 4 {
            Profile::Circle { centre: nose - radius * normal, radius }
        } else {
            Profile::Line { normal, offset: normal.dot(nose) }
        };
        all.push(Sweep::new(frame, profile, Angle::from_degrees(half), width));
    }
    all
}

/// How deep a place lies in what the wheel takes, in millimetres, over many poses and its own; swing and width are wider by
/// `slack`.
fn depth(sweep: &Sweep, place: DVec3, slack: f64) -> f64 {
    let p = sweep.frame.point(place);
    let off_line = DVec2::new(p.y, p.z);
    let inside = |u: f64, r: f64| match sweep.profile {
        Profile::Circle { centre, radius } => radius - (u - centre.x).hypot(r - centre.y),
        Profile::Line { normal, offset } => offset - normal.dot(DVec2::new(u, r)),
    };
    let own = p.z.atan2(p.y);
    // The poses that bring the place to the wheel's side, or level with its centre: the best may be one of them.
    let lean = (sweep.half_width / off_line.length()).min(1.0).asin();
    let level = match sweep.profile {
        Profile::Circle { centre, .. } => (centre.y / off_line.length()).clamp(-1.0, 1.0).acos(),
        Profile::Line { .. } => 0.0,
    };
    let turned =
        [0.0, -lean, lean, -level, level].map(|turn| own + turn).map(|pose| pose.sin().atan2(pose.cos()));
    let far = turned.map(|pose| (-pose.sin()).atan2(-pose.cos()));
    let many = (0..=40).map(|i| sweep.half * (f64::from(i) / 20.0 - 1.0));
    turned
        .into_iter()
        .chain(far)
        .chain(many)
        .filter(|pose| pose.abs() <= sweep.half + slack)
        .map(DVec2::from_angle)
        .filter(|spoke| spoke.perp_dot(off_line).abs() <= sweep.half_width + slack)
        .map(|spoke| inside(p.x, spoke.dot(off_line)))
        .fold(f64::NEG_INFINITY, f64::max)
}

#[test]
fn steel_begins_behind_the_last_place_that_a_pose_takes() {
    let (mut faces, mut nowhere) = (std::collections::HashSet::new(), 0);
    for (i, sweep) in (0..).zip(sweeps()) {
        for j in 0..9 {
            let (w, h) = (spread(9 * i + j, 0.732_051, -8.0, 8.0), spread(9 * i + j, 0.236_068, -9.0, 7.0));
            let w = if j == 0 { 0.0 } else { w };
            // About an upright line the sides of the wheel are met far out only.
            let w = if sweep.frame.along.x == 0.0 { 2.0 * w } else { w };
            let hit = sweep.start(w, h);
            let place = |s: f64| DVec3::new(s, h, w);
            let stated = format!("{sweep:?}\n{w} {h} {hit:?}");
            let start = hit.map_or(-300.0, |hit| hit.s_mm);
            for k in 0..1200 {
                let s = 300.0 - 0.5 * f64::from(k);
                assert!(s <= start + 1e-6 || depth(&sweep, place(s), -1e-7) < 1e-6, "{stated}: taken at {s}");
            }
            let Some(hit) = hit else {
                nowhere += 1;
                continue;
            };
            assert!(depth(&sweep, place(hit.s_mm), 1e-6) > -1e-5, "{stated}: not taken");
            faces.insert(hit.face);
            if hit.s_mm.abs() > 300.0 {
                continue;
            }
            for guess in [hit.s_mm - 9.0, hit.s_mm + 0.01, hit.s_mm + 30.0, -2000.0] {
                let near = sweep.start_near(w, h, Some(guess)).unwrap();
                assert!((near.s_mm - hit.s_mm).abs() < 1e-6, "{stated}: guessed {guess}");
            }
        }
    }
    assert!(faces.len() == 8 && nowhere > 50, "{faces:?} {nowhere}");
}

/// Ways in all directions of the section, also up and out of the swing, short and long.
#[test]
fn ways_all_round_in_a_section_meet_what_a_pose_takes() {
    let (mut short, mut whole) = (0, 0);
    for (i, sweep) in (0..).zip(sweeps()) {
        if !matches!(sweep.profile, Profile::Circle { .. }) {
            continue;
        }
        for j in 0..16 {
            let at = 16 * i + j;
            let wall = DVec2::new(spread(at, 0.732_051, -12.0, 12.0), spread(at, 0.236_068, -12.0, 12.0));
            let Some(hit) = sweep.start(wall.x, wall.y) else { continue };
            let station = hit.s_mm + spread(at, 0.545_085, 0.001, 3.0);
            let inward = DVec2::from_angle(spread(at, 0.162_278, 0.0, std::f64::consts::TAU));
            let through = spread(at, 0.872_983, 0.5, 25.0);
            let place = |t: f64| DVec3::new(station, wall.y + t * inward.y, wall.x + t * inward.x);
            // Where the way comes back into the swing, or crosses what is taken and goes on, more is asked than is reported.
            let deep = |k: u32| depth(&sweep, place(through * f64::from(k) / 400.0), 0.0);
            let Some(first_deep) = (0..=400).find(|k| deep(*k) > 1e-6) else {
                whole += 1;
                let first = sweep.first_gone(station, wall, inward, through);
                assert!(
                    first >= through * 0.9975 || depth(&sweep, place(first), 1e-6) > -1e-5,
                    "{i} {at}: {first}"
                );
                continue;
            };
            if (first_deep..=400).any(|k| deep(k) <= 1e-6) {
                continue;
            }
            short += 1;
            let first = sweep.first_gone(station, wall, inward, through);
            let stated = format!("{sweep:?}\n{wall} {station} {inward} {through}: {first} {first_deep}");
            assert!(first <= through * f64::from(first_deep) / 400.0 + 1e-6, "{stated}");
            assert!(depth(&sweep, place(first), 1e-6) > -1e-5, "{stated}: not gone");
        }
    }
    assert!(short > 200 && whole > 200, "{short} {whole}");
}

/// Within a section square to the tool, along a way into the steel.
#[test]
fn the_first_place_gone_in_a_section_is_the_first_that_a_pose_takes() {
    let (mut short, mut whole) = (0, 0);
    for (i, sweep) in (0..).zip(sweeps()) {
        for j in 0..12 {
            let at = 12 * i + j;
            let wall = DVec2::new(spread(at, 0.732_051, -7.0, 7.0), spread(at, 0.236_068, -6.0, 6.0));
            let Some(hit) = sweep.start(wall.x, wall.y) else { continue };
            let station = hit.s_mm + 5.0;
            let inward = -DVec2::from_angle(spread(at, 0.162_278, 0.6, 2.5));
            let through = spread(at, 0.872_983, 1.0, 9.0);
            let place = |t: f64| DVec3::new(station, wall.y + t * inward.y, wall.x + t * inward.x);
            let first = sweep.first_gone(station, wall, inward, through);
            let stated = format!("{sweep:?}\n{wall} {station} {inward} {through}: {first}");
            for k in 0..500 {
                let t = through * f64::from(k) / 500.0;
                assert!(t >= first - 1e-6 || depth(&sweep, place(t), -1e-7) < 1e-6, "{stated}: gone at {t}");
            }
            if first < through {
                short += 1;
                assert!(depth(&sweep, place(first), 1e-6) > -1e-5, "{stated}: not gone");
            } else {
                whole += 1;
            }
        }
    }
    assert!(short > 200 && whole > 200, "{short} {whole}");
}
