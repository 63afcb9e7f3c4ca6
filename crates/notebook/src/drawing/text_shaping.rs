//! Letters on paper: the fonts that travel with the program, how wide words are in them, and where lines break.

use std::sync::OnceLock;

use skrifa::{
    FontRef, GlyphId, MetadataProvider,
    instance::{LocationRef, Size},
};

/// One of the fonts that travel with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Typeface {
    /// Ordinary text.
    Regular,
    /// A little stronger.
    Medium,
    /// Names and numbers.
    SemiBold,
    /// Signs that the others lack.
    Symbols,
}

impl Typeface {
    /// Every face.
    pub const ALL: [Self; 4] = [Self::Regular, Self::Medium, Self::SemiBold, Self::Symbols];

    /// Its name as the font itself has it.
    #[must_use]
    pub const fn postscript_name(self) -> &'static str {
        match self {
            Self::Regular => "BevelbenchSans-Regular",
            Self::Medium => "BevelbenchSans-Medium",
            Self::SemiBold => "BevelbenchSans-SemiBold",
            Self::Symbols => "BevelbenchSymbols-Regular",
        }
    }

    /// Its weight as style sheets count it.
    #[must_use]
    pub const fn weight(self) -> u16 {
        match self {
            Self::Regular | Self::Symbols => 400,
            Self::Medium => 500,
            Self::SemiBold => 600,
        }
    }

    /// The font file.
    #[must_use]
    pub const fn data(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../../../assets/fonts/BevelbenchSans-Regular.otf"),
            Self::Medium => include_bytes!("../../../../assets/fonts/BevelbenchSans-Medium.otf"),
            Self::SemiBold => include_bytes!("../../../../assets/fonts/BevelbenchSans-SemiBold.otf"),
            Self::Symbols => include_bytes!("../../../../assets/fonts/BevelbenchSymbols-Regular.ttf"),
        }
    }
}

/// A letter as it is set: the face that has it, which glyph, and how far it carries on, in heights of the text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Letter {
    /// The face that has it.
    pub typeface: Typeface,
    /// Its glyph in that face.
    pub glyph: u16,
    /// Its advance, in heights of the text.
    pub advance: f64,
}

fn font(typeface: Typeface) -> Option<&'static FontRef<'static>> {
    static FONTS: OnceLock<[Option<FontRef<'static>>; 4]> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| Typeface::ALL.map(|typeface| FontRef::new(typeface.data()).ok()));
    fonts.get(typeface as usize)?.as_ref()
}

fn look_up(typeface: Typeface, letter: char) -> Option<Letter> {
    let font = font(typeface)?;
    let glyph = font.charmap().map(letter).filter(|glyph| *glyph != GlyphId::NOTDEF)?;
    let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
    let em = f64::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em).max(1.0);
    let advance = f64::from(metrics.advance_width(glyph)?) / em;
    Some(Letter { typeface, glyph: u16::try_from(glyph.to_u32()).ok()?, advance })
}

/// The plain letters, looked up once: nearly all that is ever asked for.
fn plain(typeface: Typeface, letter: char) -> Option<Letter> {
    static PLAIN: OnceLock<Vec<Option<Letter>>> = OnceLock::new();
    let plain = PLAIN.get_or_init(|| {
        Typeface::ALL
            .iter()
            .flat_map(|typeface| (' '..='~').map(|letter| look_up(*typeface, letter)))
            .collect()
    });
    let place = u32::from(letter).checked_sub(u32::from(' ')).filter(|place| *place < 95)?;
    *plain.get(typeface as usize * 95 + place as usize)?
}

/// A letter in a face, or in the symbols if that face lacks it; a question mark for what neither has.
#[must_use]
pub fn letter(typeface: Typeface, letter: char) -> Letter {
    plain(typeface, letter)
        .or_else(|| look_up(typeface, letter))
        .or_else(|| look_up(Typeface::Symbols, letter))
        .or_else(|| plain(typeface, '?'))
        .unwrap_or(Letter { typeface, glyph: 0, advance: 0.5 })
}

/// How wide words are at a size, in millimetres.
#[must_use]
pub fn width_mm(words: &str, typeface: Typeface, size_mm: f64) -> f64 {
    words.chars().map(|c| letter(typeface, c).advance).sum::<f64>() * size_mm
}

/// Words broken into lines no wider than `most_mm`; a single word that is wider is cut.
#[must_use]
pub fn wrapped(words: &str, typeface: Typeface, size_mm: f64, most_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let space = letter(typeface, ' ').advance * size_mm;
    let mut used = 0.0;
    for word in words.split_whitespace() {
        let wide = width_mm(word, typeface, size_mm);
        if !line.is_empty() && used + space + wide > most_mm {
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        if !line.is_empty() {
            line.push(' ');
            used += space;
        }
        if wide <= most_mm {
            line.push_str(word);
            used += wide;
            continue;
        }
        for c in word.chars() {
            let step = letter(typeface, c).advance * size_mm;
            if used + step > most_mm && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            line.push(c);
            used += step;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Words cut short with an ellipsis so that they are no wider than `most_mm`.
#[must_use]
pub fn shortened(words: &str, typeface: Typeface, size_mm: f64, most_mm: f64) -> String {
    if width_mm(words, typeface, size_mm) <= most_mm {
        return words.to_owned();
    }
    let room = most_mm - width_mm("…", typeface, size_mm);
    let mut used = 0.0;
    let mut kept: String = words
        .chars()
        .take_while(|c| {
            used += letter(typeface, *c).advance * size_mm;
            used <= room
        })
        .collect();
    kept.truncate(kept.trim_end().len());
    kept.push('…');
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_that_is_used_has_a_glyph() {
        for sign in "aZ09 ″′→⌀°−±✓⚠½×·…’“”–—≈".chars() {
            let found = letter(Typeface::Regular, sign);
            assert!(found.glyph != 0 && found.advance > 0.0, "{sign}");
            assert!(sign == '?' || found.glyph != letter(Typeface::Regular, '?').glyph, "{sign}");
        }
        assert_eq!(letter(Typeface::SemiBold, '⌀').typeface, Typeface::Symbols);
    }

    #[test]
    fn lines_are_no_wider_than_asked_and_lose_no_word() {
        let words =
            "Set the arm, lock it, ink the bevel, turn the wheel by hand; Unbreakablyandextremelylong.";
        for most in [12.0, 30.0, 80.0] {
            let lines = wrapped(words, Typeface::Regular, 3.0, most);
            assert!(
                lines.iter().all(|line| width_mm(line, Typeface::Regular, 3.0) <= most + 1e-9),
                "{lines:?}"
            );
            let kept: String = lines.concat().chars().filter(|c| !c.is_whitespace()).collect();
            assert_eq!(kept, words.chars().filter(|c| !c.is_whitespace()).collect::<String>());
        }
    }

    #[test]
    fn shortened_words_fit() {
        let short = shortened("Bowl gouge, 16 mm, U flute", Typeface::Medium, 4.0, 20.0);
        assert!(short.ends_with('…') && width_mm(&short, Typeface::Medium, 4.0) <= 20.0, "{short}");
        assert_eq!(shortened("Skew", Typeface::Medium, 4.0, 20.0), "Skew");
    }
}
