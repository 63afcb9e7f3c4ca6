//! Sticks, blocks and templates of angles and radii.

use bevelbench_geometry::{DVec2, math::Angle};

use crate::{
    drawing::{
        shape::{Align, Point},
        text_shaping::{Typeface, wrapped},
    },
    paper::{
        gauge::piece::Gauge,
        page::{Colour, Item, Layout, Pen, TextStyle},
    },
    quantity::{format_angle, length_text::LengthText},
};

fn cut() -> Pen {
    Pen::new(Colour::CUT, 0.18)
}

fn fine() -> Pen {
    Pen::new(Colour::GREY, 0.12)
}

/// A stick of a gauge length: its point on the pivot, its square end on the rim. One that is too long for the paper comes
/// in two pieces that are joined end to end.
pub(super) fn stick(
    gauge_mm: f64,
    of: &str,
    note: &str,
    length: LengthText<'_>,
    longest_mm: f64,
) -> Vec<Gauge> {
    let wide = 18.0;
    let middle = wide / 2.0;
    let pieces = (gauge_mm / (longest_mm - 2.0)).ceil().max(1.0);
    let part = gauge_mm / pieces;
    (0..pieces as u32)
        .map(|index| {
            let (first, last) = (index == 0, f64::from(index + 1) >= pieces);
            let mut stick = Layout::new();
            let point = if first { 11.0_f64.min(part * 0.4) } else { 0.0 };
            let outline: Vec<Point> = if first {
                vec![[0.0, middle], [point, 0.0], [part, 0.0], [part, wide], [point, wide]]
            } else {
                vec![[0.0, 0.0], [part, 0.0], [part, wide], [0.0, wide]]
            };
            stick.outline(outline, None, Some(cut()));
            let mut layout = Layout::new();
            layout.named(if pieces > 1.0 { "StickPiece" } else { "Stick" }, stick);
            let long = part - point - 4.0;
            let left = point + 2.0;
            let title = format!("Gauge length {}", length(gauge_mm));
            layout.fitted([left, 11.6], &title, TextStyle::strong(4.0), Align::Start, long);
            layout.fitted([left, 7.6], of, TextStyle::plain(2.5), Align::Start, long);
            layout.fitted([left, 4.4], note, TextStyle::weak(2.4), Align::Start, long);
            let end = |layout: &mut Layout, at: Point, words: &str, align: Align| {
                layout.fitted(
                    at,
                    words,
                    TextStyle::new(Typeface::Medium, 2.2, Colour::CARE),
                    align,
                    long * 0.48,
                );
            };
            if first {
                end(&mut layout, [left, 1.4], "◀ point: pivot", Align::Start);
            } else {
                end(&mut layout, [left, 1.4], "◀ join to the piece before", Align::Start);
            }
            if last {
                end(&mut layout, [part - 2.0, 1.4], "square end: rim ▶", Align::End);
            } else {
                end(&mut layout, [part - 2.0, 1.4], "join to the next piece ▶", Align::End);
            }
            Gauge { layout, size_mm: [part, wide] }
        })
        .collect()
}

/// The outline of a stop block: the edge against the inside of its lip, the holder's front face flush with its end.
pub(super) fn block(projection_mm: f64, length: LengthText<'_>, longest_mm: f64) -> Option<Gauge> {
    let (lip, tall, rise) = (12.0, 16.0, 12.0);
    if !(8.0..=longest_mm - lip).contains(&projection_mm) {
        return None;
    }
    let end = lip + projection_mm;
    let mut block = Layout::new();
    let outline =
        vec![[0.0, 0.0], [end, 0.0], [end, tall], [lip, tall], [lip, tall + rise], [0.0, tall + rise]];
    block.outline(outline, None, Some(cut()));
    let mut layout = Layout::new();
    layout.named("StopBlock", block);
    let (left, room) = (lip + 2.0, projection_mm - 4.0);
    layout.fitted(
        [left, 9.4],
        &format!("Stop block, projection {}", length(projection_mm)),
        TextStyle::strong(3.6),
        Align::Start,
        room,
    );
    layout.fitted(
        [left, 5.4],
        "Saw it from wood of this outline, or glue the paper on.",
        TextStyle::weak(2.3),
        Align::Start,
        room,
    );
    let named = TextStyle::new(Typeface::Medium, 2.2, Colour::CARE);
    layout.fitted([left, tall + 2.0], "◀ the edge against the lip", named, Align::Start, room * 0.6);
    layout.fitted([end - 2.0, 1.6], "holder’s front face flush here ▶", named, Align::End, room);
    Some(Gauge { layout, size_mm: [end, tall + rise] })
}

