//! Each mutant against the tests that reach it, likely and quick ones first.

use crate::build::{Plan, Planned, plan};
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
    binary: PathBuf,
    test: String,
    seconds: f64,
    sites: Vec<usize>,
}

fn command(binary: &Path, work: &Path) -> Command {
    let mut command = Command::new(binary);
    command
        .current_dir(work.join("tree/crates/geometry"))
        .env("PROPTEST_CASES", "24")
        .env("PROPTEST_RNG_SEED", "20260901")
        .env("RUST_BACKTRACE", "0")
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// Runs every test once by itself and notes what it reaches.
pub(crate) fn reach(work: &Path, workers: usize) -> Result<()> {
    let mut tests = Vec::new();
    for binary in plan(work)?.binaries {
        let listed = Command::new(&binary).args(["--list", "--format", "terse"]).output()?;
        let listed = String::from_utf8_lossy(&listed.stdout).into_owned();
        let names = listed.lines().filter_map(|line| line.strip_suffix(": test"));
        tests.extend(names.map(|test| (binary.clone(), test.to_owned())));
    }
    let (next, all) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for worker in 0..workers {
            let (next, all, tests) = (&next, &all, &tests);
            scope.spawn(move || {
                let record = work.join(format!("reached-{worker}.txt"));
                while let Some((binary, test)) = tests.get(next.fetch_add(1, Relaxed)) {
                    let found = reached_by(work, binary, test, &record);
                    if let Ok(mut all) = all.lock() {
                        all.push(found);
                    }
                }
            });
        }
    });
    let all = all.into_inner().unwrap_or_default().into_iter().collect::<Result<Vec<Reach>>>()?;
    println!(
        "{} tests, {:.1} s one after the other",
        all.len(),
        all.iter().map(|reach| reach.seconds).sum::<f64>()
    );
    std::fs::write(work.join("reach.json"), serde_json::to_string(&all)?)?;
    Ok(())
}

fn reached_by(work: &Path, binary: &Path, test: &str, record: &Path) -> Result<Reach> {
    let _ = std::fs::remove_file(record);
    let start = Instant::now();
    if !command(binary, work).args(["--exact", test]).status()?.success() {
        bail!("{test} of {} fails without a mutant", binary.display());
    }
    let seconds = start.elapsed().as_secs_f64();
    command(binary, work).args(["--exact", test]).env("MUTANTS_REACHED", record).status()?;
    let noted = std::fs::read_to_string(record).unwrap_or_default();
    let sites: BTreeSet<usize> = noted.lines().filter_map(|line| line.parse().ok()).collect();
    Ok(Reach {
        binary: binary.to_owned(),
        test: test.to_owned(),
        seconds,
        sites: sites.into_iter().collect(),
    })
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
}

pub(crate) fn run(work: &Path, out: &Path, workers: usize, which: &Which) -> Result<()> {
    let Which { names, part, longest } = which;
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
                    let source = mutant.name.split(':').next().unwrap_or_default().to_owned();
                    let tests = by_site.get(&mutant.site).map(Vec::as_slice).unwrap_or_default();
                    let (outcome, by) = one(work, mutant, tests, &source, &kills);
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

fn one(
    work: &Path,
    mutant: &Planned,
    tests: &[&Reach],
    source: &str,
    kills: &Kills,
) -> (Outcome, Option<String>) {
    if tests.is_empty() {
        return (Outcome::NotReached, None);
    }
    // One program at a time, its quick tests before its long ones.
    let mut groups: BTreeMap<(&Path, bool), Vec<&Reach>> = BTreeMap::new();
    for test in tests {
        groups.entry((&test.binary, test.seconds > 0.1)).or_default().push(test);
    }
    let mut groups: Vec<((&Path, bool), Vec<&Reach>)> = groups.into_iter().collect();
    let known = kills.lock().map(|kills| kills.clone()).unwrap_or_default();
    let worth = |group: &((&Path, bool), Vec<&Reach>)| {
        let seconds: f64 = group.1.iter().map(|test| test.seconds).sum();
        (known.get(&(source.to_owned(), group.0.0.to_owned())).copied().unwrap_or(0.0) + 0.3) / seconds
    };
    groups.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    let mut late = false;
    for ((binary, _), tests) in groups {
        let seconds: f64 = tests.iter().map(|test| test.seconds).sum();
        let limit = Duration::from_secs_f64(5.0 + 10.0 * seconds);
        let mut command = command(binary, work);
        command
            .arg("--exact")
            .args(tests.iter().map(|test| &test.test))
            .env("MUTANT", mutant.number.to_string());
        match ended_well(command, limit) {
            Some(true) => {}
            Some(false) => {
                if let Ok(mut kills) = kills.lock() {
                    *kills.entry((source.to_owned(), binary.to_owned())).or_default() += 1.0;
                }
                return (Outcome::Caught, binary.file_stem().map(|name| name.to_string_lossy().into_owned()));
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
    println!("caught {:.2} % of all", fraction(caught, run.len()));
    println!("caught {:.2} % without ties", fraction(caught - caught_ties, run.len() - ties));
    Ok(())
}
