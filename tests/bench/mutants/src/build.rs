//! One build with every mutant that builds.

use crate::list::{self, Mutant};
use crate::weave::{Woven, weave};
use anyhow::{Context, Result, bail};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

/// What a build leaves for the runs.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Plan {
    /// Number, name, whether only an exact tie tells it, site; of all that build.
    pub(crate) mutants: Vec<Planned>,
    /// Names of those that do not build, or could not be woven in.
    pub(crate) left_out: Vec<String>,
    pub(crate) binaries: Vec<PathBuf>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Planned {
    pub(crate) number: u32,
    pub(crate) name: String,
    pub(crate) tie: bool,
    pub(crate) site: usize,
}

/// What is known not to build, so that the next build need not find it out again.
#[derive(Debug, Default, Serialize, Deserialize)]
struct Unfit {
    names: BTreeSet<String>,
    kept_const: BTreeSet<String>,
}

pub(crate) fn plan(work: &Path) -> Result<Plan> {
    let path = work.join("plan.json");
    Ok(serde_json::from_str(
        &std::fs::read_to_string(&path).with_context(|| format!("reading {}", path.display()))?,
    )?)
}

/// Where the switch is made known.
const ROOT: &str = "crates/geometry/src/lib.rs";

/// Cases of each property in a run of one mutant.
const CASES: &str = "24";

pub(crate) fn build(root: &Path, work: &Path, list: &Path) -> Result<()> {
    let mutants = list::read(list)?;
    let tree = work.join("tree");
    copy(root, &tree)?;
    let mut by_file: BTreeMap<&str, Vec<(u32, &Mutant)>> = BTreeMap::new();
    // The crate's root has the switch, with mutants of its own or without.
    by_file.entry(ROOT).or_default();
    for (number, mutant) in (0_u32..).zip(&mutants) {
        by_file.entry(&mutant.file).or_default().push((number, mutant));
    }
    let known_path = work.join("unfit.json");
    let Unfit { names, mut kept_const } = std::fs::read_to_string(&known_path)
        .ok()
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    let mut unfit: BTreeSet<u32> = (0_u32..)
        .zip(&mutants)
        .filter(|(_, mutant)| names.contains(&mutant.name))
        .map(|(number, _)| number)
        .collect();
    let mut sites;
    loop {
        sites = BTreeMap::new();
        for (file, mutants) in &by_file {
            let source = std::fs::read_to_string(root.join(file))?;
            let Woven { mut text, sites: woven } = weave(&source, mutants, &unfit, &kept_const, sites.len())?;
            if *file == ROOT {
                text.push_str("\nmod mutant_switch;\n");
            }
            write_changed(&tree.join(file), &text)?;
            sites.extend(woven);
        }
        write_changed(&tree.join("crates/geometry/src/mutant_switch.rs"), include_str!("switch.rs"))?;
        let found = errors(&tree)?;
        if found.is_empty() {
            break;
        }
        let before = unfit.len() + kept_const.len();
        let mut strange = Vec::new();
        for error in found {
            match blame(&tree, &error, &sites) {
                Blame::Mutants(numbers) => unfit.extend(numbers),
                Blame::Const(name) => {
                    kept_const.insert(name);
                }
                Blame::Nobody => strange.push(error.rendered),
            }
        }
        eprintln!("{} mutants do not build; functions kept const: {kept_const:?}", unfit.len());
        let names = unfit.iter().map(|number| mutants[*number as usize].name.clone()).collect();
        std::fs::write(
            &known_path,
            serde_json::to_string(&Unfit { names, kept_const: kept_const.clone() })?,
        )?;
        if unfit.len() + kept_const.len() == before {
            bail!("errors that belong to no mutant:\n{}", strange.join("\n"));
        }
    }
    let placed: BTreeMap<u32, usize> =
        sites.iter().flat_map(|(site, numbers)| numbers.iter().map(|number| (*number, *site))).collect();
    let (mut planned, mut left_out) = (Vec::new(), Vec::new());
    for (number, mutant) in (0_u32..).zip(&mutants) {
        match placed.get(&number) {
            Some(site) => {
                planned.push(Planned { number, name: mutant.name.clone(), tie: mutant.is_tie(), site: *site })
            }
            None => left_out.push(mutant.name.clone()),
        }
    }
    let binaries = binaries(&tree)?;
    println!("{} mutants in {} test programs; {} left out", planned.len(), binaries.len(), left_out.len());
    std::fs::write(
        work.join("plan.json"),
        serde_json::to_string_pretty(&Plan { mutants: planned, left_out, binaries })?,
    )?;
    Ok(())
}

/// Written only where it differs, so that nothing is built again in vain.
fn write_changed(path: &Path, text: &str) -> Result<()> {
    if std::fs::read_to_string(path).ok().as_deref() != Some(text) {
        std::fs::write(path, text).with_context(|| format!("writing {}", path.display()))?;
    }
    Ok(())
}

