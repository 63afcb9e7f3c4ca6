//! From the bevel that is meant, at the edge, across the facet or included, to the target as the geometry takes it.

use std::{error::Error, fmt};

use bevelbench_geometry::{
    math::Angle,
    parts::{Presentation, along_tool, square_to_edge},
    side::{Job, SideView, Target},
};

use crate::saved::target::{BevelMeant, TargetSaved};

/// Why no bevel of a tool makes an included angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoIncluded {
    /// The tool is ground on one face only.
    OneFace,
    /// The other face alone has as much.
    OtherFaceTakesAll {
        /// The included angle.
        included: Angle,
        /// The other face's bevel, square to the edge.
        other: Angle,
    },
}

impl fmt::Display for NoIncluded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OneFace => f.write_str("ground on one face only"),
            Self::OtherFaceTakesAll { included, other } => {
                write!(f, "included {}°, the other face alone {}°", included.degrees(), other.degrees())
            }
        }
    }
}

impl Error for NoIncluded {}

impl BevelMeant {
    /// A bevel that is meant so, for the tool of a job. Of an included angle a tool with equal bevels has half on each
    /// face; where the other face has a bevel of its own, that one stays and this face has the rest.
    ///
    /// # Errors
    /// [`NoIncluded`], for an included angle.
    pub fn target(self, bevel: Angle, job: &Job) -> Result<Target, NoIncluded> {
        match self {
            Self::AtEdge => Ok(Target::AtEdge(bevel)),
            Self::AcrossFacet => Ok(Target::AcrossFacet(bevel)),
            Self::Included => {
                let square = job.tool.blank().bevel_of_included(bevel).ok_or(NoIncluded::OneFace)?;
                if square <= Angle::ZERO {
                    return Err(NoIncluded::OtherFaceTakesAll { included: bevel, other: bevel - square });
                }
                Ok(Target::AtEdge(match job.setting.presentation {
                    Presentation::EdgeParallelToSpindle => square,
                    Presentation::AxisInSidePlane => along_tool(square, job.setting.obliquity),
                }))
            }
        }
    }

    /// The angle meant so that is ground: the way back of [`BevelMeant::target`].
    ///
    /// # Errors
    /// [`NoIncluded::OneFace`], for an included angle.
    pub fn ground(self, job: &Job, view: &SideView) -> Result<Angle, NoIncluded> {
        match self {
            Self::AtEdge => Ok(view.facet.at_edge),
            Self::AcrossFacet => Ok(view.facet.across),
            Self::Included => included(job, view.facet.at_edge).ok_or(NoIncluded::OneFace),
        }
    }
}

/// The bevel along the tool and the one square to the edge; `None` for a straight edge, which has only one.
#[must_use]
pub fn both_bevels(job: &Job, at_edge: Angle) -> Option<(Angle, Angle)> {
    let obliquity = job.setting.obliquity;
    (obliquity < Angle::QUARTER).then(|| match job.setting.presentation {
        Presentation::EdgeParallelToSpindle => (along_tool(at_edge, obliquity), at_edge),
        Presentation::AxisInSidePlane => (at_edge, square_to_edge(at_edge, obliquity)),
    })
}

/// Both bevels together, square to the edge, for a bevel in the side plane; `None` for a tool ground on one face.
#[must_use]
pub fn included(job: &Job, at_edge: Angle) -> Option<Angle> {
    let square = both_bevels(job, at_edge).map_or(at_edge, |(_, square)| square);
    job.tool.blank().included(square)
}

impl TargetSaved {
    /// The bevel as the geometry takes it.
    ///
    /// # Errors
    /// [`NoIncluded`], for an included angle.
    pub fn bevel(&self, job: &Job) -> Result<Target, NoIncluded> {
        self.meant.target(Angle::from_degrees(self.bevel_deg), job)
    }

