//! A page of paper: lines, bodies and words in millimetres, exactly where they are printed.
//!
//! Origin at the lower left corner of the paper, second axis up. Drawings are put on a page to scale; code that writes a
//! page (PDF, SVG, a picture for the screen) writes the same items, so that what is shown is what is printed.

use bevelbench_geometry::math::Angle;

use crate::drawing::{
    shape::{Align, Bounds, Drawing, Geometry, Mark, Point, Shape, TextSize},
    svg::{ink, text_mm},
    text_shaping::{Typeface, shortened, width_mm, wrapped},
};

/// A colour of ink: red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Colour(pub [u8; 3]);

impl Colour {
    /// Text and outlines.
    pub const BLACK: Self = Self([0x1f, 0x2a, 0x33]);
    /// Lesser text.
    pub const GREY: Self = Self([0x5d, 0x68, 0x70]);
    /// Hair lines and rules.
    pub const PALE: Self = Self([0xc4, 0xcb, 0xd0]);
    /// Bands behind text.
    pub const BAND: Self = Self([0xee, 0xf1, 0xf3]);
    /// Bare paper.
    pub const WHITE: Self = Self([0xff, 0xff, 0xff]);
    /// What is cut with scissors.
    pub const CUT: Self = Self([0x1f, 0x2a, 0x33]);
    /// What needs care.
    pub const CARE: Self = Self([0xa3, 0x4a, 0x00]);
    /// Ink on a facet.
    pub const INK: Self = Self([0x56, 0xb4, 0xe9]);

    /// From `#rrggbb`; black for anything else.
    #[must_use]
    pub fn from_hex(text: &str) -> Self {
        let number = text.strip_prefix('#').and_then(|hex| u32::from_str_radix(hex, 16).ok()).unwrap_or(0);
        Self([(number >> 16) as u8, (number >> 8) as u8, number as u8])
    }

    /// As `#rrggbb`.
    #[must_use]
    pub fn hex(self) -> String {
        let [r, g, b] = self.0;
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

/// A pen.
#[derive(Debug, Clone, PartialEq)]
pub struct Pen {
    /// Its colour.
    pub colour: Colour,
    /// Its width in millimetres.
    pub width_mm: f64,
    /// Dashes and gaps in millimetres, in turn; unbroken if empty.
    pub dash: Vec<f64>,
}

impl Pen {
    /// An unbroken pen.
    #[must_use]
    pub const fn new(colour: Colour, width_mm: f64) -> Self {
        Self { colour, width_mm, dash: Vec::new() }
    }

    /// A dashed pen.
    #[must_use]
    pub fn dashed(colour: Colour, width_mm: f64, dash: &[f64]) -> Self {
        Self { colour, width_mm, dash: dash.to_vec() }
    }
}

/// A thing on a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A chain of straight pieces.
    Path {
        /// Its points.
        points: Vec<Point>,
        /// Whether it ends where it began.
        closed: bool,
        /// What it is filled with.
        fill: Option<Colour>,
        /// What it is drawn with.
        pen: Option<Pen>,
    },
    /// A piece of a circle, or all of it.
    Arc {
        /// Centre.
        centre: Point,
        /// Radius in millimetres.
        radius: f64,
        /// Where it begins, counted from the first axis towards the second.
        start: Angle,
        /// How far it goes.
        sweep: Angle,
        /// What it is filled with; for full circles.
        fill: Option<Colour>,
        /// What it is drawn with.
        pen: Option<Pen>,
    },
    /// Words on one line.
    Text {
        /// Where the line of writing begins.
        at: Point,
        /// The words.
        words: String,
        /// The face.
        typeface: Typeface,
        /// The height of the type in millimetres.
        size_mm: f64,
        /// The direction of the writing.
        along: Angle,
        /// The colour.
        colour: Colour,
    },
    /// Things of which only what lies in a box is seen.
    Window {
        /// The box.
        bounds: Bounds,
        /// The things.
        items: Vec<Item>,
    },
    /// Things that belong together under a name, for readers of the file.
    Named {
        /// The name: letters only.
        name: &'static str,
        /// The things.
        items: Vec<Item>,
    },
}

/// A page.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Width and height of the paper in millimetres.
    pub size_mm: [f64; 2],
    /// What everything is stretched by, along and up, about the middle of the paper, so that a printer that is off
    /// prints it at its size.
    pub correction: [f64; 2],
    /// What is on it, later ones over earlier ones.
    pub items: Vec<Item>,
}

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TextStyle {
    /// The face.
    pub typeface: Typeface,
    /// The height of the type in millimetres.
    pub size_mm: f64,
    /// The colour.
    pub colour: Colour,
}

