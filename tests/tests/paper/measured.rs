//! What is printed, measured on paper: the PDF is read by another library, its content streams are followed with their
//! transforms, and lengths, angles and radii are taken in millimetres and degrees from what they draw.

use bevelbench_geometry::parts::Face;
use bevelbench_notebook::{
    paper::{
        gauge::GaugeSelection,
        page_svg::page_svg,
        printing::{FileKind, NotPrinted, Print, print},
        request::PrintKind,
        sheet::{Correction, Paper},
    },
    saved::library::demo_bench,
};
use lopdf::{Document, Object};

use crate::{
    made, pdf,
    reader::{Point, Printed},
    request,
};

/// Tolerances of the sheets, in millimetres and degrees.
const MM: f64 = 0.05;
const DEG: f64 = 0.02;

fn span(points: &[Point], axis: usize) -> f64 {
    let (low, high) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p[axis]), high.max(p[axis])));
    high - low
}

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The angle at `corner` between the ways to two other points, in degrees.
fn angle_deg(one: Point, corner: Point, other: Point) -> f64 {
    let way = |p: Point| (p[1] - corner[1]).atan2(p[0] - corner[0]);
    let between = (way(one) - way(other)).to_degrees().abs() % 360.0;
    between.min(360.0 - between)
}

/// The radius of the circle through three points.
fn radius_through(a: Point, b: Point, c: Point) -> f64 {
    let (x, y, z) = (distance(b, c), distance(a, c), distance(a, b));
    let twice_area = ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs();
    x * y * z / (2.0 * twice_area)
}

fn close(found: f64, wanted: f64, within: f64, what: &str) {
    assert!((found - wanted).abs() <= within, "{what}: {found}, but {wanted} was wanted");
}

/// A round-wheel setting of the demo on a holder.
const LONG: &str = "Long grind, shaping wheel";

#[test]
fn pages_have_the_published_sizes() {
    // Row D01 (ISO 216) and row D02 (ANSI sizes, in inches) of the published checks.
    let published = [
        (Paper::A3, [297.0, 420.0]),
        (Paper::A4, [210.0, 297.0]),
        (Paper::A5, [148.0, 210.0]),
        (Paper::Letter, [8.5 * 25.4, 11.0 * 25.4]),
        (Paper::Tabloid, [11.0 * 25.4, 17.0 * 25.4]),
    ];
    let bench = demo_bench().unwrap();
    for (paper, [wide, tall]) in published {
        for what in PrintKind::ALL {
            let bytes = pdf(&made(&bench, &request(&bench, what, paper, &[LONG])));
            let read = Printed::read(&bytes);
            for page in 1..=read.pages() {
                let mut size = read.size_mm(page);
                if size[0] > size[1] {
                    size.swap(0, 1);
                }
                close(size[0], wide, 0.01, paper.name());
                close(size[1], tall, 0.01, paper.name());
            }
        }
    }
}

#[test]
fn check_bars_measure_100_mm_and_4_in_along_both_axes() {
    let bench = demo_bench().unwrap();
    for paper in [Paper::A4, Paper::Letter, Paper::A3, Paper::Tabloid, Paper::A5] {
        let read = Printed::read(&pdf(&made(&bench, &request(&bench, PrintKind::Gauges, paper, &[LONG]))));
        for page in 1..=read.pages() {
            for (name, axis, long) in [
                ("BarAcrossMm", 0, 100.0),
                ("BarAcrossInch", 0, 101.6),
                ("BarUpMm", 1, 100.0),
                ("BarUpInch", 1, 101.6),
            ] {
                let lines = read.named(page, name);
                close(span(&lines[0].points, axis), long, MM, name);
                // The ticks stand at both ends.
                let ticks: Vec<f64> = lines[1..].iter().map(|tick| tick.points[0][axis]).collect();
                let ends = [ticks[0], *ticks.last().unwrap()];
                close(ends[1] - ends[0], long, MM, name);
            }
        }
    }
}

