//! A drawing as SVG: to scale on paper, texts of a fixed size, roles turned into ink by a small palette.

use std::fmt::Write as _;

use bevelbench_geometry::math::Angle;

use crate::drawing::shape::{Align, Bounds, Drawing, Geometry, Mark, Point, Role, Shape, Standing, TextSize};

/// The sheet a drawing is put on.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The title over it.
    pub title: String,
    /// Lines under it.
    pub caption: Vec<String>,
    /// Cautions at the foot.
    pub cautions: Vec<String>,
    /// The sheet's width in millimetres, if no scale is asked for.
    pub width_mm: f64,
    /// Millimetres on paper for a millimetre of the drawing: 1 is true size. As large as the width allows if `None`.
    pub scale: Option<f64>,
    /// What part of the drawing is shown; all of it if `None`.
    pub window: Option<Bounds>,
    /// Pictures in pixels under the drawing.
    pub underlays: Vec<Underlay>,
}

/// A picture in pixels that lies under a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Underlay {
    /// Where it lies, in drawing millimetres.
    pub at: Bounds,
    /// A PNG file.
    pub png: Vec<u8>,
}

impl Default for Sheet {
    fn default() -> Self {
        Self {
            title: String::new(),
            caption: Vec::new(),
            cautions: Vec::new(),
            width_mm: 200.0,
            scale: None,
            window: None,
            underlays: Vec::new(),
        }
    }
}

/// The family of the fonts that travel with the program.
pub const FONT: &str = "Bevelbench Sans";

/// How a role looks on paper.
pub(crate) struct Ink {
    /// Colour of the body, if it is filled.
    pub(crate) fill: Option<&'static str>,
    /// Colour of the line.
    pub(crate) stroke: &'static str,
    /// Width of the line in millimetres.
    pub(crate) width: f64,
    /// Dashes and gaps in millimetres, in turn; none for an unbroken line.
    pub(crate) dash: &'static str,
}

/// Okabe–Ito colours for what matters, greys and one warm tone for bodies.
pub(crate) fn ink(role: Role, standing: Standing) -> Ink {
    let ink = |fill, stroke, width, dash| Ink { fill, stroke, width, dash };
    let solid = match role {
        Role::Wheel => ink(Some("#e9e6df"), "#1f2a33", 0.35, ""),
        Role::WheelNew => ink(None, "#7b858d", 0.2, "1.6 1.2"),
        Role::WheelLeast => ink(None, "#c9c2b4", 0.18, "0.8 1"),
        Role::Spindle => ink(Some("#ced5da"), "#1f2a33", 0.25, ""),
        Role::Rotation => ink(None, "#5d6870", 0.35, ""),
        Role::Bench => ink(Some("#e7dcc8"), "#8d7752", 0.2, ""),
        Role::Arm | Role::Table => ink(Some("#c6d0d7"), "#33414c", 0.25, ""),
        Role::Cup | Role::Holder => ink(Some("#b4c0c9"), "#1f2a33", 0.28, ""),
        Role::Pivot => ink(Some("#0072b2"), "#0072b2", 0.3, ""),
        Role::Strut => ink(Some("#dde3e7"), "#1f2a33", 0.28, ""),
        Role::TablePost => ink(Some("#e3e7ea"), "#8d979e", 0.18, ""),
        Role::Tool | Role::ToolSection => ink(Some("#d8dfe4"), "#1f2a33", 0.3, ""),
        Role::ToolHidden => ink(None, "#5d6870", 0.18, "1.2 0.9"),
        Role::Handle => ink(Some("#d9b98a"), "#7a5a2c", 0.28, ""),
        Role::Facet => ink(None, "#009e73", 0.6, ""),
        Role::FacetPresent => ink(None, "#d55e00", 0.3, "1.2 0.8"),
        Role::Ink => ink(None, "#56b4e9", 0.8, ""),
        Role::Edge => ink(Some("#1f2a33"), "#1f2a33", 0.35, ""),
        Role::Heel => ink(Some("#5d6870"), "#5d6870", 0.3, ""),
        Role::RollLine => ink(None, "#b35806", 0.28, "2.4 0.9 0.6 0.9"),
        Role::AngleArc => ink(None, "#a34a00", 0.3, ""),
        Role::Gauge => ink(None, "#0072b2", 0.35, ""),
        Role::Dimension => ink(None, "#33414c", 0.18, ""),
        Role::Construction => ink(None, "#9aa4ab", 0.15, "2.2 0.8 0.5 0.8"),
        Role::Limit => ink(None, "#d55e00", 0.5, ""),
        Role::Gap => ink(None, "#a3457d", 0.3, ""),
    };
    match standing {
        Standing::Solid => solid,
        Standing::Ghost => ink(None, "#c4cbd0", solid.width, solid.dash),
        Standing::Attempt => ink(None, "#d55e00", solid.width, "1.6 1"),
        Standing::Second => ink(None, solid.stroke, solid.width, "1.6 1"),
    }
}

