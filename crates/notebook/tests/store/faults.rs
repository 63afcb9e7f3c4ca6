//! What can happen to a bench file on a real disk, and what must hold then.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
    time::{Duration, SystemTime},
};

use bevelbench_notebook::store::{
    Changed, Claim, LARGEST_BYTES, Place, Saver, Seal, StoreError, changed_since, file_stem_from_name,
    read_text, seal, set_aside, unseal, version_before, write_bytes, write_text,
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
fn written_text_reads_back_whole_and_the_version_before_is_kept() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("new/folder/bench.ron");
    write_text(&path, "V1(one)").unwrap();
    write_text(&path, "V1(two)\n").unwrap();
    let loaded = read_text(&path).unwrap();
    assert_eq!((loaded.text.as_str(), loaded.seal), ("V1(two)", Seal::Whole));
    assert_eq!(read_text(&version_before(&path)).unwrap().text, "V1(one)");
}

#[test]
fn hand_edit_is_noticed_and_still_read() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "V1(one)").unwrap();
    let edited = fs::read_to_string(&path).unwrap().replace("one", "won");
    fs::write(&path, edited).unwrap();
    let loaded = read_text(&path).unwrap();
    assert_eq!((loaded.text.as_str(), loaded.seal), ("V1(won)", Seal::Broken));
    fs::write(&path, "\u{feff}V1(plain)\r\n").unwrap();
    let loaded = read_text(&path).unwrap();
    assert_eq!((loaded.text.as_str(), loaded.seal), ("V1(plain)\n", Seal::Absent));
}

#[test]
fn other_line_endings_are_no_edit() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    // As a program on another system hands it in, and as an editor there saves it.
    write_text(&path, "V1(\r\n  one\r\n)\r\n").unwrap();
    assert_eq!(read_text(&path).unwrap().seal, Seal::Whole);
    let saved = fs::read_to_string(&path).unwrap().replace("\r\n", "\n").replace('\n', "\r\n");
    fs::write(&path, format!("\u{feff}{saved}")).unwrap();
    let loaded = read_text(&path).unwrap();
    assert_eq!((loaded.text.as_str(), loaded.seal), ("V1(\n  one\n)", Seal::Whole));
}

#[test]
fn every_single_bit_flip_is_noticed_and_told_apart_by_where_it_is() {
    let text = "V1((title: \"a\"))";
    let sealed = seal(text);
    let line = text.len() + 1;
    let (mut in_text, mut in_line) = (0, 0);
    for index in 0..sealed.len() {
        for bit in 0..8 {
            let mut bytes = sealed.clone().into_bytes();
            bytes[index] ^= 1 << bit;
            let Ok(flipped) = String::from_utf8(bytes) else { continue };
            let (body, state) = unseal(&flipped);
            let at = format!("byte {index} bit {bit}: {state:?}");
            match index {
                // A carriage return counts as no change.
                index if index < text.len() => {
                    assert_eq!(state, Seal::Broken, "{at}");
                    in_text += 1;
                }
                // Without the line end before it the line stands behind the text and is none, unless white space takes its place.
                index if index < line => assert!(state == Seal::Absent || body == text, "{at}"),
                index if index < sealed.len() - 1 => {
                    // The hexadecimal digits' case may change unseen, and white space at the end.
                    assert!(matches!(state, Seal::LineDamaged | Seal::Whole), "{at}");
                    assert_eq!(body, text, "{at}");
                    in_line += usize::from(state == Seal::LineDamaged);
                }
                _ => assert_eq!(body, text, "{at}"),
            }
        }
    }
    assert!(in_text > 100 && in_line > 150, "{in_text} {in_line}");
}

#[test]
fn no_small_change_of_a_text_is_taken_for_damage_of_its_line() {
    // Every byte of the last hundred changed to every other of ASCII, and two changed together at random places.
    let text: String = (0..400u32).map(|i| char::from(b' ' + (i * 37 % 90) as u8)).collect::<String>() + ")";
    let sealed = seal(&text);
    for index in text.len() - 100..text.len() {
        for byte in b' '..=b'~' {
            let mut bytes = sealed.clone().into_bytes();
            if bytes[index] == byte {
                continue;
            }
            bytes[index] = byte;
            let changed = String::from_utf8(bytes).unwrap();
            assert_eq!(unseal(&changed).1, Seal::Broken, "byte {index} to {byte}");
        }
    }
}

#[test]
fn every_text_cut_short_is_noticed() {
    let sealed = seal("V1((title: \"a\"))");
    // Without the last line end it is still whole.
    for end in 0..sealed.len() - 1 {
        assert_ne!(unseal(&sealed[..end]).1, Seal::Whole, "cut at {end}");
    }
}

#[cfg(unix)]
#[test]
fn link_is_followed_and_stays_a_link() {
    let dir = tempfile::tempdir().unwrap();
    let (real, link) = (dir.path().join("real.ron"), dir.path().join("link.ron"));
    std::os::unix::fs::symlink(&real, &link).unwrap();
    write_text(&link, "through").unwrap();
    assert!(link.symlink_metadata().unwrap().file_type().is_symlink());
    assert_eq!(read_text(&real).unwrap().text, "through");
}

