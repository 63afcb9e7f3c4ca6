//! Pages as one PDF file: vector, in millimetres, only the letters that are used embedded, the same bytes every time.
//!
//! The file asks viewers not to fit it to the paper (`/PrintScaling /None`), so that it is printed at its size. It holds
//! no date and no random number.

use std::{collections::BTreeMap, fmt::Write as _};

use bevelbench_geometry::math::Angle;
use pdf_writer::{
    Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr,
    types::{CidFontType, FontFlags, LineCapStyle, LineJoinStyle, SystemInfo},
};
use skrifa::{
    FontRef, MetadataProvider,
    instance::{LocationRef, Size},
};
use subsetter::{GlyphRemapper, subset};

use crate::{
    drawing::{
        shape::Point,
        text_shaping::{Typeface, letter},
    },
    paper::page::{Colour, Item, Page, Pen},
};

/// Points of a PDF in a millimetre.
const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// How far a piece of a curve may turn.
const PIECE: f64 = std::f64::consts::PI / 8.0;

const CATALOG: Ref = Ref::new(1);
const TREE: Ref = Ref::new(2);
const INFO: Ref = Ref::new(3);
const FIRST_FONT: i32 = 4;
const FIRST_PAGE: i32 = FIRST_FONT + 5 * 4;

/// A PDF file being written, page by page.
pub struct PdfFile {
    title: String,
    pdf: Pdf,
    pages: Vec<Ref>,
    fonts: [Used; 4],
    /// The faces that the page at hand needs.
    here: [bool; 4],
}

/// Which letters of a face were used.
struct Used {
    remapper: GlyphRemapper,
    letters: BTreeMap<u16, (char, f64)>,
}

impl std::fmt::Debug for PdfFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PdfFile")
            .field("title", &self.title)
            .field("pages", &self.pages.len())
            .finish_non_exhaustive()
    }
}

/// Pages as a PDF file with a title.
#[must_use]
pub fn pdf<'a>(title: &str, pages: impl IntoIterator<Item = &'a Page>) -> Vec<u8> {
    let mut file = PdfFile::new(title);
    for page in pages {
        file.add(page);
    }
    file.finish()
}

impl PdfFile {
    /// An empty file with a title.
    #[must_use]
    pub fn new(title: &str) -> Self {
        let fonts = Typeface::ALL.map(|_| Used { remapper: GlyphRemapper::new(), letters: BTreeMap::new() });
        Self { title: title.to_owned(), pdf: Pdf::new(), pages: Vec::new(), fonts, here: [false; 4] }
    }

    /// Adds a page.
    pub fn add(&mut self, page: &Page) {
        let number = count(self.pages.len());
        let (page_ref, content_ref) =
            (Ref::new(FIRST_PAGE + 2 * number), Ref::new(FIRST_PAGE + 2 * number + 1));
        let [width, height] = page.size_mm;
        let mut content = Content::new();
        let [fx, fy] = page.correction;
        // Millimetres from the lower left corner, stretched about the middle of the paper.
        content.transform([
            (POINTS_PER_MM * fx) as f32,
            0.0,
            0.0,
            (POINTS_PER_MM * fy) as f32,
            (POINTS_PER_MM * width / 2.0 * (1.0 - fx)) as f32,
            (POINTS_PER_MM * height / 2.0 * (1.0 - fy)) as f32,
        ]);
        content.set_line_join(LineJoinStyle::RoundJoin).set_line_cap(LineCapStyle::ButtCap);
        self.here = [false; 4];
        self.items(&mut content, &page.items);
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(&content.finish(), 6);
        self.pdf.stream(content_ref, &packed).filter(Filter::FlateDecode);
        let mut entry = self.pdf.page(page_ref);
        entry.parent(TREE).contents(content_ref).media_box(Rect::new(
            0.0,
            0.0,
            (width * POINTS_PER_MM) as f32,
            (height * POINTS_PER_MM) as f32,
        ));
        let mut resources = entry.resources();
        let mut fonts = resources.fonts();
        for typeface in Typeface::ALL.into_iter().filter(|typeface| self.here[*typeface as usize]) {
            fonts.pair(Name(resource_name(typeface)), font_ref(typeface, 0));
        }
        fonts.finish();
        resources.finish();
        entry.finish();
        self.pages.push(page_ref);
    }

