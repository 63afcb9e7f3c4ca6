//! The numbers on each sheet, read back from the file and held against the answer: found by where they stand, beside
//! their label or under the head of their column.

use bevelbench_geometry::{
    parts::Face,
    side::{Job, Seat, SideView, Support},
};
use bevelbench_notebook::{
    answer::lesson::with_wheel,
    paper::{
        gauge::GaugeSelection,
        request::{PrintKind, PrintRequest},
        sheet::Paper,
    },
    quantity::figure::Figure,
    saved::{Bench, BevelMeant, Rig, SettingEntry, SupportSaved, library::demo_bench},
    words::at_the_grinder_steps,
};

use crate::{
    made, pdf,
    reader::{Line, Printed},
    request,
};

/// Half of the last digit of what is shown to a tenth or a hundredth, and a hair for its rounding.
const TENTH: f64 = 0.050_001;
const HUNDREDTH: f64 = 0.005_001;

fn printed(bench: &Bench, request: &PrintRequest) -> Printed {
    Printed::read(&pdf(&made(bench, request)))
}

fn of_one(bench: &Bench, what: PrintKind, paper: Paper, entry: &SettingEntry) -> Printed {
    printed(bench, &PrintRequest { settings: vec![entry.id], ..request(bench, what, paper, &[]) })
}

fn close(found: Option<f64>, wanted: f64, within: f64, what: &str) {
    assert!(
        found.is_some_and(|found| (found - wanted).abs() <= within),
        "{what}: {found:?} on paper, {wanted} by the answer"
    );
}

fn labelled<'a>(lines: &'a [Line], label: &str) -> &'a Line {
    let found: Vec<&Line> = lines.iter().filter(|line| line.words == label).collect();
    let [one] = found[..] else { panic!("{label} stands there {} times", found.len()) };
    one
}

/// What stands beside a label, to its right, nearest to its height.
fn beside<'a>(lines: &'a [Line], label: &Line) -> &'a Line {
    let off = |line: &Line| (line.at[1] - label.at[1]).abs();
    lines.iter().filter(|line| line.at[0] > label.end[0]).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap()
}

/// What stands right under a label that begins at the same place.
fn under<'a>(lines: &'a [Line], label: &Line) -> &'a Line {
    lines
        .iter()
        .filter(|line| (line.at[0] - label.at[0]).abs() < 0.05 && line.at[1] < label.at[1] - 0.1)
        .max_by(|a, b| a.at[1].total_cmp(&b.at[1]))
        .unwrap()
}

/// The rows below the head of a column, as many as stand under it without a gap of more than `step_mm`: in each the
/// text that ends where its head ends.
fn columns<'a>(lines: &'a [Line], heads: &[&Line], step_mm: f64) -> Vec<Vec<Option<&'a Line>>> {
    let ends_at = |line: &Line, x: f64| (line.end[0] - x).abs() < 0.1;
    let mut base = heads[0].at[1];
    let mut rows = Vec::new();
    while let Some(next) = lines
        .iter()
        .filter(|line| {
            ends_at(line, heads[0].end[0]) && line.at[1] < base - 0.1 && line.at[1] > base - step_mm
        })
        .max_by(|a, b| a.at[1].total_cmp(&b.at[1]))
    {
        base = next.at[1];
        let in_row = |head: &&Line| {
            lines.iter().find(|line| ends_at(line, head.end[0]) && (line.at[1] - base).abs() < 0.1)
        };
        rows.push(heads.iter().map(in_row).collect());
    }
    rows
}

/// The numbers that are set, by the geometry's own fields: what each is called on paper, and its value.
fn set_by(job: &Job, view: &SideView) -> Vec<(String, f64)> {
    let mut values = match job.setting.support {
        Support::Holder { projection_mm, strut_angle, reach_mm, .. } => {
            vec![projection_mm, strut_angle.degrees(), reach_mm]
        }
        Support::Handle { reach_mm, .. } => vec![reach_mm],
        Support::Table { tilt, .. } => vec![tilt.degrees()],
    };
    if let Seat::Pivot { from_centre_mm, .. } = view.seat {
        let Face::Round { radius_mm } = job.setting.face else { panic!("the demo has no flat face") };
        values.push(from_centre_mm - radius_mm);
    }
    let names = at_the_grinder_steps(job, view, &[], &|_| String::new());
    assert_eq!(names.len(), values.len());
    names.into_iter().map(|step| step.name).zip(values).collect()
}

