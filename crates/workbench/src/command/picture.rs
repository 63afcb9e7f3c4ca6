//! `picture`: a setting drawn to scale into a file.

use std::{io::Write, path::Path};

use bevelbench_notebook::words::unanswered_words;

use super::{ANSWERED, Stopped, UNANSWERED, open_bench, record::millimetres};
use crate::{picture, units::Units};

/// Draws the side view of the first setting of a name; one that has no answer is complained about, and
/// nothing is written.
pub(super) fn side(file: &Path, name: &str, out: &Path, complaints: &mut dyn Write) -> Result<u8, Stopped> {
    let bench = open_bench(file)?;
    let Some(entry) = bench.setting_named(name) else {
        let at_hand = bench.settings.iter().map(|entry| entry.name.clone()).collect();
        return Err(Stopped::NoSuchSetting { name: name.to_owned(), at_hand });
    };
    match bench.answer(entry) {
        Ok((job, view)) => {
            let text = picture::sheet_of(&bench, entry, &job, &view, Units::default());
            picture::write(out, &text).map_err(Stopped::Picture)?;
            Ok(ANSWERED)
        }
        Err(unanswered) => {
            let words = unanswered_words(&unanswered, &millimetres).together();
            writeln!(complaints, "bevelbench: {name} has no answer. {words}").map_err(Stopped::Output)?;
            Ok(UNANSWERED)
        }
    }
}
