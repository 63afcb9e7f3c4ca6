//! Tells the tests which of the outside programs are to be had, so that a check that is left out is listed as left out.
#![allow(clippy::print_stdout, reason = "cargo reads it")]

use std::{env, path::PathBuf};

fn main() {
    let folders: Vec<PathBuf> =
        env::var_os("PATH").map(|path| env::split_paths(&path).collect()).unwrap_or_default();
    for name in ["PATH", "BEVELBENCH_POPPLER", "BEVELBENCH_XVFB"] {
        println!("cargo::rerun-if-env-changed={name}");
    }
    // A program that is installed later changes the folder it is put into.
    for folder in folders.iter().filter(|folder| folder.is_dir()) {
        println!("cargo::rerun-if-changed={}", folder.display());
    }
    let there = |tool: &str| folders.iter().any(|folder| folder.join(tool).is_file());
    let asked = |name: &str| env::var_os(name).is_some_and(|value| value == "1");
    for (name, is) in [
        (
            "poppler",
            asked("BEVELBENCH_POPPLER") || ["pdfinfo", "pdftotext", "pdftocairo"].into_iter().all(there),
        ),
        ("own_display", asked("BEVELBENCH_XVFB")),
    ] {
        println!("cargo::rustc-check-cfg=cfg({name})");
        if is {
            println!("cargo::rustc-cfg={name}");
        }
    }
}
