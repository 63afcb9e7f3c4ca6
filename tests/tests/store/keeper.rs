//! Where the bench is kept: the window's keeper over real files.

use std::{
    fs,
    path::{Path, PathBuf},
};

use bevelbench::model::{
    appearance::Tone,
    history::History,
    keeper::{FileProblem, Keeper, Opened, read, steps_path},
    session::Session,
};
use bevelbench_notebook::{
    saved::{
        Bench,
        file::{read_bench, write_bench},
        library::demo_bench,
    },
    store::{self, Place},
};

fn titled(title: &str) -> Bench {
    Bench { title: title.to_owned(), ..demo_bench().unwrap() }
}

/// A bench of that title in a file of its own.
fn kept_as(title: &str) -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("own.bench.ron");
    store::write_text(&path, &write_bench(&titled(title)).unwrap()).unwrap();
    (dir, path)
}

/// A keeper on a file and the session on it, as the window has them.
fn open(path: &Path) -> (Keeper, Session) {
    let mut keeper = Keeper::file(path, None).unwrap();
    let Opened { bench, history, .. } = keeper.take_opened();
    let session = Session::with_history(bench, history);
    keeper.is_as_opened(session.revision());
    (keeper, session)
}

fn rename(session: &mut Session, title: &str) {
    session.edit(format!("Rename to {title}"), |bench| title.clone_into(&mut bench.title));
}

fn keep(keeper: &mut Keeper, session: &Session) {
    keeper.keep(session.bench(), session.history(), session.revision());
    keeper.settle();
}

#[test]
fn the_bench_can_be_saved_to_its_own_file_and_opened_again_from_it() {
    let (dir, path) = kept_as("own");
    let history = History::default();
    let mut keeper = Keeper::file(&path, None).unwrap();
    let Opened { mut bench, reported, .. } = keeper.take_opened();
    assert_eq!(reported, None);
    bench.title = "Another name".to_owned();
    keeper.save_as(&path, &bench, &history, 1).unwrap();
    assert_eq!(keeper.open(&path).unwrap().bench.title, "Another name");
    // A second window is still told, and does not save.
    let mut second = Keeper::file(&path, None).unwrap();
    assert!(second.take_opened().reported.unwrap().contains("another window"));
    bench.title = "Lost".to_owned();
    second.keep(&bench, &history, 2);
    second.settle();
    assert_eq!(read(&path).unwrap().title, "Another name");
    assert!(matches!(second.would_lose(2), Some(FileProblem::HeldBack(_))), "closing it asks");
    // Moving to another file gives the first one free.
    keeper.save_as(&dir.path().join("other.bench.ron"), &bench, &history, 2).unwrap();
    assert_eq!(Keeper::file(&path, None).unwrap().take_opened().reported, None);
}

