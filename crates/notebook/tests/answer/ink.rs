//! What the ink test says of the demo's settings: sentence, direction and amount come from one solution.
//!
//! Independent of the closed form: the setting is moved as told and laid on the wheel again.

use bevelbench_geometry::{
    facet::{InkRemedy, Pattern, ink::FILM_ASSUMED_MM},
    math::Quantity,
    side::{Job, Target},
};
use bevelbench_notebook::{
    quantity::{LengthUnit, length_text},
    saved::{Bench, SettingEntry, library::demo_bench},
    words::ink_words,
};

/// The setting's answer with its reach or tilt moved, and what ink says there.
fn told(job: &Job, value: f64) -> Option<(Pattern, InkRemedy, String)> {
    let free = job.setting.follows_wheel();
    let setting = job.setting.with(free, value)?;
    let map = setting.ink(job.tool.profile()?, FILM_ASSUMED_MM).ok()?;
    let remedy = setting.ink_remedy(&map, free);
    let words =
        ink_words(map.pattern_at_edge(), &remedy, free, &|mm| length_text(mm, LengthUnit::Millimetre));
    Some((map.pattern_at_edge(), remedy, words.together()))
}

fn settings(bench: &Bench) -> impl Iterator<Item = (&SettingEntry, Job)> {
    bench.settings.iter().filter_map(|entry| Some((entry, bench.answer(entry).ok()?.0)))
}

#[test]
fn every_setting_of_the_demo_is_told_one_thing() {
    let bench = demo_bench().unwrap();
    let (mut told_of, mut moves, mut idle, mut otherwise) = (0, 0, 0, 0);
    for (entry, job) in settings(&bench) {
        let free = job.setting.follows_wheel();
        let start = job.setting.value_of(free).unwrap();
        for step in -200..=200 {
            let value = start + 0.1 * f64::from(step);
            let Some((pattern, remedy, words)) = told(&job, value) else { continue };
            let what = format!("{} at {value}: {pattern:?} {words}", entry.name);
            told_of += 1;
            assert!(!words.contains("by 0 mm") && !words.contains("by 0.0 mm"), "{what}");
            match remedy {
                InkRemedy::Move(to_move) => {
                    moves += 1;
                    let (more, less) = if free == Quantity::TableTilt {
                        (" up by ", " down by ")
                    } else {
                        (" out by ", " in by ")
                    };
                    assert!(words.contains(if to_move.by > 0.0 { more } else { less }), "{what}");
                    let (there, then, _) = told(&job, value + to_move.by).unwrap();
                    assert!(!matches!(there, Pattern::Edge | Pattern::Heel), "{what}, then {there:?}");
                    assert!(
                        matches!(then, InkRemedy::Clean | InkRemedy::AsGoodAsItGets),
                        "{what}, then {then:?}"
                    );
                    // What the bevel at the edge alone would have asked for.
                    let setting = job.setting.with(free, value).unwrap();
                    let own = job.tool.present().unwrap().at_edge();
                    let by_edge = setting.find(Target::AtEdge(own), free).ok();
                    let by_edge = by_edge.and_then(|all| {
                        all.all().map(|a| a.value - value).min_by(|a, b| a.abs().total_cmp(&b.abs()))
                    });
                    otherwise += usize::from(by_edge.is_some_and(|by| by * to_move.by <= 0.0));
                }
                InkRemedy::Clean | InkRemedy::AsGoodAsItGets => {
                    idle += 1;
                    assert!(words.contains("Nothing to move"), "{what}");
                }
                InkRemedy::NoPlace | InkRemedy::StandsOut => {}
            }
        }
    }
    assert!(told_of > 5000 && moves > 5000 && idle > 30, "{told_of} {moves} {idle}");
    // Where the hollow is another wheel's the bevel at the edge alone points the other way, or nowhere.
    assert!(otherwise > 20, "{otherwise}");
}

/// Settings that keep the bevel at the edge on a wheel of another size than the one that made the hollow: the bevel alone
/// would move them by 0.0 mm, or the other way.
#[test]
fn another_wheel_s_hollow_is_moved_for_by_what_touches() {
    let bench = demo_bench().unwrap();
    for (name, value, by) in [
        ("Long grind, shaping wheel", 166.0, -0.6),
        ("Long grind, shaping wheel", 165.8, -0.4),
        ("Swept, shaping wheel", 140.6, -0.4),
        ("Gouge wings, 45°", 142.5, -0.7),
        ("Show: long grind, 85 mm", 169.2, -0.7),
        ("Show: swept, 85 mm", 146.2, -0.6),
        ("Show: both faces", -45.0, -0.8),
    ] {
        let (_, job) = settings(&bench).find(|(entry, _)| entry.name == name).unwrap();
        let (pattern, remedy, words) = told(&job, value).unwrap();
        let to_move = *remedy.to_move().unwrap();
        assert!(pattern == Pattern::Edge && (to_move.by - by).abs() < 0.06, "{name}: {} {words}", to_move.by);
        // As far beyond that move as before it, it is the heel that touches.
        let there = told(&job, value + 2.3 * to_move.by).unwrap().0;
        assert_eq!(there, Pattern::Heel, "{name}");
    }
    let (_, job) = settings(&bench).find(|(entry, _)| entry.name == "Fine point, 85 mm").unwrap();
    let (pattern, _, words) = told(&job, job.setting.value_of(Quantity::Reach).unwrap()).unwrap();
    assert!(pattern == Pattern::Edge && words.contains("less than can be set by hand"), "{words}");
}
