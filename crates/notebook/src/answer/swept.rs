//! From a setting to the shape it leaves on the tool: edge, numbers, mesh and silhouettes of a swept grind.
//!
//! How the tool was moved follows from what it is: a gouge with a swing is rolled about the roll line through its
//! pivot, a round-nosed tool is turned about the table's normal, everything else is pushed straight across. Tools
//! ground on both broad faces have a second ground face; it is modelled upside down, as a blade of its own above the
//! edge, and turned over for display.

pub(crate) mod movement;
mod plans;

pub use movement::{Movement, NotSwept};

pub(crate) use plans::{Grind, Plans};

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::Blank,
    side::{Job, NoseGone, NotGround, SideView},
    swept::{
        Edge, EdgePoint, EdgeSummary, GrindingFace, Nose, Rolled, Settling, Steel, Tip, TipMesh, edge::Break,
        silhouette,
    },
};

use crate::saved::setting::SwingSaved;

/// The shape a setting leaves on its tool. Tool frame `(s, h, w)`, millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Swept {
    movement: Movement,
    abrasive: GrindingFace,
    tip: Tip,
    other: Option<Tip>,
    points: Vec<EdgePoint>,
    breaks: Vec<Break>,
    nose_gone: Option<NoseGone>,
    not_ground: Option<NotGround>,
    summary: EdgeSummary,
    arc_mm: Vec<f64>,
    rolled_blank: bool,
}

/// The shape that `view`, the answer of `job`, leaves on the tool, its edge in `points` points. `swing` is that of
/// the setting, if it has one.
///
/// # Errors
/// [`NotSwept`].
pub fn swept(
    job: &Job,
    view: &SideView,
    swing: Option<&SwingSaved>,
    points: usize,
) -> Result<Swept, NotSwept> {
    let plans = Plans::of(&Grind::of(job, view, swing))?;
    let edge = Edge::trace(plans.tip.surface(), plans.tip.steel(), points);
    let mut summary =
        EdgeSummary::of(&edge, plans.tip.surface(), plans.tip.steel()).ok_or(NotSwept::NothingGround)?;
    let breaks = edge.breaks().to_vec();
    let mut points: Vec<EdgePoint> = edge.points().to_vec();
    if let Some(other) = &plans.other {
        add_other_bevel(&mut points, other, &mut summary);
        if summary.greatest_wedge >= Angle::HALF {
            return Err(NotSwept::NoWedge { together: summary.greatest_wedge });
        }
    }
    let arc_mm = arcs(&points);
    Ok(Swept {
        movement: plans.movement,
        abrasive: plans.abrasive,
        tip: plans.tip,
        other: plans.other,
        points,
        breaks,
        nose_gone: job.nose_gone(view).filter(|_| summary.nose == Nose::Gone),
        not_ground: job.not_ground(view),
        summary,
        arc_mm,
        rolled_blank: plans.rolled_blank,
    })
}

/// How a gouge is rolled over the wheel, with its steel; `None` for a tool that is not.
///
/// # Errors
/// [`NotSwept`].
pub fn rolled_gouge(
    job: &Job,
    view: &SideView,
    swing: Option<&SwingSaved>,
) -> Result<Option<(Rolled, Steel)>, NotSwept> {
    let (Blank::Bar(bar), Some(swing)) = (job.tool.blank(), swing) else { return Ok(None) };
    let (rolled, _) = Grind::of(job, view, Some(swing)).rolled(swing)?;
    Ok(Some((rolled, Steel::of_bar(bar))))
}

/// How the tool of a job comes to rest on its wheel.
#[must_use]
pub fn settling_of(job: &Job) -> Settling {
    job.setting
        .pivot()
        .map_or(Settling::AlongTable, |(_, pivot_in_tool)| Settling::AboutPivot { pivot_in_tool })
}

/// The wedge of two ground faces that meet in the edge's plane is the sum of both.
fn add_other_bevel(points: &mut [EdgePoint], other: &Tip, summary: &mut EdgeSummary) {
    let half = other.steel().half_width_mm();
    for point in &mut *points {
        if let Some(second) = EdgePoint::at(other.surface(), other.steel(), point.w_mm / half) {
            point.wedge += second.wedge;
        }
    }
    let wedges = points.iter().map(|point| point.wedge.radians());
    let (least, most) = wedges.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), w| (a.min(w), b.max(w)));
    summary.least_wedge = Angle::from_radians(least);
    summary.greatest_wedge = Angle::from_radians(most);
}