#[test]
fn undo_goes_on_where_it_was_after_the_bench_is_opened_again() {
    let (dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    for title in ["two", "three"] {
        rename(&mut session, title);
        keep(&mut keeper, &session);
    }
    session.undo();
    keep(&mut keeper, &session);
    drop(keeper);
    let (mut keeper, mut session) = open(&path);
    assert_eq!(session.bench().title, "two");
    assert_eq!(session.history().redoable(), Some("Rename to three"));
    assert_eq!(session.undo().as_deref(), Some("Rename to two"));
    assert_eq!(session.bench().title, "one");
    assert_eq!(session.undo(), None);
    // In another file, after it was saved there, and in the first one still.
    let other = dir.path().join("other.bench.ron");
    keeper.save_as(&other, session.bench(), session.history(), session.revision()).unwrap();
    drop(keeper);
    assert_eq!(open(&other).1.history().redoable(), Some("Rename to two"));
    assert_eq!(open(&path).1.history().redoable(), Some("Rename to three"));
}

#[test]
fn a_change_that_is_not_finished_is_kept_within_a_second_and_can_be_undone() {
    let (_dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    session.begin("Drag");
    session.change(|bench| bench.title = "half way".to_owned());
    let mut ask = |now_s: f64, session: &Session| {
        keeper.save_when_due(session.bench(), session.history(), session.revision(), now_s)
    };
    assert_eq!(ask(10.0, &session), Some(1.0));
    session.change(|bench| bench.title = "farther".to_owned());
    assert_eq!(ask(10.75, &session), Some(0.25), "counted from the first change");
    assert_eq!(ask(11.0, &session), None);
    assert_eq!(ask(11.1, &session), None, "at rest it does not ask to be asked again");
    keeper.settle();
    // The window is killed here: nothing ends the gesture.
    let text = store::read_text(&path).unwrap().text;
    assert_eq!(read_bench(&text).unwrap().title, "farther");
    drop(keeper);
    let (_keeper, mut session) = open(&path);
    assert_eq!(session.undo().as_deref(), Some("Drag"));
    assert_eq!(session.bench().title, "one");
}

#[test]
fn steps_that_are_damaged_or_of_another_bench_do_no_harm() {
    let (_dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    drop(keeper);
    let (bench, steps) = (fs::read(&path).unwrap(), fs::read(steps_path(&path)).unwrap());
    let cut = steps[..steps.len() / 2].to_vec();
    let mut flipped = steps.clone();
    flipped[100] ^= 1;
    let other = String::from_utf8(steps).unwrap().replace("two", "ten");
    let other = store::seal(store::unseal(&other).0).into_bytes();
    for (odd, which) in [(cut, "cut"), (flipped, "flipped"), (Vec::new(), "empty"), (other, "another’s")] {
        // The version before leads nowhere either.
        fs::remove_file(store::version_before(&path)).ok();
        fs::write(&path, &bench).unwrap();
        fs::write(steps_path(&path), &odd).unwrap();
        let (mut keeper, mut session) = open(&path);
        assert_eq!((session.bench().title.as_str(), session.history().undoable()), ("two", None), "{which}");
        let aside = store::beside(&path, ".steps.unused");
        assert_eq!(fs::read(&aside).unwrap(), odd, "{which}: put aside as it was");
        assert_eq!(fs::read(&path).unwrap(), bench, "{which}: the bench is untouched");
        // New steps are kept all the same.
        rename(&mut session, "three");
        keep(&mut keeper, &session);
        drop(keeper);
        assert_eq!(open(&path).1.history().undoable(), Some("Rename to three"), "{which}");
    }
}

#[test]
fn a_bench_saved_once_more_than_its_steps_gets_a_step_back() {
    let (_dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    drop(keeper);
    // The window was killed between the two files.
    store::write_text(&path, &write_bench(&titled("three")).unwrap()).unwrap();
    let (_keeper, mut session) = open(&path);
    assert_eq!(session.undo().as_deref(), Some("What was changed last"));
    assert_eq!(session.bench().title, "two");
    session.undo();
    assert_eq!(session.bench().title, "one");
}

#[test]
fn a_save_that_failed_is_tried_again_by_itself_and_less_and_less_often() {
    let (dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    let away = blocked(dir.path());
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    let (tone, words) = keeper.state(session.revision());
    assert!(tone == Tone::Bad && words.contains("not saved") && words.contains("somewhere else"), "{words}");
    assert!(matches!(keeper.would_lose(session.revision()), Some(FileProblem::Failed(_))));
    let mut waits = Vec::new();
    let mut now_s = 0.0;
    for _ in 0..6 {
        let wait =
            keeper.save_when_due(session.bench(), session.history(), session.revision(), now_s).unwrap();
        waits.push(wait);
        now_s += wait;
        assert_eq!(keeper.save_when_due(session.bench(), session.history(), session.revision(), now_s), None);
        wait_for_a_report(&mut keeper, now_s);
    }
    assert_eq!(waits, [3.0, 6.0, 12.0, 24.0, 30.0, 30.0]);
    // Mended: the next time it is saved, and nothing is tried any more.
    unblock(dir.path(), &away);
    keeper.save_when_due(session.bench(), session.history(), session.revision(), now_s + 30.0);
    wait_for_a_report(&mut keeper, now_s + 30.0);
    assert_eq!(keeper.state(session.revision()), (Tone::Weak, "all changes saved".to_owned()));
    assert_eq!(keeper.save_when_due(session.bench(), session.history(), session.revision(), 1e6), None);
    assert_eq!(read(&path).unwrap().title, "two");
    assert_eq!(open_second(&path), "two");
}

/// Puts a file where the folder was, so that nothing can be written; where the folder went.
fn blocked(folder: &Path) -> std::path::PathBuf {
    let away = folder.with_extension("away");
    fs::rename(folder, &away).unwrap();
    fs::write(folder, "a file").unwrap();
    away
}

/// Puts the folder back.
fn unblock(folder: &Path, away: &Path) {
    fs::remove_file(folder).unwrap();
    fs::rename(away, folder).unwrap();
}

fn wait_for_a_report(keeper: &mut Keeper, now_s: f64) {
    for _ in 0..2000 {
        if keeper.poll(now_s) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("no report of the save came");
}

/// What a second reader finds.
fn open_second(path: &Path) -> String {
    read(path).unwrap().title
}

#[test]
fn closing_tries_a_failed_save_once_more() {
    let (dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    let away = blocked(dir.path());
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    let finish = |keeper: &mut Keeper| keeper.finish(session.bench(), session.history(), session.revision());
    assert!(finish(&mut keeper).unwrap_err().contains("somewhere else"));
    unblock(dir.path(), &away);
    assert_eq!(finish(&mut keeper), Ok(()));
    assert_eq!(read(&path).unwrap().title, "two");
}

#[test]
fn a_bench_edited_by_hand_opens_with_a_notice() {
    let (_dir, path) = kept_as("one");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("title: \"one\"", "title: \"won\"")).unwrap();
    let mut keeper = Keeper::file(&path, None).unwrap();
    let Opened { bench, reported, .. } = keeper.take_opened();
    assert_eq!(bench.title, "won");
    let reported = reported.unwrap();
    // It was saved once: there is no version before it that could be named.
    assert!(reported.contains("changed outside") && !reported.contains(".before"), "{reported}");
    // Without the line of the seal, as in a bench written by hand, there is nothing to say.
    drop(keeper);
    fs::write(&path, write_bench(&titled("plain")).unwrap()).unwrap();
    assert_eq!(Keeper::file(&path, None).unwrap().take_opened().reported, None);
}

#[test]
fn a_bench_that_another_program_changed_is_not_written_over_and_either_version_can_stay() {
    for keep_mine in [true, false] {
        let (dir, path) = kept_as("one");
        let (mut keeper, mut session) = open(&path);
        rename(&mut session, "mine, saved");
        keep(&mut keeper, &session);
        assert_eq!(keeper.changed(), None, "our own saves are no change");
        store::write_text(&path, &write_bench(&titled("theirs")).unwrap()).unwrap();
        for title in ["mine", "mine, later"] {
            rename(&mut session, title);
            keep(&mut keeper, &session);
            assert_eq!(read(&path).unwrap().title, "theirs");
        }
        let mine = dir.path().join("own-yours-1.bench.ron");
        assert_eq!(read(&mine).unwrap().title, "mine, later", "a crash now loses nothing");
        let why = keeper.finish(session.bench(), session.history(), session.revision()).unwrap_err();
        assert!(why.contains("Another program changed") && why.contains("own-yours-1"), "{why}");
        if keep_mine {
            let theirs = keeper.keep_mine(session.bench(), session.history(), session.revision()).unwrap();
            assert_eq!(read(&theirs).unwrap().title, "theirs");
            assert_eq!(read(&path).unwrap().title, "mine, later");
            assert!(!mine.exists(), "it has its place again");
        } else {
            let theirs = keeper.read_theirs().unwrap();
            session.edit("Open theirs", |bench| *bench = theirs);
            keeper.is_as_read(session.bench(), session.history(), session.revision());
            assert_eq!(read(&path).unwrap().title, "theirs");
            assert_eq!(read(&mine).unwrap().title, "mine, later");
        }
        assert_eq!((keeper.changed(), keeper.problem()), (None, None));
        keeper.settle();
        drop(keeper);
        let (mut keeper, mut session) = open(&path);
        assert!(session.history().undoable().is_some(), "undo outlives it");
        if !keep_mine {
            session.undo();
            assert_eq!(session.bench().title, "mine, later");
        }
        // Saving goes on.
        rename(&mut session, "after");
        keep(&mut keeper, &session);
        assert_eq!(read(&path).unwrap().title, "after");
    }
}

#[test]
fn a_change_by_another_program_is_noticed_when_the_window_gets_the_focus_back() {
    let (dir, path) = kept_as("one");
    let (mut keeper, session) = open(&path);
    let look = |keeper: &mut Keeper| {
        keeper.recheck_file(session.bench(), session.history(), session.revision());
        keeper.settle();
    };
    let before = std::fs::metadata(&path).unwrap().modified().unwrap();
    look(&mut keeper);
    assert_eq!(keeper.changed(), None);
    assert_eq!(
        std::fs::metadata(&path).unwrap().modified().unwrap(),
        before,
        "nothing is written for a look"
    );
    store::write_text(&path, &write_bench(&titled("theirs")).unwrap()).unwrap();
    look(&mut keeper);
    let kept = keeper.changed().unwrap().kept.clone().unwrap();
    assert_eq!(read(&kept).unwrap().title, "one");
    assert_eq!(read(&path).unwrap().title, "theirs");
    // It is asked once, however often the window gets the focus.
    let files = || std::fs::read_dir(dir.path()).unwrap().count();
    let count = files();
    look(&mut keeper);
    assert_eq!(files(), count);
}

#[test]
fn an_unreadable_foreign_version_is_refused_and_nothing_is_decided() {
    let (dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    fs::write(&path, "no bench at all").unwrap();
    rename(&mut session, "mine");
    keep(&mut keeper, &session);
    assert!(keeper.read_theirs().unwrap_err().contains("cannot be opened"));
    assert!(keeper.changed().is_some());
    // Elsewhere it can still be saved; the file of the other program stays.
    let other = dir.path().join("other.bench.ron");
    keeper.save_as(&other, session.bench(), session.history(), session.revision()).unwrap();
    assert_eq!((keeper.changed(), fs::read_to_string(&path).unwrap().as_str()), (None, "no bench at all"));
    assert_eq!(read(&other).unwrap().title, "mine");
}

#[test]
fn a_removed_bench_is_written_anew_with_one_notice() {
    let (_dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    fs::remove_file(&path).unwrap();
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    let notice = keeper.take_notice().unwrap();
    assert!(notice.contains("own.bench.ron") && notice.contains("written anew"), "{notice}");
    assert_eq!((keeper.take_notice(), keeper.problem()), (None, None));
    assert_eq!(read(&path).unwrap().title, "two");
}

/// What can be wrong with the user's own bench: its name, the file, words that the user is shown, and whether it is set aside.
fn damages() -> Vec<(&'static str, Vec<u8>, &'static str, bool)> {
    let whole = write_bench(&titled("damaged")).unwrap();
    let with = |from: &str, to: &str| whole.replacen(from, to, 1).into_bytes();
    let nested = |bracket: &str| format!("V1((title: {}))", bracket.repeat(200_000)).into_bytes();
    vec![
        ("empty", Vec::new(), "Line 1", true),
        ("cut short", whole.as_bytes()[..whole.len() / 2].to_vec(), "was damaged", true),
        ("only noughts", vec![0; 4096], "was damaged", true),
        ("no text", b"V1((title: \"\xff\"))".to_vec(), "not text", true),
        ("something else", b"Dear diary".to_vec(), "Line 1", true),
        ("no number", with("diameter_mm: 2", "diameter_mm: NaN, odd: 2"), "Line", true),
        ("endless", with("overall_length_mm: ", "overall_length_mm: 1e999"), "Line", true),
        ("an unknown field", with("title:", "colour: 3, title:"), "colour", true),
        ("nested deeply", nested("["), "was damaged", true),
        ("nested deeply in options", nested("Some("), "was damaged", true),
        ("twin ids", twins(), "Two parts have the id", true),
        ("newer", b"V2((title: \"of tomorrow\"))\n".to_vec(), "newer Bevelbench (form 2", false),
        ("huge", vec![b' '; 9 << 20], "more than the 8 MB", false),
    ]
}

fn twins() -> Vec<u8> {
    let mut bench = titled("twins");
    bench.tools[1].id = bench.tools[0].id;
    write_bench(&bench).unwrap().into_bytes()
}

fn place(folder: &Path) -> Place {
    Place { folder: folder.to_owned(), why: None }
}

#[test]
fn a_faulty_own_bench_is_set_aside_reported_and_a_sound_one_opens() {
    for (which, damaged, words, set_aside) in damages() {
        for has_before in [true, false] {
            let dir = tempfile::tempdir().unwrap();
            let path = dir.path().join("bench.ron");
            if has_before {
                store::write_text(&path, &write_bench(&titled("good")).unwrap()).unwrap();
                fs::rename(&path, store::version_before(&path)).unwrap();
            }
            fs::write(&path, &damaged).unwrap();
            let mut keeper = Keeper::own_in(&place(dir.path()), None);
            let Opened { bench, reported, .. } = keeper.take_opened();
            let reported = reported.unwrap();
            assert!(reported.contains(words), "{which}: {reported}");
            let mut session = Session::new(bench);
            keeper.is_as_opened(session.revision());
            let expected =
                if has_before && set_aside { "good".to_owned() } else { demo_bench().unwrap().title };
            assert_eq!(session.bench().title, expected, "{which}");
            rename(&mut session, "gone on");
            keep(&mut keeper, &session);
            if set_aside {
                let aside = store::beside(&path, ".damaged-1");
                assert!(reported.contains(&aside.display().to_string()), "{which}: {reported}");
                assert_eq!(fs::read(&aside).unwrap(), damaged, "{which}");
                assert_eq!(read(&path).unwrap().title, "gone on", "{which}");
                assert_eq!(keeper.problem(), None, "{which}");
            } else {
                assert_eq!(fs::read(&path).unwrap(), damaged, "{which}: byte for byte as it was");
                assert!(
                    matches!(keeper.would_lose(session.revision()), Some(FileProblem::HeldBack(_))),
                    "{which}"
                );
            }
            drop(keeper);
            // Opened by name it is refused in words, whatever it is, and nothing beside it changes.
            let named = dir.path().join("named.bench.ron");
            fs::write(&named, &damaged).unwrap();
            let why = Keeper::file(&named, None).unwrap_err();
            assert!(why.contains("named.bench.ron"), "{which}: {why}");
            assert_eq!(fs::read(&named).unwrap(), damaged, "{which}");
        }
    }
}

#[test]
fn a_bench_with_fields_of_a_newer_program_is_held_back_and_not_called_damaged() {
    for (text, newer) in [
        (write_bench(&titled("mine")).unwrap().replacen("  tools:", "  colour: 3,\n  tools:", 1), true),
        (write_bench(&titled("mine")).unwrap().replacen("BowlGouge", "ShearingGouge", 1), true),
        (write_bench(&titled("mine")).unwrap().replacen("  tools:", "  tools;", 1), false),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let place = place(folder.path());
        let path = place.bench_path();
        store::write_text(&path, &text).unwrap();
        let before = fs::read(&path).unwrap();
        let mut keeper = Keeper::own_in(&place, None);
        let reported = keeper.take_opened().reported.unwrap();
        assert_eq!(reported.contains("newer"), newer, "{reported}");
        assert_eq!(reported.contains("damaged"), !newer, "{reported}");
        keeper.settle();
        drop(keeper);
        assert_eq!(fs::read(&path).is_ok_and(|now| now == before), newer, "{reported}");
    }
}

#[test]
fn a_damaged_bench_whose_steps_are_whole_comes_back_by_redo() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    let mut keeper = Keeper::own_in(&place(dir.path()), None);
    let Opened { bench, history, .. } = keeper.take_opened();
    let mut session = Session::with_history(bench, history);
    for title in ["one", "two"] {
        rename(&mut session, title);
        keep(&mut keeper, &session);
    }
    drop(keeper);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, &text[..text.len() / 3]).unwrap();
    let mut keeper = Keeper::own_in(&place(dir.path()), None);
    let Opened { bench, history, reported } = keeper.take_opened();
    assert!(reported.unwrap().contains("Redo brings back"));
    let mut session = Session::with_history(bench, history);
    assert_eq!(session.bench().title, "one");
    assert_eq!(session.redo().as_deref(), Some("Rename to two"));
    assert_eq!(session.bench().title, "two");
}

#[test]
fn a_file_in_place_of_the_folder_is_reported_and_the_window_opens() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("bevelbench");
    fs::write(&folder, "a file").unwrap();
    let mut keeper = Keeper::own_in(&place(&folder), None);
    let Opened { bench, history, .. } = keeper.take_opened();
    let session = Session::with_history(bench, history);
    keeper.is_as_opened(session.revision());
    keep(&mut keeper, &session);
    let (tone, words) = keeper.state(session.revision());
    assert!(tone == Tone::Bad && words.contains("somewhere else"), "{words}");
    assert_eq!(fs::read_to_string(&folder).unwrap(), "a file");
}

#[cfg(unix)]
#[test]
fn links_to_the_bench_and_to_its_folder_are_followed_and_stay() {
    use std::os::unix::fs::symlink;
    let dir = tempfile::tempdir().unwrap();
    let real = dir.path().join("real");
    fs::create_dir(&real).unwrap();
    let folder = dir.path().join("linked");
    symlink(&real, &folder).unwrap();
    symlink("elsewhere.bench.ron", real.join("bench.ron")).unwrap();
    store::write_text(&real.join("elsewhere.bench.ron"), &write_bench(&titled("one")).unwrap()).unwrap();
    let mut keeper = Keeper::own_in(&place(&folder), None);
    let Opened { bench, history, reported } = keeper.take_opened();
    assert_eq!(reported, None);
    let mut session = Session::with_history(bench, history);
    keeper.is_as_opened(session.revision());
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    assert_eq!(read(&real.join("elsewhere.bench.ron")).unwrap().title, "two");
    assert!(folder.is_symlink() && real.join("bench.ron").is_symlink());
}

#[cfg(unix)]
#[test]
fn a_dangling_link_is_reported_and_not_replaced() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    std::os::unix::fs::symlink("/nowhere/at/all/bench.ron", &path).unwrap();
    let mut keeper = Keeper::own_in(&place(dir.path()), None);
    let reported = keeper.take_opened().reported.unwrap();
    assert!(reported.contains("cannot be read") && reported.contains("Nothing is written"), "{reported}");
    keeper.keep(&titled("new"), &History::default(), 9);
    keeper.settle();
    assert!(path.is_symlink() && !path.exists());
}

#[test]
fn a_clock_set_back_neither_hides_nor_invents_a_change() {
    let (_dir, path) = kept_as("one");
    let set = |hours: i64| {
        let now = std::time::SystemTime::now();
        let shift = std::time::Duration::from_hours(hours.unsigned_abs());
        let at = if hours < 0 { now - shift } else { now + shift };
        fs::File::options().write(true).open(&path).unwrap().set_modified(at).unwrap();
    };
    // Written by a clock that was a month ahead, then by one that is a year behind.
    for hours in [720, -8760] {
        set(hours);
        let (mut keeper, mut session) = open(&path);
        rename(&mut session, "two");
        keep(&mut keeper, &session);
        assert_eq!(keeper.changed(), None);
        set(hours);
        rename(&mut session, "three");
        keep(&mut keeper, &session);
        assert_eq!(keeper.changed(), None, "only the time is another");
        // Of the same length and time, but changed.
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, text.replacen("three", "tHree", 1)).unwrap();
        set(hours);
        rename(&mut session, "four");
        keep(&mut keeper, &session);
        assert!(keeper.changed().is_some());
        keeper.keep_mine(session.bench(), session.history(), session.revision()).unwrap();
    }
}

/// Root may write everywhere, so this needs another user.
#[cfg(unix)]
#[test]
fn a_folder_that_may_only_be_read_is_named_with_the_remedy() {
    use std::os::unix::fs::PermissionsExt;
    let (dir, path) = kept_as("one");
    let (mut keeper, mut session) = open(&path);
    let mode = |mode| fs::set_permissions(dir.path(), fs::Permissions::from_mode(mode)).unwrap();
    mode(0o555);
    if fs::write(dir.path().join("probe"), "").is_ok() {
        mode(0o755);
        eprintln!("skipped: this user (root) may write to a folder that may only be read");
        return;
    }
    rename(&mut session, "two");
    keep(&mut keeper, &session);
    let words = keeper.state(session.revision()).1;
    mode(0o755);
    assert!(words.contains("may only be read") && words.contains("somewhere else"), "{words}");
    assert_eq!(read(&path).unwrap().title, "one");
}
