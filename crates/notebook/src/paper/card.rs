//! The setting card: everything that is needed at the grinder for one setting, on one card.

use bevelbench_geometry::{
    facet::Relief,
    math::Quantity,
    parts::Face as Abrading,
    side::{Job, SideView, Target},
};

use crate::{
    answer::{
        bench::Unanswered,
        readings::{uncertainties, uncertainty},
        swept::wing_in_tool,
        wear::{Wear, WearPoint},
    },
    drawing::{
        shape::{Align, Bounds},
        side_view::{focus, look::SideLook, side_view},
        text_shaping::{Typeface, wrapped},
    },
    paper::{
        on_page::{caution, cautions_mm, reduction, scale_words, sorted_cautions},
        page::{Colour, Layout, Page, Pen, TextStyle},
        sheet::{Leaf, Paper},
        wear_table::target_words,
    },
    quantity::{fine_text, format_angle, format_number, length_text, length_unit::LengthUnit},
    saved::{bench::Bench, id::Id, rig::AbrasiveSaved, setting::SettingEntry, table, target::WingSaved},
    words::{
        GrinderStep, at_the_grinder_steps, further_steps_words, ink_way, meant_words, relief_refusal_words,
        sentence::lower_first,
    },
};

/// What stands on a card besides the setting.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CardLook {
    /// The unit of lengths.
    pub unit: LengthUnit,
    /// The date it is made, as people write it; a line to write on if empty.
    pub date: String,
}

/// A setting with its answer and its words, ready to be laid out.
#[derive(Debug, Clone)]
pub struct Card {
    /// The setting's id.
    pub setting: Id,
    tool: String,
    name: String,
    place: String,
    job: Job,
    view: SideView,
    steps: Vec<GrinderStep>,
    wear: Vec<WearPoint>,
    /// The bevel that is found again as the wheel wears.
    wear_target: Target,
    keeps_its_size: bool,
    target: Option<String>,
    cautions: Vec<String>,
    /// Every facet of a tool that is ground in steps.
    relief: Option<Relief>,
    /// How far the bevel may be off, in degrees: twice its standard uncertainty.
    sure_to_deg: f64,
    roll_centre_mm: Option<f64>,
    wing: Vec<bevelbench_geometry::DVec2>,
    notes: String,
    look: CardLook,
}

/// The wear that a card tells what to set for, in millimetres of diameter.
const NEXT_MM: [f64; 5] = [1.0, 2.0, 3.0, 4.0, 5.0];

impl Card {
    /// The card of a setting of a bench.
    ///
    /// # Errors
    /// [`Unanswered`], whatever stands in the way of an answer.
    pub fn of(bench: &Bench, entry: &SettingEntry, look: &CardLook) -> Result<Self, Unanswered> {
        let (job, view) = bench.answer(entry)?;
        let rig = bench.rig(entry.rig);
        let wheel = rig.and_then(|rig| rig.wheel(entry.wheel));
        let length = |mm: f64| length_text(mm, look.unit);
        let at_hand = table::at_hand(bench, entry);
        let mut steps = at_the_grinder_steps(&job, &view, &at_hand, &length);
        let place = bench.place_words(entry);
        let keeps_its_size = wheel.is_some_and(|wheel| wheel.abrasive == AbrasiveSaved::Superabrasive);
        let to_wear = Wear::of(bench, entry)?;
        let wear = if keeps_its_size { Vec::new() } else { to_wear.next_mm(&NEXT_MM) };
        let target = entry.target.map(|target| {
            let meant = meant_words(target.meant);
            let wing = match target.wing {
                None => String::new(),
                Some(WingSaved::Sweep { sweep_mm }) => format!(", the wing swept back {}", length(sweep_mm)),
                Some(WingSaved::BevelAtTop { bevel_deg }) => {
                    format!(", {} at the wing top", format_angle(bevel_deg, 1))
                }
                Some(WingSaved::SameAs { setting }) => bench
                    .setting(setting)
                    .map_or_else(String::new, |other| format!(", the same grind as “{}”", other.name)),
            };
            format!("Meant: {} {meant}{wing}.", format_angle(target.bevel_deg, 1))
        });
        let mut cautions = sorted_cautions(&job, &view, look.unit);
        let relief = match entry.relief(&job, &view) {
            Ok(relief) => {
                steps.extend(further_steps_words(&entry.further_steps, &relief, &length));
                (!entry.further_steps.is_empty()).then_some(relief)
            }
            Err(why) => {
                cautions.insert(0, relief_refusal_words(&why, &length).together());
                None
            }
        };
        let sure_to_deg = uncertainty(&uncertainties(bench, entry), &job, &view).expanded().degrees();
        Ok(Self {
            setting: entry.id,
            tool: bench.tool(entry.tool).map_or_else(String::new, |tool| tool.name.clone()),
            name: entry.name.clone(),
            place,
            steps,
            wear,
            wear_target: to_wear.target(),
            keeps_its_size,
            target,
            cautions,
            relief,
            sure_to_deg,
            roll_centre_mm: entry.swing.map(|swing| swing.roll_centre_mm),
            wing: wing_in_tool(&job, &view, entry.swing.as_ref()),
            notes: entry.notes.clone(),
            job,
            view,
            look: look.clone(),
        })
    }

