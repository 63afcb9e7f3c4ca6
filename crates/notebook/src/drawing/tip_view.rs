//! The tip as flat drawings: seen from the side, seen from above, and as curves along its edge.
//!
//! Frames in millimetres: from the side `(s, h)`, from above `(s, −w)`, so that the tip points to the left in both and
//! one drawing stands under the other. The curves have a paper frame of their own.

use bevelbench_geometry::{DVec2, DVec3, math::Angle, side::NoseGone, swept::EdgePoint};

use crate::{
    answer::{
        edge_curve::{EdgeCurve, Over, multiples, pieces, round_increment},
        swept::Swept,
    },
    drawing::shape::{Align, Drawing, Geometry, Mark, Role, Standing, TextSize, segment},
    quantity::{format_angle, length_text::LengthText},
    saved::part::Part,
    words::capital,
};

/// Points of an outline.
const OUTLINE: usize = 160;
/// Points of a heel.
const HEEL: usize = 121;

/// One of the two ways to look at the tip.
#[derive(Clone, Copy, PartialEq, Eq)]
enum From {
    Side,
    Above,
}

impl From {
    fn flat(self, p: DVec3) -> [f64; 2] {
        match self {
            Self::Side => [p.x, p.y],
            Self::Above => [p.x, -p.z],
        }
    }
}

/// The tip seen from the side, with its sweep, its bevel at the nose and its roll line.
#[must_use]
pub fn tip_side_view(swept: &Swept, length: LengthText<'_>) -> Drawing {
    let mut d = Drawing::new();
    let end = swept.length_to_show_mm();
    let outline: Vec<[f64; 2]> = swept.side_outline(end, OUTLINE).iter().map(|p| [p.x, p.y]).collect();
    let (low, high) = span(&outline, 1);
    d.add(Role::Tool, Part::Tool, Geometry::Outline(outline));
    if let Some(flute) = swept.tip().steel().flute() {
        let floor = flute.floor_mm();
        d.add(Role::ToolHidden, Part::Tool, segment([0.0, floor], [end, floor]));
    }
    // Only the near wing: the far one lies behind the steel, or behind the near one.
    let near = |p: &EdgePoint| !swept.is_gouge() || p.w_mm >= -1e-9;
    lines(&mut d, swept, From::Side, near);
    roll_line(&mut d, swept, end);
    // The bevel of a nose that is gone belongs to no place of this tip.
    match swept.nose_gone() {
        None => bevel(&mut d, swept),
        Some(gone) => nose_gone(&mut d, gone, low - 0.28 * (high - low), length),
    }
    let tall = high - low;
    let summary = swept.summary();
    if swept.is_gouge() {
        let sweep = summary.plus.sweep_mm;
        level(
            &mut d,
            [0.0, high],
            [sweep, high],
            high + 0.28 * tall,
            format!("wing sweep {}", length(sweep)),
        );
    }
    upright(&mut d, end, low, high, 0.2 * tall, length(tall));
    d.title(Part::Tool, format!("{} tall", length(tall)));
    d.title(Part::Edge, format!("Edge {} long, {} nose", length(summary.edge_length_mm), swept.nose_word()));
    d
}

