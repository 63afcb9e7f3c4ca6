//! Sheets of paper: their sizes, the margins that printers leave, a printer's own error, and the bars it is checked by.

use std::{error::Error, fmt};

use bevelbench_geometry::math::Angle;

use crate::{
    drawing::shape::{Align, Bounds},
    paper::page::{Colour, Layout, Page, Pen, TextStyle},
    quantity::length_unit::MM_PER_INCH,
};

/// A size of paper.
///
/// # Source
/// The A sizes of ISO 216; Letter (A) and Tabloid (B) of the ANSI sizes; the index card of 3 by 5 inches, common
/// practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize)]
pub enum Paper {
    /// 297 × 420 mm.
    A3,
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 148 × 210 mm.
    A5,
    /// 105 × 148 mm.
    A6,
    /// 8½ × 11 in.
    Letter,
    /// 11 × 17 in.
    Tabloid,
    /// 3 × 5 in.
    IndexCard,
}

impl Paper {
    /// Every size.
    pub const ALL: [Self; 7] =
        [Self::A4, Self::Letter, Self::A3, Self::Tabloid, Self::A5, Self::A6, Self::IndexCard];

    /// Width and height upright, in millimetres.
    #[must_use]
    pub const fn size_mm(self) -> [f64; 2] {
        match self {
            Self::A3 => [297.0, 420.0],
            Self::A4 => [210.0, 297.0],
            Self::A5 => [148.0, 210.0],
            Self::A6 => [105.0, 148.0],
            Self::Letter => [8.5 * MM_PER_INCH, 11.0 * MM_PER_INCH],
            Self::Tabloid => [11.0 * MM_PER_INCH, 17.0 * MM_PER_INCH],
            Self::IndexCard => [3.0 * MM_PER_INCH, 5.0 * MM_PER_INCH],
        }
    }

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A3 => "A3",
            Self::A4 => "A4",
            Self::A5 => "A5",
            Self::A6 => "A6",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
            Self::IndexCard => "Index card",
        }
    }

    /// The size of a name as it is typed: `a4`, `Letter`, `index card`, `index`.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        let plain = |text: &str| text.to_lowercase().replace([' ', '-', '_'], "");
        let request = plain(name);
        Self::ALL
            .into_iter()
            .find(|paper| plain(paper.name()) == request)
            .or_else(|| (request == "index").then_some(Self::IndexCard))
    }
}

/// By how much a printer is off along each axis: what everything is multiplied by so that it comes out right.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Correction {
    /// Across the sheet.
    pub across: f64,
    /// Up the sheet.
    pub up: f64,
}

impl Default for Correction {
    fn default() -> Self {
        Self { across: 1.0, up: 1.0 }
    }
}

/// A bar that was measured cannot be one of 100 mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotABar {
    /// What it measured, in millimetres.
    pub measured_mm: f64,
}

impl fmt::Display for NotABar {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "A bar of {} mm cannot be the one of 100 mm: printers are off by a few per cent at most. Print at 100 %, without fitting to the page, and measure again.",
            crate::quantity::format_number(self.measured_mm, 1)
        )
    }
}

impl Error for NotABar {}

/// The length of the bar that is measured, in millimetres.
pub const BAR_MM: f64 = 100.0;
/// How far a printer may be off.
const MOST_OFF: f64 = 0.08;

impl Correction {
    /// From what the bars of 100 mm measure on a sheet that was printed with `self`.
    ///
    /// # Errors
    /// [`NotABar`] for a length that is no bar of 100 mm.
    pub fn from_measured(self, across_mm: f64, up_mm: f64) -> Result<Self, NotABar> {
        let factor = |measured_mm: f64| {
            let factor = BAR_MM / measured_mm;
            if measured_mm.is_finite() && (factor - 1.0).abs() <= MOST_OFF {
                Ok(factor)
            } else {
                Err(NotABar { measured_mm })
            }
        };
        Ok(Self { across: self.across * factor(across_mm)?, up: self.up * factor(up_mm)? }.kept())
    }

    /// The same within what a printer can be off by; none for numbers that are none.
    #[must_use]
    pub fn kept(self) -> Self {
        let kept = |factor: f64| {
            if factor.is_finite() { factor.clamp(1.0 - 1.5 * MOST_OFF, 1.0 + 1.5 * MOST_OFF) } else { 1.0 }
        };
        Self { across: kept(self.across), up: kept(self.up) }
    }

    /// Whether nothing is corrected.
    #[must_use]
    pub fn is_none(self) -> bool {
        self == Self::default()
    }
}

/// A sheet to be laid out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaf {
    /// Width and height in millimetres.
    pub size_mm: [f64; 2],
    /// What no printer reaches, in millimetres.
    pub margin_mm: f64,
    /// The printer's correction.
    pub correction: Correction,
}

impl Leaf {
    /// An upright or a lying sheet.
    #[must_use]
    pub fn new(paper: Paper, lying: bool, correction: Correction) -> Self {
        let [width, height] = paper.size_mm();
        let size_mm = if lying { [height, width] } else { [width, height] };
        let margin_mm = if width < 130.0 { 5.0 } else { 10.0 };
        Self { size_mm, margin_mm, correction: correction.kept() }
    }

