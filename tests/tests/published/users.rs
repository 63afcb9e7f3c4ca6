//! Every published row is used by a check, or stands with its reason among those that the program has no function for.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use bevelbench_tests::published::ids;

const HEADING: &str = "## Published rows without a check";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Ids in a text: a capital and two digits that stand alone.
fn ids_in(text: &str) -> BTreeSet<String> {
    text.split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .filter(|word| {
            let bytes = word.as_bytes();
            bytes.len() == 3 && bytes[0].is_ascii_uppercase() && bytes[1..].iter().all(u8::is_ascii_digit)
        })
        .map(str::to_owned)
        .collect()
}

/// Rust files below a folder that hold tests.
fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

fn used() -> BTreeSet<String> {
    let mut files = Vec::new();
    sources(&root().join("tests/tests"), &mut files);
    sources(&root().join("crates"), &mut files);
    files
        .iter()
        .filter(|path| !path.ends_with("published/users.rs"))
        .map(|path| fs::read_to_string(path).unwrap())
        .filter(|text| text.contains("#[test]"))
        .flat_map(|text| ids_in(&text))
        .collect()
}

fn excused() -> BTreeSet<String> {
    let readme = fs::read_to_string(root().join("tests/README.md")).unwrap();
    let (_, after) = readme.split_once(HEADING).unwrap();
    ids_in(after.split("\n## ").next().unwrap())
}

#[test]
fn every_published_row_is_used_or_says_why_not() {
    let (used, excused) = (used(), excused());
    let forgotten: Vec<_> = ids().filter(|id| !used.contains(*id) && !excused.contains(*id)).collect();
    assert!(forgotten.is_empty(), "no check uses {forgotten:?}, and tests/README.md does not say why");
    let both: Vec<_> = ids().filter(|id| used.contains(*id) && excused.contains(*id)).collect();
    assert!(both.is_empty(), "{both:?} are used after all");
    let known: BTreeSet<_> = ids().collect();
    let unknown: Vec<_> = excused.iter().filter(|id| !known.contains(id.as_str())).collect();
    assert!(unknown.is_empty(), "tests/README.md excuses {unknown:?}, which are no rows");
}

#[test]
fn ids_are_found_where_they_stand_alone() {
    let found = ids_in("/// T01, T03: `row(\"V09\")`, not AT01, T012 or X_T05; K01…K15.");
    assert_eq!(found.into_iter().collect::<Vec<_>>(), ["K01", "K15", "T01", "T03", "V09"]);
}