    /// The file's bytes.
    #[must_use]
    pub fn finish(mut self) -> Vec<u8> {
        for typeface in Typeface::ALL
            .into_iter()
            .filter(|typeface| !self.fonts[*typeface as usize].letters.is_empty())
            .collect::<Vec<_>>()
        {
            self.font(typeface);
        }
        let mut catalog = self.pdf.catalog(CATALOG);
        catalog.pages(TREE).lang(TextStr("en"));
        let mut wishes = catalog.viewer_preferences();
        wishes.display_doc_title(true);
        wishes.pair(Name(b"PrintScaling"), Name(b"None"));
        wishes.finish();
        catalog.finish();
        self.pdf.pages(TREE).kids(self.pages.iter().copied()).count(count(self.pages.len()));
        let maker = concat!("Bevelbench ", env!("CARGO_PKG_VERSION"));
        self.pdf
            .document_info(INFO)
            .title(TextStr(&self.title))
            .creator(TextStr(maker))
            .producer(TextStr(maker));
        self.pdf.finish()
    }

    fn items(&mut self, content: &mut Content, items: &[Item]) {
        for item in items {
            self.item(content, item);
        }
    }

    fn item(&mut self, content: &mut Content, item: &Item) {
        match item {
            Item::Path { points, closed, fill, pen } => {
                let Some((first, rest)) = points.split_first() else { return };
                ink(content, *fill, pen.as_ref());
                move_to(content, *first);
                for point in rest {
                    content.line_to(point[0] as f32, point[1] as f32);
                }
                if *closed {
                    content.close_path();
                }
                paint(content, fill.is_some(), pen.is_some());
            }
            Item::Arc { centre, radius, start, sweep, fill, pen } => {
                ink(content, *fill, pen.as_ref());
                arc(content, *centre, *radius, *start, *sweep);
                if sweep.abs() >= Angle::FULL {
                    content.close_path();
                }
                paint(content, fill.is_some(), pen.is_some());
            }
            Item::Text { at, words, typeface, size_mm, along, colour } => {
                let (sin, cos) = along.sin_cos();
                let [r, g, b] = fraction(*colour);
                content.set_fill_rgb(r, g, b);
                content.begin_text();
                content.set_text_matrix([
                    cos as f32,
                    sin as f32,
                    -sin as f32,
                    cos as f32,
                    at[0] as f32,
                    at[1] as f32,
                ]);
                self.write(content, words, *typeface, *size_mm);
                content.end_text();
            }
            Item::Window { bounds, items } => {
                content.save_state();
                content
                    .rect(
                        bounds.min[0] as f32,
                        bounds.min[1] as f32,
                        bounds.width() as f32,
                        bounds.height() as f32,
                    )
                    .clip_nonzero()
                    .end_path();
                self.items(content, items);
                content.restore_state();
            }
            Item::Named { name, items } => {
                content.begin_marked_content(Name(name.as_bytes()));
                self.items(content, items);
                content.end_marked_content();
            }
        }
    }

    /// Words in runs of the faces that have their letters.
    fn write(&mut self, content: &mut Content, words: &str, typeface: Typeface, size_mm: f64) {
        let mut run: Vec<u8> = Vec::with_capacity(2 * words.len());
        let mut of = None;
        for sign in words.chars() {
            let found = letter(typeface, sign);
            if of != Some(found.typeface) {
                if !run.is_empty() {
                    content.show(Str(&run));
                    run.clear();
                }
                content.set_font(Name(resource_name(found.typeface)), size_mm as f32);
                of = Some(found.typeface);
            }
            self.here[found.typeface as usize] = true;
            let used = &mut self.fonts[found.typeface as usize];
            let glyph = used.remapper.remap(found.glyph);
            used.letters.entry(glyph).or_insert((sign, found.advance));
            run.extend(glyph.to_be_bytes());
        }
        if !run.is_empty() {
            content.show(Str(&run));
        }
    }