    fn length(&self, mm: f64) -> String {
        length_text(mm, self.look.unit)
    }
}

/// How cards lie on a sheet: several on large paper, one on small, front and back on an index card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardSheets {
    leaf: Leaf,
    columns: usize,
    rows: usize,
    two_sided: bool,
}

impl CardSheets {
    /// Cards on a paper.
    #[must_use]
    pub fn new(paper: Paper, correction: crate::paper::sheet::Correction) -> Self {
        let (lying, columns, rows) = match paper {
            Paper::A3 | Paper::Tabloid => (true, 4, 2),
            Paper::A4 | Paper::Letter => (false, 2, 2),
            Paper::A5 | Paper::A6 => (false, 1, 1),
            Paper::IndexCard => (true, 1, 1),
        };
        let leaf = Leaf::new(paper, lying, correction);
        Self { leaf, columns, rows, two_sided: paper == Paper::IndexCard }
    }

    /// How many cards lie on one sheet.
    #[must_use]
    pub fn cards_a_sheet(self) -> usize {
        self.columns * self.rows
    }

    /// The pages of a sheet's worth of cards.
    #[must_use]
    pub fn pages(self, cards: &[Card]) -> Vec<Page> {
        let [width, height] = self.leaf.size_mm;
        if self.two_sided {
            return cards
                .iter()
                .flat_map(|card| {
                    let whole = Bounds { min: [0.0, 0.0], max: [width, height] }.grown(-5.0);
                    let (mut front, mut back) = (Layout::new(), Layout::new());
                    card.front(&mut front, whole);
                    card.back(&mut back, whole);
                    [self.leaf.page(front), self.leaf.page(back)]
                })
                .collect();
        }
        let (wide, tall) = (width / self.columns as f64, height / self.rows as f64);
        cards
            .chunks(self.cards_a_sheet())
            .map(|cards| {
                let mut layout = Layout::new();
                for (index, card) in cards.iter().enumerate() {
                    let (column, row) = (index % self.columns, index / self.columns);
                    let min = [wide * column as f64, height - tall * (row + 1) as f64];
                    let cell = Bounds { min, max: [min[0] + wide, min[1] + tall] };
                    // A printer's margin all round, so that every card has the same face wherever it lies.
                    card.upright(&mut layout, cell.grown(-5.5));
                }
                self.cut_marks(&mut layout);
                self.leaf.page(layout)
            })
            .collect()
    }

    /// Where a sheet of several is cut: short strokes at the crossings and in the margins.
    fn cut_marks(self, layout: &mut Layout) {
        let [width, height] = self.leaf.size_mm;
        let pen = || Pen::dashed(Colour::GREY, 0.15, &[1.2, 1.2]);
        for column in 1..self.columns {
            let x = width * column as f64 / self.columns as f64;
            layout.line([x, 0.0], [x, height], pen());
        }
        for row in 1..self.rows {
            let y = height * row as f64 / self.rows as f64;
            layout.line([0.0, y], [width, y], pen());
        }
    }
}

/// Room on a card that is used up from the top.
#[derive(Clone, Copy)]
struct Room {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Room {
    fn of(bounds: Bounds) -> Self {
        Self { left: bounds.min[0], right: bounds.max[0], top: bounds.max[1], bottom: bounds.min[1] }
    }

    fn width(self) -> f64 {
        self.right - self.left
    }

