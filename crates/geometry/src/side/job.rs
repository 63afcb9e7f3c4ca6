//! A whole job: a setting with its wheel, grinder and tool, checked for everything that can stop it.
//!
//! The side-view answer of [`Setting::evaluate`] is only the linkage. A job also refuses a worn-out or
//! overrunning wheel, a holder or strut inside the wheel and a handle through the bench, and it lists what a
//! turner should be told about an answer that stands.

use glam::{DVec2, dvec2};

use crate::{
    math::angle::Angle,
    parts::{
        safety::EXPOSURE_TOP,
        tool::Tool,
        wheel::{Abrasive, Face, Grinder, Wheel, rim_speed_m_s},
    },
    side::{
        linkage::distance_to_segment,
        nose::{HandRoll, NoseGone, NotGround},
        refusal::Refusal,
        setting::{Seat, Setting, SideView, Support},
    },
};

/// Contact this far below the spindle, as a fraction of the radius, is worth a word.
const LOW_CONTACT_FRACTION: f64 = 0.1;
/// Narrowest gap between a work rest and the wheel, in millimetres: a wheel that runs out and a table that gives take up
/// about as much (an assumption of this program, not a rule).
pub const LEAST_REST_GAP_MM: f64 = 0.2;
/// A handle steeper than this is hard to hold steady (an assumption of this program, not a rule).
pub const STEEP_HANDLE: Angle = Angle::from_degrees(60.0);

/// A setting with all that surrounds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Job {
    /// The setting in the side plane.
    pub setting: Setting,
    /// The wheel as it is today.
    pub wheel: Wheel,
    /// The grinder.
    pub grinder: Grinder,
    /// The tool.
    pub tool: Tool,
    /// Widest gap between table and wheel that is kept to, in millimetres; [`WIDEST_REST_GAP_MM`](crate::parts::safety::WIDEST_REST_GAP_MM) where nobody says.
    pub rest_gap_most_mm: f64,
    /// How the tool is rolled or swung by hand, if it is.
    pub roll: Option<HandRoll>,
}

/// What a turner should be told about a setting that has an answer, with its numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Caution {
    /// The rest of the swing cuts the nose off.
    NoseGone(NoseGone),
    /// The wheel never comes to part of the edge.
    EdgeNotGround(NotGround),
    /// Eyes, lungs and guards: always.
    EyesAndLungs,
    /// Rim speed, to be held against the wheel's own marking; `marked` is `None` where it cannot be read.
    RimSpeed {
        /// Rim speed in metres a second.
        rim_speed_m_s: f64,
        /// The marked speed in metres a second.
        marked_m_s: Option<f64>,
    },
    /// The gap at the table, which is to be open and small.
    RestGap {
        /// The gap in millimetres.
        gap_mm: f64,
        /// The widest allowed, in millimetres.
        widest_mm: f64,
    },
    /// No rest is used, so no gap is to be set: the tool hangs on a pivot.
    NoRest,
    /// The contact lies well below the spindle.
    ContactLow {
        /// How far below, in millimetres.
        below_mm: f64,
    },
    /// The contact lies higher than a guard set to the rule leaves open.
    ContactUnderGuard {
        /// Its angle above the horizontal.
        above_horizontal: Angle,
        /// The highest a guard may leave open.
        open_to: Angle,
    },
    /// The contact lies behind the top of the wheel, where the rim runs away from the operator's support.
    ContactBehindTop {
        /// How far behind the top.
        behind: Angle,
    },
    /// The handle is steep.
    HandleSteep {
        /// Its angle below the horizontal.
        handle_angle: Angle,
        /// The steepest that is still held with ease.
        limit: Angle,
    },
    /// The wheel is near its least diameter.
    WheelNearlyWorn {
        /// What is left, in millimetres of diameter.
        left_mm: f64,
    },
    /// Local codes, the maker's markings and trained practice come first: always.
    LocalRules,
}

impl Caution {
    /// A short lower-case name for scripts.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoseGone(_) => "nose_gone",
            Self::EdgeNotGround(_) => "edge_not_ground",
            Self::EyesAndLungs => "eyes_and_lungs",
            Self::RimSpeed { marked_m_s: Some(_), .. } => "rim_speed",
            Self::RimSpeed { marked_m_s: None, .. } => "marking_unread",
            Self::RestGap { gap_mm, widest_mm } => {
                if *gap_mm > *widest_mm {
                    "rest_gap_open"
                } else if *gap_mm < LEAST_REST_GAP_MM {
                    "rest_gap_closed"
                } else {
                    "rest_gap"
                }
            }
            Self::NoRest => "no_rest",
            Self::ContactLow { .. } => "contact_low",
            Self::ContactUnderGuard { .. } => "contact_under_guard",
            Self::ContactBehindTop { .. } => "contact_behind_top",
            Self::HandleSteep { .. } => "handle_steep",
            Self::WheelNearlyWorn { .. } => "wheel_nearly_worn",
            Self::LocalRules => "local_rules",
        }
    }

    /// Whether it asks for something to be changed, rather than reminding.
    #[must_use]
    pub fn is_warning(&self) -> bool {
        match self {
            Self::RestGap { gap_mm, widest_mm } => !(LEAST_REST_GAP_MM..=*widest_mm).contains(gap_mm),
            Self::RimSpeed { marked_m_s, .. } => marked_m_s.is_none(),
            Self::NoseGone(_)
            | Self::EdgeNotGround(_)
            | Self::ContactLow { .. }
            | Self::ContactUnderGuard { .. }
            | Self::ContactBehindTop { .. }
            | Self::HandleSteep { .. }
            | Self::WheelNearlyWorn { .. } => true,
            Self::EyesAndLungs | Self::NoRest | Self::LocalRules => false,
        }
    }
}

