//! The letters: one family in three weights with tabular figures, and a second file for the few symbols it lacks.

use egui::{FontData, FontDefinitions, FontFamily};

use super::Weight;

const REGULAR: &[u8] = include_bytes!("../../../../../assets/fonts/BevelbenchSans-Regular.otf");
const MEDIUM: &[u8] = include_bytes!("../../../../../assets/fonts/BevelbenchSans-Medium.otf");
const SEMI_BOLD: &[u8] = include_bytes!("../../../../../assets/fonts/BevelbenchSans-SemiBold.otf");
const SYMBOLS: &[u8] = include_bytes!("../../../../../assets/fonts/BevelbenchSymbols-Regular.ttf");

/// Every symbol beyond letters and digits that the window writes.
pub const SYMBOLS_WRITTEN: &str = "°′″−±×÷≈≤≥→←↑↓⌀✓⚠•…–—‘’“”½¼¾⅛⅜⅝⅞∞Δβα·√≠▲▼◀▶●○";

/// The family of a weight.
#[must_use]
pub fn family(weight: Weight) -> FontFamily {
    match weight {
        Weight::Regular => FontFamily::Proportional,
        Weight::Medium => FontFamily::Name("medium".into()),
        Weight::SemiBold => FontFamily::Name("semi-bold".into()),
    }
}

/// The fonts of the window. Figures are tabular, so running numbers and monospaced text need no other face.
#[must_use]
pub fn definitions() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    for (name, bytes) in
        [("regular", REGULAR), ("medium", MEDIUM), ("semi-bold", SEMI_BOLD), ("symbols", SYMBOLS)]
    {
        fonts.font_data.insert(name.to_owned(), std::sync::Arc::new(FontData::from_static(bytes)));
    }
    let mut face = |family: FontFamily, name: &str| {
        fonts.families.insert(family, vec![name.to_owned(), "symbols".to_owned()]);
    };
    face(FontFamily::Proportional, "regular");
    face(FontFamily::Monospace, "regular");
    face(family(Weight::Medium), "medium");
    face(family(Weight::SemiBold), "semi-bold");
    fonts
}

#[cfg(test)]
mod tests {
    use egui::{FontId, epaint::text::Fonts};

    use super::*;

    fn fonts() -> Fonts {
        Fonts::new(egui::epaint::text::TextOptions::default(), definitions())
    }

    #[test]
    fn every_character_we_write_has_a_glyph_in_every_weight() {
        let mut fonts = fonts();
        let letters = (' '..='~').chain('\u{a0}'..='\u{148}').chain('\u{14a}'..='\u{17f}');
        for c in letters.chain(SYMBOLS_WRITTEN.chars()) {
            for weight in [Weight::Regular, Weight::Medium, Weight::SemiBold] {
                assert!(fonts.has_glyph(&FontId::new(14.0, family(weight)), c), "{c:?} in {weight:?}");
            }
        }
        // The question can be answered with no.
        assert!(!fonts.has_glyph(&FontId::new(14.0, family(Weight::Regular)), '\u{4e2d}'));
    }

    #[test]
    fn digits_are_equally_wide_so_that_numbers_do_not_shake() {
        let mut fonts = fonts();
        let mut view = fonts.with_pixels_per_point(1.0);
        for weight in [Weight::Regular, Weight::Medium, Weight::SemiBold] {
            let font = FontId::new(100.0, family(weight));
            let widths: Vec<f32> = ('0'..='9').map(|c| view.glyph_width(&font, c)).collect();
            assert!(widths.iter().all(|w| (w - widths[0]).abs() < 1e-3), "{weight:?}: {widths:?}");
            assert!((view.glyph_width(&font, 'i') - widths[0]).abs() > 1.0, "letters keep their own widths");
        }
    }
}
