//! How many small mistakes the tests notice. See `README.md`.

mod build;
mod list;
mod run;
mod weave;

use anyhow::{Result, bail};
use lexopt::prelude::{Long, Short, Value, ValueExt};
use std::path::PathBuf;

const USAGE: &str = "bevelbench-mutants build  --list LIST.json --work DIR [--root REPOSITORY] [--target DIR] [--sample N] [--seed N] [--own-tests]
bevelbench-mutants reach  --work DIR [--workers N] [--without PROGRAM]
bevelbench-mutants run    --work DIR --out RESULTS.tsv [--workers N] [--names FILE] [--file PART] [--longest SECONDS]
                          [--budget SECONDS] [--minutes N]
bevelbench-mutants sum    --work DIR --out RESULTS.tsv";

#[derive(Debug, Default)]
struct Options {
    root: Option<PathBuf>,
    work: Option<PathBuf>,
    list: Option<PathBuf>,
    out: Option<PathBuf>,
    names: Option<PathBuf>,
    part: Option<String>,
    workers: Option<usize>,
    longest: Option<f64>,
    budget: Option<f64>,
    minutes: Option<f64>,
    target: Option<PathBuf>,
    without: Option<String>,
    own_tests: bool,
    sample: Option<usize>,
    seed: Option<u64>,
}

fn needed(path: Option<PathBuf>, name: &str) -> Result<PathBuf> {
    path.ok_or_else(|| anyhow::anyhow!("--{name} is needed\n{USAGE}"))
}

fn main() -> Result<()> {
    let mut parser = lexopt::Parser::from_env();
    let (mut command, mut options) = (None, Options::default());
    while let Some(argument) = parser.next()? {
        match argument {
            Long("root") => options.root = Some(parser.value()?.into()),
            Long("work") => options.work = Some(parser.value()?.into()),
            Long("list") => options.list = Some(parser.value()?.into()),
            Long("out") => options.out = Some(parser.value()?.into()),
            Long("names") => options.names = Some(parser.value()?.into()),
            Long("file") => options.part = Some(parser.value()?.string()?),
            Long("workers") => options.workers = Some(parser.value()?.parse()?),
            Long("longest") => options.longest = Some(parser.value()?.parse()?),
            Long("budget") => options.budget = Some(parser.value()?.parse()?),
            Long("minutes") => options.minutes = Some(parser.value()?.parse()?),
            Long("target") => options.target = Some(parser.value()?.into()),
            Long("own-tests") => options.own_tests = true,
            Long("without") => options.without = Some(parser.value()?.string()?),
            Long("sample") => options.sample = Some(parser.value()?.parse()?),
            Long("seed") => options.seed = Some(parser.value()?.parse()?),
            Long("help") | Short('h') => {
                println!("{USAGE}");
                return Ok(());
            }
            Value(value) if command.is_none() => command = Some(value.string()?),
            other => return Err(other.unexpected().into()),
        }
    }
    let work = needed(options.work, "work")?;
    match command.as_deref() {
        Some("build") => build::build(&build::Wish {
            root: options.root.unwrap_or_else(|| PathBuf::from(".")),
            list: needed(options.list, "list")?,
            sample: options.sample,
            // A sample that nobody chose is another one every time.
            seed: options
                .seed
                .unwrap_or_else(|| std::time::UNIX_EPOCH.elapsed().map_or(1, |since| since.as_secs())),
            target: options.target.unwrap_or_else(|| work.join("target")),
            own_tests: options.own_tests,
            work,
        }),
        Some("reach") => run::reach(&work, options.workers.unwrap_or(2), options.without.as_deref()),
        Some("run") => {
            let names = options.names.map(std::fs::read_to_string).transpose()?;
            let names = names.map(|text| text.lines().map(str::to_owned).collect());
            let which = run::Which {
                names,
                part: options.part,
                longest: options.longest.unwrap_or(f64::INFINITY),
                budget: options.budget.unwrap_or(f64::INFINITY),
                minutes: options.minutes.unwrap_or(f64::INFINITY),
            };
            run::run(&work, &needed(options.out, "out")?, options.workers.unwrap_or(2), &which)
        }
        Some("sum") => run::sum(&work, &needed(options.out, "out")?),
        other => bail!("{} is not a command\n{USAGE}", other.unwrap_or("nothing")),
    }
}
