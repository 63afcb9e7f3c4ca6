//! The bench file that a subcommand reads: opened, and its seal looked at.

pub(super) mod by_name;

use std::{
    io::{self, Write},
    path::PathBuf,
};

use bevelbench_notebook::{
    saved::{Bench, file::read_bench},
    store::{Seal, read_text},
};
use serde::Serialize;

use super::Stopped;

/// Which bench file is read, and whether its seal must be whole.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct BenchFile {
    /// The bench file.
    #[arg(id = "file", value_name = "FILE")]
    pub path: PathBuf,
    /// Refuse a file whose checksum disagrees with what it says.
    #[arg(long)]
    pub strict: bool,
}

/// A bench and what its seal said.
#[derive(Debug)]
pub(super) struct Opened {
    pub(super) bench: Bench,
    pub(super) seal: Seal,
}

impl BenchFile {
    /// Reads the bench; a seal that is not whole is told, or refused.
    pub(super) fn open(&self, stderr: &mut dyn Write) -> Result<Opened, Stopped> {
        let path = &self.path;
        let loaded = read_text(path).map_err(|error| Stopped::File(error.to_string()))?;
        let bench = read_bench(&loaded.text).map_err(|fault| {
            let doubt = loaded.seal.doubt(path).map_or_else(String::new, |words| format!(" {words}"));
            Stopped::File(format!("{} cannot be read. {fault}{doubt}", path.display()))
        })?;
        if let Some(words) = loaded.seal.doubt(path) {
            let mend = format!("If you edited it yourself, accept it: bevelbench accept {}", path.display());
            if self.strict {
                return Err(Stopped::File(format!("{words} {mend}")));
            }
            writeln!(stderr, "bevelbench: {words} {mend}").map_err(Stopped::Output)?;
        }
        Ok(Opened { bench, seal: loaded.seal })
    }
}

/// What is told in JSON, with the seal of the file that it was read from where that is not whole.
#[derive(Serialize)]
struct Sealed<'r, T> {
    #[serde(flatten)]
    record: &'r T,
    #[serde(skip_serializing_if = "Option::is_none")]
    seal: Option<&'static str>,
}

impl<'r, T> Sealed<'r, T> {
    fn new(record: &'r T, seal: Seal) -> Self {
        let seal = match seal {
            Seal::Broken => Some("broken"),
            Seal::LineDamaged => Some("line_damaged"),
            Seal::Whole | Seal::Absent => None,
        };
        Self { record, seal }
    }
}

/// Writes one record as JSON; a broken seal is a key of it.
pub(super) fn write_record<T: Serialize>(out: &mut dyn Write, record: &T, seal: Seal) -> Result<(), Stopped> {
    write_json(out, &Sealed::new(record, seal))
}

/// Writes records as a list of JSON; a broken seal is a key of each.
pub(super) fn write_records<T: Serialize>(
    out: &mut dyn Write,
    records: &[T],
    seal: Seal,
) -> Result<(), Stopped> {
    let records: Vec<Sealed<'_, T>> = records.iter().map(|record| Sealed::new(record, seal)).collect();
    write_json(out, &records)
}

fn write_json(out: &mut dyn Write, value: &impl Serialize) -> Result<(), Stopped> {
    serde_json::to_writer_pretty(&mut *out, value)
        .map_err(io::Error::from)
        .and_then(|()| writeln!(out))
        .map_err(Stopped::Output)
}