impl Caution {
    /// Whether the set-up is not to be used until it is corrected: a gap or a contact beyond a rule, a marking that has
    /// not been read. The other warnings ask for a second look.
    #[must_use]
    pub fn is_unsafe(&self) -> bool {
        match self {
            Self::RestGap { gap_mm, widest_mm } => !(LEAST_REST_GAP_MM..=*widest_mm).contains(gap_mm),
            Self::RimSpeed { marked_m_s, .. } => marked_m_s.is_none(),
            Self::NoseGone(_) | Self::ContactUnderGuard { .. } | Self::ContactBehindTop { .. } => true,
            Self::EdgeNotGround(_)
            | Self::ContactLow { .. }
            | Self::HandleSteep { .. }
            | Self::WheelNearlyWorn { .. }
            | Self::EyesAndLungs
            | Self::NoRest
            | Self::LocalRules => false,
        }
    }
}

impl Job {
    /// The answer, if nothing stops it.
    ///
    /// # Errors
    /// As [`Setting::evaluate`]; and [`Refusal`] for a wheel below its least diameter or over its marked
    /// speed, a projection longer than the blade, a holder or strut inside the wheel, a handle through the
    /// bench.
    pub fn evaluate(&self) -> Result<SideView, Refusal> {
        self.check_wheel()?;
        let view = self.setting.evaluate()?;
        self.check_clear(&view)?;
        Ok(view)
    }

    /// Rim speed in metres a second; a flat abrasive's belt speed is not known from the spindle.
    #[must_use]
    pub fn rim_speed_m_s(&self) -> Option<f64> {
        (self.wheel.spec().abrasive != Abrasive::Flat)
            .then(|| rim_speed_m_s(self.wheel.diameter_mm(), self.grinder.spindle_speed_rpm()))
    }

    /// Refuses a wheel that is not to be run.
    fn check_wheel(&self) -> Result<(), Refusal> {
        if self.wheel.wear_refusal().is_some() {
            return Err(Refusal::WheelWornOut {
                diameter_mm: self.wheel.diameter_mm(),
                least_mm: self.wheel.spec().diameter_least_mm,
            });
        }
        if let (Some(rim_speed_m_s), Some(marked_m_s)) =
            (self.rim_speed_m_s(), self.wheel.spec().marked_speed_m_s)
            && rim_speed_m_s > marked_m_s
        {
            return Err(Refusal::WheelTooFast { rim_speed_m_s, marked_m_s });
        }
        Ok(())
    }

    /// Refuses an answer that runs into something. The holder counts with its body and its strut, the tool
    /// with its axis as far as the handle's end.
    fn check_clear(&self, view: &SideView) -> Result<(), Refusal> {
        if let Support::Holder { holder, projection_mm, .. } = self.setting.support {
            let most_mm = self.tool.blade_length_mm() - holder.spec().body_length_mm;
            if projection_mm > most_mm {
                return Err(Refusal::ProjectionBeyondBlade { projection_mm, most_mm });
            }
            let corners = self.holder_corners_in_bench(view).unwrap_or_default();
            // Its sides are enough: the wheel's centre lies in front of the edge, never within the body.
            let sides = [0, 1, 2, 3].map(|i| self.depth_in_wheel(corners[i], corners[(i + 1) % 4]));
            let inside = sides.into_iter().fold(f64::NEG_INFINITY, f64::max);
            if inside > 0.0 {
                return Err(Refusal::HolderInWheel { by_mm: inside });
            }
            if let Some([hinge, pivot]) = self.strut_in_bench(view) {
                let inside = self.depth_in_wheel(hinge, pivot);
                if inside > 0.0 {
                    return Err(Refusal::StrutInWheel { by_mm: inside });
                }
            }
        }
        let bench_top = -self.grinder.spindle_height_mm();
        let by_mm = bench_top - self.lowest_over_bench(self.tool_axis_in_bench(view));
        if by_mm > 0.0 {
            return Err(Refusal::HandleThroughBench { by_mm });
        }
        Ok(())
    }