impl TextStyle {
    /// Words in a face, a size and a colour.
    #[must_use]
    pub const fn new(typeface: Typeface, size_mm: f64, colour: Colour) -> Self {
        Self { typeface, size_mm, colour }
    }

    /// Ordinary words.
    #[must_use]
    pub const fn plain(size_mm: f64) -> Self {
        Self::new(Typeface::Regular, size_mm, Colour::BLACK)
    }

    /// Lesser words.
    #[must_use]
    pub const fn weak(size_mm: f64) -> Self {
        Self::new(Typeface::Regular, size_mm, Colour::GREY)
    }

    /// Names and numbers.
    #[must_use]
    pub const fn strong(size_mm: f64) -> Self {
        Self::new(Typeface::SemiBold, size_mm, Colour::BLACK)
    }

    /// How wide words are.
    #[must_use]
    pub fn width_mm(self, words: &str) -> f64 {
        width_mm(words, self.typeface, self.size_mm)
    }

    /// From one line to the next, in millimetres.
    #[must_use]
    pub fn line_mm(self) -> f64 {
        self.size_mm * 1.26
    }
}

/// Things being put together, whatever they will lie on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layout {
    /// The things so far.
    pub items: Vec<Item>,
}

impl Layout {
    /// Nothing yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, pen: Pen) {
        self.chain(vec![from, to], pen);
    }

    /// An open chain.
    pub fn chain(&mut self, points: Vec<Point>, pen: Pen) {
        self.items.push(Item::Path { points, closed: false, fill: None, pen: Some(pen) });
    }

    /// A closed outline.
    pub fn outline(&mut self, points: Vec<Point>, fill: Option<Colour>, pen: Option<Pen>) {
        self.items.push(Item::Path { points, closed: true, fill, pen });
    }

    /// A box.
    pub fn frame(&mut self, bounds: Bounds, fill: Option<Colour>, pen: Option<Pen>) {
        let Bounds { min, max } = bounds;
        self.outline(vec![min, [max[0], min[1]], max, [min[0], max[1]]], fill, pen);
    }

    /// A full circle.
    pub fn circle(&mut self, centre: Point, radius: f64, fill: Option<Colour>, pen: Option<Pen>) {
        self.items.push(Item::Arc { centre, radius, start: Angle::ZERO, sweep: Angle::FULL, fill, pen });
    }

    /// Words whose line of writing begins, is centred or ends at a point.
    pub fn words(&mut self, at: Point, words: impl Into<String>, kind: TextStyle, align: Align) {
        self.words_along(at, words, kind, align, Angle::ZERO);
    }

    /// Words in a direction.
    pub fn words_along(
        &mut self,
        at: Point,
        words: impl Into<String>,
        kind: TextStyle,
        align: Align,
        along: Angle,
    ) {
        let words = words.into();
        if words.is_empty() {
            return;
        }
        let back = match align {
            Align::Start => 0.0,
            Align::Middle => kind.width_mm(&words) / 2.0,
            Align::End => kind.width_mm(&words),
        };
        let (sin, cos) = along.sin_cos();
        let at = [at[0] - back * cos, at[1] - back * sin];
        self.items.push(Item::Text {
            at,
            words,
            typeface: kind.typeface,
            size_mm: kind.size_mm,
            along,
            colour: kind.colour,
        });
    }

    /// Words on one line no wider than `most_mm`: set smaller, down to three quarters, then cut short.
    pub fn fitted(&mut self, at: Point, words: &str, kind: TextStyle, align: Align, most_mm: f64) {
        let fraction = (most_mm / kind.width_mm(words).max(1e-6)).clamp(0.75, 1.0);
        let kind = TextStyle { size_mm: kind.size_mm * fraction, ..kind };
        // What was set smaller to fit exactly is not cut for a rounding.
        self.words(at, shortened(words, kind.typeface, kind.size_mm, most_mm + 1e-6), kind, align);
    }

    /// A paragraph whose top is at `top`; gives back how tall it is.
    pub fn paragraph(&mut self, left: f64, top: f64, wide_mm: f64, words: &str, kind: TextStyle) -> f64 {
        let lines = wrapped(words, kind.typeface, kind.size_mm, wide_mm);
        for (index, line) in lines.iter().enumerate() {
            let base = top - kind.size_mm * 0.95 - kind.line_mm() * index as f64;
            self.words([left, base], line.as_str(), kind, Align::Start);
        }
        kind.line_mm() * lines.len() as f64
    }

    /// Things under a name.
    pub fn named(&mut self, name: &'static str, inner: Self) {
        self.items.push(Item::Named { name, items: inner.items });
    }

    /// Other things, moved.
    pub fn put(&mut self, at: Point, inner: Self) {
        self.items.extend(inner.items.into_iter().map(|item| item.moved(at)));
    }

    /// A drawing, or what of it lies in a window, in the middle of a box, at a scale: millimetres on paper for one of
    /// the drawing. Texts are `type_fraction` of their usual size.
    pub fn drawing(
        &mut self,
        drawing: &Drawing,
        window: Bounds,
        into: Bounds,
        scale: f64,
        type_fraction: f64,
    ) {
        let (middle, from) = (into.centre(), window.centre());
        let place = Place { scale, type_fraction, middle, from };
        let mut inner = Self::new();
        // Texts lie over everything else.
        let is_text = |shape: &&Shape| matches!(shape.geometry, Geometry::Text { .. });
        for shape in
            drawing.shapes.iter().filter(|s| !is_text(s)).chain(drawing.shapes.iter().filter(is_text))
        {
            inner.shape(shape, place);
        }
        self.items.push(Item::Window { bounds: into, items: inner.items });
    }

    fn shape(&mut self, shape: &Shape, place: Place) {
        let ink = ink(shape.role, shape.standing);
        let dash = ink.dash.split_whitespace().filter_map(|part| part.parse().ok()).collect();
        let stroke = Colour::from_hex(ink.stroke);
        let fraction = place.type_fraction.max(0.6);
        let pen = Some(Pen { colour: stroke, width_mm: ink.width * fraction, dash });
        let fill = ink.fill.map(Colour::from_hex);
        match &shape.geometry {
            Geometry::Line(points) => {
                let points = points.iter().map(|p| place.on_paper(*p)).collect();
                self.items.push(Item::Path { points, closed: false, fill: None, pen });
            }
            Geometry::Outline(points) => {
                self.outline(points.iter().map(|p| place.on_paper(*p)).collect(), fill, pen);
            }
            Geometry::Circle { centre, radius } => {
                self.circle(place.on_paper(*centre), radius * place.scale, fill, pen);
            }
            Geometry::Arc { centre, radius, start, sweep } => self.items.push(Item::Arc {
                centre: place.on_paper(*centre),
                radius: radius * place.scale,
                start: *start,
                sweep: *sweep,
                fill: None,
                pen,
            }),
            Geometry::Mark { at, direction, mark } => {
                self.mark(place.on_paper(*at), *direction, *mark, stroke, fraction);
            }
            Geometry::Text { at, text, align, along, size, lift } => {
                let typeface = if *size == TextSize::Strong { Typeface::SemiBold } else { Typeface::Regular };
                let kind = TextStyle::new(typeface, text_mm(*size) * place.type_fraction, stroke);
                self.label(place.on_paper(*at), text, kind, *align, *along, *lift);
            }
        }
    }

    fn mark(&mut self, at: Point, direction: Angle, mark: Mark, colour: Colour, fraction: f64) {
        match mark {
            Mark::Dot => self.circle(at, 0.8 * fraction, Some(colour), None),
            Mark::Ring => self.circle(at, 1.3 * fraction, None, Some(Pen::new(colour, 0.35 * fraction))),
            Mark::Cross => {
                let half = 1.5 * fraction;
                for up in [half, -half] {
                    let pen = Pen::new(colour, 0.5 * fraction);
                    self.line([at[0] - half, at[1] - up], [at[0] + half, at[1] + up], pen);
                }
            }
            Mark::Arrow => {
                let (sin, cos) = direction.sin_cos();
                let (back, half) = (2.4 * fraction, 0.65 * fraction);
                let corner = |side: f64| {
                    [at[0] - back * cos - side * half * sin, at[1] - back * sin + side * half * cos]
                };
                self.outline(vec![at, corner(1.0), corner(-1.0)], Some(colour), None);
            }
        }
    }

    /// Words over a drawing, with paper behind them so that no line runs through them.
    fn label(&mut self, at: Point, words: &str, kind: TextStyle, align: Align, along: Angle, lift: f64) {
        let (sin, cos) = along.sin_cos();
        let place = |x: f64, y: f64| [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos];
        let wide = kind.width_mm(words);
        let left = match align {
            Align::Start => 0.0,
            Align::Middle => -wide / 2.0,
            Align::End => -wide,
        };
        let (size, pad) = (kind.size_mm, kind.size_mm * 0.15);
        let (low, high) = (size * (lift - 0.5), size * (lift + 0.5));
        let corners = vec![
            place(left - pad, low),
            place(left + wide + pad, low),
            place(left + wide + pad, high),
            place(left - pad, high),
        ];
        self.outline(corners, Some(Colour::WHITE), None);
        self.words_along(place(left, size * (lift - 0.35)), words, kind, Align::Start, along);
    }
}

