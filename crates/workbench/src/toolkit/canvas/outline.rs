//! Shapes as chains of points on the screen: circles and arcs fine enough to look round, lines cut off where they leave
//! the picture, dashes that run on across corners.

use bevelbench_notebook::drawing::{Geometry, Point};
use egui::{Pos2, Rect, Vec2};

use crate::toolkit::view::View;

/// How far a chord may lie from its circle, in points of the screen.
const CHORD_ERROR: f32 = 0.08;
/// Most pieces of a full circle.
const PIECES_MOST: f32 = 4096.0;

/// Farthest from the screen's corner that a point may lie, in points: a wheel at the strongest zoom stays well inside.
const FARTHEST: f32 = 1e6;

/// A chain of points on the screen.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Chain {
    /// The points.
    pub(super) points: Vec<Pos2>,
    /// Whether the last point joins the first.
    pub(super) closed: bool,
}

/// The chain of a geometry; `None` for marks, texts and anything with a number that is not finite.
pub(super) fn chain(geometry: &Geometry, view: &View) -> Option<Chain> {
    let chain = match geometry {
        Geometry::Line(points) => Chain { points: on_screen(points, view), closed: false },
        Geometry::Outline(points) => Chain { points: on_screen(points, view), closed: true },
        Geometry::Circle { centre, radius } => {
            let pieces = pieces(view.points(*radius), std::f32::consts::TAU);
            Chain {
                points: arc(view, *centre, *radius, 0.0, std::f64::consts::TAU, pieces, pieces),
                closed: true,
            }
        }
        Geometry::Arc { centre, radius, start, sweep } => {
            let pieces = pieces(view.points(*radius), sweep.radians() as f32);
            let points = arc(view, *centre, *radius, start.radians(), sweep.radians(), pieces, pieces + 1);
            Chain { points, closed: false }
        }
        Geometry::Mark { .. } | Geometry::Text { .. } => return None,
    };
    settled(chain)
}

/// The chain without points that fall together (they have no direction and would spoil a corner); `None` if fewer than two
/// points are left or a number is too large to draw with.
fn settled(mut chain: Chain) -> Option<Chain> {
    if chain.points.iter().any(|p| !p.is_finite() || p.x.abs() > FARTHEST || p.y.abs() > FARTHEST) {
        return None;
    }
    let together = |a: Pos2, b: Pos2| (a - b).length_sq() < 1e-6;
    chain.points.dedup_by(|a, b| together(*a, *b));
    while chain.closed
        && chain.points.len() > 1
        && together(chain.points[0], chain.points[chain.points.len() - 1])
    {
        chain.points.pop();
    }
    (chain.points.len() > 1).then_some(chain)
}

fn on_screen(points: &[Point], view: &View) -> Vec<Pos2> {
    points.iter().map(|p| view.screen_from_bench(*p)).collect()
}

/// Into how many straight pieces an arc is cut.
fn pieces(radius: f32, sweep: f32) -> u32 {
    let step = 2.0 * (2.0 * CHORD_ERROR / radius.abs().max(CHORD_ERROR * 2.0)).sqrt();
    let count = (sweep.abs() / step).ceil();
    if count.is_finite() { count.clamp(6.0, PIECES_MOST) as u32 } else { 6 }
}

fn arc(
    view: &View,
    centre: Point,
    radius: f64,
    start: f64,
    sweep: f64,
    pieces: u32,
    count: u32,
) -> Vec<Pos2> {
    (0..count)
        .map(|i| {
            let (sin, cos) = (start + sweep * f64::from(i) / f64::from(pieces)).sin_cos();
            view.screen_from_bench([centre[0] + radius * cos, centre[1] + radius * sin])
        })
        .collect()
}

/// The part of a segment inside a rectangle, as fractions of its length.
///
/// # Source
/// Liang and Barsky 1984, the parametric form of line clipping.
pub(super) fn clipped(from: Pos2, to: Pos2, rect: Rect) -> Option<(f32, f32)> {
    let d = to - from;
    let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
    let sides = [
        (-d.x, from.x - rect.left()),
        (d.x, rect.right() - from.x),
        (-d.y, from.y - rect.top()),
        (d.y, rect.bottom() - from.y),
    ];
    for (p, q) in sides {
        if p.abs() < f32::EPSILON {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            enter = enter.max(q / p);
        } else {
            leave = leave.min(q / p);
        }
    }
    (enter < leave).then_some((enter, leave))
}

