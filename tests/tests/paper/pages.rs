//! Handouts and lesson sheets, the text of pages against pages that were looked at, and sizes on paper as Debian's
//! poppler tools see them.

use bevelbench_geometry::math::Quantity;
use std::{collections::HashSet, fs, path::Path, process::Command};

use bevelbench_notebook::{
    paper::{
        gauge::GaugeSelection,
        page_svg::page_svg,
        printing::{FileKind, NotPrinted, Print, print},
        request::{PrintKind, PrintRequest},
        sheet::Paper,
    },
    quantity::{LengthUnit, figure::Figure},
    saved::{Bench, FurtherStepSaved, MovedSaved, library::demo_bench},
    words::permanent_cautions,
};

use crate::{made, reader::Printed};

/// Setting A and setting B of the handouts.
const PAIR: [&str; 2] = ["Long grind, 85 mm", "Short grind, 60 mm"];

fn request(bench: &Bench, what: PrintKind, paper: Paper) -> PrintRequest {
    PrintRequest {
        lessons: vec![0],
        gauges: GaugeSelection { sticks: true, angles: true, ..GaugeSelection::NONE },
        ..crate::request(bench, what, paper, &PAIR[..1])
    }
}

/// The words on a page, in the order in which they were set, with the white space out.
fn words_of(print: &Print) -> String {
    let svg: String = print.pages.iter().map(|page| page_svg(page, "")).collect();
    let mut words = String::new();
    for piece in svg.split("<text ").skip(1) {
        let inner = piece.split_once('>').unwrap().1.split_once("</text>").unwrap().0;
        words.push_str(&inner.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">"));
    }
    bare(&words.replace("&amp;", "&"))
}