    fn take(&mut self, tall: f64) -> Self {
        let part = Self { bottom: self.top - tall, ..*self };
        self.top -= tall;
        part
    }

    fn take_bottom(&mut self, tall: f64) -> Self {
        let part = Self { top: self.bottom + tall, ..*self };
        self.bottom += tall;
        part
    }

    fn bounds(self) -> Bounds {
        Bounds { min: [self.left, self.bottom], max: [self.right, self.top] }
    }
}

impl Card {
    /// The whole card upright.
    fn upright(&self, out: &mut Layout, bounds: Bounds) {
        let mut room = Room::of(bounds);
        // One size for everything, from the card's width.
        let s = (room.width() / 94.0).clamp(0.9, 1.5).min((bounds.height() / 132.0).max(0.9));
        self.header(out, &mut room, s);
        self.foot(out, room.take_bottom(3.2 * s), s);
        let least = 36.0 * s;
        let fixed = self.steps_mm(room.width(), s) + 10.5 * s + 24.0 * s + 4.0 * s;
        // Cautions are said in full; on a crowded card they are set smaller.
        let mut size = 2.15 * s;
        while size > 1.65 && self.cautions_mm(room.width(), size) + fixed + least > room.top - room.bottom {
            size -= 0.05;
        }
        let tall = self.cautions_mm(room.width(), size);
        self.cautions(out, room.take_bottom(tall), size);
        let mut lower = room.take_bottom(24.0 * s);
        lower.top -= 0.8 * s;
        let middle = lower.left + lower.width() * 0.56;
        self.ink(out, Room { right: middle - 3.0 * s, ..lower }, s);
        self.wear(out, Room { left: middle, ..lower }, s);
        let results = room.take_bottom(10.5 * s);
        let steps = room.take_bottom(self.steps_mm(room.width(), s));
        self.side(out, room, s);
        self.steps(out, steps, s);
        self.results(out, results, s);
    }

    /// The front of an index card: what is set.
    fn front(&self, out: &mut Layout, bounds: Bounds) {
        let s = 0.95;
        let mut room = Room::of(bounds);
        self.header(out, &mut room, s);
        let foot = room.take_bottom(3.2);
        let middle = room.left + room.width() * 0.5;
        let mut right = Room { left: middle + 2.0, ..room };
        self.side(out, Room { right: middle - 1.0, ..room }, s);
        let steps = right.take(self.steps_mm(right.width(), s));
        self.steps(out, steps, s);
        let results = Room { bottom: right.top - 10.5 * s, ..right };
        self.results(out, results, s);
        let words = "Cautions overleaf: read them first.";
        out.words(
            [foot.left, foot.bottom],
            words,
            TextStyle::new(Typeface::SemiBold, 2.1, Colour::CARE),
            Align::Start,
        );
        out.words([foot.right, foot.bottom], self.holds_for(), TextStyle::weak(1.9), Align::End);
    }

    /// The back of an index card: how it is proved, what wear changes, what to mind.
    fn back(&self, out: &mut Layout, bounds: Bounds) {
        let s = 0.95;
        let mut room = Room::of(bounds);
        let title = format!("{}: {}", self.tool, self.name);
        let line = room.take(5.0);
        out.fitted(
            [line.left, line.bottom + 1.6],
            &title,
            TextStyle::strong(3.0),
            Align::Start,
            line.width(),
        );
        self.foot(out, room.take_bottom(3.2), s);
        let upper = room.take(22.0);
        let middle = upper.left + upper.width() * 0.56;
        self.ink(out, Room { right: middle - 3.0, ..upper }, s);
        self.wear(out, Room { left: middle, ..upper }, s);
        let mut size = 2.15;
        while size > 1.5 && self.cautions_mm(room.width(), size) > room.top - room.bottom {
            size -= 0.05;
        }
        self.cautions(out, room, size);
    }

    fn header(&self, out: &mut Layout, room: &mut Room, s: f64) {
        let band = room.take(13.6 * s);
        let at = |down: f64| [band.left, band.top - down * s];
        out.fitted(at(3.8), &self.name, TextStyle::strong(5.0 * s), Align::Start, band.width());
        let medium = TextStyle::new(Typeface::Medium, 3.3 * s, Colour::BLACK);
        out.fitted(at(8.0), &self.tool, medium, Align::Start, band.width());
        out.fitted(at(11.4), &self.place, TextStyle::weak(2.5 * s), Align::Start, band.width());
        let y = band.top - 12.8 * s;
        out.line([band.left, y], [band.right, y], Pen::new(Colour::BLACK, 0.35));
    }

