//! Settings that were planted are found again, whichever things of them are forgotten.

use bevelbench_geometry::{
    math::Quantity,
    side::{Support, Target},
    solve::{DegreeOfFreedom, Question, Rolling},
};

use super::{Random, bench, freedoms, planted, value};

/// Plants settings with a wing, forgets two things of each and looks for them again; returns what was missed.
fn missed_with_a_wing(random: &mut Random, count: usize) -> Vec<String> {
    let (mut planted_count, mut missed) = (0, Vec::new());
    while planted_count < count {
        let Some((question, setting, _)) = planted(random) else { continue };
        planted_count += 1;
        let freedoms = freedoms(&setting);
        let pairs = [[0, 1], [0, 2], [2, 1], [0, 3], [2, 3], [1, 3]];
        let [a, b] = pairs[planted_count % pairs.len()];
        let pair = [freedoms[a], freedoms[b]];
        // Somewhere else to start from: what is free must not matter.
        let mut moved = question;
        for one in pair {
            match one.what {
                Quantity::RollCentre => moved.rolling.as_mut().unwrap().roll_centre_mm = 2.0,
                free => {
                    moved.setting = moved.setting.with(free, f64::midpoint(one.least, one.most)).unwrap();
                }
            }
        }
        let found = moved.solve(&pair).unwrap();
        let own = question.solve(&[]).unwrap().answers[0];
        let again = found.answers.iter().any(|solution| {
            pair.iter().all(|one| (value(solution, one.what) - value(&own, one.what)).abs() < 1e-5)
        });
        if !again {
            let own = pair.map(|one| value(&own, one.what));
            missed.push(format!("{a}{b} {own:?}: {:?}", found.answers));
        }
        for solution in &found.answers {
            let real = Question {
                setting: solution.setting,
                rolling: question
                    .rolling
                    .map(|r| Rolling { roll_centre_mm: solution.roll_centre_mm.unwrap(), ..r }),
                ..question
            };
            let check = real.solve(&[]).unwrap();
            assert_eq!(check.answers.len(), 1, "{:?}", check.near);
        }
        assert!(found.answers.windows(2).all(|pair| pair[0].cost <= pair[1].cost));
    }
    missed
}

/// The same for the bevel alone, over every support and whatever it has to be moved; half of the bevels are meant across
/// the facet, and now and then the thing has stops.
fn missed_without_a_wing(random: &mut Random, count: usize) -> Vec<String> {
    let (mut planted_count, mut missed) = (0, Vec::new());
    while planted_count < count {
        let setting = bench(random, planted_count % 3);
        let Ok(view) = setting.evaluate() else { continue };
        planted_count += 1;
        let frees: &[Quantity] = match setting.support {
            Support::Handle { .. } => &[Quantity::Reach, Quantity::ToolLength],
            Support::Holder { .. } => &[Quantity::Reach, Quantity::Projection, Quantity::StrutAngle],
            Support::Table { .. } => &[Quantity::TableTilt],
        };
        let free = frees[planted_count / 3 % frees.len()];
        let was = setting.value_of(free).unwrap();
        let freedom = DegreeOfFreedom::on_travel(&setting, free)
            .unwrap_or_else(|| DegreeOfFreedom::within(free, 10.0, 500.0));
        let stops = [was - 3.0, was, was + 2.0];
        let across = random.next() < 0.5;
        let bevel =
            if across { Target::AcrossFacet(view.facet.across) } else { Target::AtEdge(view.bevel()) };
        let forgotten = setting.with(free, f64::midpoint(freedom.least, freedom.most)).unwrap();
        let question = Question { setting: forgotten, bevel, wing: None, rolling: None };
        let at_stops = random.next() < 0.2;
        let found = question.solve(&[if at_stops { freedom.at_stops(&stops) } else { freedom }]).unwrap();
        let again = found.answers.iter().any(|solution| (value(solution, freedom.what) - was).abs() < 1e-5);
        if !again {
            missed.push(format!("{free:?} {was}: {found:?}"));
        }
    }
    missed
}

#[test]
fn planted_settings_are_found_again_whichever_quantities_are_free() {
    assert_eq!(missed_with_a_wing(&mut Random(0xDEAD_BEEF_1234_5678), 3000), [""; 0]);
    assert_eq!(missed_without_a_wing(&mut Random(0xFEED_F00D_8765_4321), 30_000), [""; 0]);
}

/// Less than a minute: `cargo test -p bevelbench-geometry --test solve -- --ignored`.
#[test]
#[ignore = "a million settings: run after a change of the solver"]
fn a_million_planted_settings_are_found_again() {
    let mut missed = Vec::new();
    for turn in 0..100_u64 {
        let seed = 0x9E37_79B9_7F4A_7C15_u64.wrapping_mul(turn + 1);
        missed.extend(missed_with_a_wing(&mut Random(seed), 5000));
        missed.extend(missed_without_a_wing(&mut Random(seed ^ 0x5555), 5000));
    }
    assert!(missed.is_empty(), "{} of a million missed: {missed:#?}", missed.len());
}