fn bare(words: &str) -> String {
    words.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn a_handout_has_both_settings_their_differences_and_their_cautions_on_one_page() {
    let bench = demo_bench().unwrap();
    for paper in Paper::ALL {
        let handout = made(&bench, &request(&bench, PrintKind::Handout, paper));
        assert_eq!(handout.pages.len(), 1, "{}", paper.name());
        let words = words_of(&handout);
        let [a, b] = PAIR.map(|name| bench.answer(bench.setting_named(name).unwrap()).unwrap().1);
        for figure in Figure::ALL {
            let [one, other] = [figure.of(&a), figure.of(&b)];
            let mm = LengthUnit::Millimetre;
            for reported in
                [figure.words(one, mm), figure.words(other, mm), figure.difference(one, other, mm)]
            {
                assert!(words.contains(&bare(&reported)), "{}: {reported}", paper.name());
            }
        }
        for reported in ["blunter at the nose.", "The tool stands 25.0 mm less far out of its holder."] {
            assert!(words.contains(&bare(reported)), "{}: {reported}", paper.name());
        }
        assert!(words.contains("Eyesandlungs") && words.contains("Localcodes"), "{}", paper.name());
    }
}

#[test]
fn a_handout_without_a_second_setting_says_where_one_is_chosen() {
    let bench = demo_bench().unwrap();
    let alone = PrintRequest { pair: None, ..request(&bench, PrintKind::Handout, Paper::A4) };
    let none = print(&bench, &alone, &mut |_| true).unwrap_err();
    assert_eq!(none, NotPrinted::NoPair);
    assert!(none.to_string().contains("Pair page"));
}

#[test]
fn every_step_of_a_lesson_stands_on_its_sheet_with_its_caption_and_its_bevel() {
    let bench = demo_bench().unwrap();
    for (place, lesson) in bench.lessons.iter().enumerate() {
        let wish =
            PrintRequest { lessons: vec![place], ..request(&bench, PrintKind::LessonSheet, Paper::A4) };
        let sheet = made(&bench, &wish);
        let words = words_of(&sheet);
        assert!(sheet.left_out.is_empty() && words.contains(&bare(&lesson.title)));
        for step in &lesson.steps {
            assert!(words.contains(&bare(&step.caption)), "{}", step.caption);
            let there = bevelbench_notebook::answer::lesson::with_wheel(
                &bench,
                &step.setting,
                step.wheel_diameter_mm,
            );
            let bevel = there.answer(&step.setting).unwrap().1.bevel().degrees();
            assert!(words.contains(&Figure::Bevel.words(Some(bevel), LengthUnit::Millimetre)));
        }
        for caution in permanent_cautions() {
            assert_eq!(words.matches(&bare(caution)).count(), sheet.pages.len(), "{caution}");
        }
    }
    let none = PrintRequest { lessons: Vec::new(), ..request(&bench, PrintKind::LessonSheet, Paper::A4) };
    assert_eq!(print(&bench, &none, &mut |_| true).unwrap_err(), NotPrinted::NoLesson);
}

#[test]
fn a_second_bevel_stands_on_the_card_after_the_first_and_one_that_cannot_be_is_reported() {
    let mut bench = demo_bench().unwrap();
    let entry = bench.settings.iter_mut().find(|entry| entry.name == "Inside bowl").unwrap();
    // Common practice: about 25 mm of arm is a heel relief.
    let step = |reach_mm, left_width_mm| FurtherStepSaved {
        moved: MovedSaved::to(Quantity::Reach, reach_mm).unwrap(),
        left_width_mm,
    };
    entry.further_steps = vec![step(556.5, 2.0)];
    let entry = entry.clone();
    for paper in Paper::ALL {
        let wish = PrintRequest { settings: vec![entry.id], ..request(&bench, PrintKind::Cards, paper) };
        let words = words_of(&made(&bench, &wish));
        let (first, second) = (words.find("581.5mm").unwrap(), words.find("556.5mm").unwrap());
        assert!(first < second, "{}", paper.name());
        assert!(words.contains(&bare("the facet at the edge is 2.0 mm wide")), "{}: {words}", paper.name());
    }
    // Moved out instead of in, a second bevel grinds nothing.
    bench.settings.iter_mut().find(|each| each.id == entry.id).unwrap().further_steps =
        vec![step(585.0, 2.0)];
    let wish = PrintRequest { settings: vec![entry.id], ..request(&bench, PrintKind::Cards, Paper::A6) };
    let words = words_of(&made(&bench, &wish));
    assert!(words.contains(&bare("would not touch the heel")), "{words}");
}

/// Splits a text into numbers and what lies between them.
fn pieces(text: &str) -> Vec<(String, Option<f64>)> {
    let mut all = Vec::new();
    let (mut between, mut number) = (String::new(), String::new());
    for c in text.chars().chain(std::iter::once('\n')) {
        if c.is_ascii_digit() || (c == '.' && !number.is_empty()) || (c == '-' && number.is_empty()) {
            number.push(c);
            continue;
        }
        if let Ok(value) = number.parse::<f64>() {
            all.push((std::mem::take(&mut between), Some(value)));
        } else {
            between.push_str(&number);
        }
        number.clear();
        between.push(c);
    }
    all.push((between, None));
    all
}

/// What is kept of each kind: a holder, a handle end in the cup and a table; every page of it.
const KEPT: [(&str, PrintKind, Paper); 8] = [
    ("card", PrintKind::Cards, Paper::A6),
    ("chart", PrintKind::Chart, Paper::A4),
    ("gauges", PrintKind::Gauges, Paper::A4),
    ("handout", PrintKind::Handout, Paper::A4),
    ("lesson", PrintKind::LessonSheet, Paper::Letter),
    ("bench", PrintKind::BenchSheet, Paper::A4),
    ("wear", PrintKind::WearTables, Paper::A4),
    ("log", PrintKind::LogSheet, Paper::A5),
];

/// Every page of every kind of print was looked at once and found right; they are kept in `tests/reference/pages`.
/// `BEVELBENCH_REMAKE=1` writes them anew: look at what has changed before it is kept.
#[test]
fn pages_are_those_that_were_looked_at() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/pages");
    let remake = std::env::var_os("BEVELBENCH_REMAKE").is_some();
    let bench = demo_bench().unwrap();
    assert_eq!(KEPT.map(|(_, what, _)| what).into_iter().collect::<HashSet<_>>().len(), PrintKind::ALL.len());
    let settings = [PAIR[0], "Inside bowl", "Both faces, shaping wheel"]
        .map(|name| bench.setting_named(name).unwrap().id);
    let mut expected = HashSet::new();
    for (name, what, paper) in KEPT {
        let wish = PrintRequest { settings: settings.to_vec(), ..request(&bench, what, paper) };
        for (number, page) in (1..).zip(&made(&bench, &wish).pages) {
            let name = format!("{name}-{number}.svg");
            let path = folder.join(&name);
            if remake {
                fs::create_dir_all(&folder).unwrap();
                fs::write(&path, page_svg(page, &name)).unwrap();
            }
            same_page(&name, &fs::read_to_string(&path).unwrap(), &page_svg(page, &name));
            expected.insert(name);
        }
    }
    for entry in fs::read_dir(&folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(expected.contains(&name), "{name} is printed no more");
    }
}