    /// The side view to a round scale, with the scale.
    fn side(&self, out: &mut Layout, mut room: Room, s: f64) {
        let length = |mm: f64| self.length(mm);
        let fine = |mm: f64| fine_text(mm, self.look.unit);
        let look = SideLook {
            roll_centre_mm: self.roll_centre_mm,
            wing: &self.wing,
            relief: self.relief.as_ref(),
            ..SideLook::new(&length, &fine)
        };
        let drawing = side_view(&self.job, &self.view, &look);
        let Some(window) = focus(&self.job, Some(&self.view)).or_else(|| drawing.bounds()) else { return };
        let caption = room.take_bottom(3.4 * s);
        let box_ = room.bounds();
        let window = window.grown(1.0);
        let reduced = reduction(&[window], box_);
        out.drawing(&drawing, window, box_, 1.0 / reduced, 0.72 * s);
        let words = format!("Side view, {}", scale_words(reduced));
        out.words([caption.right, caption.bottom + 0.9 * s], words, TextStyle::weak(2.0 * s), Align::End);
    }

    fn steps_mm(&self, wide: f64, s: f64) -> f64 {
        self.row_mm(wide, s) * self.steps.len() as f64 + 1.0 * s
    }

    /// The numbers in the order in which they are set.
    fn steps(&self, out: &mut Layout, room: Room, s: f64) {
        let row = self.row_mm(room.width(), s);
        for (index, step) in self.steps.iter().enumerate() {
            let top = room.top - row * index as f64;
            let band = Bounds { min: [room.left, top - (row - 0.5 * s)], max: [room.right, top] };
            out.frame(band, Some(Colour::BAND), None);
            let middle = top - (row - 0.5 * s) / 2.0;
            let disc = [room.left + 3.2 * s, middle];
            out.circle(disc, 2.0 * s, Some(Colour::BLACK), None);
            let white = TextStyle::new(Typeface::SemiBold, 2.9 * s, Colour::WHITE);
            out.words([disc[0], disc[1] - 1.02 * s], (index + 1).to_string(), white, Align::Middle);
            let value = TextStyle::strong(4.6 * s);
            out.words([room.right - 1.5 * s, middle - 1.65 * s], step.value_text.as_str(), value, Align::End);
            let left = room.left + 6.6 * s;
            let name = TextStyle::new(Typeface::Medium, 2.9 * s, Colour::BLACK);
            let most = room.width() - 9.0 * s - value.width_mm(&step.value_text);
            out.fitted([left, top - 2.45 * s], &step.name, name, Align::Start, most);
            let (lines, size) = Self::how_lines(step, room.width(), s);
            let bottom = top - (row - 1.3 * s);
            for (above, words) in (0..lines.len()).rev().zip(&lines) {
                let base = bottom + size * 1.08 * above as f64;
                out.words([left, base], words.as_str(), TextStyle::weak(size), Align::Start);
            }
        }
    }

    /// How a step is done, on one line where there is room, in smaller lines elsewhere; and their size.
    fn how_lines(step: &GrinderStep, wide: f64, s: f64) -> (Vec<String>, f64) {
        let value = TextStyle::strong(4.6 * s).width_mm(&step.value_text);
        let room = wide - value - 3.0 * s - 6.6 * s;
        let usual = TextStyle::weak(2.05 * s);
        if usual.width_mm(&step.how) <= room {
            return (vec![step.how.clone()], usual.size_mm);
        }
        let size = 1.75 * s;
        (wrapped(&step.how, usual.typeface, size, room), size)
    }

    /// From one step to the next.
    fn row_mm(&self, wide: f64, s: f64) -> f64 {
        let most = self.steps.iter().map(|step| Self::how_lines(step, wide, s).0.len()).max().unwrap_or(1);
        (6.4 + 1.75 * most.saturating_sub(1) as f64) * s
    }

    /// The bevel at the edge and how sure it is.
    fn bevel_words(&self) -> String {
        let bevel = format_number(self.view.bevel().degrees(), 1);
        format!("{bevel} ± {}", format_angle(self.sure_to_deg, 1))
    }

