//! Bench files as earlier versions of the program wrote them open, evaluate, and are written in today's form; one of a
//! form that does not exist yet is refused and left as it is.

use std::{fs, path::PathBuf};

use bevelbench::model::{
    history::History,
    keeper::{Keeper, read, steps_path},
    session::outcome_of,
};
use bevelbench_notebook::{
    answer::bench::Unanswered,
    saved::{
        Bench,
        file::{read_bench, write_bench},
        library::demo_bench,
    },
    store::{self, Place},
};

/// Each with what is counted in it: rigs, tools, settings, lessons, entries of the logs of wheels.
const OLDER: [(&str, [usize; 5]); 3] = [
    ("before_lessons", [3, 15, 25, 0, 0]),
    ("before_the_log", [3, 15, 25, 3, 0]),
    ("before_second_bevels", [3, 15, 25, 3, 6]),
];

fn fixture(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("reference/benches/{name}.bench.ron"))
}

/// A copy to work on: the fixtures themselves are never opened for writing.
fn copy_of(name: &str) -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("old.bench.ron");
    fs::copy(fixture(name), &path).unwrap();
    (dir, path)
}

fn counts(bench: &Bench) -> [usize; 5] {
    let logged = bench.rigs.iter().flat_map(|rig| &rig.wheels).map(|wheel| wheel.keep.diameters.len()).sum();
    [bench.rigs.len(), bench.tools.len(), bench.settings.len(), bench.lessons.len(), logged]
}

#[test]
fn a_bench_written_by_an_older_program_opens_with_all_that_is_in_it() {
    for (name, expected) in OLDER {
        let (_dir, path) = copy_of(name);
        let bench = read(&path).unwrap();
        assert_eq!(counts(&bench), expected, "{name}");
        // What it could not have known of is empty, not invented.
        assert!(bench.beside.is_none() && bench.trials.is_empty(), "{name}");
        assert!(bench.settings.iter().all(|setting| setting.further_steps.is_empty()), "{name}");
    }
}

#[test]
fn every_setting_of_an_older_bench_grinds_what_the_same_setting_grinds_today() {
    let today = demo_bench().unwrap();
    for (name, _) in OLDER {
        let (_dir, path) = copy_of(name);
        let bench = read(&path).unwrap();
        let mut compared = 0;
        for setting in &bench.settings {
            let bevel = |bench: &Bench, setting| -> Result<f64, Unanswered> {
                outcome_of(bench, setting).result.map(|view| view.bevel().degrees())
            };
            let now = today.setting(setting.id).unwrap();
            // One was moved in the demo bench since, to have drifted.
            let moved = now.support != setting.support;
            let (then, now) = (bevel(&bench, setting).unwrap(), bevel(&today, now).unwrap());
            if moved {
                continue;
            }
            assert!((then - now).abs() < 1e-9, "{name}, {}: {then}° then, {now}° now", setting.name);
            compared += 1;
        }
        assert!(compared + 1 >= bench.settings.len(), "{name}: {compared} compared");
    }
}

#[test]
fn an_older_bench_is_written_in_todays_form_and_nothing_of_it_is_lost() {
    for (name, _) in OLDER {
        let (_dir, path) = copy_of(name);
        let before = fs::read(&path).unwrap();
        let mut keeper = Keeper::file(&path, None).unwrap();
        let opened = keeper.take_opened();
        keeper.is_as_opened(1);
        assert_eq!(fs::read(&path).unwrap(), before, "{name}: opening alone writes nothing");
        let mut bench = opened.bench;
        let old = bench.clone();
        bench.title = "Gone on".to_owned();
        keeper.keep(&bench, &History::default(), 2);
        keeper.settle();
        let loaded = store::read_text(&path).unwrap();
        assert_eq!(loaded.seal, store::Seal::Whole, "{name}");
        assert_eq!(loaded.text, write_bench(&bench).unwrap().trim_end(), "{name}");
        assert_eq!(read_bench(&loaded.text).unwrap(), Bench { title: "Gone on".to_owned(), ..old }, "{name}");
        // The file as it was found lies beside it, byte for byte.
        assert_eq!(fs::read(store::version_before(&path)).unwrap(), before, "{name}");
        assert!(steps_path(&path).exists(), "{name}");
    }
}

#[test]
fn a_bench_of_a_form_that_does_not_exist_yet_is_refused_and_left_byte_for_byte() {
    let (dir, path) = copy_of("form_2");
    let whole = fs::read(fixture("form_2")).unwrap();
    let why = Keeper::file(&path, None).unwrap_err();
    assert!(why.contains("form 2") && why.contains("reads up to 1") && why.contains("update"), "{why}");
    // In place of the user's own bench too, whatever is done in the window then.
    let own = dir.path().join("bench.ron");
    fs::copy(&path, &own).unwrap();
    let mut keeper = Keeper::own_in(&Place { folder: dir.path().to_owned(), why: None }, None);
    let opened = keeper.take_opened();
    assert!(opened.reported.unwrap().contains("form 2"));
    keeper.keep(&opened.bench, &opened.history, 7);
    keeper.finish(&opened.bench, &opened.history, 8).unwrap();
    drop(keeper);
    for path in [&path, &own] {
        assert_eq!(fs::read(path).unwrap(), whole, "{}", path.display());
    }
    let mut names: Vec<_> =
        fs::read_dir(dir.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["bench.ron", "bench.ron.lock", "old.bench.ron"], "nothing else was written");
}