#[cfg(unix)]
#[test]
fn thirty_links_in_a_row_are_followed_to_the_end() {
    let dir = tempfile::tempdir().unwrap();
    let name = |count: u32| dir.path().join(format!("link{count}"));
    write_text(&name(0), "first").unwrap();
    for count in 1..=30 {
        std::os::unix::fs::symlink(name(count - 1), name(count)).unwrap();
    }
    write_text(&name(30), "second").unwrap();
    assert_eq!(read_text(&name(0)).unwrap().text, "second");
    assert!((1..=30).all(|count| name(count).symlink_metadata().unwrap().file_type().is_symlink()));
}

#[test]
fn folder_in_place_of_the_file_is_refused_both_ways() {
    let dir = tempfile::tempdir().unwrap();
    assert!(matches!(read_text(dir.path()), Err(StoreError::NotAFile { .. })));
    assert!(matches!(write_text(dir.path(), "x"), Err(StoreError::NotAFile { .. })));
}

#[test]
fn what_is_not_text_or_too_large_is_refused_with_its_number() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("odd");
    fs::write(&path, b"V1(\xff)").unwrap();
    assert!(matches!(read_text(&path), Err(StoreError::NotText { at_byte: 3, .. })));
    fs::File::create(&path).unwrap().set_len(LARGEST_BYTES + 1).unwrap();
    let words = read_text(&path).unwrap_err().to_string();
    assert!(words.contains("9 MB, more than the 8 MB"), "{words}");
}

#[test]
fn a_bench_that_would_not_read_back_is_not_written() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    let longest = LARGEST_BYTES as usize - seal("").len();
    write_text(&path, &"x".repeat(longest)).unwrap();
    assert_eq!(read_text(&path).unwrap().text.len(), longest);
    assert!(matches!(
        write_text(&path, &"y".repeat(longest + 1)),
        Err(StoreError::TooLargeToKeep { bytes, .. }) if bytes == LARGEST_BYTES + 1
    ));
    assert!(read_text(&path).unwrap().text.starts_with('x'));
}

#[test]
fn damaged_files_are_set_aside_under_free_names() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    for count in 1..=3 {
        fs::write(&path, "x").unwrap();
        assert_eq!(set_aside(&path).unwrap(), beside(&path, &format!(".damaged-{count}")));
    }
}

#[test]
fn second_claim_on_one_file_is_refused_until_the_first_ends() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    let first = Claim::take(&path).unwrap();
    assert!(matches!(Claim::take(&path), Err(StoreError::Claimed { .. })));
    drop(first);
    assert!(Claim::take(&path).is_ok());
}

fn set_age(path: &Path, age: Duration) {
    fs::File::options().write(true).open(path).unwrap().set_modified(SystemTime::now() - age).unwrap();
}

#[test]
fn what_another_program_did_to_the_file_is_noticed() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    let written = write_text(&path, "V1(one)").unwrap();
    let fresh = read_text(&path).unwrap().stamp;
    set_age(&path, Duration::from_hours(1));
    let old = read_text(&path).unwrap().stamp;
    for stamp in [written, fresh, old] {
        assert_eq!(changed_since(&path, &stamp), Changed::No);
    }
    // Touched, and saved again as it was.
    set_age(&path, Duration::from_mins(1));
    for stamp in [written, fresh, old] {
        assert_eq!(changed_since(&path, &stamp), Changed::No);
    }
    let as_it_was = fs::read_to_string(&path).unwrap();
    fs::write(&path, as_it_was.replace("one", "won")).unwrap();
    for stamp in [written, fresh, old] {
        assert_eq!(changed_since(&path, &stamp), Changed::Yes, "of the same size");
    }
    fs::write(&path, as_it_was + " ").unwrap();
    assert_eq!(changed_since(&path, &written), Changed::Yes);
    fs::remove_file(&path).unwrap();
    assert_eq!(changed_since(&path, &written), Changed::Gone);
    fs::create_dir(&path).unwrap();
    assert_eq!(changed_since(&path, &written), Changed::Yes);
    assert_eq!(changed_since(&path.join("below"), &written), Changed::Gone);
}

#[test]
fn a_second_change_within_one_tick_of_the_clock_is_noticed() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "V1(one)").unwrap();
    let stamp = read_text(&path).unwrap().stamp;
    let time = fs::metadata(&path).unwrap().modified().unwrap();
    let edited = fs::read_to_string(&path).unwrap().replace("one", "won");
    fs::write(&path, edited).unwrap();
    fs::File::options().write(true).open(&path).unwrap().set_modified(time).unwrap();
    assert_eq!(changed_since(&path, &stamp), Changed::Yes);
}