/// The tip seen from above, with the radius of its nose and its width.
#[must_use]
pub fn tip_plan_view(swept: &Swept, length: LengthText<'_>) -> Drawing {
    let mut d = Drawing::new();
    let end = swept.length_to_show_mm();
    let outline: Vec<[f64; 2]> = swept.plan_outline(end, OUTLINE).iter().map(|p| [p.x, -p.y]).collect();
    let (low, high) = span(&outline, 1);
    d.add(Role::Tool, Part::Tool, Geometry::Outline(outline));
    let wide = high - low;
    d.add(Role::Construction, None, segment([-0.2 * wide, 0.0], [end, 0.0]));
    lines(&mut d, swept, From::Above, |_| true);
    let summary = swept.summary();
    if let Some(radius) = summary.nose_radius_mm.filter(|radius| *radius < 4.0 * wide) {
        nose_circle(&mut d, swept, radius, length);
    }
    if let Some(gone) = swept.nose_gone() {
        nose_gone(&mut d, gone, low - 0.4 * wide, length);
    }
    if swept.is_gouge() {
        let (left, right) = (summary.plus.sweep_mm, summary.minus.sweep_mm);
        if (left - right).abs() > 0.05 {
            let words = |side: &str, mm: f64| format!("{side} wing {}", length(mm));
            level(&mut d, [0.0, high], [right, high], high + 0.16 * wide, words("right", right));
            level(&mut d, [0.0, low], [left, low], low - 0.16 * wide, words("left", left));
        } else {
            let sweep = summary.wing_sweep_mm();
            level(
                &mut d,
                [0.0, high],
                [sweep, high],
                high + 0.16 * wide,
                format!("wing sweep {}", length(sweep)),
            );
        }
    }
    upright(&mut d, end, low, high, 0.16 * wide, length(wide));
    d.title(Part::Edge, format!("Edge {} long, {} nose", length(summary.edge_length_mm), swept.nose_word()));
    d
}

fn span(points: &[[f64; 2]], axis: usize) -> (f64, f64) {
    points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p[axis]), b.max(p[axis])))
}

/// Edge and heel.
fn lines(d: &mut Drawing, swept: &Swept, from: From, shown: impl Fn(&EdgePoint) -> bool) {
    let (steel, surface) = (swept.tip().steel(), swept.tip().surface());
    let mut heel = Vec::with_capacity(HEEL);
    for i in 0..HEEL {
        let t = 2.0 * i as f64 / (HEEL - 1) as f64 - 1.0;
        let (place, hit) = swept.tip().at(t, 1.0);
        let Some(hit) = hit else { continue };
        let mirrored = steel.flute().is_some() && place.x < -1e-9;
        if from == From::Side && mirrored && surface.is_symmetric() {
            continue;
        }
        heel.push(from.flat(DVec3::new(hit.s_mm, place.y, place.x)));
    }
    if heel.len() > 1 {
        let role = if from == From::Above { Role::ToolHidden } else { Role::Heel };
        d.add(role, Part::Heel, Geometry::Line(heel));
    }
    let mut piece: Vec<[f64; 2]> = Vec::new();
    for (i, point) in swept.points().iter().enumerate() {
        let broken = i > 0 && swept.is_broken_between(i - 1, i);
        if (broken || !shown(point)) && !piece.is_empty() {
            push_line(d, std::mem::take(&mut piece));
        }
        if shown(point) {
            piece.push(from.flat(point.position()));
        }
    }
    push_line(d, piece);
}

fn push_line(d: &mut Drawing, piece: Vec<[f64; 2]>) {
    if piece.len() > 1 {
        d.add(Role::Edge, Part::Edge, Geometry::Line(piece));
    }
}

fn roll_line(d: &mut Drawing, swept: &Swept, end: f64) {
    if !swept.is_gouge() {
        return;
    }
    let Some(line) = swept.tip().surface().roll_line() else { return };
    let at = |mm: f64| {
        let p = line.centre_in_tool() + line.along_in_tool() * mm;
        [p.x, p.y]
    };
    d.add(Role::RollLine, Part::RollLine, segment(at(-0.3 * end), at(1.05 * end)));
    d.add(
        Role::RollLine,
        Part::RollLine,
        Geometry::Mark { at: at(0.0), direction: Angle::ZERO, mark: Mark::Dot },
    );
    d.title(
        Part::RollLine,
        format!("Roll line, {} to the tool’s axis", format_angle(line.angle().degrees(), 1)),
    );
}