/// The dashes of a chain inside a rectangle: short open chains that bend with it. The pattern is counted from the
/// chain's beginning, so it does not crawl when the picture is moved.
pub(super) fn dashes(chain: &Chain, on: f32, off: f32, rect: Rect, mut each: impl FnMut(Vec<Pos2>)) {
    let period = (on + off).max(0.5);
    let on = on.clamp(0.25, period);
    let mut travelled = 0.0_f32;
    let mut dash: Vec<Pos2> = Vec::new();
    let count = chain.points.len();
    let segments = if chain.closed { count } else { count - 1 };
    for i in 0..segments {
        let (from, to) = (chain.points[i], chain.points[(i + 1) % count]);
        let length = (to - from).length();
        let Some((enter, leave)) = clipped(from, to, rect) else {
            finish(&mut dash, &mut each);
            travelled = (travelled + length) % period;
            continue;
        };
        let along = |s: f32| from + (to - from) * (s / length.max(1e-6));
        let (mut at, end) = (enter * length, leave * length);
        // Two changes a period at most; the cap guards against rounding that never arrives.
        for _ in 0..(2.0 * (end - at) / period).ceil() as usize + 4 {
            let phase = (travelled + at) % period;
            let drawing = phase < on - 1e-4;
            let until = (at + if drawing { on - phase } else { period - phase }.max(1e-3)).min(end);
            if drawing {
                if dash.is_empty() {
                    dash.push(along(at));
                }
                dash.push(along(until));
                if until < end {
                    finish(&mut dash, &mut each);
                }
            } else {
                finish(&mut dash, &mut each);
            }
            at = until;
            if at >= end {
                break;
            }
        }
        if leave < 1.0 {
            finish(&mut dash, &mut each);
        }
        travelled = (travelled + length) % period;
    }
    finish(&mut dash, &mut each);
}

fn finish(dash: &mut Vec<Pos2>, each: &mut impl FnMut(Vec<Pos2>)) {
    if dash.len() > 1 {
        each(std::mem::take(dash));
    }
    dash.clear();
}

