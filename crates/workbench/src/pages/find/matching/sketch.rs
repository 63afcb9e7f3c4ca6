//! Where the measurements of a facet are taken: the tip from the side, with the one under the hand drawn strongly.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    parts::{Hollow, PresentFacet},
};
use bevelbench_notebook::drawing::{Bounds, Drawing, Geometry, Point, Role, segment};

use bevelbench_notebook::drawing::sketch::lines::Sketch;
use bevelbench_notebook::drawing::sketch::mark::Mark;
use bevelbench_notebook::quantity::Units;
use bevelbench_notebook::quantity::to_type::length_text;

/// Facet that is drawn while too little is known of the real one.
const WIDTH_MM: f64 = 6.0;
/// Its bevel across.
const ACROSS: Angle = Angle::from_degrees(42.0);
/// How much deeper than real a hollow is drawn at least, as a fraction of the facet's width, so that it can be seen.
const SEEN_HOLLOW: f64 = 0.09;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct SketchValues {
    pub(super) facet: Option<PresentFacet>,
    pub(super) width_mm: Option<f64>,
    pub(super) under_mm: Option<f64>,
    pub(super) protractor_deg: Option<f64>,
    pub(super) template_deg: Option<f64>,
    pub(super) daylight_mm: Option<f64>,
    pub(super) open_at_edge: bool,
    pub(super) hollow_mm: Option<f64>,
    pub(super) pointed: Option<Mark>,
    pub(super) units: Units,
}

fn length_or(value: Option<f64>, name: &str, units: Units) -> String {
    value.map_or_else(|| name.to_owned(), |mm| length_text(mm, units))
}

/// The tip from the side: the edge at the left, the handle to the right.
pub(super) fn from_the_side(shown: &SketchValues) -> (Drawing, Bounds) {
    let units = shown.units;
    let width = shown
        .facet
        .map(|facet| facet.width_mm())
        .or(shown.width_mm)
        .filter(|mm| mm.is_finite() && *mm > 0.05 && *mm < 500.0)
        .unwrap_or(WIDTH_MM);
    let across = shown.facet.map_or(ACROSS, |facet| facet.across());
    let (sin, cos) = across.sin_cos();
    let (edge, heel): (Point, Point) = ([0.0, 0.0], [width * cos, -width * sin]);
    let tall = -heel[1];
    let back = heel[0].max(0.0) + width * 0.9;
    let step = width * 0.14;
    let extent = Bounds { min: [heel[0].min(0.0) - width * 0.45, -tall], max: [back, tall * 0.45] };
    let mut s = Sketch::new(extent, step, shown.pointed);

    // The hollow, deeper than real where it would not be seen.
    let flat = shown.facet.is_some_and(|facet| facet.hollow() == Hollow::Flat);
    let real = shown.facet.map_or(0.0, |facet| match facet.hollow() {
        Hollow::Arc { radius_mm } => radius_mm * (1.0 - facet.half_turn().cos()),
        Hollow::Flat => 0.0,
    });
    let deep = if flat { 0.0 } else { real.max(SEEN_HOLLOW * width) };
    let at = |fraction: f64| {
        let dip = 4.0 * fraction * (1.0 - fraction) * deep;
        [heel[0] * fraction + sin * dip, heel[1] * fraction + cos * dip]
    };
    let facet: Vec<Point> = (0..=32).map(|i| at(f64::from(i) / 32.0)).collect();
    let mut outline = vec![edge, [back, 0.0], [back, heel[1]]];
    outline.extend(facet.iter().rev().take(32));
    s.add(Role::Tool, Geometry::Outline(outline));
    s.add(Role::FacetPresent, Geometry::Line(facet));
    s.word(Role::Edge, [-step * 0.9, step * 0.9], "edge");
    s.word(Role::Heel, [heel[0] + step * 0.4, heel[1] - step * 1.1], "heel");

    s.distance(
        Mark::Of(Quantity::FacetWidth),
        edge,
        heel,
        -2.0,
        length_or(shown.width_mm, "facet", units),
        true,
    );
    s.distance(
        Mark::Of(Quantity::BladeThickness),
        [heel[0].min(0.0), 0.0],
        [heel[0].min(0.0), heel[1]],
        -2.2,
        length_or(shown.under_mm, "steel under the edge", units),
        shown.under_mm.is_some(),
    );
    if shown.protractor_deg.is_some() || s.shows(Mark::Of(Quantity::BevelAcross)) {
        let text = shown.protractor_deg.map_or_else(|| "protractor".to_owned(), |deg| units.angle(deg));
        s.angle(Mark::Of(Quantity::BevelAcross), edge, width * 0.8, Angle::ZERO, -across, text, true);
        // What a protractor's blade lies on.
        s.add(Role::Construction, segment(edge, heel));
    }
    template(&mut s, shown, (edge, heel), (across, width));
    if shown.hollow_mm.is_some() || s.shows(Mark::Hollow) {
        s.add(Role::Construction, segment(edge, heel));
        let (on_chord, on_arc) = ([heel[0] / 2.0, heel[1] / 2.0], at(0.5));
        s.add(Role::Gap, segment(on_chord, on_arc));
        let text = shown.hollow_mm.map_or_else(|| "hollow".to_owned(), |mm| units.fine(mm));
        let beyond = [on_arc[0] + sin * step * 1.6, on_arc[1] + cos * step * 1.6];
        s.word(Role::Gap, beyond, &text);
    }
    let room = s.room;
    (s.drawing, room)
}

/// The template, and the light under it.
fn template(
    s: &mut Sketch,
    shown: &SketchValues,
    (edge, heel): (Point, Point),
    (across, width): (Angle, f64),
) {
    if shown.template_deg.is_none() && !s.shows(Mark::Template) && !s.shows(Mark::Daylight) {
        return;
    }
    // Drawn with more light under it than there is, so that it is seen where.
    let open = Angle::from_degrees(if shown.daylight_mm == Some(0.0) { 0.0 } else { 7.0 });
    let (hinge, slope) = if shown.open_at_edge { (heel, across - open) } else { (edge, across + open) };
    let (sin, cos) = slope.sin_cos();
    let along = |by: f64| [hinge[0] + cos * by, hinge[1] - sin * by];
    let (from, to) = if shown.open_at_edge {
        (along(-1.12 * width), along(0.15 * width))
    } else {
        (along(-0.12 * width), along(1.15 * width))
    };
    s.add(Role::Limit, segment(from, to));
    let text = shown
        .template_deg
        .map_or_else(|| "template".to_owned(), |deg| format!("template {}", shown.units.angle(deg)));
    let side = s.step() * 1.5;
    let word_at = if shown.open_at_edge { along(-1.18 * width) } else { along(1.22 * width) };
    s.word(
        if s.shows(Mark::Template) { Role::Gauge } else { Role::Limit },
        [word_at[0], word_at[1] - side * 0.4],
        &text,
    );
    let open_end = if shown.open_at_edge { edge } else { heel };
    let foot = if shown.open_at_edge { along(-width) } else { along(width) };
    s.add(Role::Gap, segment(open_end, foot));
    if let Some(mm) = shown.daylight_mm {
        s.word(
            if s.shows(Mark::Daylight) { Role::Gauge } else { Role::Gap },
            [foot[0] - side * 1.5, foot[1]],
            &format!("light {}", shown.units.fine(mm)),
        );
    }
}