/// A setting with its arm, or its table, somewhere else.
fn moved(entry: &SettingEntry, to: f64) -> SettingEntry {
    let mut entry = entry.clone();
    match &mut entry.support {
        SupportSaved::Holder { reach_mm, .. } | SupportSaved::Handle { reach_mm, .. } => *reach_mm = to,
        SupportSaved::Table { tilt_deg, .. } => *tilt_deg = to,
    }
    entry
}

#[test]
fn every_card_shows_what_is_set_and_what_comes_of_it() {
    let bench = demo_bench().unwrap();
    let mut compared = 0;
    for entry in &bench.settings {
        let (job, view) = bench.answer(entry).unwrap();
        let lines = of_one(&bench, PrintKind::Cards, Paper::A6, entry).lines(1);
        for (label, value) in set_by(&job, &view) {
            let found = beside(&lines, labelled(&lines, &label));
            close(found.number(), value, TENTH, &format!("{}: {label}", entry.name));
            assert_eq!(found.words.ends_with('°'), label.contains("angle") || label.contains("tilt"));
            compared += 1;
        }
        let facet = &view.facet;
        for (figure, value, within) in [
            (Figure::Across, facet.across.degrees(), TENTH),
            (Figure::Facet, facet.width_mm, TENTH),
            (Figure::Hollow, facet.hollow_mm, HUNDREDTH),
        ] {
            let found = under(&lines, labelled(&lines, figure.name()));
            close(found.number(), value, within, &format!("{}: {}", entry.name, figure.name()));
        }
        let bevel = under(&lines, labelled(&lines, Figure::Bevel.name())).words.clone();
        let (value, _) = bevel.split_once(" ± ").unwrap();
        close(value.parse().ok(), view.bevel().degrees(), TENTH, &entry.name);
    }
    assert!(compared >= 50, "{compared}");
}

/// What half a tenth of a millimetre of reach, or of a degree of tilt, makes of a bevel: all that is lost on paper.
fn lost_on_paper(view: &SideView) -> f64 {
    Figure::Slope.of(view).unwrap().abs() * 1.1 * TENTH + 0.001
}

/// What a table of wear says is put on a bench with that wheel, and the bench is asked.
#[test]
fn every_card_s_table_of_wear_grinds_the_bevel_on_a_wheel_of_that_size() {
    let bench = demo_bench().unwrap();
    let mut compared = 0;
    for entry in &bench.settings {
        let (job, view) = bench.answer(entry).unwrap();
        let lines = of_one(&bench, PrintKind::Cards, Paper::A6, entry).lines(1);
        let Some(head) = lines.iter().find(|line| line.words == "wheel ⌀") else { continue };
        let tilted = matches!(job.setting.support, Support::Table { .. });
        let mut heads = vec![head, labelled(&lines, if tilted { "tilt" } else { "reach" })];
        if !tilted {
            heads.push(labelled(&lines, "gauge"));
        }
        let rows = columns(&lines, &heads, 4.5);
        assert!((1..=5).contains(&rows.len()), "{}: {} rows", entry.name, rows.len());
        for (worn, row) in (1_u32..).zip(rows) {
            let numbers: Vec<f64> = row.iter().map(|cell| cell.unwrap().number().unwrap()).collect();
            close(Some(numbers[0]), job.wheel.diameter_mm() - f64::from(worn), TENTH, &entry.name);
            let smaller = with_wheel(&bench, entry, Some(numbers[0]));
            let (_, there) = smaller.answer(&moved(entry, numbers[1])).unwrap();
            let within = lost_on_paper(&there);
            let (ground, meant_deg) = match entry.target {
                Some(target) if target.meant == BevelMeant::AcrossFacet => {
                    (there.facet.across, target.bevel_deg)
                }
                Some(target) => (there.bevel(), target.bevel_deg),
                None => (there.bevel(), view.bevel().degrees()),
            };
            close(Some(ground.degrees()), meant_deg, within, &entry.name);
            if let Some(gauge) = there.gauge_length_mm() {
                close(Some(numbers[2]), gauge, 2.5 * TENTH, &entry.name);
            }
            compared += 1;
        }
    }
    assert!(compared > 40, "{compared}");
}

