#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use super::*;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

#[test]
fn written_text_reads_back_whole_and_the_version_before_is_kept() {
    let dir = folder();
    let path = dir.path().join("new/folder/bench.ron");
    write_text(&path, "V1(one)").unwrap();
    write_text(&path, "V1(two)\n").unwrap();
    assert_eq!(read_text(&path).unwrap(), Loaded { text: "V1(two)".into(), seal: Seal::Whole });
    assert_eq!(read_text(&with_suffix(&path, ".before")).unwrap().text, "V1(one)");
}

#[test]
fn hand_edit_is_noticed_and_still_read() {
    let dir = folder();
    let path = dir.path().join("bench.ron");
    write_text(&path, "V1(one)").unwrap();
    let edited = fs::read_to_string(&path).unwrap().replace("one", "won");
    fs::write(&path, edited).unwrap();
    assert_eq!(read_text(&path).unwrap(), Loaded { text: "V1(won)".into(), seal: Seal::Broken });
    fs::write(&path, "\u{feff}V1(plain)\r\n").unwrap();
    assert_eq!(read_text(&path).unwrap(), Loaded { text: "V1(plain)\n".into(), seal: Seal::Absent });
}

#[test]
fn every_single_bit_flip_is_noticed() {
    let sealed = seal("V1((title: \"a\"))");
    for index in 0..sealed.len() {
        for bit in 0..8 {
            let mut bytes = sealed.clone().into_bytes();
            bytes[index] ^= 1 << bit;
            let Ok(flipped) = String::from_utf8(bytes) else { continue };
            let (body, state) = unseal(&flipped);
            // The white space at the end, the hexadecimal digits' case and the seal's own words may change unseen.
            assert!(state != Seal::Whole || body == "V1((title: \"a\"))", "byte {index} bit {bit}");
        }
    }
}

/// A disk whose n-th step fails.
struct Failing {
    at: std::cell::Cell<u32>,
}

impl Failing {
    fn step(&self) -> io::Result<()> {
        let left = self.at.get();
        self.at.set(left.wrapping_sub(1));
        if left == 0 { Err(io::Error::other("no space left")) } else { Ok(()) }
    }
}

impl Disk for Failing {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        RealDisk.make_folder(folder)
    }
    fn keep_before(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step()?;
        RealDisk.keep_before(from, to)
    }
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        self.step()?;
        RealDisk.replace(path, bytes)
    }
}

#[test]
fn whichever_step_fails_the_old_file_is_whole() {
    for at in 0..2 {
        let dir = folder();
        let path = dir.path().join("bench.ron");
        write_text(&path, "old").unwrap();
        let disk = Failing { at: std::cell::Cell::new(at) };
        let outcome = replace(&disk, &path, seal("new").as_bytes(), true);
        // Not keeping the version before is no reason not to save.
        let text = if at == 0 { "new" } else { "old" };
        assert_eq!(outcome.is_ok(), at == 0);
        if let Err(failed) = outcome {
            assert!(failed.to_string().contains("untouched"), "{failed}");
        }
        assert_eq!(read_text(&path).unwrap(), Loaded { text: text.into(), seal: Seal::Whole });
    }
}

#[cfg(unix)]
#[test]
fn link_is_followed_and_stays_a_link() {
    let dir = folder();
    let (real, link) = (dir.path().join("real.ron"), dir.path().join("link.ron"));
    std::os::unix::fs::symlink(&real, &link).unwrap();
    write_text(&link, "through").unwrap();
    assert!(link.symlink_metadata().unwrap().file_type().is_symlink());
    assert_eq!(read_text(&real).unwrap().text, "through");
}

#[test]
fn folder_in_place_of_the_file_is_refused_both_ways() {
    let dir = folder();
    assert!(matches!(read_text(dir.path()), Err(StoreError::NotAFile { .. })));
    assert!(matches!(write_text(dir.path(), "x"), Err(StoreError::NotAFile { .. })));
}

#[test]
fn what_is_not_text_or_too_large_is_refused_with_its_number() {
    let dir = folder();
    let path = dir.path().join("odd");
    fs::write(&path, b"V1(\xff)").unwrap();
    assert!(matches!(read_text(&path), Err(StoreError::NotText { at_byte: 3, .. })));
    File::create(&path).unwrap().set_len(LARGEST_BYTES + 1).unwrap();
    assert!(matches!(read_text(&path), Err(StoreError::TooLarge { .. })));
}

#[test]
fn damaged_files_are_set_aside_under_free_names() {
    let dir = folder();
    let path = dir.path().join("bench.ron");
    for count in 1..=3 {
        fs::write(&path, "x").unwrap();
        assert_eq!(set_aside(&path).unwrap(), with_suffix(&path, &format!(".damaged-{count}")));
    }
}

#[test]
fn second_claim_on_one_file_is_refused_until_the_first_ends() {
    let dir = folder();
    let path = dir.path().join("bench.ron");
    let first = Claim::take(&path).unwrap();
    assert!(matches!(Claim::take(&path), Err(StoreError::Claimed { .. })));
    drop(first);
    assert!(Claim::take(&path).is_ok());
}

#[test]
fn saver_writes_the_last_of_what_was_handed_in() {
    let dir = folder();
    let path = dir.path().join("bench.ron");
    let saver = Saver::new(None);
    for generation in 1..=50 {
        saver.submit(generation, path.clone(), format!("text {generation}"));
    }
    assert!(saver.flush(Duration::from_secs(20)));
    assert_eq!(read_text(&path).unwrap().text, "text 50");
    let last = std::iter::from_fn(|| saver.poll()).last().unwrap();
    assert_eq!(last.generation, 50);
    assert!(last.result.is_ok());
}

#[test]
fn only_half_written_files_are_swept() {
    for ours in [".bench.ron.a1B2c3", ".bench.ron.before.XyZabc", ".window.ron.000abc"] {
        assert!(is_leftover(ours), "{ours}");
    }
    for theirs in [
        ".bench.ron.swp",
        ".bench.ron.backup",
        ".bench.ron.202611",
        ".bench.ron",
        "bench.ron.before",
        ".other.ron.a1B2c3",
    ] {
        assert!(!is_leftover(theirs), "{theirs}");
    }
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