    /// Height of the lowest point of a segment behind the bench's front edge; infinite where none is.
    fn lowest_over_bench(&self, [from, to]: [DVec2; 2]) -> f64 {
        let front = self.grinder.bench_front_mm();
        let over = |point: DVec2| if point.x <= front { point.y } else { f64::INFINITY };
        let low = over(from).min(over(to));
        if (from.x <= front) == (to.x <= front) {
            return low;
        }
        // It crosses the front edge's upright.
        let fraction = (front - from.x) / (to.x - from.x);
        low.min(from.lerp(to, fraction).y)
    }

    /// How deep a segment runs inside the abrasive; negative when clear of it.
    fn depth_in_wheel(&self, from: DVec2, to: DVec2) -> f64 {
        match self.setting.face {
            Face::Round { radius_mm } => radius_mm - distance_to_segment(DVec2::ZERO, from, to),
            face @ Face::Flat { .. } => -face.distance_mm(from).min(face.distance_mm(to)),
        }
    }

    /// The tool's axis from the edge's station to the handle's end, in the bench frame.
    #[must_use]
    pub fn tool_axis_in_bench(&self, view: &SideView) -> [DVec2; 2] {
        let length = match self.setting.support {
            Support::Handle { tool_length_mm, .. } => tool_length_mm,
            _ => self.tool.overall_length_mm(),
        } * self.setting.foreshortening();
        [view.bench_from_tool(DVec2::ZERO), view.bench_from_tool(dvec2(length, 0.0))]
    }

    /// The holder's body in the bench frame, front lower corner first, then round; `None` without a holder.
    #[must_use]
    pub fn holder_corners_in_bench(&self, view: &SideView) -> Option<[DVec2; 4]> {
        let Support::Holder { holder, projection_mm, .. } = self.setting.support else { return None };
        let fraction = self.setting.foreshortening();
        let (front, rear) =
            (projection_mm * fraction, (projection_mm + holder.spec().body_length_mm) * fraction);
        let half = holder.spec().body_height_mm / 2.0;
        Some(
            [(front, -half), (rear, -half), (rear, half), (front, half)]
                .map(|(s, h)| view.bench_from_tool(dvec2(s, h))),
        )
    }

    /// The strut from hinge to pivot in the bench frame; `None` without a holder.
    #[must_use]
    pub fn strut_in_bench(&self, view: &SideView) -> Option<[DVec2; 2]> {
        let Support::Holder { holder, projection_mm, .. } = self.setting.support else { return None };
        let Seat::Pivot { in_bench, .. } = view.seat else { return None };
        let mut hinge = holder.hinge_in_tool(projection_mm);
        hinge.x *= self.setting.foreshortening();
        Some([view.bench_from_tool(hinge), in_bench])
    }

    /// What the side view gives to be told: warnings first, reminders after.
    pub(crate) fn cautions_of_side_view(&self, view: &SideView) -> Vec<Caution> {
        let mut reported = Vec::with_capacity(8);
        reported.push(Caution::EyesAndLungs);
        if let Some(rim_speed_m_s) = self.rim_speed_m_s() {
            reported
                .push(Caution::RimSpeed { rim_speed_m_s, marked_m_s: self.wheel.spec().marked_speed_m_s });
        }
        match view.seat {
            Seat::Plane { rest_gap_mm, .. } => {
                reported.push(Caution::RestGap { gap_mm: rest_gap_mm, widest_mm: self.rest_gap_most_mm });
            }
            Seat::Pivot { .. } => reported.push(Caution::NoRest),
        }
        if let Face::Round { radius_mm } = self.setting.face {
            let contact = view.contact_in_bench;
            let above_horizontal = Angle::of(contact);
            if contact.y < -LOW_CONTACT_FRACTION * radius_mm {
                reported.push(Caution::ContactLow { below_mm: -contact.y });
            } else if contact.x < 0.0 {
                reported.push(Caution::ContactBehindTop {
                    behind: (above_horizontal - Angle::QUARTER).wrapped(),
                });
            } else if above_horizontal > EXPOSURE_TOP {
                reported.push(Caution::ContactUnderGuard { above_horizontal, open_to: EXPOSURE_TOP });
            }
        }
        if view.handle_angle > STEEP_HANDLE {
            reported.push(Caution::HandleSteep { handle_angle: view.handle_angle, limit: STEEP_HANDLE });
        }
        let spec = self.wheel.spec();
        let left_mm = spec.diameter_mm - spec.diameter_least_mm;
        if spec.abrasive == Abrasive::Friable && self.wheel.fraction_left() < 0.1 {
            reported.push(Caution::WheelNearlyWorn { left_mm });
        }
        reported.push(Caution::LocalRules);
        // A stable sort: warnings first, each group in the order above.
        reported.sort_by_key(|caution| !caution.is_warning());
        reported
    }
}
