//! Pictures as files: SVG or PNG, with title, units and cautions.

use bevelbench_geometry::side::Caution;
use bevelbench_notebook::quantity::figure::Figure;
use bevelbench_notebook::{
    answer::swept::Swept,
    drawing::svg::{Sheet, svg},
    paper::picture::{caution_lines, tip_caption, tip_cautions},
    quantity::Units,
};

use crate::pages::{pair::shown::EvaluatedSetting, tip::paper::OnPaper};

/// The sheet of settings that are shown together: their figures, what differs, their cautions. What is drawn on it is
/// the caller's.
pub(crate) fn sheet_of_shown(
    title: String,
    shown: &[&EvaluatedSetting],
    figures: &[Figure],
    more: impl IntoIterator<Item = String>,
    units: Units,
) -> Sheet {
    let unit = units.length;
    let mut caption: Vec<String> = match shown {
        [one] => figures
            .chunks(4)
            .map(|some| {
                let words = some.iter().map(|f| format!("{} {}", f.name(), f.words(one.figure(*f), unit)));
                words.collect::<Vec<_>>().join("; ")
            })
            .collect(),
        [one, other] => figures
            .iter()
            .map(|f| {
                let (a, b) = (one.figure(*f), other.figure(*f));
                format!(
                    "{}: A {}, B {}, B − A {}",
                    f.name(),
                    f.words(a, unit),
                    f.words(b, unit),
                    f.difference(a, b, unit)
                )
            })
            .collect(),
        _ => Vec::new(),
    };
    caption.extend(shown.iter().filter_map(|one| one.problem(units)));
    caption.extend(more);
    let mut reported: Vec<Caution> = Vec::new();
    for caution in shown.iter().flat_map(|one| &one.outcome.cautions) {
        if !reported.contains(caution) {
            reported.push(*caution);
        }
    }
    Sheet { title, caption, cautions: caution_lines(&reported, units), ..Sheet::default() }
}

/// A tip as it is seen, with its numbers.
pub(crate) fn solid_sheet_of(on_paper: OnPaper, name: &str, swept: &Swept, units: Units) -> String {
    let title = format!("{name}, the tip");
    let (caption, cautions) = (tip_caption(swept, units), tip_cautions(swept, units));
    solid_sheet(on_paper, Sheet { title, caption, cautions, ..Sheet::default() })
}

/// Tips as they are seen, on a sheet.
pub(crate) fn solid_sheet(on_paper: OnPaper, sheet: Sheet) -> String {
    let OnPaper { drawing, underlays, window } = on_paper;
    svg(&drawing, &Sheet { underlays, window: Some(window), ..sheet })
}