pub(crate) fn text_mm(size: TextSize) -> f64 {
    match size {
        TextSize::Small => 2.6,
        TextSize::Normal => 3.0,
        TextSize::Strong => 3.5,
    }
}

/// A number with at most three decimals and no trailing zeros: the same text on every machine.
pub(crate) fn number(value: f64) -> String {
    let rounded = (value * 1000.0).round() / 1000.0;
    if rounded.is_finite() {
        format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
    } else {
        "0".to_owned()
    }
}

pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// From drawing millimetres to paper millimetres: the one place that turns the second axis over.
#[derive(Clone, Copy)]
struct Paper {
    scale: f64,
    left: f64,
    top: f64,
    window: Bounds,
}

impl Paper {
    fn x(self, point: Point) -> f64 {
        self.left + (point[0] - self.window.min[0]) * self.scale
    }

    fn y(self, point: Point) -> f64 {
        self.top + (self.window.max[1] - point[1]) * self.scale
    }

    fn pair(self, point: Point) -> String {
        format!("{},{}", number(self.x(point)), number(self.y(point)))
    }
}

/// Widest sheet in millimetres.
const WIDEST_MM: f64 = 5_000.0;

/// The paper behind a text whose anchor is the origin, in paper millimetres, second axis down: left, top, width,
/// height. As wide as letters usually are: the fonts are not asked.
fn text_box(text: &str, align: Align, size: TextSize, lift: f64) -> [f64; 4] {
    let height = text_mm(size);
    let wide = height * 0.58 * text.chars().count() as f64;
    let left = match align {
        Align::Start => 0.0,
        Align::Middle => -wide / 2.0,
        Align::End => -wide,
    };
    [left - height * 0.15, -height * (0.62 + lift), wide + height * 0.3, height * 1.24]
}

/// The box around a whole drawing with its texts, which are larger in drawing millimetres the smaller the scale is.
fn whole(drawing: &Drawing, scale: Option<f64>, room_mm: f64) -> Bounds {
    let bare = drawing.bounds().unwrap_or(Bounds { min: [0.0, 0.0], max: [1.0, 1.0] }).grown(6.0);
    let mut all = bare;
    // A text that widens the box makes the scale smaller, and the text wider in turn; it settles quickly.
    for _ in 0..4 {
        let scale = scale.unwrap_or(room_mm / all.width().max(1.0)).max(1e-6);
        let corners = drawing.shapes.iter().filter_map(|shape| match &shape.geometry {
            Geometry::Text { at, text, align, along, size, lift } => {
                let [left, top, wide, tall] = text_box(text, *align, *size, *lift);
                let (sin, cos) = along.sin_cos();
                Some([(left, top), (left + wide, top), (left, top + tall), (left + wide, top + tall)].map(
                    |(x, down)| {
                        [at[0] + (x * cos + down * sin) / scale, at[1] + (x * sin - down * cos) / scale]
                    },
                ))
            }
            _ => None,
        });
        all = Bounds::around(corners.flatten()).map_or(bare, |texts| bare.union(texts));
    }
    all
}