/// The bevel at the nose: an arc from the axis to the ground face.
fn bevel(d: &mut Drawing, swept: &Swept) {
    let Some(nose) = swept.nearest_to_w(0.0).and_then(|i| swept.points().get(i)) else { return };
    let end = swept.length_to_show_mm();
    let reach = 0.42 * end;
    let at = [nose.s_mm, nose.h_mm];
    let slope = nose.bevel_to_axis;
    let tip = |angle: Angle, r: f64| [at[0] + r * angle.cos(), at[1] + r * angle.sin()];
    d.add(Role::Construction, Part::Bevel, segment(at, tip(Angle::ZERO, 1.12 * reach)));
    d.add(Role::Construction, Part::Bevel, segment(at, tip(-slope, 1.12 * reach)));
    let arc = Geometry::Arc { centre: at, radius: reach, start: Angle::ZERO, sweep: -slope };
    d.add(Role::AngleArc, Part::Bevel, arc);
    let words = format_angle(slope.degrees(), 1);
    let place = tip(-slope * 0.5, 1.3 * reach);
    d.add(Role::AngleArc, Part::Bevel, text(place, words.clone(), Align::Middle, TextSize::Strong));
    d.title(Part::Bevel, format!("Bevel at the nose {words}"));
}

/// How far back the edge lies where the nose should be, at a height.
fn nose_gone(d: &mut Drawing, gone: &NoseGone, at: f64, length: LengthText<'_>) {
    let words = format!("nose ground away, {} back", length(gone.back_mm));
    level(d, [0.0, 0.0], [gone.back_mm, 0.0], at, words.clone());
    d.title(Part::Bevel, capital(&words));
}

/// The circle of the nose, as far as it leads the eye.
fn nose_circle(d: &mut Drawing, swept: &Swept, radius: f64, length: LengthText<'_>) {
    let nose = swept.summary().foremost_mm;
    // The circle through the foremost place; a bulged nose has two, and its circle lies between them.
    let centre = [nose + radius, 0.0];
    let arc = Geometry::Arc {
        centre,
        radius,
        start: Angle::from_degrees(110.0),
        sweep: Angle::from_degrees(140.0),
    };
    d.add(Role::AngleArc, Part::Edge, arc);
    let words = format!("nose radius {}", length(radius));
    let at = [nose - 0.25 * radius.max(2.0), 0.0];
    d.add(Role::AngleArc, Part::Edge, text(at, words, Align::End, TextSize::Normal));
}

fn text(at: [f64; 2], words: String, align: Align, size: TextSize) -> Geometry {
    Geometry::Text { at, text: words, align, along: Angle::ZERO, size, lift: 0.0 }
}

/// A level dimension between two places, its line at a height.
fn level(d: &mut Drawing, from: [f64; 2], to: [f64; 2], at: f64, words: String) {
    if (to[0] - from[0]).abs() < 1e-3 {
        return;
    }
    for end in [from, to] {
        d.add(Role::Dimension, None, segment(end, [end[0], at]));
    }
    d.add(Role::Dimension, None, segment([from[0], at], [to[0], at]));
    let outward = if to[0] > from[0] { Angle::ZERO } else { Angle::HALF };
    for (x, direction) in [(to[0], outward), (from[0], outward + Angle::HALF)] {
        let mark = Geometry::Mark { at: [x, at], direction, mark: Mark::Arrow };
        d.add(Role::Dimension, None, mark);
    }
    let mut label = text([f64::midpoint(from[0], to[0]), at], words, Align::Middle, TextSize::Normal);
    if let Geometry::Text { lift, .. } = &mut label {
        *lift = if at >= from[1] { 0.9 } else { -0.9 };
    }
    d.add(Role::Dimension, None, label);
}

/// An upright dimension behind the sawn end.
fn upright(d: &mut Drawing, end: f64, low: f64, high: f64, off: f64, words: String) {
    let x = end + off;
    for y in [low, high] {
        d.add(Role::Dimension, None, segment([end, y], [x, y]));
    }
    d.add(Role::Dimension, None, segment([x, low], [x, high]));
    for (y, direction) in [(high, Angle::QUARTER), (low, -Angle::QUARTER)] {
        d.add(Role::Dimension, None, Geometry::Mark { at: [x, y], direction, mark: Mark::Arrow });
    }
    let at = [x + 0.25 * off, f64::midpoint(low, high)];
    d.add(Role::Dimension, None, text(at, words, Align::Start, TextSize::Normal));
}

/// Size of a chart on paper, in millimetres.
const CHART: DVec2 = DVec2::new(150.0, 30.0);
/// Between two charts.
const BETWEEN: f64 = 9.0;

