//! The bench sheet: a rig's dimensions with where each is measured; and the log sheet: lines to write on.

use crate::{
    drawing::{
        shape::Align,
        text_shaping::{Typeface, wrapped},
    },
    paper::{
        page::{Colour, Layout, Page, Pen, TextStyle},
        request::PrintRequest,
        sheet::{Correction, Leaf, Paper},
    },
    quantity::{format_angle, format_number, length_text, length_unit::LengthUnit},
    saved::{
        bench::Bench,
        rig::{Rig, WheelSaved},
    },
};

/// A line: what, how much, where it is measured.
type Line = (&'static str, String, &'static str);

/// A heading with its lines.
struct Block {
    head: String,
    lines: Vec<Line>,
}

fn blocks(rig: &Rig, unit: LengthUnit) -> Vec<Block> {
    let length = |mm: f64| length_text(mm, unit);
    let angle = |degrees: f64| format_angle(degrees, 1);
    let mut blocks = vec![Block {
        head: "Grinder".to_owned(),
        lines: vec![
            (
                "Spindle speed",
                format!("{} a minute", format_number(rig.grinder.spindle_speed_rpm, 0)),
                "from the plate on the motor",
            ),
            (
                "Spindle height",
                length(rig.grinder.spindle_height_mm),
                "from the bench top up to the middle of the spindle",
            ),
            (
                "Bench front",
                length(rig.grinder.bench_front_mm),
                "from a plumb line under the spindle to the bench’s front edge",
            ),
        ],
    }];
    for wheel in &rig.wheels {
        blocks.extend(wheel_blocks(wheel, &length, &angle));
    }
    for holder in &rig.holders {
        blocks.push(Block {
            head: holder.name.clone(),
            lines: vec![
                (
                    "Hinge setback",
                    length(holder.hinge_setback_mm),
                    "from the front face back to the hinge’s middle",
                ),
                (
                    "Hinge drop",
                    length(holder.hinge_drop_mm),
                    "from the tool’s centreline down to the hinge’s middle",
                ),
                (
                    "Strut length",
                    length(holder.strut_length_mm),
                    "from the hinge’s middle to the point in the cup",
                ),
                (
                    "Strut angle",
                    format!(
                        "{} to {}",
                        angle(holder.strut_angle_least_deg),
                        angle(holder.strut_angle_most_deg)
                    ),
                    "between strut and blade; 90° is square off the blade",
                ),
                ("Body length", length(holder.body_length_mm), "along the tool"),
                ("Body height", length(holder.body_height_mm), "across the tool, from the side"),
            ],
        });
    }
    blocks
}

fn wheel_blocks(
    wheel: &WheelSaved,
    length: &dyn Fn(f64) -> String,
    angle: &dyn Fn(f64) -> String,
) -> Vec<Block> {
    let speed =
        wheel.marked_speed_m_s.map_or_else(|| "not entered".to_owned(), crate::quantity::format_speed);
    let mut blocks = vec![Block {
        head: wheel.name.clone(),
        lines: vec![
            (
                "Diameter now",
                length(wheel.diameter_mm),
                "across the wheel, power off; or round it with a tape, over 3.1416",
            ),
            ("Diameter new", length(wheel.diameter_new_mm), "from its label"),
            (
                "Least diameter",
                length(wheel.diameter_least_mm),
                "from its maker; the flanges must stay clear",
            ),
            ("Width", length(wheel.width_mm), "of the face"),
            ("Marked speed", speed, "from its label; a wheel without a marking is not run"),
        ],
    }];
    if let Some(arm) = &wheel.arm {
        blocks.push(Block {
            head: format!("{}: arm", wheel.name),
            lines: vec![
                (
                    "Zero in front",
                    length(arm.zero_x_mm),
                    "from a plumb line under the spindle to the cup at scale zero",
                ),
                (
                    "Zero above",
                    length(arm.zero_z_mm),
                    "from the spindle’s height to the pivot in the cup; below is less than nothing",
                ),
                ("Tilt", angle(arm.tilt_deg), "against level, rising away from the wheel"),
                (
                    "Reach",
                    format!("{} to {}", length(arm.reach_least_mm), length(arm.reach_most_mm)),
                    "on the arm’s own scale",
                ),
            ],
        });
    }
    if let Some(table) = &wheel.table {
        blocks.push(Block {
            head: format!("{}: table", wheel.name),
            lines: vec![
                (
                    "Hinge in front",
                    length(table.hinge_x_mm),
                    "from a plumb line through the spindle to the hinge",
                ),
                (
                    "Hinge above",
                    length(table.hinge_z_mm),
                    "from the spindle’s height; below is less than nothing",
                ),
                (
                    "Surface offset",
                    length(table.surface_offset_mm),
                    "from the hinge’s middle up to the surface",
                ),
                (
                    "Front",
                    length(table.front_mm),
                    "from the hinge to the edge near the wheel, along the surface",
                ),
                ("Rear", length(table.rear_mm), "from the hinge to the operator’s edge"),
                (
                    "Tilt",
                    format!("{} to {}", angle(table.tilt_least_deg), angle(table.tilt_most_deg)),
                    "positive when the operator’s side is high",
                ),
            ],
        });
    }
    blocks
}