#[test]
fn every_row_of_a_wall_chart_has_its_numbers_under_their_heads() {
    let bench = demo_bench().unwrap();
    let (mut rows, mut cells) = (0, 0);
    for rig in &bench.rigs {
        let settings =
            bench.settings.iter().filter(|entry| entry.rig == rig.id).map(|entry| entry.id).collect();
        let chart =
            printed(&bench, &PrintRequest { settings, ..request(&bench, PrintKind::Chart, Paper::A4, &[]) });
        for page in 1..=chart.pages() {
            let lines = chart.lines(page);
            let heads = ["bevel", "projection", "strut", "reach", "gauge"].map(|head| labelled(&lines, head));
            for entry in &bench.settings {
                let Some(name) = lines.iter().find(|line| line.words == entry.name) else { continue };
                rows += 1;
                let (job, view) = bench.answer(entry).unwrap();
                let mut wanted = [Some(view.bevel().degrees()), None, None, None, view.gauge_length_mm()];
                match job.setting.support {
                    Support::Holder { projection_mm, strut_angle, reach_mm, .. } => {
                        wanted[1] = Some(projection_mm);
                        wanted[2] = Some(strut_angle.degrees());
                        wanted[3] = Some(reach_mm);
                    }
                    Support::Handle { reach_mm, .. } => wanted[3] = Some(reach_mm),
                    Support::Table { tilt, .. } => wanted[3] = Some(tilt.degrees()),
                }
                for (column, (head, wanted)) in heads.iter().zip(wanted).enumerate() {
                    let what = format!("{}: {}", entry.name, head.words);
                    let found = lines.iter().find(|line| {
                        (line.end[0] - head.end[0]).abs() < 0.1 && (name.at[1] - line.at[1] - 2.8).abs() < 2.0
                    });
                    let number = found.and_then(|line| {
                        let bare = line.words.strip_prefix("tilt ").unwrap_or(&line.words);
                        Line { words: bare.to_owned(), ..line.clone() }.number()
                    });
                    match wanted {
                        // A chart is read from afar: the bevel to a whole degree.
                        Some(value) => {
                            close(number, value, if column == 0 { 0.500_001 } else { TENTH }, &what);
                        }
                        None => assert!(found.is_none(), "{what}: {found:?}"),
                    }
                    cells += usize::from(wanted.is_some());
                }
            }
        }
    }
    assert!(rows == bench.settings.len() && cells > 80, "{rows} rows, {cells} cells");
}

