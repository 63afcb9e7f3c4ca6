//! `accept`: a bench file that was edited by hand gets a new checksum, once it reads as a bench.

use std::{io::Write, path::PathBuf};

use bevelbench_notebook::{
    saved::file::read_bench,
    store::{Claim, Seal, read_text, version_before, write_text},
};

use super::{ANSWERED, Stopped};

/// Accept a bench file as it is: its checksum is made anew.
///
/// For a file that you edited by hand. It must read as a bench; nothing of its text changes but the line with the
/// checksum at its end, and the file as it was stays beside it with .before at the end of its name.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Accept {
    /// The bench file.
    pub file: PathBuf,
}

impl Accept {
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let path = &self.file;
        let shown = path.display();
        let stopped = |error: bevelbench_notebook::store::StoreError| Stopped::File(error.to_string());
        // A window that has it open would take the new text for another program's.
        let _claim = Claim::take(path).map_err(stopped)?;
        let loaded = read_text(path).map_err(stopped)?;
        let bench = read_bench(&loaded.text).map_err(|fault| {
            Stopped::File(format!("{shown} cannot be read and is left as it is. {fault}"))
        })?;
        let said = if loaded.seal == Seal::Whole {
            format!("{shown} needs no accepting: its checksum agrees.")
        } else {
            write_text(path, &loaded.text).map_err(stopped)?;
            let count = bench.settings.len();
            let settings = if count == 1 { "setting" } else { "settings" };
            let before = version_before(path);
            format!("{shown} is accepted with {count} {settings}; as it was: {}", before.display())
        };
        writeln!(out, "{said}").map_err(Stopped::Output)?;
        Ok(ANSWERED)
    }
}
