#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use std::{
    cell::Cell,
    fs::{self, File},
    io,
    path::Path,
    time::{Duration, SystemTime},
};

use atomic_write_file::AtomicWriteFile;

use super::{
    disk::{Disk, RealDisk, write_text_to},
    *,
};

/// A disk whose steps fail from one on, once or for ever; a write that fails has written half.
struct Failing {
    steps: Cell<u32>,
    from: u32,
    for_ever: bool,
    /// The last step fails after the rename instead of before it, as flushing the folder does.
    late: bool,
}

impl Failing {
    fn at(from: u32, for_ever: bool, late: bool) -> Self {
        Self { steps: Cell::new(0), from, for_ever, late }
    }

    fn step(&self) -> io::Result<()> {
        let step = self.steps.get();
        self.steps.set(step + 1);
        if step == self.from || (self.for_ever && step > self.from) {
            return Err(io::Error::other("no space left"));
        }
        Ok(())
    }
}

impl Disk for Failing {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        RealDisk.make_folder(folder)
    }
    fn begin(&self, target: &Path) -> io::Result<AtomicWriteFile> {
        self.step()?;
        RealDisk.begin(target)
    }
    fn write(&self, file: &mut AtomicWriteFile, bytes: &[u8]) -> io::Result<()> {
        let outcome = self.step();
        RealDisk.write(file, if outcome.is_err() { &bytes[..bytes.len() / 2] } else { bytes })?;
        outcome
    }
    fn flush(&self, file: &AtomicWriteFile) -> io::Result<()> {
        self.step()?;
        RealDisk.flush(file)
    }
    fn commit(&self, file: AtomicWriteFile) -> io::Result<()> {
        let outcome = self.step();
        if outcome.is_err() && !self.late {
            // A rename that fails leaves the half-written file behind.
            std::mem::forget(file);
            return outcome;
        }
        RealDisk.commit(file)?;
        outcome
    }
}

fn names_in(folder: &Path) -> Vec<std::ffi::OsString> {
    let mut names: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    names
}

/// Begin, write, flush, commit: first for the version before, then for the file itself.
const STEPS: u32 = 8;

#[test]
fn whichever_write_step_fails_the_file_is_whole_and_the_failure_is_reported() {
    for (from, for_ever) in (0..STEPS).flat_map(|from| [(from, false), (from, true)]) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bench.ron");
        write_text(&path, "oldest").unwrap();
        write_text(&path, "old").unwrap();
        // A person's own file, of long ago.
        let own = File::create(dir.path().join(".bench.ron.Backup")).unwrap();
        own.set_modified(SystemTime::now() - Duration::from_hours(1)).unwrap();
        let outcome = write_text_to(&Failing::at(from, for_ever, false), &path, "new");
        let about = format!("step {from}, for ever: {for_ever}");
        // Not keeping the version before is no reason not to save.
        let saved = from < STEPS / 2 && !for_ever;
        assert_eq!(outcome.is_ok(), saved, "{about}");
        if let Err(failed) = outcome {
            let words = failed.to_string();
            assert!(words.contains("bench.ron") && words.contains("no space left"), "{words}");
            assert!(words.contains("somewhere else"), "{words}");
        }
        let now = read_text(&path).unwrap();
        assert_eq!(
            (now.text.as_str(), now.seal),
            (if saved { "new" } else { "old" }, Seal::Whole),
            "{about}"
        );
        let before = read_text(&version_before(&path)).unwrap();
        assert_eq!(before.text, if from < STEPS / 2 { "oldest" } else { "old" }, "{about}");
        assert_eq!(before.seal, Seal::Whole, "{about}");
        assert_eq!(names_in(dir.path()), [".bench.ron.Backup", "bench.ron", "bench.ron.before"], "{about}");
        // And the next one succeeds.
        write_text(&path, "newer").unwrap();
        assert_eq!(read_text(&path).unwrap().text, "newer", "{about}");
    }
}

#[test]
fn a_save_makes_no_more_steps_than_are_made_to_fail_here() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "old").unwrap();
    let counting = Failing::at(u32::MAX, false, false);
    write_text_to(&counting, &path, "new").unwrap();
    assert_eq!(counting.steps.get(), STEPS);
}

#[test]
fn a_change_that_may_not_last_is_not_called_saved() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "old").unwrap();
    let outcome = write_text_to(&Failing::at(STEPS - 1, false, true), &path, "new");
    assert!(matches!(outcome, Err(StoreError::Write { .. })));
    assert_eq!(read_text(&path).unwrap().text, "new");
    assert_eq!(read_text(&version_before(&path)).unwrap().text, "old");
}

#[test]
fn where_the_first_save_fails_nothing_is_left_behind() {
    // Make the folder, begin, write, flush, commit.
    for from in 0..5 {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("new/bench.ron");
        write_text_to(&Failing::at(from, false, false), &path, "new").unwrap_err();
        let left = if from == 0 { names_in(dir.path()) } else { names_in(&dir.path().join("new")) };
        assert!(left.is_empty(), "step {from} left {left:?}");
        write_text_to(&Failing::at(5, false, false), &path, "new").unwrap();
    }
}

#[test]
fn only_half_written_files_are_swept_and_only_old_ones() {
    let dir = tempfile::tempdir().unwrap();
    let ours = [
        ".bench.ron.a1B2c3",
        ".bench.ron.before.XyZabc",
        ".window.ron.000abc",
        ".shows.bench.ron.a1B2c3",
        ".my.own.bench.ron.before.Ab12cd",
    ];
    let theirs = [
        ".bench.ron",
        ".bench.ron.202611",
        ".bench.ron.Backup",
        ".bench.ron.ORIGIN",
        ".bench.ron.backup",
        ".bench.ron.swp",
        ".other.ron.a1B2c3",
        "bench.ron.a1B2c3",
        "bench.ron.before",
    ];
    for name in ours.iter().chain(&theirs) {
        let file = File::create(dir.path().join(name)).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_hours(1)).unwrap();
    }
    // A save that is under way in another window.
    File::create(dir.path().join(".bench.ron.zZ99zz")).unwrap();
    sweep_leftovers(dir.path());
    let mut expected = theirs.to_vec();
    expected.push(".bench.ron.zZ99zz");
    expected.sort_unstable();
    assert_eq!(names_in(dir.path()), expected);
}