/// Distance along the edge from the point nearest the plane of symmetry, negative towards `−w`.
fn arcs(points: &[EdgePoint]) -> Vec<f64> {
    let mut walked = 0.0;
    let mut arcs: Vec<f64> = Vec::with_capacity(points.len());
    for (i, point) in points.iter().enumerate() {
        if i > 0 {
            walked += points[i - 1].position().distance(point.position());
        }
        arcs.push(walked);
    }
    let nose = points
        .iter()
        .zip(&arcs)
        .min_by(|a, b| a.0.w_mm.abs().total_cmp(&b.0.w_mm.abs()))
        .map_or(0.0, |(_, arc)| *arc);
    for arc in &mut arcs {
        *arc -= nose;
    }
    arcs
}

/// How a gouge's cutting edge rises from the nose to the wing top, `(s, h)` in the tool frame, for the side view; empty
/// for other tools and where nothing is swept.
#[must_use]
pub fn wing_in_tool(job: &Job, view: &SideView, swing: Option<&SwingSaved>) -> Vec<DVec2> {
    if !matches!(job.tool.blank(), bevelbench_geometry::parts::Blank::Bar(_)) {
        return Vec::new();
    }
    swept(job, view, swing, 65).map_or_else(|_| Vec::new(), |swept| swept.wing_in_tool())
}

impl Swept {
    /// How the tool was moved.
    #[must_use]
    pub fn movement(&self) -> Movement {
        self.movement
    }

    /// What ground it.
    #[must_use]
    pub fn abrasive(&self) -> GrindingFace {
        self.abrasive
    }

    /// Steel and ground face below the edge.
    #[must_use]
    pub fn tip(&self) -> &Tip {
        &self.tip
    }

    /// Steel and ground face above the edge, **upside down** (`h` is to be read as `−h`), of a tool ground on both
    /// broad faces.
    #[must_use]
    pub fn other_half(&self) -> Option<&Tip> {
        self.other.as_ref()
    }

    /// The edge from the `−w` wing to the `+w` wing; the wedge is that of both ground faces where there are two.
    #[must_use]
    pub fn points(&self) -> &[EdgePoint] {
        &self.points
    }

    /// Distance of each point along the edge from the nose, in millimetres, negative towards `−w`.
    #[must_use]
    pub fn arc_mm(&self) -> &[f64] {
        &self.arc_mm
    }

    /// Where the edge jumps.
    #[must_use]
    pub fn breaks(&self) -> &[Break] {
        &self.breaks
    }

    /// How the rest of the swing cuts the nose off, if it does.
    #[must_use]
    pub fn nose_gone(&self) -> Option<&NoseGone> {
        self.nose_gone.as_ref()
    }

    /// What of the edge the wheel's rim never reaches, if anything.
    #[must_use]
    pub fn not_ground(&self) -> Option<&NotGround> {
        self.not_ground.as_ref()
    }

    /// The edge in a few numbers.
    #[must_use]
    pub fn summary(&self) -> &EdgeSummary {
        &self.summary
    }

    /// How a gouge's cutting edge rises from the nose to the wing top, `(s, h)`; empty for other tools.
    #[must_use]
    pub fn wing_in_tool(&self) -> Vec<DVec2> {
        if !self.rolled_blank {
            return Vec::new();
        }
        let near = self.points.iter().filter(|p| p.w_mm >= -1e-9);
        let mut wing: Vec<DVec2> = near.map(|p| DVec2::new(p.s_mm, p.h_mm)).collect();
        wing.sort_by(|a, b| a.y.total_cmp(&b.y));
        wing
    }

    /// Whether the tool is a gouge.
    #[must_use]
    pub fn is_gouge(&self) -> bool {
        self.rolled_blank
    }

