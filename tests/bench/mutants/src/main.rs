//! How many small mistakes the geometry's tests notice. See `README.md`.

mod build;
mod list;
mod run;
mod weave;

use anyhow::{Result, bail};
use lexopt::prelude::{Long, Short, Value, ValueExt};
use std::path::PathBuf;

const USAGE: &str = "bevelbench-mutants build  --list LIST.json --work DIR [--root REPOSITORY]
bevelbench-mutants reach  --work DIR [--workers N]
bevelbench-mutants run    --work DIR --out RESULTS.tsv [--workers N] [--names FILE] [--file PART] [--longest SECONDS]
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
        Some("build") => build::build(
            &options.root.unwrap_or_else(|| PathBuf::from(".")),
            &work,
            &needed(options.list, "list")?,
        ),
        Some("reach") => run::reach(&work, options.workers.unwrap_or(2)),
        Some("run") => {
            let names = options.names.map(std::fs::read_to_string).transpose()?;
            let names = names.map(|text| text.lines().map(str::to_owned).collect());
            let which =
                run::Which { names, part: options.part, longest: options.longest.unwrap_or(f64::INFINITY) };
            run::run(&work, &needed(options.out, "out")?, options.workers.unwrap_or(2), &which)
        }
        Some("sum") => run::sum(&work, &needed(options.out, "out")?),
        other => bail!("{} is not a command\n{USAGE}", other.unwrap_or("nothing")),
    }
}