/// Lines at 45° across a closed chain, as section hatching is drawn: pieces inside the outline by the even-odd rule.
pub(super) fn hatching(chain: &Chain, spacing: f32, rect: Rect, mut each: impl FnMut([Pos2; 2])) {
    let across = Vec2::new(1.0, 1.0).normalized();
    let along = Vec2::new(1.0, -1.0).normalized();
    let bounds = Rect::from_points(&chain.points).intersect(rect);
    if !bounds.is_positive() || !chain.closed || spacing < 1.0 {
        return;
    }
    let offsets = [bounds.left_top(), bounds.right_top(), bounds.left_bottom(), bounds.right_bottom()]
        .map(|p| p.to_vec2().dot(across));
    let (least, most) =
        offsets.iter().fold((f32::INFINITY, f32::NEG_INFINITY), |(a, b), o| (a.min(*o), b.max(*o)));
    let mut crossings: Vec<f32> = Vec::new();
    for line in (least / spacing).ceil() as i64..=(most / spacing).floor() as i64 {
        let offset = line as f32 * spacing;
        crossings.clear();
        for (i, from) in chain.points.iter().enumerate() {
            let to = chain.points[(i + 1) % chain.points.len()];
            let (a, b) = (from.to_vec2().dot(across) - offset, to.to_vec2().dot(across) - offset);
            if (a < 0.0) != (b < 0.0) {
                let fraction = a / (a - b);
                crossings.push((from.to_vec2() + (to - *from) * fraction).dot(along));
            }
        }
        crossings.sort_by(f32::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let [a, b] = [pair[0], pair[1]].map(|s| (across * offset + along * s).to_pos2());
            if let Some((enter, leave)) = clipped(a, b, rect) {
                each([a + (b - a) * enter, a + (b - a) * leave]);
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use bevelbench_geometry::math::Angle;
    use egui::pos2;

    use super::*;

    fn view() -> View {
        View::new(Rect::from_min_size(Pos2::ZERO, Vec2::new(800.0, 600.0)), [0.0, 0.0], 2.0)
    }

    fn everywhere() -> Rect {
        Rect::from_min_max(pos2(-1e4, -1e4), pos2(1e4, 1e4))
    }

    #[test]
    fn a_circle_is_round_to_a_tenth_of_a_point_at_any_zoom() {
        for scale in [0.5, 2.0, 60.0] {
            let view = View::new(view().rect, [0.0, 0.0], scale);
            let round = chain(&Geometry::Circle { centre: [0.0, 0.0], radius: 75.0 }, &view).unwrap();
            let middle = view.screen_from_bench([0.0, 0.0]);
            let radius = view.points(75.0);
            let worst = (0..round.points.len())
                .map(|i| {
                    let (a, b) = (round.points[i], round.points[(i + 1) % round.points.len()]);
                    radius - (a.lerp(b, 0.5) - middle).length()
                })
                .fold(0.0, f32::max);
            assert!(worst < 0.1, "{scale}: {worst}");
        }
    }

    #[test]
    fn an_arc_runs_from_its_start_through_its_sweep() {
        let (start, sweep) = (Angle::from_degrees(30.0), Angle::from_degrees(-60.0));
        let arc = chain(&Geometry::Arc { centre: [0.0, 0.0], radius: 50.0, start, sweep }, &view()).unwrap();
        let at = |degrees: f64| {
            let angle = Angle::from_degrees(degrees);
            view().screen_from_bench([50.0 * angle.cos(), 50.0 * angle.sin()])
        };
        assert!((*arc.points.first().unwrap() - at(30.0)).length() < 0.01);
        assert!((*arc.points.last().unwrap() - at(-30.0)).length() < 0.01);
    }

    #[test]
    fn dashes_cover_the_intended_fraction_of_a_bent_line() {
        let bent = Chain { points: vec![pos2(0.0, 0.0), pos2(105.0, 0.0), pos2(105.0, 95.0)], closed: false };
        let mut drawn = 0.0;
        dashes(&bent, 6.0, 4.0, everywhere(), |dash| {
            drawn += dash.windows(2).map(|p| (p[1] - p[0]).length()).sum::<f32>();
        });
        assert!((drawn - 120.0).abs() < 0.1, "20 periods of 6 on: {drawn}");
    }

    #[test]
    fn dashes_outside_the_picture_cost_nothing() {
        let long = Chain { points: vec![pos2(-1e7, 50.0), pos2(1e7, 50.0)], closed: false };
        let mut count = 0;
        dashes(&long, 6.0, 4.0, view().rect, |_| count += 1);
        assert!((70..=90).contains(&count), "800 points at 10 a period: {count}");
    }

    #[test]
    fn hatching_stays_inside_a_concave_outline() {
        // A C: its mouth must stay clear.
        let c = [
            (0.0, 0.0),
            (90.0, 0.0),
            (90.0, 30.0),
            (30.0, 30.0),
            (30.0, 60.0),
            (90.0, 60.0),
            (90.0, 90.0),
            (0.0, 90.0),
        ];
        let c = Chain { points: c.iter().map(|p| pos2(p.0, p.1)).collect(), closed: true };
        let mut lines = 0;
        hatching(&c, 5.0, everywhere(), |[a, b]| {
            lines += 1;
            let middle = a.lerp(b, 0.5);
            assert!(!Rect::from_min_max(pos2(30.5, 30.5), pos2(90.0, 59.5)).contains(middle), "{middle:?}");
        });
        assert!(lines > 20);
    }

    #[test]
    fn shapes_that_are_not_finite_are_left_out() {
        assert_eq!(chain(&Geometry::Line(vec![[0.0, f64::NAN], [1.0, 1.0]]), &view()), None);
        assert_eq!(chain(&Geometry::Circle { centre: [0.0, 0.0], radius: f64::INFINITY }, &view()), None);
    }
}