    /// The same target, its angle meant in another way. Between the edge and both faces together the angle is turned
    /// into the other's; from across the facet to both faces it becomes what is ground now.
    #[must_use]
    pub fn meant_as(self, meant: BevelMeant, job: &Job, view: Option<&SideView>) -> Self {
        let plain = Self { meant, ..self };
        let turned = match (self.meant, meant) {
            (BevelMeant::AtEdge, BevelMeant::Included) => included(job, Angle::from_degrees(self.bevel_deg)),
            (BevelMeant::Included, BevelMeant::AtEdge) => match self.bevel(job) {
                Ok(Target::AtEdge(bevel)) => Some(bevel),
                _ => None,
            },
            (BevelMeant::AcrossFacet, BevelMeant::Included)
            | (BevelMeant::Included, BevelMeant::AcrossFacet) => {
                view.and_then(|view| meant.ground(job, view).ok())
            }
            _ => None,
        };
        match turned {
            // Nobody reads a millionth of a degree, and a round angle stays round.
            Some(angle) => Self { bevel_deg: (angle.degrees() * 1e6).round() / 1e6, ..plain },
            None => plain,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::{bench::Unanswered, finding::BevelQuery, wear::found_again},
        saved::{
            bench::Bench,
            library::demo_bench,
            setting::PresentationSaved,
            tool::{BevelsSaved, BlankSaved, EdgeSaved},
        },
    };

    const SKEW: &str = "Student: skew on the table";

    /// The demo's skew with these bevels, so presented, asked for an included angle.
    fn asked(bevels: BevelsSaved, presentation: PresentationSaved, included_deg: f64) -> Bench {
        let mut bench = demo_bench().unwrap();
        let entry = bench.settings.iter_mut().find(|entry| entry.name == SKEW).unwrap();
        entry.presentation = presentation;
        let meant = BevelMeant::Included;
        entry.target = Some(TargetSaved { bevel_deg: included_deg, meant, wing: None });
        let tool = entry.tool;
        let tool = bench.tools.iter_mut().find(|each| each.id == tool).unwrap();
        tool.present_facet = None;
        let BlankSaved::Flat(flat) = &mut tool.blank else { panic!("flat") };
        let EdgeSaved::Skew { obliquity_deg, edge_radius_mm, .. } = flat.edge else { panic!("a skew") };
        flat.edge = EdgeSaved::Skew { obliquity_deg: obliquity_deg.min(70.0), edge_radius_mm, bevels };
        bench
    }

    // Derived here: the wedge between two planes through the edge, from their normals. The edge runs along
    // (cos σ, sin σ, 0) in the plane of the blade; a face ground to β in the side plane holds (cos β, 0, −sin β).
    fn wedge_deg(side_plane: Angle, sigma: Angle, presentation: PresentationSaved, other_square: f64) -> f64 {
        let (sin, cos) = sigma.sin_cos();
        let edge = vector(cos, sin, 0.0);
        let (sin_b, cos_b) = side_plane.sin_cos();
        let along = match presentation {
            PresentationSaved::AxisInSidePlane => vector(cos_b, 0.0, -sin_b),
            PresentationSaved::EdgeParallelToSpindle => vector(sin * cos_b, -cos * cos_b, -sin_b),
        };
        let inwards = along - edge * along.dot(edge);
        let inwards = inwards / inwards.length();
        let (sin_o, cos_o) = Angle::from_degrees(other_square).sin_cos();
        let other = vector(sin * cos_o, -cos * cos_o, sin_o);
        inwards.dot(other).acos().to_degrees()
    }

    fn vector(x: f64, y: f64, z: f64) -> bevelbench_geometry::DVec3 {
        bevelbench_geometry::DVec3::new(x, y, z)
    }

    #[test]
    fn an_included_target_gives_that_wedge_between_both_faces_however_the_edge_is_presented() {
        let other_deg = 17.0;
        let unlike = BevelsSaved::Unlike { other_deg, edge_height_mm: 0.5 };
        for presentation in [PresentationSaved::EdgeParallelToSpindle, PresentationSaved::AxisInSidePlane] {
            for (bevels, included) in [(BevelsSaved::Alike, 40.0), (BevelsSaved::Alike, 50.0), (unlike, 40.0)]
            {
                let bench = asked(bevels, presentation, included);
                let entry = bench.setting_named(SKEW).unwrap();
                let found = found_again(&bench, entry).unwrap();
                let (job, view) = bench.answer(&found).unwrap();
                let other = if bevels == BevelsSaved::Alike { included / 2.0 } else { other_deg };
                let wedge = wedge_deg(view.bevel(), job.setting.obliquity, presentation, other);
                assert!((wedge - included).abs() < 1e-6, "{presentation:?} {bevels:?}: {wedge}");
                let ground = BevelMeant::Included.ground(&job, &view).unwrap();
                assert!((ground.degrees() - included).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_tool_ground_on_one_face_has_no_included_angle_to_ask_for() {
        let bench = asked(BevelsSaved::One, PresentationSaved::default(), 40.0);
        let entry = bench.setting_named(SKEW).unwrap();
        let refused = BevelQuery::for_target(&bench, entry, &entry.target.unwrap()).unwrap_err();
        assert_eq!(refused, Unanswered::NoIncluded(NoIncluded::OneFace).into());
    }

    #[test]
    fn the_other_face_cannot_take_the_whole_of_it() {
        let unlike = BevelsSaved::Unlike { other_deg: 25.0, edge_height_mm: 0.5 };
        let bench = asked(unlike, PresentationSaved::default(), 20.0);
        let entry = bench.setting_named(SKEW).unwrap();
        let job = bench.job_of(entry).unwrap();
        let Err(NoIncluded::OtherFaceTakesAll { included, other }) = entry.target.unwrap().bevel(&job) else {
            panic!("it does");
        };
        assert!((included.degrees() - 20.0).abs() < 1e-9 && (other.degrees() - 25.0).abs() < 1e-9);
    }

    #[test]
    fn twenty_at_the_edge_and_forty_included_are_one_target() {
        let bench = asked(BevelsSaved::Alike, PresentationSaved::default(), 40.0);
        let job = bench.job_of(bench.setting_named(SKEW).unwrap()).unwrap();
        let edge = TargetSaved { bevel_deg: 20.0, meant: BevelMeant::AtEdge, wing: None };
        let both = edge.meant_as(BevelMeant::Included, &job, None);
        assert_eq!((both.bevel_deg, both.meant), (40.0, BevelMeant::Included));
        assert_eq!(both.meant_as(BevelMeant::AtEdge, &job, None), edge);
    }
}
