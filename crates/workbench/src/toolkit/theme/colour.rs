//! Colours as they are written, mixed and measured. The only file that makes a colour out of numbers.

#![allow(clippy::disallowed_methods, reason = "this is the one place where colours are made")]

use egui::Color32;
use serde::{Deserialize, Deserializer, de::Error as _};

/// A colour as the theme file writes it: `"#rrggbb"` or `"#rrggbbaa"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hex(pub Color32);

impl<'de> Deserialize<'de> for Hex {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        read_hex(&text)
            .map(Self)
            .ok_or_else(|| D::Error::custom(format!("{text:?} is not a colour like \"#rrggbb\"")))
    }
}

/// The colour of `"#rrggbb"` or `"#rrggbbaa"`; `None` for any other text.
fn read_hex(text: &str) -> Option<Color32> {
    let digits = text.strip_prefix('#')?;
    if !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    let all = u32::from_str_radix(digits, 16).ok()?;
    match digits.len() {
        6 => {
            let [_, r, g, b] = all.to_be_bytes();
            Some(Color32::from_rgb(r, g, b))
        }
        8 => {
            let [r, g, b, a] = all.to_be_bytes();
            Some(Color32::from_rgba_unmultiplied(r, g, b, a))
        }
        _ => None,
    }
}

/// A colour between two, by straight interpolation of the stored values: 0 is the first, 1 the second.
#[must_use]
pub fn mix(first: Color32, second: Color32, fraction: f32) -> Color32 {
    let fraction = if fraction.is_finite() { fraction.clamp(0.0, 1.0) } else { 0.0 };
    let [a, b] = [first.to_array(), second.to_array()];
    let at = |i: usize| (f32::from(a[i]) + (f32::from(b[i]) - f32::from(a[i])) * fraction).round() as u8;
    Color32::from_rgba_premultiplied(at(0), at(1), at(2), at(3))
}

/// The same colour, less opaque.
#[must_use]
pub fn faded(colour: Color32, opacity: f32) -> Color32 {
    mix(Color32::TRANSPARENT, colour, opacity)
}

/// Relative luminance of an opaque colour, 0 (black) to 1 (white).
///
/// # Source
/// WCAG 2.2, "relative luminance": sRGB made linear, then 0.2126 R + 0.7152 G + 0.0722 B.
#[must_use]
pub fn luminance(colour: Color32) -> f64 {
    let linear = |stored: u8| {
        let c = f64::from(stored) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
}

/// Contrast ratio of two opaque colours, 1 to 21; the order does not matter.
///
/// # Source
/// WCAG 2.2, "contrast ratio": (lighter + 0.05) / (darker + 0.05).
#[must_use]
pub fn contrast(one: Color32, other: Color32) -> f64 {
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// A colour from its four bytes, red, green, blue and opacity, the first three already weighed by the last: for pictures
/// made pixel by pixel.
#[must_use]
pub const fn from_bytes([r, g, b, a]: [u8; 4]) -> Color32 {
    Color32::from_rgba_premultiplied(r, g, b, a)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;

    #[test]
    fn luminance_of_pure_colours_is_the_published_weight() {
        // Row O02 of the published checks (WCAG 2.x).
        for (rgb, expected) in [((255, 0, 0), 0.2126), ((0, 255, 0), 0.7152), ((0, 0, 255), 0.0722)] {
            assert!((luminance(Color32::from_rgb(rgb.0, rgb.1, rgb.2)) - expected).abs() < 1e-12);
        }
    }

    #[test]
    fn contrasts_are_the_published_ones() {
        // Rows O03 (blue on white 8.59) and O05 (black on white 21).
        let white = Color32::from_rgb(255, 255, 255);
        assert!((contrast(Color32::from_rgb(0, 0, 255), white) - 8.59).abs() < 0.005);
        assert!((contrast(Color32::from_rgb(0, 0, 0), white) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn contrasts_of_okabe_and_ito_on_white_are_the_published_ones() {
        // Row O07, in the order of row O01: black, orange, sky, green, yellow, blue, vermillion, purple.
        let colours = [
            (0, 0, 0, 21.00),
            (230, 159, 0, 2.25),
            (86, 180, 233, 2.31),
            (0, 158, 115, 3.42),
            (240, 228, 66, 1.32),
            (0, 114, 178, 5.19),
            (213, 94, 0, 3.87),
            (204, 121, 167, 3.06),
        ];
        for (r, g, b, expected) in colours {
            let found = contrast(Color32::from_rgb(r, g, b), Color32::from_rgb(255, 255, 255));
            assert!((found - expected).abs() <= 0.005, "{r},{g},{b}: {found}");
        }
    }

    #[test]
    fn only_well_formed_colours_are_read() {
        assert_eq!(read_hex("#0072b2"), Some(Color32::from_rgb(0, 0x72, 0xb2)));
        assert_eq!(read_hex("#0072b280").unwrap().a(), 0x80);
        for bad in ["0072b2", "#0072b", "#0072bg", "#+072b2", "", "#", "#éééé"] {
            assert_eq!(read_hex(bad), None, "{bad:?}");
        }
    }
}