#[test]
fn a_file_from_the_future_is_compared_by_what_it_holds() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    write_text(&path, "V1(one)").unwrap();
    let file = fs::File::options().write(true).open(&path).unwrap();
    file.set_modified(SystemTime::now() + Duration::from_hours(1000)).unwrap();
    let stamp = read_text(&path).unwrap().stamp;
    assert_eq!(changed_since(&path, &stamp), Changed::No);
}

/// As this program's own list of tests has it.
fn full_name(test: &str) -> String {
    let (_, module) = module_path!().split_once("::").unwrap();
    format!("{module}::{test}")
}

/// Run again by the test below, where files cannot grow beyond a size.
#[test]
fn a_save_reads_back_or_is_refused() {
    let Some(path) = std::env::var_os("SAVE_TO").map(PathBuf::from) else { return };
    let outcome = write_text(&path, &"new ".repeat(2500));
    fs::write(beside(&path, ".told"), if outcome.is_ok() { "saved" } else { "refused" }).unwrap();
}

#[cfg(unix)]
#[test]
fn a_full_disk_costs_nothing_that_was_there() {
    let here = std::env::current_exe().unwrap();
    let (old, new) = ("old ".repeat(1000), "new ".repeat(2500));
    let mut refused = 0;
    // In blocks of 512 bytes; the old file has 4000 bytes and a seal, the new one 10,000.
    for blocks in (1..=24).step_by(2) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bench.ron");
        write_text(&path, &old).unwrap();
        let status = std::process::Command::new("sh")
            .args(["-c", "trap '' XFSZ; ulimit -f $1; exec \"$0\" --exact \"$2\""])
            .arg(&here)
            .args([blocks.to_string(), full_name("a_save_reads_back_or_is_refused")])
            .env("SAVE_TO", &path)
            .stdout(std::process::Stdio::null())
            .status()
            .unwrap();
        assert!(status.success(), "{blocks} blocks");
        let reported = fs::read_to_string(beside(&path, ".told")).unwrap();
        let loaded = read_text(&path).unwrap();
        assert_eq!(loaded.seal, Seal::Whole, "{blocks} blocks");
        let expected = if reported == "saved" { &new } else { &old };
        assert_eq!(loaded.text, expected.trim_end(), "{blocks} blocks, {reported}");
        assert!(
            names_in(dir.path()).iter().all(|name| !name.starts_with('.')),
            "a half-written file was left"
        );
        refused += u32::from(reported == "refused");
    }
    assert!((1..12).contains(&refused), "{refused} of 12 were refused");
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
fn a_save_keeps_the_file_permissions() {
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
    // The holder of the claim can detect it, and save to the file again under either name.
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

#[test]
fn device_names_become_other_names_and_words_like_them_stay() {
    for device in ["con", "NUL", "Com1", "lpt¹"] {
        assert!(file_stem_from_name(device).starts_with("setting-"), "{device}");
    }
    assert_eq!(file_stem_from_name("comb"), "comb");
}

#[test]
fn names_become_file_names_that_stay_in_their_folder() {
    for odd in ["../../etc/passwd", "a/b\\c", "..", "", "con", "x\0y", "45° “long”"] {
        let stem = file_stem_from_name(odd);
        assert!(!stem.is_empty() && !stem.contains(['/', '\\', '\0', '.']), "{odd} became {stem}");
        assert_eq!(Path::new("folder").join(&stem).parent(), Some(Path::new("folder")));
    }
    assert_eq!(file_stem_from_name("Long grind, 85 mm"), "Long grind- 85 mm");
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
        again
            .args(["--exact", &full_name("the_place_is_a_full_path")])
            .env_clear()
            .env("EXPECTED_WORDS", words);
        if let Some(home) = home {
            again.env("HOME", home);
        }
        if let Some(named) = named {
            again.env("BEVELBENCH_HOME", named);
        }
        let outcome = again.output().unwrap();
        let reported = String::from_utf8_lossy(&outcome.stdout);
        assert!(
            outcome.status.success() && reported.contains("1 passed"),
            "HOME={home:?} named={named:?}: {reported}"
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
    fn any_text_written_is_read_back(text in "(\r|\r\n|\u{feff}|\\PC|.){0,40}") {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bench.ron");
        write_text(&path, &text).unwrap();
        let loaded = read_text(&path).unwrap();
        prop_assert_eq!(loaded.seal, Seal::Whole);
        let plain = text.trim_end().replace("\r\n", "\n");
        prop_assert_eq!(loaded.text.as_str(), plain.strip_prefix('\u{feff}').unwrap_or(&plain).trim_end());
    }
}

#[test]
fn a_hundred_megabytes_are_refused_without_being_read() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bench.ron");
    // A hole: it takes no room.
    fs::File::create(&path).unwrap().set_len(100 << 20).unwrap();
    let words = read_text(&path).unwrap_err().to_string();
    assert!(words.contains("100 MB, more than the 8 MB"), "{words}");
    // Nor is it pushed aside by a save, into the place of the version before.
    write_text(&path, "new").unwrap();
    assert!(!beside(&path, ".before").exists());
}
