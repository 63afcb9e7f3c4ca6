//! What the program is made of: licences, sources, no crate that speaks to a network, no unsafe code of its own.
//!
//! The lists are those of `deny.toml`. Licences are those of the crates built for this machine's platform; names and
//! sources those of the whole lock file, every platform.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use serde_json::Value;

/// The one registry that crates come from.
const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

fn read(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap()
}

/// Cargo's account of the tree for this platform.
fn metadata() -> Value {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let found = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--locked", "--offline"])
        .args(["--filter-platform", "host-tuple"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(found.status.success(), "{}", String::from_utf8_lossy(&found.stderr));
    serde_json::from_slice(&found.stdout).unwrap()
}

/// The words in quotes of a list of `deny.toml`, from `key = [` to the bracket at the start of a line.
fn listed(key: &str) -> BTreeSet<String> {
    let text = read("deny.toml");
    let start = text.find(&format!("\n{key} = [\n")).unwrap();
    let list = &text[start..];
    let list = &list[..list.find("\n]").unwrap()];
    list.split('"').skip(1).step_by(2).map(str::to_owned).collect()
}

/// Whether an expression of licences can be met with those allowed: `OR` (or `/`) needs one side, `AND` both.
fn is_met(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let spaced =
        expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ").replace(" WITH ", "~");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    let met = either(&words, &mut at, allowed);
    assert_eq!(at, words.len(), "{expression}");
    met
}

fn either(words: &[&str], at: &mut usize, allowed: &BTreeSet<String>) -> bool {
    let mut met = both(words, at, allowed);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        met |= both(words, at, allowed);
    }
    met
}

fn both(words: &[&str], at: &mut usize, allowed: &BTreeSet<String>) -> bool {
    let mut met = one(words, at, allowed);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        met &= one(words, at, allowed);
    }
    met
}

fn one(words: &[&str], at: &mut usize, allowed: &BTreeSet<String>) -> bool {
    let word = words[*at];
    *at += 1;
    if word == "(" {
        let met = either(words, at, allowed);
        assert_eq!(words.get(*at), Some(&")"), "{words:?}");
        *at += 1;
        return met;
    }
    allowed.contains(&word.replace('~', " WITH "))
}

#[test]
fn expressions_of_licences_are_read_as_they_mean() {
    let allowed: BTreeSet<String> =
        ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].map(str::to_owned).into();
    for met in
        ["MIT", "GPL-2.0-only OR MIT", "MIT/GPL-2.0-only", "(MIT OR X) AND Zlib", "X OR (MIT AND Zlib)"]
    {
        assert!(is_met(met, &allowed), "{met}");
    }
    assert!(is_met("Apache-2.0 WITH LLVM-exception", &allowed));
    for unmet in ["GPL-3.0-only", "MIT AND X", "(MIT OR Zlib) AND X", "Apache-2.0", "X OR (MIT AND X)"] {
        assert!(!is_met(unmet, &allowed), "{unmet}");
    }
}

#[test]
fn every_crate_has_a_licence_that_is_allowed() {
    let allowed = listed("allow");
    assert!(allowed.contains("MIT") && !allowed.iter().any(|name| name.contains("GPL")), "{allowed:?}");
    let excepted = listed("exceptions");
    let found = metadata();
    let packages = found["packages"].as_array().unwrap();
    assert!(packages.len() > 100, "{}", packages.len());
    for package in packages {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or("none");
        let excepted = excepted.contains(name) && excepted.contains(licence);
        assert!(excepted || is_met(licence, &allowed), "{name}: {licence}");
    }
}

#[test]
fn no_crate_of_any_platform_speaks_to_a_network() {
    let banned = listed("deny");
    assert!(banned.len() > 20 && banned.contains("hyper"), "{banned:?}");
    let lock = read("Cargo.lock");
    let names: BTreeSet<&str> =
        lock.lines().filter_map(|line| line.strip_prefix("name = \"")?.strip_suffix('"')).collect();
    assert!(names.contains("eframe"), "the lock file was not read");
    let found: Vec<&&str> = names.iter().filter(|name| banned.contains(**name)).collect();
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn every_crate_comes_from_the_public_registry_or_from_here() {
    let lock = read("Cargo.lock");
    let mut own = Vec::new();
    let mut others = 0;
    for entry in lock.split("[[package]]").skip(1) {
        let name = entry.split('"').nth(1).unwrap();
        match entry.lines().find_map(|line| line.strip_prefix("source = \"")?.strip_suffix('"')) {
            Some(source) => {
                assert_eq!(source, REGISTRY, "{name}");
                // What was locked is what is built.
                assert!(entry.contains("\nchecksum = \""), "{name}");
                others += 1;
            }
            None => own.push(name),
        }
    }
    own.sort_unstable();
    assert_eq!(own, ["bevelbench", "bevelbench-geometry", "bevelbench-notebook", "bevelbench-tests"]);
    assert!(others > 100, "{others}");
}

#[test]
fn no_crate_of_the_workspace_may_hold_unsafe_code() {
    assert!(read("Cargo.toml").contains("\n[workspace.lints.rust]\nunsafe_code = \"deny\"\n"));
    let found = metadata();
    let members = found["workspace_members"].as_array().unwrap();
    assert_eq!(members.len(), 4);
    for package in found["packages"].as_array().unwrap().iter().filter(|it| members.contains(&it["id"])) {
        let manifest = fs::read_to_string(package["manifest_path"].as_str().unwrap()).unwrap();
        assert!(manifest.contains("\n[lints]\nworkspace = true\n"), "{}", package["name"]);
        let library = Path::new(package["manifest_path"].as_str().unwrap()).with_file_name("src/lib.rs");
        let library = fs::read_to_string(library).unwrap();
        assert!(library.contains("\n#![forbid(unsafe_code)]\n"), "{}", package["name"]);
    }
    // The program beside its library has one macro that runs before `main`, and nothing else.
    let mut holders = Vec::new();
    let mut folders = vec![root().join("crates"), root().join("tests/src"), root().join("tests/tests")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if entry.is_dir() {
                folders.push(entry);
            } else if entry.extension().is_some_and(|end| end == "rs") {
                let text = fs::read_to_string(&entry).unwrap();
                let word = |what: &str| text.contains(&format!("unsafe{what}"));
                if ["_code,", " fn", " {", " impl", " extern"].iter().any(|what| word(what))
                    || text.contains("(unsafe)")
                {
                    holders.push(entry.file_name().unwrap().to_owned());
                }
            }
        }
    }
    holders.retain(|name| name != "supply.rs");
    assert_eq!(holders, ["closed_output.rs"]);
}

// Not a copy of the words, but that every copy of the program carries the licence.
#[test]
fn every_font_that_is_built_in_has_its_licence_beside_it() {
    let fonts = root().join("assets/fonts");
    let names: Vec<String> = fs::read_dir(&fonts)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let mut looked_at = 0;
    let is_font =
        |name: &&String| Path::new(name).extension().is_some_and(|end| end == "otf" || end == "ttf");
    for font in names.iter().filter(is_font) {
        let family = font.split('-').next().unwrap();
        let licence = format!("LICENCE-{family}.txt");
        assert!(names.contains(&licence), "{font}");
        assert!(fs::read_to_string(fonts.join(licence)).unwrap().len() > 500, "{font}");
        looked_at += 1;
    }
    assert!(looked_at >= 4, "{looked_at}");
}