/// The geometry alone, with fewer cases of each property.
fn copy(root: &Path, tree: &Path) -> Result<()> {
    let manifest = std::fs::read_to_string(root.join("Cargo.toml"))?;
    let manifest: String = manifest.lines().fold(String::new(), |mut all, line| {
        all += if line.starts_with("members") { "members = [\"crates/geometry\"]" } else { line };
        all.push('\n');
        all
    });
    let manifest: String = manifest
        .lines()
        .filter(|line| !line.starts_with("default-members"))
        .flat_map(|line| [line, "\n"])
        .collect();
    std::fs::create_dir_all(tree)?;
    write_changed(&tree.join("Cargo.toml"), &manifest)?;
    write_changed(&tree.join("Cargo.lock"), &std::fs::read_to_string(root.join("Cargo.lock"))?)?;
    // Tests of an earlier build that are there no more are not run.
    let _ = std::fs::remove_dir_all(tree.join("crates/geometry/tests"));
    copy_folder(&root.join("crates/geometry"), &tree.join("crates/geometry"), &|path| {
        path.components().any(|part| part.as_os_str() == "src")
    })?;
    copy_folder(&root.join("tests/reference"), &tree.join("tests/reference"), &|_| false)
}

fn copy_folder(from: &Path, to: &Path, woven_later: &dyn Fn(&Path) -> bool) -> Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from).with_context(|| format!("reading {}", from.display()))? {
        let (path, name) = entry.map(|entry| (entry.path(), entry.file_name()))?;
        let target = to.join(&name);
        if path.is_dir() {
            if name != "target" {
                copy_folder(&path, &target, woven_later)?;
            }
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            if !(woven_later(&path) && target.exists()) {
                write_changed(&target, &fewer_cases(&std::fs::read_to_string(&path)?))?;
            }
        } else {
            std::fs::copy(&path, &target)?;
        }
    }
    Ok(())
}

fn fewer_cases(text: &str) -> String {
    let mut parts = text.split("ProptestConfig { cases: ");
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        out.push_str("ProptestConfig { cases: ");
        let digits = part.bytes().take_while(u8::is_ascii_digit).count();
        out.push_str(CASES);
        out.push_str(&part[digits..]);
    }
    out
}

fn cargo(tree: &Path, arguments: &[&str]) -> Result<String> {
    let output = Command::new("cargo")
        .args(arguments)
        .args(["-p", "bevelbench-geometry", "--tests", "--offline", "--message-format=json"])
        .env("RUSTFLAGS", "--cap-lints allow")
        .env("CARGO_TARGET_DIR", tree.with_file_name("target"))
        .env("CARGO_INCREMENTAL", "1")
        .current_dir(tree)
        .output()
        .context("running cargo")?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    if text.is_empty() {
        bail!("{}", String::from_utf8_lossy(&output.stderr));
    }
    Ok(text)
}

#[derive(Debug, Deserialize)]
struct Line {
    reason: String,
    message: Option<Message>,
    executable: Option<PathBuf>,
}

#[derive(Debug, Deserialize)]
struct Message {
    level: String,
    code: Option<Code>,
    spans: Vec<Where>,
    children: Vec<Message>,
    rendered: Option<String>,
}

#[derive(Debug, Deserialize)]
struct Code {
    code: String,
}

#[derive(Debug, Deserialize)]
struct Where {
    file_name: String,
    line_start: usize,
    line_end: usize,
}

#[derive(Debug)]
struct Fault {
    is_const: bool,
    spans: Vec<Where>,
    rendered: String,
}

fn errors(tree: &Path) -> Result<Vec<Fault>> {
    let mut found = Vec::new();
    for line in cargo(tree, &["check"])?.lines() {
        let Ok(Line { message: Some(message), reason, .. }) = serde_json::from_str::<Line>(line) else {
            continue;
        };
        if reason == "compiler-message" && message.level == "error" && !message.spans.is_empty() {
            let is_const = message.code.is_some_and(|code| code.code == "E0015");
            let mut spans = message.spans;
            spans.extend(message.children.into_iter().flat_map(|child| child.spans));
            found.push(Fault { is_const, spans, rendered: message.rendered.unwrap_or_default() });
        }
    }
    Ok(found)
}

#[derive(Debug)]
enum Blame {
    Mutants(Vec<u32>),
    Const(String),
    Nobody,
}

fn blame(tree: &Path, fault: &Fault, sites: &BTreeMap<usize, Vec<u32>>) -> Blame {
    if fault.is_const
        && let Some(name) = fault.rendered.split('`').nth(1)
    {
        let name = name.rsplit("::").next().unwrap_or(name);
        return Blame::Const(name.trim_end_matches("()").to_owned());
    }
    let mut whole_sites = Vec::new();
    for span in &fault.spans {
        let Ok(text) = std::fs::read_to_string(tree.join(&span.file_name)) else { continue };
        for line in text
            .lines()
            .skip(span.line_start - 1)
            .take((span.line_end + 1).saturating_sub(span.line_start).min(40))
        {
            if let Some(number) = marked(line, "/*#") {
                return Blame::Mutants(vec![number]);
            }
            if let Some(site) = marked(line, "/*@") {
                whole_sites.extend(sites.get(&(site as usize)).into_iter().flatten().copied());
            }
        }
    }
    if whole_sites.is_empty() { Blame::Nobody } else { Blame::Mutants(whole_sites) }
}

fn marked(line: &str, mark: &str) -> Option<u32> {
    let rest = &line[line.find(mark)? + mark.len()..];
    rest[..rest.find("*/")?].parse().ok()
}

fn binaries(tree: &Path) -> Result<Vec<PathBuf>> {
    let mut found: Vec<PathBuf> = cargo(tree, &["test", "--no-run"])?
        .lines()
        .filter_map(|line| serde_json::from_str::<Line>(line).ok())
        .filter(|line| line.reason == "compiler-artifact")
        .filter_map(|line| line.executable)
        .collect();
    found.sort();
    if found.is_empty() {
        bail!("no test programs were built");
    }
    Ok(found)
}
