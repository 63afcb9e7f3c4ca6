//! `completions` and `man`: made from the definition of the command line, so that they never fall behind it.

use std::io::Write;

use clap_complete::Shell;

use super::{ANSWERED, Stopped, line::definition};

/// Print what a shell needs to complete words of this command.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Completions {
    /// The shell.
    pub shell: Shell,
}

impl Completions {
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let mut definition = definition();
        // Made in memory: the writer of completions stops the program where its output cannot be written.
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut definition, "bevelbench", &mut text);
        out.write_all(&text).map_err(Stopped::Output)?;
        Ok(ANSWERED)
    }
}

/// Print the manual page, of the whole command or of one subcommand.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Man {
    /// The subcommand; without one, the command and what its subcommands are for.
    pub subcommand: Option<String>,
}

impl Man {
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let mut definition = definition();
        definition.build();
        let page = match &self.subcommand {
            None => definition,
            Some(word) => definition.find_subcommand(word).cloned().ok_or_else(|| Stopped::NoSuch {
                what: "subcommand",
                name: word.clone(),
                at_hand: definition.get_subcommands().map(|one| one.get_name().to_owned()).collect(),
            })?,
        };
        clap_mangen::Man::new(page).render(out).map_err(Stopped::Output)?;
        Ok(ANSWERED)
    }
}