/// Writes a drawing on a sheet as SVG, in millimetres.
#[must_use]
pub fn svg(drawing: &Drawing, sheet: &Sheet) -> String {
    let margin = 8.0;
    let asked = sheet.scale.filter(|scale| (1e-3..=1e3).contains(scale));
    let asked_width = sheet.width_mm.clamp(40.0, WIDEST_MM).max(40.0);
    let window = sheet
        .window
        .filter(|w| [w.min, w.max].as_flattened().iter().all(|x| x.is_finite()))
        .unwrap_or_else(|| whole(drawing, asked, asked_width - 2.0 * margin));
    let scale = asked.unwrap_or((asked_width - 2.0 * margin) / window.width().max(1.0));
    let width = if asked.is_some() { (window.width() * scale + 2.0 * margin).max(40.0) } else { asked_width };
    // Letters are about half as wide as high.
    let fitting = |lines: &[String], height: f64| -> Vec<String> {
        let most = ((width - 2.0 * margin) / (0.57 * height)) as usize;
        lines.iter().flat_map(|line| wrapped(line, most)).collect()
    };
    let title =
        if sheet.title.is_empty() { Vec::new() } else { fitting(std::slice::from_ref(&sheet.title), 5.0) };
    let head = if title.is_empty() { 0.0 } else { 2.6 + 6.4 * title.len() as f64 };
    let picture = window.height() * scale;
    let caption_top = margin + head + picture + 6.0;
    let (caption, cautions) = (fitting(&sheet.caption, 3.2), fitting(&sheet.cautions, 2.7));
    let foot = caption_top + 4.6 * caption.len() as f64 + 2.0;
    let height = foot + 3.8 * cautions.len() as f64 + margin;
    let mut out = String::with_capacity(16_384);
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"{FONT}, sans-serif\">",
        w = number(width),
        h = number(height)
    );
    let _ = writeln!(out, "<title>{}</title>", escaped(&sheet.title));
    let _ =
        writeln!(out, "<rect width=\"{}\" height=\"{}\" fill=\"#ffffff\"/>", number(width), number(height));
    for (index, line) in title.iter().enumerate() {
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{}\" font-size=\"5\" font-weight=\"600\" fill=\"#1f2a33\">{}</text>",
            number(margin),
            number(margin + 3.5 + 6.4 * index as f64),
            escaped(line)
        );
    }
    let paper = Paper { scale, left: margin, top: margin + head, window };
    let _ = writeln!(
        out,
        "<clipPath id=\"window\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n<g clip-path=\"url(#window)\" stroke-linejoin=\"round\" stroke-linecap=\"round\">",
        number(margin),
        number(margin + head),
        number(width - 2.0 * margin),
        number(picture)
    );
    for under in &sheet.underlays {
        let [left, top] = [paper.x(under.at.min), paper.y(under.at.max)];
        let _ = writeln!(
            out,
            "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" href=\"data:image/png;base64,{}\"/>",
            number(left),
            number(top),
            number(under.at.width() * scale),
            number(under.at.height() * scale),
            base64(&under.png)
        );
    }
    // Texts lie over everything else.
    for shape in drawing.shapes.iter().filter(|s| !matches!(s.geometry, Geometry::Text { .. })) {
        write_shape(&mut out, drawing, shape, paper);
    }
    for shape in drawing.shapes.iter().filter(|s| matches!(s.geometry, Geometry::Text { .. })) {
        write_shape(&mut out, drawing, shape, paper);
    }
    out.push_str("</g>\n");
    for (index, line) in caption.iter().enumerate() {
        let y = caption_top + 4.6 * index as f64;
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{}\" font-size=\"3.2\" fill=\"#1f2a33\">{}</text>",
            number(margin),
            number(y),
            escaped(line)
        );
    }
    for (index, line) in cautions.iter().enumerate() {
        let y = foot + 3.8 * index as f64;
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{}\" font-size=\"2.7\" fill=\"#5d6870\">{}</text>",
            number(margin),
            number(y),
            escaped(line)
        );
    }
    out.push_str("</svg>\n");
    out
}

/// Bytes as letters, three to four (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let all =
            three.iter().enumerate().fold(0_u32, |all, (i, byte)| all | (u32::from(*byte) << (16 - 8 * i)));
        for i in 0..4 {
            let letter = LETTERS[(all >> (18 - 6 * i)) as usize & 63];
            out.push(if i <= three.len() { char::from(letter) } else { '=' });
        }
    }
    out
}

/// Breaks a line between words.
fn wrapped(line: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in line.split_whitespace() {
        let full = lines
            .last()
            .is_some_and(|last| !last.is_empty() && last.chars().count() + word.chars().count() >= most);
        if full {
            lines.push(String::new());
        }
        if let Some(last) = lines.last_mut() {
            if !last.is_empty() {
                last.push(' ');
            }
            last.push_str(word);
        }
    }
    lines
}

