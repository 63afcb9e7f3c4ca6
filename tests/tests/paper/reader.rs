//! Files that were printed, as another library reads them: what is drawn and what is written, where it lies on paper.

use lopdf::{Dictionary, Document, Object, content::Content};

pub(crate) type Point = [f64; 2];

/// A chain that was drawn, in millimetres on paper, with the name of what it belongs to.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    pub(crate) name: String,
    pub(crate) points: Vec<Point>,
}

/// A line of text: where it begins and ends on its baseline, in millimetres on paper.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) words: String,
    pub(crate) at: Point,
    pub(crate) end: Point,
}

impl Line {
    /// A number with its unit, or without, and nothing else.
    pub(crate) fn number(&self) -> Option<f64> {
        let bare = self.words.trim_start_matches('+').trim_end_matches("mm").trim_end_matches('°');
        bare.trim().replace('−', "-").replace(',', "").parse().ok()
    }
}

/// Pages as another library reads them.
pub(crate) struct Printed {
    document: Document,
}

impl Printed {
    pub(crate) fn read(bytes: &[u8]) -> Self {
        Self { document: Document::load_mem(bytes).unwrap() }
    }

    pub(crate) fn size_mm(&self, page: u32) -> Point {
        let id = self.document.get_pages()[&page];
        let page = self.document.get_dictionary(id).unwrap();
        let sides: Vec<f64> = page.get(b"MediaBox").unwrap().as_array().unwrap().iter().map(number).collect();
        [(sides[2] - sides[0]) * 25.4 / 72.0, (sides[3] - sides[1]) * 25.4 / 72.0]
    }

    /// Every chain of straight pieces on a page; curves by their end points.
    pub(crate) fn chains(&self, page: u32) -> Vec<Chain> {
        let id = self.document.get_pages()[&page];
        let content = Content::decode(&self.document.get_page_content(id).unwrap()).unwrap();
        let mut transform = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        let (mut kept, mut names): (Vec<[f64; 6]>, Vec<String>) = (Vec::new(), Vec::new());
        let mut chains: Vec<Chain> = Vec::new();
        let mut points: Vec<Point> = Vec::new();
        for operation in &content.operations {
            let n: Vec<f64> =
                operation.operands.iter().filter_map(|o| o.as_float().ok()).map(f64::from).collect();
            let at = |x: f64, y: f64| {
                let [a, b, c, d, e, f] = transform;
                [(a * x + c * y + e) * 25.4 / 72.0, (b * x + d * y + f) * 25.4 / 72.0]
            };
            match operation.operator.as_str() {
                "cm" => transform = product([n[0], n[1], n[2], n[3], n[4], n[5]], transform),
                "q" => kept.push(transform),
                "Q" => transform = kept.pop().unwrap(),
                "BMC" => {
                    names.push(String::from_utf8(operation.operands[0].as_name().unwrap().to_vec()).unwrap());
                }
                "EMC" => {
                    names.pop().unwrap();
                }
                "m" => points = vec![at(n[0], n[1])],
                "l" => points.push(at(n[0], n[1])),
                "c" => points.push(at(n[4], n[5])),
                "h" => {
                    let first = points[0];
                    points.push(first);
                }
                "S" | "f" | "B" | "n" => {
                    let name = names.last().cloned().unwrap_or_default();
                    chains.push(Chain { name, points: std::mem::take(&mut points) });
                }
                _ => {}
            }
        }
        chains
    }

    /// Every line of text on a page.
    pub(crate) fn lines(&self, page: u32) -> Vec<Line> {
        let id = self.document.get_pages()[&page];
        let fonts = self.document.get_page_fonts(id).unwrap();
        let content = Content::decode(&self.document.get_page_content(id).unwrap()).unwrap();
        let (mut transform, mut place) = ([1.0, 0.0, 0.0, 1.0, 0.0, 0.0], [0.0; 6]);
        let (mut kept, mut lines): (Vec<[f64; 6]>, Vec<Line>) = (Vec::new(), Vec::new());
        let (mut font, mut size) = (None, 0.0);
        let (mut words, mut wide) = (String::new(), 0.0);
        for operation in &content.operations {
            let n: Vec<f64> =
                operation.operands.iter().filter_map(|o| o.as_float().ok()).map(f64::from).collect();
            match operation.operator.as_str() {
                "cm" => transform = product([n[0], n[1], n[2], n[3], n[4], n[5]], transform),
                "q" => kept.push(transform),
                "Q" => transform = kept.pop().unwrap(),
                "Tm" => place = product([n[0], n[1], n[2], n[3], n[4], n[5]], transform),
                "Tf" => {
                    font = Some(fonts[operation.operands[0].as_name().unwrap()]);
                    size = n[0];
                }
                "Tj" => {
                    let shown = operation.operands[0].as_str().unwrap();
                    let font = font.unwrap();
                    let letters = font.get_font_encoding(&self.document).unwrap();
                    words.push_str(&Document::decode_text(&letters, shown).unwrap());
                    wide += self.advance(font, shown) * size;
                }
                "ET" => {
                    let to_mm = |x: f64| x * 25.4 / 72.0;
                    let at = [to_mm(place[4]), to_mm(place[5])];
                    let end = [at[0] + to_mm(place[0] * wide), at[1] + to_mm(place[1] * wide)];
                    lines.push(Line { words: std::mem::take(&mut words), at, end });
                    wide = 0.0;
                }
                _ => {}
            }
        }
        lines
    }

    /// How far some glyphs of a font lead, for a size of one.
    fn advance(&self, font: &Dictionary, glyphs: &[u8]) -> f64 {
        let parts = font.get_deref(b"DescendantFonts", &self.document).unwrap().as_array().unwrap();
        let part = self.document.dereference(&parts[0]).unwrap().1.as_dict().unwrap();
        // Glyph, widths from it on, glyph, widths from it on, …
        let widths = part.get_deref(b"W", &self.document).unwrap().as_array().unwrap();
        let of = |glyph: i64| {
            widths
                .chunks_exact(2)
                .find_map(|pair| {
                    let on = usize::try_from(glyph - pair[0].as_i64().unwrap()).ok()?;
                    pair[1].as_array().unwrap().get(on).map(number)
                })
                .unwrap()
        };
        glyphs.chunks_exact(2).map(|two| of(i64::from(two[0]) << 8 | i64::from(two[1])) / 1000.0).sum()
    }

    pub(crate) fn named(&self, page: u32, name: &str) -> Vec<Chain> {
        self.chains(page).into_iter().filter(|chain| chain.name == name).collect()
    }

    pub(crate) fn pages(&self) -> u32 {
        self.document.get_pages().len() as u32
    }

    /// The named chains of every page.
    pub(crate) fn all_named(&self, name: &str) -> Vec<Chain> {
        (1..=self.pages()).flat_map(|page| self.named(page, name)).collect()
    }
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap())
}

/// What `first` does, then `second`.
fn product(first: [f64; 6], second: [f64; 6]) -> [f64; 6] {
    let [a, b, c, d, e, f] = first;
    let [p, q, r, s, t, u] = second;
    [a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u]
}