#[test]
fn a_printer_that_is_off_is_corrected_along_each_axis() {
    let bench = demo_bench().unwrap();
    let mut wish = request(&bench, PrintKind::Gauges, Paper::A4, &[LONG]);
    wish.correction = Correction::default().from_measured(99.0, 100.4).unwrap();
    let read = Printed::read(&pdf(&made(&bench, &wish)));
    // That printer shortens across by 1 % and stretches up by 0.4 %: what it makes of the page is what was wanted.
    let across = span(&read.named(1, "BarAcrossMm")[0].points, 0) * 0.99;
    let up = span(&read.named(1, "BarUpMm")[0].points, 1) * 1.004;
    close(across, 100.0, MM, "bar across");
    close(up, 100.0, MM, "bar up");
    let size = read.size_mm(1);
    for chain in read.chains(1) {
        assert!(chain.points.iter().all(|p| p[0] > 4.0 && p[0] < size[0] - 4.0), "off the paper: {chain:?}");
    }
}

#[test]
fn sticks_are_as_long_as_the_gauge_length_from_point_to_square_end() {
    let bench = demo_bench().unwrap();
    for entry in &bench.settings {
        let (_, view) = bench.answer(entry).unwrap();
        let Some(gauge_mm) = view.gauge_length_mm() else { continue };
        let mut wish = request(&bench, PrintKind::Gauges, Paper::A4, &[]);
        wish.settings = vec![entry.id];
        wish.gauges = GaugeSelection { sticks: true, ..GaugeSelection::NONE };
        let read = Printed::read(&pdf(&made(&bench, &wish)));
        let pieces: f64 = read
            .all_named("Stick")
            .iter()
            .chain(&read.all_named("StickPiece"))
            .map(|stick| span(&stick.points, 0))
            .sum();
        close(pieces, gauge_mm, MM, &entry.name);
        if let [stick] = &read.all_named("Stick")[..] {
            // The first point is the pointed end; the two farthest from it are the square one.
            let tip = stick.points[0];
            let ends: Vec<f64> =
                stick.points.iter().map(|p| p[0] - tip[0]).filter(|x| *x > gauge_mm - 1.0).collect();
            assert_eq!(ends.len(), 2, "{stick:?}");
        }
    }
}

#[test]
fn stop_blocks_are_as_long_as_the_projection_behind_their_lip() {
    let bench = demo_bench().unwrap();
    let wish = request(&bench, PrintKind::Gauges, Paper::A4, &["Long grind, 85 mm", "Short grind, 60 mm"]);
    let read = Printed::read(&pdf(&made(&bench, &wish)));
    let blocks = read.all_named("StopBlock");
    let mut behind_lip: Vec<f64> = blocks
        .iter()
        .map(|block| {
            // Along the upper side of the body, from the far end to the lip.
            let right = block.points.iter().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
            let top = block.points.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
            let lip = block.points.iter().filter(|p| (p[1] - top).abs() < 1e-3).map(|p| p[0]);
            right - lip.fold(f64::NEG_INFINITY, f64::max)
        })
        .collect();
    behind_lip.sort_by(f64::total_cmp);
    assert_eq!(behind_lip.len(), 2);
    close(behind_lip[0], 60.0, MM, "short block");
    close(behind_lip[1], 85.0, MM, "long block");
}

#[test]
fn angle_templates_hold_the_bevel_across_the_facet() {
    let bench = demo_bench().unwrap();
    for entry in &bench.settings {
        let (_, view) = bench.answer(entry).unwrap();
        let mut wish = request(&bench, PrintKind::Gauges, Paper::A4, &[]);
        wish.settings = vec![entry.id];
        wish.gauges = GaugeSelection { angles: true, ..GaugeSelection::NONE };
        let read = Printed::read(&pdf(&made(&bench, &wish)));
        let card = read.all_named("AngleTemplate").remove(0);
        // The notch: the last three corners before the outline closes.
        let corners = &card.points[..card.points.len() - 1];
        let [out, apex, level] = corners[corners.len() - 3..] else { panic!("{card:?}") };
        close(angle_deg(out, apex, level), view.facet.across.degrees(), DEG, &entry.name);
        assert!(distance(out, apex) > 25.0 && distance(apex, level) > 25.0, "legs too short to read by");
    }
}