    /// What comes out of it.
    fn results(&self, out: &mut Layout, room: Room, s: f64) {
        let facet = &self.view.facet;
        let cells = [
            ("Bevel at the edge", self.bevel_words()),
            ("Across the facet", format_angle(facet.across.degrees(), 1)),
            ("Facet", self.length(facet.width_mm)),
            ("Hollow", fine_text(facet.hollow_mm, self.look.unit)),
        ];
        // The first has a ± besides.
        let fractions = [0.31, 0.25, 0.22, 0.22].map(|fraction| room.width() * fraction);
        let kind = TextStyle::strong((3.9 * s).min(room.width() * 0.043));
        let mut left = room.left;
        for ((name, value), wide) in cells.iter().zip(fractions) {
            out.fitted([left, room.top - 3.0 * s], name, TextStyle::weak(2.1 * s), Align::Start, wide - 1.0);
            out.fitted([left, room.top - 7.0 * s], value, kind, Align::Start, wide - 1.0);
            left += wide;
        }
        let mut words: Vec<&str> = Vec::new();
        words.extend(self.target.as_deref());
        words.extend(Some(self.notes.as_str()).filter(|notes| !notes.is_empty()));
        out.fitted(
            [room.left, room.top - 9.8 * s],
            &words.join(" "),
            TextStyle::weak(2.05 * s),
            Align::Start,
            room.width(),
        );
    }

    /// How ink proves the setting, and what to move when it does not.
    fn ink(&self, out: &mut Layout, room: Room, s: f64) {
        let strong = TextStyle::new(Typeface::SemiBold, 2.4 * s, Colour::BLACK);
        out.words([room.left, room.top - 2.2 * s], "Proof: ink, power off", strong, Align::Start);
        let free = self.job.setting.follows_wheel();
        let slope = self.job.setting.slope_by(free, &self.view).unwrap_or(0.0);
        let remedy = |at_heel| lower_first(&ink_way(at_heel, free, slope));
        let cases = [
            (0.0, 1.0, "Bare from edge to heel: it is set. Switch on.".to_owned()),
            (0.6, 1.0, format!("Bare at the heel: {}", remedy(true))),
            (0.0, 0.4, format!("Bare at the edge: {}", remedy(false))),
        ];
        let mut top = room.top - 3.4 * s;
        for (from, to, words) in cases {
            // The facet seen from below, its edge to the left, inked and rubbed bare where it touches.
            let (left, wide) = (room.left + 0.2, 9.0 * s);
            let strip = Bounds { min: [left, top - 3.9 * s], max: [left + wide, top - 1.1 * s] };
            out.frame(strip, Some(Colour::INK), None);
            let bare =
                Bounds { min: [left + wide * from, strip.min[1]], max: [left + wide * to, strip.max[1]] };
            out.frame(bare, Some(Colour::WHITE), None);
            out.frame(strip, None, Some(Pen::new(Colour::BLACK, 0.2)));
            out.line(strip.min, [strip.min[0], strip.max[1]], Pen::new(Colour::BLACK, 0.7));
            let text = Room { left: left + wide + 1.8 * s, ..room };
            let kind = TextStyle::plain(1.95 * s);
            let lines = wrapped(&words, kind.typeface, kind.size_mm, text.width()).len() as f64;
            let above = (4.9 * s - lines * kind.line_mm()) / 2.0;
            out.paragraph(text.left, top - above, text.width(), &words, kind);
            top -= 5.3 * s;
        }
        let habit = "Lock all, ink, turn the wheel once by hand, read.";
        out.fitted([room.left, top - 1.9 * s], habit, TextStyle::weak(2.0 * s), Align::Start, room.width());
    }

