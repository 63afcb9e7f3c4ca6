//! The setting table of a setting whose wheel wears: on paper, to hang beside the grinder, and as a table for a
//! spreadsheet.

use bevelbench_geometry::side::{NotWorn, Support, Target};

use crate::{
    answer::wear::{Wear, WearPoint, WearRow},
    drawing::{shape::Align, text_shaping::Typeface},
    paper::{
        page::{Colour, Layout, Page, Pen, TextStyle},
        request::PrintRequest,
        sheet::Leaf,
    },
    quantity::{format_angle, length_text},
    saved::{bench::Bench, setting::SettingEntry},
    words::{caution_words, left_words, permanent_cautions},
};

/// Millimetres of diameter from one line of a table to the next.
pub const STEP_MM: f64 = 5.0;

/// The columns as a spreadsheet sees them. Their names are a contract.
const COLUMNS: [&str; 8] = [
    "wheel_diameter_mm",
    "left_where_it_is_bevel_deg",
    "set_by_gauge_stick_bevel_deg",
    "set_by_gauge_stick_reach_mm",
    "found_again_bevel_deg",
    "found_again_reach_mm",
    "found_again_tilt_deg",
    "found_again_gauge_length_mm",
];

/// The table as comma-separated text with a heading; a way that has no answer leaves its fields empty.
///
/// # Errors
/// The writer's own reason; none is known to occur in memory.
pub fn wear_csv(rows: &[WearRow]) -> Result<String, String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(|error| error.to_string())?;
    let number = |value: Option<f64>| value.map(|value| format!("{value:.4}")).unwrap_or_default();
    let bevel = |point: &Result<WearPoint, NotWorn>| number(point.ok().map(|point| point.bevel.degrees()));
    for row in rows {
        let found = row.found_again.ok();
        // Only an arm has a gauge length; a table is set by its tilt.
        let (on_arm, on_table): (Vec<_>, Vec<_>) =
            found.iter().copied().partition(|point| point.gauge_length_mm.is_some());
        let first = |points: &[WearPoint]| number(points.first().map(|point| point.set));
        writer
            .write_record([
                number(Some(row.diameter_mm)),
                bevel(&row.place),
                bevel(&row.gauge_stick),
                number(row.gauge_stick.ok().map(|point| point.set)),
                bevel(&row.found_again),
                first(&on_arm),
                first(&on_table),
                number(found.and_then(|point| point.gauge_length_mm)),
            ])
            .map_err(|error| error.to_string())?;
    }
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|error| error.to_string())
}

/// A bevel and where it is meant.
pub(super) fn target_words(target: Target) -> String {
    match target {
        Target::AtEdge(bevel) => format!("{} at the edge", format_angle(bevel.degrees(), 1)),
        Target::AcrossFacet(bevel) => format!("{} across the facet", format_angle(bevel.degrees(), 1)),
    }
}

/// The pages of one setting's table.
#[must_use]
pub fn wear_pages(bench: &Bench, entry: &SettingEntry, wear: &Wear, request: &PrintRequest) -> Vec<Page> {
    let leaf = Leaf::new(request.paper, false, request.correction);
    let table =
        Table { bench, entry, wear, request, leaf, s: (leaf.usable().width() / 190.0).clamp(0.5, 1.4) };
    table.pages()
}

struct Table<'a> {
    bench: &'a Bench,
    entry: &'a SettingEntry,
    wear: &'a Wear,
    request: &'a PrintRequest,
    leaf: Leaf,
    /// Sizes against those of a sheet of A4.
    s: f64,
}

/// Where the columns end, as a fraction of the width.
const ENDS: [f64; 5] = [0.15, 0.38, 0.61, 0.80, 1.0];