/// A template with a notch of an angle: the blade lies along one side of the notch, edge and heel touch the other.
pub(super) fn angle(across: Angle, words: &[String]) -> Gauge {
    let (wide, tall) = (56.0, 44.0);
    let mut notch = Layout::new();
    // The lower side of the notch is level; the mouth opens to the left edge.
    let apex = DVec2::new(37.0, 8.0);
    let along = DVec2::new(-1.0, 0.0);
    let (sin, cos) = across.sin_cos();
    let other = DVec2::new(-cos, sin);
    let level = apex + along * apex.x;
    // Where the upper side leaves the card: at its left edge, or at its top.
    let mut to_edge = if other.x < -1e-9 { apex.x / -other.x } else { f64::INFINITY };
    if other.y > 1e-9 {
        to_edge = to_edge.min((tall - apex.y) / other.y);
    }
    let out = apex + other * to_edge;
    let mut outline: Vec<Point> = vec![[0.0, 0.0], [wide, 0.0], [wide, tall]];
    if out.y > tall - 1e-6 {
        outline.push([out.x, tall]);
    } else {
        outline.push([0.0, tall]);
        outline.push([0.0, out.y]);
    }
    outline.push([apex.x, apex.y]);
    outline.push([level.x, level.y]);
    notch.outline(outline, None, Some(cut()));
    let mut layout = Layout::new();
    layout.named("AngleTemplate", notch);
    let radius = 11.0;
    layout.items.push(Item::Arc {
        centre: [apex.x, apex.y],
        radius,
        start: Angle::HALF - across,
        sweep: across,
        fill: None,
        pen: Some(fine()),
    });
    layout.words_along(
        [wide - 4.2, 22.0],
        format_angle(across.degrees(), 1),
        TextStyle::strong(5.0),
        Align::Middle,
        Angle::QUARTER,
    );
    layout.words_along(
        [wide - 9.6, 22.0],
        "edge in the corner",
        TextStyle::new(Typeface::Medium, 2.2, Colour::CARE),
        Align::Middle,
        Angle::QUARTER,
    );
    layout.words([2.0, 5.0], "the blade lies along this side", TextStyle::weak(2.0), Align::Start);
    for (line, words) in words.iter().enumerate() {
        layout.fitted([0.0, -3.2 - 3.0 * line as f64], words, TextStyle::plain(2.2), Align::Start, wide);
    }
    // The words stand below the card.
    let below = 3.4 + 3.0 * words.len() as f64;
    let mut lifted = Layout::new();
    lifted.put([0.0, below], layout);
    Gauge { layout: lifted, size_mm: [wide, tall + below] }
}

/// A fan of angles from 15° to 90°, a line every five degrees, from one corner.
pub(super) fn fan() -> Gauge {
    let (radius, apex) = (88.0, [6.0, 10.0]);
    let mut layout = Layout::new();
    let at = |degrees: f64, r: f64| {
        let (sin, cos) = Angle::from_degrees(degrees).sin_cos();
        [apex[0] + r * cos, apex[1] + r * sin]
    };
    let mut lines = Layout::new();
    for step in 0..=18 {
        let degrees = f64::from(step) * 5.0;
        if step == 0 || step >= 3 {
            let heavy = step % 3 == 0;
            let pen = Pen::new(Colour::BLACK, if heavy { 0.25 } else { 0.13 });
            lines.line(if heavy { apex } else { at(degrees, 26.0) }, at(degrees, radius), pen);
        }
    }
    layout.named("AngleFan", lines);
    for degree in 15..=90 {
        if degree % 5 != 0 {
            let degrees = f64::from(degree);
            layout.line(at(degrees, radius - 3.0), at(degrees, radius), fine());
        }
    }
    layout.items.push(Item::Arc {
        centre: apex,
        radius,
        start: Angle::ZERO,
        sweep: Angle::QUARTER,
        fill: None,
        pen: Some(Pen::new(Colour::BLACK, 0.2)),
    });
    for step in 3..=18 {
        let degrees = f64::from(step) * 5.0;
        let place = at(degrees, radius + 2.0);
        let turn = Angle::from_degrees(degrees);
        layout.words_along(place, format!("{degrees:.0}°"), TextStyle::strong(2.8), Align::Start, turn);
    }
    layout.words([apex[0] + 8.0, 6.4], "Angles from 15° to 90°", TextStyle::strong(3.0), Align::Start);
    let words = "Edge in the corner, blade along the level line: read where the facet points.";
    layout.words([apex[0] + 8.0, 2.8], words, TextStyle::weak(2.1), Align::Start);
    Gauge { layout, size_mm: [apex[0] + radius + 9.0, apex[1] + radius + 9.0] }
}

