//! The curves of answers where one quantity more is free than is needed.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    math::Angle,
    side::Target,
    solve::{DegreeOfFreedom, Question, SolveError, WingTarget},
};

use super::{Random, freedoms, planted, value, worked, worked_rolling};

#[test]
fn one_quantity_more_than_needed_gives_a_family() {
    let setting = worked();
    let [reach, angle, projection, _] = freedoms(&setting);
    let bevel = Target::AtEdge(Angle::from_degrees(45.0));
    let plain = Question { setting, bevel, wing: None, rolling: Some(worked_rolling()) };
    let found = plain.solve(&[reach, projection]).unwrap();
    assert!(found.family.len() > 20 && found.answers.is_empty() && found.short.is_empty());
    for solution in &found.family {
        assert_relative_eq!(solution.setting.evaluate().unwrap().bevel().degrees(), 45.0, epsilon = 1e-9);
    }
    let winged = Question { wing: Some(WingTarget::Sweep { mm: 8.0 }), ..plain };
    let found = winged.solve(&[reach, projection, angle]).unwrap();
    assert!(!found.family.is_empty());
    for solution in &found.family {
        assert!(solution.wing_off.abs() < 1e-8 && solution.bevel_off.degrees().abs() < 1e-9);
    }
    let all = freedoms(&setting);
    assert_eq!(winged.solve(&all), Err(SolveError::TooManyFreedoms { free: 4, targets: 2 }));
}

#[test]
fn branches_hold_the_whole_family_and_end_where_something_stops_them() {
    let mut random = Random(0x0BAD_CAFE_1357_9BDF);
    let (mut families, mut narrowed) = (0, 0);
    while families < 60 {
        let Some((question, setting, sweep)) = planted(&mut random) else { continue };
        let [reach, strut, projection, _] = freedoms(&setting);
        let winged = families % 3 == 2;
        families += 1;
        let wing = winged.then_some(WingTarget::Sweep { mm: sweep });
        let question = Question { wing, ..question };
        let free: &[DegreeOfFreedom<'_>] = if winged {
            &[reach, strut, projection]
        } else if families % 2 == 0 {
            &[reach, projection]
        } else {
            &[strut, reach]
        };
        let found = question.solve(free).unwrap();
        let Some(family) = question.family(free, &found) else { continue };
        let x = free.iter().find(|one| one.what == family.walked).unwrap();
        let step = (x.most - x.least) / 60.0;
        // Every sample is on a branch, every member meets the targets, and a branch never goes back.
        let sampled: usize = family.branches.iter().map(Vec::len).sum();
        assert!(sampled >= found.family.len());
        for branch in &family.branches {
            let at: Vec<f64> = branch.iter().map(|member| value(member, family.walked)).collect();
            assert!(at.windows(2).all(|pair| pair[0] < pair[1] && pair[1] - pair[0] < 1.01 * step), "{at:?}");
            for member in branch {
                assert!(member.bevel_off.degrees().abs() < 1e-8 && member.wing_off.abs() < 1e-8);
                assert!(member.cost >= 0.0);
            }
            // Past a narrowed end nothing goes on: slightly further there is no answer near, or it is the range's end.
            let (last, end) = (branch.last().unwrap(), at[at.len() - 1]);
            let tolerance = step * 1e-3;
            let ended = end + tolerance > x.most
                || question.member(free, end + tolerance, last).is_none_or(|further| {
                    free.iter()
                        .filter(|one| one.what != family.walked)
                        .any(|one| (value(&further, one.what) - value(last, one.what)).abs() > 0.3 * (one.most - one.least))
                })
                // Two branches that meet: the other one is all there is.
                || family.branches.len() > 1;
            assert!(ended, "{end} of {}..{}", x.least, x.most);
            narrowed += usize::from(end + tolerance < x.most);
            // Between two samples there is a member, and near both.
            if let [a, b, ..] = branch.as_slice() {
                let middle = f64::midpoint(value(a, family.walked), value(b, family.walked));
                let member = question.member(free, middle, a).unwrap();
                assert!(member.bevel_off.degrees().abs() < 1e-8);
            }
        }
    }
    assert!(narrowed > 20, "{narrowed}");
}