    /// What to set for the next millimetres of wear.
    fn wear(&self, out: &mut Layout, room: Room, s: f64) {
        let strong = TextStyle::new(Typeface::SemiBold, 2.4 * s, Colour::BLACK);
        let heading = if self.wear.is_empty() {
            "As the wheel wears".to_owned()
        } else {
            format!("As the wheel wears, for {}", target_words(self.wear_target))
        };
        out.fitted([room.left, room.top - 2.2 * s], &heading, strong, Align::Start, room.width());
        if self.wear.is_empty() {
            let words = if self.keeps_its_size {
                "This wheel keeps its size: the setting holds for as long as its layer lasts."
            } else if matches!(self.job.setting.face, Abrading::Flat { .. }) {
                "A flat abrasive: nothing changes with wear."
            } else {
                "There is no setting of this rig for a smaller wheel that grinds the same bevel."
            };
            out.paragraph(room.left, room.top - 4.0 * s, room.width(), words, TextStyle::plain(2.05 * s));
            return;
        }
        let tilted = self.job.setting.follows_wheel() == Quantity::TableTilt;
        let kind = TextStyle::plain(2.25 * s);
        let ends = [0.27, 0.64, 1.0].map(|fraction| room.left + room.width() * fraction);
        let heads = ["wheel ⌀", if tilted { "tilt" } else { "reach" }, if tilted { "" } else { "gauge" }];
        let mut y = room.top - 5.4 * s;
        for (end, head) in ends.iter().zip(heads) {
            out.words([*end, y], head, TextStyle::weak(2.0 * s), Align::End);
        }
        for row in &self.wear {
            y -= 3.05 * s;
            out.line([room.left, y + 2.3 * s], [room.right, y + 2.3 * s], Pen::new(Colour::PALE, 0.12));
            let value = if tilted { format_angle(row.set, 1) } else { self.length(row.set) };
            let cells = [
                bare(&self.length(row.diameter_mm)),
                value,
                row.gauge_length_mm.map_or(String::new(), |g| self.length(g)),
            ];
            for (end, cell) in ends.iter().zip(cells) {
                out.words([*end, y], cell, kind, Align::End);
            }
        }
    }

    fn cautions_mm(&self, wide: f64, size: f64) -> f64 {
        cautions_mm(&self.cautions, wide, size) + 1.0
    }

    fn cautions(&self, out: &mut Layout, room: Room, size: f64) {
        out.line([room.left, room.top], [room.right, room.top], Pen::new(Colour::PALE, 0.15));
        let mut top = room.top - 0.6;
        for words in &self.cautions {
            top -= caution(out, room.left, top, room.width(), words, size);
        }
    }

    fn holds_for(&self) -> String {
        let date = if self.look.date.trim().is_empty() { "____________" } else { self.look.date.trim() };
        match self.job.setting.face {
            Abrading::Round { .. } => {
                format!("For a wheel of {} across. Date {date}", self.length(self.job.wheel.diameter_mm()))
            }
            Abrading::Flat { .. } => format!("For a flat abrasive. Date {date}"),
        }
    }

    fn foot(&self, out: &mut Layout, room: Room, s: f64) {
        let y = room.bottom + 0.2;
        out.words([room.left, y], self.holds_for(), TextStyle::weak(2.1 * s), Align::Start);
        out.words([room.right, y], "Bevelbench", TextStyle::weak(1.9 * s), Align::End);
    }
}

/// Without the unit, where the head of a column or common sense tells it.
pub(crate) fn bare(text: &str) -> String {
    text.strip_suffix(" mm").unwrap_or(text).to_owned()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::wear::Wear,
        saved::{BevelMeant, TargetSaved, library::demo_bench},
    };

    #[test]
    fn card_and_wear_table_set_the_same_for_either_bevel_meant() {
        let bench = demo_bench().unwrap();
        let mut compared = 0;
        for entry in &bench.settings {
            let (_, view) = bench.answer(entry).unwrap();
            let bevels =
                [(BevelMeant::AtEdge, view.facet.at_edge), (BevelMeant::AcrossFacet, view.facet.across)];
            for (meant, bevel) in bevels {
                let target = Some(TargetSaved { bevel_deg: bevel.degrees(), meant, wing: None });
                let entry = SettingEntry { target, ..entry.clone() };
                let card = Card::of(&bench, &entry, &CardLook::default()).unwrap();
                let wear = Wear::of(&bench, &entry).unwrap();
                for row in &card.wear {
                    assert_eq!(Ok(*row), wear.row(row.diameter_mm).found_again, "{}", entry.name);
                    let ground = if meant == BevelMeant::AtEdge { row.bevel } else { row.across };
                    assert!((ground - bevel).abs().degrees() < 1e-6, "{}: {meant:?}", entry.name);
                    compared += 1;
                }
            }
        }
        assert!(compared > 20, "{compared}");
    }
}
