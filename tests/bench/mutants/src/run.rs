//! Each mutant against the tests that reach it, likely and quick ones first.

use crate::build::{Plan, Planned, Program, plan};
use anyhow::{Context, Result, bail};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
use std::time::{Duration, Instant};

/// A test, how long it takes without a mutant, and the sites it reaches.
#[derive(Debug, Serialize, Deserialize)]
struct Reach {
    program: Program,
    test: String,
    seconds: f64,
    sites: Vec<usize>,
}

fn command(program: &Program) -> Command {
    let mut command = Command::new(&program.path);
    command
        .current_dir(&program.folder)
        .env("PROPTEST_CASES", "24")
        .env("PROPTEST_RNG_SEED", "20260901")
        .env("RUST_BACKTRACE", "0")
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// Runs every test once by itself and notes what it reaches.
pub(crate) fn reach(work: &Path, workers: usize, without: Option<&str>) -> Result<()> {
    let mut tests = Vec::new();
    let left_out = |program: &Program| {
        let name = program.path.file_name().map(|name| name.to_string_lossy().into_owned());
        without.zip(name).is_some_and(|(without, name)| name.starts_with(without))
    };
    for program in plan(work)?.binaries.into_iter().filter(|program| !left_out(program)) {
        let listed = Command::new(&program.path).args(["--list", "--format", "terse"]).output()?;
        let listed = String::from_utf8_lossy(&listed.stdout).into_owned();
        let names = listed.lines().filter_map(|line| line.strip_suffix(": test"));
        tests.extend(names.map(|test| (program.clone(), test.to_owned())));
    }
    let (next, all) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for worker in 0..workers {
            let (next, all, tests) = (&next, &all, &tests);
            scope.spawn(move || {
                let record = work.join(format!("reached-{worker}.txt"));
                while let Some((program, test)) = tests.get(next.fetch_add(1, Relaxed)) {
                    match reached_by(program, test, &record) {
                        Ok(found) => {
                            if let Ok(mut all) = all.lock() {
                                all.push(found);
                            }
                        }
                        // What fails without a mutant tells nothing about one.
                        Err(why) => eprintln!("left out: {why}"),
                    }
                }
            });
        }
    });
    let all: Vec<Reach> = all.into_inner().unwrap_or_default();
    println!(
        "{} tests, {:.1} s one after the other",
        all.len(),
        all.iter().map(|reach| reach.seconds).sum::<f64>()
    );
    std::fs::write(work.join("reach.json"), serde_json::to_string(&all)?)?;
    Ok(())
}

fn reached_by(program: &Program, test: &str, record: &Path) -> Result<Reach> {
    let _ = std::fs::remove_file(record);
    let start = Instant::now();
    let mut run = command(program);
    if !run.args(["--exact", test]).env("MUTANTS_REACHED", record).status()?.success() {
        bail!("{test} of {} fails without a mutant", program.path.display());
    }
    let seconds = start.elapsed().as_secs_f64();
    let noted = std::fs::read_to_string(record).unwrap_or_default();
    let sites: BTreeSet<usize> = noted.lines().filter_map(|line| line.parse().ok()).collect();
    Ok(Reach { program: program.clone(), test: test.to_owned(), seconds, sites: sites.into_iter().collect() })
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    Caught,
    Missed,
    OutOfTime,
    NotReached,
}

/// What to run.
#[derive(Debug)]
pub(crate) struct Which {
    /// These mutants; else those that are not among the results yet.
    pub(crate) names: Option<HashSet<String>>,
    /// A part of their names.
    pub(crate) part: Option<String>,
    /// Tests that take longer, in seconds, are left out.
    pub(crate) longest: f64,
    /// After so many seconds of tests that notice nothing a mutant counts as missed.
    pub(crate) budget: f64,
    /// After so many minutes no further mutant is begun.
    pub(crate) minutes: f64,
}

pub(crate) fn run(work: &Path, out: &Path, workers: usize, which: &Which) -> Result<()> {
    let Which { names, part, longest, budget, minutes } = which;
    let begun = Instant::now();
    let Plan { mutants, .. } = plan(work)?;
    let reached: Vec<Reach> = serde_json::from_str(&std::fs::read_to_string(work.join("reach.json"))?)?;
    let mut by_site: HashMap<usize, Vec<&Reach>> = HashMap::new();
    for reach in reached.iter().filter(|reach| reach.seconds <= *longest) {
        for site in &reach.sites {
            by_site.entry(*site).or_default().push(reach);
        }
    }
    let done: HashSet<String> =
        if names.is_some() { HashSet::new() } else { results(out).into_keys().collect() };
    let wanted = |mutant: &&Planned| {
        names.as_ref().is_none_or(|names| names.contains(&mutant.name))
            && part.as_ref().is_none_or(|part| mutant.name.contains(part))
            && !done.contains(&mutant.name)
    };
    let todo: Vec<&Planned> = mutants.iter().filter(wanted).collect();
    let file = Mutex::new(
        File::options()
            .append(true)
            .create(true)
            .open(out)
            .with_context(|| format!("opening {}", out.display()))?,
    );
    let (next, kills) = (AtomicUsize::new(0), Mutex::new(HashMap::<(String, PathBuf), f64>::new()));
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some(mutant) = todo.get(next.fetch_add(1, Relaxed)) {
                    if begun.elapsed().as_secs_f64() > 60.0 * minutes {
                        break;
                    }
                    let source = mutant.name.split(':').next().unwrap_or_default().to_owned();
                    let tests = by_site.get(&mutant.site).map(Vec::as_slice).unwrap_or_default();
                    let (outcome, by) = one(mutant, tests, &source, *budget, &kills);
                    let line = format!("{}\t{outcome:?}\t{}\n", mutant.name, by.unwrap_or_default());
                    if let Ok(mut file) = file.lock() {
                        let _ = file.write_all(line.as_bytes());
                    }
                }
            });
        }
    });
    Ok(())
}