/// The four curves over the distance along the edge, under one another; a second setting dashed over the first. The
/// frame is that of the paper, millimetres.
#[must_use]
pub fn curves_view(swept: &Swept, second: Option<&Swept>, length_in_mm: f64, unit: &str) -> Drawing {
    let mut d = Drawing::new();
    let both = || std::iter::once((swept, Standing::Solid)).chain(second.map(|s| (s, Standing::Second)));
    let mut across = (f64::INFINITY, f64::NEG_INFINITY);
    for (shape, _) in both() {
        for i in 0..shape.points().len() {
            if let Some(x) = Over::Along.at(shape, i) {
                across = (across.0.min(x), across.1.max(x));
            }
        }
    }
    for (row, curve) in EdgeCurve::ALL.into_iter().enumerate() {
        let foot = -(row as f64) * (CHART.y + BETWEEN);
        let values = || both().flat_map(|(shape, _)| shape.points().iter().map(|p| curve.at(p)));
        let (least, most) =
            values().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        let spare = (curve.least_span() - (most - least)).max(0.08 * (most - least)) / 2.0;
        let unit_mm = if curve.is_angle() { 1.0 } else { length_in_mm };
        let frame = Frame { foot, x: across, y: (least - spare, most + spare) };
        frame.draw(&mut d, curve, (length_in_mm, unit_mm), unit, row + 1 == EdgeCurve::ALL.len());
        for (shape, standing) in both() {
            for piece in pieces(shape, curve, Over::Along) {
                let mut line = Drawing::new();
                let points: Vec<[f64; 2]> = piece.into_iter().map(|p| frame.place(p)).collect();
                if points.len() > 1 {
                    line.add(Role::Gauge, Part::Edge, Geometry::Line(points));
                    d.overlay(line.standing(standing));
                }
            }
        }
    }
    d
}

/// Where a chart lies on the paper and what it spans.
struct Frame {
    foot: f64,
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn place(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let fraction = |v: f64, (from, to): (f64, f64)| (v - from) / (to - from).max(1e-9);
        [fraction(x, self.x) * CHART.x, self.foot + fraction(y, self.y) * CHART.y]
    }

    /// Grid, figures and name. Figures are in the unit that so many millimetres make one of.
    fn draw(&self, d: &mut Drawing, curve: EdgeCurve, (x_mm, y_mm): (f64, f64), unit: &str, last: bool) {
        let (low, high) = (self.foot, self.foot + CHART.y);
        d.add(
            Role::Dimension,
            None,
            Geometry::Line(vec![[0.0, low], [CHART.x, low], [CHART.x, high], [0.0, high], [0.0, low]]),
        );
        let step = round_increment((self.y.1 - self.y.0) / y_mm / 4.5);
        for value in multiples(step, self.y.0 / y_mm, self.y.1 / y_mm) {
            let [_, y] = self.place([0.0, value * y_mm]);
            d.add(Role::Construction, None, segment([0.0, y], [CHART.x, y]));
            let figure =
                if curve.is_angle() { format!("{}°", figure(value, step)) } else { figure(value, step) };
            d.add(Role::Dimension, None, text([-1.5, y], figure, Align::End, TextSize::Small));
        }
        let step = round_increment((self.x.1 - self.x.0) / x_mm / 9.0);
        for value in multiples(step, self.x.0 / x_mm, self.x.1 / x_mm) {
            let [x, _] = self.place([value * x_mm, 0.0]);
            d.add(Role::Construction, None, segment([x, low], [x, high]));
            if last {
                let at = [x, low - 2.6];
                d.add(Role::Dimension, None, text(at, figure(value, step), Align::Middle, TextSize::Small));
            }
        }
        let name =
            if curve.is_angle() { curve.name().to_owned() } else { format!("{}, {unit}", curve.name()) };
        d.add(Role::Dimension, None, text([0.0, high + 2.2], name, Align::Start, TextSize::Normal));
        if last {
            let words = format!("{unit} along the edge from the nose, as seen from the handle");
            d.add(Role::Dimension, None, text([CHART.x, low - 7.0], words, Align::End, TextSize::Small));
        }
    }
}