fn write_shape(out: &mut String, drawing: &Drawing, shape: &Shape, paper: Paper) {
    let ink = ink(shape.role, shape.standing);
    let dash =
        if ink.dash.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{}\"", ink.dash) };
    let pen = format!("stroke=\"{}\" stroke-width=\"{}\"{dash}", ink.stroke, number(ink.width));
    let title = shape
        .part
        .and_then(|part| drawing.title_of(part))
        .map_or(String::new(), |words| format!("<title>{}</title>", escaped(words)));
    let fill = ink.fill.unwrap_or("none");
    let chain = |points: &[Point]| points.iter().map(|p| paper.pair(*p)).collect::<Vec<_>>().join(" ");
    let _ = match &shape.geometry {
        Geometry::Line(points) => {
            writeln!(out, "<polyline points=\"{}\" fill=\"none\" {pen}>{title}</polyline>", chain(points))
        }
        Geometry::Outline(points) => {
            writeln!(out, "<polygon points=\"{}\" fill=\"{fill}\" {pen}>{title}</polygon>", chain(points))
        }
        Geometry::Circle { centre, radius } => writeln!(
            out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\" {pen}>{title}</circle>",
            number(paper.x(*centre)),
            number(paper.y(*centre)),
            number(radius * paper.scale)
        ),
        Geometry::Arc { centre, radius, start, sweep } => {
            let at = |angle: Angle| [centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()];
            let large = i32::from(sweep.abs().degrees() > 180.0);
            let turn = i32::from(sweep.radians() < 0.0);
            let r = number(radius * paper.scale);
            writeln!(
                out,
                "<path d=\"M{} A{r},{r} 0 {large} {turn} {}\" fill=\"none\" {pen}>{title}</path>",
                paper.pair(at(*start)),
                paper.pair(at(*start + *sweep))
            )
        }
        Geometry::Mark { at, direction, mark } => write_mark(out, *at, *direction, *mark, ink.stroke, paper),
        Geometry::Text { at, text, align, along, size, lift } => {
            let height = text_mm(*size);
            let anchor = match align {
                Align::Start => "start",
                Align::Middle => "middle",
                Align::End => "end",
            };
            let weight = if *size == TextSize::Strong { "600" } else { "400" };
            let (x, y) = (paper.x(*at), paper.y(*at));
            let colour = ink.stroke;
            // Paper behind the words, so that no line runs through them.
            let [left, top, wide, tall] = text_box(text, *align, *size, *lift);
            let turn = number(-along.degrees());
            writeln!(
                out,
                "<g transform=\"translate({x} {y}) rotate({turn})\"><rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{tall}\" fill=\"#ffffff\" fill-opacity=\"0.86\"/><text y=\"{base}\" text-anchor=\"{anchor}\" font-size=\"{size}\" font-weight=\"{weight}\" fill=\"{colour}\">{words}</text></g>",
                x = number(x),
                y = number(y),
                left = number(left),
                top = number(top),
                wide = number(wide),
                tall = number(tall),
                base = number(height * (0.35 - lift)),
                size = number(height),
                words = escaped(text)
            )
        }
    };
}

fn write_mark(
    out: &mut String,
    at: Point,
    direction: Angle,
    mark: Mark,
    colour: &str,
    paper: Paper,
) -> std::fmt::Result {
    let (x, y) = (paper.x(at), paper.y(at));
    match mark {
        Mark::Dot => {
            writeln!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"0.8\" fill=\"{colour}\"/>", number(x), number(y))
        }
        Mark::Ring => writeln!(
            out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"1.3\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.35\"/>",
            number(x),
            number(y)
        ),
        Mark::Cross => writeln!(
            out,
            "<path d=\"M{} {} l3 3 m0 -3 l-3 3\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.5\"/>",
            number(x - 1.5),
            number(y - 1.5)
        ),
        Mark::Arrow => {
            // The tip on the point; up on the drawing is up on paper, so the sine changes its sign.
            let (sin, cos) = direction.sin_cos();
            let (back, half) = (2.4, 0.65);
            let corner = |side: f64| (x - back * cos - side * half * sin, y + back * sin - side * half * cos);
            let (a, b) = (corner(1.0), corner(-1.0));
            writeln!(
                out,
                "<polygon points=\"{},{} {},{} {},{}\" fill=\"{colour}\"/>",
                number(x),
                number(y),
                number(a.0),
                number(a.1),
                number(b.0),
                number(b.1)
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4648, section 10: the test vectors.
    #[test]
    fn bytes_are_written_as_letters() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (bytes, letters) in vectors {
            assert_eq!(base64(bytes.as_bytes()), letters);
        }
    }
}