    /// What may be printed on, in the millimetres of what is drawn: a correction leaves a little less, or more.
    #[must_use]
    pub fn usable(&self) -> Bounds {
        let inner = |size: f64, factor: f64| {
            let half = (size / 2.0 - self.margin_mm) / factor;
            [size / 2.0 - half, size / 2.0 + half]
        };
        let across = inner(self.size_mm[0], self.correction.across);
        let up = inner(self.size_mm[1], self.correction.up);
        Bounds { min: [across[0], up[0]], max: [across[1], up[1]] }
    }

    /// A page with these things.
    #[must_use]
    pub fn page(&self, layout: Layout) -> Page {
        Page {
            size_mm: self.size_mm,
            correction: [self.correction.across, self.correction.up],
            items: layout.items,
        }
    }
}

/// The room that check bars take below and to the left, in millimetres.
pub const BARS_MM: f64 = 14.0;

/// Whether bars along both axes have room.
#[must_use]
pub fn bars_fit(usable: Bounds) -> bool {
    usable.width() >= BARS_MM + 4.0 * MM_PER_INCH && usable.height() >= BARS_MM + 4.0 * MM_PER_INCH
}

/// Bars of 100 mm and 4 in along both axes, in the lower left corner of what may be printed on, and how they are used.
pub fn check_bars(layout: &mut Layout, usable: Bounds, correction: Correction) {
    let [x, y] = usable.min;
    let (from_x, from_y) = (x + BARS_MM, y + BARS_MM);
    let inches = 4.0 * MM_PER_INCH;
    for (name, long, words, level) in
        [("BarAcrossMm", BAR_MM, "100 mm", 8.0), ("BarAcrossInch", inches, "4 in", 2.0)]
    {
        let mut bar = Layout::new();
        ruler(&mut bar, [from_x, y + level], long, words, false);
        layout.named(name, bar);
    }
    for (name, long, words, level) in [("BarUpMm", BAR_MM, "100 mm", 8.0), ("BarUpInch", inches, "4 in", 2.0)]
    {
        let mut bar = Layout::new();
        ruler(&mut bar, [x + level, from_y], long, words, true);
        layout.named(name, bar);
    }
    let left = from_x + inches + 6.0;
    let wide = usable.max[0] - left;
    let mut words = "Print at 100 %, without fitting to the page. Measure both bars before anything is cut: if they are off, type what they measure on the Print page, and print again.".to_owned();
    if !correction.is_none() {
        let factor = |value: f64| crate::quantity::format_number(value, 4);
        words = format!(
            "Corrected for this printer: across × {}, up × {}. {words}",
            factor(correction.across),
            factor(correction.up)
        );
    }
    if wide >= 50.0 {
        layout.paragraph(left, y + 12.5, wide, &words, TextStyle::weak(2.5));
    } else {
        // Narrow paper: above the bars.
        layout.paragraph(from_x, y + BARS_MM + 9.0, usable.max[0] - from_x, &words, TextStyle::weak(2.1));
    }
}

/// A bar of a length with ticks, along or up.
fn ruler(layout: &mut Layout, at: [f64; 2], long: f64, words: &str, up: bool) {
    let place = |along: f64, off: f64| {
        if up { [at[0] - off + 2.6, at[1] + along] } else { [at[0] + along, at[1] + off] }
    };
    let pen = || Pen::new(Colour::BLACK, 0.2);
    layout.line(place(0.0, 0.0), place(long, 0.0), pen());
    let parts = if words.ends_with("mm") { 10 } else { 4 };
    for part in 0..=parts {
        let along = long * f64::from(part) / f64::from(parts);
        let tall = if part == 0 || part == parts {
            2.6
        } else if part * 2 == parts {
            1.7
        } else {
            1.0
        };
        layout.line(place(along, 0.0), place(along, tall), pen());
    }
    let turn = if up { Angle::QUARTER } else { Angle::ZERO };
    // Between the first ticks.
    let middle = place(long * if parts == 10 { 0.15 } else { 0.125 }, 0.0);
    let off = 0.7;
    let at = if up { [middle[0] - off, middle[1]] } else { [middle[0], middle[1] + off] };
    layout.words_along(at, words, TextStyle::plain(2.4), Align::Middle, turn);
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    #[test]
    fn measured_bars_correct_the_printer() {
        let corrected = Correction::default().from_measured(99.0, 100.5).unwrap();
        assert!((corrected.across - 100.0 / 99.0).abs() < 1e-12);
        assert!((corrected.up - 100.0 / 100.5).abs() < 1e-12);
        // The second sheet is printed with the correction: what remains is multiplied in.
        let again = corrected.from_measured(100.1, 100.0).unwrap();
        assert!((again.across - 100.0 / 99.0 * 100.0 / 100.1).abs() < 1e-12);
        for odd in [0.0, f64::NAN, -100.0, 4.0, 300.0] {
            assert!(Correction::default().from_measured(odd, 100.0).is_err(), "{odd}");
        }
    }

    #[test]
    fn papers_are_found_by_name() {
        for paper in Paper::ALL {
            assert_eq!(Paper::from_name(&paper.name().to_uppercase()), Some(paper));
        }
        assert_eq!(Paper::from_name("index-card"), Some(Paper::IndexCard));
        assert_eq!(Paper::from_name("B5"), None);
    }
}
