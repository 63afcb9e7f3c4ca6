//! What can happen to a bench file on a real disk, and what must hold then.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::{
    fs,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
    time::Duration,
};

use bevelbench_notebook::store::{
    Claim, Place, Saver, Seal, StoreError, file_stem_from_name, read_text, seal, set_aside, unseal,
    write_bytes, write_text,
};
use proptest::prelude::*;

fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn words_of_the_seal_inside_a_text_cut_nothing_off() {
    for text in [
        "V1(note: \"// check: 12\")",
        "// check: 12 and then words\nV1()",
        "V1() // check: nothing",
        "V1(\n    // check: the rest gap\n)",
    ] {
        assert_eq!(unseal(text), (text, Seal::Absent), "{text}");
        let sealed = seal(text);
        assert_eq!(unseal(&sealed), (text, Seal::Whole), "{text}");
    }
}

#[test]
fn a_damaged_version_does_not_push_out_the_good_one_before_it() {
    for damaged in [&b""[..], b"\0\0\0\0\0\0", b"V1(\xff\xfe)", b" \n"] {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bench.ron");
        write_text(&path, "first").unwrap();
        write_text(&path, "second").unwrap();
        fs::write(&path, damaged).unwrap();
        write_text(&path, "third").unwrap();
        assert_eq!(read_text(&path).unwrap().text, "third");
        assert_eq!(read_text(&beside(&path, ".before")).unwrap().text, "first", "after {damaged:?}");
    }
}

#[test]
fn a_save_succeeds_where_the_version_before_cannot_be_kept() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "first").unwrap();
    fs::create_dir(beside(&path, ".before")).unwrap();
    write_text(&path, "second").unwrap();
    assert_eq!(read_text(&path).unwrap().text, "second");
    assert_eq!(names_in(dir.path()), ["bench.ron", "bench.ron.before"], "a half-written file was left");
}

#[cfg(unix)]
#[test]
fn setting_a_link_aside_moves_what_it_leads_to() {
    let dir = tempfile::tempdir().unwrap();
    let (real, link) = (dir.path().join("real.ron"), dir.path().join("link.ron"));
    fs::write(&real, "damaged").unwrap();
    std::os::unix::fs::symlink("real.ron", &link).unwrap();
    let aside = set_aside(&link).unwrap();
    assert_eq!(fs::read_to_string(&aside).unwrap(), "damaged");
    assert!(!aside.symlink_metadata().unwrap().file_type().is_symlink());
    // Through the link, which now leads to nothing, the bench is made anew.
    write_text(&link, "new").unwrap();
    assert_eq!(read_text(&real).unwrap().text, "new");
    assert!(link.symlink_metadata().unwrap().file_type().is_symlink());
}

#[cfg(unix)]
#[test]
fn a_pipe_is_refused_without_waiting() {
    let dir = tempfile::tempdir().unwrap();
    let pipe = dir.path().join("pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    assert!(matches!(read_text(&pipe), Err(StoreError::NotAFile { .. })));
    assert!(matches!(write_text(&pipe, "x"), Err(StoreError::NotAFile { .. })));
}

#[cfg(unix)]
#[test]
fn links_in_a_ring_are_refused() {
    let dir = tempfile::tempdir().unwrap();
    let (one, other) = (dir.path().join("one"), dir.path().join("other"));
    std::os::unix::fs::symlink(&one, &other).unwrap();
    std::os::unix::fs::symlink(&other, &one).unwrap();
    assert!(read_text(&one).is_err());
    assert!(write_text(&one, "x").is_err());
    assert!(one.symlink_metadata().unwrap().file_type().is_symlink());
}

#[cfg(unix)]
#[test]
fn a_save_keeps_who_may_read_the_file() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "first").unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    write_text(&path, "second").unwrap();
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
}

#[test]
fn two_names_of_one_file_share_a_claim() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    fs::create_dir(dir.path().join("sub")).unwrap();
    let held = Claim::take(&path).unwrap();
    let roundabout = dir.path().join("sub").join("..").join("bench.ron");
    assert!(matches!(Claim::take(&roundabout), Err(StoreError::Claimed { .. })));
    // Whoever holds the claim can tell, and save to the file again under either name.
    assert!(held.covers(&path) && held.covers(&roundabout));
    assert!(!held.covers(&dir.path().join("other.ron")));
}

#[test]
fn a_save_to_one_file_does_not_push_out_a_save_to_another() {
    let dir = tempfile::tempdir().unwrap();
    for round in 0..50 {
        let (first, second) = (dir.path().join(format!("a{round}")), dir.path().join(format!("b{round}")));
        let saver = Saver::new(None);
        saver.submit(1, first.clone(), "one".into());
        saver.submit(2, second.clone(), "two".into());
        assert!(saver.flush(Duration::from_secs(20)));
        assert_eq!(read_text(&second).unwrap().text, "two");
        assert_eq!(read_text(&first).unwrap().text, "one");
    }
}