impl Table<'_> {
    fn length(&self, mm: f64) -> String {
        length_text(mm, self.request.unit)
    }

    fn on_table(&self) -> bool {
        matches!(self.wear.job().setting.support, Support::Table { .. })
    }

    fn pages(&self) -> Vec<Page> {
        let usable = self.leaf.usable();
        let s = self.s;
        let row_mm = 8.0 * s;
        let rows = if self.wear.hardly_wears().is_some() {
            vec![self.wear.row(self.wear.diameter_mm())]
        } else {
            self.wear.table(STEP_MM)
        };
        let mut pages = Vec::new();
        let mut page = Layout::new();
        let mut floor = usable.min[1] + self.foot(&mut page);
        let mut top = self.head(&mut page);
        for (index, row) in rows.iter().enumerate() {
            if top - row_mm < floor {
                pages.push(self.leaf.page(std::mem::take(&mut page)));
                floor = usable.min[1] + self.foot(&mut page);
                top = self.head(&mut page);
            }
            let mut line = Layout::new();
            self.row(&mut line, row, top, index == 0);
            page.named("WearRow", line);
            top -= row_mm;
            page.line([usable.min[0], top], [usable.max[0], top], Pen::new(Colour::PALE, 0.2));
        }
        pages.push(self.leaf.page(page));
        pages
    }

    /// What stands over the table; gives back where the first line begins.
    fn head(&self, page: &mut Layout) -> f64 {
        let usable = self.leaf.usable();
        let (s, left, width) = (self.s, usable.min[0], usable.width());
        let tool = self.bench.tool(self.entry.tool).map_or("", |tool| tool.name.as_str());
        let line = usable.max[1] - 6.0 * s;
        page.fitted([left, line], &self.entry.name, TextStyle::strong(6.4 * s), Align::Start, width * 0.72);
        let date = self.request.date.trim();
        let date = if date.is_empty() { "Date ____________" } else { date };
        page.words([usable.max[0], line], date, TextStyle::weak(3.0 * s), Align::End);
        let rig = self.bench.rig(self.entry.rig);
        let wheel = rig.and_then(|rig| rig.wheel(self.entry.wheel)).map_or("", |wheel| wheel.name.as_str());
        let under = format!("{tool} · {} · {wheel}", rig.map_or("", |rig| rig.name.as_str()));
        page.fitted([left, line - 5.0 * s], &under, TextStyle::weak(3.2 * s), Align::Start, width);
        let meant = target_words(self.wear.target());
        let words = match self.wear.hardly_wears() {
            Some(why) => why.words().to_owned(),
            None => format!(
                "What to set for {meant} as the wheel wears, and what comes of leaving it alone. {}",
                left_words(&self.wear.left(), &|mm| self.length(mm))
            ),
        };
        let top = line - 8.0 * s;
        let reported = page.paragraph(left, top, width, &words, TextStyle::plain(3.2 * s));
        let head = top - reported - 6.0 * s;
        let set = if self.on_table() { "tilt to set" } else { "reach to set" };
        let names = ["wheel ⌀", "left alone", "by gauge stick", set, "gauge length"];
        for (end, name) in ENDS.iter().zip(names) {
            page.words([left + width * end, head], name, TextStyle::weak(3.2 * s), Align::End);
        }
        let rule = head - 2.0 * s;
        page.line([left, rule], [usable.max[0], rule], Pen::new(Colour::BLACK, 0.4));
        rule
    }

    fn row(&self, page: &mut Layout, row: &WearRow, top: f64, now: bool) {
        let usable = self.leaf.usable();
        let s = self.s;
        let base = top - 5.6 * s;
        let bevel = |point: &Result<WearPoint, NotWorn>| {
            point.map_or_else(|_| "–".to_owned(), |point| format_angle(point.bevel.degrees(), 1))
        };
        let found = row.found_again.ok();
        let set = found.map_or_else(
            || "–".to_owned(),
            |point| if self.on_table() { format_angle(point.set, 1) } else { self.length(point.set) },
        );
        let gauge = found.and_then(|point| point.gauge_length_mm);
        let gauge = gauge.map_or_else(|| "–".to_owned(), |mm| self.length(mm));
        let texts = [self.length(row.diameter_mm), bevel(&row.place), bevel(&row.gauge_stick), set, gauge];
        for (index, (end, text)) in ENDS.iter().zip(&texts).enumerate() {
            // What is to be set is read first.
            let kind = if index >= 3 || now {
                TextStyle::new(Typeface::SemiBold, 4.2 * s, Colour::BLACK)
            } else {
                TextStyle::plain(4.0 * s)
            };
            page.words([usable.min[0] + usable.width() * end, base], text.as_str(), kind, Align::End);
        }
    }

    /// The cautions along the foot; gives back how much room they take.
    fn foot(&self, page: &mut Layout) -> f64 {
        let usable = self.leaf.usable();
        let kind = TextStyle::new(Typeface::Medium, 2.9 * self.s, Colour::CARE);
        let reported = self.wear.job().cautions(self.wear.view());
        let mut words: Vec<String> = reported
            .iter()
            .filter(|caution| caution.is_warning())
            .map(|caution| caution_words(caution, &|mm| self.length(mm)))
            .collect();
        words.extend(permanent_cautions().map(str::to_owned));
        let words = words.join(" ");
        let lines = crate::drawing::text_shaping::wrapped(&words, kind.typeface, kind.size_mm, usable.width())
            .len() as f64;
        let tall = lines * kind.line_mm();
        page.paragraph(usable.min[0], usable.min[1] + tall, usable.width(), &words, kind);
        tall + 3.0 * self.s
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        paper::{
            gauge::GaugeSelection,
            page::Item,
            request::PrintKind,
            sheet::{Correction, Paper},
        },
        quantity::length_unit::LengthUnit,
        saved::library::demo_bench,
    };

    fn request(paper: Paper) -> PrintRequest {
        PrintRequest {
            what: PrintKind::WearTables,
            paper,
            correction: Correction::default(),
            settings: Vec::new(),
            pair: None,
            lessons: Vec::new(),
            gauges: GaugeSelection::NONE,
            unit: LengthUnit::Millimetre,
            date: String::new(),
        }
    }

    /// Every text of a page with where it begins.
    fn texts(items: &[Item]) -> Vec<(String, [f64; 2])> {
        items
            .iter()
            .flat_map(|item| match item {
                Item::Text { words, at, .. } => vec![(words.clone(), *at)],
                Item::Named { items, .. } | Item::Window { items, .. } => texts(items),
                _ => Vec::new(),
            })
            .collect()
    }

    #[test]
    fn paper_says_the_reach_that_grinds_the_bevel_at_each_diameter() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, shaping wheel").unwrap();
        let wear = Wear::of(&bench, entry).unwrap();
        let pages = wear_pages(&bench, entry, &wear, &request(Paper::A4));
        assert_eq!(pages.len(), 1);
        let reported: Vec<String> = texts(&pages[0].items).into_iter().map(|(words, _)| words).collect();
        // Independently: the setting at that diameter with the reach on paper grinds the bevel.
        let row = wear.row(140.0);
        let reach = length_text(row.found_again.unwrap().set, LengthUnit::Millimetre);
        let at = reported.iter().position(|words| *words == reach).unwrap();
        assert!(reported[..at].contains(&length_text(140.0, LengthUnit::Millimetre)));
        let mut again = bench.clone();
        again.rigs[0].wheels[0].diameter_mm = 140.0;
        let mut moved = entry.clone();
        if let crate::saved::setting::SupportSaved::Holder { reach_mm, .. } = &mut moved.support {
            *reach_mm = reach.trim_end_matches(" mm").parse().unwrap();
        }
        let (_, view) = again.answer(&moved).unwrap();
        assert!((view.bevel().degrees() - 40.0).abs() < 0.1, "{}", view.bevel().degrees());
        assert!(reported.iter().any(|words| words.contains("Local codes")), "{reported:?}");
    }

    #[test]
    fn nothing_leaves_the_paper_whatever_its_size() {
        let bench = demo_bench().unwrap();
        for paper in Paper::ALL {
            for entry in &bench.settings {
                let wear = Wear::of(&bench, entry).unwrap();
                for page in wear_pages(&bench, entry, &wear, &request(paper)) {
                    for (words, at) in texts(&page.items) {
                        let inside = (0..2).all(|i| at[i] >= 0.0 && at[i] <= page.size_mm[i]);
                        assert!(inside, "{paper:?} {}: {words} at {at:?}", entry.name);
                    }
                }
            }
        }
    }

    #[test]
    fn table_of_a_spreadsheet_reads_back() {
        let bench = demo_bench().unwrap();
        for name in ["Long grind, shaping wheel", "Both faces, shaping wheel"] {
            let wear = Wear::of(&bench, bench.setting_named(name).unwrap()).unwrap();
            let rows = wear.table(STEP_MM);
            let text = wear_csv(&rows).unwrap();
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let read: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            assert_eq!(read.len(), rows.len());
            for (line, row) in read.iter().zip(&rows) {
                match row.place {
                    Ok(point) => {
                        let got: f64 = line[1].parse().unwrap();
                        assert!((got - point.bevel.degrees()).abs() < 1e-4);
                    }
                    // The table's plane passes below a wheel that small.
                    Err(_) => assert_eq!(&line[1], ""),
                }
                let on_table = name.starts_with("Both");
                assert_eq!((line[5].is_empty(), line[6].is_empty()), (on_table, !on_table), "{name}");
            }
        }
    }
}