#[test]
fn the_fan_has_every_five_degrees_from_15_to_90() {
    let bench = demo_bench().unwrap();
    let mut wish = request(&bench, PrintKind::Gauges, Paper::A4, &[LONG]);
    wish.gauges = GaugeSelection { fan: true, ..GaugeSelection::NONE };
    let read = Printed::read(&pdf(&made(&bench, &wish)));
    let lines = read.all_named("AngleFan");
    let level = &lines[0].points;
    let found: Vec<f64> = lines[1..]
        .iter()
        .map(|line| {
            let (from, to) = (line.points[0], line.points[1]);
            (to[1] - from[1]).atan2(to[0] - from[0]).to_degrees()
        })
        .collect();
    close(level[0][1], level[1][1], 0.001, "level line");
    let wanted: Vec<f64> = (3..=18).map(|step| f64::from(step) * 5.0).collect();
    assert_eq!(found.len(), wanted.len());
    for (found, wanted) in found.iter().zip(&wanted) {
        close(*found, *wanted, DEG, "fan");
    }
}

#[test]
fn wheel_and_hollow_templates_have_the_wheels_radius() {
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named(LONG).unwrap();
    let (job, _) = bench.answer(entry).unwrap();
    let Face::Round { radius_mm } = job.setting.face else { panic!("round wheel") };
    let mut wish = request(&bench, PrintKind::Gauges, Paper::A4, &[LONG]);
    wish.gauges = GaugeSelection { radii: true, ..GaugeSelection::NONE };
    let read = Printed::read(&pdf(&made(&bench, &wish)));
    for (name, hollow) in [("WheelTemplate", false), ("HollowTemplate", true)] {
        let card = read.all_named(name).remove(0);
        // The arc comes first; the last two corners and the closing point are the card's back.
        let arc = &card.points[..card.points.len() - 3];
        let (first, middle, last) = (arc[0], arc[arc.len() / 2], arc[arc.len() - 1]);
        close(radius_through(first, middle, last), radius_mm, 0.05, name);
        // Hollow or round: the middle lies above or below the chord.
        assert_eq!(middle[1] < first[1], hollow, "{name}");
    }
}

#[test]
fn outlines_of_tips_are_those_of_the_swept_shape() {
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named("Swept, shaping wheel").unwrap();
    let (job, view) = bench.answer(entry).unwrap();
    let swept = bevelbench_notebook::answer::swept::swept(&job, &view, entry.swing.as_ref(), 181).unwrap();
    let long = swept.length_to_show_mm();
    let mut wish = request(&bench, PrintKind::Gauges, Paper::A4, &["Swept, shaping wheel"]);
    wish.gauges = GaugeSelection { outlines: true, ..GaugeSelection::NONE };
    let read = Printed::read(&pdf(&made(&bench, &wish)));
    // An independent account of the same tip: its own edge points must lie on the printed outline from above.
    let plan = &read.all_named("OutlinePlan")[0].points;
    let side = &read.all_named("OutlineSide")[0].points;
    close(
        span(plan, 0),
        long - swept.points().iter().map(|p| p.s_mm).fold(f64::INFINITY, f64::min),
        0.05,
        "long",
    );
    let left = plan.iter().map(|p| p[0]).fold(f64::INFINITY, f64::min);
    let middle = f64::midpoint(
        plan.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min),
        plan.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max),
    );
    let nose = swept.points().iter().map(|p| p.s_mm).fold(f64::INFINITY, f64::min);
    for point in swept.points().iter().step_by(15) {
        let at = [left + point.s_mm - nose, middle - point.w_mm];
        let off =
            plan.windows(2).map(|piece| off_piece(at, piece[0], piece[1])).fold(f64::INFINITY, f64::min);
        // The steel behind the edge may stand further out than the edge itself; never the other way round.
        assert!(off < MM || inside(at, plan), "edge point {at:?} is {off} mm off the outline");
    }
    // From the side the tip reaches from the bar's underside to the wing tops.
    let (low, _) = job.tool.blank().height_span_mm();
    let high = swept.points().iter().map(|p| p.h_mm).fold(f64::NEG_INFINITY, f64::max);
    close(span(side, 1), high - low, MM, "thickness from the side");
}

fn off_piece(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
    distance(p, [a[0] + t * dx, a[1] + t * dy])
}

fn inside(p: Point, outline: &[Point]) -> bool {
    let mut odd = false;
    for i in 0..outline.len() {
        let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
        if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0] {
            odd = !odd;
        }
    }
    odd
}

