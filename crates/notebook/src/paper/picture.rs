//! Pictures as files: SVG or PNG, with title, units and cautions.

use std::path::Path;

use bevelbench_geometry::side::{Caution, Job, SideView};

use crate::{
    answer::swept::{Swept, wing_in_tool},
    drawing::{
        png::png,
        side_view::{SideLook, focus, side_view},
        svg::{Sheet, svg},
        tip_view::{curves_view, tip_plan_view, tip_side_view},
    },
    quantity::{LengthUnit, Units},
    saved::{Bench, SettingEntry},
    store,
    words::{self, caution::line::cautions_in_a_line, tip::lines as tip_lines},
};

/// Pixels a millimetre of a saved PNG.
const PIXELS_PER_MM: f64 = 8.0;

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
    let window = focus(job, Some(view)).map(|bounds| bounds.grown(10.0));
    let cautions = caution_lines(&job.cautions(view), units);
    let title = full_name(bench, entry);
    svg(&drawing, &Sheet { title, caption, cautions, window, ..Sheet::default() })
}

/// Tool and setting in one line.
#[must_use]
pub fn full_name(bench: &Bench, entry: &SettingEntry) -> String {
    match bench.tool(entry.tool) {
        Some(tool) => format!("{}: {}", tool.name, entry.name),
        None => entry.name.clone(),
    }
}

/// The cautions of a setting, a line each; where there are none, the one line that stands under every picture.
#[must_use]
pub fn caution_lines(cautions: &[Caution], units: Units) -> Vec<String> {
    let length = |mm: f64| units.length(mm);
    if cautions.is_empty() {
        return vec![format!("{}.", cautions_in_a_line(cautions))];
    }
    cautions.iter().map(|c| words::caution_words(c, &length)).collect()
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
    let what = match sheet {
        TipSheet::Side => "the tip from the side",
        TipSheet::Plan => "the tip from above",
        TipSheet::Curves => "along the edge",
    };
    let mut caption = tip_caption(swept, units);
    if let (TipSheet::Curves, Some((_, name))) = (sheet, second) {
        caption.push(format!("Dashed: {name}"));
    }
    svg(
        &drawing,
        &Sheet {
            title: format!("{}, {what}", full_name(bench, entry)),
            caption,
            cautions: tip_cautions(swept, units),
            ..Sheet::default()
        },
    )
}

/// The numbers of a tip, some to a line.
#[must_use]
pub fn tip_caption(swept: &Swept, units: Units) -> Vec<String> {
    let line = |lines: &[crate::words::tip::Line]| {
        let words: Vec<String> = lines.iter().map(|line| format!("{} {}", line.name, line.figure)).collect();
        words.join("; ")
    };
    tip_lines(swept, units).chunks(4).map(line).collect()
}

/// What a tip rests on, and the line that stands under every picture.
#[must_use]
pub fn tip_cautions(swept: &Swept, units: Units) -> Vec<String> {
    let mut lines = words::swept_warnings(swept, &|mm| units.length(mm));
    lines.push(words::validity_words(swept).to_owned());
    lines.extend(caution_lines(&[], Units::default()));
    lines
}
