//! The wings of the three crates: which may use which, and where files lean on each other.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at a surprise")]

mod reader;
mod tree;

use std::{
    fs,
    path::{Path, PathBuf},
};

use tree::Tree;

/// Each wing with those that it may use.
type Plan = &'static [(&'static str, &'static [&'static str])];

const GEOMETRY: Plan = &[
    ("math", &[]),
    ("parts", &["math"]),
    ("side", &["math", "parts"]),
    ("facet", &["math", "parts", "side"]),
    ("swept", &["math", "parts", "side", "facet"]),
    ("solve", &["math", "parts", "side", "facet", "swept"]),
    ("space", &["math", "parts", "side", "facet", "swept"]),
    ("fault", &["math", "parts", "side", "facet", "swept", "solve"]),
];

const NOTEBOOK: Plan = &[
    ("quantity", &[]),
    ("store", &[]),
    ("saved", &["quantity"]),
    ("answer", &["quantity", "saved"]),
    ("words", &["quantity", "saved", "answer"]),
    ("drawing", &["quantity", "saved", "answer", "words"]),
    ("paper", &["quantity", "store", "saved", "answer", "words", "drawing"]),
];

const WORKBENCH: Plan = &[
    ("model", &[]),
    ("toolkit", &["model"]),
    ("pages", &["model", "toolkit"]),
    ("shell", &["model", "toolkit", "pages"]),
    ("command", &["model"]),
];

/// The greatest number of files side by side in one folder.
const SIDE_BY_SIDE: usize = 22;

fn crates() -> [(&'static str, PathBuf, Plan); 3] {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    [("geometry", GEOMETRY), ("notebook", NOTEBOOK), ("workbench", WORKBENCH)]
        .map(|(name, plan)| (name, root.join(name).join("src"), plan))
}

fn wing(file: &str) -> &str {
    file.split("::").next().unwrap_or(file)
}

#[test]
fn every_wing_uses_only_those_below_it() {
    let mut wrong: Vec<String> = Vec::new();
    for (name, src, plan) in crates() {
        for ((from, to), names) in Tree::of(&src).arrows().0 {
            let (above, below) = (wing(&from), wing(&to));
            let allowed = plan.iter().find(|(w, _)| *w == above).map_or(&[] as &[_], |(_, uses)| *uses);
            if above != below && !allowed.contains(&below) {
                wrong.push(format!("{name}: {from} -> {to}: {names:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Folders with files that still lean on each other: a state and the parts that draw it. The list may only shrink.
const STILL_IN_CIRCLES: [&str; 15] = [
    "saved",
    "solve::calibrate",
    "swept::sweep",
    "command",
    "command::record",
    "model::keeper",
    "pages::edit",
    "pages::find",
    "pages::find::matching",
    "pages::keep",
    "pages::pair",
    "pages::print",
    "pages::tip",
    "shell::app",
    "toolkit::theme",
];

#[test]
fn files_lean_on_each_other_only_where_that_is_known() {
    let (mut wrong, mut met) = (Vec::new(), Vec::new());
    for (name, src, _) in crates() {
        let arrows = Tree::of(&src).arrows();
        for circle in arrows.circles() {
            let known = STILL_IN_CIRCLES.iter().filter(|folder| {
                circle.iter().all(|file| *file == **folder || file.starts_with(&format!("{folder}::")))
            });
            match known.max_by_key(|folder| folder.len()) {
                Some(folder) => met.push(*folder),
                None => wrong.push(format!("{name}:\n{}", arrows.within(&circle))),
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    let gone: Vec<_> = STILL_IN_CIRCLES.iter().filter(|folder| !met.contains(*folder)).collect();
    assert!(gone.is_empty(), "no longer in circles, take off the list: {gone:?}");
}

#[test]
fn model_and_command_know_no_toolkit() {
    let mut wrong = Vec::new();
    let (_, src, _) = &crates()[2];
    for (module, path, read) in Tree::of(src).words() {
        if module.first().is_some_and(|wing| wing == "model" || wing == "command") {
            let mut names =
                read.imports.iter().map(|i| &i.path[0]).chain(read.paths.iter().map(|path| &path[0]));
            if names.any(|name| ["egui", "eframe", "egui_plot"].contains(&name.as_str())) {
                wrong.push(path.to_owned());
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_wing_has_a_front_page_and_no_folder_is_a_long_list() {
    let mut wrong: Vec<String> = Vec::new();
    for (name, src, plan) in crates() {
        let arrows = Tree::of(&src);
        let mut wings: Vec<_> = plan.iter().map(|(wing, _)| *wing).collect();
        wings.sort_unstable();
        let mut declared = arrows.words().find(|(module, ..)| module.is_empty()).unwrap().2.modules.clone();
        declared.sort_unstable();
        if declared != wings {
            wrong.push(format!("{name}: wings are {declared:?}"));
        }
        for (module, path, read) in arrows.words() {
            // Below the wings, and in `command`, front pages may still hold more.
            if path.ends_with("mod.rs") && module.len() == 1 && module[0] != "command" {
                let says =
                    fs::read_to_string(path).unwrap().lines().filter(|line| line.starts_with("//!")).count();
                if !(2..=12).contains(&says) {
                    wrong.push(format!("{name}: {} has a page of {says} lines", module.join("::")));
                }
                if !read.defined.is_empty() {
                    wrong.push(format!("{name}: {} defines {:?}", module.join("::"), read.defined));
                }
            }
        }
        let mut folders = vec![src];
        while let Some(folder) = folders.pop() {
            let inside: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
            let files = inside.iter().filter(|path| path.extension().is_some_and(|e| e == "rs")).count();
            if files > SIDE_BY_SIDE {
                wrong.push(format!("{}: {files} files side by side", folder.display()));
            }
            folders.extend(inside.into_iter().filter(|path| path.is_dir()));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
