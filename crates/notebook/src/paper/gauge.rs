//! Gauges to cut out, at true size: sticks from pivot to rim, stop blocks, templates of angles and radii, and the outline
//! of a ground tip to hold the tool against.
//!
//! Each gauge is drawn in a frame of its own, in millimetres, and packed on sheets that carry bars to check the printer by.

mod outlines;
mod piece;
mod templates;

use std::{error::Error, fmt};

use bevelbench_geometry::parts::Face as Abrading;

use crate::{
    answer::bench::Unanswered,
    drawing::shape::{Align, Bounds},
    paper::{
        gauge::piece::Gauge,
        page::{Colour, Layout, Page, Pen, TextStyle},
        sheet::{BARS_MM, Correction, Leaf, Paper, bars_fit, check_bars},
    },
    quantity::{format_angle, length_text, length_unit::LengthUnit},
    saved::{
        bench::Bench,
        setting::{SettingEntry, SupportSaved},
    },
};

/// Which gauges are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[allow(clippy::struct_excessive_bools, reason = "a list of boxes to tick")]
pub struct GaugeSelection {
    /// Sticks from pivot to rim.
    pub sticks: bool,
    /// Stop blocks for projections.
    pub blocks: bool,
    /// A template of each bevel.
    pub angles: bool,
    /// One fan of angles from 15° to 90°.
    pub fan: bool,
    /// Templates of wheels and of the hollows they grind.
    pub radii: bool,
    /// Outlines of ground tips.
    pub outlines: bool,
}

impl GaugeSelection {
    /// All of them.
    pub const ALL: Self =
        Self { sticks: true, blocks: true, angles: true, fan: true, radii: true, outlines: true };

    /// None of them.
    pub const NONE: Self =
        Self { sticks: false, blocks: false, angles: false, fan: false, radii: false, outlines: false };
}

impl Default for GaugeSelection {
    fn default() -> Self {
        Self::ALL
    }
}

/// No gauges can be drawn on a paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PaperTooSmall {
    /// The paper.
    pub paper: Paper,
}

impl fmt::Display for PaperTooSmall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "True-size gauges need room for a bar of 4 in along both sides, which {} has not. Choose A5 or larger.",
            self.paper.name()
        )
    }
}

impl Error for PaperTooSmall {}

/// The gauges of some settings of a bench; those without an answer give none.
///
/// # Errors
/// The first [`Unanswered`] if no setting has an answer and something was wanted of them.
pub fn gauges(
    bench: &Bench,
    entries: &[&SettingEntry],
    wanted: GaugeSelection,
    unit: LengthUnit,
    longest_mm: f64,
) -> Result<Vec<Gauge>, Unanswered> {
    let mut made: Vec<Gauge> = Vec::new();
    let mut seen: Vec<(&'static str, i64, String)> = Vec::new();
    // The same stick for two settings is cut once: sizes count to a hundredth.
    let mut first = |kind: &'static str, size: f64, of: &str| {
        let key = (kind, (size * 100.0).round() as i64, of.to_owned());
        let new = !seen.contains(&key);
        if new {
            seen.push(key);
        }
        new
    };
    let mut refused = None;
    let mut answered = false;
    let length = |mm: f64| length_text(mm, unit);
    for entry in entries {
        let (job, view) = match bench.answer(entry) {
            Ok(answer) => answer,
            Err(unanswered) => {
                refused.get_or_insert(unanswered);
                continue;
            }
        };
        answered = true;
        let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
        let of = format!("{tool}: {}", entry.name);
        let wheel = bench.rig(entry.rig).and_then(|rig| rig.wheel(entry.wheel));
        let wheel_name = wheel.map_or("", |wheel| wheel.name.as_str());
        if wanted.sticks
            && let Some(gauge_mm) = view.gauge_length_mm().filter(|mm| *mm > 15.0)
            && first("stick", gauge_mm, wheel_name)
        {
            let note = match job.setting.face {
                Abrading::Round { .. } => {
                    format!("{wheel_name}, {} across", length(job.wheel.diameter_mm()))
                }
                Abrading::Flat { .. } => wheel_name.to_owned(),
            };
            made.extend(templates::stick(gauge_mm, &of, &note, &length, longest_mm));
        }
        if wanted.blocks
            && let SupportSaved::Holder { projection_mm, .. } = entry.support
            && first("block", projection_mm, "")
        {
            made.extend(templates::block(projection_mm, &length, longest_mm));
        }
        if wanted.angles && first("angle", view.facet.across.degrees(), "") {
            let words = [
                of.clone(),
                format!(
                    "reads {} across the facet; {} at the edge",
                    format_angle(view.facet.across.degrees(), 1),
                    format_angle(view.bevel().degrees(), 1)
                ),
            ];
            made.push(templates::angle(view.facet.across, &words));
        }
        if wanted.radii
            && let Abrading::Round { radius_mm } = job.setting.face
            && first("wheel", radius_mm, "")
        {
            let across = length(2.0 * radius_mm);
            made.push(templates::wheel(radius_mm, &format!("Wheel of {across} across: no light under it")));
            made.push(templates::hollow(
                radius_mm,
                &format!("Hollow of a wheel of {across}: lies in the facet"),
            ));
        }
        if wanted.outlines
            && let Ok(swept) = crate::answer::swept::swept(&job, &view, entry.swing.as_ref(), 181)
        {
            made.extend(outlines::both(&swept, &of));
        }
    }
    if wanted.fan {
        made.push(templates::fan());
    }
    match refused {
        Some(unanswered) if !answered && made.is_empty() => Err(unanswered),
        _ => Ok(made),
    }
}