    /// The letters of a face that were used, as a font of the file.
    fn font(&mut self, typeface: Typeface) {
        let [font, cid, descriptor, cmap, file] = [0, 1, 2, 3, 4].map(|part| font_ref(typeface, part));
        let used = &self.fonts[typeface as usize];
        let whole = typeface.data();
        let packed = subset(whole, 0, &used.remapper).unwrap_or_else(|_| whole.to_vec());
        // Of a font with CFF outlines a PDF wants the outlines alone.
        let cff = table(&packed, *b"CFF ");
        let data = miniz_oxide::deflate::compress_to_vec_zlib(cff.unwrap_or(&packed), 6);
        let name = format!("{}+{}", tag(&used.letters), typeface.postscript_name());
        let name = Name(name.as_bytes());
        let info = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };

        self.pdf
            .type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(cmap);
        let mut entry = self.pdf.cid_font(cid);
        entry
            .subtype(if cff.is_some() { CidFontType::Type0 } else { CidFontType::Type2 })
            .base_font(name)
            .system_info(info)
            .font_descriptor(descriptor)
            .default_width(0.0);
        if cff.is_none() {
            entry.cid_to_gid_map_predefined(Name(b"Identity"));
        }
        let mut widths = entry.widths();
        for (glyph, (_, advance)) in &used.letters {
            widths.consecutive(*glyph, [(advance * 1000.0) as f32]);
        }
        widths.finish();
        entry.finish();

        let measure = Measure::of(typeface);
        let mut entry = self.pdf.font_descriptor(descriptor);
        entry
            .name(name)
            .flags(FontFlags::NON_SYMBOLIC)
            .bbox(measure.bounds)
            .italic_angle(0.0)
            .ascent(measure.ascent)
            .descent(measure.descent)
            .cap_height(measure.cap_height)
            .stem_v(if typeface == Typeface::SemiBold { 110.0 } else { 80.0 });
        if cff.is_some() {
            entry.font_file3(file);
        } else {
            entry.font_file2(file);
        }
        entry.finish();

        let map = letters_of(&used.letters);
        let map = miniz_oxide::deflate::compress_to_vec_zlib(map.as_bytes(), 6);
        self.pdf.stream(cmap, &map).filter(Filter::FlateDecode);
        let mut stream = self.pdf.stream(file, &data);
        stream.filter(Filter::FlateDecode);
        if cff.is_some() {
            stream.pair(Name(b"Subtype"), Name(b"CIDFontType0C"));
        } else {
            stream.pair(Name(b"Length1"), count(packed.len()));
        }
    }
}

/// What a font descriptor tells, in thousandths of the height.
struct Measure {
    bounds: Rect,
    ascent: f32,
    descent: f32,
    cap_height: f32,
}

impl Measure {
    fn of(typeface: Typeface) -> Self {
        let usual = Self {
            bounds: Rect::new(-200.0, -300.0, 1400.0, 1100.0),
            ascent: 900.0,
            descent: -250.0,
            cap_height: 700.0,
        };
        let Ok(font) = FontRef::new(typeface.data()) else { return usual };
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let scale = 1000.0 / f32::from(metrics.units_per_em.max(1));
        Self {
            bounds: metrics.bounds.map_or(usual.bounds, |b| {
                Rect::new(b.x_min * scale, b.y_min * scale, b.x_max * scale, b.y_max * scale)
            }),
            ascent: metrics.ascent * scale,
            descent: metrics.descent * scale,
            cap_height: metrics.cap_height.map_or(usual.cap_height, |height| height * scale),
        }
    }
}

const fn font_ref(typeface: Typeface, part: i32) -> Ref {
    Ref::new(FIRST_FONT + 5 * typeface as i32 + part)
}

const fn resource_name(typeface: Typeface) -> &'static [u8] {
    match typeface {
        Typeface::Regular => b"R",
        Typeface::Medium => b"M",
        Typeface::SemiBold => b"B",
        Typeface::Symbols => b"S",
    }
}

/// Six capitals in front of a font's name that tell which letters it holds, as PDF wants it: the same for the same
/// letters.
fn tag(letters: &BTreeMap<u16, (char, f64)>) -> String {
    let mut sum: u64 = 0xcbf2_9ce4_8422_2325;
    for (glyph, (sign, _)) in letters {
        for part in [u64::from(*glyph), u64::from(u32::from(*sign))] {
            sum = (sum ^ part).wrapping_mul(0x0100_0000_01b3);
        }
    }
    (0..6)
        .map(|_| {
            let letter = b'A' + (sum % 26) as u8;
            sum /= 26;
            char::from(letter)
        })
        .collect()
}