fn same_page(name: &str, kept: &str, page: &str) {
    let (kept, page) = (pieces(kept), pieces(page));
    assert_eq!(kept.len(), page.len(), "{name}: another number of things on the page");
    for ((before, one), (after, other)) in kept.iter().zip(&page) {
        assert_eq!(before, after, "{name}");
        let (one, other) = (one.unwrap_or(0.0), other.unwrap_or(0.0));
        // Another machine's sine may round the last digit of a place otherwise.
        assert!((one - other).abs() <= 0.011, "{name}: {one} was {other} after {before:?}");
    }
}

/// Runs one of poppler's tools.
fn poppler(tool: &str, arguments: &[&str]) -> String {
    let done = Command::new(tool).args(arguments).output().unwrap_or_else(|why| panic!("{tool}: {why}"));
    assert!(done.status.success(), "{tool}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

/// The straight strokes of a picture that `pdftocairo -svg` writes, in millimetres, second axis down.
fn strokes_mm(svg: &str) -> Vec<Vec<[f64; 2]>> {
    let attribute = |tag: &str, name: &str| {
        let rest = tag.split_once(&format!(" {name}=\""))?.1;
        Some(rest.split_once('"')?.0.to_owned())
    };
    let numbers = |text: &str| -> Vec<f64> {
        text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c == 'e'))
            .filter_map(|word| word.parse().ok())
            .collect()
    };
    let mut all = Vec::new();
    for tag in svg.split("<path").skip(1).filter_map(|rest| Some(rest.split_once('>')?.0)) {
        let Some(chain) = attribute(tag, "d").filter(|d| !d.contains('C')) else { continue };
        let m = attribute(tag, "transform").map_or(vec![1.0, 0.0, 0.0, 1.0, 0.0, 0.0], |t| numbers(&t));
        let points = numbers(&chain);
        let on_paper = |p: &[f64]| {
            [(m[0] * p[0] + m[2] * p[1] + m[4]), (m[1] * p[0] + m[3] * p[1] + m[5])].map(|x| x * 25.4 / 72.0)
        };
        all.push(points.chunks_exact(2).map(on_paper).collect());
    }
    all
}