#[test]
fn closing_writes_what_was_handed_in_last_and_wakes_once_a_report() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    let woken = Arc::new(AtomicUsize::new(0));
    let counter = woken.clone();
    let saver = Saver::new(Some(Box::new(move || {
        counter.fetch_add(1, Ordering::SeqCst);
    })));
    for generation in 1..=20 {
        saver.submit(generation, path.clone(), format!("{generation}"));
    }
    drop(saver);
    assert_eq!(read_text(&path).unwrap().text, "20");
    assert!((1..=20).contains(&woken.load(Ordering::SeqCst)));
}

#[test]
fn no_patience_is_too_long() {
    assert!(Saver::new(None).flush(Duration::MAX));
}

#[test]
fn a_failed_save_is_reported_with_its_generation_and_the_next_one_is_tried() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    fs::create_dir(&path).unwrap();
    let saver = Saver::new(None);
    saver.submit(7, path.clone(), "text".into());
    assert!(saver.flush(Duration::from_secs(20)));
    let report = saver.poll().unwrap();
    assert_eq!(report.generation, 7);
    assert!(report.result.is_err());
    fs::remove_dir(&path).unwrap();
    saver.submit(8, path.clone(), "text".into());
    assert!(saver.flush(Duration::from_secs(20)));
    assert!(saver.poll().unwrap().result.is_ok());
    assert_eq!(read_text(&path).unwrap().text, "text");
}

#[test]
fn the_longest_name_still_fits_with_everything_put_behind_it() {
    let dir = tempfile::tempdir().unwrap();
    for name in ["\u{1d4b3}".repeat(300), "ä".repeat(300), "a".repeat(300)] {
        let path = dir.path().join(format!("{}.bench.ron", file_stem_from_name(&name)));
        write_text(&path, "first").unwrap();
        write_text(&path, "second").unwrap();
        let _claim = Claim::take(&path).unwrap();
        set_aside(&path).unwrap();
    }
}

#[test]
fn every_save_leaves_only_the_file_and_the_version_before() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    for round in 0..5 {
        write_text(&path, &round.to_string()).unwrap();
        write_bytes(&dir.path().join("picture.png"), &[round; 9]).unwrap();
    }
    assert_eq!(names_in(dir.path()), ["bench.ron", "bench.ron.before", "picture.png"]);
}

/// Run again by the test below, in other surroundings.
#[test]
fn the_place_is_a_full_path() {
    // A place that moved with the present folder would lose the bench.
    let place = Place::locate();
    assert!(place.folder.is_absolute(), "{}", place.folder.display());
    assert!(place.bench_path().starts_with(&place.folder));
    let expected = std::env::var("EXPECTED_WORDS").unwrap_or_default();
    assert!(place.why.unwrap_or_default().contains(&expected));
}

#[test]
fn the_place_is_a_full_path_in_any_surroundings() {
    let here = std::env::current_exe().unwrap();
    for (home, named, words) in [
        (Some("/nowhere/at/all"), None, ""),
        (Some("relative"), None, "no home folder"),
        (Some(""), None, ""),
        (None, None, ""),
        (Some("/nowhere"), Some("portable"), ""),
        (Some("relative"), Some(""), "no home folder"),
    ] {
        let mut again = std::process::Command::new(&here);
        again.args(["--exact", "the_place_is_a_full_path"]).env_clear().env("EXPECTED_WORDS", words);
        if let Some(home) = home {
            again.env("HOME", home);
        }
        if let Some(named) = named {
            again.env("BEVELBENCH_HOME", named);
        }
        let outcome = again.output().unwrap();
        assert!(
            outcome.status.success(),
            "HOME={home:?} named={named:?}: {}",
            String::from_utf8_lossy(&outcome.stdout)
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_text_is_sealed_and_unsealed(text in any::<String>()) {
        let sealed = seal(&text);
        let (body, state) = unseal(&sealed);
        prop_assert_eq!(state, Seal::Whole);
        prop_assert_eq!(body, text.trim_end());
    }

    #[test]
    fn any_name_becomes_a_safe_stem(name in any::<String>()) {
        let stem = file_stem_from_name(&name);
        prop_assert!(!stem.is_empty() && stem.len() <= 160, "{stem}");
        prop_assert!(!stem.chars().any(|c| "/\\:*?\"<>|.".contains(c) || c.is_control()), "{stem}");
        prop_assert_eq!(stem.trim(), stem.as_str());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bench.ron");
        fs::write(&path, &bytes).unwrap();
        match read_text(&path) {
            Ok(_) => prop_assert!(std::str::from_utf8(&bytes).is_ok()),
            Err(error) => prop_assert!(error.to_string().contains("bench.ron")),
        }
    }

    #[test]
    fn any_text_written_is_read_back(text in "[^\r\u{feff}]*") {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bench.ron");
        write_text(&path, &text).unwrap();
        let loaded = read_text(&path).unwrap();
        prop_assert_eq!(loaded.seal, Seal::Whole);
        prop_assert_eq!(loaded.text.as_str(), text.trim_end());
    }
}
