//! A page as SVG: the same items as in the PDF, in millimetres.

use std::fmt::Write as _;

use bevelbench_geometry::math::Angle;

use crate::{
    drawing::{
        shape::Point,
        svg::{FONT, escaped, number},
        text_shaping::Typeface,
    },
    paper::page::{Colour, Item, Page, Pen},
};

/// A page as an SVG text, with a title.
#[must_use]
pub fn page_svg(page: &Page, title: &str) -> String {
    let [width, height] = page.size_mm;
    let (w, h) = (number(width), number(height));
    let mut out = String::with_capacity(32_768);
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"{FONT}, Bevelbench Symbols, sans-serif\" font-kerning=\"none\">"
    );
    let _ = writeln!(out, "<title>{}</title>", escaped(title));
    let _ = writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>");
    let mut writer = Writer { out, page, windows: 0 };
    writer.items(&page.items);
    writer.out.push_str("</svg>\n");
    writer.out
}

struct Writer<'a> {
    out: String,
    page: &'a Page,
    windows: u32,
}

impl Writer<'_> {
    fn place(&self, point: Point) -> (f64, f64) {
        let ([w, h], [fx, fy]) = (self.page.size_mm, self.page.correction);
        (w / 2.0 + (point[0] - w / 2.0) * fx, h / 2.0 - (point[1] - h / 2.0) * fy)
    }

    fn pair(&self, point: Point) -> String {
        let (x, y) = self.place(point);
        format!("{},{}", number(x), number(y))
    }

    fn items(&mut self, items: &[Item]) {
        for item in items {
            self.item(item);
        }
    }

    fn item(&mut self, item: &Item) {
        match item {
            Item::Path { points, closed, fill, pen } => {
                let kind = if *closed { "polygon" } else { "polyline" };
                let points = points.iter().map(|p| self.pair(*p)).collect::<Vec<_>>().join(" ");
                let _ = writeln!(self.out, "<{kind} points=\"{points}\"{}/>", look(*fill, pen.as_ref()));
            }
            Item::Arc { centre, radius, start, sweep, fill, pen } => {
                let look = look(*fill, pen.as_ref());
                let ((x, y), [fx, fy]) = (self.place(*centre), self.page.correction);
                let (rx, ry) = (number(radius * fx), number(radius * fy));
                let _ = if sweep.abs() >= Angle::FULL {
                    let (x, y) = (number(x), number(y));
                    writeln!(self.out, "<ellipse cx=\"{x}\" cy=\"{y}\" rx=\"{rx}\" ry=\"{ry}\"{look}/>")
                } else {
                    let at = |angle: Angle| {
                        self.pair([centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()])
                    };
                    let large = i32::from(sweep.abs() > Angle::HALF);
                    let turn = i32::from(*sweep < Angle::ZERO);
                    let (from, to) = (at(*start), at(*start + *sweep));
                    writeln!(self.out, "<path d=\"M{from} A{rx},{ry} 0 {large} {turn} {to}\"{look}/>")
                };
            }
            Item::Text { at, words, typeface, size_mm, along, colour } => {
                let (x, y) = self.place(*at);
                let [fx, fy] = self.page.correction;
                let mut how = format!("translate({} {})", number(x), number(y));
                if (fx, fy) != (1.0, 1.0) {
                    let _ = write!(how, " scale({} {})", six(fx), six(fy));
                }
                if *along != Angle::ZERO {
                    let _ = write!(how, " rotate({})", number(-along.degrees()));
                }
                let family =
                    if *typeface == Typeface::Symbols { " font-family=\"Bevelbench Symbols\"" } else { "" };
                let _ = writeln!(
                    self.out,
                    "<text transform=\"{how}\" font-size=\"{}\" font-weight=\"{}\" fill=\"{}\"{family}>{}</text>",
                    number(*size_mm),
                    typeface.weight(),
                    colour.hex(),
                    escaped(words)
                );
            }
            Item::Window { bounds, items } => {
                self.windows += 1;
                let window = self.windows;
                let ((x, y), (right, low)) =
                    (self.place([bounds.min[0], bounds.max[1]]), self.place([bounds.max[0], bounds.min[1]]));
                let _ = writeln!(
                    self.out,
                    "<clipPath id=\"w{window}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n<g clip-path=\"url(#w{window})\">",
                    number(x),
                    number(y),
                    number(right - x),
                    number(low - y)
                );
                self.items(items);
                self.out.push_str("</g>\n");
            }
            Item::Named { name, items } => {
                let _ = writeln!(self.out, "<g class=\"{name}\">");
                self.items(items);
                self.out.push_str("</g>\n");
            }
        }
    }
}

fn six(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

fn look(fill: Option<Colour>, pen: Option<&Pen>) -> String {
    let mut look =
        fill.map_or_else(|| " fill=\"none\"".to_owned(), |colour| format!(" fill=\"{}\"", colour.hex()));
    if let Some(pen) = pen {
        let _ = write!(
            look,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" stroke-linecap=\"butt\"",
            pen.colour.hex(),
            number(pen.width_mm)
        );
        if !pen.dash.is_empty() {
            let dash = pen.dash.iter().map(|part| number(*part)).collect::<Vec<_>>().join(" ");
            let _ = write!(look, " stroke-dasharray=\"{dash}\"");
        }
    }
    look
}
