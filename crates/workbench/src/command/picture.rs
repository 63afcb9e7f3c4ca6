//! `picture`: a setting drawn to scale into a file.

use std::io::Write;

use bevelbench_notebook::{
    answer::swept::swept,
    paper::picture::{self, TipSheet},
    quantity::Units,
    words::{not_swept_words, unanswered_words},
};

use crate::command::{
    ANSWERED, BenchFile, Opened, Output, Stopped, UNANSWERED,
    record::{millimetres, swept::POINTS},
    setting_named,
};

/// What `picture` is asked.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Picture {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Which setting.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub setting: String,
    /// What to draw.
    #[arg(long, default_value = "side")]
    pub view: View,
    /// Where to: a name that ends in .svg or .png.
    #[command(flatten)]
    pub output: Output,
}

/// What a picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub enum View {
    /// The bench from the side, to scale.
    #[default]
    Side,
    /// The tip from the side, to scale.
    Tip,
    /// The tip from above, to scale.
    Plan,
    /// Angles along the edge.
    Curves,
}

impl Picture {
    pub(super) fn contradiction(&self) -> Option<String> {
        let ending = self.output.path.extension().unwrap_or_default().to_ascii_lowercase();
        let known = ending == "svg" || ending == "png";
        (!known).then(|| format!("{} should end in .svg or .png.", self.output.path.display()))
    }

    /// Draws a view of a setting; one that has no answer, or leaves no shape where one is to be
    /// drawn, is told, and nothing is written.
    pub(super) fn run(&self, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, .. } = self.file.open(stderr)?;
        let name = &self.setting;
        let entry = setting_named(&bench, name)?;
        self.output.look(&self.file.path, std::slice::from_ref(&self.output.path))?;
        let (job, side) = match bench.answer(entry) {
            Ok(answer) => answer,
            Err(unanswered) => {
                let words = unanswered_words(&unanswered, &millimetres).together();
                writeln!(stderr, "bevelbench: {name} has no answer. {words}").map_err(Stopped::Output)?;
                return Ok(UNANSWERED);
            }
        };
        let units = Units::default();
        let sheet = match self.view {
            View::Side => None,
            View::Tip => Some(TipSheet::Side),
            View::Plan => Some(TipSheet::Plan),
            View::Curves => Some(TipSheet::Curves),
        };
        let text = match sheet {
            None => picture::sheet_of(&bench, entry, &job, &side, units),
            Some(sheet) => match swept(&job, &side, entry.swing.as_ref(), POINTS) {
                Ok(shape) => picture::tip_sheet_of(&bench, entry, &shape, None, sheet, units),
                Err(why) => {
                    let words = not_swept_words(&why, &millimetres).together();
                    writeln!(stderr, "bevelbench: {name} leaves no shape to draw. {words}")
                        .map_err(Stopped::Output)?;
                    return Ok(UNANSWERED);
                }
            },
        };
        picture::write(&self.output.path, &text).map_err(Stopped::Picture)?;
        Ok(ANSWERED)
    }
}