/// A figure with as many decimals as its step needs, and a real minus sign.
fn figure(value: f64, step: f64) -> String {
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let value = if value.abs() < step * 1e-6 { 0.0 } else { value };
    format!("{value:.decimals$}").replace('-', "−")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{answer::swept::swept, saved::library::demo_bench};

    fn shape(name: &str) -> Swept {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named(name).unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        swept(&job, &view, entry.swing.as_ref(), 201).unwrap()
    }

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    fn points_of(d: &Drawing, role: Role) -> Vec<[f64; 2]> {
        d.shapes
            .iter()
            .filter(|shape| shape.role == role)
            .filter_map(|shape| match &shape.geometry {
                Geometry::Line(points) | Geometry::Outline(points) => Some(points.clone()),
                _ => None,
            })
            .flatten()
            .collect()
    }

    fn says(d: &Drawing, words: &str) -> bool {
        d.shapes.iter().any(|s| matches!(&s.geometry, Geometry::Text { text, .. } if text == words))
    }

    #[test]
    fn the_edge_lies_within_the_tool_in_both_views() {
        let shape = shape("Swept, keeping wheel");
        for d in [tip_side_view(&shape, &mm), tip_plan_view(&shape, &mm)] {
            let tool = points_of(&d, Role::Tool);
            let edge = points_of(&d, Role::Edge);
            assert!(edge.len() > 50);
            for axis in 0..2 {
                let ((low, high), (least, most)) = (span(&tool, axis), span(&edge, axis));
                assert!(least > low - 0.05 && most < high + 0.05, "{axis}: {low} {least} {most} {high}");
            }
        }
    }

    #[test]
    fn dimensions_say_what_the_summary_says() {
        let shape = shape("Swept, keeping wheel");
        let sweep = format!("wing sweep {}", mm(shape.summary().wing_sweep_mm()));
        assert!(says(&tip_side_view(&shape, &mm), &sweep));
        assert!(says(&tip_plan_view(&shape, &mm), &sweep));
        let radius = format!("nose radius {}", mm(shape.summary().nose_radius_mm.unwrap()));
        assert!(says(&tip_plan_view(&shape, &mm), &radius));
        assert!(says(&tip_side_view(&shape, &mm), "50.0°"), "the bevel at the nose");
    }

    #[test]
    fn every_kind_of_tool_has_its_drawings() {
        for name in ["Both faces", "Parting, both faces", "Round nose, burr", "Negative rake, lower bevel"] {
            let shape = shape(name);
            for d in
                [tip_side_view(&shape, &mm), tip_plan_view(&shape, &mm), curves_view(&shape, None, 1.0, "mm")]
            {
                let bounds = d.bounds().unwrap();
                assert!(bounds.width() > 10.0 && bounds.height() > 2.0, "{name}");
                assert!(bounds.width().is_finite() && bounds.height().is_finite());
            }
        }
    }

    #[test]
    fn charts_hold_their_curves_and_the_second_one_is_dashed() {
        let (one, other) = (shape("Long grind, 85 mm"), shape("Short grind, 60 mm"));
        let d = curves_view(&one, Some(&other), 1.0, "mm");
        let curves: Vec<_> = d.shapes.iter().filter(|s| s.role == Role::Gauge).collect();
        assert_eq!(curves.iter().filter(|s| s.standing == Standing::Solid).count(), 4);
        assert_eq!(curves.iter().filter(|s| s.standing == Standing::Second).count(), 4);
        for (i, shape) in curves.iter().enumerate() {
            let foot = -((i / 2) as f64) * (CHART.y + BETWEEN);
            let Geometry::Line(points) = &shape.geometry else { panic!("a line") };
            for p in points {
                assert!((-1e-9..=CHART.x + 1e-9).contains(&p[0]));
                assert!((foot - 1e-9..=foot + CHART.y + 1e-9).contains(&p[1]), "{i}: {p:?}");
            }
        }
    }

    #[test]
    fn charts_in_inches_carry_inches() {
        let d = curves_view(&shape("Long grind, 85 mm"), None, 25.4, "in");
        assert!(says(&d, "Setback, in"));
        assert!(says(&d, "0.2"), "a fifth of an inch along the edge");
    }
}