/// The sheets of some rigs, each beginning on a page of its own, with room to write what was measured again.
#[must_use]
pub fn bench_sheets(bench: &Bench, rigs: &[&Rig], request: &PrintRequest) -> Vec<Page> {
    let (unit, date) = (request.unit, request.date.as_str());
    let leaf = Leaf::new(request.paper, false, request.correction);
    let usable = leaf.usable();
    let width = usable.width();
    let s = (width / 190.0).clamp(0.55, 1.3);
    let mut pages = Vec::new();
    for rig in rigs {
        let mut page = Layout::new();
        let mut top = bench_head(&mut page, &leaf, rig, bench, s, date);
        for block in blocks(rig, unit) {
            let tall = (8.0 + 5.6 * block.lines.len() as f64) * s;
            if top - tall.min(usable.height() * 0.6) < usable.min[1] + 5.0 * s {
                pages.push(leaf.page(std::mem::take(&mut page)));
                top = bench_head(&mut page, &leaf, rig, bench, s, date);
            }
            page.words(
                [usable.min[0], top - 5.2 * s],
                block.head.as_str(),
                TextStyle::strong(3.8 * s),
                Align::Start,
            );
            top -= 7.0 * s;
            for (name, value, place) in &block.lines {
                if top - 5.6 * s < usable.min[1] {
                    pages.push(leaf.page(std::mem::take(&mut page)));
                    top = bench_head(&mut page, &leaf, rig, bench, s, date);
                }
                let base = top - 3.9 * s;
                let column = |fraction: f64| usable.min[0] + width * fraction;
                page.fitted([column(0.0), base], name, TextStyle::plain(3.1 * s), Align::Start, width * 0.17);
                let strong = TextStyle::new(Typeface::SemiBold, 3.3 * s, Colour::BLACK);
                page.fitted([column(0.385), base], value, strong, Align::End, width * 0.21);
                page.fitted(
                    [column(0.41), base],
                    place,
                    TextStyle::weak(2.6 * s),
                    Align::Start,
                    width * 0.42,
                );
                // Room to write what it measures today.
                page.line(
                    [column(0.85), base - 0.6 * s],
                    [usable.max[0], base - 0.6 * s],
                    Pen::new(Colour::GREY, 0.15),
                );
                top -= 5.6 * s;
                page.line([usable.min[0], top], [column(0.83), top], Pen::new(Colour::PALE, 0.1));
            }
            top -= 2.0 * s;
        }
        pages.push(leaf.page(page));
    }
    pages
}

fn bench_head(page: &mut Layout, leaf: &Leaf, rig: &Rig, bench: &Bench, s: f64, date: &str) -> f64 {
    let usable = leaf.usable();
    let line = usable.max[1] - 5.5 * s;
    page.fitted(
        [usable.min[0], line],
        &rig.name,
        TextStyle::strong(6.0 * s),
        Align::Start,
        usable.width() * 0.7,
    );
    let date = if date.trim().is_empty() { "Date ____________" } else { date.trim() };
    page.words([usable.max[0], line], date, TextStyle::weak(3.0 * s), Align::End);
    let under = format!(
        "{} · the rig’s dimensions; places are measured from the wheel’s centre, wheel at rest",
        bench.title
    );
    page.fitted(
        [usable.min[0], line - 4.6 * s],
        &under,
        TextStyle::weak(2.8 * s),
        Align::Start,
        usable.width() * 0.82,
    );
    page.words([usable.max[0], line - 4.6 * s], "measured again", TextStyle::weak(2.6 * s), Align::End);
    let y = line - 6.6 * s;
    page.line([usable.min[0], y], [usable.max[0], y], Pen::new(Colour::BLACK, 0.35));
    y - 1.0 * s
}

/// A blank sheet to write down sharpenings and wheel diameters.
#[must_use]
pub fn log_sheet(bench: &Bench, paper: Paper, correction: Correction) -> Page {
    let leaf = Leaf::new(paper, false, correction);
    let usable = leaf.usable();
    let width = usable.width();
    let s = (width / 190.0).clamp(0.55, 1.3);
    let mut page = Layout::new();
    let line = usable.max[1] - 5.5 * s;
    page.words([usable.min[0], line], "Sharpening log", TextStyle::strong(6.0 * s), Align::Start);
    page.fitted([usable.max[0], line], &bench.title, TextStyle::weak(3.0 * s), Align::End, width * 0.5);
    let columns = [
        (0.0, "Date"),
        (0.13, "Tool"),
        (0.36, "Setting"),
        (0.56, "Wheel"),
        (0.68, "Wheel ⌀"),
        (0.79, "Passes"),
        (0.88, "Ink, remarks"),
    ];
    let head = line - 8.0 * s;
    for (fraction, name) in columns {
        page.words(
            [usable.min[0] + width * fraction + 0.6, head],
            name,
            TextStyle::weak(2.8 * s),
            Align::Start,
        );
    }
    let top = head - 2.0 * s;
    let foot_words = "Wheel diameters are taken with the power off and the wheel at rest. Put what was measured into the bench: every setting follows.";
    let kind = TextStyle::weak(2.6 * s);
    let foot_lines = wrapped(foot_words, kind.typeface, kind.size_mm, width).len() as f64;
    let floor = usable.min[1] + foot_lines * kind.line_mm() + 2.0;
    let row = 8.5 * s;
    let rows = ((top - floor) / row).floor().max(0.0);
    for index in 0..=rows as u32 {
        let y = top - row * f64::from(index);
        let pen = Pen::new(
            if index == 0 { Colour::BLACK } else { Colour::PALE },
            if index == 0 { 0.35 } else { 0.2 },
        );
        page.line([usable.min[0], y], [usable.max[0], y], pen);
    }
    for (fraction, _) in &columns[1..] {
        let x = usable.min[0] + width * fraction - 0.6;
        page.line([x, head + 3.0 * s], [x, top - row * rows], Pen::new(Colour::PALE, 0.15));
    }
    page.paragraph(usable.min[0], floor - 1.0, width, foot_words, kind);
    leaf.page(page)
}