#[test]
fn text_can_be_copied_and_every_letter_is_the_one_meant() {
    let bench = demo_bench().unwrap();
    let bytes = pdf(&made(&bench, &request(&bench, PrintKind::Cards, Paper::A6, &["Long grind, 85 mm"])));
    let read = Document::load_mem(&bytes).unwrap();
    let text = read.extract_text(&[1]).unwrap();
    let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    for words in
        ["Longgrind,85mm", "Spindlegouge,10mm", "Projection", "85.0mm", "45°", "Localcodes", "⚠", "1March"]
    {
        assert!(plain.contains(words), "{words} is not in {text}");
    }
    for what in PrintKind::ALL {
        let bytes = pdf(&made(&bench, &request(&bench, what, Paper::A4, &[])));
        let read = Document::load_mem(&bytes).unwrap();
        let pages: Vec<u32> = read.get_pages().keys().copied().collect();
        let text = read.extract_text(&pages).unwrap();
        // A letter that no font has is set as a question mark; no sheet asks a question.
        assert!(!text.contains('?') && !text.contains('\u{fffd}'), "{what:?}: {text}");
    }
}

#[test]
fn cautions_stand_on_every_card_in_full() {
    let bench = demo_bench().unwrap();
    for paper in [Paper::A4, Paper::A6, Paper::IndexCard] {
        for entry in &bench.settings {
            let mut wish = request(&bench, PrintKind::Cards, paper, &[]);
            wish.settings = vec![entry.id];
            let print = made(&bench, &wish);
            let svg: String = print.pages.iter().map(|page| page_svg(page, "")).collect();
            let words: String = texts(&svg).concat().chars().filter(|c| !c.is_whitespace()).collect();
            let (job, view) = bench.answer(entry).unwrap();
            for caution in job.cautions(&view) {
                let reported = bevelbench_notebook::words::caution_words(&caution, &|mm| {
                    format!("{mm:.1} mm").replace('-', "−")
                });
                let reported: String = reported.chars().filter(|c| !c.is_whitespace()).collect();
                assert!(words.contains(&reported), "{}: {reported}", entry.name);
            }
        }
    }
}

#[test]
fn nothing_runs_off_the_paper() {
    let bench = demo_bench().unwrap();
    let kinds = [PrintKind::Cards, PrintKind::Handout, PrintKind::LessonSheet];
    for (paper, what) in Paper::ALL.into_iter().flat_map(|paper| kinds.map(|what| (paper, what))) {
        let print = made(&bench, &request(&bench, what, paper, &[]));
        for page in &print.pages {
            for item in &page.items {
                let bevelbench_notebook::paper::page::Item::Text { at, words, typeface, size_mm, .. } = item
                else {
                    continue;
                };
                let wide = bevelbench_notebook::drawing::text_shaping::width_mm(words, *typeface, *size_mm);
                assert!(at[0] > 3.0 && at[0] + wide < page.size_mm[0] - 3.0, "{}: {words}", paper.name());
                assert!(at[1] > 3.0 && at[1] < page.size_mm[1] - 3.0, "{}: {words}", paper.name());
            }
        }
    }
}

/// The words of an SVG text's `text` elements.
fn texts(svg: &str) -> Vec<String> {
    svg.split("<text ")
        .skip(1)
        .filter_map(|rest| rest.split_once('>')?.1.split_once("</text>"))
        .map(|(words, _)| {
            words.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
        })
        .collect()
}

#[test]
fn same_input_gives_the_same_bytes() {
    let bench = demo_bench().unwrap();
    for what in PrintKind::ALL {
        let wish = request(&bench, what, Paper::A4, &[]);
        let (one, other) = (made(&bench, &wish), made(&bench, &wish));
        assert_eq!(pdf(&one), pdf(&other), "{what:?}");
        let svg = |print: &Print| print.files(FileKind::Svg, &mut |_| true).unwrap();
        assert_eq!(svg(&one), svg(&other), "{what:?}");
    }
}