    /// The nose in one word.
    #[must_use]
    pub fn nose_word(&self) -> &'static str {
        match self.summary.nose {
            // The toe of an oblique edge stands ahead of its middle; the edge is straight all the same.
            _ if !self.rolled_blank && matches!(self.movement, Movement::Pushed { .. }) => "straight",
            Nose::Gone => "ground away",
            Nose::Pointed => "pointed",
            Nose::Bulged => "bulged",
            Nose::Rounded if self.summary.nose_radius_mm.is_none() => "straight",
            Nose::Rounded => "rounded",
        }
    }

    /// A length of blade, from the nose station, that shows the whole of the ground face and some steel behind it.
    #[must_use]
    pub fn length_to_show_mm(&self) -> f64 {
        let behind = |most: f64, p: &EdgePoint| most.max(p.s_mm).max(p.heel.x);
        let ground = self.points.iter().fold(0.0, behind);
        (ground + 1.1 * self.tip.steel().half_width_mm().max(4.0)).min(400.0)
    }

    /// Whether the edge jumps between two neighbouring points.
    #[must_use]
    pub fn is_broken_between(&self, one: usize, other: usize) -> bool {
        let (Some(one), Some(other)) = (self.points.get(one), self.points.get(other)) else { return true };
        self.breaks.iter().any(|b| one.w_mm < b.w_mm && b.w_mm <= other.w_mm)
    }

    /// Fills a mesh that is kept, sawn off `length_mm` behind the nose station, to within `accuracy_mm` of the
    /// ground face; the second one holds the half above the edge, upside down, where there is one.
    pub fn fill_meshes(&self, meshes: &mut [TipMesh; 2], length_mm: f64, accuracy_mm: f64) {
        let [below, above] = meshes;
        below.fill(&self.tip, length_mm, accuracy_mm);
        match &self.other {
            Some(tip) => above.fill(tip, length_mm, accuracy_mm),
            None => *above = TipMesh::default(),
        }
    }

    /// Seen from the side: `(s, h)` from the sawn end along the top, round the tip and back along the underside.
    #[must_use]
    pub fn side_outline(&self, length_mm: f64, count: usize) -> Vec<DVec2> {
        let below = silhouette::side_outline(&self.tip, length_mm, count);
        let Some(other) = &self.other else { return below };
        // The half above, turned over, then the half below; both outlines begin and end at the edge's height.
        let mut outline: Vec<DVec2> = silhouette::side_outline(other, length_mm, count)
            .into_iter()
            .rev()
            .map(|p| DVec2::new(p.x, -p.y))
            .collect();
        outline.pop();
        outline.extend(below.into_iter().skip(1));
        outline
    }

    /// Seen from above: `(s, w)` from the sawn end along the `−w` side, round the nose and back along the `+w` side.
    #[must_use]
    pub fn plan_outline(&self, length_mm: f64, count: usize) -> Vec<DVec2> {
        silhouette::plan_outline(&self.tip, length_mm, count)
    }

    /// The point of the edge nearest a place across the tool.
    #[must_use]
    pub fn nearest_to_w(&self, w_mm: f64) -> Option<usize> {
        let gap = |p: &EdgePoint| (p.w_mm - w_mm).abs();
        (0..self.points.len()).min_by(|&a, &b| gap(&self.points[a]).total_cmp(&gap(&self.points[b])))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{library::demo_bench, setting::SettingEntry};
    use approx::assert_relative_eq;
    use bevelbench_geometry::swept::GroundError;

    fn demo(name: &str) -> (Job, SideView, SettingEntry) {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named(name).unwrap().clone();
        let (job, view) = bench.answer(&entry).unwrap();
        (job, view, entry)
    }

    fn demo_swept(name: &str) -> (Swept, SideView) {
        let (job, view, entry) = demo(name);
        (swept(&job, &view, entry.swing.as_ref(), 201).unwrap(), view)
    }

    // Two bevels of more than a right angle each leave no steel between them.
    #[test]
    fn two_bevels_blunter_than_square_have_no_shape() {
        let mut bench = demo_bench().unwrap();
        let mut entry = bench.setting_named("Both faces").unwrap().clone();
        for table in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels).filter_map(|w| w.table.as_mut()) {
            (table.tilt_least_deg, table.tilt_most_deg) = (-89.0, 89.0);
        }
        let mut blunt = 0;
        for tilt in -89..=89 {
            entry.support = crate::saved::setting::SupportSaved::Table { tilt_deg: f64::from(tilt) };
            let Ok((job, view)) = bench.answer(&entry) else { continue };
            let shape = swept(&job, &view, None, 33);
            if view.bevel().degrees() > 91.0 {
                assert!(matches!(shape, Err(NotSwept::NoWedge { .. })), "{tilt}: {shape:?}");
                blunt += 1;
            } else if let Ok(shape) = shape {
                assert!(shape.points().iter().all(|point| point.wedge < Angle::HALF));
            }
        }
        assert!(blunt > 0, "no tilt grinds blunter than square");
    }

    #[test]
    fn every_demo_setting_has_a_shape_or_says_why_not() {
        let bench = demo_bench().unwrap();
        let mut shapes = 0;
        for entry in &bench.settings {
            let (job, view) = bench.answer(entry).unwrap();
            match swept(&job, &view, entry.swing.as_ref(), 201) {
                Ok(shape) => {
                    shapes += 1;
                    assert!(shape.points().len() > 100, "{}", entry.name);
                }
                Err(NotSwept::CurvedObliqueEdge { .. }) => {}
                Err(why) => panic!("{}: {why}", entry.name),
            }
        }
        assert!(shapes > 12);
    }

    #[test]
    fn bevel_and_wedge_at_the_nose_of_a_gouge_are_those_of_the_side_view() {
        // Derived here: where the floor is straight and level, both faces meet at the bevel at the edge.
        for name in ["Long grind, 85 mm", "Straight across, 45°"] {
            let (shape, view) = demo_swept(name);
            let nose = shape.points()[shape.points().len() / 2];
            assert!(nose.w_mm.abs() < 1e-9);
            assert_relative_eq!(nose.bevel_to_axis.degrees(), view.bevel().degrees(), epsilon = 1e-9);
            assert_relative_eq!(nose.wedge.degrees(), view.bevel().degrees(), epsilon = 1e-9);
            assert_relative_eq!(nose.facet_width_mm, view.facet.width_mm, epsilon = 1e-6);
        }
    }

    #[test]
    fn wedge_of_a_tool_ground_on_both_faces_is_the_included_angle() {
        for name in ["Both faces", "Parting, both faces", "Beading, both faces", "Student: skew on the table"]
        {
            let (job, view, entry) = demo(name);
            let shape = swept(&job, &view, entry.swing.as_ref(), 51).unwrap();
            let square = match job.setting.presentation {
                bevelbench_geometry::parts::Presentation::EdgeParallelToSpindle => view.bevel(),
                bevelbench_geometry::parts::Presentation::AxisInSidePlane => {
                    bevelbench_geometry::parts::square_to_edge(view.bevel(), job.setting.obliquity)
                }
            };
            let included = job.tool.blank().included(square).unwrap();
            for point in shape.points() {
                assert_relative_eq!(point.wedge.degrees(), included.degrees(), epsilon = 1e-6);
            }
            assert!(shape.other_half().is_some());
        }
    }

    #[test]
    fn a_round_nosed_scraper_keeps_its_radius_and_its_bevel_all_round() {
        let (shape, view) = demo_swept("Round nose, burr");
        assert_eq!(shape.movement(), Movement::Turned);
        for point in shape.points() {
            assert_relative_eq!(point.wedge.degrees(), view.bevel().degrees(), epsilon = 1e-6);
        }
        assert!(shape.summary().nose_radius_mm.is_some());
    }

    #[test]
    fn a_gouge_that_is_not_rolled_is_pushed_straight_on() {
        let (job, view, _) = demo("Long grind, 85 mm");
        let shape = swept(&job, &view, None, 101).unwrap();
        assert!(matches!(shape.movement(), Movement::Pushed { .. }));
        let nose = shape.points()[shape.nearest_to_w(0.0).unwrap()];
        assert_relative_eq!(nose.bevel_to_axis.degrees(), view.bevel().degrees(), epsilon = 1e-9);
    }

    #[test]
    fn turned_in_its_holder_the_wings_differ() {
        let (job, view, entry) = demo("Long grind, 85 mm");
        let turned = SwingSaved { turn_deg: 5.0, ..entry.swing.unwrap() };
        let shape = swept(&job, &view, Some(&turned), 201).unwrap();
        assert!(shape.summary().wing_difference_mm().abs() > 0.2);
        let straight = swept(&job, &view, entry.swing.as_ref(), 201).unwrap();
        assert!(straight.summary().wing_difference_mm().abs() < 1e-9);
    }

    #[test]
    fn distances_along_the_edge_count_from_the_nose_and_add_up() {
        let (shape, _) = demo_swept("Long grind, 85 mm");
        let arcs = shape.arc_mm();
        assert_relative_eq!(arcs.last().unwrap() - arcs[0], shape.summary().edge_length_mm, epsilon = 1e-9);
        assert_relative_eq!(arcs[arcs.len() / 2], 0.0, epsilon = 1e-12);
        assert!(arcs.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn outlines_close_round_both_halves() {
        let (shape, _) = demo_swept("Parting, both faces");
        let outline = shape.side_outline(40.0, 100);
        let (top, bottom) = outline.iter().fold((f64::MIN, f64::MAX), |(a, b), p| (a.max(p.y), b.min(p.y)));
        assert_relative_eq!(top, -bottom, epsilon = 1e-9);
        let nose = outline.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
        assert!(nose.abs() < 0.05, "{nose}");
    }

    #[test]
    fn a_swing_beyond_half_a_turn_is_refused() {
        let (job, view, _) = demo("Long grind, 85 mm");
        let odd = SwingSaved { half_swing_deg: f64::NAN, ..SwingSaved::default() };
        assert!(matches!(swept(&job, &view, Some(&odd), 11), Err(NotSwept::SwingOutOfRange { .. })));
        let low = SwingSaved { roll_centre_mm: -40.0, ..SwingSaved::default() };
        assert!(matches!(
            swept(&job, &view, Some(&low), 11),
            Err(NotSwept::Ground(GroundError::RollCentreBelowFloor { .. }))
        ));
    }
}