/// What the other tests read by way of one library, another one reads as well.
#[test]
#[cfg_attr(not(poppler), ignore = "needs pdftotext of poppler-utils")]
fn poppler_reads_every_line_of_every_kind_of_sheet() {
    let bench = demo_bench().unwrap();
    let folder = tempfile::tempdir().unwrap();
    for what in PrintKind::ALL {
        let path = folder.path().join("sheet.pdf");
        let bytes = crate::pdf(&made(&bench, &request(&bench, what, Paper::A4)));
        fs::write(&path, &bytes).unwrap();
        let read = Printed::read(&bytes);
        for page in 1..=read.pages() {
            let number = page.to_string();
            let text =
                poppler("pdftotext", &["-raw", "-f", &number, "-l", &number, path.to_str().unwrap(), "-"]);
            let text = bare(&text);
            let lines = read.lines(page);
            assert!(lines.len() > 8, "{what:?}");
            for line in lines.iter().filter(|line| (line.at[1] - line.end[1]).abs() < 1e-6) {
                assert!(
                    text.contains(&bare(&line.words)),
                    "{what:?}, page {page}: {} is not there",
                    line.words
                );
            }
        }
    }
}

#[test]
#[cfg_attr(not(poppler), ignore = "needs poppler-utils")]
fn poppler_sees_the_bars_the_stick_the_angle_the_paper_and_the_words() {
    let bench = demo_bench().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("gauges.pdf");
    let wish = request(&bench, PrintKind::Gauges, Paper::A4);
    fs::write(&path, made(&bench, &wish).files(FileKind::Pdf, &mut |_| true).unwrap().remove(0)).unwrap();
    let file = path.to_str().unwrap();
    let (_, view) = bench.answer(bench.setting_named(PAIR[0]).unwrap()).unwrap();

    // Row D01 of the published checks: ISO 216 has A4 at 210 mm by 297 mm.
    let info = poppler("pdfinfo", &[file]);
    let size = info.lines().find_map(|line| line.strip_prefix("Page size:")).unwrap();
    let size: Vec<f64> = size.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    for (side, wanted) in size.iter().zip([210.0, 297.0]) {
        assert!((side * 25.4 / 72.0 - wanted).abs() < 0.01, "{info}");
    }
    let pages: u32 =
        info.lines().find_map(|line| line.strip_prefix("Pages:")).unwrap().trim().parse().unwrap();

    let text = poppler("pdftotext", &[file, "-"]);
    for words in ["100 mm", "4 in", "Print at 100 %", "123.0 mm"] {
        assert!(bare(&text).contains(&bare(words)), "{words} is not in {text}");
    }

    let mut strokes = Vec::new();
    for page in 1..=pages {
        let page = page.to_string();
        strokes.extend(strokes_mm(&poppler(
            "pdftocairo",
            &["-svg", "-noshrink", "-f", &page, "-l", &page, file, "-"],
        )));
    }
    let line = |across: f64, up: f64| {
        strokes.iter().any(|points| {
            let [a, b] = points[..] else { return false };
            ((a[0] - b[0]).abs() - across).abs() < 0.05 && ((a[1] - b[1]).abs() - up).abs() < 0.05
        })
    };
    assert!(line(100.0, 0.0) && line(0.0, 100.0), "no bar of 100 mm");
    assert!(line(101.6, 0.0) && line(0.0, 101.6), "no bar of 4 in");
    let span = |points: &[[f64; 2]], axis: usize| {
        let all = points.iter().map(|p| p[axis]);
        all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
    };
    let gauge_mm = view.gauge_length_mm().unwrap();
    assert!(
        strokes.iter().any(|points| points.len() > 4 && (span(points, 0) - gauge_mm).abs() < 0.05),
        "no stick of {gauge_mm} mm"
    );
    // The notch of the template, between two legs of more than 25 mm.
    let across = view.facet.across.degrees();
    let away = |from: [f64; 2], to: [f64; 2]| [to[0] - from[0], to[1] - from[1]];
    let notched = strokes.iter().any(|points| {
        points.windows(3).any(|corner| {
            let (one, other) = (away(corner[1], corner[0]), away(corner[1], corner[2]));
            let (long, wide) = (one[0].hypot(one[1]), other[0].hypot(other[1]));
            let cos = (one[0] * other[0] + one[1] * other[1]) / (long * wide);
            long > 25.0 && wide > 25.0 && (cos.acos().to_degrees() - across).abs() < 0.02
        })
    });
    assert!(notched, "no notch of {across}°");
}