/// The reach at which the stick of a length fits, by halving on a bench with that wheel.
fn reach_by_stick(bench: &Bench, entry: &SettingEntry, gauge_mm: f64, near: f64) -> Option<f64> {
    let gauge = |reach: f64| bench.answer(&moved(entry, reach)).ok()?.1.gauge_length_mm();
    let (mut low, mut high) = (near - 30.0, near + 30.0);
    let rising = gauge(high)? > gauge(low)?;
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if (gauge(middle)? < gauge_mm) == rising {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

#[test]
fn every_setting_table_says_what_a_bench_with_that_wheel_says() {
    let bench = demo_bench().unwrap();
    let (mut compared, mut by_stick) = (0, 0);
    for entry in &bench.settings {
        let (job, view) = bench.answer(entry).unwrap();
        let tables = of_one(&bench, PrintKind::WearTables, Paper::A4, entry);
        let tilted = matches!(job.setting.support, Support::Table { .. });
        for page in 1..=tables.pages() {
            let lines = tables.lines(page);
            let set = if tilted { "tilt to set" } else { "reach to set" };
            let heads = ["wheel ⌀", "left alone", "by gauge stick", set, "gauge length"]
                .map(|head| labelled(&lines, head));
            for row in columns(&lines, &heads, 9.5) {
                let cell = |column: usize| row[column].unwrap().number();
                let diameter = cell(0).unwrap();
                let what = format!("{} at {diameter}", entry.name);
                let smaller = with_wheel(&bench, entry, Some(diameter));
                let alone = smaller.answer(entry).ok().map(|(_, there)| there.bevel().degrees());
                if let (Some(told), Some(alone)) = (cell(1), alone) {
                    close(Some(told), alone, TENTH, &what);
                    compared += 1;
                }
                if let Some(set) = cell(3) {
                    let (_, there) = smaller.answer(&moved(entry, set)).unwrap();
                    let wanted = match entry.target {
                        Some(target) => target.bevel_deg,
                        None => view.bevel().degrees(),
                    };
                    let across = entry.target.is_some_and(|t| t.meant == BevelMeant::AcrossFacet);
                    let got = if across { there.facet.across } else { there.bevel() };
                    close(Some(got.degrees()), wanted, lost_on_paper(&there), &what);
                    if let Some(gauge) = there.gauge_length_mm() {
                        close(cell(4), gauge, 2.5 * TENTH, &what);
                    }
                    if let (Some(told), Some(gauge)) = (cell(2), view.gauge_length_mm())
                        && let Some(reach) = reach_by_stick(&smaller, entry, gauge, set)
                    {
                        let (_, stick) = smaller.answer(&moved(entry, reach)).unwrap();
                        close(Some(told), stick.bevel().degrees(), TENTH + 1e-6, &what);
                        by_stick += 1;
                    }
                }
            }
        }
    }
    assert!(compared > 60 && by_stick > 20, "{compared} {by_stick}");
}

#[test]
fn a_handout_has_a_and_b_and_what_b_is_more_in_their_columns() {
    let bench = demo_bench().unwrap();
    for paper in [Paper::A4, Paper::A5] {
        let wish = request(&bench, PrintKind::Handout, paper, &[]);
        let views = wish.pair.clone().unwrap().map(|entry| bench.answer(&entry).unwrap().1);
        let lines = printed(&bench, &wish).lines(1);
        let difference = labelled(&lines, "B − A");
        for figure in Figure::ALL {
            // The name stands in the table alone; the same words may begin a sentence elsewhere.
            let label = labelled(&lines, figure.name());
            let mut row: Vec<&Line> = lines
                .iter()
                .filter(|line| (line.at[1] - label.at[1]).abs() < 0.05 && line.at[0] > label.end[0])
                .filter(|line| line.end[0] < difference.end[0] + 0.1)
                .collect();
            row.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]));
            let [a, b, more] = row[..] else { panic!("{}: {row:?}", figure.name()) };
            assert!((more.end[0] - difference.end[0]).abs() < 0.1, "{more:?} under {difference:?}");
            let within = if matches!(figure, Figure::Hollow | Figure::Slope) { HUNDREDTH } else { TENTH };
            let [one, other] = views.each_ref().map(|view| figure.of(view).unwrap());
            close(a.number(), one, within, figure.name());
            close(b.number(), other, within, figure.name());
            close(more.number(), b.number().unwrap() - a.number().unwrap(), 1e-9, figure.name());
        }
    }
}

#[test]
fn every_step_of_a_lesson_has_its_numbers_and_those_of_what_lies_beside() {
    let bench = demo_bench().unwrap();
    let mut compared = 0;
    for (place, lesson) in bench.lessons.iter().enumerate() {
        let wish =
            PrintRequest { lessons: vec![place], ..request(&bench, PrintKind::LessonSheet, Paper::A4, &[]) };
        let sheet = printed(&bench, &wish);
        for figure in [Figure::Bevel, Figure::Across, Figure::Facet] {
            let mut rows: Vec<Vec<f64>> = Vec::new();
            for page in 1..=sheet.pages() {
                let lines = sheet.lines(page);
                let mut labels: Vec<&Line> =
                    lines.iter().filter(|line| line.words == figure.name()).collect();
                labels.sort_by(|a, b| b.at[1].total_cmp(&a.at[1]));
                rows.extend(labels.into_iter().map(|label| {
                    let mut row: Vec<&Line> = lines
                        .iter()
                        .filter(|line| (line.at[1] - label.at[1]).abs() < 0.05 && line.at[0] > label.end[0])
                        .collect();
                    row.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]));
                    row.into_iter().filter_map(Line::number).collect()
                }));
            }
            assert_eq!(rows.len(), lesson.steps.len(), "{}", lesson.title);
            for (row, step) in rows.iter().zip(&lesson.steps) {
                let one = with_wheel(&bench, &step.setting, step.wheel_diameter_mm).answer(&step.setting);
                let other = step.beside.as_ref().map(|beside| {
                    with_wheel(&bench, beside, step.beside_wheel_diameter_mm).answer(beside).unwrap().1
                });
                let wanted: Vec<f64> = [Some(one.unwrap().1), other]
                    .iter()
                    .flatten()
                    .filter_map(|view| figure.of(view))
                    .collect();
                assert_eq!(row.len(), wanted.len(), "{}: {}", lesson.title, step.caption);
                for (found, wanted) in row.iter().zip(wanted) {
                    close(Some(*found), wanted, TENTH, &step.caption);
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 30, "{compared}");
}

