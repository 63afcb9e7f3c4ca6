//! `picture`: a setting drawn to scale into a file.

use std::{io::Write, path::Path};

use bevelbench_notebook::{
    answer::swept::swept,
    paper::picture::{self, TipSheet},
    quantity::Units,
    words::{not_swept_words, unanswered_words},
};

use crate::{
    command::{
        ANSWERED, PictureView, Stopped, UNANSWERED, open_bench, record::millimetres, setting_named,
        swept_record::POINTS,
    },
};

/// Draws a view of a setting; one that has no answer, or leaves no shape where one is to be
/// drawn, is complained about, and nothing is written.
pub(super) fn draw(
    file: &Path,
    name: &str,
    out: &Path,
    view: PictureView,
    stderr: &mut dyn Write,
) -> Result<u8, Stopped> {
    let bench = open_bench(file)?;
    let entry = setting_named(&bench, name)?;
    match bench.answer(entry) {
        Ok((job, side)) => {
            let units = Units::default();
            let sheet = match view {
                PictureView::Side => None,
                PictureView::Tip => Some(TipSheet::Side),
                PictureView::Plan => Some(TipSheet::Plan),
                PictureView::Curves => Some(TipSheet::Curves),
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
            picture::write(out, &text).map_err(Stopped::Picture)?;
            Ok(ANSWERED)
        }
        Err(unanswered) => {
            let words = unanswered_words(&unanswered, &millimetres).together();
            writeln!(stderr, "bevelbench: {name} has no answer. {words}").map_err(Stopped::Output)?;
            Ok(UNANSWERED)
        }
    }
}