/// Points of an arc, so many that the straight pieces between them leave it by less than a thousandth of a millimetre.
fn arc_points(centre: DVec2, radius: f64, from: Angle, to: Angle) -> Vec<Point> {
    let piece = (8.0 * 0.001 / radius.max(0.01)).sqrt().clamp(1e-3, 0.2);
    let count = ((to - from).radians().abs() / piece).ceil().clamp(8.0, 2000.0) as u32;
    (0..=count)
        .map(|index| {
            let at =
                centre + (from + (to - from) * (f64::from(index) / f64::from(count))).direction() * radius;
            [at.x, at.y]
        })
        .collect()
}

/// A card with a hollow side of a wheel's radius, to be held on the rim.
pub(super) fn wheel(radius_mm: f64, words: &str) -> Gauge {
    let half = (radius_mm * 0.6).clamp(6.0, 40.0);
    let sagitta = radius_mm - (radius_mm * radius_mm - half * half).sqrt();
    let body = 15.0;
    // The wheel below, its highest point in the middle of the card.
    let centre = DVec2::new(half, sagitta - radius_mm);
    let spread = Angle::from_radians((half / radius_mm).asin());
    let mut outline = arc_points(centre, radius_mm, Angle::QUARTER + spread, Angle::QUARTER - spread);
    outline.push([2.0 * half, sagitta + body]);
    outline.push([0.0, sagitta + body]);
    let mut card = Layout::new();
    card.outline(outline, None, Some(cut()));
    let mut layout = Layout::new();
    layout.named("WheelTemplate", card);
    layout.fitted(
        [half, sagitta + 7.0],
        words,
        TextStyle::new(Typeface::Medium, 2.5, Colour::BLACK),
        Align::Middle,
        2.0 * half - 4.0,
    );
    Gauge { layout, size_mm: [2.0 * half, sagitta + body] }
}

/// A card with a round side of a wheel's radius, to be laid in the hollow of a facet.
pub(super) fn hollow(radius_mm: f64, words: &str) -> Gauge {
    let half = (radius_mm * 0.5).clamp(5.0, 25.0);
    let sagitta = radius_mm - (radius_mm * radius_mm - half * half).sqrt();
    let body = 14.0;
    let centre = DVec2::new(half, radius_mm);
    let spread = Angle::from_radians((half / radius_mm).asin());
    let mut outline = arc_points(centre, radius_mm, -Angle::QUARTER - spread, -Angle::QUARTER + spread);
    outline.push([2.0 * half, sagitta + body]);
    outline.push([0.0, sagitta + body]);
    let mut card = Layout::new();
    card.outline(outline, None, Some(cut()));
    let mut layout = Layout::new();
    layout.named("HollowTemplate", card);
    let lines = wrapped(words, Typeface::Medium, 2.4, 2.0 * half - 3.0);
    for (line, words) in lines.iter().enumerate() {
        let y = sagitta + body - 4.0 - 3.0 * line as f64;
        layout.fitted(
            [half, y],
            words,
            TextStyle::new(Typeface::Medium, 2.4, Colour::BLACK),
            Align::Middle,
            2.0 * half - 3.0,
        );
    }
    Gauge { layout, size_mm: [2.0 * half, sagitta + body] }
}
