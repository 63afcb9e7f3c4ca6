//! Names of files: the ones the store makes, the ones it may remove, and the ones people give.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// Longest stem, in bytes: with everything that is put behind it (`.bench.ron.before` and six characters) it stays
/// below the 255 bytes that file systems allow.
const LONGEST_STEM_BYTES: usize = 160;
/// More links in a row than any system follows.
const MOST_LINKS: usize = 64;

/// The file a path leads to, through links, also where the last link points to nothing yet.
pub(super) fn resolved(path: &Path) -> PathBuf {
    let mut target = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) if next.is_absolute() => target = next,
            Ok(next) => target = target.parent().map_or(next.clone(), |folder| folder.join(&next)),
            Err(_) => break,
        }
    }
    target
}

pub(super) fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// The target and the end of a name as atomic-write-file gives it on the way to a target: a dot, the target's name, a dot,
/// six letters and digits by chance.
fn half(name: &str) -> Option<(&str, &str)> {
    let (target, end) = name.strip_prefix('.')?.rsplit_once('.')?;
    (end.len() == 6 && end.bytes().all(|byte| byte.is_ascii_alphanumeric())).then_some((target, end))
}

/// Whether a name can be that of a half-written file on the way to a target.
pub(super) fn is_half_of(name: &str, target: &str) -> bool {
    half(name).is_some_and(|(of, _)| of == target)
}

/// Whether a name is that of a half-written bench. An editor's swap file (`.bench.ron.swp`) or a person's own
/// `.bench.ron.Backup` is not.
pub(super) fn is_leftover(name: &str) -> bool {
    half(name).is_some_and(|(target, end)| {
        let target = target.strip_suffix(".before").or(target.strip_suffix(".steps")).unwrap_or(target);
        let ours = ["bench.ron", "window.ron"].contains(&target) || target.ends_with(".bench.ron");
        ours && !reads_as_a_word(end) && !end.bytes().all(|byte| byte.is_ascii_digit())
    })
}

/// Letters in one case, but for the first. One name by chance in a hundred is taken for a word, and stays.
fn reads_as_a_word(end: &str) -> bool {
    let rest = || end.bytes().skip(1);
    end.starts_with(|c: char| c.is_ascii_alphabetic())
        && (rest().all(|byte| byte.is_ascii_lowercase()) || rest().all(|byte| byte.is_ascii_uppercase()))
}

/// A file name that any system takes, made from a name a person gave; it cannot leave its folder.
#[must_use]
pub fn file_stem_from_name(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() || " -_".contains(c) { c } else { '-' })
        .take(80)
        .collect();
    let plain = plain[..plain.floor_char_boundary(LONGEST_STEM_BYTES)].trim_matches([' ', '-']).to_owned();
    let lower = plain.to_lowercase();
    let port = ["com", "lpt"].iter().find_map(|port| lower.strip_prefix(port));
    let device = ["con", "prn", "aux", "nul"].contains(&lower.as_str())
        || port.is_some_and(|number| number.chars().count() == 1 && number.chars().all(char::is_numeric));
    if plain.is_empty() || device {
        format!("setting-{plain}").trim_end_matches('-').to_owned()
    } else {
        plain
    }
}