#[test]
fn print_scaling_is_off_and_fonts_are_embedded() {
    let bench = demo_bench().unwrap();
    let read =
        Document::load_mem(&pdf(&made(&bench, &request(&bench, PrintKind::Gauges, Paper::A4, &[LONG]))))
            .unwrap();
    let catalog = read.catalog().unwrap();
    let wishes = catalog.get(b"ViewerPreferences").unwrap().as_dict().unwrap();
    assert_eq!(wishes.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
    let descriptors = read.objects.values().filter_map(|object| object.as_dict().ok());
    let descriptors: Vec<_> = descriptors
        .filter(|d| d.get(b"Type").and_then(Object::as_name).is_ok_and(|t| t == b"FontDescriptor"))
        .collect();
    assert!((3..=4).contains(&descriptors.len()), "{descriptors:?}");
    assert!(descriptors.iter().all(|d| d.has(b"FontFile2") || d.has(b"FontFile3")));
}

#[test]
fn a_card_is_smaller_than_200_kilobytes() {
    let bench = demo_bench().unwrap();
    for entry in &bench.settings {
        for paper in [Paper::A4, Paper::A6, Paper::IndexCard] {
            let mut wish = request(&bench, PrintKind::Cards, paper, &[]);
            wish.settings = vec![entry.id];
            let size = pdf(&made(&bench, &wish)).len();
            assert!(size < 200_000, "{}: {size}", entry.name);
        }
    }
}

#[test]
fn pages_as_pictures_have_their_size_at_the_stated_resolution() {
    let bench = demo_bench().unwrap();
    let print = made(&bench, &request(&bench, PrintKind::Cards, Paper::A6, &[LONG]));
    let files = print.files(FileKind::Png { dpi: 254.0 }, &mut |_| true).unwrap();
    let picture = image::load_from_memory(&files[0]).unwrap();
    assert_eq!((picture.width(), picture.height()), (1050, 1480));
    let svg = page_svg(&print.pages[0], &print.title);
    assert!(svg.contains("width=\"105mm\" height=\"148mm\" viewBox=\"0 0 105 148\""), "{}", &svg[..200]);
}

#[test]
fn a_cancelled_job_leaves_no_file() {
    let bench = demo_bench().unwrap();
    let wish = request(&bench, PrintKind::Cards, Paper::A4, &[]);
    let mut steps = 0;
    let mut stop = |_: f64| {
        steps += 1;
        steps < 4
    };
    assert_eq!(print(&bench, &wish, &mut stop), Err(NotPrinted::CalledOff));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cards.svg");
    let refused =
        bevelbench_notebook::paper::files::write(&made(&bench, &wish), &path, 300.0, &mut |fraction| {
            fraction < 0.5
        });
    assert!(refused.is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn wear_is_followed_so_that_the_bevel_stays() {
    // Derived here: each row set on a wheel of its diameter grinds the bevel that is meant, at the edge.
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named(LONG).unwrap();
    let meant_deg = entry.target.unwrap().bevel_deg;
    let rows = bevelbench_notebook::answer::wear::Wear::of(&bench, entry).unwrap().next_mm(&[1.0, 3.0, 5.0]);
    assert_eq!(rows.len(), 3);
    for row in rows {
        let mut worn = bench.clone();
        for wheel in worn.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
            if wheel.id == entry.wheel {
                wheel.diameter_mm = row.diameter_mm;
            }
        }
        let mut set = entry.clone();
        let bevelbench_notebook::saved::SupportSaved::Holder { reach_mm, .. } = &mut set.support else {
            panic!("a holder")
        };
        *reach_mm = row.set;
        let (_, then) = worn.answer(&set).unwrap();
        close(then.bevel().degrees(), meant_deg, 1e-6, "bevel");
        close(then.gauge_length_mm().unwrap(), row.gauge_length_mm.unwrap(), 1e-6, "gauge length");
    }
}

/// Speed is measured on purpose only: `cargo test --release -p bevelbench-tests --test paper -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement"]
fn five_hundred_cards_in_one_file() {
    let mut bench = demo_bench().unwrap();
    let first = bench.settings.clone();
    while bench.settings.len() < 500 {
        let mut entry = first[bench.settings.len() % first.len()].clone();
        entry.id = bench.give_id();
        bench.settings.push(entry);
    }
    let start = std::time::Instant::now();
    let bytes = pdf(&made(&bench, &request(&bench, PrintKind::Cards, Paper::A4, &[])));
    let took = start.elapsed();
    eprintln!("500 cards: {took:?}, {} bytes", bytes.len());
    assert!(took.as_secs_f64() < 5.0, "{took:?}");
}