/// Which letter each glyph stands for, so that text can be copied and searched; in the short form of the PDF
/// specification's own example (ISO 32000-1, 9.10.3), which every reader understands.
fn letters_of(letters: &BTreeMap<u16, (char, f64)>) -> String {
    let mut map = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo\n<< /Registry (Adobe)\n/Ordering (UCS)\n/Supplement 0\n>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
    );
    // At most a hundred in a group.
    let all: Vec<(&u16, &(char, f64))> = letters.iter().collect();
    for group in all.chunks(100) {
        let _ = writeln!(map, "{} beginbfchar", group.len());
        for (glyph, (sign, _)) in group {
            let _ = write!(map, "<{glyph:04X}> <");
            for part in sign.encode_utf16(&mut [0; 2]) {
                let _ = write!(map, "{part:04X}");
            }
            map.push_str(">\n");
        }
        map.push_str("endbfchar\n");
    }
    map.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    map
}

/// A table of a font file.
fn table(font: &[u8], name: [u8; 4]) -> Option<&[u8]> {
    let number = |at: usize, long: usize| -> Option<usize> {
        font.get(at..at + long).map(|bytes| bytes.iter().fold(0, |n, b| (n << 8) | usize::from(*b)))
    };
    let count = number(4, 2)?;
    (0..count).map(|index| 12 + 16 * index).find(|at| font.get(*at..at + 4) == Some(&name[..])).and_then(
        |at| {
            let (from, long) = (number(at + 8, 4)?, number(at + 12, 4)?);
            font.get(from..from.checked_add(long)?)
        },
    )
}

/// A number as PDF counts; no file holds more.
fn count(number: usize) -> i32 {
    i32::try_from(number).unwrap_or(i32::MAX)
}

fn move_to(content: &mut Content, point: Point) {
    content.move_to(point[0] as f32, point[1] as f32);
}

fn fraction(colour: Colour) -> [f32; 3] {
    colour.0.map(|part| (f32::from(part) / 255.0 * 1000.0).round() / 1000.0)
}

fn ink(content: &mut Content, fill: Option<Colour>, pen: Option<&Pen>) {
    if let Some(colour) = fill {
        let [r, g, b] = fraction(colour);
        content.set_fill_rgb(r, g, b);
    }
    if let Some(pen) = pen {
        let [r, g, b] = fraction(pen.colour);
        content.set_stroke_rgb(r, g, b);
        content.set_line_width(pen.width_mm as f32);
        content.set_dash_pattern(pen.dash.iter().map(|part| *part as f32), 0.0);
    }
}

fn paint(content: &mut Content, fill: bool, pen: bool) {
    match (fill, pen) {
        (true, true) => content.fill_nonzero_and_stroke(),
        (true, false) => content.fill_nonzero(),
        (false, true) => content.stroke(),
        (false, false) => content.end_path(),
    };
}

/// A piece of a circle in curves that turn so little that they leave it by less than a millionth of its radius.
fn arc(content: &mut Content, centre: Point, radius: f64, start: Angle, sweep: Angle) {
    let sweep = sweep.radians().clamp(-std::f64::consts::TAU, std::f64::consts::TAU);
    let pieces = (sweep.abs() / PIECE).ceil().max(1.0);
    let step = sweep / pieces;
    let pull = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    let on = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        ([centre[0] + radius * cos, centre[1] + radius * sin], [-sin, cos])
    };
    let (first, _) = on(start.radians());
    move_to(content, first);
    for piece in 0..pieces as u32 {
        let from = start.radians() + step * f64::from(piece);
        let ((a, along_a), (b, along_b)) = (on(from), on(from + step));
        content.cubic_to(
            (a[0] + along_a[0] * pull) as f32,
            (a[1] + along_a[1] * pull) as f32,
            (b[0] - along_b[0] * pull) as f32,
            (b[1] - along_b[1] * pull) as f32,
            b[0] as f32,
            b[1] as f32,
        );
    }
}