/// Where a drawing lies on paper.
#[derive(Clone, Copy)]
struct Place {
    scale: f64,
    type_fraction: f64,
    middle: Point,
    from: Point,
}

impl Place {
    fn on_paper(self, point: Point) -> Point {
        [
            self.middle[0] + (point[0] - self.from[0]) * self.scale,
            self.middle[1] + (point[1] - self.from[1]) * self.scale,
        ]
    }
}

impl Item {
    /// The same thing elsewhere.
    #[must_use]
    pub fn moved(self, by: Point) -> Self {
        let shift = |p: Point| [p[0] + by[0], p[1] + by[1]];
        let all = |items: Vec<Self>| items.into_iter().map(|item| item.moved(by)).collect();
        match self {
            Self::Path { points, closed, fill, pen } => {
                Self::Path { points: points.into_iter().map(shift).collect(), closed, fill, pen }
            }
            Self::Arc { centre, radius, start, sweep, fill, pen } => {
                Self::Arc { centre: shift(centre), radius, start, sweep, fill, pen }
            }
            Self::Text { at, words, typeface, size_mm, along, colour } => {
                Self::Text { at: shift(at), words, typeface, size_mm, along, colour }
            }
            Self::Window { bounds, items } => Self::Window {
                bounds: Bounds { min: shift(bounds.min), max: shift(bounds.max) },
                items: all(items),
            },
            Self::Named { name, items } => Self::Named { name, items: all(items) },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_reads_what_it_writes() {
        for colour in [Colour::BLACK, Colour::INK, Colour([0, 255, 7])] {
            assert_eq!(Colour::from_hex(&colour.hex()), colour);
        }
    }

    #[test]
    fn words_that_end_at_a_point_end_there() {
        let mut layout = Layout::new();
        let kind = TextStyle::plain(3.0);
        layout.words([50.0, 10.0], "120.3 mm", kind, Align::End);
        let Some(Item::Text { at, .. }) = layout.items.first() else { panic!("no words") };
        assert!((at[0] + kind.width_mm("120.3 mm") - 50.0).abs() < 1e-9);
    }
}
