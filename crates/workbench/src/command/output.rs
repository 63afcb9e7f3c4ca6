//! Where a subcommand writes: never over the file it reads, and over another only when told to.

use std::path::{Path, PathBuf};

use super::Stopped;

/// Where to, and whether what is there may go.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Output {
    /// Where to: a name ending in .svg or .png; prints go to .pdf too (pictures one a page), a share to .bench.ron.
    #[arg(id = "output", short = 'o', long, value_name = "OUT")]
    pub path: PathBuf,
    /// Replace a file that is there already; the bench file itself never is.
    #[arg(long)]
    pub force: bool,
}

impl Output {
    /// Looks whether the files may be written that come from reading `input`.
    ///
    /// # Errors
    /// The file that is in the way, and what to do.
    pub(super) fn look(&self, input: &Path, places: &[PathBuf]) -> Result<(), Stopped> {
        for place in places {
            // A link that leads nowhere yet is there as well.
            if place.symlink_metadata().is_err() {
                continue;
            }
            let shown = place.display();
            if same_file::is_same_file(input, place).unwrap_or(false) {
                return Err(Stopped::File(format!(
                    "{shown} is the bench file itself, which is never written over. Choose another name."
                )));
            }
            if !self.force {
                return Err(Stopped::File(format!(
                    "{shown} is there already and stays as it is. Choose another name, or add --force to replace it."
                )));
            }
        }
        Ok(())
    }
}
