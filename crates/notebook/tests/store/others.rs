//! A file that other programs remove, rename or change while a bench of it is open here.

use std::{
    fs,
    path::{Path, PathBuf},
    time::Duration,
};

use bevelbench_notebook::store::{
    SaveReport, Saver, Stamp, StoreError, copy_beside, free_beside, read_text, version_before, write_text,
};

/// Hands a text in and waits for what became of it.
fn save(saver: &Saver, path: &Path, text: &str) -> SaveReport {
    saver.submit(1, path.to_owned(), text.to_owned());
    assert!(saver.flush(Duration::from_secs(20)));
    saver.poll().unwrap()
}

/// A bench in a folder of its own, watched since it was read.
fn watched() -> (tempfile::TempDir, PathBuf, Saver) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("own.bench.ron");
    write_text(&path, "read").unwrap();
    let saver = Saver::new(None);
    saver.watch(&path, Some(read_text(&path).unwrap().stamp));
    (dir, path, saver)
}

#[test]
fn our_own_saves_are_never_taken_for_those_of_others() {
    let (_dir, path, saver) = watched();
    for round in 0..50 {
        // Some wait for each other, some are overtaken.
        saver.submit(round, path.clone(), format!("round {round}"));
        if round % 3 == 0 {
            assert!(saver.flush(Duration::from_secs(20)));
        }
    }
    assert!(saver.flush(Duration::from_secs(20)));
    for report in std::iter::from_fn(|| saver.poll()) {
        assert!(report.result.is_ok() && !report.was_gone, "{report:?}");
    }
    assert_eq!(read_text(&path).unwrap().text, "round 49");
}

#[test]
fn a_removed_or_renamed_file_is_written_anew_and_reported() {
    let (dir, path, saver) = watched();
    fs::remove_file(&path).unwrap();
    let report = save(&saver, &path, "anew");
    assert!(report.was_gone && report.result.is_ok());
    assert!(!save(&saver, &path, "again").was_gone, "told once");
    fs::rename(&path, dir.path().join("elsewhere.bench.ron")).unwrap();
    assert!(save(&saver, &path, "anew").was_gone);
    assert_eq!(read_text(&dir.path().join("elsewhere.bench.ron")).unwrap().text, "again");
    // The whole folder too.
    fs::remove_dir_all(dir.path()).unwrap();
    assert!(save(&saver, &path, "the folder anew").was_gone);
    assert_eq!(read_text(&path).unwrap().text, "the folder anew");
}

#[test]
fn what_another_program_wrote_is_left_and_ours_goes_beside_it_until_it_is_decided() {
    let (dir, path, saver) = watched();
    fs::write(&path, "theirs").unwrap();
    for text in ["mine", "mine, later"] {
        let report = save(&saver, &path, text);
        let Err(StoreError::ChangedByOthers { kept: Some(kept), .. }) = &report.result else {
            panic!("{report:?}")
        };
        assert_eq!(kept, &dir.path().join("own-yours-1.bench.ron"));
        assert_eq!(read_text(kept).unwrap().text, text);
        assert_eq!(fs::read_to_string(&path).unwrap(), "theirs");
        let words = report.result.unwrap_err().to_string();
        assert!(words.contains("own.bench.ron") && words.contains("own-yours-1.bench.ron"), "{words}");
    }
    // Decided: theirs is what is known now.
    saver.watch(&path, Some(read_text(&path).unwrap().stamp));
    assert!(save(&saver, &path, "mine, over theirs").result.is_ok());
    assert_eq!(read_text(&version_before(&path)).unwrap().text, "theirs");
}

#[test]
fn a_file_that_was_put_there_where_none_was_is_not_written_over() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    let saver = Saver::new(None);
    saver.watch(&path, None);
    fs::write(&path, "theirs").unwrap();
    assert!(matches!(save(&saver, &path, "mine").result, Err(StoreError::ChangedByOthers { .. })));
    assert_eq!(fs::read_to_string(&path).unwrap(), "theirs");
    assert_eq!(read_text(&dir.path().join("bench-yours-1.bench.ron")).unwrap().text, "mine");
}

#[test]
fn a_folder_put_in_place_of_the_file_is_left_and_ours_goes_beside_it() {
    let (dir, path, saver) = watched();
    fs::remove_file(&path).unwrap();
    fs::create_dir(&path).unwrap();
    assert!(matches!(save(&saver, &path, "mine").result, Err(StoreError::ChangedByOthers { .. })));
    assert_eq!(read_text(&dir.path().join("own-yours-1.bench.ron")).unwrap().text, "mine");
    assert!(copy_beside(&path, "theirs").is_err());
}

#[test]
fn the_same_text_put_there_by_another_program_is_no_change() {
    let (dir, path, saver) = watched();
    let twin = dir.path().join("twin");
    write_text(&twin, "mine").unwrap();
    fs::rename(&twin, &path).unwrap();
    assert!(save(&saver, &path, "mine").result.is_ok());
    assert_eq!(fs::read_to_string(&path).unwrap().lines().next(), Some("mine"));
    assert_eq!(Stamp::of_text("mine"), Stamp::of_text("mine\n"));
}

#[test]
fn a_failed_copy_of_our_version_is_reported() {
    let (dir, path, saver) = watched();
    // A file stands where the folder was: nothing can be written there at all.
    let folder = dir.path().to_owned();
    fs::remove_dir_all(&folder).unwrap();
    fs::write(&folder, "a file").unwrap();
    let report = save(&saver, &path, "mine");
    let words = report.result.unwrap_err().to_string();
    assert!(words.contains("somewhere else"), "{words}");
    fs::remove_file(&folder).unwrap();
}

#[test]
fn free_names_beside_a_bench_are_free_and_copies_are_byte_for_byte() {
    let dir = tempfile::tempdir().unwrap();
    for (name, stem) in [("own.bench.ron", "own"), ("bench.ron", "bench"), ("odd", "odd")] {
        let path = dir.path().join(name);
        fs::write(&path, b"\xff\0odd").unwrap();
        for count in 1..=3 {
            let copy = copy_beside(&path, "theirs").unwrap();
            assert_eq!(copy, dir.path().join(format!("{stem}-theirs-{count}.bench.ron")));
            assert_eq!(fs::read(copy).unwrap(), b"\xff\0odd");
        }
        assert_eq!(free_beside(&path, "theirs"), dir.path().join(format!("{stem}-theirs-4.bench.ron")));
    }
}

#[test]
fn a_file_written_alone_is_sealed_and_leaves_no_version_before() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("own.bench.ron.steps");
    let saver = Saver::new(None);
    for text in ["one", "two"] {
        saver.submit_alone(1, path.clone(), text.to_owned());
        assert!(saver.flush(Duration::from_secs(20)));
    }
    assert_eq!(read_text(&path).unwrap().text, "two");
    assert_eq!(read_text(&path).unwrap().seal, bevelbench_notebook::store::Seal::Whole);
    assert!(!version_before(&path).exists());
}