/// A rig's numbers as they are saved, in the order of the sheet.
fn dimensions(rig: &Rig) -> Vec<f64> {
    let grinder = &rig.grinder;
    let mut all = vec![grinder.spindle_speed_rpm, grinder.spindle_height_mm, grinder.bench_front_mm];
    for wheel in &rig.wheels {
        all.extend([wheel.diameter_mm, wheel.diameter_new_mm, wheel.diameter_least_mm, wheel.width_mm]);
        all.extend(wheel.marked_speed_m_s);
        if let Some(arm) = &wheel.arm {
            all.extend([arm.zero_x_mm, arm.zero_z_mm, arm.tilt_deg, arm.reach_least_mm, arm.reach_most_mm]);
        }
        if let Some(table) = &wheel.table {
            all.extend([table.hinge_x_mm, table.hinge_z_mm, table.surface_offset_mm]);
            all.extend([table.front_mm, table.rear_mm, table.tilt_least_deg, table.tilt_most_deg]);
        }
    }
    for holder in &rig.holders {
        all.extend([holder.hinge_setback_mm, holder.hinge_drop_mm, holder.strut_length_mm]);
        all.extend([holder.strut_angle_least_deg, holder.strut_angle_most_deg]);
        all.extend([holder.body_length_mm, holder.body_height_mm]);
    }
    all
}

/// The numbers at the beginning of a value: `0.0 mm to 700.0 mm`, `2,850 a minute`, `35.0 m/s (6,890 ft/min)`.
fn numbers_in(words: &str) -> Vec<f64> {
    let plain = words.split(" (").next().unwrap().replace('−', "-").replace(',', "");
    plain
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|word| word.parse().ok())
        .collect()
}

#[test]
fn a_bench_sheet_has_every_dimension_in_its_place() {
    let bench = demo_bench().unwrap();
    let wish =
        PrintRequest { settings: Vec::new(), ..request(&bench, PrintKind::BenchSheet, Paper::A4, &[]) };
    let sheet = printed(&bench, &wish);
    let mut found = Vec::new();
    for page in 1..=sheet.pages() {
        let lines = sheet.lines(page);
        // The column of values ends at one place, in which more texts end than anywhere else.
        let ends: Vec<f64> = lines.iter().map(|line| line.end[0]).collect();
        let most = |x: &f64| ends.iter().filter(|end| (*end - x).abs() < 0.05).count();
        let column = ends.iter().copied().max_by_key(|x| most(x)).unwrap();
        let mut values: Vec<&Line> =
            lines.iter().filter(|line| (line.end[0] - column).abs() < 0.05).collect();
        values.sort_by(|a, b| b.at[1].total_cmp(&a.at[1]));
        found.extend(values.iter().flat_map(|line| numbers_in(&line.words)));
    }
    let wanted: Vec<f64> = bench.rigs.iter().flat_map(dimensions).collect();
    assert_eq!(found.len(), wanted.len(), "{found:?}\n{wanted:?}");
    for (found, wanted) in found.iter().zip(&wanted) {
        // Speeds of motors to a whole turn.
        close(Some(*found), *wanted, if *wanted > 1000.0 { 0.5 } else { TENTH }, "a dimension");
    }
}

#[test]
fn gauges_say_the_length_and_the_angle_that_they_have() {
    let bench = demo_bench().unwrap();
    let (mut sticks, mut angles) = (0, 0);
    for entry in &bench.settings {
        let (_, view) = bench.answer(entry).unwrap();
        let across = view.facet.across.degrees();
        let says = |gauges: GaugeSelection, value: f64| {
            let wish = PrintRequest {
                settings: vec![entry.id],
                gauges,
                ..request(&bench, PrintKind::Gauges, Paper::A4, &[])
            };
            let sheet = printed(&bench, &wish);
            (1..=sheet.pages())
                .flat_map(|page| sheet.lines(page))
                .flat_map(|line| numbers_in(&line.words))
                .any(|number| (number - value).abs() <= TENTH)
        };
        if let Some(gauge) = view.gauge_length_mm() {
            assert!(
                says(GaugeSelection { sticks: true, ..GaugeSelection::NONE }, gauge),
                "{}: {gauge}",
                entry.name
            );
            sticks += 1;
        }
        assert!(
            says(GaugeSelection { angles: true, ..GaugeSelection::NONE }, across),
            "{}: {across}",
            entry.name
        );
        angles += 1;
    }
    assert!(sticks > 10 && angles == bench.settings.len());
}