/// Gauges packed on sheets of a paper, with bars to check the printer by.
///
/// # Errors
/// [`PaperTooSmall`].
pub fn gauge_pages(
    gauges: &[Gauge],
    paper: Paper,
    correction: Correction,
) -> Result<Vec<Page>, PaperTooSmall> {
    let usable = Leaf::new(paper, false, correction).usable();
    if !bars_fit(usable) {
        return Err(PaperTooSmall { paper });
    }
    // Lying sheets where something is too wide for upright ones.
    let room = usable.width() - BARS_MM - 2.0;
    let lying = gauges.iter().any(|gauge| gauge.size_mm[0] > room);
    let leaf = Leaf::new(paper, lying, correction);
    let usable = leaf.usable();
    let narrow = usable.width() < 170.0;
    let head = 9.0;
    let field = Bounds {
        min: [usable.min[0] + BARS_MM + 2.0, usable.min[1] + BARS_MM + if narrow { 11.0 } else { 3.0 }],
        max: [usable.max[0], usable.max[1] - head],
    };
    let gap = 6.0;
    let mut pages: Vec<Layout> = Vec::new();
    let mut sheet = Layout::new();
    let (mut x, mut top, mut row) = (field.min[0], field.max[1], 0.0_f64);
    let mut empty = true;
    for gauge in gauges {
        let [wide, tall] = gauge.size_mm;
        if x > field.min[0] && x + wide > field.max[0] {
            (x, top, row) = (field.min[0], top - row - gap, 0.0);
        }
        if top - tall < field.min[1] && !empty {
            pages.push(std::mem::take(&mut sheet));
            (x, top, row) = (field.min[0], field.max[1], 0.0);
        }
        sheet.put([x, top - tall], gauge.layout.clone());
        empty = false;
        x += wide + gap;
        row = row.max(tall);
    }
    if !empty {
        pages.push(sheet);
    }
    let count = pages.len();
    Ok(pages
        .into_iter()
        .enumerate()
        .map(|(index, mut layout)| {
            let at = [usable.min[0] + BARS_MM + 2.0, usable.max[1] - 4.2];
            layout.words(at, "Gauges at true size", TextStyle::strong(4.2), Align::Start);
            let number = format!("{} of {count}", index + 1);
            layout.words([usable.max[0], at[1]], number, TextStyle::weak(2.6), Align::End);
            let from = [usable.min[0], usable.max[1] - 6.0];
            layout.line([at[0], from[1]], [usable.max[0], from[1]], Pen::new(Colour::BLACK, 0.3));
            check_bars(&mut layout, usable, correction.kept());
            leaf.page(layout)
        })
        .collect())
}

/// The longest gauge that fits on a paper lying down, in millimetres.
#[must_use]
pub fn longest_mm(paper: Paper, correction: Correction) -> f64 {
    let usable = Leaf::new(paper, true, correction).usable();
    usable.width() - BARS_MM - 2.0
}
