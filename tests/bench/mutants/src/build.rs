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
    pub(crate) binaries: Vec<Program>,
}

/// A test program and the folder that it runs in.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub(crate) struct Program {
    pub(crate) path: PathBuf,
    pub(crate) folder: PathBuf,
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

/// What is woven and built.
#[derive(Debug)]
pub(crate) struct Wish {
    pub(crate) root: PathBuf,
    pub(crate) work: PathBuf,
    pub(crate) list: PathBuf,
    /// So many, drawn from the list; else all of it.
    pub(crate) sample: Option<usize>,
    pub(crate) seed: u64,
    /// Where cargo builds; what is built there already of other crates is not built again.
    pub(crate) target: PathBuf,
    /// The tests of the woven crates alone: quicker, and a figure that is too low.
    pub(crate) own_tests: bool,
}

/// The folder of a file's crate.
fn crate_of(file: &str) -> &str {
    file.split_once("/src/").map_or(file, |(folder, _)| folder)
}

/// Cases of each property in a run of one mutant.
const CASES: &str = "24";

pub(crate) fn build(wish: &Wish) -> Result<()> {
    let Wish { root, work, list, sample, seed, target, own_tests } = wish;
    let mutants = list::read(list, *sample, *seed)?;
    let tree = work.join("tree");
    let crates: BTreeSet<&str> = mutants.iter().map(|mutant| crate_of(&mutant.file)).collect();
    copy(root, &tree, &crates)?;
    let cargo = Cargo { tree: &tree, target, own_tests: (*own_tests || alone(&crates)).then_some(&crates) };
    let roots: BTreeSet<String> = crates.iter().map(|folder| format!("{folder}/src/lib.rs")).collect();
    let mut by_file: BTreeMap<&str, Vec<(u32, &Mutant)>> = BTreeMap::new();
    // A crate's root has the switch, with mutants of its own or without.
    for root in &roots {
        by_file.entry(root).or_default();
    }
    for (number, mutant) in (0_u32..).zip(&mutants) {
        by_file.entry(&mutant.file).or_default().push((number, mutant));
    }
    for folder in &crates {
        write_changed(&tree.join(folder).join("src/mutant_switch.rs"), include_str!("switch.rs"))?;
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
            if roots.contains(*file) {
                text.push_str("\nmod mutant_switch;\n");
            }
            write_changed(&tree.join(file), &text)?;
            sites.extend(woven);
        }
        let found = cargo.errors()?;
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
    let binaries = cargo.programs()?;
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

/// The package in a folder: `crates/workbench` is the program, which has the project's name.
fn package(folder: &str) -> String {
    match folder.rsplit('/').next().unwrap_or(folder) {
        "workbench" => "bevelbench".to_owned(),
        name => format!("bevelbench-{name}"),
    }
}

/// The geometry needs no other crate; what is woven elsewhere is told by the tests of all.
fn alone(crates: &BTreeSet<&str>) -> bool {
    crates.iter().all(|folder| *folder == "crates/geometry")
}

/// The crates with fewer cases of each property: the geometry by itself, or all with what their tests read.
fn copy(root: &Path, tree: &Path, crates: &BTreeSet<&str>) -> Result<()> {
    let manifest = std::fs::read_to_string(root.join("Cargo.toml"))?;
    let alone = alone(crates);
    let manifest = manifest.lines().fold(String::new(), |mut all, line| {
        match line {
            line if alone && line.starts_with("members") => all += "members = [\"crates/geometry\"]",
            line if alone && line.starts_with("default-members") => {}
            // What draws and lays out runs a thousand times over.
            "[profile.dev.package]" => {
                all += line;
                if !alone {
                    all += "\nbevelbench-notebook = { opt-level = 1 }\nbevelbench = { opt-level = 1 }";
                }
            }
            // What is woven is odd on purpose.
            line if line.ends_with("= \"warn\"") || line.ends_with("= \"forbid\"") => {}
            line => all += line,
        }
        all.push('\n');
        all
    });
    std::fs::create_dir_all(tree)?;
    write_changed(&tree.join("Cargo.toml"), &manifest)?;
    write_changed(&tree.join("Cargo.lock"), &std::fs::read_to_string(root.join("Cargo.lock"))?)?;
    let woven_later = |path: &Path| {
        path.components().any(|part| part.as_os_str() == "src") && !path.starts_with(root.join("tests"))
    };
    let folders: &[&str] = if alone {
        &["crates/geometry", "tests/reference"]
    } else {
        &["crates", "tests/src", "tests/tests", "tests/reference", "tests/golden", "demo", "assets"]
    };
    for folder in folders {
        // Tests of an earlier build that are there no more are not run.
        let _ = std::fs::remove_dir_all(tree.join(folder).join("tests"));
        copy_folder(&root.join(folder), &tree.join(folder), &woven_later)?;
    }
    if !alone {
        for file in ["tests/Cargo.toml", "tests/README.md", "README.md", "DEVELOPERS.md", "deny.toml"] {
            write_changed(&tree.join(file), &std::fs::read_to_string(root.join(file))?)?;
        }
    }
    Ok(())
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

/// How the woven tree is built.
struct Cargo<'a> {
    tree: &'a Path,
    target: &'a Path,
    own_tests: Option<&'a BTreeSet<&'a str>>,
}

impl Cargo<'_> {
    fn run(&self, arguments: &[&str]) -> Result<String> {
        let mut chosen: Vec<String> = Vec::new();
        if let Some(crates) = self.own_tests {
            for folder in crates {
                chosen.extend(["-p".to_owned(), package(folder)]);
            }
            chosen.push("--tests".to_owned());
        } else {
            // Of the whole, so that what others have built of it serves here; the geometry's own tests tell nothing new.
            chosen.extend(["--workspace".to_owned(), "--lib".to_owned()]);
            for program in self.test_programs()? {
                chosen.extend(["--test".to_owned(), program]);
            }
        }
        let output = Command::new("cargo")
            .args(arguments)
            .args(&chosen)
            .args(["--offline", "--message-format=json"])
            .env("CARGO_TARGET_DIR", self.target)
            .env("CARGO_INCREMENTAL", "1")
            .current_dir(self.tree)
            .output()
            .context("running cargo")?;
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        if text.is_empty() {
            bail!("{}", String::from_utf8_lossy(&output.stderr));
        }
        Ok(text)
    }

    /// Names of the test programs of notebook, workbench and `tests`, but for those that end programs on purpose and those
    /// that read the repository.
    fn test_programs(&self) -> Result<BTreeSet<String>> {
        let mut names = BTreeSet::new();
        for folder in ["crates/notebook/tests", "crates/workbench/tests", "tests/tests"] {
            let Ok(entries) = std::fs::read_dir(self.tree.join(folder)) else { continue };
            for entry in entries {
                let path = entry?.path();
                names.extend(path.file_stem().map(|name| name.to_string_lossy().into_owned()));
            }
        }
        names.retain(|name| !["crash", "kill", "supply"].contains(&name.as_str()));
        Ok(names)
    }

    fn errors(&self) -> Result<Vec<Fault>> {
        let mut found = Vec::new();
        for line in self.run(&["check"])?.lines() {
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

    fn programs(&self) -> Result<Vec<Program>> {
        let mut found: Vec<Program> = self
            .run(&["test", "--no-run"])?
            .lines()
            .filter_map(|line| serde_json::from_str::<Line>(line).ok())
            .filter(|line| line.reason == "compiler-artifact")
            .filter_map(|line| {
                let folder = line.manifest_path?.parent()?.to_owned();
                Some(Program { path: line.executable?, folder })
            })
            .collect();
        found.sort();
        if found.is_empty() {
            bail!("no test programs were built");
        }
        Ok(found)
    }
}

#[derive(Debug, Deserialize)]
struct Line {
    reason: String,
    message: Option<Message>,
    executable: Option<PathBuf>,
    manifest_path: Option<PathBuf>,
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
    /// Where a macro was called that has the line.
    expansion: Option<Expansion>,
}

#[derive(Debug, Deserialize)]
struct Expansion {
    span: Box<Where>,
}

impl Where {
    /// The place itself, and from where the macros were called that have it.
    fn and_callers(&self) -> impl Iterator<Item = &Self> {
        std::iter::successors(Some(self), |place| place.expansion.as_ref().map(|expansion| &*expansion.span))
    }
}

#[derive(Debug)]
struct Fault {
    is_const: bool,
    spans: Vec<Where>,
    rendered: String,
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
        // Without what it is called for: `table::<Rig>`.
        let name = name.split("::<").next().unwrap_or(name);
        let name = name.rsplit("::").next().unwrap_or(name);
        return Blame::Const(name.trim_end_matches("()").to_owned());
    }
    let mut whole_sites = Vec::new();
    for span in fault.spans.iter().flat_map(Where::and_callers) {
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
    if whole_sites.is_empty() {
        return missing_arm(tree, fault).map_or(Blame::Nobody, |number| Blame::Mutants(vec![number]));
    }
    Blame::Mutants(whole_sites)
}

/// An arm without which a match does not cover everything: the compiler points at the beginning of the match.
fn missing_arm(tree: &Path, fault: &Fault) -> Option<u32> {
    let span = fault.spans.first().filter(|_| fault.rendered.contains("not covered"))?;
    let text = std::fs::read_to_string(tree.join(&span.file_name)).ok()?;
    let mut arms = text.lines().skip(span.line_start - 1).take(80).filter(|line| line.contains(") != "));
    arms.find_map(|line| marked(line, "/*#"))
}

fn marked(line: &str, mark: &str) -> Option<u32> {
    let rest = &line[line.find(mark)? + mark.len()..];
    rest[..rest.find("*/")?].parse().ok()
}