type Kills = Mutex<HashMap<(String, PathBuf), f64>>;

/// Seconds of tests in one run of a program: no run is told to stop at the first that fails.
const BATCH: f64 = 3.0;

fn one(
    mutant: &Planned,
    tests: &[&Reach],
    source: &str,
    budget: f64,
    kills: &Kills,
) -> (Outcome, Option<String>) {
    if tests.is_empty() {
        return (Outcome::NotReached, None);
    }
    // One program at a time, its quick tests before its long ones, those that reach little before those that reach much.
    let mut sorted = tests.to_vec();
    sorted.sort_by_key(|test| (&test.program, test.seconds > 0.1, test.sites.len()));
    let mut groups: Vec<(&Program, Vec<&Reach>)> = Vec::new();
    for test in sorted {
        match groups.last_mut() {
            Some((program, group))
                if *program == &test.program
                    && group.iter().map(|test| test.seconds).sum::<f64>() + test.seconds < BATCH =>
            {
                group.push(test);
            }
            _ => groups.push((&test.program, vec![test])),
        }
    }
    let known = kills.lock().map(|kills| kills.clone()).unwrap_or_default();
    let worth = |(program, tests): &(&Program, Vec<&Reach>)| {
        let seconds: f64 = tests.iter().map(|test| test.seconds).sum();
        let caught = known.get(&(source.to_owned(), program.path.clone())).copied().unwrap_or(0.0);
        let reached = tests.iter().map(|test| test.sites.len()).min().unwrap_or(1);
        (caught + 0.3) / (seconds * (200.0 + reached as f64))
    };
    groups.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    let mut late = false;
    let mut spent = 0.0;
    for (program, tests) in groups {
        let seconds: f64 = tests.iter().map(|test| test.seconds).sum();
        if spent + seconds > budget && spent > 0.0 {
            continue;
        }
        spent += seconds;
        let limit = Duration::from_secs_f64(5.0 + 10.0 * seconds);
        let mut command = command(program);
        command
            .arg("--exact")
            .args(tests.iter().map(|test| &test.test))
            .env("MUTANT", mutant.number.to_string());
        match ended_well(command, limit) {
            Some(true) => {}
            Some(false) => {
                if let Ok(mut kills) = kills.lock() {
                    *kills.entry((source.to_owned(), program.path.clone())).or_default() += 1.0;
                }
                return (
                    Outcome::Caught,
                    program.path.file_stem().map(|name| name.to_string_lossy().into_owned()),
                );
            }
            None => late = true,
        }
        if late {
            break;
        }
    }
    (if late { Outcome::OutOfTime } else { Outcome::Missed }, None)
}

fn ended_well(mut command: Command, limit: Duration) -> Option<bool> {
    let mut child = command.spawn().ok()?;
    let start = Instant::now();
    loop {
        if let Ok(Some(status)) = child.try_wait() {
            return Some(status.success());
        }
        if start.elapsed() > limit {
            let _ = child.kill();
            let _ = child.wait();
            return None;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
}

/// The last outcome of each name.
fn results(out: &Path) -> BTreeMap<String, String> {
    let text = std::fs::read_to_string(out).unwrap_or_default();
    text.lines()
        .filter_map(|line| line.split_once('\t'))
        .map(|(name, rest)| (name.to_owned(), rest.split('\t').next().unwrap_or_default().to_owned()))
        .collect()
}

/// Counts, with and without what only an exact tie of two numbers can tell.
pub(crate) fn sum(work: &Path, out: &Path) -> Result<()> {
    let Plan { mutants, left_out, .. } = plan(work)?;
    let results = results(out);
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let run: Vec<(&Planned, &str)> =
        mutants.iter().filter_map(|mutant| Some((mutant, results.get(&mutant.name)?.as_str()))).collect();
    for (mutant, outcome) in &run {
        let count = counts.entry(outcome).or_default();
        count.0 += 1;
        count.1 += usize::from(mutant.tie);
    }
    println!("{} mutants built, {} left out, {} run", mutants.len(), left_out.len(), run.len());
    for (outcome, (all, ties)) in &counts {
        println!("{outcome}: {all}, of them {ties} ties");
    }
    let (caught, caught_ties) = counts.get("Caught").copied().unwrap_or_default();
    let ties: usize = counts.values().map(|(_, ties)| ties).sum();
    let fraction = |part: usize, whole: usize| 100.0 * part as f64 / whole as f64;
    let mut crates: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (mutant, outcome) in &run {
        let count = crates.entry(mutant.name.split("/src/").next().unwrap_or_default()).or_default();
        count.0 += usize::from(*outcome == "Caught");
        count.1 += 1;
    }
    for (folder, (caught, all)) in &crates {
        println!("{folder}: {caught} of {all}, {:.1} %", fraction(*caught, *all));
    }
    println!("caught {:.2} % of all", fraction(caught, run.len()));
    println!("caught {:.2} % without ties", fraction(caught - caught_ties, run.len() - ties));
    Ok(())
}
