//! The drawing as a file: SVG or PNG, with title, units and cautions.

use std::path::Path;

use bevelbench_geometry::{Job, SideView};
use bevelbench_notebook::{
    png::png,
    quantity::LengthUnit,
    saved::{Bench, SettingEntry},
    side_view::{SideLook, focus, side_view},
    store,
    svg::{Sheet, svg},
    swept::{Swept, wing_in_tool},
    tip_view::{curves_view, tip_plan_view, tip_side_view},
    words,
};

use crate::{
    session::{Outcome, Session},
    tip::panel::lines as tip_lines,
    units::Units,
};

/// Pixels a millimetre of a saved PNG.
const PIXELS_PER_MM: f64 = 8.0;

/// Saves the side view of the setting in hand; the ending of the path says which kind.
///
/// # Errors
/// The words that say why not and what to do.
pub fn save(path: &Path, session: &Session, outcome: &Outcome, units: Units) -> Result<(), String> {
    let (Some(hand), Some(job), Ok(view)) = (session.in_hand(), &outcome.job, &outcome.result) else {
        return Err("The setting in hand has no answer, so there is nothing to draw yet.".to_owned());
    };
    let text = sheet_of(session.bench(), hand, job, view, units);
    write(path, &text)
}

/// Writes an SVG text as what the ending of the path asks for.
///
/// # Errors
/// The words that say why not and what to do.
pub fn write(path: &Path, text: &str) -> Result<(), String> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    match ending.as_str() {
        "svg" => store::write_bytes(path, text.as_bytes()),
        "png" => store::write_bytes(path, &png(text, PIXELS_PER_MM).map_err(|error| error.to_string())?),
        _ => return Err(format!("“{}” should end in .svg or .png.", path.display())),
    }
    .map_err(|error| error.to_string())
}

/// The side view as an SVG text.
#[must_use]
pub fn sheet_of(bench: &Bench, entry: &SettingEntry, job: &Job, view: &SideView, units: Units) -> String {
    let length = |mm: f64| units.length(mm);
    let fine = |mm: f64| units.fine(mm);
    let wing = wing_in_tool(job, view, entry.swing.as_ref());
    let relief = entry.relief_if_any(job, view);
    let look = SideLook {
        relief: relief.as_ref(),
        roll_centre_mm: entry.swing.map(|swing| swing.roll_centre_mm),
        wing: &wing,
        ..SideLook::new(&length, &fine)
    };
    let drawing = side_view(job, view, &look);
    let rig = bench.rig(entry.rig);
    let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
    let wheel = rig.and_then(|rig| rig.wheel(entry.wheel)).map_or("", |wheel| wheel.name.as_str());
    let mut caption = vec![
        format!("{}, {wheel}", rig.map_or("", |rig| rig.name.as_str())),
        format!(
            "Bevel at the edge {}, across the facet {}; facet {}, hollow {}",
            units.angle(view.bevel().degrees()),
            units.angle(view.facet.across.degrees()),
            units.length(view.facet.width_mm),
            units.fine(view.facet.hollow_mm)
        ),
    ];
    if let Some(gauge) = view.gauge_length_mm() {
        caption.push(format!("Gauge length {}", units.length(gauge)));
    }
    let cautions = job.cautions(view).iter().map(|c| words::caution_words(c, &length)).collect();
    let window = focus(job, Some(view)).map(|bounds| bounds.grown(10.0));
    svg(
        &drawing,
        &Sheet { title: format!("{tool}: {}", entry.name), caption, cautions, window, ..Sheet::default() },
    )
}

/// Which drawing of the tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TipSheet {
    /// From the side.
    Side,
    /// From above.
    Plan,
    /// The curves along its edge.
    Curves,
}

/// A drawing of the tip as an SVG text; the curves take a second setting and its name over the first.
#[must_use]
pub fn tip_sheet_of(
    bench: &Bench,
    entry: &SettingEntry,
    swept: &Swept,
    second: Option<(&Swept, &str)>,
    sheet: TipSheet,
    units: Units,
) -> String {
    let length = |mm: f64| units.length(mm);
    let other = second.map(|(shape, _)| shape);
    let drawing = match sheet {
        TipSheet::Side => tip_side_view(swept, &length),
        TipSheet::Plan => tip_plan_view(swept, &length),
        TipSheet::Curves => match units.length {
            LengthUnit::Millimetre => curves_view(swept, other, 1.0, "mm"),
            LengthUnit::Inch | LengthUnit::InchFraction => curves_view(swept, other, 25.4, "in"),
        },
    };
    let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
    let what = match sheet {
        TipSheet::Side => "the tip from the side",
        TipSheet::Plan => "the tip from above",
        TipSheet::Curves => "along the edge",
    };
    let mut caption: Vec<String> = tip_lines(swept, units)
        .chunks(4)
        .map(|lines| {
            let words: Vec<String> =
                lines.iter().map(|line| format!("{} {}", line.name, line.figure)).collect();
            words.join("; ")
        })
        .collect();
    if let (TipSheet::Curves, Some((_, name))) = (sheet, second) {
        caption.push(format!("Dashed: {name}"));
    }
    svg(
        &drawing,
        &Sheet {
            title: format!("{tool}: {}, {what}", entry.name),
            caption,
            cautions: vec![words::validity_words(swept).to_owned()],
            ..Sheet::default()
        },
    )
}
